"""Claims about force and pressure: screws of one unit share one drive."""

from __future__ import annotations

from dataclasses import replace

from evenbarrel.appraisal.claims.agreement import (
    absent,
    compare,
    judged,
    not_stated,
    open_claim,
    tolerance_of,
    within,
)
from evenbarrel.appraisal.claims.checks.shared_force import Screw, are_held_back
from evenbarrel.appraisal.claims.context import ClaimContext, stroke_of
from evenbarrel.appraisal.inputs.implied import (
    ImpliedNumber,
    melt_pressure,
    missing_melt_pressure,
)
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.appraisal.results import Claim
from evenbarrel.model.limits import limit_value
from evenbarrel.trade.geometry import melt_pressure_from_oil, size_number_from_force

DRIVE_FORCE = open_claim("drive_force", "injection_pressure", "force")
CAPPED = open_claim("drive_force", "injection_pressure", "force", "pressure_cap")
ONE_PRESSURE_NOTE = "one_pressure_for_all"
COPIED_NOTE = "copied_pressure"
COPIED = open_claim("drive_force", "injection_pressure", "force", COPIED_NOTE)
ONE_PRESSURE = open_claim("drive_force", "injection_pressure", "force", ONE_PRESSURE_NOTE)
SIZE_NUMBER = open_claim("size_number", "size_number", "ratio")
PRESSURE_KIND = open_claim("pressure_kind", "injection_pressure", "melt_pressure")
OIL = open_claim("pressure_kind", "injection_pressure", "melt_pressure", "oil_pressure")

ROUND_PRESSURES = {"bar": (50.0,), "MPa": (5.0, 4.903325), "psi": (500.0,), "kgf/cm2": (50.0,)}
"""What limits of pressure are multiples of, by the unit they are printed in; 50 kgf/cm2 are
4.903325 MPa; common practice, no source."""

BEARS_ALL = 0.01
"""A screw within this share of the drive's force is held back by no limit; common practice, no
source."""

SIZE_NUMBER_AGREEMENT = 0.05
"""A share: units are called by a round number; common practice, no source."""

LEAST_MELT_PRESSURE = 400e5
LEAST_UNSTATED_PRESSURE = 700e5
HIGHEST_OIL_PRESSURE = 500e5
"""[Pa]; below the first two a pressure is more likely the oil's, and no oil circuit is built for
more than the last; common practice, no source."""

LOWEST_MELT_PRESSURE, HIGHEST_MELT_PRESSURE = 50e5, 5000e5
"""[Pa]; beyond these it is no pressure of melt, whatever unit was meant; common practice, no
source."""


