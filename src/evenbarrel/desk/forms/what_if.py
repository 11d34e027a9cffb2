"""What if: a limit, half-width, route or temperature tried on a copy, kept only when asked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pydantic import ValidationError
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import (
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.comparison import changed_cells
from evenbarrel.desk.fields.base import Field, QuietCombo
from evenbarrel.desk.fields.make import field_for
from evenbarrel.desk.forms import settings
from evenbarrel.desk.forms.form import context_of
from evenbarrel.desk.forms.settings import Setting, SettingField
from evenbarrel.desk.help.glossary_window import explain_by_f1
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.style.plain import Label, name_window
from evenbarrel.desk.style.theme import GRID, PROBLEM, Theme
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import Shape, shapes_of
from evenbarrel.model.datum import Datum
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.resin import Resin
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import decision

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

KINDS = ("Limit", "Half-width", "Route of the output factor", "Melt temperature")
DEBOUNCE_MS = 150
_SIZE = (820, 520)


class WhatIf(QDialog):
    """Beside the window: a person tries settings and sees old verdicts beside new ones."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._tried: dict[settings.Key, tuple[Setting, Any]] = {}
        self._offered: tuple[Setting, ...] = ()
        name_window(self, "What if")
        explain(self, "place.what_if")
        explain_by_f1(self)
        self.resize(*_SIZE)
        self.kind, self.thing = QuietCombo(), QuietCombo()
        self.kind.setAccessibleName("What to change")
        self.thing.setAccessibleName("Which one")
        self.kind.addItems(KINDS)
        self.kind.activated.connect(lambda _: self._offer())
        self.thing.activated.connect(lambda _: self._show_field())
        self.field: Field | None = None
        self.words, self.problem = Label(), Label()
        self.words.setWordWrap(True)
        self.problem.setWordWrap(True)
        self.problem.setForegroundRole(PROBLEM)
        self.count = Label()
        self.count.setWordWrap(True)
        self.changed_cells = SheetView(theme, "Verdicts that would change")
        self.changed_cells.opened.connect(session.show_working)
        self.keep, self.drop = QPushButton("&Keep"), QPushButton("&Drop")
        self.keep.clicked.connect(self._keep)
        self.drop.clicked.connect(self._drop)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(DEBOUNCE_MS)
        self._timer.timeout.connect(self.compute)
        self._lay_out()
        session.changed.connect(lambda _: self._follow())
        self._offer()
        self.compute()

    def _lay_out(self) -> None:
        told = Label(decision.WHAT_IF)
        told.setWordWrap(True)
        self._rows = QFormLayout()
        self._rows.setVerticalSpacing(GRID)
        self._rows.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        self._rows.addRow("&Change", self.kind)
        self._rows.addRow("&Which", self.thing)
        close = QPushButton("Close")
        close.clicked.connect(self.close)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for button in (self.keep, self.drop, close):
            button.setAutoDefault(False)
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, GRID * 2)
        column.setSpacing(GRID)
        column.addWidget(told)
        column.addLayout(self._rows)
        for widget in (self.words, self.problem, self.count):
            column.addWidget(widget)
        column.addWidget(self.changed_cells, 1)
        column.addStretch()
        column.addLayout(buttons)

    def choose(self, key: settings.Key) -> None:
        """Offer the setting of that key for trying; raises StopIteration."""
        kinds = ("limit", "half_width", "route", "temperature")
        self.kind.setCurrentIndex(kinds.index(key[0]))
        self._offer()
        place = next(n for n, setting in enumerate(self._offered) if setting.key == key)
        self.thing.setCurrentIndex(place)
        self._show_field()

    def trial(self) -> Evaluation:
        """Return the copy with everything tried; raises pydantic.ValidationError or KeyError."""
        evaluation = self._session.evaluation
        for setting, value in self._tried.values():
            evaluation = settings.put_value(evaluation, setting.key, value)
        return evaluation

    def compute(self) -> None:
        """Appraise the copy and show which verdicts change."""
        now = self._session.appraisal
        if now is None:
            return
        tried = [
            (
                setting.label,
                settings.text_of(key, settings.value_of(now.evaluation, key)),
                settings.text_of(key, value),
            )
            for key, (setting, value) in self._tried.items()
        ]
        self.words.setText(decision.tried_line(tried))
        try:
            then = appraise(self.trial()) if tried else now
        except ValidationError as error:
            self._show_problem(pages.objection(f"{error.errors()[0]['msg']}."))
            return
        self._show_problem("")
        self._show_changes(now, then)

    def _forget_gone(self, evaluation: Evaluation) -> None:
        known = {resin.id for resin in evaluation.resins}
        of_resin = ("route", "temperature")
        self._tried = {
            key: one
            for key, one in self._tried.items()
            if key[0] not in of_resin or key[1] in known
        }

    def _show_problem(self, text: str) -> None:
        self.problem.setText(text)
        self.problem.setVisible(bool(text))
        self.keep.setEnabled(bool(self._tried) and not text)
        self.drop.setEnabled(bool(self._tried))
        if text:
            self.count.hide()
            self.changed_cells.hide()

    def _show_changes(self, now: Appraisal, then: Appraisal) -> None:
        changed = changed_cells(now, then)
        total = len(now.barrels) * len(now.jobs)
        self.count.setText(decision.changed_line(changed, total))
        self.count.setVisible(bool(self._tried))
        self.changed_cells.set_sheet(decision.changed_sheet(now, changed))
        self.changed_cells.fit_columns()
        self.changed_cells.setVisible(bool(self._tried))

    def _offers(self) -> tuple[Setting, ...]:
        """Return what can be tried of the chosen kind."""
        evaluation = self._session.evaluation
        offers = (
            settings.limits,
            settings.half_widths,
            lambda: settings.of_resins(evaluation, "route"),
            lambda: settings.of_resins(evaluation, "temperature"),
        )
        return offers[self.kind.currentIndex()]()

    def _offer(self) -> None:
        self._offered = self._offers()
        self.thing.clear()
        self.thing.addItems([setting.label for setting in self._offered])
        self._show_field()

    def _follow(self) -> None:
        """Offer what there is now: a resin may be gone, a value may be another."""
        self._forget_gone(self._session.evaluation)
        place = self.thing.currentIndex()
        chosen = self._offered[place].key if 0 <= place < len(self._offered) else None
        if self._offers() != self._offered:
            self._offer()
            keys = [setting.key for setting in self._offered]
            if chosen in keys:
                self.thing.setCurrentIndex(keys.index(chosen))
                self._show_field()
        elif self.field is not None:
            self.field.show_value(self._present(self._offered[place]))
        self._timer.start()

    def _present(self, setting: Setting) -> Any:
        """Return what is tried for a setting, or what it is."""
        tried = self._tried.get(setting.key)
        return (
            settings.value_of(self._session.evaluation, setting.key) if tried is None else tried[1]
        )

    def _show_field(self) -> None:
        if self.field is not None:
            self._rows.removeRow(self.field)
            self.field = None
        place = self.thing.currentIndex()
        if not 0 <= place < len(self._offered):
            return
        setting = self._offered[place]
        self.field = self._field_for(setting)
        self.field.reset(self._present(setting))
        self.field.edited.connect(lambda value: self._try(setting, value))
        self._rows.addRow("&Try", self.field)

    def _field_for(self, setting: Setting) -> Field:
        context = context_of(self._session.evaluation)
        if setting.key[0] == "route":
            shape = Shape("route", "choice", Datum(setting.label), self._routes(setting.key[1]))
            return field_for(shape, context)
        if setting.key[0] == "temperature":
            return field_for(shapes_of(Resin)["melt_temperature"], context)
        return SettingField(setting)

    def _routes(self, resin: str) -> tuple[str, ...]:
        """Return the routes that give this resin a factor."""
        appraisal = self._session.appraisal
        known = () if appraisal is None else appraisal.resins[resin].routes
        return tuple(route.route for route in known if route.factor is not None)

    def _try(self, setting: Setting, value: Any) -> None:
        if value == settings.value_of(self._session.evaluation, setting.key):
            self._tried.pop(setting.key, None)
        else:
            self._tried[setting.key] = (setting, value)
        self._timer.start()

    def _keep(self) -> None:
        text = f"Keep {', '.join(setting.label for setting, _ in self._tried.values())}"
        kept = self._session.try_edit(text, self.trial)
        if kept:
            self._drop()

    def _drop(self) -> None:
        self._tried = {}
        self._show_field()
        self.compute()
