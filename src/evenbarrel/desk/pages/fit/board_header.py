"""The board's heading: numbers of the shots on their ruler, and above the cells of each job."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
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


def paint_badge(painter: QPainter, middle: QPointF, number: int, colours: object) -> QRectF:
    """Paint a job's number on its ground; return the box it takes."""
    metrics = QFontMetricsF(painter.font())
    width = max(_BADGE, metrics.horizontalAdvance(str(number)) + 8.0)
    box = QRectF(middle.x() - width / 2.0, middle.y() - _BADGE / 2.0, width, _BADGE)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(colours.accent))  # type: ignore[attr-defined]
    painter.drawRoundedRect(box, 3.0, 3.0)
    painter.setPen(QColor(colours.page))  # type: ignore[attr-defined]
    draw_words(painter, box, Qt.AlignmentFlag.AlignCenter, str(number))
    return box


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

    def paintSection(self, painter: QPainter, rect: object, logical: int) -> None:
        """Paint one column's heading."""
        model = self.model()
        box = QRectF(rect)  # type: ignore[call-overload]
        colours = self._theme.colours
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(box, QColor(colours.page))
        painter.setPen(QPen(QColor(colours.ruler), 1.0))
        painter.drawLine(box.bottomLeft() - QPointF(0, 0.5), box.bottomRight() - QPointF(0, 0.5))
        if isinstance(model, BoardModel) and model.picture is not None:
            if logical == RULER:
                self._paint_ruler(painter, box, model)
            elif logical >= FIRST_JOB:
                number = model.picture.jobs[logical - FIRST_JOB].number
                middle = QPointF(box.center().x(), box.bottom() - _RULER_BAND / 2.0)
                paint_badge(painter, middle, number, colours)
            else:
                title = model.picture.ruler.axis.title
                metrics = QFontMetricsF(painter.font())
                high = 2.0 * metrics.height()
                band = QRectF(box.left() + 4, box.bottom() - high - 4, box.width() - 12, high)
                painter.setPen(QColor(colours.faint_text))
                right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom
                flags = right | Qt.TextFlag.TextWordWrap
                if metrics.boundingRect(band, int(flags), title).height() > high:
                    # In two lines, of which the break leaves some room.
                    title = fitted(title, 1.6 * band.width(), metrics.horizontalAdvance)
                draw_words(painter, band, flags, title)
        painter.restore()

    def _paint_ruler(self, painter: QPainter, box: QRectF, model: BoardModel) -> None:
        assert model.picture is not None
        colours, axis = self._theme.colours, model.picture.ruler.axis
        band = QRectF(box.left(), box.bottom() - _RULER_BAND, box.width(), _RULER_BAND)
        painter.fillRect(band, QColor(colours.raised))
        inner = box.width() - 2.0 * MARGIN
        for tick in axis.ticks(most=max(2, int(inner / _PER_NUMBER))):
            x = box.left() + MARGIN + axis.fraction(tick.value) * inner
            painter.setPen(QPen(QColor(colours.ruler), 1.0))
            long = 6.0 if tick.text else 3.0
            painter.drawLine(QPointF(x, band.bottom() - long), QPointF(x, band.bottom()))
            if tick.text:
                painter.setPen(QColor(colours.faint_text))
                place = QRectF(x - 40.0, band.top(), 80.0, band.height() - 6.0)
                draw_words(painter, place, Qt.AlignmentFlag.AlignCenter, tick.text)
        self._paint_flags(painter, box, band, model)

    def _paint_flags(self, painter: QPainter, box: QRectF, band: QRectF, model: BoardModel) -> None:
        """Paint the numbers above their lines, moved apart where lines stand close."""
        assert model.picture is not None
        colours, axis = self._theme.colours, model.picture.ruler.axis
        inner = box.width() - 2.0 * MARGIN
        numbers = model.picture.numbers
        shots = sorted(
            (box.left() + MARGIN + axis.fraction(shot.value) * inner, numbers[shot.job])
            for shot in model.picture.ruler.shots
            if shot.end == "nominal"
        )
        painter.setPen(QPen(QColor(colours.accent), 1.0))
        badges = []
        for storey in range(self._storeys):
            of_storey = shots[storey :: self._storeys]
            places = side_by_side([x for x, _ in of_storey], _BADGE + 4.0, box.left(), box.right())
            y = band.top() - _LEADERS - _BADGE / 2.0 - storey * (_BADGE + 2.0)
            for (x, number), place in zip(of_storey, places, strict=True):
                foot = QPointF(round(x) + 0.5, band.top())
                painter.drawLine(QPointF(place, y + _BADGE / 2.0), foot)
                painter.drawLine(foot, QPointF(foot.x(), band.bottom()))
                badges.append((QPointF(place, y), number))
        # Last, so that no leader runs through a number.
        for middle, number in badges:
            paint_badge(painter, middle, number, colours)
