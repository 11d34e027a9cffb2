"""A line in a grid's cell that offers a closed list while it is typed into."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QListWidget, QWidget

from evenbarrel.desk.fields.base import LineEdit
from evenbarrel.desk.style.plain import list_item
from evenbarrel.entry.pick import Offer, is_named, ranked

_MOST_LINES = 9
_LEAST_WIDTH = 320
_MOVES = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: 8, Qt.Key.Key_PageUp: -8}


class PickLine(LineEdit):
    """Typing narrows the list to what fits, best first; Down and Up move, Enter or Tab takes.

    Left empty it means nothing stated. What fits nothing stays as it was typed; with `new`, which
    words it, the last line of the list takes it for something new.
    """

    picked = Signal()
    """A line of the list was clicked."""

    def __init__(
        self,
        offers: Sequence[Offer],
        remarks: Mapping[str, str],
        parent: QWidget,
        short: Mapping[str, tuple[str, ...]],
        new: Callable[[str], str] | None = None,
    ) -> None:
        super().__init__(parent=parent)
        self._new = new
        self._offers = tuple(offers)
        self._short = short
        self._remarks = remarks
        # In the window, not in the cell: a list is longer than the table may be high.
        self.list = QListWidget(parent.window())
        self.list.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.list.setFrameShape(QFrame.Shape.Box)
        self.list.setUniformItemSizes(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.hide()
        self.list.itemClicked.connect(lambda _: self.picked.emit())
        self.destroyed.connect(self.list.deleteLater)
        self.textEdited.connect(self._narrow)

    def begin(self, word: str) -> None:
        """Show what stands in the cell, and all that could."""
        self.setText(word)
        self.selectAll()
        self._fill(self._offers)
        words = [offered for _, offered in self._offers]
        self.list.setCurrentRow(words.index(word) if word in words else -1)

    @property
    def is_new(self) -> bool:
        """Whether the line is marked that takes what was typed for something new."""
        item = self.list.currentItem()
        return item is not None and item.data(Qt.ItemDataRole.UserRole) is None

    def answer(self) -> str:
        """Return the key of the line that is marked, else what was typed."""
        item = self.list.currentItem()
        key: str | None = None if item is None else item.data(Qt.ItemDataRole.UserRole)
        return self.text() if key is None else key

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move in the list by Down and Up."""
        step = _MOVES.get(Qt.Key(event.key()))
        if step is None or not self.list.count():
            super().keyPressEvent(event)
            return
        last = self.list.count() - 1
        self.list.setCurrentRow(max(0, min(last, self.list.currentRow() + step)))
        self._place()

    def showEvent(self, event: QShowEvent) -> None:
        """Show the list with the line."""
        super().showEvent(event)
        self._place()

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the list away with the line."""
        super().hideEvent(event)
        self.list.hide()

    def _narrow(self, text: str) -> None:
        empty = not text.strip()
        found = self._offers if empty else ranked(text, self._offers, self._short)
        self._fill(found)
        if not (self._new is None or empty or is_named(text, found, self._short)):
            # Never marked by itself: a slip of the finger is no new thing.
            self.list.addItem(list_item(self._new(text.strip())))
        self.list.setCurrentRow(-1 if empty or not found else 0)
        self._place()

    def _fill(self, offers: Sequence[Offer]) -> None:
        self.list.clear()
        for key, word in offers:
            item = list_item(f"{word}{self._remarks.get(key, '')}")
            item.setData(Qt.ItemDataRole.UserRole, key)
            self.list.addItem(item)

    def _place(self) -> None:
        if not self.list.count() or not self.isVisible():
            self.list.hide()
            return
        frame = 2 * self.list.frameWidth()
        height = self.list.sizeHintForRow(0) * min(self.list.count(), _MOST_LINES) + frame
        window = self.window()
        bar = self.list.verticalScrollBar().sizeHint().width()
        wanted = max(self.width(), _LEAST_WIDTH, self.list.sizeHintForColumn(0) + bar + frame)
        width = min(wanted, window.width())
        corner = self.mapTo(window, QPoint(0, self.height()))
        if corner.y() + height > window.height():
            corner.setY(max(0, corner.y() - self.height() - height))
        corner.setX(max(0, min(corner.x(), window.width() - width)))
        self.list.setGeometry(corner.x(), corner.y(), width, height)
        self.list.raise_()
        self.list.show()
