"""Bars on one scale, painted: what stands on them is worded already."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetrics,
    QHelpEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from evenbarrel.desk.style.plain import cut_short, draw_words, point_out
from evenbarrel.desk.style.theme import GRID, Colours, Theme
from evenbarrel.wording.pictures.bars import Bar, Bars, Filling

_ROW, _BAR, _THIN = 22.0, 13.0, 5.0
_MOST_NAME, _MOST_TEXT = 0.3, 0.36
_COLOURS: dict[Filling, str] = {
    "dark": "accent",
    "light": "selection",
    "middle": "ruler",
    "pale": "line",
    "hatched": "page",
    "open": "page",
}
_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_MIDDLE = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignVCenter


class BarsPlot(QWidget):
    """One picture of bars; a click on a bar opens what it tells of, which stands in a table too."""

    opened = Signal(object)
    """Carries the Reference, or the Place, of the bar a person clicked."""

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._picture: Bars | None = None
        self._words = 0.0, 0.0
        """The widest name and the widest amount [px]."""
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def show_bars(self, picture: Bars) -> None:
        """Paint these bars."""
        self._picture = picture
        self._measure()
        self.setFixedHeight(round(self._head() + self._foot() + picture.height * _ROW))
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        """Measure the words again in another font."""
        if event.type() == QEvent.Type.FontChange:
            self._measure()
        super().changeEvent(event)

    def sizeHint(self) -> QSize:
        """Return a width that shows names, bars and amounts."""
        return QSize(600, self.height())

    def bar_at(self, point: QPointF) -> Bar | None:
        """Return the bar at a point, None beside all of them."""
        if self._picture is None:
            return None
        return next((b for b in reversed(self._picture.bars) if self._box(b).contains(point)), None)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Open what is clicked."""
        bar = self.bar_at(event.position())
        if (
            bar is not None
            and bar.reference is not None
            and event.button() == Qt.MouseButton.LeftButton
        ):
            self.opened.emit(bar.reference)

    def event(self, event: QEvent) -> bool:
        """Tell of the bar that is pointed at."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            bar = self.bar_at(QPointF(event.pos()))
            point_out(event.globalPos(), "" if bar is None else bar.tip, self)
            return True
        return super().event(event)

    def _line(self) -> float:
        return float(self.fontMetrics().height() + 4)

    def _head(self) -> float:
        """Return what stands above the rows: the title, and the key where there is one."""
        keyed = self._picture is not None and bool(self._picture.key)
        return self._line() * (2.0 if keyed else 1.0)

    def _foot(self) -> float:
        return self._line()

    def _sides(self) -> tuple[float, float]:
        """Return where the bars begin and end [px]."""
        if self._picture is None:
            return 0.0, float(self.width())
        (names, amounts), width = self._words, self.width()
        left = min(names + 2.0 * GRID, width * _MOST_NAME)
        return left, width - min(amounts + 2.0 * GRID, width * _MOST_TEXT)

    def _measure(self) -> None:
        strong = QFont(self.font())
        strong.setBold(True)
        wide = QFontMetrics(strong).horizontalAdvance
        rows = () if self._picture is None else self._picture.rows
        self._words = (
            max((wide(row.name) for row in rows), default=0.0),
            max((wide(row.text) for row in rows), default=0.0),
        )

    def _x(self, value: float) -> float:
        picture = self._picture
        left, right = self._sides()
        if picture is None or picture.high <= picture.low:
            return left
        return left + (value - picture.low) / (picture.high - picture.low) * (right - left)

    def _y(self, row: float) -> float:
        return self._head() + row * _ROW

    def _box(self, bar: Bar) -> QRectF:
        x0, x1 = self._x(bar.low), self._x(bar.high)
        thick = _THIN if bar.thin else _BAR
        return QRectF(x0, self._y(bar.y) - thick / 2, max(1.0, x1 - x0), thick)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint title, key, scale, bars, names and amounts."""
        picture, colours = self._picture, self._theme.colours
        if picture is None or not picture.rows:
            return
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(colours.page))
        self._paint_head(painter, picture, colours)
        self._paint_scale(painter, picture, colours)
        painter.setPen(QPen(QColor(colours.ruler), 1.0, Qt.PenStyle.DotLine))
        for y, at in picture.joints:
            x = self._x(at)
            painter.drawLine(QPointF(x, self._y(y)), QPointF(x, self._y(y + 1.0)))
        for bar in picture.bars:
            self._paint_bar(painter, self._box(bar), bar.filling, colours)
        self._paint_words(painter, picture, colours)

    def _paint_head(self, painter: QPainter, picture: Bars, colours: Colours) -> None:
        painter.setPen(QColor(colours.text))
        title = QRectF(GRID, 0.0, self.width() - 2.0 * GRID, self._line())
        self._strong(painter, True)
        draw_words(painter, title, _LEFT, f"{picture.title} [{picture.unit}]")
        self._strong(painter, False)
        x, y, metrics = float(GRID), self._line() * 1.5, self.fontMetrics()
        for filling, words in picture.key:
            box = QRectF(x, y - _BAR / 2, 2.0 * GRID, _BAR)
            self._paint_bar(painter, box, filling, colours)
            wide = metrics.horizontalAdvance(words) + 4.0
            painter.setPen(QColor(colours.faint_text))
            place = QRectF(box.right() + 4.0, y - self._line() / 2, wide, self._line())
            draw_words(painter, place, _LEFT, words)
            x = place.right() + GRID

    def _paint_scale(self, painter: QPainter, picture: Bars, colours: Colours) -> None:
        bottom = self._y(picture.height)
        if picture.band is not None:
            low, high = (self._x(end) for end in picture.band)
            box = QRectF(low, self._head(), max(1.0, high - low), bottom - self._head())
            painter.fillRect(box, QColor(colours.tint))
        places = pairwise(self._x(value) for value, _ in picture.ticks)
        room = min((right - left for left, right in places), default=self.width())
        widths = (self.fontMetrics().horizontalAdvance(text) for _, text in picture.ticks)
        widest = max(widths, default=0)
        every = 1 if widest + GRID <= room else 2
        for place, (value, text) in enumerate(picture.ticks):
            x = self._x(value)
            painter.setPen(QColor(colours.ruler if value == 0.0 else colours.raised))
            painter.drawLine(QPointF(x, self._head()), QPointF(x, bottom))
            if place % every == 0:
                painter.setPen(QColor(colours.faint_text))
                box = QRectF(x - widest, bottom, 2.0 * widest, self._foot())
                draw_words(painter, box, _MIDDLE, text)

    def _paint_bar(
        self, painter: QPainter, box: QRectF, filling: Filling, colours: Colours
    ) -> None:
        painter.setPen(QColor(colours.accent if filling != "open" else colours.ruler))
        painter.setBrush(QColor(getattr(colours, _COLOURS[filling])))
        painter.drawRect(box)
        if filling == "hatched":
            painter.setBrush(QBrush(QColor(colours.accent), Qt.BrushStyle.BDiagPattern))
            painter.drawRect(box)

    def _paint_words(self, painter: QPainter, picture: Bars, colours: Colours) -> None:
        left, right = self._sides()
        painter.setPen(QColor(colours.text))
        for row in picture.rows:
            self._strong(painter, row.strong)
            metrics = painter.fontMetrics()
            top = self._y(row.y) - _ROW / 2
            room = left - 2.0 * GRID
            name = cut_short(metrics, row.name, round(room))
            draw_words(painter, QRectF(GRID, top, room, _ROW), _RIGHT, name)
            beside = QRectF(right + GRID, top, self.width() - right - GRID, _ROW)
            text = cut_short(metrics, row.text, round(beside.width()))
            draw_words(painter, beside, _LEFT, text)
        self._strong(painter, False)

    def _strong(self, painter: QPainter, strong: bool) -> None:
        font = QFont(self.font())
        font.setBold(strong)
        painter.setFont(font)
