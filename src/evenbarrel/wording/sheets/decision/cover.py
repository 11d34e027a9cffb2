"""Sets of machines side by side, and one of them with who runs what."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from evenbarrel.appraisal.references import AmountRef, HoursRef, MachineRef, RunsRef
from evenbarrel.decision.cover.covers import Cover
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.wording.sentences.deciding.choice import (
    NOT_CHECKED,
    WHY,
    copies_line,
    gap_line,
    machines_text,
    needed_line,
    over_life,
)
from evenbarrel.wording.sheets.decision.cells import amount_cell, missing_list
from evenbarrel.wording.sheets.decision.cost import jobs_of_cell
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, without_columns
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import barrel_name, full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT, percent

TITLE = "Sets of machines"
_OF_ONE_SET = frozenset({"Not run", "Runner-up", "Its cost"})
NOTHING_BOUGHT = "nothing (today's plant)"


def of_machines(costs: Sequence[LifeCost], name: str) -> AmountRef:
    """Return which amount of machines together, each with the jobs it runs."""
    machines = tuple(MachineRef(cost.barrel, cost.jobs, cost.copies) for cost in costs)
    return AmountRef("cost", machines, name)


def machines_of(costs: Sequence[LifeCost]) -> RunsRef:
    """Return how many machines together run their jobs."""
    return RunsRef(of_machines(costs, "bought").machines, "machines")


def cover_sheet(decision: Decision, covers: Sequence[Cover]) -> Sheet:
    """Return the best set of each number of machines, beside it the runner-up."""
    currency = decision.appraisal.evaluation.currency
    jobs = len(decision.appraisal.jobs)
    headings = (
        Heading("Bought", tip="The most machines that are bought"),
        Heading("Machines"),
        Heading("Jobs run", f"of {jobs}", "right"),
        Heading("Gate"),
        Heading("Price", currency, "right", "Of the machines bought"),
        Heading("Cost over life", currency, "right", "Of the whole set"),
        Heading("A year", currency, "right", yields=1),
        Heading("Not run"),
        Heading("Runner-up", yields=2),
        Heading("Its cost", currency, "right", yields=2),
    )
    rows = tuple(_row(decision, cover, covers) for cover in covers)
    why = filter(None, (copies_line(decision),))
    notes = [needed_line(decision), *why, *_notes(decision, covers), NOT_CHECKED]
    return Sheet("cover", TITLE, headings, rows, notes=tuple(notes))


def sets_sheet(decision: Decision, covers: Sequence[Cover]) -> Sheet:
    """Return the same without what a set's own sheet tells: its runner-up, what it leaves."""
    return without_columns(cover_sheet(decision, covers), _OF_ONE_SET)


def _row(decision: Decision, cover: Cover, covers: Sequence[Cover]) -> tuple[Cell, ...]:
    other = cover.runner_up
    not_run = not_run_text(decision, cover)
    same = next((one for one in covers if one.same_machines(cover)), cover)
    words, short = machines_text(decision, cover), _short(decision, cover)
    cost = [Cell(ABSENT)] * 3
    if cover.costs:
        cost = [
            amount_cell(amount, of_machines(cover.costs, name))
            for amount, name in (
                (decision.price_of(cover.costs), "bought"),
                (cover.present, "present"),
                (cover.yearly, "yearly"),
            )
        ]
    return (
        Cell(bought_text(cover)),
        Cell(short if same is cover else f"as for {bought_text(same)}", tip=words),
        jobs_of_cell(decision, cover.costs, _jobs_run(cover)),
        Cell(labels.GATES[cover.gate]),
        *cost,
        Cell(not_run or "none", tip=not_run),
        Cell(ABSENT)
        if other is None
        else Cell(_short(decision, other), tip=machines_text(decision, other)),
        Cell(ABSENT)
        if other is None or not other.costs
        else amount_cell(other.present, of_machines(other.costs, "present")),
    )


def _jobs_run(cover: Cover) -> RunsRef:
    """Return which jobs the machines of a set run."""
    jobs_of: dict[str, dict[str, None]] = {barrel: {} for barrel, _ in cover.barrels}
    for run in cover.runs:
        jobs_of[run.barrel][run.job] = None
    machines = (MachineRef(b, tuple(jobs_of[b]), copies) for b, copies in cover.barrels)
    return RunsRef(tuple(machines), "jobs")


def bought_text(cover: Cover) -> str:
    """Return how many machines a set may buy."""
    return NOTHING_BOUGHT if cover.machines == 0 else f"at most {cover.machines}"


def _short(decision: Decision, cover: Cover) -> str:
    """Return the machines of a set: with their suppliers where others have a screw called alike."""
    appraisal = decision.appraisal
    called = Counter(barrel_name(appraisal, barrel.id) for barrel in appraisal.barrels)
    machines = []
    for barrel, copies in cover.barrels:
        name = barrel_name(appraisal, barrel)
        name = name if called[name] == 1 else full_name(appraisal, barrel)
        machines.append(f"{copies} × {name}")
    return "; ".join(machines) or "none"


