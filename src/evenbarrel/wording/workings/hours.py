"""How the hours of one machine of a set came about, and those of one job on it."""

from __future__ import annotations

from collections.abc import Iterator
from math import isnan

from evenbarrel.appraisal.references import CriterionRef, HoursRef, JobHoursRef
from evenbarrel.decision.decide import Decision
from evenbarrel.model.datum_path import Path
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import percent, rounded, whole_amount
from evenbarrel.wording.workings.line import Line, Working, entered_line, literature

NOT_STATED = "not stated"


def hours_working(decision: Decision, reference: HoursRef) -> Working:
    """Return what fills a machine's busiest year; raises KeyError where it is no longer there."""
    appraisal, programme = decision.appraisal, decision.costs.programme
    row = programme.row_of(reference.barrel)
    shares = [(appraisal.grid.column(job), share) for job, share in reference.shares]
    by_year = programme.by_year(row, shares)
    busiest = int(by_year.argmax())
    hours, year = float(by_year[busiest]), programme.calendar_year(busiest)
    there = decision.basis.hours_available(decision.basis.by_id[reference.barrel].unit)
    unlimited = [
        job for job, _ in reference.shares if programme.unlimited[appraisal.grid.column(job)]
    ]
    beside = "hours available not stated" if there is None else f"{there:.0f} h available"
    used = "" if not there else f", {percent(hours / there)} of them"
    notes = [f"Of {len(by_year)} years the one with most hours" + _named(year) + "."]
    if unlimited:
        names = ", ".join(job_name(appraisal, job) for job in unlimited)
        notes.insert(0, f"Parts or hours a year not stated, and not included: {names}.")
    return Working(
        title=f"Hours used in a year: {full_name(appraisal, reference.barrel)}, "
        f"No. {reference.copy_number}",
        result=f"{hours:.0f} h; {beside}{used}",
        formula="Σ share of the job run here × hours that the job takes on this machine, "
        "over the jobs that run in that year",
        lines=(*_jobs(decision, reference, busiest), _available(decision, reference.barrel)),
        notes=tuple(notes),
        literature=(literature("definition"),),
    )


def _named(year: int | None) -> str:
    return "" if year is None else f": {year}"


def _jobs(decision: Decision, reference: HoursRef, busiest: int) -> Iterator[Line]:
    programme, row = decision.costs.programme, decision.costs.programme.row_of(reference.barrel)
    for job, share in reference.shares:
        column = decision.appraisal.grid.column(job)
        whole, runs = float(programme.hours[row, column]), bool(programme.running[busiest, column])
        value = NOT_STATED if programme.unlimited[column] else f"{share * whole * runs:.0f} h"
        said = "does not run in that year" if not runs else ""
        if runs and share < 1.0 - 1e-9 and not programme.unlimited[column]:
            said = f"{percent(share)} of {whole:.0f} h"
        name = job_name(decision.appraisal, job)
        yield Line(name, value, said, JobHoursRef(reference.barrel, job))


def _available(decision: Decision, barrel: str) -> Line:
    """Return the hours that a machine may run: its own, or those that the plant has for each."""
    unit = decision.basis.by_id[barrel].unit
    path = decision.appraisal.evaluation.barrel_path(barrel)[:4]
    if unit.hours_available is not None:
        return entered_line(unit, path, "hours_available")
    return _of_basis(decision, "hours_available")


def _of_basis(decision: Decision, field: str) -> Line:
    cost, path = decision.appraisal.evaluation.cost, ("cost", field)
    if getattr(cost, field) is None:
        return Line(labels.datum(field), NOT_STATED, path=path, is_entered=False)
    return entered_line(cost, ("cost",), field)


def job_hours_working(decision: Decision, reference: JobHoursRef) -> Working:
    """Return what one job takes in a year; raises KeyError where it is no longer there."""
    appraisal, programme = decision.appraisal, decision.costs.programme
    row, column = programme.row_of(reference.barrel), appraisal.grid.column(reference.job)
    hours = float(programme.hours[row, column])
    by_parts = bool(programme.by_quantity[column]) and not isnan(programme.cycle[column])
    lines = _by_parts(decision, reference) if by_parts else _by_hours(decision, reference)
    where = full_name(appraisal, reference.barrel)
    return Working(
        title=f"Hours in a year: {job_name(appraisal, reference.job)} on {where}",
        result=NOT_STATED if isnan(hours) else f"{hours:.0f} h",
        formula="shots × (cycle + lost per cycle) / 3600 / OEE + changeovers × changeover time"
        if by_parts
        else "hours as stated × (cycle + lost per cycle) / cycle",
        lines=tuple(lines),
        literature=(literature("definition"),),
    )


def _by_parts(decision: Decision, reference: JobHoursRef) -> Iterator[Line]:
    evaluation, programme = decision.appraisal.evaluation, decision.costs.programme
    column = decision.appraisal.grid.column(reference.job)
    job, home = evaluation.job(reference.job), ("jobs", reference.job)
    cavities = f"{programme.cavities[column]:g} parts a shot"
    shots = whole_amount(float(programme.shots[column]))
    yield Line("Shots in a year", shots, cavities, path=(*home, "annual_quantity"))
    yield entered_line(job, home, "cycle_time")
    yield _lost(decision, reference)
    assumed = "" if evaluation.cost.oee is not None else "not stated: the usual share"
    oee, path = percent(decision.basis.oee), ("cost", "oee")
    yield Line("OEE without changeovers", oee, assumed, path=path, is_entered=not assumed)
    batches = job.batches_per_year
    yield _count("Changeovers a year", batches, (*home, "batches_per_year"))
    yield _of_basis(decision, "change_time")


def _by_hours(decision: Decision, reference: JobHoursRef) -> Iterator[Line]:
    job, home = decision.appraisal.evaluation.job(reference.job), ("jobs", reference.job)
    for field in ("hours_per_year", "cycle_time"):
        if getattr(job, field) is None:
            yield Line(labels.datum(field), NOT_STATED, path=(*home, field), is_entered=False)
        else:
            yield entered_line(job, home, field)
    yield _lost(decision, reference)


def _count(label: str, value: float | None, path: Path) -> Line:
    if value is None:
        return Line(label, f"{NOT_STATED}, counted as none", path=path, is_entered=False)
    return Line(label, f"{value:g}", path=path)


def _lost(decision: Decision, reference: JobHoursRef) -> Line:
    """Return what each cycle is longer, and where that comes from."""
    programme = decision.costs.programme
    row = programme.row_of(reference.barrel)
    column = decision.appraisal.grid.column(reference.job)
    stated = not isnan(programme.stated_seconds_lost[row, column])
    ours = bool(programme.lost_is_ours[row, column])
    said = "" if stated else "not stated, nothing is counted"
    said = "not stated: the most that another states is counted" if ours else said
    value = f"{rounded(float(programme.seconds_lost[row, column]))} s"
    opens = CriterionRef(reference.barrel, reference.job, "recovery")
    return Line("Lost per cycle", value, said, opens)
