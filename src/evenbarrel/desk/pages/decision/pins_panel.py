"""Pins: which job runs on which barrels only, set and cleared by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QListWidget,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.consequences import gates_decided
from evenbarrel.desk.pages.decision.list_panel import ListPanel, faint_words
from evenbarrel.desk.style.buttons import size_window
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, list_item, name_window
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.tables.ticks import Ticks
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences.deciding import consequences, decision
from evenbarrel.wording.sheets.gates.pins import barrel_line, jobs_name, pins_of, pins_sheet

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_SIZE = (560, 480)
_ID = Qt.ItemDataRole.UserRole


class PinDialog(QDialog):
    """Offers every barrel with its gate for the jobs; those that are ticked run them, no other."""

    def __init__(
        self,
        session: Session,
        appraisal: Appraisal,
        jobs: tuple[str, ...],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._session, self._appraisal, self._jobs = session, appraisal, jobs
        name_window(self, f"Run {jobs_name(appraisal, jobs)} only on")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        size_window(self, *_SIZE)
        self.barrels = QListWidget()
        self.barrels.setAccessibleName("Barrels that run it")
        self.barrels.setItemDelegate(Ticks(self.barrels))
        pinned = [one for job in jobs for one in pins_of(appraisal, job)]
        ticked = {one.barrel for one in pinned}
        for barrel in appraisal.barrels:
            item = list_item(barrel_line(appraisal, barrel.id, jobs))
            self.barrels.addItem(item)
            item.setData(_ID, barrel.id)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            state = Qt.CheckState.Checked if barrel.id in ticked else Qt.CheckState.Unchecked
            item.setCheckState(state)
        self.barrels.setCurrentRow(0)
        self.copy = QSpinBox()
        for widget in (self.copy, self.copy.lineEdit()):
            widget.setAccessibleName("Copy of the machine")
        self.copy.setRange(1, 99)
        self.copy.setValue(min((one.copy_number for one in pinned), default=1))
        self.consequence = Label()
        self.consequence.setWordWrap(True)
        self.barrels.itemChanged.connect(lambda _: self._show_consequence())
        self.copy.valueChanged.connect(lambda _: self._show_consequence())
        self._lay_out()
        self._show_consequence()

    def _lay_out(self) -> None:
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        of_copy = QFormLayout()
        of_copy.addRow("Cop&y of the machine", self.copy)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(self.barrels, 1)
        nest(column, of_copy)
        column.addWidget(self.consequence)
        column.addWidget(buttons)

    def chosen(self) -> tuple[str, ...]:
        """Return the barrels that are ticked."""
        items = (self.barrels.item(row) for row in range(self.barrels.count()))
        return tuple(i.data(_ID) for i in items if i.checkState() == Qt.CheckState.Checked)

    def _then(self, evaluation: Evaluation) -> Evaluation:
        return changes.pinned(evaluation, self._jobs, self.chosen(), self.copy.value())

    def _show_consequence(self) -> None:
        then = self._then(self._appraisal.evaluation)
        gates = consequences.gates_line(self._appraisal, gates_decided(self._appraisal, then))
        self.consequence.setText(f"{gates[:1].upper()}{gates[1:]}.")

    def accept(self) -> None:
        """Pin the jobs as they are ticked, and close."""
        text = f"Pin {jobs_name(self._appraisal, self._jobs)}"
        self._session.edit(text, self._then(self._session.evaluation))
        super().accept()


class PinsPanel(QWidget):
    """A row for each job with what it is pinned to."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.pin = QPushButton("&Pin to…")
        self.clear = QPushButton("C&lear pin")
        self.pin.clicked.connect(self._pin)
        self.clear.clicked.connect(self._clear)
        self.list = ListPanel(
            theme, "Jobs and the barrels they run on", decision.NO_JOBS, self.pin, self.clear
        )
        self.list.table.selectionModel().selectionChanged.connect(lambda *_: self._show_buttons())
        self.list.table.opened.connect(session.show_working)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        words = faint_words(decision.PINS_INTRODUCTION)
        words.setContentsMargins(GRID, GRID, GRID, 0)
        column.addWidget(words)
        column.addWidget(self.list, 1)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show each job as it is pinned now."""
        self.list.show_sheet(pins_sheet(appraisal))
        self._show_buttons()

    def choose(self, job: str) -> None:
        """Choose a job."""
        jobs = [one.id for one in self._session.evaluation.jobs]
        if job in jobs:
            self.list.table.selectRow(jobs.index(job))
        self.list.table.setFocus()

    def _jobs(self) -> tuple[str, ...]:
        jobs = self._session.evaluation.jobs
        return tuple(jobs[row].id for row in self.list.places() if row < len(jobs))

    def _show_buttons(self) -> None:
        jobs, session = self._jobs(), self._session
        pinned = {one.job for one in session.evaluation.assignment}
        barrels = session.appraisal is not None and bool(session.appraisal.barrels)
        self.pin.setEnabled(bool(jobs) and barrels)
        self.clear.setEnabled(not pinned.isdisjoint(jobs))

    def _pin(self) -> None:
        session, jobs = self._session, self._jobs()
        if session.appraisal is not None and jobs:
            PinDialog(session, session.appraisal, jobs, self).open()

    def _clear(self) -> None:
        session, jobs = self._session, self._jobs()
        if session.appraisal is not None:
            text = f"Clear the pin of {jobs_name(session.appraisal, jobs)}"
            session.edit(text, changes.pinned(session.evaluation, jobs, ()))
