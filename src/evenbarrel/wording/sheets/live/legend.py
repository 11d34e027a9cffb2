"""The first sheet of the live workbook: what may be changed in it, and what follows."""

from __future__ import annotations

from evenbarrel.wording.sheets.live.formula import NO_RATE
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet

_RULES = (
    "Change an input and every calculated cell follows. Each is a formula that can be followed, "
    "cell by cell, down to the inputs.",
    "What is headed 'by the program' stays as it was written: gates, verdicts, claims, bounds of "
    "intervals, margins, which shot of a job counts, which jobs a barrel runs and on how many "
    "machines. After a change ask the program.",
    "Which volume, which size and which rate are taken was decided by the program from what is "
    "stated; the doubt about a barrel's size stands before its volume.",
    "Not stated is empty, and so is whatever hangs on it: nothing is taken for 0. What is missing "
    "of a price or a cost stands before it, and counts for nothing in the sum.",
    f"'{NO_RATE}': the amount is stated, but not what its currency is worth.",
    "Rows are found by their number or key, so sheets may be sorted and filtered. Numbers and keys "
    "must stay as they are.",
)


def legend_sheet() -> Sheet:
    """Return how the workbook is to be read."""
    rows = (
        (Cell("12.5", 12.5, entered=True), Cell("An input: change it on the sheets of inputs")),
        (Cell("12.5", 12.5, formula="12+0.5"), Cell("Calculated here from the inputs")),
        (Cell("12.5", 12.5), Cell("A number of the program's, or a text")),
    )
    headings = (Heading("Looks like"), Heading("What it is"))
    return Sheet("legend", "How to read this workbook", headings, rows, notes=_RULES)