def drive_force(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold each screw's force p A against the one force its drive has."""
    screws = tuple(screw for screw in case.screws if screw is not None)
    enough = len(screws) + (case.force_by_size is not None) >= 2
    return tuple(
        not_stated(DRIVE_FORCE, _missing(barrel))
        if screw is None or not enough
        else _force_claim(screw, screws, case)
        for screw, barrel in zip(case.screws, case.unit.barrels, strict=True)
    )


def _missing(barrel: StatedBarrel) -> tuple[str, ...]:
    lacking = (*absent(barrel, "screw_diameter"), *missing_melt_pressure(barrel))
    return lacking or ("second_screw",)


def _force_claim(screw: Screw, screws: tuple[Screw, ...], case: ClaimContext) -> Claim:
    drive = case.drive
    tolerance = tolerance_of(screw.precision, least=limit_value(case.limits.force_agreement))
    if drive.force is None:
        claim = ONE_PRESSURE if drive.one_pressure else DRIVE_FORCE
        by_size = None if case.force_by_size is None else case.force_by_size.value
        queried = judged(claim, "query", screw.force, by_size, tolerance)
        return replace(queried, of_each_screw=tuple(other.force for other in screws))
    gap = screw.force / drive.force - 1
    if _is_perhaps_copied(screw, screws, case):
        return judged(COPIED, "query", screw.force, drive.force, tolerance)
    if screw in drive.capped:
        return judged(CAPPED, "agrees", screw.force, drive.force, tolerance)
    if gap > 0 or within(-gap, tolerance):
        return compare(DRIVE_FORCE, screw.force, drive.force, tolerance)
    if _is_held_back(screw, screws, case):
        return judged(CAPPED, "agrees", screw.force, drive.force, tolerance)
    return judged(DRIVE_FORCE, "query", screw.force, drive.force, tolerance)


def _is_held_back(screw: Screw, screws: tuple[Screw, ...], case: ClaimContext) -> bool:
    """Say whether a screw is smaller than all that share the force, and held back from it."""
    least = min(member.diameter for member in case.drive.members)
    if screw.diameter >= least:
        return False
    upwards = [other for other in screws if screw.diameter <= other.diameter <= least]
    return are_held_back(upwards, limit_value(case.limits.force_agreement))


def _is_perhaps_copied(screw: Screw, screws: tuple[Screw, ...], case: ClaimContext) -> bool:
    """Say whether a screw has to the digit the pressure of a larger one that no limit holds back.

    Limits are round numbers; what a drive gives on a screw seldom is.
    """
    printed = case.unit.barrels[screw.place].numbers["injection_pressure"]
    if case.drive.force is None or case.drive.own_caps or _is_round(printed):
        return False
    return any(
        screw.diameter < other.diameter
        and case.unit.barrels[other.place].numbers["injection_pressure"].printed == printed.printed
        and within(abs(other.force / case.drive.force - 1), BEARS_ALL)
        and not _bears(screw, case)
        and _is_held_by_others(other, case)
        for other in screws
    )


def _bears(screw: Screw, case: ClaimContext) -> bool:
    assert case.drive.force is not None
    agreement = limit_value(case.limits.force_agreement)
    return within(abs(screw.force / case.drive.force - 1), agreement)


def _is_held_by_others(screw: Screw, case: ClaimContext) -> bool:
    """Say whether the drive's force is known without a screw."""
    return case.drive.by_size or any(one.place != screw.place for one in case.drive.members)


def _is_round(number: StatedNumber) -> bool:
    magnitude, _, unit = number.printed.rpartition(" ")
    half = number.relative() * float(magnitude)
    steps = ROUND_PRESSURES.get(unit, ())
    return any(abs(float(magnitude) - round(float(magnitude) / s) * s) <= half for s in steps)


def size_number(case: ClaimContext) -> tuple[Claim, ...]:
    """Hold the unit's size number against the drive's force times each screw's stroke.

    It is made of one screw's pressure and volume, and nobody says which: where the force that the
    screws share does not meet it, the nearest screw's counts. A screw that states no force of its
    own may agree with it and is never in doubt: nothing of it could be wrong.
    """
    number = case.unit.numbers.get("size_number")
    if number is None:
        return tuple(not_stated(SIZE_NUMBER, ("size_number",)) for _ in case.unit.barrels)
    return tuple(
        _size_number(number, barrel, screw, case)
        for barrel, screw in zip(case.unit.barrels, case.screws, strict=True)
    )


def _size_number(
    number: StatedNumber, barrel: StatedBarrel, screw: Screw | None, case: ClaimContext
) -> Claim:
    stroke, shared = case.stroke or stroke_of(barrel), case.drive.force
    lacking = (*absent(barrel, "screw_diameter"), *missing_melt_pressure(barrel))
    if stroke is None or (screw is None and shared is None):
        return not_stated(SIZE_NUMBER, (*lacking, *(() if stroke else ("stroke",))))
    of_screws = [(each.force, each.precision) for each in case.screws if each is not None]
    own = 0.0 if screw is None else screw.precision
    forces = of_screws if shared is None else [(shared, own), *of_screws]
    claims = [_against_force(number, stroke, *force) for force in forces]
    if claims[0].state == "agrees":
        return claims[0]
    if screw is None:
        return not_stated(SIZE_NUMBER, lacking)
    return min(claims, key=lambda claim: abs(claim.gap or 0.0))


def _against_force(
    number: StatedNumber, stroke: ImpliedNumber, force: float, precision: float
) -> Claim:
    derived = size_number_from_force(force, stroke.value)
    precisions = (number.relative(), precision, stroke.precision)
    tolerance = tolerance_of(SIZE_NUMBER_AGREEMENT, *precisions)
    return compare(SIZE_NUMBER, number.value, derived, tolerance, mild=True)


def pressure_kind(barrel: StatedBarrel, case: ClaimContext) -> Claim:
    """Ask whether a quoted pressure is the melt's or the oil's."""
    pressure, kind = barrel.numbers.get("injection_pressure"), barrel.barrel.pressure_kind
    melt = melt_pressure(barrel)
    if pressure is None:
        return not_stated(PRESSURE_KIND, ("injection_pressure",))
    claim = OIL if kind == "oil" else PRESSURE_KIND
    if kind == "oil" and pressure.value > HIGHEST_OIL_PRESSURE:
        high = replace(claim, note="high_for_oil")
        return judged(high, "query", pressure.value, HIGHEST_OIL_PRESSURE)
    if melt is None:
        return not_stated(claim, ("intensification_ratio",))
    possible = min(max(melt.value, LOWEST_MELT_PRESSURE), HIGHEST_MELT_PRESSURE)
    if melt.value != possible:
        return judged(replace(claim, note="impossible"), "contradicts", melt.value, possible)
    return _by_system_pressure(claim, melt, barrel) or _by_height(claim, melt, kind)


def _by_system_pressure(claim: Claim, melt: ImpliedNumber, barrel: StatedBarrel) -> Claim | None:
    system = barrel.numbers.get("system_pressure")
    ratio = barrel.numbers.get("intensification_ratio")
    if system is None or ratio is None:
        return None
    derived = melt_pressure_from_oil(system.value, ratio.value)
    tolerance = tolerance_of(melt.precision, system.relative(), ratio.relative())
    return compare(claim, melt.value, derived, tolerance, mild=True)


def _by_height(claim: Claim, melt: ImpliedNumber, kind: str | None) -> Claim:
    least = LEAST_UNSTATED_PRESSURE if kind is None else LEAST_MELT_PRESSURE
    if melt.value < least:
        return judged(replace(claim, note="low_for_melt"), "query", melt.value, least)
    return judged(claim, "agrees", melt.value)
