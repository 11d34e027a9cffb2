"""The mark of a state: told by shape as well as by colour."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap

from evenbarrel.desk.style.theme import Colours

MARK_SIZE = 12
"""The usual width and height of a mark [px]."""

_SCALE = 3
_DIAGONAL = 0.7071
_TOP_DEGREES_16 = 90 * 16
_HALF_TURN_16 = 180 * 16


def draw_mark(painter: QPainter, box: QRectF, state: str, colours: Colours) -> None:
    """Draw a state's mark in `box`: filled dot, half dot, crossed ring or dotted ring."""
    colour = colours.of_state(state)
    width = max(1.0, box.width() / 8)
    ring = box.adjusted(width / 2, width / 2, -width / 2, -width / 2)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _draw(painter, ring, state, colour, width)
    painter.restore()


def _draw(painter: QPainter, ring: QRectF, state: str, colour: QColor, width: float) -> None:
    pen = QPen(colour, width)
    if state == "not_stated":
        pen.setStyle(Qt.PenStyle.CustomDashLine)
        pen.setDashPattern([1.2, 1.6])
    painter.setPen(pen)
    painter.setBrush(colour if state == "inside" else Qt.BrushStyle.NoBrush)
    painter.drawEllipse(ring)
    if state == "near_edge":
        painter.setBrush(colour)
        painter.drawPie(ring, _TOP_DEGREES_16, _HALF_TURN_16)
    if state == "outside":
        reach = ring.width() / 2 * _DIAGONAL
        for x, y in ((reach, reach), (reach, -reach)):
            painter.drawLine(ring.center() - QPointF(x, y), ring.center() + QPointF(x, y))


def mark_icon(state: str, colours: Colours) -> QIcon:
    """Return a state's mark as an icon."""
    pixmap = QPixmap(MARK_SIZE * _SCALE, MARK_SIZE * _SCALE)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    draw_mark(painter, QRectF(pixmap.rect()).adjusted(3, 3, -3, -3), state, colours)
    painter.end()
    icon = QIcon(pixmap)
    # Told here, else the style would tint the mark of a chosen item.
    icon.addPixmap(pixmap, QIcon.Mode.Selected)
    return icon
