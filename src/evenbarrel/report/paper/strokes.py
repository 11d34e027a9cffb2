"""Marks, hatches and words as shapes that any printer draws, and that grey print still tells."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any, Literal, TypeVar

from reportlab.graphics.shapes import Circle, Group, Line, Path, Polygon, Rect, String, Wedge
from reportlab.lib.colors import Color, white

from evenbarrel.appraisal.results import State
from evenbarrel.report.paper.fonts import BOLD, REGULAR, printable, width_of
from evenbarrel.report.paper.palette import colour as named
from evenbarrel.wording.pictures.label_layout import fitted

MARK = 3.4
"""Radius of a mark [pt]."""
BADGE = 10.0
"""Height of a job's number with its ground [pt]."""

_HATCH = 3.2
_FINE = 0.5
_DOTTED = (0.6, 1.6)
_DOTS = (0.9, 1.2)
_DIAGONAL = 0.7071


Shape = TypeVar("Shape")


def _make(kind: Callable[..., Shape], *numbers: float, **look: Any) -> Shape:
    """Return a shape; without a border or a filling unless `look` gives it one."""
    return kind(*numbers, **({"strokeColor": None, "fillColor": None} | look))


def _stroke(name: str, width: float) -> dict[str, Any]:
    return {"strokeColor": named(name), "strokeWidth": width}


def mark(x: float, y: float, state: State, *, by_rule: bool = False) -> Group:
    """Return a state's mark: filled dot, half dot, crossed ring or dotted ring.

    Outside by a rule of thumb alone the ring is struck through once, not crossed.
    """
    colour, ring, shapes = named(state), _stroke(state, 0.8), Group()
    shapes.add(_make(Circle, x, y, MARK + 0.9, fillColor=white))
    if state == "inside":
        shapes.add(_make(Circle, x, y, MARK, fillColor=colour))
        return shapes
    if state == "near_edge":
        shapes.add(_make(Wedge, x, y, MARK, 90, 270, fillColor=colour))
    if state == "not_stated":
        ring |= {"strokeDashArray": _DOTS, "strokeWidth": 1.1}
    shapes.add(_make(Circle, x, y, MARK - 0.4, **ring))
    if state == "outside":
        reach = (MARK - 0.4) * _DIAGONAL
        for up in (-reach,) if by_rule else (reach, -reach):
            shapes.add(line(x - reach, y - up, x + reach, y + up, state, 0.8))
    return shapes


def open_ring(x: float, y: float) -> Circle:
    """Return the small ring beside a mark: something of that cell is not assessed."""
    return _make(Circle, x, y, 1.2, **_stroke("not_stated", 0.6))


def badge(x: float, y: float, number: int) -> Group:
    """Return a job's number on its ground, about a middle."""
    text, size = str(number), 6.5
    wide = badge_width(number)
    ground = _make(Rect, x - wide / 2, y - BADGE / 2, wide, BADGE, fillColor=named("accent"))
    ground.rx = ground.ry = 2.0
    shown = String(x, y - 2.3, text, fontName=BOLD, fontSize=size, textAnchor="middle")
    shown.fillColor = white
    return Group(ground, shown)


def badge_width(number: int) -> float:
    """Return how wide a job's number is with its ground [pt]."""
    return max(BADGE, width_of(str(number), BOLD, 6.5) + 4.0)


def line(
    x0: float,
    y0: float,
    x1: float,
    y1: float,
    colour: str,
    width: float = _FINE,
    dotted: bool = False,
) -> Line:
    """Return a straight line in a named colour [pt]."""
    look = _stroke(colour, width) | ({"strokeDashArray": _DOTTED} if dotted else {})
    made: Line = Line(x0, y0, x1, y1, **look)
    return made


def filled(x: float, y: float, width: float, height: float, colour: Color) -> Rect:
    """Return a bar without a border."""
    return _make(Rect, x, y, width, height, fillColor=colour)


def solid(x0: float, x1: float, y: float, height: float, colour: str) -> Rect:
    """Return a filled bar about `y` with a fine border."""
    look = _stroke("accent", _FINE) | {"fillColor": named(colour)}
    return _make(Rect, x0, y - height / 2, x1 - x0, height, **look)


def outline(x0: float, x1: float, y: float, height: float) -> Rect:
    """Return a dotted bar about `y`: what is known of a lane that is not stated."""
    look = _stroke("not_stated", _FINE) | {"strokeDashArray": _DOTTED}
    return _make(Rect, x0, y - height / 2, x1 - x0, height, **look)


def hatched(x0: float, x1: float, y: float, height: float) -> Group:
    """Return a bar about `y` filled with diagonal lines, each cut to the bar."""
    low, path = y - height / 2, _make(Path, **_stroke("accent", 0.35))
    start = x0 - height + _HATCH
    while start < x1:
        left, right = max(start, x0), min(start + height, x1)
        if left < right:
            path.moveTo(left, low + left - start)
            path.lineTo(right, low + right - start)
        start += _HATCH
    border = _stroke("accent", _FINE) | {"fillColor": white}
    return Group(_make(Rect, x0, low, x1 - x0, height, **border), path)


def arrow(x: float, y: float, inwards: float) -> Polygon:
    """Return an arrow head with its tip at the frame, reaching `inwards`: an end left open."""
    points = [x, y, x + inwards, y + 2.5, x + inwards, y - 2.5]
    return Polygon(points, fillColor=named("accent"), strokeColor=None)


def words(
    x: float,
    y: float,
    text: str,
    room: float,
    colour: str = "text",
    font: str = REGULAR,
    size: float = 7.0,
    anchor: Literal["start", "middle", "end"] = "start",
) -> String:
    """Return a text on the base line `y`, cut to `room`, missing characters replaced."""
    shown = fitted(printable(text, font), room, partial(width_of, font=font, size=size))
    return String(
        x, y, shown, fontName=font, fontSize=size, fillColor=named(colour), textAnchor=anchor
    )
