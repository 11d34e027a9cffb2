"""A place that scrolls what has no room in it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget


def scrolling(widget: QWidget, *, framed: bool = False) -> QScrollArea:
    """Return a place that holds a widget, as wide as the place; the keyboard never stops at it."""
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
    area.setWidget(widget)
    for one in (widget, area.viewport()):
        one.setAutoFillBackground(False)
