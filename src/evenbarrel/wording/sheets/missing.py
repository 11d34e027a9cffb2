"""What an offer does not state, as a sheet: a row a datum, a column a screw."""

from __future__ import annotations

from evenbarrel.appraisal.results import State
from evenbarrel.wording.sentences.asking.missing import MissingTable
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet

TITLE = "Not stated"


def missing_sheet(table: MissingTable, gap: str = "", state: State | None = None) -> Sheet:
    """Return the table of what is missing; `gap` and `state` stand where a cell is to be filled."""
    headings = (
        Heading("What"),
        Heading("Unit"),
        *(Heading(name, align="right") for name in table.names),
        Heading("What is meant"),
        Heading("Why we ask"),
    )
    rows = tuple(
        (
            Cell(row.label),
            Cell(row.unit),
            *(Cell(gap, state=state) if cell is None else Cell(cell) for cell in row.cells),
            Cell(row.meaning),
            Cell(row.reason),
        )
        for row in table.rows
    )
    return Sheet("missing", TITLE, headings, rows)
