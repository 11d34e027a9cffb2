"""What stands beside a criterion's number: other routes to it, and what it means in seconds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import isfinite, nan

from evenbarrel.appraisal.inputs.barrel_inputs import Row, inventory, inventory_route, rated_resin
from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.appraisal.inputs.shots import hot_runner_open
from evenbarrel.appraisal.job_results import WindowRoute
from evenbarrel.appraisal.results import Bound, CriterionResult, ResinResult
from evenbarrel.appraisal.verdicts.assessment import Assessment
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum_path import Path
from evenbarrel.model.job import Job
from evenbarrel.trade import capacity, filling, recovery, residence
from evenbarrel.trade.geometry import rotational_speed, screw_area
from evenbarrel.trade.mould import cooling, flow
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
class Case:
    """One cell of a criterion, with its inputs, its result and the units they are shown in."""

    assessment: Assessment
    row: Row
    column: Column
    reading: int
    shot: int
    units: DisplayUnits
    rated_in: str
    """The resin that the plasticising rate was quoted in."""
    rated: ResinResult | None
    """Its data; None where it is not named."""
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
        return (Line(label, self.said(value, kind), given),)

    def said(self, value: float, kind: str) -> str:
        """Return a value in SI as it is shown, with its unit."""
        return with_unit(value, kind, self.units)


_CUSHION, _DECOMPRESSION = (
    f"assumed: {INPUTS[name].otherwise}" for name in ("cushion", "decompression")
)


def _capacity(case: Case) -> tuple[Line, ...]:
    diameter = case.nominal("nominal_diameter")
    if not isfinite(diameter + case.nominal("stroke")):
        if not isfinite(case.nominal("swept_volume")):
            return ()
        return (Line("Stroke taken", "4 D", "assumed: only the swept volume is stated"),)
    area = screw_area(diameter)
    stroke = filling.shot_stroke(case.shot_volume(), area)
    cushion, decompression = case.nominal("cushion"), case.nominal("decompression")
    lines = case.line("Shot stroke", stroke, "length", "shot volume / screw area")
    if not isfinite(cushion):
        lines += case.line("Cushion", capacity.default_cushion(stroke), "length", _CUSHION)
    if not isfinite(decompression):
        assumed = capacity.default_decompression(diameter)
        lines += case.line("Decompression", assumed, "length", _DECOMPRESSION)
    return lines + _relief(case, area)


def _relief(case: Case, area: float) -> tuple[Line, ...]:
    """Say what stroke a hot runner's melt takes when it is let off, or that it is not counted."""
    if hot_runner_open(case.column.entered):
        given = "the hot runner's volume is not stated: its decompression is not included"
        return (Line("Hot-runner relief", ABSENT, given),)
    volume = case.nominal("hot_runner_volume")
    if not volume > 0.0:
        return ()
    given = "0.04 of the hot runner's volume / screw area; relieved from about 50 MPa, assumed"
    return case.line("Hot-runner relief", capacity.hot_runner_relief(volume, area), "length", given)


def _residence(case: Case) -> tuple[Line, ...]:
    stated, diameter = case.row.stated, case.nominal("nominal_diameter")
    used = inventory_route(stated.barrel)
    lines: tuple[Line, ...] = ()
    for route in ("quoted", "geometry", "diameter_rule"):
        volume = inventory(stated, diameter if isfinite(diameter) else None, route)
        if volume is not None:
            mark = "used" if route == used else "beside"
            label = f"Inventory {labels.INVENTORY_ROUTES[route]}"
            lines += case.line(label, volume, "volume", mark)
    by_factor = residence.residence_by_factor(
        case.nominal("swept_volume"),
        case.shot_volume(),
        case.nominal("stroke") / diameter,
        case.nominal("cycle_time"),
    )
    if not isfinite(by_factor):
        return lines
    given = (
        "for comparison, common practice, no source: swept volume / shot volume × cycle time × 2 "
        "where the barrel's whole stroke is below 4 D, else × 1.4"
    )
    text = value_text(case.result, by_factor, case.units)
    return (*lines, Line("By the factor method", text, given))


