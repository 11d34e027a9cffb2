"""What takes the room there is: whatever its words would take, or scrolling where that is less."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget


class Filling(QWidget):
    """Asks for no more than its least size: what stands round it need not measure its words.

    Else every label that breaks would be laid out a hundred times where one of them changes:
    Qt's stacks ask all that they hold for a height at many widths, and keep no answer.
    """

    def hasHeightForWidth(self) -> bool:
        """Its height is what it is given; inside, words still take what they need."""
        return False

    def sizeHint(self) -> QSize:
        """Return the least size."""
        return self.minimumSizeHint()


class Scrolling(QScrollArea):
    """Shows a widget in all the room there is, and scrolls only where it needs more than that.

    Qt's own way asks a widget with words that break for the height that it would like, and scrolls
    where the least one would do: buttons below a table were out of sight.
    """

    def __init__(self, widget: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inside = widget
        self.setWidget(widget)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Give the widget the room."""
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Give the widget other room where what it shows needs other."""
        if event.type() == QEvent.Type.LayoutRequest and watched is self._inside:
            self._fit()
        return super().eventFilter(watched, event)

    def _fit(self) -> None:
        # Once more where what is inside arranged itself anew for another width.
        for _ in range(2):
            size = self._wanted()
            if size == self._inside.size():
                break
            self._inside.resize(size)

    def _wanted(self) -> QSize:
        room, least = self.viewport().size(), self._inside.minimumSizeHint()
        size, layout = room.expandedTo(least), self._inside.layout()
        if layout is not None and layout.hasHeightForWidth():
            size.setHeight(max(size.height(), layout.totalMinimumHeightForWidth(size.width())))
        elif layout is None and self._inside.hasHeightForWidth():
            size.setHeight(max(size.height(), self._inside.heightForWidth(size.width())))
        return size
