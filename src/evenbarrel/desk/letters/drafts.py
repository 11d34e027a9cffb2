"""What a person wrote in letters: kept while the document is open, and told before it goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from evenbarrel.desk.window.files.exports import AskPath
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import TypedText
from evenbarrel.wording.sentences.pages import WAIT_FOR_VERDICTS

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from evenbarrel.desk.letters.letter_window import LetterWindow
    from evenbarrel.desk.style.theme import Theme
    from evenbarrel.model.evaluation import Evaluation

PARTS = ("words", "closing")
"""What a person writes of a letter, as its path ends below the bid's."""
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
    """The words that were suggested when a person began to edit them; "" where nobody knows."""
    sent: tuple[str | None, str | None] = (None, None)
    """Words and closing as they were copied or written to a file: they are not lost any more."""


class Letters(QObject):
    """Opens the window of a letter, one a bid, and keeps what was written in it."""

    def __init__(self, session: Session, theme: Theme, ask: AskPath, over: QWidget) -> None:
        super().__init__(over)
        self._session, self._theme, self._ask, self._over = session, theme, ask, over
        self._drafts: dict[str, Draft] = {}
        self._windows: dict[str, LetterWindow] = {}
        session.letter_wanted.connect(self.open)
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

    def not_taken(self, evaluation: Evaluation) -> Iterator[TypedText]:
        """Yield what was written in letters and neither copied nor written to a file."""
        for bid in (bid.id for bid in evaluation.bids if bid.id in self._drafts):
            draft = self._drafts[bid]
            written = zip(PARTS, (draft.words, draft.closing), draft.sent, strict=True)
            for part, text, sent in written:
                if text is not None and text != sent:
                    yield TypedText(("bids", bid, part), text)

    def take_back(self, typed: TypedText, evaluation: Evaluation) -> bool:
        """Keep words as if they had been written here; False where they are of no letter."""
        match typed.path:
            case ("bids", bid, part) if part in PARTS:
                if any(one.id == bid for one in evaluation.bids):
                    setattr(self._draft(bid), part, typed.text)
                return True
        return False

    def forget_gone(self, evaluation: Evaluation) -> None:
        """Forget nothing: a bid that is gone may come back, and its letter with it."""

    def forget_typed(self) -> None:
        """Another document: its letters are others."""
        for window in tuple(self._windows.values()):
            window.close()
        self._drafts.clear()
