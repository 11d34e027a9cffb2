"""Tables that are looked at, made to fit: headings broken over lines, as high as their rows."""

from __future__ import annotations

from dataclasses import replace
from textwrap import wrap

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from evenbarrel.wording.sheets.sheet import Sheet

_MARGIN = 4


def with_broken_headings(sheet: Sheet, width: int) -> Sheet:
    """Return a sheet whose headings break after about `width` characters."""
    headings = tuple(
        replace(heading, title="\n".join(wrap(heading.title, width)), tip=heading.title)
        for heading in sheet.headings
    )
    return replace(sheet, headings=headings)


def only_to_look_at(table: QTableView, row_height: int) -> None:
    """Let nothing be typed into a table and Tab lead on; each row is so high [px] unless told."""
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    table.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    table.setAlternatingRowColors(True)
    table.setTabKeyNavigation(False)
    table.setWordWrap(False)
    table.verticalHeader().hide()
    table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
    table.verticalHeader().setDefaultSectionSize(row_height)
    table.horizontalHeader().setHighlightSections(False)
    table.horizontalHeader().setSectionsClickable(False)


def fit_height(table: QTableView, most: int = 12) -> None:
    """Make a table exactly as high as its rows, so that it scrolls only above `most` of them."""
    table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    rows = sum(table.rowHeight(row) for row in range(min(most, table.model().rowCount())))
    table.setFixedHeight(rows + table.horizontalHeader().sizeHint().height() + _MARGIN)
