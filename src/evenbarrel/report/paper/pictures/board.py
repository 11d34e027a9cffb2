"""The board as a vector drawing: the same rows, ruler, lanes and cells as on the screen."""

from __future__ import annotations

from dataclasses import dataclass

from reportlab.lib.colors import white

from evenbarrel.appraisal.results import SEVERITY
from evenbarrel.report.paper.fonts import BOLD, REGULAR, printable, register, width_of
from evenbarrel.report.paper.palette import colour as named
from evenbarrel.report.paper.pictures.strokes import (
    BADGE,
    MARK,
    Badge,
    Bar,
    Drawing,
    Hatched,
    Line,
    Mark,
    OpenRing,
    Shape,
    badge_width,
    outline,
    solid,
    words,
)
from evenbarrel.wording.pictures.board import BoardCell, BoardPicture, BoardRow
from evenbarrel.wording.pictures.label_layout import side_by_side
from evenbarrel.wording.pictures.traces import Lane

_TEXT, _SMALL = 7.0, 5.6
_NAME, _GAP = 154.0, 5.0
STRIPE, _MARGIN = 2.0, 4.0
"""How wide the stripe before a proposed barrel is, and what is free for it before the names."""
_RULER, _LEADERS, _APART = 13.0, 8.0, 1.5
_LEAST_RULER = 250.0
_WIDEST_CELL, _LEAST_CELL, _ROOMY = 42.0, 13.0, 26.0
_AIR = 3.0
_END = 40.0
"""Right of the ruler, for the volume at the end of the largest barrel [pt]."""
_LEAST_LANE, _MOST_LANE = 7.0, 12.5
_BAR = 0.56
_STOREYS = 4


@dataclass(frozen=True)
class BoardRoom:
    """How a board shares out its width [pt]: names, ruler, one cell a job."""

    width: float
    jobs: int

    @property
    def cell(self) -> float:
        """Width of one job's cell."""
        if not self.jobs:
            return 0.0
        share = (self.width - _NAME - _LEAST_RULER) / self.jobs
        return max(_LEAST_CELL, min(_WIDEST_CELL, share))

    @property
    def shown(self) -> int:
        """How many jobs have a cell: as many as leave the ruler its least width."""
        if not self.jobs:
            return 0
        return min(self.jobs, int((self.width - _NAME - _LEAST_RULER) / self.cell + 1e-6))

    @property
    def right(self) -> float:
        """Where the ruler ends and the cells begin."""
        return self.width - self.shown * self.cell - (8.0 if self.shown else 0.0)


def rows_that_fit(picture: BoardPicture, width: float, height: float) -> int:
    """Return how many of a board's rows fit a drawing of that size [pt], at their smallest."""
    room = height - _head(picture, BoardRoom(width, len(picture.jobs)))
    for count, row in enumerate(picture.rows):
        room -= _row_height(row, _LEAST_LANE)
        if room < -1e-6:
            return count
    return len(picture.rows)


def board_drawing(picture: BoardPicture, width: float, height: float) -> Drawing:
    """Return a board as a drawing of `width` and at most `height` [pt], if its rows fit there."""
    register()
    room = BoardRoom(width, len(picture.jobs))
    head = _head(picture, room)
    lanes = sum(_lanes_of(row) for row in picture.rows)
    free = height - head - _AIR * len(picture.rows)
    lane = min(_MOST_LANE, max(_LEAST_LANE, free / max(1, lanes)))
    rows = sum(_row_height(row, lane) for row in picture.rows)
    return _Board(picture, room, Drawing(width, head + rows), head, lane).drawn()


def _lanes_of(row: BoardRow) -> int:
    return max(2, len(row.trace.lanes))


def _row_height(row: BoardRow, lane: float) -> float:
    return lane * _lanes_of(row) + _AIR


