"""The steps of a decision in the order of the work, and the one that is chosen beside them."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QStackedWidget, QWidget

from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.style.least_size import LeastSize
from evenbarrel.desk.style.plain import list_item
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import GRID

_AIR = 3 * GRID
_ITEM = 3 * GRID + 4


class Steps(LeastSize):
    """A list of steps at the left; up and down go from one to the next."""

    turned = Signal(object)
    """Carries the widget of the step that is shown now."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.list = QListWidget()
        self.list.setAccessibleName("Steps of the decision")
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        self.list.viewport().setBackgroundRole(QPalette.ColorRole.Window)
        self.stack = QStackedWidget()
        self._widgets: list[QWidget] = []
        self.list.currentRowChanged.connect(self._turn)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GRID)
        row.addWidget(self.list)
        row.addWidget(self.stack, 1)

    def add(self, widget: QWidget, title: str, key: str) -> None:
        """Add a step; `key` is the entry of the glossary that explains it."""
        explain(widget, key)
        item = list_item(title)
        item.setSizeHint(QSize(0, _ITEM))
        self.stack.addWidget(Scrolling(widget))
        self._widgets.append(widget)
        self.list.addItem(item)
        self._fit()
        if self.list.currentRow() < 0:
            self.list.setCurrentRow(0)

    def changeEvent(self, event: QEvent) -> None:
        """Keep the list as wide as its words where the text's size is changed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def _fit(self) -> None:
        metrics, rows = self.list.fontMetrics(), range(self.list.count())
        widest = max((metrics.horizontalAdvance(self.list.item(n).text()) for n in rows), default=0)
        self.list.setFixedWidth(widest + _AIR)

    def current(self) -> QWidget | None:
        """Return the step that is shown, None before there is one."""
        place = self.stack.currentIndex()
        return self._widgets[place] if place >= 0 else None

    def turn_to(self, widget: QWidget) -> None:
        """Show the step that is, or holds, a widget."""
        for place, step in enumerate(self._widgets):
            if step is widget or step.isAncestorOf(widget):
                self.list.setCurrentRow(place)

    def _turn(self, place: int) -> None:
        if place >= 0:
            self.stack.setCurrentIndex(place)
            self.turned.emit(self.current())
