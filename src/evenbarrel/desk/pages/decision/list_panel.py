"""A table of what people decided, or have to, with what can be done with its entries."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QAbstractItemView,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.style.folding_row import FoldingRow
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, faint
from evenbarrel.desk.tables.left_out import LeftOut
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.wording.sheets.sheet import Sheet

_ROWS_SEEN = 3
"""So many rows are seen however low the window is."""


def rows_view(theme: Theme, name: str) -> SheetView:
    """Return a table in which whole rows are chosen, one or several."""
    view = SheetView(theme, name)
    view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    view.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
    view.end_with_rows(_ROWS_SEEN)
    return view


def chosen_rows(view: SheetView) -> tuple[int, ...]:
    """Return the places of the chosen rows, from above."""
    return tuple(sorted({index.row() for index in view.selectedIndexes()}))


def faint_words(text: str) -> QLabel:
    """Return a faint label that breaks."""
    label = faint(Label(text))
    label.setWordWrap(True)
    return label


class ListPanel(QWidget):
    """A table of entries; empty, it says what to do."""

    def __init__(self, theme: Theme, name: str, empty: str, *buttons: QPushButton) -> None:
        super().__init__()
        self.table = rows_view(theme, name)
        self.left_out = LeftOut(self.table)
        self.empty = faint_words(empty)
        column = QVBoxLayout(self)
        column.setSpacing(GRID)
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        column.addWidget(self.left_out)
        column.addWidget(FoldingRow(*buttons))
        # Where there is nothing to show, words and buttons stay at the top.
        column.addStretch()

    def show_sheet(self, sheet: Sheet) -> None:
        """Show the entries, or what an empty table teaches."""
        self.table.set_sheet(sheet)
        self.table.fit_columns()
        self.table.setVisible(bool(sheet.rows))
        self.left_out.show_row()
        self.empty.setVisible(not sheet.rows)

    def places(self) -> tuple[int, ...]:
        """Return the places of the chosen entries."""
        return chosen_rows(self.table)
