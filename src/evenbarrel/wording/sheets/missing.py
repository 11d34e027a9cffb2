"""What an offer does not state, as a sheet: a row a datum, a column a screw."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.wording.sentences.asking.missing import MissingRow, MissingTable
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels

TITLE = "Not stated"


def letter_sheet(table: MissingTable) -> Sheet:
    """Return the table as a letter has it: empty cells to fill, and what is meant by each datum."""
    rows = tuple(
        (*_first(row), *(Cell(cell or "") for cell in row.cells), Cell(row.meaning))
        for row in table.rows
    )
    return Sheet("missing", TITLE, (*_headings(table), Heading("What is meant")), rows)


def missing_sheet(table: MissingTable, became: Mapping[str, str]) -> Sheet:
    """Return the table as an evaluation has it: what is not stated, why that is asked, and since.

    `became` tells what became of each question, by its id.
    """
    gap = Cell(labels.STATES["not_stated"], state="not_stated")
    rows = tuple(
        (
            *_first(row),
            *(gap if cell is None else Cell(cell) for cell in row.cells),
            Cell(row.reason),
            Cell(became[row.question]),
        )
        for row in table.rows
    )
    headings = (*_headings(table), Heading("Why we ask"), Heading("Status"))
    return Sheet("missing", TITLE, headings, rows)


def _headings(table: MissingTable) -> tuple[Heading, ...]:
    screws = (Heading(name, align="right") for name in table.names)
    return (Heading("What"), Heading("Unit"), *screws)


def _first(row: MissingRow) -> tuple[Cell, Cell]:
    return Cell(row.label), Cell(row.unit)