def _rate(case: Case) -> tuple[Line, ...]:
    """Say how the rate came from the one that was quoted, where that was in another resin."""
    rated = rated_resin(case.row.stated.barrel)
    if case.column.resin is None or rated in (None, case.column.resin.id):
        return ()
    quoted, share = case.nominal("plasticising_rate"), case.nominal("rate_conversion")
    lines = case.line(f"Rate as quoted, in {case.rated_in}", quoted, "mass_rate")
    if not isfinite(share):
        return lines
    least = "the smallest of 1, the ratio of melt densities and the inverse ratio of enthalpies"
    return (*lines, Line("Converted by", rounded(share), least), *_ratios(case))


def _ratios(case: Case) -> tuple[Line, ...]:
    """Show what a rate in another resin is limited by."""
    run, rated = case.column.result, case.rated
    if run is None or rated is None:
        return ()
    ratios = (
        ("Ratio of melt densities", run.melt_density, rated.melt_density, "density"),
        ("Inverse ratio of enthalpies", rated.enthalpy, run.enthalpy, "enthalpy"),
    )
    return tuple(
        Line(label, rounded(above / below), f"{case.said(above, kind)} / {case.said(below, kind)}")
        for label, above, below, kind in ratios
        if above and below
    )


def _recovery(case: Case) -> tuple[Line, ...]:
    mass, window = case.nominal("shot_mass"), case.column.window
    longest = nan if window is None or window.longest is None else window.longest
    time = recovery.recovery_time(mass, case.nominal("rate_in_resin"))
    lost = recovery.seconds_lost(time, longest)
    lines = _rate(case) + case.line("Recovery time", time, "time")
    by_formula = window is not None and window.taken == "formula" and window.cap is not None
    than = "recovery time less all that the cycle leaves" if by_formula else ""
    lines += case.line("Seconds lost in each cycle", lost, "time", than)
    limit = rotational_speed(
        case.nominal("nominal_diameter"), case.nominal("peripheral_speed_limit")
    )
    turning = min(limit, case.nominal("screw_speed_max"))
    rate = recovery.rate_at_speed(
        case.nominal("rate_in_resin"), case.nominal("rated_speed"), turning
    )
    at_limit = recovery.recovery_time(mass, rate)
    capped = ", the screw's highest" if turning < limit else ""
    lines += case.line(
        "Recovery at the resin's speed limit",
        at_limit,
        "time",
        with_unit(turning, "rotational_speed", case.units) + capped,
    )
    lines += case.line(
        "Seconds lost at that speed", recovery.seconds_lost(at_limit, longest), "time"
    )
    return lines + _window(case)


def _window(case: Case) -> tuple[Line, ...]:
    """Show the routes to the window side by side, and what the cycle leaves at most."""
    window, job = case.column.window, case.column.entered
    if window is None:
        return ()
    lines = []
    for route in ("given", "cycle", "formula"):
        if route in window.routes:
            mark = "used" if route == window.taken else "beside"
            if mark == "used" and route == "formula" and window.cap is not None:
                mark = "used; the mould may stay shut for all that the cycle leaves"
            text = bound_text(_not_below_zero(window.routes[route]), "time", case.units)
            lines.append(Line(labels.WINDOW_ROUTES[route], text, mark))
    if window.cap is not None:
        text = bound_text(_not_below_zero(window.cap), "time", case.units)
        lines.append(Line("The cycle leaves at most", text, _cap_given(job, window.taken)))
        names = ("cycle_time", *(name for name in _OFF_THE_CYCLE if getattr(job, name) is not None))
        lines += [entered_line(job, ("jobs", job.id), name) for name in names]
    if window.cooling is not None:
        shape, target = job.cooling_shape or "plate", job.cooling_target or "centre"
        given = (
            f"{_cooling_formula(shape, target)}, from the end of filling; the interval spans both "
            "diffusivities, and centre and mean temperature"
        )
        text = bound_text(window.cooling, "time", case.units)
        label = f"Cooling by formula: {shape}, {target}"
        lines.append(Line(label, text, given, source="menges_mohren"))
        lines += _behind_cooling(case)
    return tuple(lines)


def _cooling_formula(shape: cooling.Shape, target: cooling.Target) -> str:
    """Return the first term of the series, solved for the time."""
    size = "wall²" if shape == "plate" else "diameter²"
    ratio = "(melt − mould) / (ejection − mould)"
    return f"{size} / ({_DECAYS[shape]} × diffusivity) × ln[{_LEADS[shape, target]} × {ratio}]"


