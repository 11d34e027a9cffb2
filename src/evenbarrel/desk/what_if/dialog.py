"""What if: any data tried on a copy, old beside new, kept as one step or thrown away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pydantic import ValidationError
from PySide6.QtCore import QEvent, QObject, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.decision.trials import Order, Tried, outcome_of
from evenbarrel.desk.fields.base import Field, TypedField, commit_focused
from evenbarrel.desk.fields.make import field_for
from evenbarrel.desk.fields.setting import SettingField
from evenbarrel.desk.fields.simple import ResinField
from evenbarrel.desk.forms.form import context_of
from evenbarrel.desk.help.glossary_window import explain_by_f1
from evenbarrel.desk.help.topics import explain, explain_shape
from evenbarrel.desk.style.plain import Label, list_item, name_window, set_tip
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.what_if.datum_search import ENTER, DatumSearch
from evenbarrel.desk.what_if.layout import lay_out
from evenbarrel.desk.what_if.tried import Trial, Tryable, as_tried, tryables, with_routes
from evenbarrel.desk.window.background import Job
from evenbarrel.desk.window.progress_line import ProgressLine
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import Context
from evenbarrel.model.datum_path import Path
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import what_if
from evenbarrel.wording.sentences.deciding.what_if import TriedLine
from evenbarrel.wording.sheets.what_if import outcome_words, what_if_sheet
from evenbarrel.wording.words.visible import visible_line

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_DELETE = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)


class WhatIf(QDialog):
    """Beside the window: a person tries data and sees old verdicts beside new ones.

    Closed, it keeps what is tried until that is thrown away or kept.
    """

    shown_or_tried = Signal()
    """It was opened or closed, or something else is tried."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.trial = Trial()
        self.chosen: Tryable | None = None
        self._known: dict[Path, Tryable] = {}
        self._rows: list[Path] = []
        self._picked: Path | None = None
        """Which of what is tried a person chose."""
        self._order_now: tuple[Appraisal, Order] | None = None
        self.outcome: Tried | None = None
        self.search = DatumSearch()
        self.field: Field | None = None
        self.place = QVBoxLayout()
        self.title, self.entered, self.problem = Label(), Label(), Label()
        self.tried, self.take_back = QListWidget(), QPushButton("Take &back")
        self.count = Label()
        self.changes = SheetView(theme, "As entered and as tried")
        self.progress_line = ProgressLine(self._stop, self.compute)
        self.keep, self.drop = QPushButton("&Keep"), QPushButton("&Discard")
        self._work = Job(self)
        name_window(self, what_if.TITLE, what_if.NOTHING_DECIDED)
        explain(self, "place.what_if")
        explain_by_f1(self)
        lay_out(self)
        self._connect()
        self._follow()

    def _connect(self) -> None:
        session = self._session
        self.search.chosen.connect(self.choose)
        self.tried.installEventFilter(self)
        self.tried.itemClicked.connect(lambda _: self._choose_tried())
        self.tried.currentRowChanged.connect(self._pick)
        self.take_back.clicked.connect(self._take_back)
        self.changes.opened.connect(session.show_working)
        self.keep.clicked.connect(self._keep)
        self.drop.clicked.connect(self.throw_away)
        self._work.done.connect(self._arrived)
        self._work.failed.connect(self._fail)
        self._work.progress.connect(self.progress_line.show_progress)
        session.changed.connect(lambda *_: self._follow())
        session.edited.connect(self._wait)
        session.opened.connect(self._forget)
        session.selection.changed.connect(self._follow_choice)

    @property
    def lines(self) -> tuple[TriedLine, ...]:
        """What is tried, in words."""
        evaluation = self._session.evaluation
        return self.trial.lines(evaluation, context_of(evaluation))

    def open(self) -> None:
        """Show it beside the window, the keyboard in the search."""
        self.show()
        self.activateWindow()
        self.search.begin()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what was changed while it was closed."""
        super().showEvent(event)
        self._follow()

    def done(self, result: int) -> None:
        """Close; what is tried stays, and what was typed is tried first."""
        commit_focused()
        super().done(result)
        self.shown_or_tried.emit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Enter take up again what is tried, and Delete take it back."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = Qt.Key(event.key())
            if key in ENTER:
                self._choose_tried()
                return True
            if key in _DELETE:
                self._take_back()
                return True
        return super().eventFilter(watched, event)

    def choose(self, one: Tryable) -> None:
        """Take up a datum to be tried: its field shows what is tried, or what is entered."""
        commit_focused()
        self.chosen = one
        self._show_field()
        if self.field is not None:
            self.field.setFocus(Qt.FocusReason.OtherFocusReason)
            if isinstance(self.field, TypedField):
                self.field.line.selectAll()

    def compute(self) -> None:
        """Appraise the copy and show what would be different; a large one beside the dialog."""
        self._work.stop()
        self.outcome = None
        now = self._session.appraisal
        if now is None or not self._session.is_current:
            self._wait()
            return
        self._show_problem("")
        if not self.trial.tried:
            self._show_outcome(None)
            return
        try:
            then = self.trial.applied(self._session.evaluation)
        except ValidationError as error:
            self._show_problem(pages.objection(f"{error.errors()[0]['msg']}."))
            return
        known = self._order_now
        order = known[1] if known is not None and known[0] is now else None
        if self._session.is_large:
            self.progress_line.show_busy(True, current=False)
            self._show_outcome(None)
            self._say("")
            self._work.start(lambda report: outcome_of(now, then, order, report))
        else:
            self._arrived(outcome_of(now, then, order))

    def wait(self) -> None:
        """Stop what runs, and wait until it has: before the window goes."""
        self._work.wait()

    def throw_away(self) -> None:
        """Discard all that is tried; the evaluation stays as it is."""
        self.trial.clear()
        self._show_field()
        self._show_tried()
        self.compute()

    def _arrived(self, outcome: Tried) -> None:
        self._order_now = outcome.before, outcome.order_before
        self.outcome = outcome
        self.progress_line.show_busy(False, current=True)
        self._show_outcome(outcome)

    def _fail(self, error: Exception) -> None:
        self._stop()
        raise error

    def _stop(self) -> None:
        self._work.stop()
        self.progress_line.show_busy(False, current=False)
        self._say(what_if.STOPPED)

    def _wait(self) -> None:
        """What is entered is not appraised yet: nothing can stand beside it."""
        self._work.stop()
        self.progress_line.show_busy(False, current=True)
        self._show_outcome(None)
        self._say(what_if.WAITING)

    def _show_problem(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))
        self.progress_line.show_busy(False, current=True)
        if text:
            self._show_outcome(None)
            self._say("")

    def _show_outcome(self, outcome: Tried | None) -> None:
        self.changes.setVisible(outcome is not None)
        self._say(what_if.NOTHING_TRIED if outcome is None else outcome_words(outcome))
        # What would come of it is seen before it can be kept.
        self.keep.setEnabled(outcome is not None)
        self.drop.setEnabled(bool(self.trial.values))
        if outcome is not None:
            self.changes.set_sheet(what_if_sheet(outcome))
            self.changes.fit_columns()

    def _say(self, text: str) -> None:
        self.count.setText(text)
        self.count.setVisible(bool(text))

    def _follow(self) -> None:
        """Show what is entered now: a thing may be gone, a value may be another."""
        if not self.isVisible() and not self.trial.values:
            return
        self._learn()
        self.trial.follow(self._session.evaluation, self._known)
        self._show_tried()
        self._show_field()
        self.compute()

    def _follow_choice(self) -> None:
        if self.isVisible():
            self._learn()

    def _learn(self) -> None:
        session = self._session
        offered = tryables(session.evaluation, *session.selection.pair)
        self._known = {one.path: one for one in offered}
        self.search.show_known(offered)

    def _forget(self) -> None:
        """Another evaluation: what was tried was of the one before."""
        had = bool(self.trial.values)
        self.trial.clear()
        self.chosen = self._order_now = None
        self._learn()
        self._show_tried()
        self._show_field()
        self.compute()
        if had:
            self._session.refused.emit(what_if.DROPPED)
            self.title.setText(what_if.DROPPED)

    def _choose_tried(self) -> None:
        row = self.tried.currentRow()
        if 0 <= row < len(self._rows) and self._rows[row] not in self.trial.gone:
            self.choose(self.trial.values[self._rows[row]][0])

    def _take_back(self) -> None:
        row = self.tried.currentRow()
        if 0 <= row < len(self._rows):
            self.trial.take_back(self._rows[row])
            self._show_tried()
            self._show_field()
            self.compute()

    def _pick(self, row: int) -> None:
        self._picked = self._rows[row] if 0 <= row < len(self._rows) else None

    def _show_tried(self) -> None:
        """List what is tried; the last is chosen, unless a person chose one that still is."""
        rows = self._rows = list(self.trial.values)
        with QSignalBlocker(self.tried):
            self.tried.clear()
            for line in self.lines:
                item = list_item(line.text())
                set_tip(item, line.text())
                self.tried.addItem(item)
            if self._picked not in rows:
                self._picked = None
            row = len(rows) - 1 if self._picked is None else rows.index(self._picked)
            self.tried.setCurrentRow(row)
        self.take_back.setEnabled(bool(self._rows))
        self.shown_or_tried.emit()

    def _show_field(self) -> None:
        """Show the field of what is chosen; one that stays keeps the keyboard and what is typed."""
        one, shown = self.chosen, self.field
        now = None if one is None else self._known.get(one.path)
        if one is not None and now is None:
            self._remove_field()
            self.title.setText(f"{one.name}: {what_if.GONE}")
            self.entered.hide()
            self.chosen = None
            return
        if now is None:
            self._remove_field()
            self.title.setText("")
            self.entered.hide()
            return
        self.chosen = now
        evaluation = self._session.evaluation
        if shown is None or shown.property("path") != "/".join(now.path):
            self._remove_field()
            self._add_field(now)
        assert self.field is not None
        self.title.setText(now.name)
        self.entered.setText(what_if.entered_line(self._entered_text(now)))
        self.entered.show()
        self.field.show_value(self.trial.present(now, evaluation))

    def _entered_text(self, one: Tryable) -> str:
        trial = Trial({one.path: (one, None)})
        return trial.lines(self._session.evaluation, self._context(one))[0].before

    def _add_field(self, one: Tryable) -> None:
        shape = with_routes(one, self._routes(one))
        if shape is None:
            self.field = SettingField(one.setting)
        else:
            self.field = field_for(shape, self._context(one))
            explain_shape(self.field, shape)
        if isinstance(self.field, ResinField):
            # A resin of the table would be an edit; those that are entered can be tried.
            self.field.table.hide()
        self.field.setProperty("path", "/".join(one.path))
        self.field.setAccessibleName(visible_line(one.name))
        set_tip(self.field, one.name)
        self.field.edited.connect(lambda value: self._try(one.path, value))
        if isinstance(self.field, TypedField):
            self.field.line.returnPressed.connect(self._next)
        self.place.addWidget(self.field)
        self.field.reset(self.trial.present(one, self._session.evaluation))

    def _remove_field(self) -> None:
        if self.field is not None:
            self.field.hide()
            self.field.deleteLater()
            self.field = None

    def _context(self, one: Tryable) -> Context:
        evaluation = self._session.evaluation
        currency = evaluation.bid(one.path[1]).currency if one.path[0] == "bids" else None
        return context_of(evaluation, currency)

    def _routes(self, one: Tryable) -> Path:
        """Return the routes that give this resin a factor."""
        appraisal = self._session.appraisal
        if appraisal is None or one.path[0] != "resins" or one.path[1] not in appraisal.resins:
            return ()
        known = appraisal.resins[one.path[1]].routes
        return tuple(route.route for route in known if route.factor is not None)

    def _try(self, path: Path, value: Any) -> None:
        """Try a value of the datum whose field it was typed in, whatever is chosen by now."""
        evaluation, one = self._session.evaluation, self._known.get(path)
        if one is None:
            return
        entered = self.trial.present(one, evaluation)
        self.trial.put(one, as_tried(value, entered), evaluation)
        self._show_tried()
        self.compute()

    def _next(self) -> None:
        """Enter in a line goes on to the search, for the next datum; what is refused stays."""
        field = self.field
        if field is None:
            return
        # Qt tells of Enter before it tells that the line was finished.
        field.commit()
        if field.draft() is None:
            self.search.begin()

    def _keep(self) -> None:
        text, evaluation = what_if.step_name(self.lines), self._session.evaluation
        trial = Trial(dict(self.trial.values), set(self.trial.gone))
        # Nothing is tried any more when what is kept comes round as what is entered.
        self.trial.clear()
        if not self._session.try_edit(text, lambda: trial.applied(evaluation)):
            self.trial = trial
        self._show_tried()
        self._show_field()
        self.compute()
