"""The picture of the job: barrels along a ruler of volume, as traces that only need drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.job_results import JobResult
from evenbarrel.appraisal.references import ShotRef, VolumeRef
from evenbarrel.appraisal.results import SEVERITY, BarrelResult
from evenbarrel.model.datum import si_of
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.trade.filling import shot_stroke_in_diameters
from evenbarrel.units import from_si
from evenbarrel.wording.on_demand import Deferred
from evenbarrel.wording.pictures.ruler_tips import (
    barrel_size_name,
    barrel_tip,
    mark_tip,
)
from evenbarrel.wording.pictures.scales import LINED, Axis, Scale, axis_over
from evenbarrel.wording.pictures.traces import BarrelTrace, Lane, Mark, ShotLine
from evenbarrel.wording.pictures.windows import Window, Windows, planned_windows
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import job_name, resin_called, supplier_name
from evenbarrel.wording.words.numbers import DisplayUnits, display_unit, unit_text, with_unit

LANE, GAP = 1.0, 0.8
"""Height of a lane and the gap between two barrels; the unit of every `y` in the picture."""


@dataclass(frozen=True, slots=True)
class RulerPicture:
    """Everything to draw, in display units along the axis.

    `shots` are lines through all barrels and `tint` the planned range behind; both are empty on a
    scale that each barrel reads in its own way. `notes` name the jobs that have no place.
    """

    scale: Scale
    axis: Axis
    shots: tuple[ShotLine, ...]
    tint: tuple[float, float] | None
    barrels: tuple[BarrelTrace, ...]
    height: float
    notes: tuple[str, ...]
    units: DisplayUnits
    appraisal: Appraisal = field(repr=False, compare=False)
    windows: Windows = field(repr=False, compare=False)

    def marks(self) -> tuple[Mark, ...]:
        """Return every mark in the order to draw them: where two meet, the worse lies on top."""
        found = (mark for barrel in self.barrels for mark in barrel.marks)
        return tuple(sorted(found, key=lambda mark: -SEVERITY.index(mark.state)))

    def tip(self, of: Mark | BarrelTrace) -> str:
        """Return what pointing at a mark or a barrel tells; worded only when somebody points."""
        if isinstance(of, Mark):
            return mark_tip(self.appraisal, of.barrel, of.job, self.units)
        return barrel_tip(self.appraisal.barrel(of.id), of.label, self.units)


def ruler(
    appraisal: Appraisal,
    scale: Scale,
    units: DisplayUnits = "metric",
    barrels: Sequence[str] | None = None,
    jobs: Sequence[str] | None = None,
    *,
    by_rule: bool = False,
    before: RulerPicture | None = None,
) -> RulerPicture:
    """Return the picture of `barrels` against `jobs`, each in the order given; None is all.

    With `by_rule` there is one lane for each rule of share. What is as in the picture `before` is
    taken from there.

    Raises KeyError for an unknown barrel, job or resin. Grams need the scale's resin to have an
    output factor; without one there is nothing along the axis.
    """
    shown_jobs = tuple(job.id for job in appraisal.jobs) if jobs is None else tuple(jobs)
    shown = tuple(b.id for b in appraisal.barrels) if barrels is None else tuple(barrels)
    known = None if before is None else before.windows
    planned = planned_windows(appraisal, shown_jobs, by_rule=by_rule, before=known)
    entered = {barrel.id: barrel for _, _, barrel in appraisal.evaluation.counting_barrels()}
    readings = {name: _reading(appraisal, scale, units, entered[name]) for name in shown}
    traces, top = [], GAP / 2.0
    for name in shown:
        trace = _trace(appraisal, entered[name], planned.windows, readings[name], scale, units, top)
        traces.append(trace)
        top = trace.bottom + GAP
    lines = _shot_lines(appraisal, scale, units, shown_jobs)
    return RulerPicture(
        scale=scale,
        axis=_axis(appraisal, scale, units, lines, traces),
        shots=lines,
        tint=_tint(lines),
        barrels=tuple(traces),
        height=max(top - GAP / 2.0, LANE),
        notes=_notes(appraisal, scale, shown_jobs),
        units=units,
        appraisal=appraisal,
        windows=planned,
    )


def _reading(
    appraisal: Appraisal, scale: Scale, units: DisplayUnits, barrel: Barrel
) -> float | None:
    """Return what one m3 in this barrel reads on the scale, or None where it cannot be read."""
    if scale.key == "share":
        swept = appraisal.barrel(barrel.id).swept.bound
        return None if swept is None else 100.0 / swept.nominal
    if scale.key == "diameters":
        diameter = si_of(barrel, "screw_diameter")
        return None if diameter is None else float(shot_stroke_in_diameters(1.0, diameter))
    return _common_reading(appraisal, scale, units)


def _common_reading(appraisal: Appraisal, scale: Scale, units: DisplayUnits) -> float | None:
    """Return what one m3 reads on a scale that is the same for every barrel."""
    if scale.key != "mass":
        return from_si(1.0, display_unit("volume", units), "volume")
    factor = None if scale.resin is None else appraisal.resins[scale.resin].factor
    return None if factor is None else from_si(factor, display_unit("mass", units), "mass")


def _trace(
    appraisal: Appraisal,
    entered: Barrel,
    windows: tuple[Window, ...],
    reading: float | None,
    scale: Scale,
    units: DisplayUnits,
    top: float,
) -> BarrelTrace:
    barrel = appraisal.barrel(entered.id)
    swept = barrel.swept.bound
    full, low, high = (
        (None, None, None)
        if swept is None or reading is None
        else (end * reading for end in (swept.nominal, swept.low, swept.high))
    )
    lanes = tuple(
        _lane(window, barrel, None if full is None else reading, top + LANE * (place + 0.5))
        for place, window in enumerate(windows)
    )
    placed = scale.key in LINED or full is not None
    return BarrelTrace(
        id=barrel.id,
        supplier=supplier_name(appraisal, barrel.id),
        name=barrel_size_name(appraisal, entered),
        top=top,
        bottom=top + LANE * max(1, len(lanes)),
        full=full,
        low=low,
        high=high,
        unsettled=barrel.swept.unsettled,
        lanes=lanes,
        # Made when the barrel is drawn: of many barrels few are in sight.
        marks=Deferred(lambda: _marks(appraisal, barrel, lanes, reading))
        if placed and reading is not None
        else (),
        note=_barrel_note(barrel, entered, scale, full),
        reference=VolumeRef(barrel.id),
    )


def _barrel_note(barrel: BarrelResult, entered: Barrel, scale: Scale, full: float | None) -> str:
    if not barrel.applies:
        return "the method does not apply to this unit"
    if barrel.swept.bound is None:
        return "swept volume not stated"
    if scale.key == "diameters" and entered.screw_diameter is None:
        return "screw diameter not stated"
    return "no output factor for this resin" if full is None else ""


def _lane(window: Window, barrel: BarrelResult, reading: float | None, y: float) -> Lane:
    allowed, comfort = window.allowed[barrel.id], window.comfort[barrel.id]
    if reading is None:
        return Lane(window.label, window.jobs, y, None, None, None, None, stated=False)
    low, high = (None, None) if allowed is None else (end * reading for end in allowed)
    easy_low, easy_high = (None, None) if comfort is None else (end * reading for end in comfort)
    stated = barrel.id not in window.unknown
    return Lane(window.label, window.jobs, y, low, high, easy_low, easy_high, stated)


SIZE = [CRITERIA.index(key) for key in ("capacity", "utilisation", "stroke")]


def _marks(
    appraisal: Appraisal, barrel: BarrelResult, lanes: tuple[Lane, ...], reading: float
) -> Iterator[Mark]:
    grid = appraisal.grid
    row = grid.row(barrel.id)
    full, columns = grid.in_full(row), grid.table.columns
    states, bindings = grid.state[row].tolist(), grid.binding[row].tolist()
    # For each criterion that binds the end of each job's shots that counts.
    ends: dict[int, list[int]] = {}
    # What size alone would make of each cell: a mark that is worse than its lane is named.
    by_size = grid.states[SIZE, row].min(axis=0).tolist()
    for lane in lanes:
        for job in lane.jobs:
            column = grid.column(job)
            binding = bindings[column]
            shot = appraisal.jobs[column].nominal
            if binding >= 0:
                if binding not in ends:
                    ends[binding] = full.assessments[binding].chosen[full.row].tolist()
                shot = columns[ends[binding][column]].shot or shot
            if shot is None or shot.volume is None:
                continue
            key = CRITERIA[binding] if binding >= 0 else ""
            worse = key and states[column] < by_size[column]
            yield Mark(
                barrel=barrel.id,
                job=job,
                end=shot.end,
                value=shot.volume.nominal * reading,
                low=shot.volume.low * reading,
                high=shot.volume.high * reading,
                y=lane.y,
                state=SEVERITY[states[column]],
                name=CRITERION_WORDS[key].short if worse else "",
                key=key or "capacity",
            )


def _shot_lines(
    appraisal: Appraisal, scale: Scale, units: DisplayUnits, jobs: tuple[str, ...]
) -> tuple[ShotLine, ...]:
    reading = _common_reading(appraisal, scale, units)
    if scale.key not in LINED or reading is None:
        return ()
    lines = []
    for name in jobs:
        job, called = appraisal.job(name), job_name(appraisal, name)
        own = scale.key == "mass" and job.resin != scale.resin
        for shot in job.shots:
            if shot.volume is None:
                continue
            label = called if shot.end == "nominal" else ""
            if own and label:
                # First, so that it stands even where a long name is cut.
                mass = with_unit(shot.mass.nominal, "mass", units)
                label = f"{' '.join((mass, _family(appraisal, job))).rstrip()} · {label}"
            volume = shot.volume
            lines.append(
                ShotLine(
                    name,
                    shot.end,
                    volume.nominal * reading,
                    volume.low * reading,
                    volume.high * reading,
                    label,
                    ShotRef(name),
                )
            )
    return tuple(lines)


def _family(appraisal: Appraisal, job: JobResult) -> str:
    resin = appraisal.evaluation.resin(job.resin)
    return "" if resin is None else resin.family or resin.name


def _tint(lines: tuple[ShotLine, ...]) -> tuple[float, float] | None:
    values = [line.value for line in lines]
    return (min(values), max(values)) if values else None


def _axis(
    appraisal: Appraisal,
    scale: Scale,
    units: DisplayUnits,
    lines: tuple[ShotLine, ...],
    traces: Sequence[BarrelTrace],
) -> Axis:
    resin = appraisal.evaluation.resin(scale.resin)
    of_resin = "no resin" if resin is None else resin_called(appraisal.evaluation, resin)
    volume, mass = (unit_text(display_unit(kind, units)) for kind in ("volume", "mass"))
    title, unit = {
        "volume": ("Shot volume", volume),
        "volume_log": ("Shot volume", volume),
        "share": ("Share of swept volume", "%"),
        "diameters": ("Shot stroke", "screw diameters"),
        "mass": (f"Shot mass in {of_resin}", mass),
    }[scale.key]
    values = [line.low for line in lines] + [line.high for line in lines]
    if scale.key not in LINED:
        values += [m.value for t in traces for m in t.marks]
    values += [lane.low for t in traces for lane in t.lanes if lane.low is not None]
    ends = [end for t in traces for end in (t.full, t.high) if end is not None]
    return axis_over(title, unit, scale.key == "volume_log", values, ends)


def _notes(appraisal: Appraisal, scale: Scale, jobs: tuple[str, ...]) -> tuple[str, ...]:
    absent = [
        job_name(appraisal, name)
        for name in jobs
        if not any(shot.volume for shot in appraisal.job(name).shots)
    ]
    return (f"Not shown here, shot volume not stated: {', '.join(absent)}.",) if absent else ()
