"""Cost over life of each barrel, with the jobs it runs as the only one, by its parts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from evenbarrel.appraisal.references import AmountRef, MachineRef, RunsRef
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.wording.sentences.deciding.choice import (
    NOT_COUNTED,
    basis_line,
    common_missing,
    known_and_undecided,
)
from evenbarrel.wording.sheets.decision.cells import (
    NAMING,
    NEEDED,
    amount_cell,
    missing_cell,
    missing_list,
    named,
    place_of_datum,
)
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, count_cell
from evenbarrel.wording.words import amounts as words

TITLE = "Cost over life"
_JOBS = len(NAMING) + 1
"""The column of jobs."""


def of_cost(barrel: str, name: str) -> AmountRef:
    """Return which amount of a barrel's cost over life, with the jobs it runs alone."""
    return AmountRef("cost", (MachineRef(barrel),), name)


def runs_alone(barrel: str, of: Literal["jobs", "machines"]) -> RunsRef:
    """Return how many jobs a barrel runs alone, or of how many machines that takes."""
    return RunsRef((MachineRef(barrel),), of)


def jobs_cell(decision: Decision, barrel: str) -> Cell:
    """Return how many jobs a barrel runs alone, the undecided ones apart."""
    return jobs_of_cell(decision, [decision.cost[barrel]], runs_alone(barrel, "jobs"))


def jobs_of_cell(
    decision: Decision, costs: Sequence[LifeCost], opens: RunsRef | None = None
) -> Cell:
    """Return how many jobs machines run together, the undecided ones apart."""
    jobs = sum(len(cost.jobs) for cost in costs)
    text = known_and_undecided(decision, ((cost.barrel, cost.jobs) for cost in costs))
    if text == str(jobs):
        return count_cell(jobs, opens)
    return Cell(text, tip=words.JOBS_UNDECIDED, reference=opens)


def cost_sheet(decision: Decision) -> Sheet:
    """Return the cost over life of each barrel, in the order of the file."""
    currency = decision.appraisal.evaluation.currency
    headings = (
        *NAMING,
        Heading("Not stated", tip="Items that are not stated for any of them are listed below"),
        Heading("Jobs", "run", "right", "Jobs that are not outside on it and not pinned elsewhere"),
        Heading("Machines", "needed", "right", NEEDED),
        Heading("Cost over life", currency, "right", words.NAMES["present"]),
        Heading("A year", currency, "right", words.NAMES["yearly"], yields=1),
        *(
            Heading(title, currency, "right", words.PART_MEANINGS[part], yields=2)
            for part, title in words.PARTS.items()
        ),
    )
    common = common_missing(decision)
    rows = tuple(_row(decision, cost, common) for cost in decision.cost.values())
    notes = [basis_line(decision), words.MARKED]
    if any(row[_JOBS].tip for row in rows):
        notes += [words.JOBS_UNDECIDED, words.COSTS_UNDECIDED]
    if common:
        notes.append(f"Common items, not stated for any of them: {missing_list(common)}.")
    notes.append("Barrels that run other jobs are not compared by cost.")
    return Sheet("life_cost", TITLE, headings, rows, notes=(*notes, NOT_COUNTED))


def _row(decision: Decision, cost: LifeCost, common: tuple[str, ...]) -> tuple[Cell, ...]:
    barrel = cost.barrel
    own = tuple(name for name in cost.missing if name not in common)
    return (
        *named(decision, barrel),
        missing_cell(own, place_of_datum(decision, barrel, own), all_lack=bool(common)),
        jobs_cell(decision, barrel),
        count_cell(cost.copies, runs_alone(barrel, "machines")),
        amount_cell(cost.present, of_cost(barrel, "present")),
        amount_cell(cost.yearly, of_cost(barrel, "yearly")),
        *(amount_cell(cost.parts[part], of_cost(barrel, part)) for part in words.PARTS),
    )
