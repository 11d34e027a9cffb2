"""A place that scrolls what has no room in it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget


def scroll_area(widget: QWidget, *, framed: bool = False) -> QScrollArea:
    """Return a place that holds a widget, as wide as the place and as high as it would like.

    The keyboard never stops at it. `Scrolling` gives the widget its least height instead.
    """
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    if not framed:
        area.setFrameShape(QFrame.Shape.NoFrame)
    hold(area, widget)
    return area


def hold(area: QScrollArea, widget: QWidget) -> None:
    """Let an area hold a widget, with the window's own ground to be seen behind it.

    Where a page is turned to, Qt paints what has a ground of its own with all that lies on it,
    and then what lies on it once more.
    """
    # Ours has no ground. Asked for its own, Qt would make every class of widgets known to Python.
    area.setViewport(QWidget())
    area.setWidget(widget)
    widget.setAutoFillBackground(False)


def bring_into_sight(widget: QWidget) -> None:
    """Scroll what a widget stands in until it is seen, where nothing of it is."""
    if not widget.isVisible() or not widget.visibleRegion().isEmpty():
        return
    around = widget.parentWidget()
    while around is not None:
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(widget)
        around = around.parentWidget()


class Scrolling(QScrollArea):
    """Shows a widget in all the room there is, and scrolls only where it needs more than that.

    Qt's own way asks a widget with words that break for the height that it would like, and scrolls
    where the least one would do: buttons below a table were out of sight.
    """

    def __init__(self, widget: QWidget, *, framed: bool = False) -> None:
        super().__init__()
        if not framed:
            self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inside = widget
        hold(self, widget)

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
