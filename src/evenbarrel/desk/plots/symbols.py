"""Shapes that pictures are drawn with: the mark of each state as one filled path, and the hatch."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from math import cos, pi, sin
from typing import Any

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainterPath, QTransform

from evenbarrel.appraisal.results import State
from evenbarrel.desk.style.theme import Colours
from evenbarrel.trade.formula import Array

MARK = 12.0
"""Width of a mark [px]."""

HALO = 15.0
"""Width of the clear disc behind a mark [px]."""

_INNER = 0.37
_BAR = 0.055
_DOTS = 8


def _disc(radius: float = 0.5) -> QPainterPath:
    path = QPainterPath()
    path.addEllipse(QPointF(0.0, 0.0), radius, radius)
    return path


def _ring() -> QPainterPath:
    return _disc().subtracted(_disc(_INNER))


def _half_dot() -> QPainterPath:
    left = QPainterPath()
    left.addRect(QRectF(-0.5, -0.5, 0.5, 1.0))
    return _ring().united(_disc().intersected(left))


def _crossed_ring() -> QPainterPath:
    bar = QPainterPath()
    bar.addRect(QRectF(-0.45, -_BAR, 0.9, 2.0 * _BAR))
    path = _ring()
    for degrees in (45.0, -45.0):
        path = path.united(QTransform().rotate(degrees).map(bar))
    return path


def _dotted_ring() -> QPainterPath:
    path = QPainterPath()
    for dot in range(_DOTS):
        angle = 2.0 * pi * dot / _DOTS
        path.addEllipse(QPointF(0.41 * cos(angle), 0.41 * sin(angle)), 0.09, 0.09)
    return path


@cache
def mark_paths() -> Mapping[State, QPainterPath]:
    """Return the mark of each state, one wide round the origin, to be filled without a pen."""
    return {
        "inside": _disc(),
        "near_edge": _half_dot(),
        "outside": _crossed_ring(),
        "not_stated": _dotted_ring(),
    }


def spots(
    x: Sequence[float] | Array,
    y: Sequence[float] | Array,
    states: Sequence[State],
    palette: Colours,
) -> dict[str, Any]:
    """Return marks as the data of one scatter: a clear disc, then its mark, over and over.

    Each clears what lies below it, so that of two that meet the later one is read whole.
    """
    paths, page = mark_paths(), QBrush(QColor(palette.page))
    brushes = {state: QBrush(QColor(getattr(palette, state))) for state in paths}
    return {
        "x": np.repeat(np.asarray(x, dtype=np.float64), 2),
        "y": np.repeat(np.asarray(y, dtype=np.float64), 2),
        "symbol": [symbol for state in states for symbol in (paths["inside"], paths[state])],
        "size": [size for _ in states for size in (HALO, MARK)],
        "brush": [brush for state in states for brush in (page, brushes[state])],
        "pen": None,
    }


def arrow_paths() -> tuple[QPainterPath, QPainterPath]:
    """Return arrow heads to the left and to the right, their tip at the origin."""
    left = QPainterPath(QPointF(0.0, 0.0))
    left.lineTo(0.7, -0.5)
    left.lineTo(0.7, 0.5)
    left.closeSubpath()
    return left, QTransform().scale(-1.0, 1.0).map(left)


def hatch(colour: str, view: QTransform) -> QBrush:
    """Return a diagonal hatch that stays even on the screen whatever the view's stretch."""
    brush = QBrush(QColor(colour), Qt.BrushStyle.BDiagPattern)
    back, possible = view.inverted()
    if possible:
        brush.setTransform(back)
    return brush
