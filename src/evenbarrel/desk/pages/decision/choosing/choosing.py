"""The steps from the basis to the proposal: each shown when it is turned to, and kept current."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from evenbarrel.decision.decide import Decision, decide
from evenbarrel.desk.pages.decision.choosing.basis_panel import BasisPanel
from evenbarrel.desk.pages.decision.choosing.cost_panel import CostPanel
from evenbarrel.desk.pages.decision.choosing.cover_panel import CoverPanel
from evenbarrel.desk.pages.decision.choosing.order_panel import OrderPanel
from evenbarrel.desk.pages.decision.choosing.proposal_panel import ProposalPanel
from evenbarrel.desk.pages.decision.choosing.sheet_step import SheetStep
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.background import must_wait
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.sheets.decision.offers import NO_OFFERS, offers_sheet
from evenbarrel.wording.sheets.decision.proposal import JobsOf, jobs_of_cover, jobs_of_order

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal


class Choosing(QObject):
    """Holds the panels and the decision they show; what is of a state that is gone is dropped."""

    wanted = Signal(object)
    """Carries the Reference of what a person opened, or the Place to go to."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        turn_to: Callable[[QWidget], None],
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._session, self._turn_to = session, turn_to
        self.decision: Decision | None = None
        self._unshown: set[QWidget] = set()
        self.basis = BasisPanel(session, theme)
        self.offers = SheetStep(theme, "Offers on one footing", 2)
        self.costs = CostPanel(theme)
        self.cover = CoverPanel(theme)
        self.order = OrderPanel(theme)
        self.proposal = ProposalPanel(session, theme)
        self.offers.table.opened.connect(self.wanted)
        self.proposal.wanted.connect(self.wanted)
        for step in (self.costs, self.cover, self.order, self.proposal):
            step.opened.connect(self.wanted)
        session.opened.connect(self.cover.begin_anew)
        self.cover.proposed.connect(lambda cover: self._propose(jobs_of_cover(cover)))
        self.order.proposed.connect(self._propose_barrel)
        session.costing.done.connect(self._costed)

    def show_appraisal(self, appraisal: Appraisal, current: QWidget | None) -> Decision:
        """Show the step that is turned to; the others follow when they are."""
        found = self._session.decision
        if found is None or found.appraisal is not appraisal:
            found = decide(appraisal)
        self.decision = found
        self._unshown = {
            *(self.basis, self.offers, self.costs, self.cover, self.order, self.proposal)
        }
        self.cover.forget()
        self.show_step(current)
        return found

    def show_step(self, step: QWidget | None) -> None:
        """Bring a step up to date, where it is not."""
        found = self.decision
        if step is None or step not in self._unshown or found is None:
            return
        if isinstance(step, CostPanel | OrderPanel) and must_wait(found):
            step.show_waiting()
            self._session.costing.want(found)
            return
        self._unshown.discard(step)
        if step is self.basis:
            self.basis.show_appraisal(found.appraisal)
        elif step is self.offers:
            self.offers.show_sheet(offers_sheet(found), NO_OFFERS)
        elif isinstance(step, CostPanel | CoverPanel | OrderPanel | ProposalPanel):
            step.show_decision(found)

    def wait(self) -> None:
        """Stop what runs beside the window, and wait for it."""
        self._session.costing.wait()
        self.cover.wait()

    def _costed(self, found: Decision) -> None:
        if found is self.decision:
            for step in (self.costs, self.order):
                if step.isVisible():
                    self.show_step(step)

    def _propose(self, jobs_of: JobsOf) -> None:
        self._turn_to(self.proposal)
        self.proposal.ask(jobs_of)

    def _propose_barrel(self, barrel: str) -> None:
        if self.decision is not None:
            self._propose(jobs_of_order(self.decision, barrel))
