"""One cell's criteria as a vector drawing for the report: the same traces as on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from reportlab.lib.colors import white

from evenbarrel.appraisal.results import State
from evenbarrel.report.paper.fonts import BOLD, REGULAR, printable, register, width_of
from evenbarrel.report.paper.palette import colour as named
from evenbarrel.report.paper.pictures.strokes import (
    MARK,
    Arrow,
    Bar,
    Drawing,
    Hatched,
    Line,
    Mark,
    solid,
    words,
)
from evenbarrel.wording.pictures.criterion_lanes import CriterionLane, Ends, LanesPicture, bars
from evenbarrel.wording.pictures.label_layout import Flag, fitted, place_flags
from evenbarrel.wording.pictures.scales import Axis, Tick
from evenbarrel.wording.pictures.traces import ShotLine

_TEXT, _SMALL = 7.0, 5.8
_FLAG, _RULER, _TITLE = 9.0, 15.0, 20.0
_TALLEST_ROW = 19.0
_LANE = 0.44
_WIDEST_FLAG = 120.0
_LEFT, _SIDE = 112.0, 230.0
_NARROW, _NARROW_LEFT, _NARROW_SIDE = 500.0, 92.0, 116.0
"""A narrower picture than this has so much beside its lanes [pt]."""


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the picture lies on the drawing [pt]; `row` is the height of one row."""

    drawing: Drawing
    axis: Axis
    left: float
    right: float
    top: float
    row: float
    first: float

    def x(self, value: float) -> float:
        """Return where a value lies, held within the frame."""
        share = min(1.0, max(0.0, self.axis.fraction(value)))
        return self.left + share * (self.right - self.left)

    def y(self, row: float) -> float:
        """Return where a row's `y` lies."""
        return self.top - (row - self.first) * self.row

    def seen(self, value: float) -> bool:
        """Say whether a value lies within the frame."""
        return -1e-9 <= self.axis.fraction(value) <= 1.0 + 1e-9


def mark_drawing(state: State, scale: float = 1.0) -> Drawing:
    """Return a state's mark alone, `scale` times as large as in a picture."""
    size = 2.0 * (MARK + 0.6) * scale
    return Drawing(size, size, Mark(size / 2.0, size / 2.0, state, scale=scale))


def _flags(
    axis: Axis, shots: Sequence[ShotLine], room: float
) -> tuple[tuple[ShotLine, str, Flag], ...]:
    """Return each labelled shot with its text and where its flag flies."""
    measure = partial(width_of, font=REGULAR, size=_TEXT)
    named_shots = [shot for shot in shots if shot.label]
    texts = [fitted(printable(shot.label), _WIDEST_FLAG, measure) for shot in named_shots]
    places = [axis.fraction(shot.value) * room for shot in named_shots]
    flags = place_flags(places, [measure(text) + 5.0 for text in texts], room)
    return tuple(zip(named_shots, texts, flags, strict=True))


def _head(axis: Axis, shots: Sequence[ShotLine], room: float) -> float:
    """Return the height of everything above the rows: flags and ruler [pt]."""
    rows = 1 + max((flag.row for _, _, flag in _flags(axis, shots, room)), default=-1)
    return rows * _FLAG + _RULER + 4.0


def _draw_head(frame: _Frame, shots: Sequence[ShotLine], bottom: float) -> None:
    """Draw the ruler, the line of every shot down to `bottom`, and the flags."""
    drawing, axis, top = frame.drawing, frame.axis, frame.top
    room = frame.right - frame.left
    drawing.add(Bar(frame.left, top, room, _RULER, named("raised")))
    drawing.add(Line(frame.left, top, frame.right, top, "ruler"))
    ticks = _ticks(frame)
    for tick in ticks:
        x = frame.x(tick.value)
        drawing.add(Line(x, top, x, top + (4.0 if tick.text else 2.2), "ruler"))
    flags = {id(shot): flag for shot, _, flag in _flags(axis, shots, room)}
    highest = max((flag.row for flag in flags.values()), default=-1)
    for shot in shots:
        flag = flags.get(id(shot))
        over = 0.0 if flag is None else (highest - flag.row + 1) * _FLAG
        colour = "accent" if shot.end == "nominal" else "ruler"
        x = frame.x(shot.value)
        drawing.add(Line(x, bottom, x, top + _RULER + over, colour, dotted=shot.end != "nominal"))
    for tick in ticks:
        if tick.text:
            _on_page(frame, frame.x(tick.value), top + 6.0, tick.text, "raised", "faint_text")
    for _, text, flag in _flags(axis, shots, room):
        y = top + _RULER + (highest - flag.row) * _FLAG + 2.0
        x, wide = frame.left + flag.left, width_of(text, REGULAR, _TEXT)
        drawing.add(Bar(x + 1.0, y - 1.5, wide + 3.0, 8.5, white))
        drawing.add(words(x + 2.5, y, text, wide + 1.0))
    _draw_title(frame)


