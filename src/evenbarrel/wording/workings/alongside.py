"""What stands beside a criterion's number: other routes to it, and what it means in seconds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite

from evenbarrel.appraisal.inputs.barrel_inputs import Row, inventory, inventory_route, rated_resin
from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.appraisal.inputs.job_inputs import Column, cooling_by_formula
from evenbarrel.appraisal.verdicts.states import Assessment
from evenbarrel.trade import filling, flow, recovery, residence
from evenbarrel.trade.geometry import rotational_speed, screw_area
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import DisplayUnits, printed, rounded, with_unit
from evenbarrel.wording.workings.line import Line, entered_line, stated


@dataclass(frozen=True, slots=True)
class Place:
    """One cell of an assessment, with what its inputs are there."""

    assessment: Assessment
    row: Row
    column: Column
    reading: int
    shot: int
    units: DisplayUnits
    rated_in: str
    """The resin that the plasticising rate was quoted in."""

    def nominal(self, name: str) -> float:
        """Return an input's nominal value in SI; nan where it is not stated."""
        return at(self.assessment.inputs[name].nominal, self.reading, self.shot)

    def shot_volume(self) -> float:
        """Return the volume of the shot that counts [m3]."""
        return filling.shot_volume(self.nominal("shot_mass"), self.nominal("output_factor"))

    def line(self, label: str, value: float, kind: str, given: str = "") -> tuple[Line, ...]:
        """Return one line, or none where the value cannot be had."""
        if not isfinite(value):
            return ()
        return (Line(label, with_unit(value, kind, self.units), given),)


def _capacity(place: Place) -> tuple[Line, ...]:
    diameter = place.nominal("nominal_diameter")
    stroke = filling.shot_stroke(place.shot_volume(), screw_area(diameter))
    cushion, decompression = place.nominal("cushion"), place.nominal("decompression")
    lines = place.line("Shot stroke", stroke, "length", "shot volume / screw area")
    if not isfinite(cushion):
        lines += place.line("Cushion taken", filling.default_cushion(stroke), "length", "assumed")
    if not isfinite(decompression):
        assumed = filling.default_decompression(diameter)
        lines += place.line("Decompression taken", assumed, "length", "assumed")
    return lines


def _residence(place: Place) -> tuple[Line, ...]:
    facts, diameter = place.row.facts, place.nominal("nominal_diameter")
    used = inventory_route(facts.barrel)
    lines: tuple[Line, ...] = ()
    for route in ("quoted", "geometry", "diameter_rule"):
        volume = inventory(facts, diameter if isfinite(diameter) else None, route)
        if volume is not None:
            mark = "used" if route == used else "beside"
            label = f"Inventory {labels.ROUTES[route]}"
            lines += place.line(label, volume, "volume", mark)
    by_factor = residence.residence_by_factor(
        place.nominal("swept_volume"),
        place.shot_volume(),
        place.nominal("stroke") / diameter,
        place.nominal("cycle_time"),
    )
    given = "beside: 2 below 4 D of stroke, else 1.4, × swept volume / shot × cycle"
    return lines + place.line("By the factor method", by_factor, "time", given)


def _rate(place: Place) -> tuple[Line, ...]:
    """Say how the rate came from the one that was quoted, where that was in another resin."""
    rated = rated_resin(place.row.facts.barrel)
    if place.column.resin is None or rated in (None, place.column.resin.id):
        return ()
    quoted, share = place.nominal("plasticising_rate"), place.nominal("rate_conversion")
    lines = place.line(f"Rate as quoted, in {place.rated_in}", quoted, "mass_rate")
    if not isfinite(share):
        return lines
    least = "the least of 1, the ratio of melt densities and the inverse one of enthalpies"
    return (*lines, Line("Converted by", rounded(share), least))


