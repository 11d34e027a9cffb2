"""What stands beside a criterion's number: other routes to it, and what it means in seconds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite

from evenbarrel.appraisal.inputs.barrel_inputs import Row, inventory, inventory_route, rated_resin
from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.appraisal.inputs.shots import hot_runner_open
from evenbarrel.appraisal.results import Bound, CriterionResult, WindowRoute
from evenbarrel.appraisal.verdicts.assessment import Assessment
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum_path import Path
from evenbarrel.model.job import Job
from evenbarrel.trade import capacity, filling, recovery, residence
from evenbarrel.trade.geometry import rotational_speed, screw_area
from evenbarrel.trade.mould import flow
from evenbarrel.wording.sentences.cells import value_text
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.inputs import INPUTS
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    estimated,
    printed,
    rounded,
    with_unit,
)
from evenbarrel.wording.workings.line import Line, bound_text, entered_line


@dataclass(frozen=True, slots=True)
class Place:
    """One cell of a criterion, with its inputs, its result and the units they are shown in."""

    assessment: Assessment
    row: Row
    column: Column
    reading: int
    shot: int
    units: DisplayUnits
    rated_in: str
    """The resin that the plasticising rate was quoted in."""
    result: CriterionResult

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


_CUSHION, _DECOMPRESSION = (
    f"assumed: {INPUTS[name].otherwise}" for name in ("cushion", "decompression")
)


def _capacity(place: Place) -> tuple[Line, ...]:
    diameter = place.nominal("nominal_diameter")
    if not isfinite(diameter + place.nominal("stroke")):
        if not isfinite(place.nominal("swept_volume")):
            return ()
        return (Line("Stroke taken", "4 D", "assumed: only the swept volume is stated"),)
    area = screw_area(diameter)
    stroke = filling.shot_stroke(place.shot_volume(), area)
    cushion, decompression = place.nominal("cushion"), place.nominal("decompression")
    lines = place.line("Shot stroke", stroke, "length", "shot volume / screw area")
    if not isfinite(cushion):
        lines += place.line("Cushion", capacity.default_cushion(stroke), "length", _CUSHION)
    if not isfinite(decompression):
        assumed = capacity.default_decompression(diameter)
        lines += place.line("Decompression", assumed, "length", _DECOMPRESSION)
    return lines + _relief(place, area)


def _relief(place: Place, area: float) -> tuple[Line, ...]:
    """Say what stroke a hot runner's melt takes when it is let off, or that it is not counted."""
    if hot_runner_open(place.column.entered):
        given = "the hot runner's volume is not stated: its decompression is not included"
        return (Line("Hot-runner relief", ABSENT, given),)
    volume = place.nominal("hot_runner_volume")
    if not volume > 0.0:
        return ()
    given = "0.04 of the hot runner's volume / screw area; relieved from about 50 MPa, assumed"
    return place.line(
        "Hot-runner relief", capacity.hot_runner_relief(volume, area), "length", given
    )


def _residence(place: Place) -> tuple[Line, ...]:
    stated, diameter = place.row.stated, place.nominal("nominal_diameter")
    used = inventory_route(stated.barrel)
    lines: tuple[Line, ...] = ()
    for route in ("quoted", "geometry", "diameter_rule"):
        volume = inventory(stated, diameter if isfinite(diameter) else None, route)
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
    if not isfinite(by_factor):
        return lines
    given = "for comparison: 2 if the stroke is below 4 D, else 1.4, × swept volume / shot × cycle"
    text = value_text(place.result, by_factor, place.units)
    return (*lines, Line("By the factor method", text, given))


def _rate(place: Place) -> tuple[Line, ...]:
    """Say how the rate came from the one that was quoted, where that was in another resin."""
    rated = rated_resin(place.row.stated.barrel)
    if place.column.resin is None or rated in (None, place.column.resin.id):
        return ()
    quoted, share = place.nominal("plasticising_rate"), place.nominal("rate_conversion")
    lines = place.line(f"Rate as quoted, in {place.rated_in}", quoted, "mass_rate")
    if not isfinite(share):
        return lines
    least = "the smallest of 1, the ratio of melt densities and the inverse ratio of enthalpies"
    return (*lines, Line("Converted by", rounded(share), least))


def _recovery(place: Place) -> tuple[Line, ...]:
    mass, window = place.nominal("shot_mass"), place.nominal("cooling_window")
    time = recovery.recovery_time(mass, place.nominal("rate_in_resin"))
    lost = recovery.seconds_lost(time, window)
    lines = _rate(place) + place.line("Recovery time", time, "time")
    lines += place.line("Seconds lost in each cycle", lost, "time")
    limit = rotational_speed(
        place.nominal("nominal_diameter"), place.nominal("peripheral_speed_limit")
    )
    turning = min(limit, place.nominal("screw_speed_max"))
    rate = recovery.rate_at_speed(
        place.nominal("rate_in_resin"), place.nominal("rated_speed"), turning
    )
    at_limit = recovery.recovery_time(mass, rate)
    capped = ", the screw's highest" if turning < limit else ""
    lines += place.line(
        "Recovery at the resin's speed limit",
        at_limit,
        "time",
        with_unit(turning, "rotational_speed", place.units) + capped,
    )
    lines += place.line(
        "Seconds lost at that speed", recovery.seconds_lost(at_limit, window), "time"
    )
    return lines + _window(place)


