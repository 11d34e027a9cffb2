"""Claims about speed, power and length: what one screw's own numbers say of each other."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.claims.agreement import (
    UNLIKELY,
    absent,
    compare,
    judged,
    not_stated,
    open_claim,
    tolerance_of,
    within,
)
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.doubt import OVERLOAD as OVERLOAD_NOTE
from evenbarrel.appraisal.claims.doubt import is_asked
from evenbarrel.appraisal.inputs.implied import (
    melt_pressure,
    missing_melt_pressure,
    missing_volume_rate,
    volume_rate,
)
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.appraisal.inputs.swept_volume import BASIS_LOW
from evenbarrel.appraisal.results import Claim, ClaimState
from evenbarrel.trade import geometry

INJECTION_SPEED = open_claim("injection_speed", "injection_speed", "injection_speed")
UNLIKELY_SPEED = open_claim("injection_speed", "injection_rate", "injection_speed", UNLIKELY)
INJECTION_POWER = open_claim("injection_power", "injection_power", "power")
POWER_OF_RATE = open_claim("injection_power", "injection_rate", "power", "pressure_times_rate")
LENGTH_RATIO = open_claim("length_ratio", "length_ratio", "ratio")
UNUSUAL_LENGTH = open_claim("length_ratio", "length_ratio", "ratio", "unusual_length")

OVERLOAD = open_claim("injection_power", "injection_power", "power", OVERLOAD_NOTE)

MOST_OVERLOAD: Mapping[str | None, float] = {
    "hydraulic": 3.0,
    "electric": 6.0,
    "hybrid": 10.0,
    "accumulator": 10.0,
    None: 10.0,
}
"""Times the drive's power that a drive gives for the length of a stroke: pumps hardly more than
they have, servo motors several times what they hold, accumulators what they were charged with. One
whose kind is not stated may be any. Common practice, no source."""

SPEED_LOW, SPEED_HIGH = 0.015, 1.5
"""Of any screw, forward [m/s]; common practice, no source."""

UNKNOWN_BASIS = 1 - BASIS_LOW
"""How far a rate by mass may lie from one by the output factor, a share: see `swept_volume`."""

LENGTH_AGREEMENT = 0.05
"""A share: one diameter, by which the flighted length is said otherwise from maker to maker; common
practice, no source."""

LENGTH_RATIO_LOW, LENGTH_RATIO_HIGH = 12.0, 30.0
"""Screws of injection units in diameters; common practice, no source."""


def injection_speed(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold a stated forward speed against injection rate / screw area.

    A rate by mass hangs on a factor nobody stated: it is one as good as any between the resin's
    output factor and its solid density, and it never contradicts. A rate without a speed is held
    against what forward strokes reach.
    """
    speed, diameter = barrel.numbers.get("injection_speed"), barrel.numbers.get("screw_diameter")
    rate = volume_rate(barrel, case.resins)
    if speed is None and diameter is not None and rate is not None:
        implied = geometry.injection_speed(rate.value, geometry.screw_area(diameter.value))
        possible = min(max(implied, SPEED_LOW), SPEED_HIGH)
        if implied != possible:
            return judged(UNLIKELY_SPEED, "query", implied, possible)
    if speed is None or diameter is None or rate is None:
        lacking = absent(barrel, "injection_speed", "screw_diameter")
        return not_stated(INJECTION_SPEED, (*lacking, *missing_volume_rate(barrel, case.resins)))
    derived = geometry.injection_speed(rate.value, geometry.screw_area(diameter.value))
    basis = UNKNOWN_BASIS if rate.assumed else 0.0
    tolerance = tolerance_of(speed.relative(), rate.precision, 2 * diameter.relative(), basis)
    claim = _marked(INJECTION_SPEED, rate.assumed)
    return compare(claim, speed.value, derived, tolerance, mild=rate.assumed)


def _marked(claim: Claim, assumed: bool) -> Claim:
    return open_claim(claim.key, claim.subject, claim.kind, "assumed") if assumed else claim


