"""What a unit's stated numbers imply: the case its claims are judged in."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from evenbarrel.appraisal.claims.agreement import tolerance_of, within
from evenbarrel.appraisal.claims.checks.shared_force import Drive, Screw, drive_of
from evenbarrel.appraisal.inputs.implied import ImpliedNumber, melt_pressure
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit
from evenbarrel.appraisal.results import ResinResult
from evenbarrel.model.limits import Limits, limit_value
from evenbarrel.trade.geometry import (
    axial_force,
    force_from_size_number,
    screw_area,
    stroke_from_volume,
)

LIMITS_OF_CLAIMS = ("rated_basis", "force_agreement")
"""The limits that claims are held against; no other moves a claim."""


@dataclass(frozen=True, slots=True)
class StrokeGroup:
    """The stroke that screws share [m], as the most finely printed of them says it."""

    stroke: ImpliedNumber
    places: frozenset[int]
    """Places of the barrels that agree on it."""

    def stands_without(self, places: Collection[int]) -> bool:
        """Say whether two screws would agree on it were nothing known of these."""
        return len(self.places.difference(places)) >= 2


@dataclass(frozen=True)
class ClaimContext:
    """One injection unit with what its claims are judged by, and what its screws share."""

    unit: StatedUnit
    resins: Mapping[str, ResinResult]
    limits: Limits

    def resin(self, name: str | None) -> ResinResult | None:
        """Return the resin of that id, or None."""
        return None if name is None else self.resins.get(name)

    @cached_property
    def strokes(self) -> tuple[ImpliedNumber | None, ...]:
        """Each screw's stroke [m], stated or implied."""
        return tuple(stroke_of(barrel) for barrel in self.unit.barrels)

    @cached_property
    def stroke_group(self) -> StrokeGroup | None:
        """The stroke that the unit's screws share; None where no two of several agree."""
        return _shared_stroke(self.unit.barrels, self.strokes)

    @property
    def stroke(self) -> ImpliedNumber | None:
        """The stroke the screws share [m]; that of a single screw is its own."""
        return None if self.stroke_group is None else self.stroke_group.stroke

    @cached_property
    def screws(self) -> tuple[Screw | None, ...]:
        """Each screw with the force on it, None where diameter or melt pressure is not stated."""
        return tuple(_screw(place, barrel) for place, barrel in enumerate(self.unit.barrels))

    @cached_property
    def force_by_size(self) -> ImpliedNumber | None:
        """The force that size number and stroke imply [N]."""
        number = self.unit.numbers.get("size_number")
        if number is None or self.stroke is None:
            return None
        force = force_from_size_number(number.value, self.stroke.value)
        return ImpliedNumber(force, number.relative() + self.stroke.precision)

    @cached_property
    def drive(self) -> Drive:
        """The force the screws share."""
        screws = tuple(screw for screw in self.screws if screw is not None)
        return drive_of(screws, self.force_by_size, limit_value(self.limits.force_agreement))


def _screw(place: int, barrel: StatedBarrel) -> Screw | None:
    diameter, pressure = barrel.numbers.get("screw_diameter"), melt_pressure(barrel)
    if diameter is None or pressure is None:
        return None
    force = axial_force(pressure.value, screw_area(diameter.value))
    precision = pressure.precision + 2 * diameter.relative()
    return Screw(place, diameter.value, pressure.value, force, precision)


def stroke_of(barrel: StatedBarrel) -> ImpliedNumber | None:
    """Return a barrel's stroke [m], stated or implied by quoted volume and diameter."""
    stroke = barrel.numbers.get("stroke")
    if stroke is not None:
        return ImpliedNumber(stroke.value, stroke.relative())
    volume, diameter = barrel.numbers.get("swept_volume"), barrel.numbers.get("screw_diameter")
    if volume is None or diameter is None:
        return None
    implied = stroke_from_volume(volume.value, diameter.value)
    # A volume may be cut off as well as rounded.
    return ImpliedNumber(implied, 2 * (volume.relative() + diameter.relative()))


def _shared_stroke(
    barrels: tuple[StatedBarrel, ...], strokes: tuple[ImpliedNumber | None, ...]
) -> StrokeGroup | None:
    known = sorted(
        (
            (place, stroke, barrel.value("screw_diameter") or 0.0)
            for place, (barrel, stroke) in enumerate(zip(barrels, strokes, strict=True))
            if stroke is not None
        ),
        key=lambda entry: entry[1].value,
    )
    # From a stroke that is printed like the one before, the group is a part of that one's.
    starts = [n for n in range(len(known)) if n == 0 or known[n][1] != known[n - 1][1]]
    groups = [
        [entry for entry in known[start:] if _same_stroke(known[start][1], entry[1])]
        for start in starts
    ]
    best = max(groups, key=lambda group: (len(group), max(e[2] for e in group)), default=[])
    if not best or (len(known) > 1 and len(best) < 2):
        return None
    finest = min(best, key=lambda entry: (entry[1].precision, -entry[2]))
    return StrokeGroup(finest[1], frozenset(entry[0] for entry in best))


def _same_stroke(shorter: ImpliedNumber, longer: ImpliedNumber) -> bool:
    tolerance = tolerance_of(shorter.precision, longer.precision)
    return within(longer.value / shorter.value - 1, tolerance)