def first_to_see(covers: Sequence[Cover]) -> int:
    """Return the place of the set to be looked at first: the fewest that run the most jobs."""
    return min(range(len(covers)), key=lambda n: (len(covers[n].uncovered), covers[n].machines))


def not_run_text(decision: Decision, cover: Cover) -> str:
    """Return which jobs nobody runs, each with why."""
    by_why: dict[str, list[str]] = {}
    for job, why in cover.uncovered:
        by_why.setdefault(WHY[why], []).append(job_name(decision.appraisal, job))
    return ". ".join(f"{'; '.join(names)}: {why}" for why, names in by_why.items())


def _notes(decision: Decision, covers: Sequence[Cover]) -> list[str]:
    notes = list(dict.fromkeys(line for line in map(gap_line, covers) if line))
    lacking = dict.fromkeys(name for cover in covers for name in cover.missing)
    if lacking:
        notes.append(f"Not stated, so no set is proven the best: {missing_list(lacking)}.")
    priced = [cover for cover in covers if cover.fully_priced is not None]
    notes += [
        f"At most {cover.machines} bought, every price stated: "
        f"{machines_text(decision, cover.fully_priced)}."
        for cover in priced
        if cover.fully_priced is not None
    ]
    return notes


def who_runs_what_sheet(decision: Decision, cover: Cover) -> Sheet:
    """Return the machines of one set: what each runs, and the hours that takes."""
    headings = (
        Heading("Machine"),
        Heading("No.", align="right", tip="Which of several identical machines"),
        Heading("Hours used", "h/year", "right", "In its busiest year"),
        Heading("Hours available", "h/year", "right"),
        Heading("Used", "%", "right"),
        Heading("Runs"),
    )
    rows = []
    # The copies of one machine stand together, the first first.
    order = {barrel: place for place, (barrel, _) in enumerate(cover.barrels)}
    for barrel, copy, hours in sorted(cover.hours, key=lambda one: (order[one[0]], one[1])):
        unit = decision.basis.by_id[barrel].unit
        there = decision.basis.hours_available(unit)
        used = None if not there else hours / there
        is_partial = _lacks_hours(decision, cover, barrel, copy)
        opens = _of_hours(cover, barrel, copy)
        runs = runs_text(decision, cover, barrel, copy)
        rows.append(
            (
                Cell(full_name(decision.appraisal, barrel)),
                Cell(str(copy), float(copy)),
                _hours_cell(opens, f"{hours:.0f}", hours, is_partial, shown=hours > 0.0),
                Cell(ABSENT if there is None else f"{there:.0f}", there, reference=opens),
                _hours_cell(opens, percent(used), used, is_partial, shown=bool(used)),
                Cell(runs, tip=runs),
            )
        )
    return Sheet(
        "who_runs_what", "Who runs what", headings, tuple(rows), notes=_of_set(decision, cover)
    )


def _lacks_hours(decision: Decision, cover: Cover, barrel: str, copy: int) -> bool:
    """Say whether one machine runs a job whose hours nobody can tell."""
    is_partial = dict(
        zip(decision.appraisal.grid.job_ids, decision.costs.programme.unlimited, strict=True)
    )
    return any(
        is_partial[run.job] for run in cover.runs if (run.barrel, run.copy) == (barrel, copy)
    )


def _of_hours(cover: Cover, barrel: str, copy: int) -> HoursRef:
    own = (run for run in cover.runs if (run.barrel, run.copy) == (barrel, copy))
    return HoursRef(barrel, copy, tuple((run.job, run.share) for run in own))


def _hours_cell(
    opens: HoursRef, text: str, value: float | None, is_partial: bool, *, shown: bool
) -> Cell:
    """Return what is known of hours, marked where a job's are not: 0 is no number of them."""
    if not is_partial:
        return Cell(text, value, reference=opens)
    return Cell(f"{text} + ?", value, reference=opens) if shown else Cell(ABSENT, reference=opens)


def _of_set(decision: Decision, cover: Cover) -> tuple[str, ...]:
    """Return what nobody runs in a set, from when on, and what comes next to it."""
    notes = []
    not_run = not_run_text(decision, cover)
    if not_run:
        notes.append(f"Not run: {not_run}.")
    if cover.first_broken_year is not None:
        notes.append(f"First year in which a job is not run: {cover.first_broken_year}.")
    if cover.runner_up is not None:
        gate = labels.GATES[cover.runner_up.gate]
        cost = over_life(decision, cover.runner_up)
        notes.append(f"Runner-up: {machines_text(decision, cover.runner_up)}; {gate}; {cost}.")
    return tuple(notes)


def runs_text(decision: Decision, cover: Cover, barrel: str, copy: int) -> str:
    """Return the jobs that one machine runs, each with its share where it is not whole."""
    names = []
    for run in cover.runs:
        if (run.barrel, run.copy) == (barrel, copy):
            share = "" if run.share > 1.0 - 1e-9 else f" ({percent(run.share)})"
            names.append(f"{job_name(decision.appraisal, run.job)}{share}")
    return "; ".join(names)
