"""Short words below marks, placed anew for each view so that none lies on another."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from evenbarrel.desk.style.plain import draw_words
from evenbarrel.wording.pictures.label_layout import stand_below

_BELOW = 5.0
_APART = 4.0
_SMALL = 0.85


@dataclass(frozen=True, slots=True)
class Word:
    """A word below the mark at `x`, `y` (picture coordinates), in a colour."""

    x: float
    y: float
    text: str
    colour: str


class Words(QGraphicsItem):
    """All words of a picture as one item, at the font's size whatever the zoom."""

    def __init__(self, font: QFont) -> None:
        super().__init__()
        self._font = QFont(font)
        self._font.setPointSizeF(font.pointSizeF() * _SMALL)
        self._words: tuple[Word, ...] = ()
        self._rows: dict[float, list[Word]] = {}
        self._page = QColor()
        self._bounds = QRectF()

    def show_words(self, words: tuple[Word, ...], bounds: QRectF, page: str) -> None:
        """Show words within `bounds`, on the page's colour."""
        self.prepareGeometryChange()
        self._words, self._bounds, self._page = words, bounds, QColor(page)
        rows: dict[float, list[Word]] = defaultdict(list)
        for word in words:
            rows[word.y].append(word)
        self._rows = dict(rows)
        self.update()

    def words(self) -> tuple[Word, ...]:
        """Return what is shown."""
        return self._words

    def boundingRect(self) -> QRectF:
        """Return the whole picture."""
        return self._bounds

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionGraphicsItem,
        widget: QWidget | None = None,
    ) -> None:
        """Paint every word that is in sight and has room, row by row."""
        view = painter.worldTransform()
        metrics = QFontMetricsF(self._font)
        painter.save()
        painter.resetTransform()
        painter.setFont(self._font)
        for y, words in self._rows.items():
            top = view.map(QPointF(0.0, y)).y()
            if widget is not None and not -2.0 * metrics.height() < top < widget.height():
                continue
            self._paint_row(painter, metrics, [(view.map(QPointF(w.x, w.y)), w) for w in words])
        painter.restore()

    def _paint_row(
        self, painter: QPainter, metrics: QFontMetricsF, row: list[tuple[QPointF, Word]]
    ) -> None:
        across = [point.x() for point, _ in row]
        texts = [word.text for _, word in row]
        for placed in stand_below(across, texts, metrics.horizontalAdvance, _APART):
            point, word = row[placed.marks[0]]
            width = metrics.horizontalAdvance(placed.text)
            box = QRectF(placed.left, point.y() + _BELOW, width, metrics.height())
            painter.fillRect(box.adjusted(-1.0, 1.0, 1.0, -1.0), self._page)
            painter.setPen(QColor(word.colour))
            draw_words(painter, box, Qt.AlignmentFlag.AlignCenter, placed.text)
