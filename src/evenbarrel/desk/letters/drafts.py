"""What a person wrote in letters, kept for as long as the document is open."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from evenbarrel.desk.window.exports import AskPath
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.sentences.pages import WAIT_FOR_VERDICTS

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from evenbarrel.desk.letters.letter_window import LetterWindow
    from evenbarrel.desk.style.theme import Theme

DAYS_TO_ANSWER = timedelta(days=14)
"""What is suggested: two weeks."""


@dataclass
class Draft:
    """One letter as a person left it; words are None while they stand as suggested."""

    person: str
    day: date | None
    answer_by: date | None
    only_new: bool = False
    words: str | None = None
    closing: str | None = None
    suggested: str = ""
    """The words that were suggested when a person began to edit them."""


class Letters(QObject):
    """Opens the window of a letter, one a bid, and keeps what was written in it."""

    def __init__(self, session: Session, theme: Theme, ask: AskPath, over: QWidget) -> None:
        super().__init__(over)
        self._session, self._theme, self._ask, self._over = session, theme, ask, over
        self._drafts: dict[str, Draft] = {}
        self._windows: dict[str, LetterWindow] = {}
        session.letter_wanted.connect(self.open)
        session.opened.connect(self._forget)
        session.changed.connect(lambda *_: self._follow())

    def open(self, bid: str) -> None:
        """Show the letter to the supplier of a bid, as it was left."""
        if not self._session.is_current:
            self._session.refused.emit(WAIT_FOR_VERDICTS)
            return
        # Loaded with the first letter.
        from evenbarrel.desk.letters.letter_window import LetterWindow

        if bid not in self._windows:
            window = LetterWindow(
                self._session, self._theme, bid, self._draft(bid), self._ask, self._over
            )
            self._windows[bid] = window
            window.finished.connect(self._closer(bid))
            window.show()
        self._windows[bid].activateWindow()

    def _draft(self, bid: str) -> Draft:
        if bid not in self._drafts:
            day = self._session.today()
            self._drafts[bid] = Draft(self._session.person, day, day + DAYS_TO_ANSWER)
        return self._drafts[bid]

    def _closer(self, bid: str) -> Callable[[], None]:
        def closed() -> None:
            self._windows.pop(bid, None)

        return closed

    def _follow(self) -> None:
        """Show what changed in every letter; one whose bid is gone closes, its words are kept."""
        known = {bid.id for bid in self._session.evaluation.bids}
        for bid, window in tuple(self._windows.items()):
            if bid in known:
                window.show_letter()
            else:
                window.close()

    def _forget(self) -> None:
        """Another document: its letters are others."""
        for window in tuple(self._windows.values()):
            window.close()
        self._drafts.clear()
