"""The second sheet of the live workbook: what may be changed in it, and what follows."""

from __future__ import annotations

from collections.abc import Iterable

from evenbarrel.wording.sheets.live.formula import NO_RATE, whole
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet

_RULES = (
    (
        "Inputs",
        "Change one and every calculated cell follows; each is a formula that can be traced "
        "cell by cell back to the inputs. An input that is not stated may be filled in.",
    ),
    (
        "By the program",
        "Columns with these words stay as they were written, whatever is changed: gates, "
        "verdicts, bounds of intervals, margins, which shot of a job decides, which jobs a "
        "barrel runs and on how many machines. So do the sheets of gates, claims, questions, "
        "limits and decisions. For new values after a change, use the program.",
    ),
    (
        "Taken",
        "The program decided from what is stated which volume, size, shot or rate to use. "
        "Doubt about a barrel's size is shown before its volume; its readings are in the "
        "program.",
    ),
    (
        "Empty",
        "Not stated, like everything that depends on it: nothing is taken as 0. What a price "
        "or a cost lacks is listed before it, and is not included.",
    ),
    (NO_RATE, "The amount is stated, but the exchange rate of its currency is not."),
    (
        "No., Key",
        "Formulas find rows by these, so sheets may be sorted and filtered. They must not be "
        "changed.",
    ),
)


def legend_sheet(inputs: Iterable[Sheet]) -> Sheet:
    """Return how the workbook is to be read, and how many of its `inputs` were changed."""
    changed = "+".join(
        f"SUMPRODUCT(--([{sheet.key}.value:]<>[{sheet.key}.written:]))" for sheet in inputs
    )
    rows = (
        (Cell("12.5", 12.5, entered=True, as_typed=True), Cell("An input, which may be changed")),
        (Cell("12.5", 12.5, formula="12+0.5"), Cell("A number calculated here or by the program")),
        (whole(0.0, changed), Cell("Inputs that were changed since the workbook was written")),
        *((Cell(word), Cell(meaning)) for word, meaning in _RULES),
    )
    headings = (Heading("Appearance"), Heading("What it is"))
    return Sheet("legend", "How to read this workbook", headings, rows)
