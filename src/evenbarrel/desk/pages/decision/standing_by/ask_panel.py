"""Ask: what the planned jobs ask of a barrel, alone and together; the way to the data sheet."""

from __future__ import annotations

from PySide6.QtCore import QItemSelection, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.decision.asking.ask import Ask, Together
from evenbarrel.decision.asking.sizes import usual_sizes
from evenbarrel.decision.decide import Decision
from evenbarrel.desk.collecting.outgoing import blank_sheet
from evenbarrel.desk.pages.decision.choosing.sheet_step import EMPTY, SheetPart, SheetStep
from evenbarrel.desk.pages.decision.list_panel import chosen_rows, faint_words
from evenbarrel.desk.plots.bars_plot import BarsPlot
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import to_clipboard
from evenbarrel.desk.style.scrolling import scroll_area
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.wording.pictures.ask_bars import TITLE, ask_bars
from evenbarrel.wording.sentences.deciding import standing_by as words
from evenbarrel.wording.standing_by.ask import ask_sheet, chosen_sheet, sizes_sheet, wanted_of


class AskPanel(QWidget):
    """The table of all jobs; below it those that are chosen, the picture and usual sizes."""

    opened = Signal(object)
    """Carries the Reference of a number to be shown in full."""
    sheet_wanted = Signal(object)
    """Carries the Wish for a data sheet for suppliers."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._ask: Ask | None = None
        self.jobs = SheetPart(theme, "What to ask for", 1)
        self.table = self.jobs.table
        self.table.setSelectionBehavior(self.table.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(self.table.SelectionMode.ExtendedSelection)
        self.table.selectionModel().selectionChanged.connect(self._choose)
        self.chosen = SheetPart(theme, words.CHOSEN, 1)
        for part in (self.jobs, self.chosen):
            part.table.opened.connect(self.opened)
        self.hint, self.copied = faint_words(words.ASK_INTRODUCTION), faint_words("")
        self.copy = QPushButton("&Copy table")
        self.copy.clicked.connect(self._copy)
        self.sheet = QPushButton("&Data sheet for suppliers…")
        self.sheet.clicked.connect(lambda: self.sheet_wanted.emit(blank_sheet()))
        self.picture = BarsPlot(theme, TITLE)
        self.sizes = SheetStep(theme, "Usual sizes that would fit")
        self.sizes.table.opened.connect(self.opened)
        self.wanted = faint_words("")
        self._lay_out()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        for widget in (self.copy, self.sheet, self.copied):
            row.addWidget(widget)
        row.addStretch(1)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName("What to ask for, as a picture and as usual sizes")
        self.tabs.tabBar().setAccessibleName("What to ask for, as a picture and as usual sizes")
        self.tabs.addTab(scroll_area(self.picture), "Picture")
        self.tabs.addTab(self.sizes, "Usual sizes")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(self.wanted)
        self.jobs.lay_into(column)
        nest(column, row)
        column.addWidget(self.hint)
        self.chosen.lay_into(column)
        column.addWidget(self.tabs, 1)
        column.addStretch()

    def show_decision(self, decision: Decision) -> None:
        """Show what is asked now; nothing stays chosen of jobs that went."""
        planned = bool(decision.appraisal.jobs)
        self._ask = ask = decision.ask if planned else None
        self.jobs.show_sheet(EMPTY if ask is None else ask_sheet(ask), words.ASK_EMPTY)
        self.sizes.show_sheet(EMPTY if ask is None else sizes_sheet(ask, usual_sizes(ask)), "")
        self.wanted.setText("" if ask is None else " ".join(wanted_of(ask)))
        self.copied.setText("")
        for widget in (self.wanted, self.copy, self.sheet, self.tabs):
            widget.setVisible(planned)
        self._show_chosen()

    def _choose(self, now: QItemSelection, before: QItemSelection) -> None:
        self._show_chosen()

    def _together(self, ask: Ask) -> Together | None:
        """Return what the chosen jobs ask, None where fewer than two are chosen, or all."""
        jobs = tuple(ask.jobs)
        chosen = [jobs[row] for row in chosen_rows(self.table) if row < len(jobs)]
        return ask.of(chosen) if 1 < len(chosen) < len(jobs) else None

    def _show_chosen(self) -> None:
        ask = self._ask
        together = None if ask is None else self._together(ask)
        if ask is None or together is None:
            self.chosen.hide()
        else:
            self.chosen.show_sheet(chosen_sheet(ask, together), "")
        self.hint.setVisible(ask is not None and len(ask.jobs) > 2 and together is None)
        if ask is not None:
            self.picture.show_bars(ask_bars(ask, (together or ask.programme).asked))

    def _copy(self) -> None:
        to_clipboard(self.table.whole_text())
        self.copied.setText(words.WHOLE_TABLE_COPIED)
