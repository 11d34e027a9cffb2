"""The names of the numbered shots above the board, and the legend of its marks below."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import zip_longest
from math import ceil

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from evenbarrel.desk.pages.fit.board_header import paint_badge
from evenbarrel.desk.pages.fit.board_painter import STRIPE
from evenbarrel.desk.style.plain import draw_words, set_tip
from evenbarrel.desk.style.state_marks import draw_mark
from evenbarrel.desk.style.theme import Theme
from evenbarrel.wording.help.glossary import F1
from evenbarrel.wording.pictures.board import LEGEND, LEGEND_MARKS, NumberedJob, more_of
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.words.visible import visible_line

_LINE = 22.0
_LONGEST_NAME = 60
"""Letters of a job's name; the whole stands in the tip."""
_SYMBOL = 26.0
_BETWEEN = 14.0
_MOST_LINES = 3
_WIDTHS_KEPT = 16
_MOST_MEASURED = 400
_MANY_JOBS = 12
"""Of more their names are looked up; the rows of the board need the height."""

Entry = tuple[str, Callable[[QPainter, QPointF], None]]
"""A text, and what paints its symbol round a point."""


def _no_symbol(painter: QPainter, at: QPointF) -> None:
    """Words that stand for what is not shown have none."""


class _Flowing(QWidget):
    """Entries one after another, over three lines at most; what has no place there is counted."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.entries: tuple[Entry, ...] = ()
        self._places: dict[int, tuple[tuple[Entry, QPointF], ...]] = {}
        """Where entries have their place, by width: asked for again and again."""
        self._widths: dict[str, float] = {}
        self._pictures: dict[tuple[int, str, float], QPixmap] = {}
        """Entries as they are drawn, by place, text and pixels of the screen to one of ours."""
        theme.changed.connect(self._other_colours)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def most_lines(self) -> int:
        """Return over how many lines they may go."""
        return _MOST_LINES

    def shown(self, width: int) -> tuple[tuple[Entry, QPointF], ...]:
        """Return the entries that have a place where the row is so wide, each with its left middle.

        Where some have none, the last is of the words that count them.
        """
        if len(self._places) > _WIDTHS_KEPT:
            self._places = {}
        if width not in self._places:
            self._places[width] = self._placed(self.entries, width)
        return self._places[width]

    def _placed(self, entries: tuple[Entry, ...], width: int) -> tuple[tuple[Entry, QPointF], ...]:
        wide = [self._width(text) for text, _ in entries]
        for count in range(len(entries), 0, -1):
            left = len(entries) - count
            first = (*entries[:count], *([(more_of(left), _no_symbol)] if left else []))
            rest = [self._width(more_of(left))] if left else []
            places = _flow([*wide[:count], *rest], width)
            if places[-1].y() < self.most_lines() * _LINE:
                return tuple(zip(first, places, strict=True))
        return ()

    def _width(self, text: str) -> float:
        """Return how wide an entry is with its symbol; measured once for each text."""
        if text not in self._widths:
            if len(self._widths) >= _MOST_MEASURED:
                self._widths.clear()
            words = QFontMetricsF(self.font()).horizontalAdvance(text)
            self._widths[text] = float(ceil(_SYMBOL + words))
        return self._widths[text]

    def changeEvent(self, event: QEvent) -> None:
        """Measure and draw all anew in another font, draw all anew in other colours."""
        if event.type() == QEvent.Type.FontChange:
            self._widths, self._places = {}, {}
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self._pictures = {}
        super().changeEvent(event)

    def _other_colours(self) -> None:
        self._pictures = {}
        self.update()

    def show_entries(self, entries: tuple[Entry, ...]) -> None:
        """Show these entries, in order, and paint anew what is other than was shown before.

        Room is asked for only where another height is needed: all round would be laid out anew.
        """
        before = self.shown(self.width())
        self.entries, self._places = entries, {}
        if self.heightForWidth(self.width()) != self.height():
            self.updateGeometry()
        after = self.shown(self.width())
        for one, other in zip_longest(before, after):
            (was, stood), (now, stands) = one or other, other or one
            if one is None or other is None or (was[0], stood) != (now[0], stands):
                for text, at in ((was[0], stood), (now[0], stands)):
                    self.update(_box(at, self._width(text)).toAlignedRect())

    def heightForWidth(self, width: int) -> int:
        """Return the height of the lines, at most three of them."""
        return round(max((at.y() for _, at in self.shown(width)), default=0.0) + _LINE / 2.0)

    def hasHeightForWidth(self) -> bool:
        """The height follows the width."""
        return True

    def sizeHint(self) -> QSize:
        """Return the size at the present width."""
        return QSize(240, self.heightForWidth(max(self.width(), 240)))

    def minimumSizeHint(self) -> QSize:
        """Return one line's height."""
        return QSize(120, round(_LINE))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint symbols and texts, each from a picture of it, made where there is none yet."""
        painter, ratio = QPainter(self), self.devicePixelRatioF()
        for place, (entry, at) in enumerate(self.shown(self.width())):
            box = _box(at, self._width(entry[0]))
            if not event.rect().intersects(box.toAlignedRect()):
                continue
            if ratio.is_integer():
                painter.drawPixmap(box.topLeft(), self._picture(place, entry, box, ratio))
            else:
                # A picture would begin between two pixels, and be blurred.
                self._paint_entry(painter, box, entry)
        painter.end()

    def _picture(self, place: int, entry: Entry, box: QRectF, ratio: float) -> QPixmap:
        key = place, entry[0], ratio
        if key not in self._pictures:
            if len(self._pictures) >= _MOST_MEASURED:
                self._pictures.clear()
            picture = QPixmap(round(box.width() * ratio), round(box.height() * ratio))
            picture.setDevicePixelRatio(ratio)
            picture.fill(self.palette().color(self.backgroundRole()))
            painter = QPainter(picture)
            painter.setFont(self.font())
            self._paint_entry(painter, QRectF(0.0, 0.0, box.width(), box.height()), entry)
            painter.end()
            self._pictures[key] = picture
        return self._pictures[key]

    def _paint_entry(self, painter: QPainter, box: QRectF, entry: Entry) -> None:
        text, symbol = entry
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        symbol(painter, QPointF(box.left() + _SYMBOL / 2.0 - 2.0, box.center().y()))
        painter.setPen(QColor(self._theme.colours.text))
        words = box.adjusted(_SYMBOL, 0.0, 0.0, 0.0)
        draw_words(painter, words, Qt.AlignmentFlag.AlignVCenter, text)


def _box(at: QPointF, width: float) -> QRectF:
    """Return the box of an entry so wide whose left middle is there."""
    return QRectF(at.x(), at.y() - _LINE / 2.0, width + 1.0, _LINE)


def _flow(wide: Sequence[float], width: int) -> tuple[QPointF, ...]:
    """Return the left middle of things so wide, one after another in lines of that width."""
    x, y, found = 0.0, _LINE / 2.0, []
    for one in wide:
        if x > 0 and x + one > width:
            x, y = 0.0, y + _LINE
        found.append(QPointF(x, y))
        x += one + _BETWEEN
    return tuple(found)


class JobKey(_Flowing):
    """Which number stands for which job, with its shot."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._jobs: tuple[NumberedJob, ...] = ()

    def most_lines(self) -> int:
        """Return fewer lines where there are many jobs."""
        return _MOST_LINES if len(self._jobs) <= _MANY_JOBS else _MOST_LINES - 1

    def show_jobs(self, jobs: tuple[NumberedJob, ...]) -> None:
        """Show these jobs."""
        if jobs == self._jobs:
            return
        self._jobs = jobs
        self.setAccessibleName(visible_line("; ".join(f"{job.number} {job.name}" for job in jobs)))
        set_tip(self, "\n".join(f"{job.number}  {job.name}  {job.shot}" for job in jobs))
        # A badge, name and shot for each job.
        self.show_entries(
            tuple(
                (f"{fitted(job.name, _LONGEST_NAME, len)}  {job.shot}", self._badge(job.number))
                for job in jobs
            )
        )

    def _badge(self, number: int) -> Callable[[QPainter, QPointF], None]:
        return lambda painter, at: (paint_badge(painter, at, number, self._theme.colours), None)[1]


