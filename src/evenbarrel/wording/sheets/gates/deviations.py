"""Cells that are outside by rule or by a resin's limit, and what named persons decided on them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.appraisal.results import CriterionResult
from evenbarrel.model.record.decision import Deviation
from evenbarrel.wording.sentences.cells import date_text, limit_text, value_text
from evenbarrel.wording.sentences.deciding.decision import ALL_JOBS
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS, criterion_label
from evenbarrel.wording.words.names import barrel_name, full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT

STANDINGS = ("waits for a decision", "beyond a resin's limit", "accepted", "will not be waived")
ENDED = ", ended"
NO_DAY = ", has no effect: the evaluation has no date"


def groups(deviations: Sequence[Deviation]) -> tuple[tuple[int, ...], ...]:
    """Return the places of decisions that differ in the job alone, each group together."""
    found: dict[object, list[int]] = {}
    for place, one in enumerate(deviations):
        # What holds for every job is told by itself.
        key = (one.job is None, one.replace(job=None))
        found.setdefault(key, []).append(place)
    return tuple(tuple(places) for places in found.values())


def deviations_sheet(appraisal: Appraisal) -> Sheet:
    """Return what named persons accepted or refused, a row for each barrel and criterion."""
    headings = (
        Heading("Barrel"),
        Heading("Job"),
        Heading("Criterion"),
        Heading("Decision"),
        Heading("Reason"),
        Heading("Person", yields=2),
        Heading("Role", yields=3),
        Heading("Date", yields=3),
        Heading("Condition", yields=1),
        Heading("Until", yields=1),
    )
    entered = appraisal.evaluation.deviations
    rows = tuple(_row(appraisal, [entered[n] for n in places]) for places in groups(entered))
    return Sheet("deviations", "Deviations accepted or refused", headings, rows)


def _row(appraisal: Appraisal, alike: Sequence[Deviation]) -> tuple[Cell, ...]:
    one = alike[0]
    jobs = "; ".join(job_name(appraisal, d.job) for d in alike if d.job is not None)
    return (
        Cell(full_name(appraisal, one.barrel)),
        Cell(jobs or ALL_JOBS, tip=jobs),
        Cell(criterion_label(one.criterion)),
        Cell(STANDINGS[3] if one.refused else STANDINGS[2]),
        Cell(one.reason or ABSENT, tip=one.reason),
        Cell(one.person or ABSENT),
        Cell(labels.choice(one.role) if one.role else ABSENT),
        Cell(date_text(one.date)),
        Cell(one.condition or ABSENT, tip=one.condition),
        Cell(f"{date_text(one.until)}{_run_out(appraisal, one)}"),
    )


def _run_out(appraisal: Appraisal, one: Deviation) -> str:
    """Return why a decision with an end does not hold, or nothing."""
    as_of = appraisal.evaluation.as_of
    if one.until is None:
        return ""
    if as_of is None:
        return NO_DAY
    return ENDED if one.until < as_of else ""


def to_decide_sheet(appraisal: Appraisal, cells: Iterable[CriterionRef]) -> Sheet:
    """Return cells in which a person may decide, each with value, rule and what was decided."""
    headings = (
        Heading("Barrel"),
        Heading("Job"),
        Heading("Criterion"),
        Heading("Value", align="right"),
        Heading("Rule or limit"),
        Heading("Status"),
    )
    rows = tuple(_to_decide(appraisal, cell) for cell in cells)
    return Sheet("to_decide", "Outside by rule or by a resin's limit", headings, rows)


def _to_decide(appraisal: Appraisal, cell: CriterionRef) -> tuple[Cell, ...]:
    units = appraisal.evaluation.display_units
    fit = appraisal.fit(cell.barrel, cell.job)
    result = fit.criterion(cell.criterion)
    return (
        Cell(full_name(appraisal, cell.barrel)),
        Cell(job_name(appraisal, cell.job)),
        Cell(CRITERION_WORDS[cell.criterion].label),
        Cell(value_text(result, result.value, units), result.value),
        Cell(limit_text(result, units) if result.unit else "suited"),
        Cell(_stands(result, fit.accepted, fit.refused)),
    )


def _stands(result: CriterionResult, accepted: Sequence[str], refused: Sequence[str]) -> str:
    if result.key in accepted:
        return STANDINGS[2]
    if result.key in refused:
        return STANDINGS[3]
    return STANDINGS[0] if result.basis == "practice" else STANDINGS[1]


def deviation_name(appraisal: Appraisal, alike: Sequence[Deviation]) -> str:
    """Return what decisions are about: "share of volume of Unit 604 B", or how many."""
    if len({(one.barrel, one.criterion) for one in alike}) > 1:
        return f"{len(alike)} cells"
    one = alike[0]
    criterion = criterion_label(one.criterion).lower()
    return f"{criterion} of {barrel_name(appraisal, one.barrel)}"
