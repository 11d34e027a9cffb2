"""The board's heading: numbers of the shots on their ruler, and above the cells of each job."""

from __future__ import annotations

from collections.abc import Callable
from math import ceil

from PySide6.QtCore import QEvent, QLineF, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QHeaderView, QWidget

from evenbarrel.desk.pages.fit.board_model import FIRST_JOB, RULER, BoardModel
from evenbarrel.desk.pages.fit.board_painter import MARGIN
from evenbarrel.desk.style.plain import draw_words
from evenbarrel.desk.style.theme import Theme
from evenbarrel.wording.pictures.board import BoardPicture
from evenbarrel.wording.pictures.label_layout import fitted, side_by_side

_BADGE = 18.0
_RULER_BAND = 24.0
_LEADERS = 14.0
_PER_NUMBER = 64.0
_MOST_STOREYS = 4
_MOST_KEPT = 200
"""Looks of headings and of numbers that are kept drawn."""


def paint_badge(painter: QPainter, middle: QPointF, number: int, colours: object) -> QRectF:
    """Paint a job's number on its ground; return the box it takes."""
    width = _badge_width(painter.font(), number)
    box = QRectF(middle.x() - width / 2.0, middle.y() - _BADGE / 2.0, width, _BADGE)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours.accent))  # type: ignore[attr-defined]
    painter.drawRoundedRect(box, 3.0, 3.0)
    painter.setPen(QColor(colours.page))  # type: ignore[attr-defined]
    draw_words(painter, box, Qt.AlignmentFlag.AlignCenter, str(number))
    return box


def _badge_width(font: QFont, number: int) -> float:
    return max(_BADGE, QFontMetricsF(font).horizontalAdvance(str(number)) + 8.0)


