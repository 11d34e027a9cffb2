"""Wide sheets made narrow: headings broken over lines, so that more columns are seen at once."""

from __future__ import annotations

from dataclasses import replace
from textwrap import wrap

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableView

from evenbarrel.wording.on_demand import OnDemand
from evenbarrel.wording.sheets.sheet import Cell, Sheet

_MARGIN = 4
_SHORT = 32


def narrow(sheet: Sheet, width: int) -> Sheet:
    """Return a sheet whose headings break after about `width` characters."""
    headings = tuple(
        replace(heading, title="\n".join(wrap(heading.title, width)), tip=heading.title)
        for heading in sheet.headings
    )
    return replace(sheet, headings=headings)


def with_tips(sheet: Sheet) -> Sheet:
    """Return a sheet in which a cell that may be cut off tells its whole text as a tip."""

    def row(place: int) -> tuple[Cell, ...]:
        return tuple(
            replace(cell, tip=cell.text) if len(cell.text) > _SHORT and not cell.tip else cell
            for cell in sheet.rows[place]
        )

    return replace(sheet, rows=OnDemand(len(sheet.rows), row))


def fit_height(table: QTableView) -> None:
    """Make a short table exactly as high as its rows, so that it never scrolls."""
    rows = sum(table.rowHeight(row) for row in range(table.model().rowCount()))
    table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    table.setFixedHeight(rows + table.horizontalHeader().sizeHint().height() + _MARGIN)
