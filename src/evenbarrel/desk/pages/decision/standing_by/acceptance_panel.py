"""Acceptance: series weighed on a machine against what was claimed, and what is guaranteed."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QPushButton, QTabWidget, QVBoxLayout, QWidget

from evenbarrel.decision.acceptance import Series, factor_to_take
from evenbarrel.decision.decide import Decision
from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.decision.choosing.sheet_step import SheetPart
from evenbarrel.desk.pages.decision.list_panel import faint_words
from evenbarrel.desk.pages.decision.standing_by.guarantees_panel import GuaranteesPanel
from evenbarrel.desk.pages.decision.standing_by.series_dialog import SeriesDialog
from evenbarrel.desk.style.folding_row import FoldingRow
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, WARNING, Theme
from evenbarrel.desk.window.files.exports import AskPath, Export, Exporter
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.record import series as edits
from evenbarrel.wording.sentences.deciding import standing_by as words
from evenbarrel.wording.standing_by.acceptance import (
    CAUTIONS,
    RULE,
    acceptance_sheet,
    series_by_row,
    series_sentence,
    weighed_where,
)
from evenbarrel.wording.words.names import full_name, names_of_resins

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_NAME = 28
"""Characters of a barrel's name that the choice has room for."""
_LONGEST_NAME = 60


