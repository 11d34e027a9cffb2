"""The glossary beside the work: F1 opens it at what the keyboard is in."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QDialog,
    QFrame,
    QHBoxLayout,
    QListWidget,
    QScrollArea,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.fields.base import LineEdit
from evenbarrel.desk.help.topics import TOPIC, TopicRole
from evenbarrel.desk.style.buttons import size_window
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, list_item, name_window
from evenbarrel.desk.style.scrolling import hold
from evenbarrel.desk.style.theme import GRID, faint, heading
from evenbarrel.wording.help import glossary as words
from evenbarrel.wording.help.glossary import Entry, glossary

WIDTH, HEIGHT = 720, 480
_LIST_WIDTH = 264
_UP_AND_DOWN = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)


class GlossaryWindow(QDialog):
    """Terms at the left, the chosen one in words at the right; the work beside it goes on."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        name_window(self, words.GLOSSARY)
        self._entries: tuple[Entry, ...] = ()
        self.search = LineEdit()
        self.search.setAccessibleName(words.SEARCH)
        self.search.setPlaceholderText(words.SEARCH)
        self.search.setClearButtonEnabled(True)
        self.search.installEventFilter(self)
        self.list = QListWidget()
        self.list.setAccessibleName("Terms")
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.term, self.section = heading("", 2.0), faint(Label())
        self.text, self.data, self.none = Label(), faint(Label()), Label(words.NOTHING_FOUND)
        self._lay_out()
        self.search.textChanged.connect(self._search)
        self.list.currentRowChanged.connect(self._show)
        self._search("")
        size_window(self, WIDTH, HEIGHT)

    @property
    def entry(self) -> Entry | None:
        """The entry that is shown, or None where nothing was found."""
        row = self.list.currentRow()
        return self._entries[row] if 0 <= row < len(self._entries) else None

    def open_at(self, key: str | None) -> None:
        """Come to the front with the entry of that key; without one, where it was left."""
        entry = None if key is None else glossary().by_key.get(key)
        if entry is not None:
            self.search.clear()
            self.list.setCurrentRow(self._entries.index(entry))
            self.list.scrollToItem(
                self.list.currentItem(), QAbstractItemView.ScrollHint.PositionAtCenter
            )
        self.show()
        self.activateWindow()
        self.search.setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let the arrow keys walk the terms while words are typed."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in _UP_AND_DOWN
        ):
            QApplication.sendEvent(self.list, event)
            return True
        return super().eventFilter(watched, event)

    def _search(self, sought: str) -> None:
        kept = self.entry
        self._entries = glossary().search(sought)
        self.list.blockSignals(True)
        self.list.clear()
        for entry in self._entries:
            self.list.addItem(list_item(entry.term))
        self.list.blockSignals(False)
        # Who types looks for something else; who clears the line keeps what is read.
        stays = kept in self._entries and not sought
        self.list.setCurrentRow(self._entries.index(cast(Entry, kept)) if stays else 0)
        self._show()

    def _show(self) -> None:
        entry = self.entry
        self.none.setVisible(entry is None)
        for label, text in (
            (self.term, "" if entry is None else entry.term),
            (self.section, "" if entry is None else entry.section),
            (self.text, "" if entry is None else entry.text),
            (self.data, "" if entry is None else words.fields_text(entry)),
        ):
            label.setText(text)
            label.setVisible(bool(text))
        self._area.verticalScrollBar().setValue(0)

    def _lay_out(self) -> None:
        page = QWidget()
        layout = QVBoxLayout(page)
        layout.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        layout.setSpacing(GRID)
        for label in (self.none, self.term, self.section, self.text, self.data):
            label.setWordWrap(True)
            layout.addWidget(label)
        for label in (self.text, self.data):
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        layout.addStretch(1)
        self._area = QScrollArea()
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setWidgetResizable(True)
        self._area.setAccessibleName("What the term means")
        hold(self._area, page)
        halves = QSplitter(Qt.Orientation.Horizontal)
        halves.addWidget(self.list)
        halves.addWidget(self._area)
        halves.setStretchFactor(1, 1)
        halves.setChildrenCollapsible(False)
        halves.setSizes([_LIST_WIDTH, WIDTH - _LIST_WIDTH])
        foot = QHBoxLayout()
        foot.addWidget(faint(Label(words.GLOSSARY_KEYS)))
        column = QVBoxLayout(self)
        column.addWidget(self.search)
        column.addWidget(halves, 1)
        nest(column, foot)


def topic_of(widget: QWidget | None) -> str | None:
    """Return the key of what the keyboard is in, or None where nothing round it is explained.

    In a table it is the cell, else the table, the panel or the page that holds it.
    """
    while widget is not None:
        key = _of_cell(widget) or widget.property(TOPIC)
        if key in glossary().by_key:
            return str(key)
        widget = widget.parentWidget()
    return None


def explain_focus(over: QWidget) -> None:
    """Open the glossary of a window at what the keyboard is in."""
    found = over.findChild(GlossaryWindow, options=Qt.FindChildOption.FindDirectChildrenOnly)
    (found or GlossaryWindow(over)).open_at(topic_of(QApplication.focusWidget()))


def explain_by_f1(window: QWidget) -> None:
    """Let F1 open the glossary over a window that has no menus."""
    QShortcut(QKeySequence("F1"), window).activated.connect(lambda: explain_focus(window))


def _of_cell(widget: QWidget) -> str | None:
    if not isinstance(widget, QAbstractItemView) or widget.model() is None:
        return None
    key: str | None = widget.currentIndex().data(TopicRole)
    return key