def _recovery(place: Place) -> tuple[Line, ...]:
    mass, window = place.nominal("shot_mass"), place.nominal("cooling_window")
    time = recovery.recovery_time(mass, place.nominal("rate_in_resin"))
    lost = recovery.seconds_lost(time, window)
    lines = _rate(place) + place.line("Recovery time", time, "time")
    lines += place.line("Seconds lost in each cycle", lost, "time")
    limit, rated = place.nominal("peripheral_speed_limit"), place.nominal("rated_speed")
    turning = rotational_speed(place.nominal("nominal_diameter"), limit)
    rate = recovery.rate_at_speed(place.nominal("rate_in_resin"), rated, turning)
    at_limit = recovery.recovery_time(mass, rate)
    lines += place.line(
        "Recovery at the resin's speed limit",
        at_limit,
        "time",
        with_unit(turning, "rotational_speed", place.units),
    )
    lines += place.line(
        "Seconds lost at that speed", recovery.seconds_lost(at_limit, window), "time"
    )
    return lines + _window(place)


def _window(place: Place) -> tuple[Line, ...]:
    job = place.column.entered
    by_formula = cooling_by_formula(job, place.column.resin)
    if by_formula is None:
        return ()
    shape, target = job.cooling_shape or "plate", job.cooling_target or "centre"
    used = "used, less hold" if job.cooling_time is None else "beside"
    diffusivity = stated(place.column.resin, "diffusivity")
    given = f"from end of filling, diffusivity {diffusivity}; {used}"
    return place.line(f"Cooling by formula: {shape}, {target}", by_formula, "time", given)


def _screw_speed(place: Place) -> tuple[Line, ...]:
    needed = recovery.needed_screw_speed(
        place.nominal("rated_speed"),
        place.nominal("shot_mass"),
        place.nominal("rate_in_resin"),
        place.nominal("cooling_window"),
        place.nominal("recovery_share_limit"),
    )
    lines = _rate(place) + place.line("Screw speed needed", needed, "rotational_speed")
    highest = place.nominal("screw_speed_max")
    return lines + place.line("Highest screw speed", highest, "rotational_speed", "as quoted")


def _pressure(place: Place) -> tuple[Line, ...]:
    if place.nominal("required_pressure_estimated") == 0 or place.column.resin is None:
        return ()
    law, job = place.column.resin.power_law, place.column.entered
    wall, width = job.flow_wall or job.wall_thickness, job.flow_width
    if law is None or wall is None or width is None:
        return ()
    through_one = place.nominal("filling_rate") / (job.cavities or 1)
    shear = flow.wall_shear_rate(through_one, width.si("length"), wall.si("length"), law.n)
    path = "flow_wall" if job.flow_wall else "wall_thickness"
    return (
        *(
            entered_line(job, ("jobs", job.id), name)
            for name in ("flow_length", "flow_width", path)
        ),
        Line("Power law", f"K {rounded(law.k)} Pa sⁿ, n {rounded(law.n)}", _law_given(place)),
        Line(
            "Wall shear rate of the flow screen",
            f"{rounded(shear)} 1/s",
            "a screening estimate: isothermal slit, no freezing layer",
        ),
    )


def _law_given(place: Place) -> str:
    resin = place.column.resin
    law = None if resin is None else resin.power_law
    if resin is None or law is None:
        return ""
    at = f"at {printed(law.temperature)}, shifted to the melt temperature"
    return f"{at}; {labels.ORIGINS[resin.origins.get('power_law')]}"


BESIDE: Mapping[str, Callable[[Place], tuple[Line, ...]]] = {
    "capacity": _capacity,
    "residence": _residence,
    "recovery": _recovery,
    "screw_speed": _screw_speed,
    "pressure": _pressure,
    "power": _pressure,
}
"""What each criterion shows beside its inputs."""

NOTES: Mapping[str, tuple[str, ...]] = {
    "residence": ("A mean: part of the melt stays longer. Nozzle not counted.",),
    "recovery": (
        "Plasticising rates are usually taken at half of the stroke: at long strokes expect less.",
        "In another resin the rate is bounded by melt density and enthalpy, never raised.",
    ),
    "screw_speed": ("The rate is taken to rise and fall with the screw speed.",),
    "pressure": ("Peak melt pressure ahead of the screw tip; the quoted one is the highest.",),
    "ring_share": ("With an assumed ring travel the value is shown and no verdict given.",),
}
"""What a reader should know of a criterion's method."""
