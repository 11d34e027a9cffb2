"""What a unit's stated numbers imply: the case its claims are judged in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from evenbarrel.appraisal.claims.force import Drive, Screw, drive_of
from evenbarrel.appraisal.claims.verdict import tolerance_of, within
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
    def stroke(self) -> ImpliedNumber | None:
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


def _screw(barrel: StatedBarrel) -> Screw | None:
    diameter, pressure = barrel.numbers.get("screw_diameter"), melt_pressure(barrel)
    if diameter is None or pressure is None:
        return None
    force = axial_force(pressure.value, screw_area(diameter.value))
    precision = pressure.precision + 2 * diameter.relative()
    return Screw(diameter.value, pressure.value, force, precision)


def stroke_of(barrel: StatedBarrel) -> ImpliedNumber | None:
    """Return a barrel's stroke [m], stated or implied by quoted volume and diameter."""
    stroke = barrel.numbers.get("stroke")
    if stroke is not None:
        return ImpliedNumber(stroke.value, stroke.relative())
    volume, diameter = barrel.numbers.get("swept_volume"), barrel.numbers.get("screw_diameter")
    if volume is None or diameter is None:
        return None
    implied = stroke_from_volume(volume.value, diameter.value)
    return ImpliedNumber(implied, volume.relative() + 2 * diameter.relative())


def _shared_stroke(
    barrels: tuple[StatedBarrel, ...], strokes: tuple[ImpliedNumber | None, ...]
) -> ImpliedNumber | None:
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


def _same_stroke(shorter: ImpliedNumber, longer: ImpliedNumber) -> bool:
    tolerance = tolerance_of(shorter.precision, longer.precision)
    return within(longer.value / shorter.value - 1, tolerance)
