"""Claims about speed, power, heat and length: what one screw's own numbers say of each other."""

from __future__ import annotations

from itertools import combinations

from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.verdict import (
    absent,
    at_most,
    compare,
    judged,
    not_stated,
    open_claim,
    tolerance_of,
    within,
)
from evenbarrel.appraisal.inputs.implied import (
    melt_pressure,
    missing_melt_pressure,
    missing_volume_rate,
    volume_rate,
)
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.appraisal.results import Claim
from evenbarrel.trade import geometry

INJECTION_SPEED = open_claim("injection_speed", "injection_speed", "speed")
INJECTION_POWER = open_claim("injection_power", "injection_power", "power")
POWER_OF_RATE = open_claim("injection_power", "injection_rate", "power", "pressure_times_rate")
PLASTICISING_ENERGY = open_claim("plasticising_energy", "plasticising_rate", "power")
PERIPHERAL_SPEED = open_claim("peripheral_speed", "peripheral_speed", "speed")
LENGTH_RATIO = open_claim("length_ratio", "length_ratio", "ratio")

LENGTH_RATIO_LOW, LENGTH_RATIO_HIGH = 12.0, 30.0
"""Screws of injection units in diameters; common practice, no source."""

SCREW_SPEEDS = ("screw_speed_max", "screw_speed", "plasticising_speed")


