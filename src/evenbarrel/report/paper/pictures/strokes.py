"""Drawings of marks, bars, lines and words that any printer draws, and that grey print still tells.

Every length is in points; `y` goes up.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass
from functools import partial
from typing import Literal, Protocol

from reportlab.lib.colors import Color, white
from reportlab.lib.utils import simpleSplit
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from evenbarrel.appraisal.results import State
from evenbarrel.report.paper.fonts import BOLD, REGULAR, printable, width_of
from evenbarrel.report.paper.palette import colour as named
from evenbarrel.wording.pictures.label_layout import fitted

MARK = 3.4
"""Radius of a mark [pt]."""
MARK_ROOM = 2 * MARK + 2.4
"""What a mark takes before its word [pt]."""
SIZE, LEADING = 7.0, 9.0
"""Of the words in a table [pt]."""
_GRID_SIZE, _GRID_LEADING = 6.0, 7.8
BADGE = 10.0
"""Height of a job's number with its ground [pt]."""

_RING, _HALO, _ROUND = MARK - 0.4, MARK + 0.9, 5
_HATCH, _LONG, _DEEP = 3.2, 900, 24
_FINE = 0.5
_WHOLE: tuple[float, ...] = ()
_DOTTED = (0.6, 1.6)
_DOTS = (0.9, 1.2)
_DIAGONAL = 0.7071
_BADGE_TEXT = 6.5


class Shape(Protocol):
    """Something that can be drawn."""

    def draw(self, canvas: Canvas) -> None:
        """Draw it."""


class Drawing(Flowable):
    """Shapes on a place of a width and a height, the later above the earlier."""

    def __init__(self, width: float, height: float, *shapes: Shape) -> None:
        """Take the size of the place, and what is there already."""
        super().__init__()
        self.width, self.height = width, height
        self.shapes = list(shapes)

    def add(self, shape: Shape) -> None:
        """Put a shape above what is there."""
        self.shapes.append(shape)

    def draw(self) -> None:
        """Draw every shape."""
        for shape in self.shapes:
            shape.draw(self.canv)


def _pen(canvas: Canvas, colour: str, width: float, dash: tuple[float, ...] = _WHOLE) -> None:
    canvas.setStrokeColor(named(colour))
    canvas.setLineWidth(width)
    canvas.setDash(dash)


@dataclass(frozen=True, slots=True)
class Mark:
    """A state's mark: filled dot, half dot, crossed ring or dotted ring.

    Outside by a rule of thumb alone the ring is struck through once, not crossed.
    """

    x: float
    y: float
    state: State
    by_rule: bool = False
    scale: float = 1.0

    def draw(self, canvas: Canvas) -> None:
        """Draw it: the document holds its picture once, however often it stands there."""
        name = f"mark_{self.state}{'_by_rule' if self.by_rule else ''}"
        if not canvas.hasForm(name):
            canvas.beginForm(name, -_ROUND, -_ROUND, _ROUND, _ROUND)
            self._trace(canvas)
            canvas.endForm()
        canvas.saveState()
        canvas.transform(self.scale, 0, 0, self.scale, self.x, self.y)
        canvas.doForm(name)
        canvas.restoreState()

    def _trace(self, canvas: Canvas) -> None:
        state = self.state
        canvas.setFillColor(white)
        canvas.circle(0, 0, _HALO, stroke=0, fill=1)
        canvas.setFillColor(named(state))
        if state == "inside":
            canvas.circle(0, 0, MARK, stroke=0, fill=1)
            return
        if state == "near_edge":
            canvas.wedge(-MARK, -MARK, MARK, MARK, 90, 180, stroke=0, fill=1)
        _pen(canvas, state, *((1.1, _DOTS) if state == "not_stated" else (0.8,)))
        canvas.circle(0, 0, _RING)
        if state == "outside":
            reach = _RING * _DIAGONAL
            for up in (-reach,) if self.by_rule else (reach, -reach):
                canvas.line(-reach, -up, reach, up)