class AcceptancePanel(QWidget):
    """The cautions first, for the work is done at a hot machine; then series and guarantees."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        ask: AskPath | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._barrels: tuple[str, ...] = ()
        self._series: tuple[Series, ...] = ()
        self.cautions = Label("\n".join(CAUTIONS))
        self.cautions.setWordWrap(True)
        self.cautions.setForegroundRole(WARNING)
        self.barrel = QuietCombo()
        self.barrel.setAccessibleName("Barrel that is accepted")
        self.barrel.setSizeAdjustPolicy(
            QuietCombo.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.barrel.setMinimumContentsLength(_NAME)
        self.protocol = QPushButton("Protocol as &PDF…")
        self.protocol.clicked.connect(self._write_protocol)
        self.notice = Notice()
        self.exporter = Exporter(session, self.notice, ask or Dialogs(self).file_to_write, self)
        self.series = SheetPart(theme, "Series weighed", 1)
        self.table = self.series.table
        self.table.setSelectionBehavior(self.table.SelectionBehavior.SelectRows)
        self.table.selectionModel().currentRowChanged.connect(lambda *_: self._show_one())
        self.table.opened.connect(session.show_working)
        self.one = Label()
        self.one.setAccessibleName("The chosen series in full")
        self.one.setWordWrap(True)
        self.add, self.change = QPushButton("&Add series…"), QPushButton("&Change…")
        self.remove, self.take = QPushButton("&Remove"), QPushButton("&Use factor for the resin")
        self.add.clicked.connect(lambda: self._ask(None))
        self.change.clicked.connect(self._change)
        self.remove.clicked.connect(self._remove)
        self.take.clicked.connect(self._take)
        self.guarantees = GuaranteesPanel(session, theme)
        self.barrel.activated.connect(lambda _: self._show_guarantees())
        self._lay_out()

    def _lay_out(self) -> None:
        title = Label("&Barrel")
        title.setBuddy(self.barrel)
        weighed = QWidget()
        inner = QVBoxLayout(weighed)
        inner.setSpacing(GRID)
        self.series.lay_into(inner)
        inner.addWidget(FoldingRow(self.add, self.change, self.remove, self.take))
        inner.addWidget(self.one)
        inner.addStretch(1)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName("What is accepted")
        self.tabs.tabBar().setAccessibleName("What is accepted")
        self.tabs.addTab(weighed, "Series weighed")
        self.tabs.addTab(self.guarantees, "To be guaranteed")
        explain(self.guarantees, "guarantee")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(faint_words(words.ACCEPTANCE_INTRODUCTION))
        column.addWidget(self.cautions)
        self.choice = FoldingRow(title, self.barrel, self.protocol)
        self.none = faint_words(words.ACCEPTANCE_NO_BARREL)
        column.addWidget(self.none)
        column.addWidget(self.choice)
        column.addWidget(self.notice)
        column.addWidget(self.tabs, 1)
        column.addStretch()

    def show_decision(self, decision: Decision) -> None:
        """Show what was weighed and its present results; the barrel stays chosen."""
        appraisal = decision.appraisal
        before = self._barrel()
        self._barrels = tuple(barrel.id for barrel in appraisal.barrels)
        self.barrel.clear()
        self.barrel.addItems([full_name(appraisal, barrel) for barrel in self._barrels])
        chosen = before if before in self._barrels else _first(decision, self._barrels)
        if chosen in self._barrels:
            self.barrel.setCurrentIndex(self._barrels.index(chosen))
        self._series = series_by_row(appraisal)
        sheet = replace(acceptance_sheet(appraisal), notes=(RULE,))
        self.series.show_sheet(sheet, words.ACCEPTANCE_EMPTY)
        if self._series and self.table.currentIndex().row() < 0:
            self.table.setCurrentIndex(self.table.sheet_model.index(0, 1))
        # Nothing is weighed, and nobody near hot melt, before there is a barrel.
        there = bool(self._barrels or self._series)
        self.none.setVisible(not there)
        for part in (self.cautions, self.choice, self.tabs):
            part.setVisible(there)
        for widget in (self.barrel, self.protocol, self.add):
            widget.setEnabled(bool(self._barrels))
        self._show_one()
        self._show_guarantees()

    def chosen(self) -> Series | None:
        """Return the series whose row is chosen; None while what is shown is not current."""
        row = self.series.row()
        known = self._session.is_current and 0 <= row < len(self._series)
        return self._series[row] if known else None

    def wait(self) -> None:
        """Stop what is written, and wait for it: before the window goes."""
        self.exporter.wait()

    def _barrel(self) -> str:
        place = self.barrel.currentIndex()
        return self._barrels[place] if 0 <= place < len(self._barrels) else ""

    def _show_one(self) -> None:
        """Tell of the chosen series in full, and offer what can be done with it."""
        series, appraisal = self.chosen(), self._session.appraisal
        self.one.setVisible(series is not None)
        if series is not None and appraisal is not None:
            self.one.setText(series_sentence(appraisal, series))
        for button in (self.change, self.remove):
            button.setVisible(bool(self._series))
            button.setEnabled(series is not None)
        able = series is not None and series.factor is not None and series.resin is not None
        self.take.setVisible(bool(self._series))
        self.take.setEnabled(able)

    def _show_guarantees(self) -> None:
        appraisal = self._session.appraisal
        if appraisal is not None:
            self.guarantees.show_barrel(appraisal, self._barrel())

    def _change(self) -> None:
        series = self.chosen()
        if series is not None:
            self._ask(series)

    def _ask(self, series: Series | None) -> None:
        session, place = self._session, None
        if session.appraisal is None:
            return
        evaluation, measured, test = session.evaluation, None, 0
        if series is not None:
            place = (series.acceptance, series.test)
            measured, test = evaluation.acceptance[series.acceptance], series.test
        dialog = SeriesDialog(session.appraisal, measured, test, self)
        if measured is None:
            dialog.fields["barrel"].reset(self._barrel() or None)
        text = "Add series" if place is None else "Change series"
        dialog.answered.connect(
            lambda values: session.try_edit(
                text,
                lambda: edits.with_series(session.evaluation, dialog.measured(values), place),
            )
        )
        dialog.open()

    def _remove(self) -> None:
        series, session = self.chosen(), self._session
        if series is not None:
            place = (series.acceptance, series.test)
            session.edit("Remove series", edits.without_series(session.evaluation, {place}))

    def _take(self) -> None:
        series, session = self.chosen(), self._session
        appraisal = session.appraisal
        if series is None or series.resin is None or appraisal is None:
            return
        resin, factor = series.resin, factor_to_take(series, weighed_where(appraisal, series))
        if factor is not None:
            name = names_of_resins(session.evaluation)[resin]
            after = changes.with_air_shots(session.evaluation, resin, factor)
            session.edit(f"Use output factor of {name} from air shots", after)

    def _write_protocol(self) -> None:
        barrel = self._barrel()
        appraisal = self._session.appraisal
        if appraisal is None or not barrel:
            return

        def render(shown: Appraisal) -> bytes:
            from evenbarrel.report.protocol import render_protocol

            return render_protocol(shown, barrel)

        plain = re.sub(r"[^a-z0-9]+", "-", full_name(appraisal, barrel).casefold()).strip("-")
        name = f"protocol-{plain or barrel}"[:_LONGEST_NAME]
        self.exporter.start(Export("Acceptance protocol", "protocol", ".pdf", render, name=name))


def _first(decision: Decision, barrels: tuple[str, ...]) -> str:
    """Return the barrel that is proposed, else the first."""
    proposal = decision.appraisal.evaluation.proposal
    proposed = () if proposal is None else proposal.barrels
    return next((one for one in proposed if one in barrels), next(iter(barrels), ""))
