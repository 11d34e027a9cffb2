"""How the board is drawn: a barrel's ruler row, a job's cell, a barrel's name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QPixmap

from evenbarrel.appraisal.results import SEVERITY
from evenbarrel.desk.style.plain import draw_words
from evenbarrel.desk.style.state_marks import MARK_SIZE, mark_picture, stamp, stamp_mark
from evenbarrel.desk.style.theme import Colours
from evenbarrel.wording.pictures.board import CELL_WORDS, BoardCell, BoardPicture, BoardRow
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.pictures.scales import Axis
from evenbarrel.wording.pictures.traces import BarrelTrace, Lane, Mark

LANE = 15.0
"""Height of one lane [px]."""
AIR = 3.0
"""Above and below the lanes of one barrel [px]."""
MARK = float(MARK_SIZE)
MARGIN = 10.0
"""Between the ruler's ends and the edges of its column [px]."""
STRIPE = 3.0
"""How wide what marks a proposed barrel is, at the left edge of its name [px]."""
_LANE_BAR = 9.0
_GAP = 6.0
_CONDENSED = 88
"""How wide the words below marks are where cells are narrow [% of the usual]."""
_MOST_MEASURED = 2000
_MOST_KEPT = 200
"""Looks of names, cells and barrels that are kept drawn: those in sight, and some beyond."""
_CLEAR = "transparent"
_OUTLINES = {True: Qt.PenStyle.SolidLine, False: Qt.PenStyle.DotLine}
"""How a lane is outlined, by whether all its limits are stated."""


def row_height(trace: BarrelTrace) -> int:
    """Return the height of a barrel's row [px]."""
    return round(max(2.0 * LANE, LANE * len(trace.lanes)) + 2.0 * AIR)


@dataclass(frozen=True, slots=True)
class RulerBox:
    """A row whose ruler is drawn: where, and on which ground."""

    row: BoardRow
    box: QRectF
    ground: str


