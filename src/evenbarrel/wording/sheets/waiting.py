"""Limits from memory that wait for confirmation, with what each would shut or free."""

from __future__ import annotations

from collections.abc import Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import WaitingLimit
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.model.decision import LimitValue
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import ResidenceLimit, Resin
from evenbarrel.wording.sentences.decision import in_diameters, limit_label
from evenbarrel.wording.sentences.questions import full_name, job_name
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import ABSENT, percent, printed, rounded


def waiting_limits_sheet(appraisal: Appraisal) -> Sheet:
    """Return the limits that wait for confirmation, a row each."""
    headings = (
        Heading("Limit"),
        Heading("Resin"),
        Heading("Stands at"),
        Heading("Beyond it"),
        Heading("Confirmed, it shuts"),
        Heading("Changed to what they keep, it frees"),
    )
    return Sheet(
        "waiting_limits",
        "Limits that wait for confirmation",
        headings,
        tuple(_row(appraisal, waiting) for waiting in appraisal.waiting_limits),
        notes=(
            "These limits are from memory and nobody has confirmed them. Whoever confirms one "
            "gives a name, a date and a reason; it holds for as long as the limit stays as it is.",
        ),
    )


def _row(appraisal: Appraisal, waiting: WaitingLimit) -> tuple[Cell, ...]:
    name, field = waiting.limit.resin, waiting.limit.field
    resin = None if name is None else appraisal.evaluation.resin(name)
    return (
        Cell(limit_label(field) if resin is None else labels.datum_of(Resin, field)),
        Cell("any" if resin is None else resin.name or resin.id),
        Cell(_value_text(field, waiting.value)),
        Cell("; ".join(_cell_text(appraisal, cell) for cell in waiting.cells)),
        Cell(_barrels_text(appraisal, waiting.shuts)),
        Cell(_barrels_text(appraisal, waiting.frees)),
    )


def _cell_text(appraisal: Appraisal, cell: CriterionRef) -> str:
    criterion = labels.SHORT_CRITERIA[cell.criterion]
    return f"{full_name(appraisal, cell.barrel)}, {job_name(appraisal, cell.job)}: {criterion}"


def _barrels_text(appraisal: Appraisal, barrels: Sequence[str]) -> str:
    return "; ".join(full_name(appraisal, barrel) for barrel in barrels) or ABSENT


def _value_text(field: str, value: LimitValue) -> str:
    if isinstance(value, float):
        return f"{rounded(value)} D" if in_diameters(field) else percent(value)
    if isinstance(value, str):
        return labels.choice(value)
    if isinstance(value, Quantity):
        return printed(value)
    return ", ".join(_part_text(part) for part in value)


def _part_text(part: ResidenceLimit | str) -> str:
    if isinstance(part, str):
        return labels.choice(part)
    return f"{printed(part.time)} at {printed(part.temperature)}"
