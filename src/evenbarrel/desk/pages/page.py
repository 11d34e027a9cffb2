"""What the window asks of a page."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeySequence
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.fields.base import commit_focused
from evenbarrel.desk.style.least_size import LeastSize
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import Path, TypedText
from evenbarrel.model.states.difference import EVERYTHING, Difference

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.references import ClaimRef, Reference, WayOut
    from evenbarrel.desk.collecting.ways import Wish
    from evenbarrel.desk.forms.refused_texts import Typing


class Page(LeastSize):
    """One page of the window: it shows an appraisal and keeps nothing of it."""

    _session: Session
    words_alone = False
    """Whether nothing stands on it but why: it needs no more room than that."""

    datum_wanted = Signal(tuple)
    """Carries the Path of a datum to go to, on whatever page that is."""
    claim_wanted = Signal(object)
    """Carries the ClaimRef of a claim to be shown in full."""
    collecting_wanted = Signal(object)
    """Carries the Wish of what a person wants done of collecting bids, where that is."""
    room_wanted = Signal(int)
    """Carries the width below which the page wants the room of the drawers too [px]."""
    what_if_wanted = Signal()
    """A person wants to try other data."""

    def show_appraisal(self, appraisal: Appraisal, difference: Difference = EVERYTHING) -> None:
        """Show the appraisal; `difference` says what is other than when it was last shown."""
        raise NotImplementedError

    def show_entries(self) -> None:
        """Show what is entered now where a person types; verdicts follow by `show_appraisal`.

        Nothing came, went or moved since the appraisal that is shown.
        """

    def wait(self) -> None:
        """Stop what runs beside the page, and wait until it has: before the window goes."""

    def entrance(self) -> QWidget | None:
        """Return where the keyboard comes in by a key; None for what Tab reaches first."""
        return None

    def commit(self) -> None:
        """Take what stands typed and not yet left."""

    def closeEvent(self, event: QCloseEvent) -> None:
        """Let nothing go on when the page is closed."""
        self.wait()
        super().closeEvent(event)

    def typing(self) -> Iterable[Typing]:
        """Return the forms and tables of this page, which keep what they could not take."""
        return ()

    def refused(self) -> tuple[TypedText, ...]:
        """Return what was typed on this page and not taken, of every thing, shown or not."""
        evaluation = self._session.evaluation
        return tuple(text for place in self.typing() for text in place.not_taken(evaluation))

    def take_back(self, typed: TypedText) -> bool:
        """Keep a text as if it had been typed here; False where this page has no such place."""
        evaluation = self._session.evaluation
        return any(place.take_back(typed, evaluation) for place in self.typing())

    def open_typed(self, typed: TypedText) -> None:
        """Take the keyboard to where a text of this page was typed and not taken."""
        if typed.table:
            # Loaded when it is wanted: the window is painted before there is anything to refer to.
            from evenbarrel.appraisal.references import DatumRef

            self.point_at(DatumRef(typed.path))
        else:
            self.open_datum(typed.path)

    def open_datum(self, path: Path) -> None:
        """Show the thing and the field of the datum at `path`, where this page has it."""

    def open_claim(self, reference: ClaimRef) -> None:
        """Show a claim in full, where this page shows claims."""

    def collect(self, wish: Wish) -> None:
        """Do what a person wants done of collecting bids, where this page collects them."""

    def point_at(self, shown: Reference | WayOut) -> None:
        """Choose what a guided look tells of, where this page has it."""


def page_action(page: Page, text: str, keys: str, act: Callable[[], object]) -> QAction:
    """Return a step of a page, reached by keys; what is being typed is taken before it."""
    action = QAction(text, page)
    action.setShortcut(QKeySequence(keys))

    def step() -> None:
        # What is being typed belongs to the thing that is still shown.
        commit_focused()
        page.commit()
        act()

    action.triggered.connect(step)
    page.addAction(action)
    return action