class BoardPainter:
    """Draws parts of a board picture in given boxes, in the colours and the font of a window.

    What looks alike in many rows is drawn once and kept: the same few cells, the shots' lines.
    `ratio` is how many pixels of the screen one of ours is.
    """

    def __init__(self, colours: Colours, font: QFont, ratio: float) -> None:
        self._colours, self._ratio = colours, ratio
        self._font, self._bold, self._small = font, QFont(font), QFont(font)
        self._bold.setBold(True)
        self._small.setPointSizeF(font.pointSizeF() - 1.5)
        self._metrics = QFontMetricsF(self._small)
        self._height = self._metrics.height()
        self._usual, self._of_bold = QFontMetricsF(font), QFontMetricsF(self._bold)
        self._page, self._text = QColor(colours.page), QColor(colours.text)
        self._faint, self._accent = QColor(colours.faint_text), QColor(colours.accent)
        self._rod = QPen(QColor(colours.ruler), 1.0)
        self._comfort = QBrush(QColor(colours.selection))
        self._hatching = QBrush(self._accent, Qt.BrushStyle.BDiagPattern)
        self._wide: dict[str, float] = {}
        self._letterings: dict[float, QFont | None] = {}
        self._names: dict[tuple[object, ...], QPixmap] = {}
        self._cells: dict[tuple[object, ...], QPixmap] = {}
        self._grounds: dict[tuple[object, ...], QPixmap] = {}
        self._barrels: dict[tuple[object, ...], QPixmap] = {}
        self._picture: BoardPicture | None = None
        self._axis: Axis | None = None
        self._from, self._along = 0.0, 1.0

    def is_of(self, colours: Colours, font: QFont, ratio: float) -> bool:
        """Say whether this draws in those colours and that font, for such a screen."""
        return self._colours is colours and self._font == font and self._ratio == ratio

    def show(self, picture: BoardPicture) -> None:
        """Draw parts of that picture from now on."""
        if picture is not self._picture:
            self._picture = picture
            self._grounds.clear()
            axis = picture.ruler.axis
            if axis != self._axis:
                self._barrels.clear()
            self._axis = axis
            self._from = axis.position(axis.low)
            self._along = axis.position(axis.high) - self._from

    def _along_box(self, box: QRectF) -> Callable[[float], float]:
        """Return what tells where a value of the ruler lies in a box of its column [px]."""
        assert self._axis is not None
        position = self._axis.position
        each = (box.width() - 2.0 * MARGIN) / self._along
        first = box.left() + MARGIN - self._from * each
        return lambda value: first + position(value) * each

    def marks_in(self, row: BoardRow, box: QRectF) -> tuple[tuple[Mark, QPointF], ...]:
        """Return each mark of a row with its middle, in the order they are drawn."""
        if row.trace.full is None:
            # Without a volume a mark on the ruler would say where nobody knows.
            return ()
        heights, x_of = {lane.y: y for lane, y in _lanes(row, box)}, self._along_box(box)
        found = sorted(row.trace.marks, key=lambda mark: -SEVERITY.index(mark.state))
        return tuple((m, QPointF(x_of(m.value), heights[m.y])) for m in found)

    def paint_rulers(self, painter: QPainter, rulers: Sequence[RulerBox]) -> None:
        """Draw the planned range, the shots' lines, the barrels with their lanes, and the marks.

        Of all rows alike parts are drawn together, from what lies below to what lies on top.
        """
        if not rulers:
            return
        painter.save()
        painter.setClipRect(rulers[0].box.united(rulers[-1].box))
        for one in rulers:
            self._stamp(painter, one.box, self._grounds, (one.ground,), self._paint_ground)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for one in rulers:
            self._stamp_barrel(painter, one)
        marks = [self.marks_in(one.row, one.box) for one in rulers]
        for one, of_row in zip(rulers, marks, strict=True):
            self._paint_words(painter, one.box, one.row, of_row)
        self._paint_marks(painter, rulers, marks)
        painter.restore()

    def _stamp_barrel(self, painter: QPainter, one: RulerBox) -> None:
        """Draw a barrel with its lanes, which no shot moves, over what lies below it."""
        trace, full = one.row.trace, one.row.trace.full
        if full is None:
            return
        self._stamp(
            painter,
            one.box,
            self._barrels,
            (_CLEAR, trace.lanes, trace.low, full, trace.high),
            lambda own, place: self._paint_barrel(own, place, one.row, full),
        )

    def _paint_marks(
        self,
        painter: QPainter,
        rulers: Sequence[RulerBox],
        marks: Sequence[tuple[tuple[Mark, QPointF], ...]],
    ) -> None:
        """Draw marks over all else, each on a disc that clears what lies below it."""
        pictures: dict[tuple[str, bool], QPixmap] = {}
        for one, of_row in zip(rulers, marks, strict=True):
            cells = {cell.job: cell for cell in one.row.cells}
            for mark, at in of_row:
                look = cells[mark.job].state, cells[mark.job].by_rule
                if look not in pictures:
                    state, by_rule = look
                    colours, ratio = self._colours, self._ratio
                    pictures[look] = mark_picture(state, colours, ratio, by_rule, colours.page)
                stamp(painter, at, pictures[look])

    def paint_cell(self, painter: QPainter, box: QRectF, cell: BoardCell, ground: str) -> None:
        """Draw a job's mark, and below it what binds where there is room for the word."""
        look = (ground, cell.state, cell.by_rule, bool(cell.open), cell.word)
        self._stamp(
            painter,
            box,
            self._cells,
            look,
            lambda own, place: self._paint_cell(own, place, cell),
        )

    def _stamp(
        self,
        painter: QPainter,
        box: QRectF,
        kept: dict[tuple[object, ...], QPixmap],
        look: tuple[object, ...],
        paint: Callable[[QPainter, QRectF], None],
    ) -> None:
        """Draw what looks so into a box: from a picture of it, made where there is none yet.

        The first of a look is the ground.
        """
        ratio, ground = self._ratio, str(look[0])
        if not ratio.is_integer():
            # A picture would begin between two pixels, and be blurred.
            painter.fillRect(box, QColor(ground))
            paint(painter, box)
            return
        width, height = box.width(), box.height()
        key = (*look, width, height)
        pixmap = kept.get(key)
        if pixmap is None:
            if len(kept) >= _MOST_KEPT:
                kept.clear()
            kept[key] = pixmap = QPixmap(round(width * ratio), round(height * ratio))
            pixmap.setDevicePixelRatio(ratio)
            pixmap.fill(QColor(ground))
            own = QPainter(pixmap)
            own.setFont(self._font)
            paint(own, QRectF(0.0, 0.0, width, height))
            own.end()
        painter.drawPixmap(box.topLeft(), pixmap)

    def _paint_cell(self, painter: QPainter, box: QRectF, cell: BoardCell) -> None:
        height = self._height
        font = self._lettering(box.width() - 1.0)
        roomy = font is not None and box.height() >= MARK + height + 4.0
        top = box.center().y() - MARK / 2.0
        if roomy:
            top = box.center().y() - (MARK + height) / 2.0
        place = QRectF(box.center().x() - MARK / 2.0, top, MARK, MARK)
        stamp_mark(painter, place.center(), cell.state, self._colours, by_rule=cell.by_rule)
        if cell.open:
            self._paint_open(painter, place)
        if roomy:
            painter.save()
            painter.setFont(font or self._small)
            painter.setPen(self._faint)
            words = QRectF(box.left(), place.bottom() + 1.0, box.width(), height)
            draw_words(painter, words, Qt.AlignmentFlag.AlignCenter, cell.word)
            painter.restore()

    def paint_name(self, painter: QPainter, box: QRectF, row: BoardRow, ground: str) -> None:
        """Draw the supplier above its first barrel, then mark, barrel and screw diameter."""
        supplier = row.supplier if row.first else None
        look = (ground, supplier, row.name, row.size, row.gate, row.proposed)
        self._stamp(
            painter,
            box,
            self._names,
            look,
            lambda own, place: self._paint_name(own, place, row),
        )

    def _paint_name(self, painter: QPainter, box: QRectF, row: BoardRow) -> None:
        painter.save()
        if row.proposed:
            painter.fillRect(QRectF(box.left(), box.top(), STRIPE, box.height()), self._accent)
        metrics = self._usual
        line = metrics.height()
        two = box.height() >= 2.0 * line
        below = QRectF(box.left(), box.center().y(), box.width(), box.height() / 2.0 - 1.0)
        if not (row.first and two):
            below = box
        if row.first and two:
            painter.setFont(self._bold)
            painter.setPen(self._text)
            above = QRectF(box.left() + _GAP, box.top(), box.width() - _GAP, box.height() / 2.0)
            text = fitted(row.supplier, above.width(), self._of_bold.horizontalAdvance)
            draw_words(painter, above, Qt.AlignmentFlag.AlignVCenter, text)
        mark = QRectF(below.left() + _GAP, below.center().y() - MARK / 2.0, MARK, MARK)
        stamp_mark(painter, mark.center(), row.gate, self._colours)
        inner = below.adjusted(MARK + 2.0 * _GAP, 0.0, -_GAP, 0.0)
        name, size = (metrics.horizontalAdvance(text) for text in (row.name, row.size))
        painter.setFont(self._font)
        if name + _GAP + size <= inner.width():
            # Where both do not fit, the name counts more.
            painter.setPen(self._faint)
            right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
            draw_words(painter, inner, right, row.size)
        painter.setPen(self._text)
        text = fitted(row.name, inner.width(), metrics.horizontalAdvance)
        draw_words(painter, inner, Qt.AlignmentFlag.AlignVCenter, text)
        painter.restore()

    def _width(self, text: str) -> float:
        """Return how wide words are; after an edit most are as they were."""
        if text not in self._wide:
            if len(self._wide) >= _MOST_MEASURED:
                self._wide.clear()
            self._wide[text] = self._metrics.horizontalAdvance(text)
        return self._wide[text]

    def _lettering(self, room: float) -> QFont | None:
        """Return the font in which every word of a cell has room, None where marks stand alone."""
        if room not in self._letterings:
            condensed = QFont(self._small)
            condensed.setStretch(_CONDENSED)
            fonts = (
                font
                for font in (self._small, condensed)
                if max(map(QFontMetricsF(font).horizontalAdvance, CELL_WORDS)) <= room
            )
            self._letterings[room] = next(fonts, None)
        return self._letterings[room]

    def _paint_ground(self, painter: QPainter, box: QRectF) -> None:
        """Draw what is the same down all rows: the planned range and the shots' lines."""
        assert self._picture is not None
        ruler, colours, x_of = self._picture.ruler, self._colours, self._along_box(box)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if ruler.tint is not None:
            left, right = (x_of(end) for end in ruler.tint)
            painter.fillRect(QRectF(left, box.top(), right - left, box.height()), colours.tint)
        for shot in ruler.shots:
            nominal = shot.end == "nominal"
            pen = QPen(QColor(colours.accent if nominal else colours.ruler), 1.0)
            pen.setStyle(Qt.PenStyle.SolidLine if nominal else Qt.PenStyle.DotLine)
            painter.setPen(pen)
            x = round(x_of(shot.value)) + 0.5
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom() + 1.0))

    def _paint_barrel(self, painter: QPainter, box: QRectF, row: BoardRow, full: float) -> None:
        """Draw a barrel to its end, on it what is allowed, and over that what is comfortable."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        trace, lanes, x_of = row.trace, _lanes(row, box), self._along_box(box)
        left, end, middle = box.left() + MARGIN, x_of(full), box.center().y()
        painter.setPen(self._rod)
        painter.drawLines([QLineF(left, y, end, y) for y in [y for _, y in lanes] or [middle]])
        for lane, y in lanes:
            ends = ((lane.low, lane.high), (lane.comfort_low, lane.comfort_high))
            for is_comfort, (low, high) in enumerate(ends):
                if low is not None and high is not None:
                    bar = QRectF(x_of(low), y - _LANE_BAR / 2.0, 0.0, _LANE_BAR)
                    bar.setRight(x_of(high))
                    self._paint_bar(painter, bar, solid=bool(is_comfort), stated=lane.stated)
        if trace.low is not None and trace.high is not None and trace.high > trace.low:
            self._paint_whisker(painter, box, x_of(trace.low), x_of(trace.high))
        reach = box.height() / 2.0 - 4.0
        painter.setPen(QPen(self._text, 2.0))
        painter.drawLine(QPointF(end, middle - reach), QPointF(end, middle + reach))

    def _paint_bar(self, painter: QPainter, bar: QRectF, *, solid: bool, stated: bool) -> None:
        """Draw a part of a lane; what is a guess is hatched and dotted."""
        full = solid and stated
        if not full:
            # Nothing shows through the hatching.
            painter.fillRect(bar, self._page)
        painter.setPen(QPen(self._accent, 1.0, _OUTLINES[stated]))
        painter.setBrush(self._comfort if full else self._hatching)
        painter.drawRect(bar)

    def _paint_words(
        self,
        painter: QPainter,
        box: QRectF,
        row: BoardRow,
        marks: tuple[tuple[Mark, QPointF], ...],
    ) -> None:
        trace, colours = row.trace, self._colours
        metrics = self._metrics
        painter.setFont(self._small)
        painter.setPen(self._faint)
        if trace.full is None:
            words = box.adjusted(MARGIN, 0.0, -MARGIN, 0.0)
            # On a ground of their own: no shot's line runs through them.
            ground = QRectF(words.topLeft(), words.bottomRight())
            ground.setWidth(metrics.horizontalAdvance(trace.note) + 4.0)
            ground.setTop(box.center().y() - metrics.height() / 2.0)
            ground.setHeight(metrics.height())
            painter.fillRect(ground, self._page)
            draw_words(painter, words, Qt.AlignmentFlag.AlignVCenter, trace.note)
            return
        end, middle = self._along_box(box)(trace.full), box.center().y()
        text = " ".join(part for part in (row.full_text, row.doubt) if part)
        painter.setPen(QColor(colours.warning) if trace.unsettled else self._faint)
        width = self._width(text)
        beside = max([end, *(at.x() + MARK / 2.0 for _, at in marks)]) + _GAP
        left = beside if beside + width <= box.right() else box.right() - width - 1.0
        place = QRectF(left, middle - metrics.height(), width + 1.0, metrics.height())
        if left < beside:
            # No room beyond the end: the words stand on the barrel, on a ground of their own.
            place.moveTop(box.top() + 1.0)
            painter.fillRect(place.adjusted(-2.0, 0.0, 0.0, 0.0), self._page)
        draw_words(painter, place, Qt.AlignmentFlag.AlignVCenter, text)

    def _paint_whisker(self, painter: QPainter, box: QRectF, left: float, right: float) -> None:
        y = box.bottom() - 4.0
        if right - left >= 3.0:
            painter.setPen(QPen(self._text, 1.0))
            painter.drawLine(QPointF(left, y), QPointF(right, y))
            for x in (left, right):
                painter.drawLine(QPointF(x, y - 2.0), QPointF(x, y + 2.0))

    def _paint_open(self, painter: QPainter, mark: QRectF) -> None:
        """Draw a small ring beside a mark: something of this cell is not assessed."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(self._colours.not_stated), 1.0))
        painter.drawEllipse(QPointF(mark.right() + 4.0, mark.top() + 2.0), 2.0, 2.0)
        painter.restore()


def _lanes(row: BoardRow, box: QRectF) -> list[tuple[Lane, float]]:
    """Return each lane with its height in the box; the lanes lie in the middle of the row."""
    lanes = row.trace.lanes
    apart = LANE * box.height() / row_height(row.trace)
    top = box.center().y() - apart * len(lanes) / 2.0
    return [(lane, top + apart * (n + 0.5)) for n, lane in enumerate(lanes)]
