"""What stands in one barrel's way, each with a way out that is one click away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.appraisal.references import Reference, WayOut
from evenbarrel.desk.pages.decision.list_panel import faint_words, rows_view
from evenbarrel.desk.style.heads import MOST_LINES, Head
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.wording.sentences.deciding.decision import CHOOSE_BARREL
from evenbarrel.wording.sentences.deciding.gate import gate_words
from evenbarrel.wording.sheets.gates.ways_out import ways_out_sheet
from evenbarrel.wording.words.names import full_name

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal


class WaysPanel(QWidget):
    """The gate of the chosen barrel in words, and below it what answers each of its reasons."""

    wanted = Signal(object)
    """Carries the Reference of the place to go to."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._references: tuple[Reference | WayOut, ...] = ()
        self.words = Head(CHOOSE_BARREL, MOST_LINES)
        self.table = rows_view(theme, "Ways out")
        self.table.setSelectionMode(self.table.SelectionMode.SingleSelection)
        self.table.opened.connect(self.wanted)
        self.empty = faint_words("")
        self.go = QPushButton("&Go there")
        self.go.clicked.connect(self._go)
        row = QHBoxLayout()
        row.addWidget(self.go)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setSpacing(GRID)
        column.addWidget(self.words)
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        nest(column, row)
        column.addStretch()

    def show_barrel(self, appraisal: Appraisal, barrel: str | None) -> None:
        """Show the ways out of a barrel's gate; none where no barrel is chosen."""
        if barrel is None:
            self._references = ()
            self.words.setText(CHOOSE_BARREL)
        else:
            gate = appraisal.gate(barrel)
            sheet = ways_out_sheet(appraisal, gate)
            self._references = sheet.row_references
            self.words.setText(f"{full_name(appraisal, barrel)}: {gate_words(gate, appraisal)}.")
            self.table.set_sheet(sheet)
            self.table.fit_columns()
            self.empty.setText(" ".join(sheet.notes))
        self.table.setVisible(bool(self._references))
        self.go.setVisible(bool(self._references))
        self.empty.setVisible(bool(self.empty.text()) and not self._references)

    def _go(self) -> None:
        index = self.table.currentIndex()
        if self._references:
            self.wanted.emit(self._references[max(0, index.row())])
