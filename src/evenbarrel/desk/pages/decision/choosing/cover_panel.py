"""Cover: sets of machines side by side, looked for beside the window."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QVBoxLayout, QWidget

from evenbarrel.decision.cover.covers import Cover
from evenbarrel.decision.decide import Decision
from evenbarrel.desk.pages.decision.choosing.sheet_step import EMPTY, SheetPart
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.background import Job
from evenbarrel.wording.sentences.deciding import steps
from evenbarrel.wording.sheets.decision.cover import (
    first_to_see,
    sets_sheet,
    who_runs_what_sheet,
)

_STEPS = 100


class CoverPanel(QWidget):
    """What is shown is of the decision as it stands, or nothing is shown."""

    opened = Signal(object)
    """Carries the Reference of an amount, or of hours, to be shown in full."""
    proposed = Signal(object)
    """Carries the Cover that a person wants to propose."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._decision: Decision | None = None
        self.covers: tuple[Cover, ...] = ()
        self.words = Label()
        self._wanted: int | None = None
        """Of how many machines a person wants to see the set; None: of those to be seen first."""
        self.bar = QProgressBar()
        self.job = Job(self)
        self.job.done.connect(self._take)
        self.job.failed.connect(self._fail)
        self.job.progress.connect(self._show_progress)
        self.bar.setRange(0, _STEPS)
        self.bar.setAccessibleName("How far the search for sets of machines is")
        self.stop = QPushButton("&Stop")
        self.stop.clicked.connect(self._press)
        self.sets = SheetPart(theme, "Sets of machines")
        self.sets.table.opened.connect(self.opened)
        self.sets.table.selectionModel().currentRowChanged.connect(lambda *_: self._show_one())
        self.propose = QPushButton("&Propose this set…")
        self.propose.clicked.connect(lambda: self._propose(self.cover()))
        self.propose_other = QPushButton("Propose its &runner-up…")
        self.propose_other.clicked.connect(lambda: self._propose(self._runner_up()))
        self.runs_title = heading("Who runs what")
        self.runs = SheetPart(theme, "Who runs what")
        self.runs.table.opened.connect(self.opened)
        self._lay_out()
        self._show_covers(())

    def _lay_out(self) -> None:
        busy, row = QHBoxLayout(), QHBoxLayout()
        for widget in (self.words, self.bar, self.stop):
            busy.addWidget(widget)
        busy.addStretch(1)
        row.addWidget(self.propose)
        row.addWidget(self.propose_other)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        nest(column, busy)
        self.sets.lay_into(column)
        nest(column, row)
        column.addWidget(self.runs_title)
        self.runs.lay_into(column)
        column.addStretch(1)

    def show_decision(self, decision: Decision) -> None:
        """Look for the sets anew; what was found or is looked for of another state is dropped."""
        if decision is self._decision and (self.covers or self.job.is_running):
            return
        self._decision = decision
        self.forget()
        if not decision.appraisal.jobs or not decision.appraisal.barrels:
            self._show_state(steps.NOTHING_TO_COVER, busy=False)
            self.stop.hide()
            return
        self._show_state(steps.FINDING, busy=True)
        self.job.start(decision.find_cover)

    def forget(self) -> None:
        """Show nothing: what stands here is of a state that is gone."""
        chosen = self.cover()
        if chosen is not None:
            first = chosen is self.covers[first_to_see(self.covers)]
            self._wanted = None if first else chosen.machines
        self.job.stop()
        if self.covers:
            self._show_covers(())

    def begin_anew(self) -> None:
        """Forget what a person looked at too: another evaluation is opened."""
        self.forget()
        self._wanted = None

    def wait(self) -> None:
        """Stop the search, and wait until its thread is free: before the window goes."""
        self.job.wait()

    def cover(self) -> Cover | None:
        """Return the set that is chosen."""
        row = self.sets.row()
        return self.covers[row] if 0 <= row < len(self.covers) else None

    def _take(self, covers: tuple[Cover, ...]) -> None:
        self._show_state("", busy=False)
        self.stop.hide()
        self._show_covers(covers)

    def _fail(self, error: Exception) -> None:
        self._show_state(steps.STOPPED, busy=False)
        raise error

    def _show_progress(self, share: float) -> None:
        self.bar.setValue(round(share * _STEPS))

    def _show_state(self, words: str, *, busy: bool) -> None:
        self.words.setText(words)
        self.words.setVisible(bool(words))
        self.bar.setValue(0)
        self.bar.setVisible(busy)
        self.stop.setText("&Stop" if busy else "&Look for sets")
        self.stop.show()

    def _press(self) -> None:
        if self.job.is_running:
            self.job.stop()
            self._show_state(steps.STOPPED, busy=False)
        elif self._decision is not None:
            self.show_decision(self._decision)

    def _show_covers(self, covers: Sequence[Cover]) -> None:
        self.covers, decision = tuple(covers), self._decision
        shown = bool(covers) and decision is not None
        sheet = EMPTY if decision is None or not covers else sets_sheet(decision, covers)
        self.sets.show_sheet(sheet, "")
        for widget in (self.propose, self.propose_other, self.runs_title):
            widget.setVisible(shown)
        self.runs.hide()
        if shown:
            alike = (n for n, one in enumerate(covers) if one.machines == self._wanted)
            index = self.sets.table.sheet_model.index(next(alike, first_to_see(covers)), 0)
            self.sets.table.setCurrentIndex(index)
            self._show_one()

    def _show_one(self) -> None:
        cover, decision = self.cover(), self._decision
        if cover is not None and decision is not None:
            self.runs.show_sheet(who_runs_what_sheet(decision, cover), steps.FOLLOW)
            for button, one in ((self.propose, cover), (self.propose_other, cover.runner_up)):
                button.setEnabled(one is not None and bool(one.runs))

    def _runner_up(self) -> Cover | None:
        cover = self.cover()
        return None if cover is None else cover.runner_up

    def _propose(self, cover: Cover | None) -> None:
        if cover is not None:
            self.proposed.emit(cover)
