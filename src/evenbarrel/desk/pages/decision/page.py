"""Decision: the gate, what was accepted, who signed, what it is judged by, and the exports."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtWidgets import (
    QPushButton,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import (
    ClaimRef,
    CriterionRef,
    DatumRef,
    GateRef,
    LimitRef,
    PinRef,
    Place,
    Reference,
    RuleRef,
)
from evenbarrel.desk.forms.decision_forms import sign_off_dialog
from evenbarrel.desk.forms.settings_table import SettingsTable
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.decision.confirm_panel import ConfirmPanel
from evenbarrel.desk.pages.decision.export_panel import ExportPanel
from evenbarrel.desk.pages.decision.list_panel import ListPanel
from evenbarrel.desk.pages.decision.pins_panel import PinsPanel
from evenbarrel.desk.pages.decision.rules_panel import RulesPanel
from evenbarrel.desk.pages.decision.ways_panel import WaysPanel
from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme, faint, heading
from evenbarrel.desk.tables.sheet_table import ReferenceRole, SheetView
from evenbarrel.desk.window.exports import EXPORTS, AskPath, Export
from evenbarrel.desk.window.session import Session
from evenbarrel.entry import settings
from evenbarrel.model import changes
from evenbarrel.model.difference import EVERYTHING, Difference
from evenbarrel.report import sign_offs
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.sentences.deciding.gate import gate_line
from evenbarrel.wording.sheets.assumptions import CAUTIONS
from evenbarrel.wording.sheets.gates.deviations import deviation_name, deviations_sheet, groups
from evenbarrel.wording.sheets.gates.gate import gate_sheet
from evenbarrel.wording.standing import signatures

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_SHARES = (300, 400)


class DecisionPage(Page):
    """The gate above; below it, in tabs, what each barrel waits for and what was decided."""

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
        self.gate.setSelectionBehavior(SheetView.SelectionBehavior.SelectRows)
        self.gate.opened.connect(session.show_working)
        self.gate.clicked.connect(self._clicked)
        self.gate.selectionModel().currentRowChanged.connect(lambda *_: self._choose_barrel())
        self._barrels: tuple[str, ...] = ()
        self._barrel: str | None = None
        self.ways = WaysPanel(theme)
        self.ways.wanted.connect(self._go)
        self.rules = RulesPanel(session, theme)
        self.confirm = ConfirmPanel(session, theme)
        self.confirm.limit_wanted.connect(self._go_to_limit)
        self.pins = PinsPanel(session, theme)
        self.remove_deviation = QPushButton("&Remove decision")
        self.remove_deviation.clicked.connect(self._remove_deviation)
        self.sign = QPushButton("&Sign off…")
        self.sign.clicked.connect(self._sign)
        self.remove_sign_off = QPushButton("Remove si&gnature")
        self.remove_sign_off.clicked.connect(self._remove_sign_off)
        self.deviations = ListPanel(
            theme, "Deviations accepted or refused", decision.NO_DEVIATIONS, self.remove_deviation
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
        for widget, title, key in (
            (self.ways, "Ways out", "place.ways"),
            (self.rules, "Rules", "place.rules"),
            (self.confirm, "To confirm", "confirmed_limit"),
            (self.pins, "Pins", "place.pins"),
            (self.deviations, "Deviations", "place.deviations"),
            (self.sign_offs, "Sign-offs", "place.sign_offs"),
            (self.limits, "Limits", "limit"),
            (self.half_widths, "Half-widths", "place.half_widths"),
            (self.exports, "Exports", "place.exports"),
            (self.cautions, "Cautions", "place.cautions"),
        ):
            self.tabs.addTab(widget, title)
            explain(widget, key)
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.addWidget(self.gate)
        self.splitter.addWidget(self.tabs)
        self.splitter.setChildrenCollapsible(False)
        self.splitter.setSizes(list(_SHARES))
        for place, share in enumerate(_SHARES):
            self.splitter.setStretchFactor(place, share)
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
        self._show_gate(appraisal)
        self.rules.show_appraisal(appraisal)
        self.confirm.show_appraisal(appraisal)
        self.pins.show_appraisal(appraisal)
        self.deviations.show_sheet(deviations_sheet(appraisal))
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

    def point_at(self, shown: Reference | Place) -> None:
        """Choose a barrel, with its ways out, and show the working of one of its criteria."""
        if isinstance(shown, CriterionRef) and shown.barrel in self._barrels:
            row = self._barrels.index(shown.barrel)
            self.gate.setCurrentIndex(self.gate.sheet_model.index(row, 0))
            self.tabs.setCurrentWidget(self.ways)
            self._session.show_working.emit(shown)

    def _show_sign_offs(self, appraisal: Appraisal) -> None:
        signed = bool(appraisal.evaluation.sign_offs)
        # The digests are costly and only a signature is held against them.
        now = sign_offs.results_digest_of(appraisal) if signed else ""
        self.sign_offs.show_sheet(signatures.sign_offs_sheet(appraisal, now))
        self.remove_sign_off.setVisible(signed)

    def _show_gate(self, appraisal: Appraisal) -> None:
        sheet = gate_sheet(appraisal)
        # The order follows the gates: the barrel stays chosen wherever its row went.
        self._barrels, kept = (), self._barrel
        self.gate.set_sheet(sheet)
        self.gate.setVisible(bool(appraisal.barrels))
        self._barrels = tuple(r.barrel for r in sheet.row_references if isinstance(r, GateRef))
        states = appraisal.gates.states
        waiting = (barrel for barrel in self._barrels if states[barrel] != "no_objection")
        first = next(waiting, next(iter(self._barrels), None))
        self._barrel = kept if kept in self._barrels else first
        if self._barrel is not None:
            column = max(0, self.gate.currentIndex().column())
            row = self._barrels.index(self._barrel)
            self.gate.setCurrentIndex(self.gate.sheet_model.index(row, column))
        self.ways.show_barrel(appraisal, self._barrel)

    def _choose_barrel(self) -> None:
        row, appraisal = self.gate.currentIndex().row(), self._session.appraisal
        if appraisal is not None and 0 <= row < len(self._barrels):
            self._barrel = self._barrels[row]
            self.ways.show_barrel(appraisal, self._barrel)

    def _clicked(self, index: QModelIndex) -> None:
        """A click on what opens no working shows what the barrel waits for."""
        if index.data(ReferenceRole) is None:
            self.tabs.setCurrentWidget(self.ways)

    def _go(self, reference: Reference | Place) -> None:
        """Go to where a reason of a gate can be answered."""
        match reference:
            case RuleRef(criterion, barrel):
                self.tabs.setCurrentWidget(self.rules)
                self.rules.choose(criterion, barrel)
            case LimitRef():
                self.tabs.setCurrentWidget(self.confirm)
                self.confirm.choose(reference)
            case PinRef(job):
                self.tabs.setCurrentWidget(self.pins)
                self.pins.choose(job)
            case ClaimRef():
                self.claim_wanted.emit(reference)
            case DatumRef(path):
                self.datum_wanted.emit(path)
            case _:
                self._session.show_working.emit(reference)

    def _go_to_limit(self, limit: LimitRef) -> None:
        if limit.resin is not None:
            self.datum_wanted.emit(("resins", limit.resin, limit.field))
        else:
            self.tabs.setCurrentWidget(self.limits)
            self.limits.choose(limit.field)

    def _remove_deviation(self) -> None:
        session, entered = self._session, self._session.evaluation.deviations
        rows = groups(entered)
        places = [place for row in self.deviations.places() for place in rows[row]]
        if session.appraisal is None or not places:
            return
        name = deviation_name(session.appraisal, [entered[place] for place in places])
        after = changes.without_deviations(session.evaluation, places)
        session.edit(f"Remove deviation, {name}", after)

    def _sign(self) -> None:
        session = self._session

        def take(values: dict[str, object]) -> None:
            appraisal = session.appraisal
            if appraisal is None or not session.is_current:
                session.refused.emit(pages.WAIT_FOR_VERDICTS)
            else:
                session.try_edit("Sign off", lambda: sign_offs.signed(appraisal, values))

        dialog = sign_off_dialog(date.today(), self)
        dialog.answered.connect(take)
        dialog.open()

    def _remove_sign_off(self) -> None:
        places, session = self.sign_offs.places(), self._session
        for place in places[:1]:
            session.edit("Remove signature", changes.without_sign_off(session.evaluation, place))
