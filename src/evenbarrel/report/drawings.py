"""Both pictures as vector drawings for the report: the same traces as on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from math import ceil

from reportlab.graphics.shapes import Drawing
from reportlab.lib.colors import white

from evenbarrel.appraisal.results import SEVERITY
from evenbarrel.report.fonts import BOLD, REGULAR, printable, register, width_of
from evenbarrel.report.palette import colour as named
from evenbarrel.report.strokes import (
    MARK,
    arrow,
    filled,
    hatched,
    line,
    mark,
    outline,
    solid,
    words,
)
from evenbarrel.wording.pictures.criterion_lanes import CriterionLane, Ends, LanesPicture, bars
from evenbarrel.wording.pictures.label_layout import Flag, fitted, fly_flags, stand_below
from evenbarrel.wording.pictures.ruler import GAP, BarrelTrace, Lane, Mark, RulerPicture, ShotLine
from evenbarrel.wording.pictures.scales import Axis, Tick

_TEXT, _SMALL = 7.0, 5.8
_FLAG, _RULER, _TITLE = 9.0, 15.0, 11.0
_LEAST, _MOST = 13.0, 18.0
_LANE = 0.44
_WIDEST_FLAG = 120.0
_LEFT, _SIDE = 128.0, 92.0


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


def ruler_drawings(picture: RulerPicture, width: float, height: float) -> tuple[Drawing, ...]:
    """Return the picture in as many drawings of at most `width` x `height` [pt] as it needs.

    The barrels are shared out evenly; every drawing has the ruler and the shots above them.
    """
    room = (
        height - _head(picture.axis, picture.shots, width - _LEFT - _SIDE) - _foot(picture)
    ) / _LEAST
    each = max((b.bottom - b.top for b in picture.barrels), default=1.0) + GAP
    count = max(1, ceil(len(picture.barrels) / max(1, int(room / each))))
    shared = max(1, ceil(len(picture.barrels) / count))
    return tuple(
        _ruler_page(picture, picture.barrels[first : first + shared], width, height)
        for first in range(0, max(1, len(picture.barrels)), shared)
    )


def ruler_drawing(picture: RulerPicture, width: float, height: float) -> Drawing:
    """Return the whole picture in one drawing, however small its rows become."""
    return _ruler_page(picture, picture.barrels, width, height)


def _foot(picture: RulerPicture) -> float:
    return 10.0 * len(picture.notes) + 2.0


def _ruler_page(
    picture: RulerPicture, barrels: Sequence[BarrelTrace], width: float, height: float
) -> Drawing:
    register()
    head = _head(picture.axis, picture.shots, width - _LEFT - _SIDE)
    first = barrels[0].top - GAP / 2 if barrels else 0.0
    rows = barrels[-1].bottom + GAP / 2 - first if barrels else 2.0
    row = min(_MOST, (height - head - _foot(picture)) / rows)
    needed = head + rows * row + _foot(picture)
    drawing = Drawing(width, needed)
    frame = _Frame(drawing, picture.axis, _LEFT, width - _SIDE, needed - head, row, first)
    bottom = frame.y(first + rows)
    if picture.tint is not None:
        x0, x1 = (frame.x(end) for end in picture.tint)
        tint = named("tint").clone(alpha=0.5)
        drawing.add(filled(x0, bottom, x1 - x0, frame.top - bottom, tint))
    _draw_grid(frame, bottom)
    _draw_head(frame, picture.shots, bottom)
    for barrel in barrels:
        _draw_barrel(frame, barrel)
    for place, note in enumerate(picture.notes):
        drawing.add(words(0.0, 3.0 + 10.0 * place, note, width, "faint_text", size=_SMALL + 0.6))
    return drawing


def _flags(
    axis: Axis, shots: Sequence[ShotLine], room: float
) -> tuple[tuple[ShotLine, str, Flag], ...]:
    """Return each labelled shot with its text and where its flag flies."""
    measure = partial(width_of, font=REGULAR, size=_TEXT)
    named_shots = [shot for shot in shots if shot.label]
    texts = [fitted(printable(shot.label), _WIDEST_FLAG, measure) for shot in named_shots]
    places = [axis.fraction(shot.value) * room for shot in named_shots]
    flags = fly_flags(places, [measure(text) + 5.0 for text in texts], room)
    return tuple(zip(named_shots, texts, flags, strict=True))


def _head(axis: Axis, shots: Sequence[ShotLine], room: float) -> float:
    """Return the height of everything above the rows: flags and ruler [pt]."""
    rows = 1 + max((flag.row for _, _, flag in _flags(axis, shots, room)), default=-1)
    return rows * _FLAG + _RULER + 4.0


def _draw_head(frame: _Frame, shots: Sequence[ShotLine], bottom: float) -> None:
    """Draw the ruler, the line of every shot down to `bottom`, and the flags."""
    drawing, axis, top = frame.drawing, frame.axis, frame.top
    room = frame.right - frame.left
    drawing.add(filled(frame.left, top, room, _RULER, named("raised")))
    drawing.add(line(frame.left, top, frame.right, top, "ruler"))
    ticks = _ticks(frame)
    for tick in ticks:
        x = frame.x(tick.value)
        drawing.add(line(x, top, x, top + (4.0 if tick.text else 2.2), "ruler"))
    flags = {id(shot): flag for shot, _, flag in _flags(axis, shots, room)}
    highest = max((flag.row for flag in flags.values()), default=-1)
    for shot in shots:
        flag = flags.get(id(shot))
        over = 0.0 if flag is None else (highest - flag.row + 1) * _FLAG
        colour = "accent" if shot.end == "nominal" else "ruler"
        x = frame.x(shot.value)
        drawing.add(line(x, bottom, x, top + _RULER + over, colour, dotted=shot.end != "nominal"))
    for tick in ticks:
        if tick.text:
            _on_page(frame, frame.x(tick.value), top + 6.0, tick.text, "raised", "faint_text")
    for _, text, flag in _flags(axis, shots, room):
        y = top + _RULER + (highest - flag.row) * _FLAG + 2.0
        x, wide = frame.left + flag.left, width_of(text, REGULAR, _TEXT)
        drawing.add(filled(x + 1.0, y - 1.5, wide + 3.0, 8.5, white))
        drawing.add(words(x + 2.5, y, text, wide + 1.0))
    _draw_title(frame)


def _draw_grid(frame: _Frame, bottom: float) -> None:
    for tick in _ticks(frame):
        if tick.text:
            x = frame.x(tick.value)
            frame.drawing.add(line(x, bottom, x, frame.top, "raised", 0.4))


def _ticks(frame: _Frame) -> tuple[Tick, ...]:
    return frame.axis.ticks(most=max(2, int((frame.right - frame.left) / 42.0)))


def _draw_title(frame: _Frame) -> None:
    for text, y in ((frame.axis.quantity, 8.5), (frame.axis.remark, 1.0)):
        frame.drawing.add(
            words(frame.left - 5.0, frame.top + y, text, _LEFT - 5.0, "faint_text", anchor="end")
        )


def _on_page(frame: _Frame, x: float, y: float, text: str, under: str, colour: str) -> None:
    """Write a number in the middle over `x`, clear of what lies below and within the frame."""
    wide = width_of(text, REGULAR, _TEXT)
    x = min(max(x, frame.left + wide / 2), frame.right - wide / 2)
    frame.drawing.add(filled(x - wide / 2 - 1, y - 1, wide + 2, 7.5, named(under)))
    frame.drawing.add(words(x, y, text, wide + 1.0, colour, anchor="middle"))


def _draw_barrel(frame: _Frame, barrel: BarrelTrace) -> None:
    drawing, y = frame.drawing, frame.y(barrel.y)
    for text, over, font in ((barrel.supplier, 1.2, BOLD), (barrel.name, -6.8, REGULAR)):
        colour = "text" if font == BOLD else "faint_text"
        drawing.add(
            words(frame.left - 5.0, y + over, text, _LEFT - 7.0, colour, font, _TEXT, "end")
        )
    heights = [lane.y for lane in barrel.lanes] or [barrel.y]
    if barrel.full is not None:
        end = frame.x(barrel.full)
        for height in heights:
            drawing.add(line(frame.left, frame.y(height), end, frame.y(height), "ruler"))
    for lane in barrel.lanes:
        _draw_lane(frame, lane)
        if not barrel.note:
            _beside(frame, lane.y, lane.label)
    if barrel.note:
        _beside(frame, barrel.y, barrel.note)
    if barrel.full is not None and barrel.low is not None and barrel.high is not None:
        _draw_end(frame, barrel, barrel.full, barrel.low, barrel.high)
    for lane_y in heights:
        _draw_marks(frame, [found for found in barrel.marks if found.y == lane_y])


def _beside(frame: _Frame, row: float, text: str) -> None:
    y = frame.y(row) - _SMALL / 3
    room = frame.drawing.width - frame.right - 6.0
    frame.drawing.add(words(frame.right + 6.0, y, text, room, "faint_text", size=_SMALL + 0.4))


def _draw_lane(frame: _Frame, lane: Lane) -> None:
    y, height = frame.y(lane.y), _LANE * frame.row
    if lane.low is None or lane.high is None:
        return
    low, high = frame.x(lane.low), frame.x(lane.high)
    if not lane.stated:
        frame.drawing.add(outline(low, high, y, height))
        return
    frame.drawing.add(hatched(low, high, y, height))
    if lane.comfort_low is not None and lane.comfort_high is not None:
        ends = frame.x(lane.comfort_low), frame.x(lane.comfort_high)
        frame.drawing.add(solid(*ends, y, height, "selection"))


def _draw_end(frame: _Frame, barrel: BarrelTrace, full: float, low: float, high: float) -> None:
    x, foot = frame.x(full), frame.y(barrel.bottom - 0.12)
    frame.drawing.add(line(x, foot, x, frame.y(barrel.top + 0.12), "text", 1.2))
    left, right = frame.x(low), frame.x(high)
    frame.drawing.add(line(left, foot, right, foot, "text", 0.7))
    if barrel.unsettled:
        frame.drawing.add(
            words(x, foot - 6.5, "unsettled", 60.0, "near_edge", size=_SMALL, anchor="middle")
        )
    for end in (left, right):
        frame.drawing.add(line(end, foot - 1.5, end, foot + 1.5, "text", 0.7))


def _draw_marks(frame: _Frame, marks: Sequence[Mark]) -> None:
    seen = [found for found in marks if frame.seen(found.value)]
    for found in sorted(seen, key=lambda one: -SEVERITY.index(one.state)):
        frame.drawing.add(mark(frame.x(found.value), frame.y(found.y), found.state))
    named_marks = [found for found in seen if found.name]
    measure = partial(width_of, font=REGULAR, size=_SMALL)
    across = [frame.x(found.value) for found in named_marks]
    for placed in stand_below(across, [found.name for found in named_marks], measure, 2.0):
        found, wide = named_marks[placed.marks[0]], measure(placed.text)
        y = frame.y(found.y) - MARK - _SMALL
        frame.drawing.add(filled(placed.left - 0.5, y - 1.0, wide + 1.0, _SMALL, white))
        frame.drawing.add(words(placed.left, y, placed.text, wide + 1.0, found.state, size=_SMALL))


def lanes_drawing(picture: LanesPicture, width: float, height: float) -> Drawing:
    """Return the second picture as a drawing of `width` [pt] and at most `height`."""
    register()
    side = _SIDE * 1.45
    head = _head(picture.axis, picture.shots, width - _LEFT - side) + _TITLE
    row = min(_MOST + 1.0, (height - head - 4.0) / picture.height)
    needed = head + picture.height * row + 4.0
    drawing = Drawing(width, needed)
    frame = _Frame(drawing, picture.axis, _LEFT, width - side, needed - head, row, 0.0)
    title = f"{picture.title}: {picture.verdict}"
    drawing.add(words(0.0, needed - 8.0, title, width, font=BOLD, size=_TEXT + 0.5))
    bottom = frame.y(picture.height)
    if picture.shots:
        x0, x1 = (frame.x(end) for end in (picture.shots[0].low, picture.shots[0].high))
        tint = named("tint").clone(alpha=0.6)
        drawing.add(filled(x0, bottom, x1 - x0, frame.top - bottom, tint))
    over = frame.y(picture.foot.y - 1.0)
    drawing.add(line(frame.left, over, frame.right, over, "line"))
    rows = (*picture.lanes, picture.foot)
    _draw_grid(frame, bottom)
    _draw_criteria(frame, picture, rows)
    _draw_head(frame, picture.shots, bottom)
    for found in rows:
        if found.value is not None and frame.seen(found.value):
            drawing.add(mark(frame.x(found.value), frame.y(found.y), found.state))
    return drawing


def _draw_criteria(frame: _Frame, picture: LanesPicture, rows: Sequence[CriterionLane]) -> None:
    drawing, height = frame.drawing, _LANE * frame.row
    for bar in bars(rows, picture.axis, comfort=False):
        drawing.add(hatched(frame.x(bar.low), frame.x(bar.high), frame.y(bar.y), height))
    for bar in bars(rows, picture.axis, comfort=True):
        colour = "accent" if bar.y == picture.foot.y else "selection"
        drawing.add(solid(frame.x(bar.low), frame.x(bar.high), frame.y(bar.y), height, colour))
    for row in rows:
        y = frame.y(row.y)
        if not row.stated:
            drawing.add(line(frame.left, y, frame.right, y, "not_stated", dotted=True))
        elif row.hard is not None:
            _draw_open_ends(frame, row.hard, y)
        strong = row.binding or row.key == "all"
        label = f"{row.label}, binds" if row.binding else row.label
        font = BOLD if strong else REGULAR
        drawing.add(
            words(frame.left - 5.0, y - 2.4, label, _LEFT - 7.0, "text", font, _TEXT, "end")
        )
        room, x = drawing.width - frame.right - 6.0, frame.right + 6.0
        drawing.add(words(x, y + 0.8, row.text, room, size=_SMALL))
        drawing.add(words(x, y - 6.2, row.more, room, "faint_text", size=_SMALL))


def _draw_open_ends(frame: _Frame, hard: Ends, y: float) -> None:
    for end, x, inwards in ((hard[0], frame.left, 4.0), (hard[1], frame.right, -4.0)):
        if end is None:
            frame.drawing.add(arrow(x, y, inwards))