class Legend(_Flowing):
    """What the marks and bars of the board stand for."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._lanes: str | None = None
        self.show_lanes("")
        self.setAccessibleName("Legend of the board")
        set_tip(self, f"Marks, hatching and dotted lines: {F1}")

    def show_lanes(self, text: str) -> None:
        """Tell what the lanes of each barrel are, where it has some."""
        if text == self._lanes:
            return
        self._lanes = text
        self.show_entries(tuple(self._entries(text)))

    def _entries(self, lanes: str) -> Iterator[Entry]:
        """Yield every mark, the bars of a lane, and the lanes."""
        yield from ((text, self._mark(state, by_rule)) for state, by_rule, text in LEGEND_MARKS)
        yield LEGEND["comfortable"], self._bar(True)
        yield LEGEND["allowed"], self._bar(False)
        yield LEGEND["open"], self._ring
        yield LEGEND["gates"], self._gates
        yield LEGEND["proposed"], self._stripe
        if lanes:
            yield lanes, self._two_lanes

    def _mark(self, state: str, by_rule: bool) -> Callable[[QPainter, QPointF], None]:
        def paint(painter: QPainter, at: QPointF) -> None:
            box = QRectF(at.x() - 6.0, at.y() - 6.0, 12.0, 12.0)
            draw_mark(painter, box, state, self._theme.colours, by_rule=by_rule)

        return paint

    def _bar(self, comfortable: bool) -> Callable[[QPainter, QPointF], None]:
        def paint(painter: QPainter, at: QPointF) -> None:
            accent = QColor(self._theme.colours.accent)
            painter.setPen(QPen(accent, 1.0))
            filled = QBrush(QColor(self._theme.colours.selection))
            hatched = QBrush(accent, Qt.BrushStyle.BDiagPattern)
            painter.setBrush(filled if comfortable else hatched)
            painter.drawRect(QRectF(at.x() - 10.0, at.y() - 4.5, 20.0, 9.0))

        return paint

    def _two_lanes(self, painter: QPainter, at: QPointF) -> None:
        painter.setPen(QPen(QColor(self._theme.colours.accent), 1.0))
        painter.setBrush(QBrush(QColor(self._theme.colours.selection)))
        for shift in (-6.5, 1.5):
            painter.drawRect(QRectF(at.x() - 10.0, at.y() + shift, 20.0, 5.0))

    def _gates(self, painter: QPainter, at: QPointF) -> None:
        for shift, state in ((-7.0, "inside"), (0.0, "near_edge"), (7.0, "outside")):
            box = QRectF(at.x() + shift - 3.5, at.y() - 3.5, 7.0, 7.0)
            draw_mark(painter, box, state, self._theme.colours)

    def _stripe(self, painter: QPainter, at: QPointF) -> None:
        stripe = QRectF(at.x() - STRIPE / 2.0, at.y() - 7.0, STRIPE, 14.0)
        painter.fillRect(stripe, QColor(self._theme.colours.accent))

    def _ring(self, painter: QPainter, at: QPointF) -> None:
        painter.setPen(QPen(QColor(self._theme.colours.not_stated), 1.0))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(at, 2.0, 2.0)
