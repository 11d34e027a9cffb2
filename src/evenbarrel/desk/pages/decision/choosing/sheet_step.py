"""A step that shows a sheet: a table of barrels, its notes below, and what an empty one teaches."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from evenbarrel.desk.pages.decision.list_panel import told
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.wording.sheets.sheet import Sheet


class SheetStep(QWidget):
    """A table over a sheet; where it is `hugging` it is no higher than its rows."""

    def __init__(
        self,
        theme: Theme,
        name: str,
        naming: int = 0,
        *,
        hugging: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._hugging = hugging
        self.table = SheetView(theme, name)
        self.table.setSelectionMode(SheetView.SelectionMode.SingleSelection)
        if naming:
            self.table.keep_in_sight(naming)
        self.empty, self.notes = told(""), told("")
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(GRID)
        self.column.addWidget(self.empty)
        self.column.addWidget(self.table, 1)
        self.column.addWidget(self.notes)

    def show_sheet(self, sheet: Sheet, empty: str) -> None:
        """Show a sheet with its notes; without rows what is told where there are none."""
        self.table.set_sheet(sheet)
        self.table.fit_columns()
        filled = bool(sheet.rows)
        if self._hugging:
            rows = len(sheet.rows) * self.table.verticalHeader().defaultSectionSize()
            bar = self.table.horizontalScrollBar().sizeHint().height()
            head = self.table.horizontalHeader().sizeHint().height()
            self.table.setMaximumHeight(rows + head + bar + 4)
        self.table.setVisible(filled)
        self.notes.setVisible(filled and bool(sheet.notes))
        self.notes.setText(" ".join(sheet.notes))
        self.empty.setText(empty)
        self.empty.setVisible(not filled)

    def row(self) -> int:
        """Return the row that is chosen, -1 where none is."""
        return self.table.currentIndex().row()
