"""Cost over life: every barrel by its parts, and the same as bars on one scale."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from evenbarrel.decision.decide import Decision
from evenbarrel.desk.pages.decision.choosing.sheet_step import EMPTY, SheetStep
from evenbarrel.desk.plots.bars_plot import BarsPlot
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.rows_first import RowsFirst
from evenbarrel.desk.style.scrolling import scroll_area
from evenbarrel.desk.style.theme import Theme
from evenbarrel.wording.pictures import cost_bars
from evenbarrel.wording.sentences.deciding import steps
from evenbarrel.wording.sheets.decision.cost import cost_sheet
from evenbarrel.wording.sheets.decision.offers import NO_OFFERS

_LEAST_PICTURE = 250
"""How high the picture below the table is at least [px]."""


class CostPanel(QWidget):
    """The table above; below it every barrel as bars, or the chosen one step by step."""

    opened = Signal(object)
    """Carries the Reference of an amount to be shown in full."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._decision: Decision | None = None
        self._barrels: tuple[str, ...] = ()
        self.step = SheetStep(theme, "Cost over life", 2)
        self.step.table.opened.connect(self.opened)
        self.step.table.selectionModel().currentRowChanged.connect(lambda *_: self._show_one())
        self.all = BarsPlot(theme, cost_bars.SIDE_BY_SIDE)
        self.one = BarsPlot(theme, cost_bars.STEP_BY_STEP)
        self.empty = Label(cost_bars.EMPTY)
        self.empty.setWordWrap(True)
        self.pictures = QTabWidget()
        self.pictures.setDocumentMode(True)
        self.pictures.setAccessibleName("Pictures of cost")
        self.pictures.tabBar().setAccessibleName("Pictures of cost")
        for plot, title in ((self.one, "Step by step"), (self.all, "Side by side")):
            plot.opened.connect(self.opened)
            self.pictures.addTab(scroll_area(plot), title)
        self.pictures.setMinimumHeight(_LEAST_PICTURE)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.empty)
        column.addWidget(RowsFirst(self.step, self.pictures), 1)

    def show_decision(self, decision: Decision) -> None:
        """Show the costs as they are now; the barrel that is chosen stays chosen."""
        before = self.barrel()
        self._decision, self._barrels = decision, tuple(decision.cost)
        self.step.show_sheet(cost_sheet(decision), NO_OFFERS)
        known = any(cost.present.value is not None for cost in decision.cost.values())
        self.pictures.setVisible(known)
        self.empty.setVisible(not known and bool(self._barrels))
        self.all.show_bars(cost_bars.side_by_side(decision))
        leader = decision.order[0].barrel if decision.order else ""
        chosen = before if before in self._barrels else leader
        if chosen in self._barrels:
            column = max(0, self.step.table.currentIndex().column())
            index = self.step.table.sheet_model.index(self._barrels.index(chosen), column)
            self.step.table.setCurrentIndex(index)
        self._show_one()

    def show_waiting(self) -> None:
        """Show nothing while costs are computed: what stood here is of a state that is gone."""
        self.step.show_sheet(EMPTY, steps.COSTING)
        self.pictures.hide()
        self.empty.hide()

    def barrel(self) -> str:
        """Return the barrel that is chosen, "" where none is."""
        row = self.step.part.row()
        return self._barrels[row] if 0 <= row < len(self._barrels) else ""

    def _show_one(self) -> None:
        barrel, decision = self.barrel(), self._decision
        if decision is not None and barrel in decision.cost:
            self.one.show_bars(cost_bars.step_by_step(decision, barrel))
