"""A table as it came: rows of cells, each with its text and the place it stands at."""

from __future__ import annotations

from dataclasses import dataclass

from evenbarrel.intake.extract import FoundAt

MOST_ROWS, MOST_CELLS = 10_000, 50_000
"""Far more than any quote's table has; within them everything is read in bearable time."""


class TableRefused(Exception):
    """A table that is not read at all; the message is one sentence without its full stop."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its text, where it stands, and what was noticed of it (codes of findings).

    Every cell that a merged one covers has its text and its place.
    """

    text: str
    place: FoundAt
    noticed: tuple[str, ...] = ()


Row = tuple[Cell, ...]
Grid = tuple[Row, ...]
"""Rows of one length each."""


def make_grid(rows: list[list[Cell]], sheet: str = "") -> Grid:
    """Return rows filled up to one length; raises `TableRefused` where they are too many."""
    width = max((len(row) for row in rows), default=0)
    refuse_too_large(len(rows), width)
    return tuple(
        (
            *row,
            *(Cell("", FoundAt(number, column + 1, sheet)) for column in range(len(row), width)),
        )
        for number, row in enumerate(rows, 1)
    )


def refuse_too_large(rows: int, columns: int) -> None:
    """Raise `TableRefused` where a table has more rows or cells than are read."""
    if rows > MOST_ROWS:
        raise TableRefused(f"it has {rows} rows; a table of at most {MOST_ROWS} rows is read")
    if rows * columns > MOST_CELLS:
        raise TableRefused(
            f"it has {rows} rows of {columns} cells; a table of at most {MOST_CELLS} cells is read"
        )


def turned(grid: Grid) -> Grid:
    """Return the grid with its rows as columns."""
    return tuple(zip(*grid, strict=True))