@dataclass(frozen=True, slots=True)
class OpenRing:
    """The small ring beside a mark: something of that cell is not assessed."""

    x: float
    y: float

    def draw(self, canvas: Canvas) -> None:
        """Draw it."""
        _pen(canvas, "not_stated", 0.6)
        canvas.circle(self.x, self.y, 1.2)


@dataclass(frozen=True, slots=True)
class Badge:
    """A job's number on its ground, about a middle."""

    x: float
    y: float
    number: int

    def draw(self, canvas: Canvas) -> None:
        """Draw the ground, then the number."""
        wide = badge_width(self.number)
        canvas.setFillColor(named("accent"))
        low = self.y - BADGE / 2
        canvas.roundRect(self.x - wide / 2, low, wide, BADGE, 2.0, stroke=0, fill=1)
        canvas.setFillColor(white)
        canvas.setFont(BOLD, _BADGE_TEXT)
        canvas.drawCentredString(self.x, self.y - 2.3, str(self.number))


def badge_width(number: int) -> float:
    """Return how wide a job's number is with its ground [pt]."""
    return max(BADGE, width_of(str(number), BOLD, _BADGE_TEXT) + 4.0)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line in a named colour."""

    x0: float
    y0: float
    x1: float
    y1: float
    colour: str
    width: float = _FINE
    dotted: bool = False

    def draw(self, canvas: Canvas) -> None:
        """Draw it."""
        _pen(canvas, self.colour, self.width, _DOTTED if self.dotted else _WHOLE)
        canvas.line(self.x0, self.y0, self.x1, self.y1)


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar from its lower left corner, filled, with a fine border in a named colour, or both."""

    x: float
    y: float
    width: float
    height: float
    filling: Color | None
    border: str = ""
    dotted: bool = False

    def draw(self, canvas: Canvas) -> None:
        """Draw it."""
        if self.filling is not None:
            canvas.setFillColor(self.filling)
        if self.border:
            _pen(canvas, self.border, _FINE, _DOTTED if self.dotted else _WHOLE)
        stroke, fill = int(bool(self.border)), int(self.filling is not None)
        canvas.rect(self.x, self.y, self.width, self.height, stroke=stroke, fill=fill)


def solid(x0: float, x1: float, y: float, height: float, colour: str) -> Bar:
    """Return a filled bar about `y` with a fine border."""
    return Bar(x0, y - height / 2, x1 - x0, height, named(colour), "accent")


def outline(x0: float, x1: float, y: float, height: float) -> Bar:
    """Return a dotted bar about `y`: what is known of a lane that is not stated."""
    return Bar(x0, y - height / 2, x1 - x0, height, None, "not_stated", dotted=True)


@dataclass(frozen=True, slots=True)
class Hatched:
    """A bar about `y` filled with diagonal lines, each cut to the bar."""

    x0: float
    x1: float
    y: float
    height: float

    def draw(self, canvas: Canvas) -> None:
        """Draw the bar, then its lines: the document holds a long strip of them once."""
        wide, low = self.x1 - self.x0, self.y - self.height / 2
        Bar(self.x0, low, wide, self.height, white, "accent").draw(canvas)
        if not canvas.hasForm("hatch"):
            _draw_hatch(canvas)
        canvas.saveState()
        bar = canvas.beginPath()
        bar.rect(self.x0, low, wide, self.height)
        canvas.clipPath(bar, stroke=0)
        canvas.translate(self.x0, low + self.height)
        canvas.doForm("hatch")
        canvas.restoreState()


def _draw_hatch(canvas: Canvas) -> None:
    """Draw a strip that hangs below its left end, longer and higher than any bar."""
    canvas.beginForm("hatch", 0, -_DEEP, _LONG, 0)
    _pen(canvas, "accent", 0.35)
    path = canvas.beginPath()
    for place in range(1, int((_LONG + _DEEP) / _HATCH)):
        path.moveTo(place * _HATCH, 0)
        path.lineTo(place * _HATCH - _DEEP, -_DEEP)
    canvas.drawPath(path)
    canvas.endForm()


