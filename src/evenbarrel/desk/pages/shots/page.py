"""Shots: the planned jobs, edited in place, with the resin each is run in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelectionModel, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import DatumRef, Reference, ShotRef, WayOut
from evenbarrel.desk.forms.add_resin import ask_for_resin
from evenbarrel.desk.forms.cell_edits import CellEdits, grid_context, with_datum
from evenbarrel.desk.forms.form import Form, context_of, scrolled
from evenbarrel.desk.forms.grids.computed import Computed
from evenbarrel.desk.forms.grids.entered_cells import ShapeRole
from evenbarrel.desk.forms.grids.entry_model import EntryModel
from evenbarrel.desk.forms.grids.entry_table import EntryView
from evenbarrel.desk.forms.grids.grid_note import GridNote
from evenbarrel.desk.forms.refused_texts import Typing
from evenbarrel.desk.pages.page import Page, page_action
from evenbarrel.desk.pages.shots.programme_dialog import ProgrammeDialog
from evenbarrel.desk.pages.shots.resin_panel import ResinPanel
from evenbarrel.desk.style.buttons import LineButton, button_for
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import GRID, Theme, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import shapes_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import copy_of_job, new_job, new_jobs, with_data, without_job
from evenbarrel.model.evaluation import MOST_JOBS, Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.states.difference import EVERYTHING, Difference
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import job_called, job_name
from evenbarrel.wording.words.numbers import display_unit, shown, unit_text

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

COLUMNS = (
    "name",
    "resin",
    "part_mass",
    "cavities",
    "runner_kind",
    "runner_mass",
    "smallest_shot_mass",
    "largest_shot_mass",
    "cycle_time",
    "cooling_time",
    "fill_time",
    "required_pressure",
)
_RESULTS_AT = COLUMNS.index("cycle_time")
_LEAST_FORM, _LEAST_RESIN = 408, 384
_SHARE_OF_FORM, _SHARE_OF_RESIN = 3, 2
"""How the height is shared where the resin stands below."""
_TABLE_AND_FORM = (248, 560)
_WIDEST_ABOUT = 640
_NAMES = 2
"""Columns at the left that hold names."""
_WIDTHS = (132, 136, 48, 64, 56, 56, 64, 56, 56, 64, 48, 56, 44, 68)


class ShotsPage(Page):
    """The planned jobs as a table, the chosen one in full below, its resin beside."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        shapes = [shapes_of(Job)[name] for name in COLUMNS]
        self.model = EntryModel(shapes, theme, self._put_cells, _found, computed_at=_RESULTS_AT)
        self.table = EntryView(self.model, "Planned jobs")
        self.note = GridNote(self.table)
        self.form = Form(Job)
        self.resins = ResinPanel(session)
        self.empty = Label(pages.SHOTS_EMPTY)
        self.about = Form(Evaluation)
        self.programme = LineButton()
        self._followed: tuple[str, str | None] = ("", None)
        self._led_on: int | None = None
        self._form_title = heading("", 1.0)
        self._form_area = scrolled(self.form, self._form_title)
        self._resin_area = scrolled(self.resins)
        self._make_actions()
        self._lay_out()
        self._connect()

    def wait(self) -> None:
        """Stop what runs beside the page, before the window goes."""
        self.resins.comparing.wait()

    def show_appraisal(self, appraisal: Appraisal, difference: Difference = EVERYTHING) -> None:
        """Show the planned jobs as they are now."""
        evaluation = appraisal.evaluation
        line = pages.programme_line(
            evaluation.title, evaluation.buyer, evaluation.site, evaluation.as_of
        )
        self.programme.show_line(line)
        fresh = not self.model.columnCount() or not self.model.rowCount()
        self.note.hide()
        self.model.show_things(
            evaluation.jobs, grid_context(evaluation), (), _shot_columns(appraisal), MOST_JOBS
        )
        if fresh:
            self.table.share_out(_WIDTHS, _NAMES)
        has_jobs = bool(evaluation.jobs)
        self._form_area.setVisible(has_jobs)
        # An empty page is for entering or pasting the first jobs.
        has_resins = bool(evaluation.resins)
        self._in_full.setVisible(has_jobs or has_resins)
        # A resin alone stands beside the empty table: below it there is no height left.
        way = Qt.Orientation.Vertical if has_jobs else Qt.Orientation.Horizontal
        if way != self._both.orientation():
            self._both.setOrientation(way)
            self._both.setSizes(list(_TABLE_AND_FORM))
        self.empty.setVisible(not has_jobs)
        asks_about = not has_jobs and not has_resins
        self.about.setVisible(asks_about)
        if asks_about:
            self.about.show_thing(evaluation, edits.ProgrammePath(), context_of(evaluation))
        for action in (self.duplicate_job, self.remove_job):
            action.setEnabled(has_jobs)
        if has_jobs and self._session.selection.job is None:
            self._session.selection.choose_job(evaluation.jobs[0].id)
        self.resins.show_appraisal(appraisal)
        self._show_job(appraisal)

    def show_entries(self) -> None:
        """Show the jobs as they are entered; computed columns and hints follow."""
        evaluation = self._session.evaluation
        self.model.show_entered(evaluation.jobs)
        subject = self.form.subject
        if isinstance(subject, edits.JobPath):
            self.form.show_thing(evaluation.job(subject.job), subject, context_of(evaluation))

    def open_datum(self, path: edits.Path) -> None:
        """Show a job's field, or a resin's data with the keyboard in the field at `path`."""
        match path:
            case ("resins", resin, *_):
                self.resins.show_resin(resin)
                self.resins.open_data(path)
            case (name,):
                if self.about.isVisible():
                    self.about.focus_field(name)
                else:
                    self._open_programme()
            case ("jobs", job, name):
                self._session.selection.choose_job(job)
                self.form.focus_field(name)

    def point_at(self, shown: Reference | WayOut) -> None:
        """Choose a job and show how its shot comes about, or the cell of a datum."""
        match shown:
            case ShotRef(job):
                self._session.selection.choose_job(job)
                self._session.show_working.emit(shown)
            case DatumRef(("jobs", job, name)):
                shapes = (self.model.index(0, at).data(ShapeRole) for at in range(len(_WIDTHS)))
                column = next(at for at, one in enumerate(shapes) if one and one.name == name)
                self.table.setFocus(Qt.FocusReason.OtherFocusReason)
                self.table.setCurrentIndex(self.model.index(self.model.place_of(job), column))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the resin stand below the job's form where there is no room beside it."""
        super().resizeEvent(event)
        beside = self.width() >= _LEAST_FORM + _LEAST_RESIN
        direction = QBoxLayout.Direction
        self._below.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        self._below.setStretch(1, 0 if beside else _SHARE_OF_RESIN)

    def commit(self) -> None:
        """Take what is being typed in the table; a job that Tab alone began is none."""
        self.table.commit()
        self._take_back_unused()

    def typing(self) -> tuple[Typing, ...]:
        """Return where a person types on this page."""
        return self.model.texts, self.about, self.form

    def _make_actions(self) -> None:
        self.add_job = page_action(self, pages.ADD_JOB, "Ctrl+Shift+J", self._add)
        self.duplicate_job = page_action(self, "Duplicate job", "Ctrl+Shift+D", self._duplicate)
        self.remove_job = page_action(self, "Remove job", "Ctrl+Delete", self._remove)
        self.add_resin = page_action(
            self, "Add resin from table…", "Ctrl+Shift+R", self._ask_for_resin
        )

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(heading("Planned shots", 3.0))
        # Long titles are cut there, never the window widened.
        self.programme.setMinimumWidth(10 * GRID)
        set_tip(self.programme, "Title, buyer, site and date of the evaluation")
        top.addWidget(self.programme)
        top.addStretch(1)
        for action in (self.add_job, self.duplicate_job, self.remove_job):
            top.addWidget(button_for(action))
        self.empty.setWordWrap(True)
        self.empty.setMargin(2 * GRID)
        self.empty.hide()
        self.about.hide()
        self.about.setMaximumWidth(_WIDEST_ABOUT)
        self.table.verticalHeader().hide()
        self.table.freeze_names()
        self._form_area.setMinimumWidth(_LEAST_FORM)
        self._resin_area.setMinimumWidth(_LEAST_RESIN)
        self._in_full = below = QWidget()
        # Else the layout side by side would keep the page from ever being narrower.
        below.setMinimumWidth(_LEAST_FORM)
        self._below = QBoxLayout(QBoxLayout.Direction.LeftToRight, below)
        self._below.setContentsMargins(0, 0, 0, 0)
        self._below.addWidget(self._form_area, _SHARE_OF_FORM)
        self._below.addWidget(self._resin_area)
        self._both = both = QSplitter(Qt.Orientation.Vertical)
        both.addWidget(self.table)
        both.addWidget(below)
        both.setStretchFactor(1, 1)
        both.setSizes(list(_TABLE_AND_FORM))
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, 0)
        nest(column, top)
        column.addWidget(self.about)
        column.addWidget(self.empty)
        column.addWidget(self.note)
        column.addWidget(both, 1)

    def _connect(self) -> None:
        session = self._session
        self.model.edited.connect(
            lambda job, name, value: self._put(edits.JobPath(job), name, value)
        )
        self.model.refused.connect(session.refused)
        drafted = (self.form.drafted, self.about.drafted)
        for refusing in (self.model.refused, self.table.begun, *drafted):
            refusing.connect(session.keep_soon)
        self.model.remarked.connect(session.refused)
        self.table.opened.connect(session.show_working)
        self.table.grows = True
        self.table.row_wanted.connect(self._go_on)
        self.table.selectionModel().currentRowChanged.connect(
            lambda row, _: self._chosen(row.row())
        )
        self.form.edited.connect(self._put)
        self.about.edited.connect(
            lambda _, name, value: session.put((name,), value, labels.datum(name))
        )
        self.form.resin_wanted.connect(self._want_resin)
        self.programme.clicked.connect(self._open_programme)
        session.selection.changed.connect(self._follow)

    def _put(self, subject: edits.JobPath, name: str, value: object) -> None:
        evaluation = self._session.evaluation
        before: Job = edits.get(evaluation, subject.path)
        text = pages.changed_datum(labels.datum_of(Job, name), job_called(evaluation, before))
        taken = self._session.try_edit(
            text, lambda: with_datum(evaluation, (*subject.path, name), value)
        )
        if not taken:
            self.form.refuse(subject, name, getattr(before, name))

    def _put_cells(self, cells: CellEdits) -> bool:
        def make() -> Evaluation:
            evaluation = cells.with_their_resins(self._session.evaluation)
            fresh = new_jobs(evaluation, len(cells.added))
            added = [job.replace(**data) for job, data in zip(fresh, cells.added, strict=True)]
            return with_data(evaluation, ("jobs",), cells.values, added)

        return self._session.try_edit(cells.title, make)

    def _chosen(self, row: int) -> None:
        jobs = self._session.evaluation.jobs
        if 0 <= row < len(jobs):
            self._session.selection.choose_job(jobs[row].id)

    def _follow(self) -> None:
        if self._session.appraisal is not None and self.isVisible():
            self._show_job(self._session.appraisal)

    def _show_job(self, appraisal: Appraisal) -> None:
        name = self._session.selection.job
        row = self.model.place_of(name) if name is not None else -1
        if name is None or row < 0:
            return
        job = appraisal.evaluation.jobs[row]
        self._form_title.setText(job_name(appraisal, job.id))
        self.form.show_thing(job, edits.JobPath(job.id), context_of(appraisal.evaluation))
        self.form.show_hints(
            pages.job_hints(appraisal.job(name), appraisal.evaluation.display_units)
        )
        if self.table.currentIndex().row() != row:
            column = max(0, self.table.currentIndex().column())
            self.table.selectionModel().setCurrentIndex(
                self.model.index(row, column), QItemSelectionModel.SelectionFlag.ClearAndSelect
            )
        # Another resin may be looked at until another job, or another resin for it, is chosen.
        if (job.id, job.resin) != self._followed:
            self._followed = (job.id, job.resin)
            self.resins.show_resin(job.resin or self.resins.resin)

    def _shown_job(self) -> edits.JobPath | None:
        """Return the job that the form shows, while the evaluation still has it."""
        subject = self.form.subject
        if not isinstance(subject, edits.JobPath):
            return None
        return subject if self.model.place_of(subject.job) >= 0 else None

    def _add(self) -> None:
        self._append(new_job(self._session.evaluation), pages.ADD_JOB)

    def _go_on(self) -> None:
        """Begin the job that Tab or typing leads on to."""
        self._add()
        self._led_on = self._session.undo_stack.index()

    def _take_back_unused(self) -> None:
        """Take the job back that Tab led on to, where nothing was done since: it asks and counts.

        After the last job Tab leads to one more, and many a person stops there.
        """
        led_on, self._led_on = self._led_on, None
        if led_on is None or led_on != self._session.undo_stack.index():
            return
        begun = edits.JobPath(self._session.evaluation.jobs[-1].id).path
        if all(typed.path[: len(begun)] != begun for typed in self.refused()):
            self._session.undo_stack.undo()

    def _duplicate(self) -> None:
        evaluation = self._session.evaluation
        shown = self._shown_job()
        if shown is not None:
            job: Job = edits.get(evaluation, shown.path)
            self._append(copy_of_job(evaluation, job), "Duplicate job")

    def _append(self, job: Job, text: str) -> None:
        self._session.edit(text, edits.append(self._session.evaluation, ("jobs",), job))
        self._session.selection.choose_job(job.id)
        self.table.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.table.selectionModel().setCurrentIndex(
            self.model.index(self.model.rowCount() - 1, 0),
            QItemSelectionModel.SelectionFlag.ClearAndSelect,
        )

    def _remove(self) -> None:
        shown = self._shown_job()
        if shown is not None:
            self._session.try_edit(
                "Remove job", lambda: without_job(self._session.evaluation, shown.job)
            )

    def _ask_for_resin(self) -> None:
        ask_for_resin(self._session, self, self.resins.show_resin)

    def _want_resin(self, subject: edits.JobPath, name: str) -> None:
        ask_for_resin(self._session, self, lambda resin: self._put(subject, name, resin))

    def _open_programme(self) -> None:
        typed = self.about.not_taken(self._session.evaluation)
        dialog = ProgrammeDialog(self._session, typed, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()


def _found(evaluation: Evaluation, job: str) -> tuple[edits.Path, Job]:
    return ("jobs", job), evaluation.job(job)


def _shot_columns(appraisal: Appraisal) -> tuple[Computed, ...]:
    units = appraisal.evaluation.display_units
    masses: dict[str, tuple[str, Reference | None]] = {}
    volumes: dict[str, tuple[str, Reference | None]] = {}
    for job in appraisal.jobs:
        shot = job.nominal
        mass = None if shot is None else shot.mass.nominal
        volume = None if shot is None or shot.volume is None else shot.volume.nominal
        reference = ShotRef(job.id)
        masses[job.id] = (shown(mass, "mass", units), reference)
        volumes[job.id] = (shown(volume, "volume", units), reference)
    return (
        Computed("Shot mass", unit_text(display_unit("mass", units)), masses),
        Computed("Shot volume", unit_text(display_unit("volume", units)), volumes),
    )
