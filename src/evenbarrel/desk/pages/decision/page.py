"""Decision: the gate, what was accepted, who signed, what it is judged by, and the exports."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.forms import settings
from evenbarrel.desk.forms.decision_forms import sign_off_dialog
from evenbarrel.desk.forms.settings_table import SettingsTable
from evenbarrel.desk.pages.decision.export_panel import ExportPanel
from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, faint, heading
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.tables.wrapped_headings import with_tips
from evenbarrel.desk.window.exports import EXPORTS, AskPath, Export
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.difference import EVERYTHING, Difference
from evenbarrel.report import sign_offs
from evenbarrel.wording.sentences import decision
from evenbarrel.wording.sentences.gate import gate_line
from evenbarrel.wording.sheets.assumptions import CAUTIONS
from evenbarrel.wording.sheets.programme import gate_sheet
from evenbarrel.wording.sheets.sheet import Sheet

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_SHARES = (380, 320)


class ListPanel(QWidget):
    """A table of what people decided, with a way to take an entry back."""

    def __init__(self, theme: Theme, name: str, empty: str, *buttons: QPushButton) -> None:
        super().__init__()
        self.table = SheetView(theme, name)
        self.table.setSelectionBehavior(SheetView.SelectionBehavior.SelectRows)
        self.empty = faint(Label(empty))
        self.empty.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setSpacing(GRID)
        column.addWidget(self.empty)
        column.addWidget(self.table, 1)
        row = QHBoxLayout()
        for button in buttons:
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)
        # Where there is nothing to show, words and buttons stay at the top.
        column.addStretch()

    def show_sheet(self, sheet: Sheet) -> None:
        """Show the entries, or what an empty table teaches."""
        self.table.set_sheet(sheet)
        self.table.fit_columns()
        self.table.setVisible(bool(sheet.rows))
        self.empty.setVisible(not sheet.rows)

    def row(self) -> int | None:
        """Return the place of the chosen entry, or None."""
        index = self.table.currentIndex()
        return index.row() if index.isValid() else None


class DecisionPage(Page):
    """The gate above; below it, in tabs, what a decision stands on."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        exports: tuple[Export, ...] = EXPORTS,
        ask: AskPath | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self.words = Label()
        self.words.setWordWrap(True)
        self.gate = SheetView(theme, "Gate on fit")
        self.gate.opened.connect(session.show_working)
        self.remove_deviation = QPushButton("&Remove deviation")
        self.remove_deviation.clicked.connect(self._remove_deviation)
        self.sign = QPushButton("&Sign off…")
        self.sign.clicked.connect(self._sign)
        self.remove_sign_off = QPushButton("Remove si&gnature")
        self.remove_sign_off.clicked.connect(self._remove_sign_off)
        self.deviations = ListPanel(
            theme, "Accepted deviations", decision.NO_DEVIATIONS, self.remove_deviation
        )
        self.sign_offs = ListPanel(
            theme, "Signatures", decision.NO_SIGN_OFFS, self.sign, self.remove_sign_off
        )
        self.limits = SettingsTable(session, "Limit", settings.limits, notes=True)
        self.half_widths = SettingsTable(session, "Half-width", settings.half_widths, notes=False)
        self.exports = ExportPanel(session, exports, ask)
        self.cautions = Label()
        self.cautions.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.cautions.setWordWrap(True)
        self.cautions.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.cautions.setContentsMargins(GRID, GRID, GRID, GRID)
        self._lay_out()

    def _lay_out(self) -> None:
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName("What a decision stands on")
        self.tabs.tabBar().setAccessibleName("What a decision stands on")
        for widget, title in (
            (self.deviations, "Deviations"),
            (self.sign_offs, "Sign-offs"),
            (self.limits, "Limits"),
            (self.half_widths, "Half-widths"),
            (self.exports, "Exports"),
            (self.cautions, "Cautions"),
        ):
            self.tabs.addTab(widget, title)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(self.gate)
        self.splitter.addWidget(self.tabs)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.setSizes(list(_SHARES))
        not_judged = faint(Label(decision.NOT_JUDGED))
        not_judged.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        column.addWidget(heading("Decision", 3.0))
        column.addWidget(self.words)
        column.addWidget(not_judged)
        column.addWidget(self.splitter, 1)

    def refused(self) -> tuple[str, ...]:
        """Return the settings in which something is typed that was not taken."""
        tables = (self.limits, self.half_widths)
        return tuple(text for table in tables for text in table.model.refused_texts())

    def show_appraisal(self, appraisal: Appraisal, difference: Difference = EVERYTHING) -> None:
        """Show gate, decisions and settings as they are now."""
        self.words.setText(gate_line(appraisal))
        self.gate.set_sheet(with_tips(gate_sheet(appraisal)))
        self.gate.setVisible(bool(appraisal.barrels))
        self.deviations.show_sheet(decision.deviations_sheet(appraisal))
        self.remove_deviation.setEnabled(bool(appraisal.evaluation.deviations))
        self._show_sign_offs(appraisal)
        if difference.touches_settings:
            self.limits.show_evaluation(appraisal.evaluation)
            self.half_widths.show_evaluation(appraisal.evaluation)
        self.exports.show_appraisal(appraisal)
        self.cautions.setText("\n\n".join((*decision.incompatible_lines(appraisal), *CAUTIONS)))

    def commit(self) -> None:
        """Take what is being typed in a table."""
        self.limits.commit()
        self.half_widths.commit()

    def _show_sign_offs(self, appraisal: Appraisal) -> None:
        signed = bool(appraisal.evaluation.sign_offs)
        # The digests are costly and only a signature is held against them.
        now = sign_offs.results_digest_of(appraisal) if signed else ""
        self.sign_offs.show_sheet(decision.sign_offs_sheet(appraisal, now))
        self.remove_sign_off.setVisible(signed)

    def _remove_deviation(self) -> None:
        place, session = self.deviations.row(), self._session
        if place is None or session.appraisal is None:
            return
        one = session.evaluation.deviations[place]
        text = f"Remove deviation, {decision.deviation_name(session.appraisal, one)}"
        session.edit(text, changes.without_deviation(session.evaluation, place))

    def _sign(self) -> None:
        session = self._session

        def take(values: dict[str, object]) -> None:
            appraisal = session.appraisal
            if appraisal is not None:
                session.try_edit("Sign off", lambda: sign_offs.signed(appraisal, values))

        dialog = sign_off_dialog(date.today(), self)
        dialog.answered.connect(take)
        dialog.open()

    def _remove_sign_off(self) -> None:
        place, session = self.sign_offs.row(), self._session
        if place is not None:
            session.edit("Remove signature", changes.without_sign_off(session.evaluation, place))
