"""Claims about speed, power and length: what one screw's own numbers say of each other."""

from __future__ import annotations

from itertools import combinations

from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.doubt import OVERLOAD as OVERLOAD_NOTE
from evenbarrel.appraisal.claims.doubt import is_asked
from evenbarrel.appraisal.claims.verdict import (
    absent,
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
from evenbarrel.appraisal.results import Claim, ClaimState
from evenbarrel.trade import geometry

INJECTION_SPEED = open_claim("injection_speed", "injection_speed", "speed")
INJECTION_POWER = open_claim("injection_power", "injection_power", "power")
POWER_OF_RATE = open_claim("injection_power", "injection_rate", "power", "pressure_times_rate")
LENGTH_RATIO = open_claim("length_ratio", "length_ratio", "ratio")
UNUSUAL_LENGTH = open_claim("length_ratio", "length_ratio", "ratio", "unusual_length")

OVERLOAD = open_claim("injection_power", "injection_power", "power", OVERLOAD_NOTE)

OVERLOADED = frozenset(("accumulator", "electric", "hybrid"))
"""Kinds of drive that give more than their rated power for the length of a stroke; from memory."""

MOST_OVERLOAD = 3.0
"""Times the drive's power; common practice, no source."""

LENGTH_RATIO_LOW, LENGTH_RATIO_HIGH = 12.0, 30.0
"""Screws of injection units in diameters; common practice, no source."""

_Ratio = tuple[float, float]
"""An L/D with its precision as a share of it."""


def injection_speed(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold a stated forward speed against injection rate / screw area."""
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


def injection_power(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold injection power, and pressure times rate, against the forward stroke's drive.

    A quoted power above the drive's is queried up to three times it, and contradicts beyond. Some
    kinds of drive are overloaded for as long as a shot lasts: there nobody is asked up to then.
    The highest pressure and the highest rate need not act at once: their product agrees up to
    three times the drive and is queried beyond.
    """
    drive = case.unit.numbers.get("drive_power")
    if drive is None:
        return not_stated(INJECTION_POWER, ("drive_power",))
    overloaded = case.unit.unit.drive_kind in OVERLOADED
    by_quoted = _quoted_power(case.unit.numbers.get("injection_power"), drive, overloaded)
    by_rate = _power_of_rate(barrel, case, drive)
    claims = [claim for claim in (by_quoted, by_rate) if claim is not None]
    if not claims:
        lacking = (*missing_melt_pressure(barrel), *missing_volume_rate(barrel, case.resins))
        return not_stated(INJECTION_POWER, lacking)
    return max(claims, key=_gravity)


def _gravity(claim: Claim) -> tuple[int, bool]:
    return ("agrees", "query", "contradicts").index(claim.state), is_asked(claim)


def _quoted_power(
    quoted: StatedNumber | None, drive: StatedNumber, overloaded: bool
) -> Claim | None:
    if quoted is None:
        return None
    tolerance = tolerance_of(quoted.relative(), drive.relative())
    ratio = quoted.value / drive.value
    if within(ratio - 1, tolerance):
        return judged(INJECTION_POWER, "agrees", quoted.value, drive.value, tolerance)
    if not within(ratio, MOST_OVERLOAD):
        return judged(INJECTION_POWER, "contradicts", quoted.value, drive.value, tolerance)
    claim = OVERLOAD if overloaded else INJECTION_POWER
    return judged(claim, "query", quoted.value, drive.value, tolerance)


def _power_of_rate(barrel: StatedBarrel, case: ClaimContext, drive: StatedNumber) -> Claim | None:
    pressure, rate = melt_pressure(barrel), volume_rate(barrel, case.resins)
    if pressure is None or rate is None:
        return None
    power = geometry.injection_power(pressure.value, rate.value)
    claim = _marked(POWER_OF_RATE, rate.assumed)
    state: ClaimState = "agrees" if within(power / drive.value, MOST_OVERLOAD) else "query"
    return judged(claim, state, power, drive.value)


def length_ratio(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold each screw's L/D against what is usual, and against the unit's other screws.

    Screws of one unit have either one L/D, each in a barrel of its own length, or one length, so
    that L/D falls as D rises. Both are sound, and so is a unit with some of each: a screw that
    shares its L/D or its length with another one agrees. One that shares neither while two others
    of its unit do is queried; alone it stands against 12 to 30, which is no more than usual: never
    beyond a query.
    """
    return tuple(_length_ratio(index, case) for index in range(len(case.unit.barrels)))


def _length_ratio(index: int, case: ClaimContext) -> Claim:
    own = case.unit.barrels[index].numbers.get("length_ratio")
    if own is None:
        return not_stated(LENGTH_RATIO, ("length_ratio",))
    usual = min(max(own.value, LENGTH_RATIO_LOW), LENGTH_RATIO_HIGH)
    if usual != own.value:
        return compare(UNUSUAL_LENGTH, own.value, usual, tolerance_of(own.relative()), mild=True)
    others = [other for place, other in enumerate(case.unit.barrels) if place != index]
    known = _ratios_of_others(case.unit.barrels[index], others)
    agreed = [ratio for ratios in known for ratio in _agreed_on(ratios)]
    if not agreed:
        return judged(LENGTH_RATIO, "agrees", own.value)
    printed = own.value, own.relative()
    shared = [ratio for ratios in known for ratio in ratios if _alike(printed, ratio)]
    fitting = [ratio for ratio in agreed if ratio in shared]
    nearest = min(fitting or shared or agreed, key=lambda ratio: abs(own.value / ratio[0] - 1))
    tolerance = tolerance_of(own.relative(), nearest[1])
    return compare(LENGTH_RATIO, own.value, nearest[0], tolerance, mild=True)


def _ratios_of_others(
    barrel: StatedBarrel, others: list[StatedBarrel]
) -> tuple[list[_Ratio], list[_Ratio]]:
    """Return the L/D that each other screw has, and the one that its length would give this."""
    diameter = barrel.value("screw_diameter")
    by_ratio, by_length = [], []
    for other in others:
        ratio, other_diameter = other.numbers.get("length_ratio"), other.value("screw_diameter")
        if ratio is None:
            continue
        by_ratio.append((ratio.value, ratio.relative()))
        if diameter is not None and other_diameter is not None:
            by_length.append((ratio.value * other_diameter / diameter, ratio.relative()))
    return by_ratio, by_length


def _agreed_on(ratios: list[_Ratio]) -> list[_Ratio]:
    """Return each ratio that two screws agree on, as the more precise of them prints it."""
    return [
        first if first[1] <= second[1] else second
        for first, second in combinations(ratios, 2)
        if _alike(first, second)
    ]


def _alike(first: _Ratio, second: _Ratio) -> bool:
    return within(abs(first[0] / second[0] - 1), tolerance_of(first[1], second[1]))