def injection_power(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Hold injection power, and pressure times rate, against the forward stroke's drive.

    A quoted power above the drive's is queried up to the most that its kind gives for a stroke,
    and contradicts beyond. A hydraulic drive is asked about: pumps give little more than they
    have. The highest pressure and the highest rate need not act at once: their product agrees up
    to that most and is queried beyond.
    """
    drive = case.unit.numbers.get("drive_power")
    if drive is None:
        return not_stated(INJECTION_POWER, ("drive_power",))
    kind = case.unit.unit.drive_kind
    by_quoted = _quoted_power(case.unit.numbers.get("injection_power"), drive, kind)
    by_rate = _power_of_rate(barrel, case, drive)
    claims = [claim for claim in (by_quoted, by_rate) if claim is not None]
    if not claims:
        lacking = (*missing_melt_pressure(barrel), *missing_volume_rate(barrel, case.resins))
        return not_stated(INJECTION_POWER, lacking)
    return max(claims, key=_gravity)


def _gravity(claim: Claim) -> tuple[int, bool]:
    return ("agrees", "query", "contradicts").index(claim.state), is_asked(claim)


def _quoted_power(
    quoted: StatedNumber | None, drive: StatedNumber, kind: str | None
) -> Claim | None:
    if quoted is None:
        return None
    tolerance = tolerance_of(quoted.relative(), drive.relative())
    ratio = quoted.value / drive.value
    if within(ratio - 1, tolerance):
        return judged(INJECTION_POWER, "agrees", quoted.value, drive.value, tolerance)
    if not within(ratio, MOST_OVERLOAD[kind]):
        return judged(INJECTION_POWER, "contradicts", quoted.value, drive.value, tolerance)
    claim = INJECTION_POWER if kind == "hydraulic" else OVERLOAD
    return judged(claim, "query", quoted.value, drive.value, tolerance)


def _power_of_rate(barrel: StatedBarrel, case: ClaimContext, drive: StatedNumber) -> Claim | None:
    pressure, rate = melt_pressure(barrel), volume_rate(barrel, case.resins)
    if pressure is None or rate is None:
        return None
    power = geometry.injection_power(pressure.value, rate.value)
    claim = _marked(POWER_OF_RATE, rate.assumed)
    most = MOST_OVERLOAD[case.unit.unit.drive_kind]
    state: ClaimState = "agrees" if within(power / drive.value, most) else "query"
    return judged(claim, state, power, drive.value)


def length_ratio(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold each screw's L/D against what is usual, and against the unit's other screws.

    Screws of one unit have one L/D, each in a barrel of its own length, or one length, so that
    L/D falls as D rises, or something between. One beyond what two others or more leave is
    queried; alone it stands against 12 to 30, which is no more than usual: never beyond a query.
    """
    return tuple(_length_ratio(index, case) for index in range(len(case.unit.barrels)))


def _length_ratio(index: int, case: ClaimContext) -> Claim:
    own = case.unit.barrels[index].numbers.get("length_ratio")
    if own is None:
        return not_stated(LENGTH_RATIO, ("length_ratio",))
    usual = min(max(own.value, LENGTH_RATIO_LOW), LENGTH_RATIO_HIGH)
    tolerance = tolerance_of(own.relative(), least=LENGTH_AGREEMENT)
    if not within(abs(own.value / usual - 1), tolerance):
        return compare(UNUSUAL_LENGTH, own.value, usual, tolerance, mild=True)
    expected = _expected_ratios(index, case.unit.barrels)
    if not expected:
        return judged(LENGTH_RATIO, "agrees", own.value)
    low, high = min(expected), max(expected)
    if low[0] <= own.value <= high[0]:
        return judged(LENGTH_RATIO, "agrees", own.value)
    nearest = low if own.value < low[0] else high
    tolerance = tolerance_of(own.relative(), nearest[1], least=LENGTH_AGREEMENT)
    return compare(LENGTH_RATIO, own.value, nearest[0], tolerance, mild=True)


def _expected_ratios(index: int, barrels: tuple[StatedBarrel, ...]) -> list[tuple[float, float]]:
    """Return each L/D, with its precision, that the other screws would give this one.

    None where fewer than two others state theirs: one cannot say which of two is wrong.
    """
    diameter = barrels[index].value("screw_diameter")
    known = [
        (ratio, other.value("screw_diameter"))
        for place, other in enumerate(barrels)
        if place != index and (ratio := other.numbers.get("length_ratio")) is not None
    ]
    if len(known) < 2:
        return []
    by_ratio = [(ratio.value, ratio.relative()) for ratio, _ in known]
    by_length = [
        (ratio.value * other / diameter, ratio.relative())
        for ratio, other in known
        if diameter is not None and other is not None
    ]
    return by_ratio + by_length
