"""Words looked for in a quote: the line they are typed in, and the places they stand at."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from evenbarrel.desk.fields.base import LineEdit
from evenbarrel.desk.pages.bids.quote.controls import tool
from evenbarrel.desk.style.plain import Label
from evenbarrel.intake.pages.search import MOST_HITS, Hit
from evenbarrel.intake.pages.words import Box
from evenbarrel.wording.sentences.asking import quote

_NARROWEST = 60


class Finder(QWidget):
    """Asks for a search and walks through what was found."""

    wanted = Signal(str)
    """Carries the words that are to be looked for."""
    moved = Signal(int)
    """Carries the page of the place that is looked at now."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sought, self.count = LineEdit(), Label()
        self.hits: tuple[Hit, ...] = ()
        self._at = 0
        self.sought.setAccessibleName("Words to look for in the quote")
        self.sought.setPlaceholderText("Find")
        self.sought.setMinimumWidth(_NARROWEST)
        self.count.setAccessibleName("Places found")
        self.former = tool("▲", "Previous place found", lambda: self._go(-1))
        self.later = tool("▼", "Next place found (Enter)", lambda: self._go(1))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        row.addWidget(self.sought, 1)
        for widget in (self.count, self.former, self.later):
            row.addWidget(widget)
        self.sought.returnPressed.connect(self._look)
        self.clear()

    def begin(self) -> None:
        """Put the keyboard into the line."""
        self.sought.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.sought.selectAll()

    def clear(self) -> None:
        """Forget what was found."""
        self.hits, self._at = (), 0
        self.count.setText("")
        self._enable()

    def take(self, hits: Iterable[Hit], page: int) -> None:
        """Show what was found, the first place from a page on."""
        self.hits = tuple(hits)
        self._at = next((at for at, hit in enumerate(self.hits) if hit.page >= page), 0)
        self._enable()
        self._go(0)

    def boxes_on(self, page: int) -> tuple[tuple[Box, ...], tuple[Box, ...]]:
        """Return the boxes of every place on a page, and of the one that is looked at."""
        here = [hit for hit in self.hits if hit.page == page]
        every = tuple(box for hit in here for box in hit.boxes)
        current = self.hits[self._at] if self.hits else None
        return every, current.boxes if current is not None and current.page == page else ()

    def _look(self) -> None:
        if self.hits and not self.sought.isModified():
            self._go(1)
            return
        self.sought.setModified(False)
        self.clear()
        self.wanted.emit(self.sought.text().strip())

    def _go(self, by: int) -> None:
        if self.hits:
            self._at = (self._at + by) % len(self.hits)
            self.moved.emit(self.hits[self._at].page)
        self.count.setText(quote.hits(self._at + 1, len(self.hits), MOST_HITS))

    def _enable(self) -> None:
        for button in (self.former, self.later):
            button.setEnabled(bool(self.hits))