def _window(place: Place) -> tuple[Line, ...]:
    """Show the routes to the window side by side, and what the cycle leaves at most."""
    window, job = place.column.window, place.column.entered
    if window is None:
        return ()
    lines = []
    for route in ("given", "cycle", "formula"):
        if route in window.routes:
            mark = "used" if route == window.taken else "beside"
            text = bound_text(_not_below_zero(window.routes[route]), "time", place.units)
            lines.append(Line(labels.WINDOW_ROUTES[route], text, mark))
    if window.cap is not None:
        text = bound_text(_not_below_zero(window.cap), "time", place.units)
        lines.append(Line("The cycle leaves at most", text, _cap_given(job, window.taken)))
    if window.cooling is not None:
        shape, target = job.cooling_shape or "plate", job.cooling_target or "centre"
        given = (
            "from the end of filling; the interval spans both diffusivities, and centre and mean "
            "temperature"
        )
        text = bound_text(window.cooling, "time", place.units)
        lines.append(Line(f"Cooling by formula: {shape}, {target}", text, given))
        lines += _behind_cooling(place)
    return tuple(lines)


def _not_below_zero(bound: Bound) -> Bound:
    """Return a time with its ends at 0 at least: no window is shorter than none."""
    return Bound(*(max(0.0, end) for end in (bound.nominal, bound.low, bound.high)))


def _behind_cooling(place: Place) -> list[Line]:
    """Show the data that the cooling time by formula is computed from."""
    job, resin = place.column.entered, place.column.resin
    of_resin: Path = () if resin is None else ("resins", resin.id)
    homes: tuple[tuple[Frozen | None, Path, tuple[str, ...]], ...] = (
        (job, ("jobs", job.id), ("wall_thickness", "melt_temperature", *_COOLED_TO)),
        (resin, of_resin, ("melt_temperature", *_COOLED_TO, *_DIFFUSIVITIES)),
    )
    found: dict[str, Line] = {}
    for thing, home, names in homes:
        for name in names:
            # What a job states goes before what its resin states.
            if thing is not None and name not in found and getattr(thing, name, None) is not None:
                found[name] = entered_line(thing, home, name)
    return list(found.values())


_COOLED_TO = ("mould_temperature", "ejection_temperature")
_DIFFUSIVITIES = ("diffusivity", "diffusivity_literature")


def _cap_given(job: Job, taken: WindowRoute | None) -> str:
    """Say what is taken off the cycle, and that nothing is assumed for the rest."""
    names = ("fill_time", "hold_time", "mould_motion_time")
    off = [labels.datum(name).lower() for name in names if getattr(job, name) is not None]
    text = " less ".join(["cycle", *off])
    return f"{text}; the longest the window can be, so a lower bound" if taken == "cap" else text


def _screw_speed(place: Place) -> tuple[Line, ...]:
    needed = recovery.needed_screw_speed(
        place.nominal("rated_speed"),
        place.nominal("shot_mass"),
        place.nominal("rate_in_resin"),
        place.nominal("cooling_window"),
    )
    highest = place.nominal("screw_speed_max")
    beyond = "beyond the highest: see recovery" if needed > highest else ""
    lines = place.line("Screw speed needed", needed, "rotational_speed", beyond)
    return _rate(place) + lines + _window(place)


def _filling(place: Place) -> tuple[Line, ...]:
    """Show what a rate that nobody stated is computed from."""
    job = place.column.entered
    if job.required_rate is not None or job.fill_time is None:
        return ()
    fill_time = entered_line(job, ("jobs", job.id), "fill_time")
    return (*place.line("Shot volume", place.shot_volume(), "volume"), fill_time)


def _power(place: Place) -> tuple[Line, ...]:
    return _filling(place) + _pressure(place)


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
            f"{estimated(shear, 'ratio', place.units)} 1/s",
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
    "rate": _filling,
    "power": _power,
}
"""What each criterion shows beside its inputs."""

NOTES: Mapping[str, tuple[str, ...]] = {
    "residence": ("A mean: some of the melt stays longer. The nozzle is not included.",),
    "recovery": (
        "Plasticising rates are usually measured at half the stroke: expect less at long strokes.",
        "In another resin the rate is limited by melt density and enthalpy, never raised.",
    ),
    "screw_speed": (
        "The rate is assumed to be proportional to the screw speed.",
        "A screw that stays within the limit at its highest speed is inside, whatever the window.",
    ),
    "repeatability": (
        "A lower bound: the closing of the check ring is not included. Within the limit it "
        "is therefore not stated, never inside.",
    ),
    "pressure": ("Peak melt pressure ahead of the screw tip; the quoted one is the highest.",),
    "ring_share": ("With an assumed ring travel the value is shown but no verdict is given.",),
}
"""What a reader should know of a criterion's method."""
