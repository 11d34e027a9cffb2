"""The first sheet of the live workbook: what may be changed in it, and what follows."""

from __future__ import annotations

from evenbarrel.wording.sheets.live.formula import NO_RATE, whole
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet

_RULES = (
    (
        "Inputs",
        "Change one and every calculated cell follows; each is a formula that can be followed cell "
        "by cell down to the inputs. An input that is not stated may be filled in.",
    ),
    (
        "By the program",
        "What is headed so stays as it was written, whatever is changed: gates, verdicts, bounds "
        "of intervals, margins, which shot of a job counts, which jobs a barrel runs and on how "
        "many machines; so do the sheets of gates, claims, questions, limits and decisions. After "
        "a change ask the program.",
    ),
    (
        "Taken",
        "Which volume, size, shot or rate is taken the program decided from what is stated. Doubt "
        "about a barrel's size stands before its volume, and its readings are in the program.",
    ),
    (
        "Empty",
        "Not stated, and so is whatever hangs on it: nothing is taken for 0. What a price or a "
        "cost lacks stands before it, and adds nothing to it.",
    ),
    (NO_RATE, "The amount is stated, but not what its currency is worth."),
    (
        "No., Key",
        "By these rows are found, so sheets may be sorted and filtered. They must stay as they "
        "are.",
    ),
)


_CHANGED = "+".join(
    f"SUMPRODUCT(--([{sheet}.value:]<>[{sheet}.written:]))"
    for sheet in ("barrel_inputs", "job_inputs", "resin_inputs", "offer_inputs", "cost_inputs")
)


def legend_sheet() -> Sheet:
    """Return how the workbook is to be read."""
    rows = (
        (Cell("12.5", 12.5, entered=True, as_typed=True), Cell("An input: it may be changed")),
        (Cell("12.5", 12.5, formula="12+0.5"), Cell("A calculated number or one of the program's")),
        (whole(0.0, _CHANGED), Cell("Inputs that are other than as they were written")),
        *((Cell(word), Cell(told)) for word, told in _RULES),
    )
    headings = (Heading("Looks like"), Heading("What it is"))
    return Sheet("legend", "How to read this workbook", headings, rows)
