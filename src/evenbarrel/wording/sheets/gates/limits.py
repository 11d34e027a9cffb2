"""Limits from memory that wait for confirmation, and those that a named person confirmed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import WaitingLimit
from evenbarrel.appraisal.inputs.confirmed import holds
from evenbarrel.appraisal.references import CriterionRef, LimitRef
from evenbarrel.appraisal.verdicts.waiting_limits import value_of
from evenbarrel.model.limits import limit_origin
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import ConfirmedLimit, LimitValue
from evenbarrel.model.resin import ResidenceLimit, Resin
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.consequences import cells_line
from evenbarrel.wording.sentences.deciding.decision import in_diameters, limit_label
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.limits import limit_note
from evenbarrel.wording.words.names import full_name, job_name, resin_called
from evenbarrel.wording.words.numbers import ABSENT, percent, printed, rounded

HOLDS = "holds"
MOST_NAMED = 24
"""Cells or barrels that a limit's row names; the rest is counted."""


def waiting_limits_sheet(appraisal: Appraisal) -> Sheet:
    """Return the limits that wait for confirmation, a row each."""
    headings = (
        Heading("Limit"),
        Heading("Resin"),
        Heading("Set at"),
        Heading("Origin"),
        Heading("Beyond it"),
        Heading("Shuts if confirmed"),
        Heading("Frees if changed to what they need"),
    )
    return Sheet(
        "waiting_limits",
        "Limits that wait for confirmation",
        headings,
        tuple(_row(appraisal, waiting) for waiting in appraisal.waiting_limits),
        notes=(
            "These limits are from memory and nobody has confirmed them. A confirmation "
            "needs a name, a date and a reason; it holds until the limit is changed.",
        ),
        row_references=tuple(one.limit for one in appraisal.waiting_limits),
    )


def _row(appraisal: Appraisal, waiting: WaitingLimit) -> tuple[Cell, ...]:
    cells = "; ".join(_some([partial(_cell_text, appraisal, cell) for cell in waiting.cells]))
    return (
        Cell(limit_name(appraisal, waiting.limit)),
        Cell(_resin_name(appraisal, waiting.limit.resin)),
        Cell(value_text(waiting.limit.field, waiting.value)),
        Cell(_origin(appraisal, waiting.limit)),
        Cell(f"{cells_line(waiting.cells)}: {cells}", tip=cells.replace("; ", "\n")),
        _barrels(appraisal, waiting.shuts),
        _barrels(appraisal, waiting.frees),
    )


def limit_name(appraisal: Appraisal, limit: LimitRef) -> str:
    """Return the label of a limit: a resin's datum, or one of the evaluation."""
    if appraisal.evaluation.resin(limit.resin) is None:
        return limit_label(limit.field)
    return labels.datum_of(Resin, limit.field)


def _resin_name(appraisal: Appraisal, name: str | None) -> str:
    resin = appraisal.evaluation.resin(name)
    if resin is None:
        return "any" if name is None else name
    return resin_called(appraisal.evaluation, resin)


def _origin(appraisal: Appraisal, limit: LimitRef) -> str:
    """Return where a limit comes from, with the source that is named for it."""
    resin = appraisal.evaluation.resin(limit.resin)
    if resin is None:
        entry = getattr(appraisal.evaluation.limits, limit.field)
        note = limit_note(getattr(entry, "note", ""))
        origin = labels.ORIGINS[limit_origin(entry)]
    else:
        origin = labels.ORIGINS[resin.origins.get(limit.field)]
        note = getattr(getattr(resin, limit.field), "source", "")
    # A source that only says so too is not said twice.
    return origin if note in ("", origin) or note.startswith("from memory") else f"{origin}: {note}"


def _cell_text(appraisal: Appraisal, cell: CriterionRef) -> str:
    criterion = CRITERION_WORDS[cell.criterion].short
    return f"{full_name(appraisal, cell.barrel)}, {job_name(appraisal, cell.job)}: {criterion}"


def _barrels(appraisal: Appraisal, barrels: Sequence[str]) -> Cell:
    if not barrels:
        return Cell("no barrel", 0.0)
    names = _some([partial(full_name, appraisal, barrel) for barrel in barrels])
    return Cell(f"{len(barrels)}: {'; '.join(names)}", tip="\n".join(names))


def _some(words: Sequence[Callable[[], str]]) -> list[str]:
    """Return the first words, and how many more there are: nobody reads a thousand."""
    first = [one() for one in words[:MOST_NAMED]]
    more = len(words) - len(first)
    return [*first, f"and {more} more"] if more else first


def confirmed_limits_sheet(appraisal: Appraisal) -> Sheet:
    """Return the limits that named persons confirmed, and whether each still holds."""
    headings = (
        Heading("Limit"),
        Heading("Resin"),
        Heading("Confirmed at"),
        Heading("Status"),
        Heading("Person"),
        Heading("Date"),
        Heading("Reason"),
    )
    entered = appraisal.evaluation.confirmed_limits
    rows = tuple(_confirmed(appraisal, one) for one in entered)
    return Sheet("confirmed_limits", "Limits that a named person confirmed", headings, rows)


def _confirmed(appraisal: Appraisal, one: ConfirmedLimit) -> tuple[Cell, ...]:
    limit = LimitRef(one.resin, one.field)
    return (
        Cell(limit_name(appraisal, limit)),
        Cell(_resin_name(appraisal, one.resin)),
        Cell(value_text(one.field, one.value)),
        Cell(holds_line(appraisal, one)),
        Cell(one.person or ABSENT),
        Cell(date_text(one.date)),
        Cell(one.reason or ABSENT, tip=one.reason),
    )


def holds_line(appraisal: Appraisal, one: ConfirmedLimit) -> str:
    """Return whether a confirmation holds: it does while the limit is what was confirmed."""
    if holds(appraisal.evaluation, one):
        return HOLDS
    if one.resin is not None and appraisal.evaluation.resin(one.resin) is None:
        return "lapsed: the resin has been removed"
    now = value_of(LimitRef(one.resin, one.field), appraisal.evaluation)
    return f"lapsed: the limit is now {ABSENT if now is None else value_text(one.field, now)}"


def value_text(field: str, value: LimitValue) -> str:
    """Return what a limit stands at, as people read it."""
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


def confirmed_name(appraisal: Appraisal, limits: Sequence[LimitRef]) -> str:
    """Return which limits a step is about: one by its name, several by their number."""
    if len(limits) != 1:
        return f"{len(limits)} limits"
    resin = limits[0].resin
    of_resin = "" if resin is None else f" of {_resin_name(appraisal, resin)}"
    name = limit_name(appraisal, limits[0])
    return f"{name[:1].lower()}{name[1:]}{of_resin}"