class BoardHeader(QHeaderView):
    """Paints the ruler with numbered shots over its column, a number over each job's."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._theme = theme
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(int(_BADGE) + 4)
        self.setAccessibleName("Planned shots by number")
        self._storeys = 1
        self._drawn: tuple[object, ...] = ()
        self._kept: dict[tuple[object, ...], QPixmap] = {}

    def show_ruler(self, picture: BoardPicture) -> None:
        """Draw the ruler anew where another is to be seen, or other shots on it."""
        ruler = (picture.ruler.axis, picture.ruler.shots)
        if ruler != self._drawn:
            self._drawn = ruler
            # Qt would lay all columns out anew if it were told that a heading changed.
            left, width = self.sectionViewportPosition(RULER), self.sectionSize(RULER)
            self.viewport().update(0, 0, left + width, self.height())

    def sizeHint(self) -> QSize:
        """Return the height of badges, their leaders and the ruler."""
        badges = self._storeys * (_BADGE + 2.0)
        return QSize(self.length(), round(badges + _LEADERS + _RULER_BAND + 4.0))

    def fit_flags(self) -> None:
        """Take as many storeys of numbers as the ruler's column needs to hold them all."""
        model = self.model()
        if not isinstance(model, BoardModel) or model.picture is None:
            return
        count = sum(shot.end == "nominal" for shot in model.picture.ruler.shots)
        room = max(1, int(self.sectionSize(RULER) / (_BADGE + 4.0)))
        storeys = min(_MOST_STOREYS, max(1, -(-count // room)))
        if storeys != self._storeys:
            self._storeys = storeys
            self.updateGeometry()
            self.geometriesChanged.emit()

    def changeEvent(self, event: QEvent) -> None:
        """Draw all anew in another font."""
        if event.type() == QEvent.Type.FontChange:
            self._kept.clear()
        super().changeEvent(event)

    def paintSection(self, painter: QPainter, rect: QRect, logical: int) -> None:
        """Paint one column's heading; what stays as it was, from a picture of it."""
        model = self.model()
        picture = model.picture if isinstance(model, BoardModel) else None
        if logical == RULER or picture is None:
            painter.save()
            self._paint_ground(painter, QRectF(rect))
            if picture is not None:
                self._paint_ruler(painter, QRectF(rect), picture)
            painter.restore()
            return
        job = picture.jobs[logical - FIRST_JOB].number if logical >= FIRST_JOB else None
        look = picture.ruler.axis.title if job is None else job

        def paint(own: QPainter, box: QRectF) -> None:
            self._paint_ground(own, box)
            if job is None:
                self._paint_title(own, box, picture.ruler.axis.title)
            else:
                middle = QPointF(box.center().x(), box.bottom() - _RULER_BAND / 2.0)
                paint_badge(own, middle, job, self._theme.colours)

        self._stamp(painter, QRectF(rect), look, paint)

    def _stamp(
        self,
        painter: QPainter,
        box: QRectF,
        look: object,
        paint: Callable[[QPainter, QRectF], None],
    ) -> None:
        """Draw what looks so into a box: from a picture of it, made where there is none yet."""
        ratio, width, height = self.devicePixelRatioF(), box.width(), box.height()
        if not ratio.is_integer():
            # A picture would begin between two pixels, and be blurred.
            painter.save()
            paint(painter, box)
            painter.restore()
            return
        key = look, width, height, ratio, self._theme.colours
        if key not in self._kept:
            if len(self._kept) >= _MOST_KEPT:
                self._kept.clear()
            self._kept[key] = pixmap = QPixmap(round(width * ratio), round(height * ratio))
            pixmap.setDevicePixelRatio(ratio)
            pixmap.fill(Qt.GlobalColor.transparent)
            own = QPainter(pixmap)
            own.setFont(self.font())
            own.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint(own, QRectF(0.0, 0.0, width, height))
            own.end()
        painter.drawPixmap(box.topLeft(), self._kept[key])

    def _paint_ground(self, painter: QPainter, box: QRectF) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(box, QColor(self._theme.colours.page))
        painter.setPen(QPen(QColor(self._theme.colours.ruler), 1.0))
        painter.drawLine(box.bottomLeft() - QPointF(0, 0.5), box.bottomRight() - QPointF(0, 0.5))

    def _paint_title(self, painter: QPainter, box: QRectF, title: str) -> None:
        metrics = QFontMetricsF(painter.font())
        high = 2.0 * metrics.height()
        band = QRectF(box.left() + 4, box.bottom() - high - 4, box.width() - 12, high)
        painter.setPen(QColor(self._theme.colours.faint_text))
        right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom
        flags = right | Qt.TextFlag.TextWordWrap
        if metrics.boundingRect(band, int(flags), title).height() > high:
            # In two lines, of which the break leaves some room.
            title = fitted(title, 1.6 * band.width(), metrics.horizontalAdvance)
        draw_words(painter, band, flags, title)

    def _paint_ruler(self, painter: QPainter, box: QRectF, picture: BoardPicture) -> None:
        colours, axis = self._theme.colours, picture.ruler.axis
        band = QRectF(box.left(), box.bottom() - _RULER_BAND, box.width(), _RULER_BAND)
        painter.fillRect(band, QColor(colours.raised))
        inner, foot = box.width() - 2.0 * MARGIN, band.bottom()
        ticks = [
            (box.left() + MARGIN + axis.fraction(tick.value) * inner, tick.text)
            for tick in axis.ticks(most=max(2, int(inner / _PER_NUMBER)))
        ]
        painter.setPen(QPen(QColor(colours.ruler), 1.0))
        painter.drawLines([QLineF(x, foot - (6.0 if text else 3.0), x, foot) for x, text in ticks])
        painter.setPen(QColor(colours.faint_text))
        for x, text in ticks:
            if text:
                place = QRectF(x - 40.0, band.top(), 80.0, band.height() - 6.0)
                draw_words(painter, place, Qt.AlignmentFlag.AlignCenter, text)
        self._paint_flags(painter, box, band, picture)

    def _paint_flags(
        self, painter: QPainter, box: QRectF, band: QRectF, picture: BoardPicture
    ) -> None:
        """Paint the numbers above their lines, moved apart where lines stand close."""
        colours, axis, numbers = self._theme.colours, picture.ruler.axis, picture.numbers
        inner = box.width() - 2.0 * MARGIN
        shots = sorted(
            (box.left() + MARGIN + axis.fraction(shot.value) * inner, numbers[shot.job])
            for shot in picture.ruler.shots
            if shot.end == "nominal"
        )
        leaders, badges = [], []
        for storey in range(self._storeys):
            of_storey = shots[storey :: self._storeys]
            places = side_by_side([x for x, _ in of_storey], _BADGE + 4.0, box.left(), box.right())
            y = band.top() - _LEADERS - _BADGE / 2.0 - storey * (_BADGE + 2.0)
            for (x, number), place in zip(of_storey, places, strict=True):
                foot = QPointF(round(x) + 0.5, band.top())
                leaders.append(QLineF(QPointF(place, y + _BADGE / 2.0), foot))
                leaders.append(QLineF(foot, QPointF(foot.x(), band.bottom())))
                badges.append((QPointF(place, y), number))
        painter.setPen(QPen(QColor(colours.accent), 1.0))
        painter.drawLines(leaders)
        # Last, so that no leader runs through a number.
        for middle, number in badges:
            self._stamp_badge(painter, middle, number)

    def _stamp_badge(self, painter: QPainter, middle: QPointF, number: int) -> None:
        """Paint a number round a point from a picture of it, on whole pixels."""
        colours, ratio = self._theme.colours, self.devicePixelRatioF()
        # Room of a pixel on every side, for the soft edge.
        wide, high = ceil(_badge_width(self.font(), number)) + 2.0, _BADGE + 2.0
        corner = middle - QPointF(wide / 2.0, high / 2.0)
        left, top = (round(at * ratio) / ratio for at in (corner.x(), corner.y()))
        self._stamp(
            painter,
            QRectF(left, top, wide, high),
            ("badge", number),
            lambda own, box: (paint_badge(own, box.center(), number, colours), None)[1],
        )
