"""The mark of a state: told by shape as well as by colour."""

from __future__ import annotations

from functools import lru_cache
from math import floor

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap

from evenbarrel.desk.style.theme import Colours

MARK_SIZE = 12
"""The usual width and height of a mark [px]."""

_SCALE = 3
_DIAGONAL = 0.7071
_TOP_DEGREES_16 = 90 * 16
_HALF_TURN_16 = 180 * 16


def draw_mark(
    painter: QPainter, box: QRectF, state: str, colours: Colours, *, by_rule: bool = False
) -> None:
    """Draw a state's mark in `box`: filled dot, half dot, crossed ring or dotted ring.

    Outside by a rule of thumb alone the ring is struck through once, not crossed.
    """
    colour = colours.of_state(state)
    width = max(1.0, box.width() / 8)
    ring = box.adjusted(width / 2, width / 2, -width / 2, -width / 2)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _draw(painter, ring, state, colour, width, by_rule)
    painter.restore()


def _draw(
    painter: QPainter, ring: QRectF, state: str, colour: QColor, width: float, by_rule: bool
) -> None:
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
        strokes = ((reach, reach),) if by_rule else ((reach, reach), (reach, -reach))
        for x, y in strokes:
            painter.drawLine(ring.center() - QPointF(x, y), ring.center() + QPointF(x, y))


@lru_cache(maxsize=256)
def mark_picture(
    state: str, colours: Colours, ratio: float, by_rule: bool = False, ground: str = ""
) -> QPixmap:
    """Return a mark of the usual size as a picture to be stamped.

    With a `ground` it stands on a disc of that colour, which clears what lies below it.
    """
    # Room of a pixel on every side, for the soft edge.
    size = MARK_SIZE + 2.0
    pixmap = QPixmap(round(size * ratio), round(size * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if ground:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(ground))
        painter.drawEllipse(QRectF(0.0, 0.0, size, size))
    box = QRectF(1.0, 1.0, float(MARK_SIZE), float(MARK_SIZE))
    draw_mark(painter, box, state, colours, by_rule=by_rule)
    painter.end()
    return pixmap


def stamp(painter: QPainter, middle: QPointF, picture: QPixmap) -> None:
    """Draw a picture of a mark round a point, on whole pixels, where it is sharpest."""
    ratio, half = picture.devicePixelRatio(), MARK_SIZE / 2.0 + 1.0
    # The nearest pixel, and of two alike always the lower: a picture that scrolled stays whole.
    left, top = (floor((at - half) * ratio + 0.5) for at in (middle.x(), middle.y()))
    painter.drawPixmap(QPointF(left / ratio, top / ratio), picture)


def stamp_mark(
    painter: QPainter, middle: QPointF, state: str, colours: Colours, *, by_rule: bool = False
) -> None:
    """Draw a mark of the usual size round a point from a picture of it: for many marks at once."""
    ratio = painter.device().devicePixelRatioF()
    stamp(painter, middle, mark_picture(state, colours, ratio, by_rule))


@lru_cache(maxsize=64)
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
