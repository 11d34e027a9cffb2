"""Decision: from the gate over offers, cost, cover and order to a proposal and signatures."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtWidgets import (
    QPushButton,
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
    Reference,
    RuleRef,
    WayOut,
)
from evenbarrel.desk.forms.grids.settings_table import SettingsTable
from evenbarrel.desk.forms.refused_texts import Typing
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.decision.choosing.choosing import Choosing
from evenbarrel.desk.pages.decision.confirm_panel import ConfirmPanel
from evenbarrel.desk.pages.decision.export_panel import ExportPanel
from evenbarrel.desk.pages.decision.list_panel import ListPanel
from evenbarrel.desk.pages.decision.pins_panel import PinsPanel
from evenbarrel.desk.pages.decision.rules_panel import RulesPanel
from evenbarrel.desk.pages.decision.standing_by.sign_offs_panel import SignOffsPanel
from evenbarrel.desk.pages.decision.standing_by.standing_by import StandingBy
from evenbarrel.desk.pages.decision.steps import Steps
from evenbarrel.desk.pages.decision.ways_panel import WaysPanel
from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.style.heads import MOST_LINES, Head
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.rows_first import RowsFirst
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import ACCENT, GRID, WARNING, Theme, faint, heading
from evenbarrel.desk.tables.roles import ReferenceRole
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.files.exports import EXPORTS, AskPath, Export
from evenbarrel.desk.window.session import Session
from evenbarrel.entry import settings
from evenbarrel.model import changes
from evenbarrel.model.datum_path import Path
from evenbarrel.model.states.difference import EVERYTHING, Difference
from evenbarrel.wording.sentences.deciding import decision, steps
from evenbarrel.wording.sentences.deciding.gate import gate_line
from evenbarrel.wording.sheets.assumptions import CAUTIONS
from evenbarrel.wording.sheets.decision.proposal import MOST_NAMED, proposal_line
from evenbarrel.wording.sheets.gates.deviations import deviation_name, deviations_sheet, groups
from evenbarrel.wording.sheets.gates.gate import gate_sheet

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_ROWS_SEEN, _LEAST_TAB = 4, 304
"""How many gates are seen however low the window is, and how high what stands below them is at
least [px]."""


class DecisionPage(Page):
    """The headline and the proposal always in sight; below them the steps of the work.

    The first step is the gate; below its table stand, in tabs, what each barrel waits for and
    what was decided. What a choice needs is shown when its step is turned to.
    """

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
        self.words, self.safety, self.proposed = _headline()
        self.gate = self._gate_table(session, theme)
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
        self.deviations = ListPanel(
            theme, "Deviations accepted or refused", decision.NO_DEVIATIONS, self.remove_deviation
        )
        self.sign_offs = SignOffsPanel(session, theme)
        self.sign, self.remove_sign_off = self.sign_offs.sign, self.sign_offs.remove
        self.limits = SettingsTable(session, "Limit", settings.limits, notes=True)
        self.half_widths = SettingsTable(session, "Half-width", settings.half_widths, notes=False)
        self.exports = ExportPanel(session, exports, ask)
        self.cautions = _cautions()
        self.choosing = Choosing(session, theme, self.turn_to, self)
        self.choosing.wanted.connect(self._go)
        self.basis, self.offers = self.choosing.basis, self.choosing.offers
        self.costs, self.cover = self.choosing.costs, self.choosing.cover
        self.order, self.proposal = self.choosing.order, self.choosing.proposal
        self.standing_by = StandingBy(session, theme, ask, self)
        self.standing_by.wanted.connect(self._go_to_number)
        self.standing_by.sheet_wanted.connect(self.collecting_wanted)
        self.flips, self.ask = self.standing_by.flips, self.standing_by.ask
        self.acceptance = self.standing_by.acceptance
        self._appraisal: Appraisal | None = None
        self.gate_step = self._gate_step()
        self._parts = self._parts_to_show()
        self._unshown: set[QWidget] = set()
        self._lay_out()

    def _gate_table(self, session: Session, theme: Theme) -> SheetView:
        gate = SheetView(theme, "Gate on fit")
        gate.setSelectionBehavior(SheetView.SelectionBehavior.SelectRows)
        gate.end_with_rows(_ROWS_SEEN)
        gate.opened.connect(session.show_working)
        gate.keep_rows_low()
        gate.clicked.connect(self._clicked)
        gate.selectionModel().currentRowChanged.connect(lambda *_: self._choose_barrel())
        return gate

    def _parts_to_show(self) -> dict[QWidget, Callable[[Appraisal], None]]:
        """Return what shows an appraisal when it is turned to, a step or a tab below the gate."""
        return {
            self.gate_step: self._show_gate,
            self.ways: self._show_ways,
            self.rules: self.rules.show_appraisal,
            self.confirm: self.confirm.show_appraisal,
            self.pins: self.pins.show_appraisal,
            self.deviations: self._show_deviations,
            self.cautions: self._show_cautions,
            self.sign_offs: self.sign_offs.show_appraisal,
            self.exports: self.exports.show_appraisal,
        }

    def _lay_out(self) -> None:
        self.steps = Steps()
        for step, title, key in (
            (self.gate_step, "Gate", "place.decision"),
            (self.basis, "Basis", "place.basis"),
            (self.offers, "Offers", "place.offers"),
            (self.costs, "Cost", "place.cost"),
            (self.cover, "Cover", "place.cover"),
            (self.order, "Order", "place.order"),
            (self.proposal, "Proposal", "place.proposal"),
            (self.flips, "Flips", "place.flips"),
            (self.ask, "Ask", "place.ask"),
            (self.sign_offs, "Sign-offs", "place.sign_offs"),
            (self.acceptance, "Acceptance", "place.acceptance"),
            (self.exports, "Exports", "place.exports"),
        ):
            self.steps.add(step, title, key)
        self.steps.turned.connect(self.choosing.show_step)
        self.steps.turned.connect(self.standing_by.show_step)
        self.steps.turned.connect(lambda _: self._show_in_sight())
        self.tabs.currentChanged.connect(lambda _: self._show_in_sight())
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        column.addWidget(heading("Decision", 3.0))
        for label in (self.proposed, self.words, self.safety):
            column.addWidget(label)
        column.addWidget(self.steps, 1)

    def _gate_step(self) -> QWidget:
        """Return the table of the gates, and below it in tabs what they hang on."""
        self.tabs = QTabWidget()
        self._tab_of: dict[QWidget, Scrolling] = {}
        self.tabs.setDocumentMode(True)
        self.tabs.setAccessibleName("What a decision is based on")
        self.tabs.tabBar().setAccessibleName("What a decision is based on")
        for widget, title, key in (
            (self.ways, "Ways out", "place.ways"),
            (self.rules, "Rules", "place.rules"),
            (self.confirm, "To confirm", "confirmed_limit"),
            (self.pins, "Pins", "place.pins"),
            (self.deviations, "Deviations", "place.deviations"),
            (self.limits, "Limits", "limit"),
            (self.half_widths, "Half-widths", "place.half_widths"),
            (self.cautions, "Cautions", "place.cautions"),
        ):
            self._tab_of[widget] = Scrolling(widget)
            self.tabs.addTab(self._tab_of[widget], title)
            explain(widget, key)
        self.splitter = RowsFirst(self.gate, self.tabs)
        not_judged = faint(Label(decision.NOT_JUDGED))
        not_judged.setWordWrap(True)
        step = QWidget()
        column = QVBoxLayout(step)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID)
        column.addWidget(self.splitter, 1)
        column.addWidget(not_judged)
        return step

    def typing(self) -> tuple[Typing, ...]:
        """Return where a person types on this page."""
        return self.limits.model, self.half_widths.model, self.basis.form

    def show_appraisal(self, appraisal: Appraisal, difference: Difference = EVERYTHING) -> None:
        """Show gates and proposal as they are now, and what is turned to; the rest waits."""
        self._appraisal = appraisal
        # Without a barrel there is no table above its ways out: what a step holds scrolls in it.
        self.words_alone = not appraisal.barrels
        self.tabs.setMinimumHeight(_LEAST_TAB if appraisal.barrels else 0)
        self.words.setText(gate_line(appraisal))
        self.safety.setText(steps.safety_line(appraisal))
        self.safety.setVisible(bool(self.safety.text()))
        found = self.choosing.show_appraisal(appraisal, self.steps.current())
        self.standing_by.show_decision(found, self.steps.current())
        none = found.proposal is None
        self.proposed.setText(steps.NO_PROPOSAL if none else proposal_line(found, MOST_NAMED))
        # Before there is a barrel nothing can be proposed.
        self.proposed.setVisible(bool(appraisal.barrels) or not none)
        if difference.touches_settings:
            self.limits.show_evaluation(appraisal.evaluation)
            self.half_widths.show_evaluation(appraisal.evaluation)
        self._unshown = set(self._parts)
        if difference.whole:
            # Once for a document: how high they are says how high the tabs must be at least.
            self._show((self.gate_step, *self._tab_of))
        self._show_in_sight()

    def _show_in_sight(self) -> None:
        """Bring what is turned to up to date: the rest follows when it is."""
        step = self.steps.current()
        shown = [widget for widget, tab in self._tab_of.items() if tab is self.tabs.currentWidget()]
        self._show((step, *shown) if step is self.gate_step else (step,))

    def _show(self, parts: Iterable[QWidget | None]) -> None:
        """Bring those of the parts up to date that are not."""
        for part in parts:
            if part in self._unshown and self._appraisal is not None:
                self._unshown.discard(part)
                self._parts[part](self._appraisal)

    def open_datum(self, path: Path) -> None:
        """Show a limit, a half-width, or the field of a datum of the cost basis."""
        table = {"limits": self.limits, "uncertainty": self.half_widths}.get(path[0])
        if table is not None:
            self.turn_to(table)
            table.choose(path)
        else:
            self.turn_to(self.basis)
            self.basis.open_datum(path)

    def wait(self) -> None:
        """Stop what is computed beside the window."""
        self.choosing.wait()
        self.standing_by.wait()

    def commit(self) -> None:
        """Take what is being typed in a table."""
        self.limits.commit()
        self.half_widths.commit()

    def point_at(self, shown: Reference | WayOut) -> None:
        """Choose a barrel, with its ways out, and show the working of one of its criteria."""
        if not isinstance(shown, CriterionRef):
            return
        self.turn_to(self.gate)
        if shown.barrel in self._barrels:
            row = self._barrels.index(shown.barrel)
            self.gate.setCurrentIndex(self.gate.sheet_model.index(row, 0))
            self.turn_to(self.ways)
            self._session.show_working.emit(shown)

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
        self._unshown.add(self.ways)

    def _choose_barrel(self) -> None:
        row = self.gate.currentIndex().row()
        if 0 <= row < len(self._barrels):
            self._barrel = self._barrels[row]
            self._unshown.add(self.ways)
            self._show_in_sight()

    def _show_ways(self, appraisal: Appraisal) -> None:
        self.ways.show_barrel(appraisal, self._barrel)

    def _show_deviations(self, appraisal: Appraisal) -> None:
        self.deviations.show_sheet(deviations_sheet(appraisal))
        self.remove_deviation.setEnabled(bool(appraisal.evaluation.deviations))

    def _show_cautions(self, appraisal: Appraisal) -> None:
        self.cautions.setText("\n\n".join((*decision.incompatible_lines(appraisal), *CAUTIONS)))

    def _clicked(self, index: QModelIndex) -> None:
        """A click on what opens no working shows what the barrel waits for."""
        if index.data(ReferenceRole) is None:
            self.turn_to(self.ways)

    def _go(self, reference: Reference | WayOut) -> None:
        """Go to where a reason of a gate can be answered."""
        match reference:
            case RuleRef(criterion, barrel):
                self.turn_to(self.rules)
                self.rules.choose(criterion, barrel)
            case LimitRef():
                self.turn_to(self.confirm)
                self.confirm.choose(reference)
            case PinRef(job):
                self.turn_to(self.pins)
                self.pins.choose(job)
            case ClaimRef():
                self.claim_wanted.emit(reference)
            case DatumRef(path):
                self.datum_wanted.emit(path)
            case GateRef():
                self.turn_to(self.gate)
            case _:
                self._session.show_working.emit(reference)

    def turn_to(self, widget: QWidget) -> None:
        """Show the step, and below the gate the tab, that holds a widget."""
        self.steps.turn_to(widget)
        for tab in self._tab_of.values():
            if tab.isAncestorOf(widget):
                self.tabs.setCurrentWidget(tab)

    def _go_to_limit(self, limit: LimitRef) -> None:
        if limit.resin is not None:
            self.datum_wanted.emit(("resins", limit.resin, limit.field))
        else:
            self.open_datum(("limits", limit.field))

    def _go_to_number(self, place: LimitRef | DatumRef) -> None:
        if isinstance(place, LimitRef):
            self._go_to_limit(place)
        else:
            self.datum_wanted.emit(place.path)

    def _remove_deviation(self) -> None:
        session, entered = self._session, self._session.evaluation.deviations
        rows = groups(entered)
        places = [place for row in self.deviations.places() for place in rows[row]]
        if session.appraisal is None or not places:
            return
        name = deviation_name(session.appraisal, [entered[place] for place in places])
        after = changes.without_deviations(session.evaluation, places)
        session.edit(f"Remove deviation, {name}", after)


def _headline() -> tuple[Head, Head, Head]:
    """Return labels for the gates, for safety and for the proposal."""
    words, safety, proposed = (Head(lines=MOST_LINES) for _ in range(3))
    safety.setForegroundRole(WARNING)
    proposed.setForegroundRole(ACCENT)
    return words, safety, proposed


def _cautions() -> Label:
    cautions = Label()
    cautions.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    cautions.setWordWrap(True)
    cautions.setAlignment(Qt.AlignmentFlag.AlignTop)
    cautions.setContentsMargins(GRID, GRID, GRID, GRID)
    return cautions
