"""What would flip the choice: looked for beside the window, shown for that state alone."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QProgressBar,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.decision.decide import Decision
from evenbarrel.decision.flips.search import Flips, flips_of
from evenbarrel.desk.pages.decision.choosing.sheet_step import EMPTY, SheetStep
from evenbarrel.desk.pages.decision.list_panel import faint_words
from evenbarrel.desk.plots.bars_plot import BarsPlot
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.scrolling import scroll_area
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.background import Job
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.states.difference import decides_alike
from evenbarrel.wording.pictures.flip_bars import TITLE, flip_bars
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import standing_by as words
from evenbarrel.wording.standing_by.flips import (
    NO_TWO,
    flip_line,
    flips_head,
    flips_sheet,
    within_line,
)

_STEPS = 100


class FlipsPanel(QWidget):
    """The search takes seconds: a person starts and stops it; an edit hides what it found."""

    wanted = Signal(object)
    """Carries the Place where a number is entered."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._decision: Decision | None = None
        self._looked_at: Evaluation | None = None
        self._is_shown, self._note = False, words.FLIPS_INTRODUCTION
        self.words = faint_words(words.FLIPS_INTRODUCTION)
        self.look, self.go = QPushButton("&Look for flips"), QPushButton("&Go there")
        self.look.clicked.connect(self._press)
        self.go.clicked.connect(self._go)
        self.bar = QProgressBar()
        self.bar.setRange(0, _STEPS)
        self.bar.setAccessibleName("How far the search for flips is")
        self.job = Job(self)
        self.job.done.connect(self._take)
        self.job.failed.connect(self._fail)
        self.job.progress.connect(lambda share: self.bar.setValue(round(share * _STEPS)))
        self.step = SheetStep(theme, "What would flip the choice")
        self.table = self.step.table
        self.table.setSelectionBehavior(self.table.SelectionBehavior.SelectRows)
        self.table.opened.connect(self.wanted)
        self.one = Label()
        self.one.setAccessibleName("The chosen flip in full")
        self.one.setWordWrap(True)
        self.table.selectionModel().currentRowChanged.connect(lambda *_: self._show_one())
        self.picture = BarsPlot(theme, TITLE)
        self.picture.opened.connect(self.wanted)
        # Before the appraisal of a large evaluation is there, too.
        session.edited.connect(self._forget)
        self._lay_out()
        self._show_nothing(words.FLIPS_INTRODUCTION)

    def _lay_out(self) -> None:
        busy = QHBoxLayout()
        for widget in (self.look, self.bar, self.go):
            busy.addWidget(widget)
        busy.addStretch(1)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName("Flips, as a picture and as a table")
        self.tabs.tabBar().setAccessibleName("Flips, as a picture and as a table")
        self.tabs.addTab(scroll_area(self.picture), "Picture")
        below = QWidget()
        table = QVBoxLayout(below)
        table.setContentsMargins(0, 0, 0, 0)
        table.setSpacing(GRID)
        table.addWidget(self.step, 1)
        table.addWidget(self.one)
        self.tabs.addTab(below, "Table")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(self.words)
        nest(column, busy)
        column.addWidget(self.tabs, 1)
        column.addStretch()

    def show_decision(self, decision: Decision) -> None:
        """Show what was found of this very state; of another nothing stands here as if it held."""
        self._decision = decision
        self._forget()
        possible = bool(decision.appraisal.jobs and decision.appraisal.barrels)
        self.look.setEnabled(possible)
        found = self._session.flips
        if found is not None:
            self._show(found)
        elif not possible:
            self._show_nothing(words.FLIPS_EMPTY)
        elif self._note in (words.FLIPS_EMPTY, NO_TWO):
            self._show_nothing(words.FLIPS_INTRODUCTION)

    def _forget(self) -> None:
        """Stop looking, and hide what was found, where another state stands now."""
        if self.job.is_running:
            if self._looked_at is not None and decides_alike(
                self._looked_at, self._session.evaluation
            ):
                # Somebody signed meanwhile: what is found holds all the same.
                return
            self.job.stop()
            self._show_nothing(words.FLIPS_CUT_SHORT)
        elif self._is_shown and self._session.flips is None:
            self._show_nothing(words.FLIPS_OF_BEFORE)

    def wait(self) -> None:
        """Stop the search, and wait until its thread is free: before the window goes."""
        self.job.wait()

    def _press(self) -> None:
        decision = self._decision
        if self.job.is_running:
            self.job.stop()
            self._show_nothing(words.FLIPS_STOPPED)
        elif not self._session.is_current:
            self._session.refused.emit(pages.WAIT_FOR_VERDICTS)
        elif decision is not None:
            self._show_nothing(words.LOOKING, busy=True)
            self._looked_at = decision.appraisal.evaluation
            self.job.start(lambda report: flips_of(decision, report))

    def _take(self, found: Flips | None) -> None:
        if found is None or self._decision is None:
            self._show_nothing(NO_TWO)
            return
        if self._looked_at is not None:
            self._session.keep_flips(self._looked_at, found)
        self._show(found)

    def _fail(self, error: Exception) -> None:
        self._show_nothing(words.FLIPS_STOPPED)
        raise error

    def _show(self, found: Flips) -> None:
        if self._decision is None:
            return
        appraisal = self._decision.appraisal
        self._show_state(flips_head(found, appraisal), busy=False)
        self.step.show_sheet(flips_sheet(found, appraisal), words.NO_FLIP)
        self.picture.show_bars(flip_bars(found, appraisal))
        self._is_shown = True
        self.tabs.show()
        if not found.flips:
            self.tabs.setCurrentIndex(1)
        elif self.step.part.row() < 0:
            self.table.setCurrentIndex(self.table.sheet_model.index(0, 0))
        self._show_one()
        self.go.setVisible(bool(found.flips))

    def _show_one(self) -> None:
        """Tell the chosen flip in full: a column shows the beginning of what becomes of it."""
        row, found, decision = self.step.part.row(), self._session.flips, self._decision
        there = found is not None and decision is not None and 0 <= row < len(found.flips)
        if found is not None and decision is not None and there:
            line = flip_line(found.flips[row], found, decision.appraisal)
            self.one.setText(f"{line}. {within_line(found.flips[row])}")
        self.one.setVisible(there)

    def _show_nothing(self, text: str, *, busy: bool = False) -> None:
        self._show_state(text, busy=busy)
        self.step.show_sheet(EMPTY, "")
        self.tabs.hide()
        self.go.hide()

    def _show_state(self, text: str, *, busy: bool) -> None:
        self._note, self._is_shown = text, False
        self._session.looks_for_flips = busy
        self.words.setText(text)
        self.bar.setValue(0)
        self.bar.setVisible(busy)
        self.look.setText("&Stop" if busy else "&Look for flips")

    def _go(self) -> None:
        places, row = self.table.sheet_model.sheet.row_references, max(0, self.step.part.row())
        if row < len(places):
            self.wanted.emit(places[row])