_DECAYS: Mapping[cooling.Shape, str] = {
    "plate": "π²",
    "cylinder": f"{4 * cooling.DECAY['cylinder']:.4g}",
}
_LEADS: Mapping[tuple[cooling.Shape, cooling.Target], str] = {
    ("plate", "centre"): "4/π",
    ("plate", "mean"): "8/π²",
    ("cylinder", "centre"): f"{cooling.LEAD['cylinder', 'centre']:.4g}",
    ("cylinder", "mean"): f"{cooling.LEAD['cylinder', 'mean']:.4g}",
}
"""What `trade.mould.cooling` computes with, as it is printed."""


def _not_below_zero(bound: Bound) -> Bound:
    """Return a time with its ends at 0 at least: no window is shorter than none."""
    return Bound(*(max(0.0, end) for end in (bound.nominal, bound.low, bound.high)))


def _behind_cooling(case: Case) -> list[Line]:
    """Show the data that the cooling time by formula is computed from."""
    job, resin = case.column.entered, case.column.resin
    of_resin: Path = () if resin is None else ("resins", resin.id)
    homes: tuple[tuple[Frozen | None, Path, tuple[str, ...]], ...] = (
        (job, ("jobs", job.id), ("wall_thickness", *_COOLED_TO)),
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


_OFF_THE_CYCLE = ("fill_time", "hold_time", "mould_motion_time")


def _cap_given(job: Job, taken: WindowRoute | None) -> str:
    """Say what is taken off the cycle, and that nothing is assumed for the rest."""
    off = [labels.datum(name).lower() for name in _OFF_THE_CYCLE if getattr(job, name) is not None]
    text = " less ".join(["cycle", *off])
    return f"{text}; the longest the window can be, so a lower bound" if taken == "cap" else text


def _screw_speed(case: Case) -> tuple[Line, ...]:
    needed = recovery.needed_screw_speed(
        case.nominal("rated_speed"),
        case.nominal("shot_mass"),
        case.nominal("rate_in_resin"),
        case.nominal("cooling_window"),
    )
    highest = case.nominal("screw_speed_max")
    beyond = "beyond the highest: see recovery" if needed > highest else ""
    lines = case.line("Screw speed needed", needed, "rotational_speed", beyond)
    return _rate(case) + lines + _window(case)


def _filling(case: Case) -> tuple[Line, ...]:
    """Show what a rate that nobody stated is computed from."""
    job = case.column.entered
    if job.required_rate is not None or job.fill_time is None:
        return ()
    fill_time = entered_line(job, ("jobs", job.id), "fill_time")
    return (*case.line("Shot volume", case.shot_volume(), "volume"), fill_time)


def _power(case: Case) -> tuple[Line, ...]:
    return _filling(case) + _pressure(case)


def _pressure(case: Case) -> tuple[Line, ...]:
    if case.nominal("required_pressure_estimated") == 0 or case.column.resin is None:
        return ()
    law, job = case.column.resin.power_law, case.column.entered
    wall, width = job.flow_wall or job.wall_thickness, job.flow_width
    if law is None or wall is None or width is None:
        return ()
    through_one = case.nominal("filling_rate") / (job.cavities or 1)
    shear = flow.wall_shear_rate(through_one, width.si("length"), wall.si("length"), law.n)
    path = "flow_wall" if job.flow_wall else "wall_thickness"
    return (
        *(
            entered_line(job, ("jobs", job.id), name)
            for name in ("flow_length", "flow_width", path)
        ),
        Line(
            "Power law",
            f"K {rounded(law.k)} Pa sⁿ, n {rounded(law.n)}",
            _law_given(case),
            source="rao_schumacher",
        ),
        Line(
            "Wall shear rate of the flow screen",
            f"{estimated(shear, 'ratio', case.units)} 1/s",
            "a screening estimate: isothermal slit, no freezing layer",
            source="osswald",
        ),
    )


def _law_given(case: Case) -> str:
    resin = case.column.resin
    law = None if resin is None else resin.power_law
    if resin is None or law is None:
        return ""
    at = f"at {printed(law.temperature)}, shifted to the melt temperature"
    return f"{at}; {labels.ORIGINS[resin.origins.get('power_law')]}"


BESIDE: Mapping[str, Callable[[Case], tuple[Line, ...]]] = {
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
