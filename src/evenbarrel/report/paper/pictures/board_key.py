"""The names of the numbered jobs beside a board, and the legend of its marks and bars."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from evenbarrel.report.paper.fonts import REGULAR, printable, register, width_of
from evenbarrel.report.paper.palette import colour as named
from evenbarrel.report.paper.pictures.board import STRIPE
from evenbarrel.report.paper.pictures.strokes import (
    Badge,
    Bar,
    Drawing,
    Hatched,
    Mark,
    OpenRing,
    Shape,
    badge_width,
    solid,
    words,
)
from evenbarrel.wording.pictures.board import LEGEND, LEGEND_MARKS, NumberedJob
from evenbarrel.wording.pictures.label_layout import fitted

_TEXT = 7.0
_MARK, _BAR, _BETWEEN = 9.0, 18.0, 14.0
_LINE = 13.0
_LONGEST_NAME = 210.0

Symbol = Callable[[float, float], Shape]


@dataclass(frozen=True, slots=True)
class _Entry:
    """A text, the width of its symbols [pt], and what draws each of them round a point."""

    text: str
    width: float
    symbols: tuple[Symbol, ...]


def _flowing(entries: Sequence[_Entry], width: float, most: int) -> tuple[Drawing, int]:
    """Return entries one after another over at most `most` lines, and how many stand there."""
    register()
    x, lines, placed = 0.0, 1, []
    for entry in entries:
        whole = entry.width + 4.0 + width_of(entry.text, REGULAR, _TEXT)
        if x > 0 and x + whole > width:
            x, lines = 0.0, lines + 1
        if lines > most:
            break
        placed.append((x, lines, entry))
        x += whole + _BETWEEN
    drawing = Drawing(width, min(lines, most) * _LINE)
    for left, number, entry in placed:
        y = drawing.height - (number - 0.5) * _LINE
        each = entry.width / len(entry.symbols)
        for place, symbol in enumerate(entry.symbols):
            drawing.add(symbol(left + each * (place + 0.5), y))
        drawing.add(words(left + entry.width + 4.0, y - 2.5, entry.text, width))
    return drawing, len(placed)


def key_drawing(
    jobs: Sequence[NumberedJob], width: float, most: int, *, shots: bool = True
) -> tuple[Drawing, int]:
    """Return which number stands for which job over at most `most` lines, and how many do.

    With `shots` each name has its shot behind it.
    """
    measure = partial(width_of, font=REGULAR, size=_TEXT)
    entries = []
    for job in jobs:
        name = fitted(printable(job.name), _LONGEST_NAME, measure)
        text = f"{name} ({job.shot})" if shots else name
        symbol = partial(Badge, number=job.number)
        entries.append(_Entry(text, badge_width(job.number), (symbol,)))
    return _flowing(entries, width, most)


def legend_drawing(width: float, lanes: str = "") -> Drawing:
    """Return what the marks and bars of the board stand for, and its `lanes` where it has some."""
    gates = tuple(partial(Mark, state=state) for state in ("inside", "near_edge", "outside"))
    entries = [
        *(
            _Entry(text, _MARK, (partial(Mark, state=state, by_rule=by_rule),))
            for state, by_rule, text in LEGEND_MARKS
        ),
        _Entry(LEGEND["comfortable"], _BAR, (_comfortable,)),
        _Entry(LEGEND["allowed"], _BAR, (_allowed,)),
        _Entry(LEGEND["open"], _MARK / 2, (OpenRing,)),
        _Entry(LEGEND["gates"], 3 * _MARK, gates),
        _Entry(LEGEND["proposed"], STRIPE, (_stripe,)),
        *([_Entry(lanes, _BAR, (_upper_lane, _lower_lane))] if lanes else []),
    ]
    return _flowing(entries, width, len(entries))[0]


def _comfortable(x: float, y: float) -> Shape:
    return solid(x - _BAR / 2, x + _BAR / 2, y, 5.5, "selection")


def _stripe(x: float, y: float) -> Shape:
    return Bar(x - STRIPE / 2, y - _MARK / 2, STRIPE, _MARK, named("accent"))


def _upper_lane(x: float, y: float) -> Shape:
    return solid(x - _BAR / 4, x + _BAR / 4, y + 2.2, 2.6, "selection")


def _lower_lane(x: float, y: float) -> Shape:
    return solid(x - _BAR / 4, x + _BAR / 4, y - 2.2, 2.6, "selection")


def _allowed(x: float, y: float) -> Shape:
    return Hatched(x - _BAR / 2, x + _BAR / 2, y, 5.5)
