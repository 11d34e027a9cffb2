"""The strip above a picture: labels of the planned shots, and the ruler they stand on."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.style.plain import draw_words
from evenbarrel.desk.style.theme import Colours
from evenbarrel.wording.pictures.label_layout import Flag, fitted, place_flags
from evenbarrel.wording.pictures.scales import Tick
from evenbarrel.wording.pictures.traces import ShotLine

RULER = 26
"""Height of the ruler itself [px]."""

_WIDEST = 190.0
_AIR = 4.0
_PER_NUMBER = 64.0


@dataclass(frozen=True, slots=True)
class View:
    """What part of a ruler is seen: positions at the left and right end, and how many pixels."""

    left: float
    right: float
    width: float

    def pixel(self, position: float) -> float:
        """Return where a position lies [px]."""
        return (position - self.left) / (self.right - self.left) * self.width

    @property
    def numbers(self) -> int:
        """How many numbers have room."""
        return max(2, int(self.width / _PER_NUMBER))


@dataclass(frozen=True, slots=True)
class Division:
    """A tick of the ruler at its pixel."""

    pixel: float
    text: str


class FlagStrip(QWidget):
    """Flags of the planned shots above a ruler; it takes the height that its rows need."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colours: Colours | None = None
        self._divisions: tuple[Division, ...] = ()
        self._shot_lines: tuple[tuple[float, bool], ...] = ()
        self._texts: tuple[str, ...] = ()
        self._flags: tuple[Flag, ...] = ()
        self._labelled: tuple[float, ...] = ()
        self._row = 16.0

    def show_flags(
        self,
        view: View,
        places: tuple[tuple[ShotLine, float], ...],
        ticks: tuple[tuple[Tick, float], ...],
        colours: Colours,
    ) -> None:
        """Show shots and ticks, each with its position, in the part of the ruler that is seen."""
        self._colours = colours
        metrics = QFontMetricsF(self.font())
        self._row = metrics.height() + 2.0
        seen = [(s, view.pixel(p)) for s, p in places if view.left <= p <= view.right]
        self._shot_lines = tuple((pixel, shot.end == "nominal") for shot, pixel in seen)
        named = [(shot, pixel) for shot, pixel in seen if shot.label]
        self._texts = tuple(fitted(s.label, _WIDEST, metrics.horizontalAdvance) for s, _ in named)
        widths = [metrics.horizontalAdvance(text) + 2.0 * _AIR for text in self._texts]
        self._flags = place_flags([pixel for _, pixel in named], widths, view.width)
        self._divisions = tuple(Division(view.pixel(p), tick.text) for tick, p in ticks)
        rows = 1 + max((flag.row for flag in self._flags), default=-1)
        self.setFixedHeight(round(rows * self._row + RULER + (6 if rows else 0)))
        self._labelled = tuple(pixel for _, pixel in named)
        self.update()

    def divisions(self) -> tuple[Division, ...]:
        """Return the ticks as they stand."""
        return self._divisions

    def flags(self) -> tuple[tuple[str, QRectF], ...]:
        """Return each label as it stands, with the box it takes."""
        metrics = QFontMetricsF(self.font())
        return tuple(
            (
                text,
                QRectF(
                    flag.left,
                    flag.row * self._row,
                    metrics.horizontalAdvance(text) + 2.0 * _AIR,
                    self._row,
                ),
            )
            for text, flag in zip(self._texts, self._flags, strict=True)
        )

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ruler, the lines of the shots through it, and the flags before them."""
        if self._colours is None:
            return
        colours, painter = self._colours, QPainter(self)
        painter.fillRect(self.rect(), QColor(colours.page))
        self._paint_ruler(painter, colours)
        self._paint_shot_lines(painter, colours)
        self._paint_numbers(painter, colours)
        for text, box in self.flags():
            painter.fillRect(box.adjusted(1.0, 0.0, -1.0, 0.0), QColor(colours.page))
            painter.setPen(QColor(colours.text))
            draw_words(
                painter, box.adjusted(_AIR, 0.0, 0.0, 0.0), Qt.AlignmentFlag.AlignVCenter, text
            )
        painter.end()

    def _paint_ruler(self, painter: QPainter, colours: Colours) -> None:
        bottom = float(self.height())
        band = QRectF(0.0, bottom - RULER, float(self.width()), float(RULER))
        painter.fillRect(band, QColor(colours.raised))
        painter.setPen(QPen(QColor(colours.ruler), 1.0))
        painter.drawLine(band.bottomLeft() - QPointF(0, 0.5), band.bottomRight() - QPointF(0, 0.5))
        for division in self._divisions:
            long = 7.0 if division.text else 4.0
            start = QPointF(division.pixel, bottom - long)
            painter.drawLine(start, QPointF(division.pixel, bottom))

    def _paint_shot_lines(self, painter: QPainter, colours: Colours) -> None:
        boxes = self.flags()
        tops = {pixel: box.top() for pixel, (_, box) in zip(self._labelled, boxes, strict=True)}
        for pixel, nominal in self._shot_lines:
            pen = QPen(QColor(colours.accent if nominal else colours.ruler), 1.0)
            pen.setStyle(Qt.PenStyle.SolidLine if nominal else Qt.PenStyle.DotLine)
            painter.setPen(pen)
            start = tops[pixel] if nominal and pixel in tops else float(self.height() - RULER)
            painter.drawLine(QPointF(pixel, start), QPointF(pixel, float(self.height())))

    def _paint_numbers(self, painter: QPainter, colours: Colours) -> None:
        metrics, top = QFontMetricsF(self.font()), float(self.height() - RULER) + 1.0
        painter.setPen(QColor(colours.faint_text))
        for division in self._divisions:
            if not division.text:
                continue
            width = metrics.horizontalAdvance(division.text) + 4.0
            left = min(max(division.pixel - width / 2, 0.0), self.width() - width)
            box = QRectF(left, top, width, RULER - 9.0)
            painter.fillRect(box, QColor(colours.raised))
            draw_words(painter, box, Qt.AlignmentFlag.AlignCenter, division.text)
