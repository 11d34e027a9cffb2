"""Order: single barrels by gate, jobs known to run and levelled cost; who leads by weights."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.decision.decide import Decision
from evenbarrel.desk.pages.decision.choosing.sheet_step import EMPTY, SheetPart
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.wording.sentences.deciding import steps
from evenbarrel.wording.sheets.decision.offers import NO_OFFERS
from evenbarrel.wording.sheets.decision.order import order_sheet, shares_sheet


class OrderPanel(QWidget):
    """The order above, the shares of weightings below; a barrel is proposed from here."""

    opened = Signal(object)
    """Carries the Reference of an amount to be shown in full."""
    proposed = Signal(str)
    """Carries the barrel that a person wants to propose."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._barrels: tuple[str, ...] = ()
        self.order = SheetPart(theme, "Order of single barrels")
        self.order.table.opened.connect(self.opened)
        self.propose = QPushButton("&Propose this barrel…")
        self.propose.clicked.connect(self._propose)
        self.shares = SheetPart(theme, "Shares of all weightings", 2)
        self.shares.table.opened.connect(self.opened)
        row = QHBoxLayout()
        row.addWidget(self.propose)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        self.order.lay_into(column)
        nest(column, row)
        column.addWidget(heading("Whatever the weights"))
        self.shares.lay_into(column)
        column.addStretch(1)

    def show_decision(self, decision: Decision) -> None:
        """Show the order as it is now; the barrel that is chosen stays chosen."""
        before = self.barrel()
        self._barrels = tuple(line.barrel for line in decision.order)
        self.order.show_sheet(order_sheet(decision), NO_OFFERS)
        self.propose.setEnabled(bool(self._barrels) and bool(decision.appraisal.jobs))
        chosen = before if before in self._barrels else next(iter(self._barrels), "")
        if chosen:
            column = max(0, self.order.table.currentIndex().column())
            index = self.order.table.sheet_model.index(self._barrels.index(chosen), column)
            self.order.table.setCurrentIndex(index)
        self.shares.show_sheet(shares_sheet(decision), steps.NO_SHARES)

    def show_waiting(self) -> None:
        """Show nothing while costs are computed: what stood here is of a state that is gone."""
        self.order.show_sheet(EMPTY, steps.COSTING)
        self.shares.show_sheet(EMPTY, "")
        self.propose.setEnabled(False)

    def barrel(self) -> str:
        """Return the barrel that is chosen, "" where none is."""
        row = self.order.row()
        return self._barrels[row] if 0 <= row < len(self._barrels) else ""

    def _propose(self) -> None:
        if self.barrel():
            self.proposed.emit(self.barrel())
