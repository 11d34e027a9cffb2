"""A table of a step with its notes below, and what is told where it is empty."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from evenbarrel.desk.pages.decision.list_panel import faint_words
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.tables.left_out import LeftOut
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.wording.sheets.sheet import Sheet

EMPTY = Sheet("", "", (), ())
_MOST = 100
"""How much rather than nothing a table takes the room there is, as far as it has rows."""

_LEAST_ROWS = 4
"""So many rows are seen however low the window is: the step scrolls before."""


class SheetPart:
    """A table over a sheet, no higher than its rows, laid into the column of a step."""

    def __init__(
        self, theme: Theme, name: str, naming: int = 0, *, shows_left_out: bool = True
    ) -> None:
        self.table = SheetView(theme, name)
        self.table.setSelectionMode(SheetView.SelectionMode.SingleSelection)
        if naming:
            self.table.keep_in_sight(naming)
        self.left_out = LeftOut(self.table) if shows_left_out else None
        self.empty, self.notes = faint_words(""), faint_words("")
        self.table.end_with_rows(_LEAST_ROWS)

    def lay_into(self, column: QVBoxLayout) -> None:
        """Add what it is made of to a column."""
        column.addWidget(self.empty)
        column.addWidget(self.table, _MOST)
        if self.left_out is not None:
            column.addWidget(self.left_out)
        column.addWidget(self.notes)

    def show_sheet(self, sheet: Sheet, empty: str) -> None:
        """Show a sheet with its notes; without rows what is told where there are none."""
        self.table.set_sheet(sheet)
        self.table.fit_columns()
        filled = bool(sheet.rows)
        self.table.setVisible(filled)
        if self.left_out is not None:
            self.left_out.show_row()
        self.notes.setVisible(filled and bool(sheet.notes))
        self.notes.setText(" ".join(sheet.notes))
        self.empty.setText(empty)
        self.empty.setVisible(not filled and bool(empty))

    def hide(self) -> None:
        """Show nothing of it."""
        for widget in (self.table, self.notes, self.empty):
            widget.hide()
        if self.left_out is not None:
            self.left_out.show_row()

    def row(self) -> int:
        """Return the row that is chosen, -1 where none is."""
        return self.table.currentIndex().row()


class SheetStep(QWidget):
    """A step that is one table with its notes."""

    def __init__(
        self, theme: Theme, name: str, naming: int = 0, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.part = SheetPart(theme, name, naming)
        self.table, self.notes, self.empty = self.part.table, self.part.notes, self.part.empty
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        self.part.lay_into(column)
        column.addStretch(1)

    def show_sheet(self, sheet: Sheet, empty: str) -> None:
        """Show a sheet with its notes; without rows what is told where there are none."""
        self.part.show_sheet(sheet, empty)
