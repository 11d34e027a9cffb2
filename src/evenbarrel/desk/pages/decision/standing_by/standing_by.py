"""The steps a proposal stands by: flips, ask and acceptance, each shown when it is turned to."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from evenbarrel.decision.decide import Decision
from evenbarrel.desk.pages.decision.standing_by.acceptance_panel import AcceptancePanel
from evenbarrel.desk.pages.decision.standing_by.ask_panel import AskPanel
from evenbarrel.desk.pages.decision.standing_by.flips_panel import FlipsPanel
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.files.exports import AskPath
from evenbarrel.desk.window.session import Session


class StandingBy(QObject):
    """Holds the panels; what is of a state that is gone is shown by none of them."""

    wanted = Signal(object)
    """Carries the Place to go to."""
    sheet_wanted = Signal(object)
    """Carries the Wish for a data sheet for suppliers."""

    def __init__(
        self, session: Session, theme: Theme, ask: AskPath | None, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._decision: Decision | None = None
        self._unshown: set[QWidget] = set()
        self.flips = FlipsPanel(session, theme)
        self.ask = AskPanel(theme)
        self.acceptance = AcceptancePanel(session, theme, ask)
        self.flips.wanted.connect(self.wanted)
        self.ask.opened.connect(session.show_working)
        self.ask.sheet_wanted.connect(self.sheet_wanted)

    def show_decision(self, decision: Decision, current: QWidget | None) -> None:
        """Show the step that is turned to; the others follow when they are."""
        self._decision = decision
        # At once: what is looked for, or was found, is of a state that is gone.
        self.flips.show_decision(decision)
        self._unshown = {self.ask, self.acceptance}
        self.show_step(current)

    def show_step(self, step: QWidget | None) -> None:
        """Bring a step up to date, where it is not."""
        if step in self._unshown and self._decision is not None:
            self._unshown.discard(step)
            if isinstance(step, AskPanel | AcceptancePanel):
                step.show_decision(self._decision)

    def wait(self) -> None:
        """Stop what runs beside the window, and wait for it."""
        self.flips.wait()
        self.acceptance.wait()