def _storeys(picture: BoardPicture, room: BoardRoom) -> int:
    """Return in how many rows the shots' numbers stand above the ruler."""
    count = sum(shot.end == "nominal" for shot in picture.ruler.shots)
    each = max((badge_width(job.number) for job in picture.jobs), default=BADGE) + _APART
    across = max(1, int((room.right - _NAME) / each))
    return min(_STOREYS, -(-count // across)) if count else 0


def _head(picture: BoardPicture, room: BoardRoom) -> float:
    storeys = _storeys(picture, room)
    return storeys * (BADGE + _APART) + (_LEADERS if storeys else 0.0) + _RULER + 1.0


class _Board:
    """One board while it is drawn; y goes up, rows go down."""

    def __init__(
        self, picture: BoardPicture, room: BoardRoom, drawing: Drawing, head: float, lane: float
    ) -> None:
        self._picture, self._room, self._drawing = picture, room, drawing
        self._top, self._lane = drawing.height - head, lane
        self._left, self._right = _NAME + 6.0, room.right - _END

    def drawn(self) -> Drawing:
        """Draw everything; return the drawing."""
        self._ground()
        self._heads()
        y = self._top
        for row in self._picture.rows:
            height = _row_height(row, self._lane)
            if row.first:
                self._add(Line(0.0, y, self._room.width, y, "line", 0.6))
            self._row(row, y - height / 2.0, height)
            y -= height
        self._add(Line(0.0, y, self._room.width, y, "line", 0.6))
        return self._drawing

    def _add(self, shape: Shape) -> None:
        self._drawing.add(shape)

    def _x(self, value: float) -> float:
        share = min(1.0, max(0.0, self._picture.ruler.axis.fraction(value)))
        return self._left + share * (self._right - self._left)

    def _cell_x(self, place: int) -> float:
        return self._room.width - (self._room.shown - place - 0.5) * self._room.cell

    def _ground(self) -> None:
        ruler = self._picture.ruler
        if ruler.tint is not None and self._picture.rows:
            low, high = (self._x(end) for end in ruler.tint)
            tint = named("tint").clone(alpha=0.6)
            self._add(Bar(low, 0.0, high - low, self._top, tint))
        for shot in ruler.shots:
            nominal = shot.end == "nominal"
            look = "accent" if nominal else "ruler"
            x = self._x(shot.value)
            self._add(Line(x, 0.0, x, self._top, look, 0.6, dotted=not nominal))

    def _heads(self) -> None:
        top = self._top
        axis = self._picture.ruler.axis
        self._add(Bar(_NAME, top, self._room.right - _NAME, _RULER, named("raised")))
        title, x, y = axis.title, _NAME - 6.0, top + 3.5
        self._add(words(x, y, title, _NAME - 8.0, "faint_text", size=6.3, anchor="end"))
        self._flags(top + _RULER)
        for tick in axis.ticks(most=max(2, int((self._right - self._left) / 38.0))):
            x = self._x(tick.value)
            self._add(Line(x, top, x, top + (3.0 if tick.text else 1.6), "ruler"))
            if tick.text:
                wide = width_of(tick.text, REGULAR, 6.3)
                self._add(Bar(x - wide / 2 - 1, top + 3.6, wide + 2, 7.0, named("raised")))
                self._add(
                    words(x, top + 4.6, tick.text, 60.0, "faint_text", size=6.3, anchor="middle")
                )
        self._add(Line(0.0, top, self._room.width, top, "ruler", 0.6))
        for place, job in enumerate(self._picture.jobs[: self._room.shown]):
            self._add(Badge(self._cell_x(place), top + _RULER / 2.0 + 0.5, job.number))

    def _flags(self, foot: float) -> None:
        """Draw the shots' numbers above their lines, moved apart where lines stand close."""
        numbers = self._picture.numbers
        shots = sorted(
            (self._x(shot.value), numbers[shot.job])
            for shot in self._picture.ruler.shots
            if shot.end == "nominal"
        )
        storeys = _storeys(self._picture, self._room)
        badges = []
        for storey in range(storeys):
            own = shots[storey::storeys]
            wide = max(badge_width(number) for _, number in own) + _APART
            places = side_by_side([x for x, _ in own], wide, _NAME, self._room.right)
            y = foot + _LEADERS + BADGE / 2.0 + storey * (BADGE + _APART)
            for (x, number), place in zip(own, places, strict=True):
                self._add(Line(place, y, x, foot, "accent", 0.6))
                self._add(Line(x, foot, x, self._top, "accent", 0.6))
                badges.append(Badge(place, y, number))
        for one in badges:
            self._add(one)

    def _row(self, row: BoardRow, y: float, height: float) -> None:
        self._name(row, y, height)
        heights = self._heights(row, y)
        if row.trace.full is not None:
            end = self._x(row.trace.full)
            for at in heights or {0.0: y}:
                level = heights.get(at, y)
                self._add(Line(self._left, level, end, level, "ruler"))
        for lane in row.trace.lanes:
            self._bar(lane, heights[lane.y])
        self._end(row, y, height)
        cells = {cell.job: cell for cell in row.cells}
        if row.trace.full is not None:
            # Without a volume a mark on the ruler would say where nobody knows.
            for found in sorted(row.trace.marks, key=lambda one: -SEVERITY.index(one.state)):
                x, rule = self._x(found.value), cells[found.job].by_rule
                self._add(Mark(x, heights[found.y], found.state, by_rule=rule))
        for place, job in enumerate(self._picture.jobs[: self._room.shown]):
            self._cell(cells[job.id], self._cell_x(place), y)

    def _heights(self, row: BoardRow, y: float) -> dict[float, float]:
        top = y + self._lane * len(row.trace.lanes) / 2.0
        return {lane.y: top - self._lane * (n + 0.5) for n, lane in enumerate(row.trace.lanes)}

    def _name(self, row: BoardRow, y: float, height: float) -> None:
        low = y - 2.4
        if row.proposed:
            reach = height / 2.0 - 1.0
            self._add(Bar(0.0, y - reach, STRIPE, 2.0 * reach, named("accent")))
        if row.first:
            room = _NAME - _MARGIN - _GAP
            self._add(words(_MARGIN, y + 1.6, row.supplier, room, font=BOLD, size=_TEXT))
            low = y - 6.6
        x = _MARGIN + 2 * MARK + _GAP
        self._add(Mark(_MARGIN + MARK + 0.6, low + 2.4, row.gate))
        room = _NAME - x - _GAP
        size = width_of(row.size, REGULAR, _TEXT)
        name = words(x, low, row.name, room, size=_TEXT)
        if width_of(name.text, REGULAR, _TEXT) + _GAP + size <= room:
            # Where both do not fit, the name counts more.
            self._add(words(_NAME - size, low, row.size, size + 1, "faint_text", size=_TEXT))
        self._add(name)

    def _bar(self, lane: Lane, y: float) -> None:
        if lane.low is None or lane.high is None:
            return
        low, high, thick = self._x(lane.low), self._x(lane.high), _BAR * self._lane
        if not lane.stated:
            self._add(outline(low, high, y, thick))
            return
        self._add(Hatched(low, high, y, thick))
        if lane.comfort_low is not None and lane.comfort_high is not None:
            ends = self._x(lane.comfort_low), self._x(lane.comfort_high)
            self._add(solid(*ends, y, thick, "selection"))

    def _end(self, row: BoardRow, y: float, height: float) -> None:
        trace = row.trace
        if trace.full is None:
            wide = width_of(printable(trace.note), REGULAR, _TEXT) + 4.0
            self._add(Bar(self._left, y - 4.0, wide, 9.0, white))
            self._add(words(self._left + 2.0, y - 2.2, trace.note, wide, "faint_text"))
            return
        end, reach = self._x(trace.full), height / 2.0 - 2.5
        self._add(Line(end, y - reach, end, y + reach, "text", 1.3))
        if trace.low is not None and trace.high is not None:
            low, high = self._x(trace.low), self._x(trace.high)
            if high - low >= 2.0:
                foot = y - reach
                self._add(Line(low, foot, high, foot, "text", 0.6))
                for x in (low, high):
                    self._add(Line(x, foot - 1.2, x, foot + 1.2, "text", 0.6))
        text = " ".join(part for part in (row.full_text, row.doubt) if part)
        wide = width_of(text, REGULAR, 6.3)
        furthest = max([end, *(self._x(found.value) + MARK for found in trace.marks)]) + 3.0
        x = min(furthest, self._room.right - wide)
        if x < furthest:
            self._add(Bar(x - 1.0, y - 3.6, wide + 2.0, 7.6, white))
        look = "near_edge" if trace.unsettled else "faint_text"
        self._add(words(x, y - 2.2, text, wide + 1.0, look, size=6.3))

    def _cell(self, cell: BoardCell, x: float, y: float) -> None:
        roomy = self._room.cell >= _ROOMY
        at = y + 3.2 if roomy else y
        self._add(Mark(x, at, cell.state, by_rule=cell.by_rule))
        if cell.open:
            self._add(OpenRing(x + MARK + 2.6, at + MARK - 1.0))
        if roomy:
            room = self._room.cell - 1.0
            self._add(
                words(x, y - 6.6, cell.word, room, "faint_text", size=_SMALL, anchor="middle")
            )
