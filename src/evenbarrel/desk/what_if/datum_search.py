"""Finds a datum by its name: a line to type in, and below it what is called so."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QListWidget,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.fields.base import LineEdit
from evenbarrel.desk.style.plain import list_item, set_tip
from evenbarrel.desk.style.theme import GRID, heading
from evenbarrel.desk.what_if.tried import Tryable, found
from evenbarrel.wording.sentences.deciding import what_if as words

MOST_LISTED = 200
"""Data that are listed; of more only their number is said."""
_WIDTH = 360
_ROWS = 6
_WALKS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class DatumSearch(QWidget):
    """Typing narrows the list, Up and Down walk it, Enter or a click chooses."""

    chosen = Signal(object)
    """Carries the Tryable that a person chose."""

    def __init__(self) -> None:
        super().__init__()
        self._known: tuple[Tryable, ...] = ()
        self._listed: list[Tryable] = []
        self.line, self.list = LineEdit(), QListWidget()
        self.line.setAccessibleName(words.WHAT_TO_CHANGE)
        self.line.setPlaceholderText(words.SEARCH_HINT)
        self.list.setAccessibleName("Data that are called so")
        # Walked by the arrow keys from the line above it.
        self.list.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.list.setUniformItemSizes(True)
        self.list.setMinimumHeight(rows_high(self.list, _ROWS))
        self.list.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.line.textEdited.connect(lambda _: self._list())
        self.list.itemClicked.connect(lambda _: self._choose())
        for widget in (self.line, self.list):
            widget.installEventFilter(self)
        title = heading("&What would be other?")
        title.setBuddy(self.line)
        self.setFixedWidth(_WIDTH)
        self.setFocusProxy(self.line)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID // 2)
        for part in (title, self.line):
            column.addWidget(part)
        column.addWidget(self.list, 1)

    def show_known(self, known: Sequence[Tryable]) -> None:
        """Search among these, those that are nearest first."""
        self._known = tuple(known)
        self._list()

    def begin(self) -> None:
        """Put the keyboard into the line, what stands there marked."""
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)
        self.line.selectAll()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let arrow keys walk the list while a name is typed, and Enter choose."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = Qt.Key(event.key())
            if watched is self.line and key in _WALKS:
                QApplication.sendEvent(self.list, event)
                return True
            if key in ENTER:
                self._choose()
                return True
        return super().eventFilter(watched, event)

    def _list(self) -> None:
        fits = found(self.line.text(), self._known)
        self._listed = fits[:MOST_LISTED]
        self.list.clear()
        for one in self._listed:
            item = list_item(one.name)
            set_tip(item, one.name)
            self.list.addItem(item)
        more = len(fits) - MOST_LISTED
        if more > 0 or not fits:
            item = list_item(words.more_found(more) if fits else words.NOTHING_FOUND)
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(item)
        self.list.setCurrentRow(0 if fits else -1)

    def _choose(self) -> None:
        row = self.list.currentRow()
        if 0 <= row < len(self._listed):
            self.chosen.emit(self._listed[row])


def rows_high(widget: QFrame, rows: int) -> int:
    """Return how high a list is that shows so many rows."""
    return rows * (widget.fontMetrics().height() + 4) + 2 * widget.frameWidth()