@dataclass(frozen=True, slots=True)
class Arrow:
    """An arrow head with its tip at the frame, reaching `inwards`: an end left open."""

    x: float
    y: float
    inwards: float

    def draw(self, canvas: Canvas) -> None:
        """Draw it."""
        path, foot = canvas.beginPath(), self.x + self.inwards
        path.moveTo(self.x, self.y)
        path.lineTo(foot, self.y + 2.5)
        path.lineTo(foot, self.y - 2.5)
        path.close()
        canvas.setFillColor(named("accent"))
        canvas.drawPath(path, stroke=0, fill=1)


Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Words:
    """A text on the base line `y` that begins, has its middle or ends at `x`."""

    x: float
    y: float
    text: str
    colour: str
    font: str
    size: float
    anchor: Anchor

    def draw(self, canvas: Canvas) -> None:
        """Draw it."""
        canvas.setFillColor(named(self.colour))
        canvas.setFont(self.font, self.size)
        match self.anchor:
            case "start":
                canvas.drawString(self.x, self.y, self.text)
            case "middle":
                canvas.drawCentredString(self.x, self.y, self.text)
            case "end":
                canvas.drawRightString(self.x, self.y, self.text)


def words(
    x: float,
    y: float,
    text: str,
    room: float,
    colour: str = "text",
    font: str = REGULAR,
    size: float = 7.0,
    anchor: Anchor = "start",
) -> Words:
    """Return a text on the base line `y`, cut to `room`, missing characters replaced."""
    shown = fitted(printable(text, font), room, partial(width_of, font=font, size=size))
    return Words(x, y, shown, colour, font, size, anchor)


class Marked(Flowable):
    """A state's mark, its words beside it, or below where asked or needed: told in grey, too."""

    def __init__(self, state: State, words: str, stacked: bool = False, grid: bool = False) -> None:
        super().__init__()
        self._state: State | None = state
        self._words = words
        self._centred = self._stacked = stacked
        self._lines: list[str] = []
        self._leading, self._size = (_GRID_LEADING, _GRID_SIZE) if grid else (LEADING, SIZE)

    def wrap(self, room: float, _height: float) -> tuple[float, float]:
        """Return the place the mark and its lines take: they are broken once for a width."""
        if self.width != room:
            self.width = room
            longest = max(
                (width_of(word, REGULAR, self._size) for word in self._words.split()), default=0.0
            )
            self._stacked = self._centred or MARK_ROOM + longest > room
            beside = room if self._stacked else room - MARK_ROOM + 0.01
            self._lines = simpleSplit(self._words, REGULAR, self._size, beside)
        # By its height a table tells whether it has to be split.
        self.height = self._leading * (len(self._lines) + self._stacked)
        return room, self.height

    def split(self, _room: float, height: float) -> list[Flowable]:
        """Return the mark with as many of its lines as have room, and the lines that follow."""
        taken = int(height / self._leading) - self._stacked
        if not 0 < taken < len(self._lines):
            return []
        first, rest = copy(self), copy(self)
        for part, lines in ((first, self._lines[:taken]), (rest, self._lines[taken:])):
            # As they were broken: a table asks for a split at another width than it measured.
            part._lines, part._words = lines, "\n".join(lines)
        rest._state = None
        return [first, rest]

    def draw(self) -> None:
        """Draw the mark, then the words line by line."""
        canvas, middle = self.canv, self.width / 2 if self._centred else 0.0
        top = self._leading * (len(self._lines) + self._stacked - 1)
        if self._state is not None:
            Mark(max(MARK, middle), top + 1.2 + MARK, self._state).draw(canvas)
        canvas.setFillColor(named("text"))
        canvas.setFont(REGULAR, self._size)
        for place, line in enumerate(self._lines):
            y = top - self._leading * (place + self._stacked) + 2.1
            if self._centred:
                canvas.drawCentredString(middle, y, line)
            else:
                canvas.drawString(0.0 if self._stacked else MARK_ROOM, y, line)
