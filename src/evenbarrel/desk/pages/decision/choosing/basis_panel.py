"""Basis: what costs and sets of machines are computed from, entered here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtWidgets import QCheckBox, QTabWidget, QVBoxLayout, QWidget

from evenbarrel.desk.fields.base import commit_focused
from evenbarrel.desk.forms.add_resin import ask_for_resin
from evenbarrel.desk.forms.form import Form, context_of, scrolled
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.decision.choosing.row_kinds import (
    FORBIDDEN,
    LINES,
    MEASURES,
    RATES,
    SCOPE,
)
from evenbarrel.desk.pages.decision.choosing.rows_panel import RowsPanel
from evenbarrel.desk.pages.decision.list_panel import faint_words
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.model.cost import Cost
from evenbarrel.model.datum_path import CostPath, Path, ThingPath
from evenbarrel.wording.sentences.deciding import steps
from evenbarrel.wording.words import labels

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_STEP = {True: "Real rates", False: "Nominal rates"}


class BasisPanel(QWidget):
    """A form of the cost basis, and a list for each thing there may be several of."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.form = Form(Cost)
        self.form.drafted.connect(session.keep_soon)
        self.form.edited.connect(self._put)
        self.form.resin_wanted.connect(self._want_resin)
        self.real = QCheckBox(steps.REAL)
        self.real.clicked.connect(self._put_real)
        self.waiting = QCheckBox(steps.WAITING_FITS)
        self.waiting.clicked.connect(self._put_waiting)
        self.rates = RowsPanel(session, theme, RATES)
        self.lines = RowsPanel(session, theme, LINES)
        self.scope = RowsPanel(session, theme, SCOPE)
        self.forbidden = RowsPanel(session, theme, FORBIDDEN, self.waiting)
        self.measures = RowsPanel(session, theme, MEASURES)
        self._lists = (self.rates, self.lines, self.scope, self.forbidden, self.measures)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName("What costs are computed from")
        self.tabs.tabBar().setAccessibleName("What costs are computed from")
        page = scrolled(self.form, faint_words(steps.BASIS_INTRODUCTION), self.real)
        for widget, title, key in (
            (page, "Rates and hours", "place.basis"),
            (self.rates, "Exchange", "exchange_rate"),
            (self.lines, "Cost lines", "cost_line"),
            (self.scope, "Scope", "scope"),
            (self.forbidden, "Barred", "place.cover"),
            (self.measures, "Measures", "measure"),
        ):
            self.tabs.addTab(widget, title)
            explain(widget, key)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(self.tabs)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show the basis as it stands."""
        evaluation = appraisal.evaluation
        self.form.show_thing(evaluation.cost, CostPath(), context_of(evaluation))
        self.real.setChecked(evaluation.cost.real)
        self.waiting.setChecked(bool(evaluation.cover_options.waiting_fits))
        for one in self._lists:
            one.show_appraisal(appraisal)

    def open_datum(self, path: Path) -> None:
        """Put the keyboard into a field of the basis, or show the list it stands in."""
        name = str(path[1]) if len(path) > 1 else ""
        if name == "exchange_rates":
            self.tabs.setCurrentWidget(self.rates)
            self.rates.add.setFocus()
        elif name == "lines":
            self.tabs.setCurrentWidget(self.lines)
            self.lines.add.setFocus()
        else:
            self.tabs.setCurrentIndex(0)
            self.form.focus_field(name)

    def commit(self) -> None:
        """Take what is being typed."""
        commit_focused()

    def _put(self, subject: ThingPath, name: str, value: Any) -> None:
        session = self._session
        before = getattr(session.evaluation.cost, name)
        text = f"Change {labels.datum_of(Cost, name).lower()}"
        if not session.put((*subject.path, name), value, text):
            self.form.refuse(subject, name, before)

    def _want_resin(self, subject: ThingPath, name: str) -> None:
        ask_for_resin(self._session, self, lambda resin: self._put(subject, name, resin))

    def _put_real(self, real: bool) -> None:
        self._session.put(("cost", "real"), real, _STEP[real])

    def _put_waiting(self, allowed: bool) -> None:
        # Absent is no: an older digest knows of no such field.
        self._session.put(
            ("cover_options", "waiting_fits"), True if allowed else None, "Sets may use what waits"
        )
