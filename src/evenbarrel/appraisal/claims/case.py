"""What a unit's stated numbers imply: the case its claims are judged in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from evenbarrel.appraisal.claims.force import Drive, Screw, drive_of
from evenbarrel.appraisal.claims.judging import tolerance_of, within
from evenbarrel.appraisal.derived import Derived, melt_pressure
from evenbarrel.appraisal.facts import BarrelFacts, UnitFacts
from evenbarrel.appraisal.results import ResinResult
from evenbarrel.model.limits import Limits, limit_value
from evenbarrel.trade.geometry import (
    axial_force,
    force_from_size_number,
    screw_area,
    stroke_from_volume,
)


@dataclass(frozen=True)
class Case:
    """One injection unit with what its claims are judged by, and what its screws share."""

    unit: UnitFacts
    resins: Mapping[str, ResinResult]
    limits: Limits

    def resin(self, name: str | None) -> ResinResult | None:
        """Return the resin of that id, or None."""
        return None if name is None else self.resins.get(name)

    @cached_property
    def strokes(self) -> tuple[Derived | None, ...]:
        """Each screw's stroke [m], stated or implied."""
        return tuple(stroke_of(barrel) for barrel in self.unit.barrels)

    @cached_property
    def stroke(self) -> Derived | None:
        """The stroke the screws share [m]; that of a single screw is its own."""
        return _shared_stroke(self.unit.barrels, self.strokes)

    @cached_property
    def screws(self) -> tuple[Screw | None, ...]:
        """Each screw as it pushes, None where diameter or melt pressure is not stated."""
        return tuple(_screw(barrel) for barrel in self.unit.barrels)

    @cached_property
    def force_by_size(self) -> float | None:
        """The force that size number and stroke imply [N]."""
        number = self.unit.value("size_number")
        if number is None or self.stroke is None:
            return None
        return force_from_size_number(number, self.stroke.value)

    @cached_property
    def drive(self) -> Drive:
        """The force the screws share."""
        screws = tuple(screw for screw in self.screws if screw is not None)
        return drive_of(screws, self.force_by_size, limit_value(self.limits.force_agreement))


def _screw(barrel: BarrelFacts) -> Screw | None:
    diameter, pressure = barrel.given.get("screw_diameter"), melt_pressure(barrel)
    if diameter is None or pressure is None:
        return None
    force = axial_force(pressure.value, screw_area(diameter.value))
    precision = pressure.precision + 2 * diameter.relative()
    return Screw(diameter.value, pressure.value, force, precision)


def stroke_of(barrel: BarrelFacts) -> Derived | None:
    """Return a barrel's stroke [m], stated or implied by quoted volume and diameter."""
    stroke = barrel.given.get("stroke")
    if stroke is not None:
        return Derived(stroke.value, stroke.relative())
    volume, diameter = barrel.given.get("swept_volume"), barrel.given.get("screw_diameter")
    if volume is None or diameter is None:
        return None
    implied = stroke_from_volume(volume.value, diameter.value)
    return Derived(implied, volume.relative() + 2 * diameter.relative())


def _shared_stroke(
    barrels: tuple[BarrelFacts, ...], strokes: tuple[Derived | None, ...]
) -> Derived | None:
    known = sorted(
        (
            (stroke, barrel.value("screw_diameter") or 0.0)
            for barrel, stroke in zip(barrels, strokes, strict=True)
            if stroke is not None
        ),
        key=lambda pair: pair[0].value,
    )
    if len(known) < 2:
        return known[0][0] if known else None
    groups = [
        [pair for pair in known[start:] if _same_stroke(known[start][0], pair[0])]
        for start in range(len(known))
    ]
    best = max(groups, key=lambda group: (len(group), max(size for _, size in group)))
    if len(best) < 2:
        return None
    return min(best, key=lambda pair: (pair[0].precision, -pair[1]))[0]


def _same_stroke(shorter: Derived, longer: Derived) -> bool:
    tolerance = tolerance_of(shorter.precision, longer.precision)
    return within(longer.value / shorter.value - 1, tolerance)
