"""What choosing another route of a resin's output factor would change, compared beside the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.window.background import Job, Report
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences import pages

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.results import ResinResult

ROUTES = ("trade_table", "melt_density", "data_sheet", "air_shot", "own")
AFTER_MS = 150


class RouteEffects(QWidget):
    """Compares one route after the other, a pause after the last edit, while it is looked at."""

    compared = Signal(str, str)
    """Carries a route, and what it would change in words."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        # It has no face of its own: what is told stands beside the routes.
        self.setMaximumSize(0, 0)
        self._session = session
        self._resin = ""
        self.waiting: list[str] = []
        self._work = Job(self)
        self._work.done.connect(self._arrived)
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.timeout.connect(self.compare_next)

    def forget(self) -> None:
        """Compare nothing: what was waiting is of before."""
        self.waiting = []
        self._work.stop()

    def compare(self, result: ResinResult) -> None:
        """Compare the routes that a resin has a factor by and does not use."""
        known = {one.route for one in result.routes if one.factor is not None}
        self.waiting = [route for route in ROUTES if route in known - {result.route}]
        self._resin = result.id
        self.begin()

    def begin(self) -> None:
        """Go on with what waits, after a pause."""
        self._pause.start(AFTER_MS)

    def compare_next(self) -> None:
        """Compare the first of the routes that wait; the others follow one by one."""
        appraisal = self._session.appraisal
        if appraisal is None or not self.waiting or not self.isVisible():
            return
        if self._session.is_large:
            # Each comparison appraises everything anew, for what nobody asked.
            return
        route = self.waiting[0]
        path = ("resins", self._resin, "output_factor_route")
        then = edits.put(appraisal.evaluation, path, route)
        self._work.start(lambda report: (route, _effect(appraisal, then, report)))

    def wait(self) -> None:
        """Stop what runs, and wait until it has: before the window goes."""
        self._work.wait()

    def _arrived(self, effect: tuple[str, str]) -> None:
        self.waiting.remove(effect[0])
        self.compared.emit(*effect)
        self.compare_next()


def _effect(appraisal: Appraisal, then: Evaluation, report: Report) -> str:
    # Loaded with the first comparison: they bring numpy along.
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.appraisal.comparison import changed_cells

    changed = changed_cells(appraisal, appraise(then, appraisal, report))
    return pages.would_change([cell.after for cell in changed])