def _draw_grid(frame: _Frame, bottom: float) -> None:
    for tick in _ticks(frame):
        if tick.text:
            x = frame.x(tick.value)
            frame.drawing.add(Line(x, bottom, x, frame.top, "raised", 0.4))


def _ticks(frame: _Frame) -> tuple[Tick, ...]:
    return frame.axis.ticks(most=max(2, int((frame.right - frame.left) / 42.0)))


def _draw_title(frame: _Frame) -> None:
    for text, y in ((frame.axis.quantity, 8.5), (frame.axis.remark, 1.0)):
        frame.drawing.add(
            words(
                frame.left - 5.0, frame.top + y, text, frame.left - 5.0, "faint_text", anchor="end"
            )
        )


def _on_page(frame: _Frame, x: float, y: float, text: str, under: str, colour: str) -> None:
    """Write a number in the middle over `x`, clear of what lies below and within the frame."""
    wide = width_of(text, REGULAR, _TEXT)
    x = min(max(x, frame.left + wide / 2), frame.right - wide / 2)
    frame.drawing.add(Bar(x - wide / 2 - 1, y - 1, wide + 2, 7.5, named(under)))
    frame.drawing.add(words(x, y, text, wide + 1.0, colour, anchor="middle"))


def lanes_drawing(picture: LanesPicture, width: float, height: float) -> Drawing:
    """Return the second picture as a drawing of `width` [pt] and at most `height`.

    A narrow one has each value without its limits, which its bars show.
    """
    register()
    left, side = (_NARROW_LEFT, _NARROW_SIDE) if width < _NARROW else (_LEFT, _SIDE)
    head = _head(picture.axis, picture.shots, width - left - side) + _TITLE
    row = min(_TALLEST_ROW, (height - head - 4.0) / picture.height)
    needed = head + picture.height * row + 4.0
    drawing = Drawing(width, needed)
    frame = _Frame(drawing, picture.axis, left, width - side, needed - head, row, 0.0)
    # One below the other: what binds is not to be cut off behind two long names.
    drawing.add(words(0.0, needed - 8.0, picture.title, width, font=BOLD, size=_TEXT + 0.5))
    drawing.add(words(0.0, needed - 17.0, picture.verdict, width))
    bottom = frame.y(picture.height)
    if picture.shots:
        x0, x1 = (frame.x(end) for end in (picture.shots[0].low, picture.shots[0].high))
        tint = named("tint").clone(alpha=0.6)
        drawing.add(Bar(x0, bottom, x1 - x0, frame.top - bottom, tint))
    over = frame.y(picture.foot.y - 1.0)
    drawing.add(Line(frame.left, over, frame.right, over, "line"))
    rows = (*picture.lanes, picture.foot)
    _draw_grid(frame, bottom)
    _draw_criteria(frame, picture, rows)
    _draw_head(frame, picture.shots, bottom)
    for found in rows:
        if found.value is not None and frame.seen(found.value):
            drawing.add(Mark(frame.x(found.value), frame.y(found.y), found.state))
    return drawing


def _draw_criteria(frame: _Frame, picture: LanesPicture, rows: Sequence[CriterionLane]) -> None:
    drawing, height = frame.drawing, _LANE * frame.row
    for bar in bars(rows, picture.axis, comfort=False):
        drawing.add(Hatched(frame.x(bar.low), frame.x(bar.high), frame.y(bar.y), height))
    for bar in bars(rows, picture.axis, comfort=True):
        colour = "accent" if bar.y == picture.foot.y else "selection"
        drawing.add(solid(frame.x(bar.low), frame.x(bar.high), frame.y(bar.y), height, colour))
    for row in rows:
        y = frame.y(row.y)
        if not row.stated:
            drawing.add(Line(frame.left, y, frame.right, y, "not_stated", dotted=True))
        elif row.hard is not None:
            _draw_open_ends(frame, row.hard, y)
        strong = row.binding or row.key == "all"
        # A narrow picture has no room for the word: the label is bold all the same.
        limiting = row.binding and drawing.width >= _NARROW
        label = f"{row.label}, limiting" if limiting else row.label
        font = BOLD if strong else REGULAR
        drawing.add(
            words(frame.left - 5.0, y - 2.4, label, frame.left - 7.0, "text", font, _TEXT, "end")
        )
        room, x = drawing.width - frame.right - 6.0, frame.right + 6.0
        drawing.add(words(x, y - 2.2, row.text, room, size=_SMALL))
        if drawing.width < _NARROW:
            continue
        used = width_of(row.text, REGULAR, _SMALL) + 6.0
        drawing.add(words(x + used, y - 2.2, row.more, room - used, "faint_text", size=_SMALL))


def _draw_open_ends(frame: _Frame, hard: Ends, y: float) -> None:
    for end, x, inwards in ((hard[0], frame.left, 4.0), (hard[1], frame.right, -4.0)):
        if end is None:
            frame.drawing.add(Arrow(x, y, inwards))