def injection_speed(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold each stated forward speed against injection rate / screw area."""
    return tuple(_injection_speed(barrel, case) for barrel in case.unit.barrels)


def _injection_speed(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    speed, diameter = barrel.numbers.get("injection_speed"), barrel.numbers.get("screw_diameter")
    rate = volume_rate(barrel, case.resins)
    if speed is None or diameter is None or rate is None:
        lacking = absent(barrel, "injection_speed", "screw_diameter")
        return not_stated(INJECTION_SPEED, (*lacking, *missing_volume_rate(barrel, case.resins)))
    derived = geometry.injection_speed(rate.value, geometry.screw_area(diameter.value))
    tolerance = tolerance_of(speed.relative(), rate.precision, 2 * diameter.relative())
    claim = _marked(INJECTION_SPEED, rate.assumed)
    return compare(claim, speed.value, derived, tolerance)


def _marked(claim: Claim, assumed: bool) -> Claim:
    return open_claim(claim.key, claim.subject, claim.kind, "assumed") if assumed else claim


def injection_power(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold injection power, and pressure times rate, against the forward stroke's drive.

    An accumulator gives more than its drive for as long as a shot lasts: nothing is questioned
    there. Highest pressure and highest rate need not act at once, so their product alone never
    contradicts.
    """
    return tuple(_injection_power(barrel, case) for barrel in case.unit.barrels)


def _injection_power(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    drive = case.unit.numbers.get("drive_power")
    if drive is None:
        return not_stated(INJECTION_POWER, ("drive_power",))
    by_quoted = _quoted_power(case.unit.numbers.get("injection_power"), drive)
    if by_quoted is not None and by_quoted.state == "contradicts":
        return _with_accumulator(by_quoted, case)
    by_rate = _power_of_rate(barrel, case, drive)
    claims = [claim for claim in (by_quoted, by_rate) if claim is not None]
    if not claims:
        lacking = (*missing_melt_pressure(barrel), *missing_volume_rate(barrel, case.resins))
        return not_stated(INJECTION_POWER, lacking)
    failed = [claim for claim in claims if claim.state != "agrees"]
    return _with_accumulator((failed or claims)[0], case)


def _quoted_power(quoted: StatedNumber | None, drive: StatedNumber) -> Claim | None:
    if quoted is None:
        return None
    tolerance = tolerance_of(quoted.relative(), drive.relative())
    return at_most(INJECTION_POWER, quoted.value, drive.value, tolerance)


def _power_of_rate(barrel: StatedBarrel, case: ClaimContext, drive: StatedNumber) -> Claim | None:
    pressure, rate = melt_pressure(barrel), volume_rate(barrel, case.resins)
    if pressure is None or rate is None:
        return None
    tolerance = tolerance_of(pressure.precision, rate.precision, drive.relative())
    power = geometry.injection_power(pressure.value, rate.value)
    return at_most(_marked(POWER_OF_RATE, rate.assumed), power, drive.value, tolerance, mild=True)


def _with_accumulator(claim: Claim, case: ClaimContext) -> Claim:
    if claim.state == "agrees" or case.unit.unit.drive_kind != "accumulator":
        return claim
    stored = open_claim(claim.key, claim.subject, claim.kind, "accumulator")
    return judged(stored, "agrees", claim.stated or 0.0, claim.derived, claim.tolerance)


def plasticising_energy(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold the heat that a plasticising rate needs against screw drive and barrel heaters."""
    return tuple(_plasticising_energy(barrel, case) for barrel in case.unit.barrels)


def _plasticising_energy(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    rate = barrel.numbers.get("plasticising_rate")
    named = barrel.barrel.plasticising_resin or barrel.barrel.reference_resin
    resin = case.resin(named)
    enthalpy = None if resin is None else resin.enthalpy
    sources = [
        number
        for name in ("plasticising_drive_power", "heating_power")
        if (number := case.unit.numbers.get(name)) is not None
    ]
    lacking = absent(case.unit, "plasticising_drive_power", "heating_power")
    if rate is None or enthalpy is None or not sources:
        return not_stated(
            PLASTICISING_ENERGY,
            (*absent(barrel, "plasticising_rate"), *_missing_enthalpy(named, enthalpy), *lacking),
        )
    needed, available = rate.value * enthalpy, sum(number.value for number in sources)
    precision = sum(number.precision for number in sources) / available
    tolerance = tolerance_of(rate.relative(), precision)
    claim = at_most(PLASTICISING_ENERGY, needed, available, tolerance, mild=True)
    # What one source gives alone suffices to agree, never to question.
    return claim if claim.state == "agrees" or not lacking else not_stated(claim, lacking)


def _missing_enthalpy(named: str | None, enthalpy: float | None) -> tuple[str, ...]:
    if named is None:
        return ("plasticising_resin",)
    return () if enthalpy is not None else ("enthalpy",)


def peripheral_speed(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold each printed peripheral speed against pi D n.

    Offers seldom say at which screw speed they mean it: the nearest of the printed ones counts.
    """
    return tuple(_peripheral_speed(barrel) for barrel in case.unit.barrels)


def _peripheral_speed(barrel: StatedBarrel) -> Claim:
    printed, diameter = barrel.numbers.get("peripheral_speed"), barrel.numbers.get("screw_diameter")
    turns = [barrel.numbers[name] for name in SCREW_SPEEDS if name in barrel.numbers]
    if printed is None or diameter is None or not turns:
        lacking = absent(barrel, "peripheral_speed", "screw_diameter")
        return not_stated(PERIPHERAL_SPEED, (*lacking, *(() if turns else ("screw_speed_max",))))
    claims = (
        compare(
            PERIPHERAL_SPEED,
            printed.value,
            geometry.peripheral_speed(diameter.value, turn.value),
            tolerance_of(printed.relative(), diameter.relative(), turn.relative()),
            mild=True,
        )
        for turn in turns
    )
    return min(claims, key=lambda claim: abs(claim.gap or 0.0))


def length_ratio(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold each screw's L/D against what is usual, and against the unit's other screws.

    Screws of one unit have either one L/D, each in a barrel of its own length, or one length, so
    that L/D falls as D rises. Both are sound, and L/D printed alike for all agrees. A screw that
    fits neither while two others of its unit do is queried; alone it stands against 12 to 30.
    """
    return tuple(_length_ratio(index, case) for index in range(len(case.unit.barrels)))


def _length_ratio(index: int, case: ClaimContext) -> Claim:
    own = case.unit.barrels[index].numbers.get("length_ratio")
    if own is None:
        return not_stated(LENGTH_RATIO, ("length_ratio",))
    usual = min(max(own.value, LENGTH_RATIO_LOW), LENGTH_RATIO_HIGH)
    if usual != own.value:
        return compare(LENGTH_RATIO, own.value, usual, tolerance_of(own.relative()))
    others = [other for place, other in enumerate(case.unit.barrels) if place != index]
    expected = _expected_ratios(case.unit.barrels[index], others)
    if not expected:
        return judged(LENGTH_RATIO, "agrees", own.value)
    nearest = min(expected, key=lambda ratio: abs(own.value / ratio[0] - 1))
    tolerance = tolerance_of(own.relative(), nearest[1])
    return compare(LENGTH_RATIO, own.value, nearest[0], tolerance, mild=True)


def _expected_ratios(barrel: StatedBarrel, others: list[StatedBarrel]) -> list[tuple[float, float]]:
    """Return each L/D, with its precision, that two other screws agree on for this one."""
    diameter = barrel.value("screw_diameter")
    by_ratio, by_length = [], []
    for other in others:
        ratio, other_diameter = other.numbers.get("length_ratio"), other.value("screw_diameter")
        if ratio is None:
            continue
        by_ratio.append((ratio.value, ratio.relative()))
        if diameter is not None and other_diameter is not None:
            by_length.append((ratio.value * other_diameter / diameter, ratio.relative()))
    return [
        first if first[1] <= second[1] else second
        for known in (by_ratio, by_length)
        for first, second in combinations(known, 2)
        if within(abs(first[0] / second[0] - 1), tolerance_of(first[1], second[1]))
    ]
