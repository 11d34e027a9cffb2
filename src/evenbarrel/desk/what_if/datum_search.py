"""Finds a datum by its name: a line to type in, and below it what is called so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QListView,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.fields.base import LineEdit
from evenbarrel.desk.style.plain import for_people
from evenbarrel.desk.style.theme import GRID, heading
from evenbarrel.desk.what_if.tried import Tryable, found
from evenbarrel.wording.sentences.deciding import what_if as words

MOST_LISTED = 200
"""Data that are listed; of more only their number is said."""
_WIDTH = 360
_ROWS = 6
_WALKS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
_TOP, _SHOWN = QModelIndex(), Qt.ItemDataRole.DisplayRole
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class _Found(QAbstractListModel):
    """The data that are called so, and a last line, which nobody can choose, of what is not listed.

    Items of Qt's own list would be freed by Qt each time while Python may still hold them.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.listed: Sequence[Tryable] = ()
        self._last = ""

    def show_found(self, listed: Sequence[Tryable], last: str) -> None:
        """List these, and below them a line unless it is empty."""
        self.beginResetModel()
        self.listed, self._last = listed, last
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | QPersistentModelIndex = _TOP) -> int:
        """Return how many lines there are."""
        return 0 if parent.isValid() else len(self.listed) + bool(self._last)

    @for_people
    def data(self, index: QModelIndex | QPersistentModelIndex, role: int = _SHOWN) -> Any:
        """Return the name of a datum, whole in its tip too."""
        if role not in (_SHOWN, Qt.ItemDataRole.ToolTipRole):
            return None
        row = index.row()
        return self.listed[row].name if row < len(self.listed) else self._last

    def flags(self, index: QModelIndex | QPersistentModelIndex) -> Qt.ItemFlag:
        """Let only data be chosen."""
        if index.row() < len(self.listed):
            return super().flags(index)
        return Qt.ItemFlag.NoItemFlags


class CutToWidth(QStyledItemDelegate):
    """Lines of a list that are cut where the list ends, never scrolled to."""

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Return the height of a line; it is as wide as the list."""
        return QSize(0, super().sizeHint(option, index).height())


class DatumSearch(QWidget):
    """Typing narrows the list, Up and Down walk it, Enter or a click chooses."""

    chosen = Signal(object)
    """Carries the Tryable that a person chose."""

    def __init__(self) -> None:
        super().__init__()
        self._known: tuple[Tryable, ...] = ()
        self.line, self.list = LineEdit(), QListView()
        self._found = _Found(self)
        self.list.setModel(self._found)
        self.line.setAccessibleName(words.WHAT_TO_CHANGE)
        self.line.setPlaceholderText(words.SEARCH_HINT)
        self.list.setAccessibleName("Data with that name")
        # Walked by the arrow keys from the line above it.
        self.list.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.list.setUniformItemSizes(True)
        self.list.setItemDelegate(CutToWidth(self.list))
        self.list.setMinimumHeight(rows_high(self.list, _ROWS))
        self.list.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.line.textEdited.connect(lambda _: self._list())
        self.list.clicked.connect(lambda _: self._choose())
        for widget in (self.line, self.list):
            widget.installEventFilter(self)
        title = heading("&What would be different?")
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
        more = len(fits) - MOST_LISTED
        last = words.more_found(more) if more > 0 else "" if fits else words.NOTHING_FOUND
        self._found.show_found(fits[:MOST_LISTED], last)
        if fits:
            self.list.setCurrentIndex(self._found.index(0))

    def _choose(self) -> None:
        row = self.list.currentIndex().row()
        if 0 <= row < len(self._found.listed):
            self.chosen.emit(self._found.listed[row])


def rows_high(widget: QFrame, rows: int) -> int:
    """Return how high a list is that shows so many rows."""
    return rows * (widget.fontMetrics().height() + 4) + 2 * widget.frameWidth()
