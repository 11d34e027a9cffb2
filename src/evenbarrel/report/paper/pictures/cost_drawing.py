"""Bars as a drawing: the same traces as on screen."""

from __future__ import annotations

from evenbarrel.report.paper.fonts import BOLD, REGULAR, register, width_of
from evenbarrel.report.paper.palette import colour as named
from evenbarrel.report.paper.pictures.strokes import (
    Bar,
    Drawing,
    Hatched,
    Line,
    outline,
    solid,
    words,
)
from evenbarrel.wording.pictures.bars import Bars, Filling

_TITLE, _KEY, _FOOT = 14.0, 12.0, 12.0
_ROW, _BAR, _THIN, _TEXT = 13.0, 7.0, 3.0, 7.0
_COLOURS: dict[Filling, str] = {
    "dark": "accent",
    "light": "selection",
    "middle": "ruler",
    "pale": "line",
}


def bars_height(picture: Bars) -> float:
    """Return how high the drawing of a picture is [pt]."""
    return _TITLE + (_KEY if picture.key else 0.0) + picture.height * _ROW + _FOOT


def bars_drawing(picture: Bars, width: float) -> Drawing:
    """Return a picture of bars as a drawing of `width` [pt]."""
    register()
    height = bars_height(picture)
    drawing = Drawing(width, height)
    names = max((width_of(row.name, BOLD, _TEXT) for row in picture.rows), default=0.0)
    texts = max((width_of(row.text, BOLD, _TEXT) for row in picture.rows), default=0.0)
    left, right = min(names + 8.0, width * 0.3), width - min(texts + 8.0, width * 0.3)
    top = height - _TITLE - (_KEY if picture.key else 0.0)

    def at(value: float) -> float:
        return left + (value - picture.low) / (picture.high - picture.low) * (right - left)

    def down(row: float) -> float:
        return top - row * _ROW

    title = f"{picture.title} [{picture.unit}]"
    drawing.add(words(0.0, height - 9.0, title, width, font=BOLD, size=_TEXT + 0.5))
    _draw_key(drawing, picture, top + 4.0)
    if picture.band is not None:
        low, high = (at(end) for end in picture.band)
        bottom, tall = down(picture.height), picture.height * _ROW
        drawing.add(Bar(low, bottom, high - low, tall, named("tint")))
    for value, text in picture.ticks:
        colour = "ruler" if value == 0.0 else "raised"
        drawing.add(Line(at(value), down(0.0), at(value), down(picture.height), colour))
        place = down(picture.height) - 8.0
        drawing.add(words(at(value), place, text, 60.0, "faint_text", size=6.0, anchor="middle"))
    for y, end in picture.joints:
        drawing.add(Line(at(end), down(y), at(end), down(y + 1.0), "ruler", dotted=True))
    for bar in picture.bars:
        thick = _THIN if bar.thin else _BAR
        _draw_bar(drawing, at(bar.low), at(bar.high), down(bar.y), bar.filling, thick)
    for row in picture.rows:
        font, base = BOLD if row.strong else REGULAR, down(row.y) - 2.4
        drawing.add(
            words(left - 5.0, base, row.name, left - 6.0, "text", font, _TEXT, anchor="end")
        )
        drawing.add(words(right + 5.0, base, row.text, width - right - 5.0, "text", font, _TEXT))
    return drawing


def _draw_key(drawing: Drawing, picture: Bars, y: float) -> None:
    x = 0.0
    for filling, text in picture.key:
        _draw_bar(drawing, x, x + 12.0, y + 2.0, filling)
        drawing.add(words(x + 15.0, y, text, 120.0, "faint_text", size=6.5))
        x += 15.0 + width_of(text, REGULAR, 6.5) + 10.0


def _draw_bar(
    drawing: Drawing, x0: float, x1: float, y: float, filling: Filling, thick: float = _BAR
) -> None:
    if filling == "hatched":
        drawing.add(Hatched(x0, x1, y, thick))
    elif filling == "open":
        drawing.add(outline(x0, x1, y, thick))
    else:
        drawing.add(solid(x0, x1, y, thick, _COLOURS[filling]))
