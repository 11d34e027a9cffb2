"""One page of a quote as it is shown: laid out, scrolled, and painted with what is marked on it."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractScrollArea, QWidget

from evenbarrel.desk.pages.bids.quote.loader import Shown
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import FAINT, GRID, Theme
from evenbarrel.intake.pages.words import Box, Page, around

_STEP = 40
_MARGIN = GRID
FAINTLY, _STRONGLY = 60, 110
"""How much of a colour lies over the words it marks, of 255."""


class MarkedPage(QAbstractScrollArea):
    """Shows a page, where a number stands on it, and what was found there."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self._shown: Shown | None = None
        self.scale = 1.0
        self.mark: Box | None = None
        self.hits: tuple[Box, ...] = ()
        self.hit: tuple[Box, ...] = ()
        self.viewport().setBackgroundRole(self.backgroundRole())
        # Said in place of a page where there is none.
        self.says = Label("", self.viewport())
        self.says.setWordWrap(True)
        self.says.setForegroundRole(FAINT)
        self.says.setMargin(2 * GRID)
        self.says.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.horizontalScrollBar().setSingleStep(_STEP)
        self.verticalScrollBar().setSingleStep(_STEP)

    @property
    def page(self) -> Page | None:
        """The page that is shown."""
        return None if self._shown is None else self._shown.page

    def sizeHint(self) -> QSize:
        """Return the size of half a sheet of paper at a glance."""
        return QSize(420, 480)

    def say(self, text: str) -> None:
        """Say something where no page is shown."""
        self._shown = None
        self.says.setText(text)
        self.says.setVisible(bool(text))
        self._lay_out()

    def show_page(self, shown: Shown, scale: float) -> None:
        """Show a page at so many pixels a point: from its top, or what was in sight of it."""
        other = self._shown is None or self._shown.page.number != shown.page.number
        middle = self.point_at(self.viewport().rect().center())
        at_top = self.verticalScrollBar().value() == 0
        mark = self.mark if other or (self.mark and self._is_in_sight(self.mark)) else None
        self._shown, self.scale = shown, scale
        self.says.hide()
        if other:
            self.forget_pointed()
        self._lay_out()
        if other or at_top:
            self.verticalScrollBar().setValue(0)
        elif middle is not None:
            self._centre(middle)
        if mark is not None:
            self.bring(mark)

    def bring(self, box: Box) -> None:
        """Scroll until a box is in sight, where it is not."""
        if not self._is_in_sight(box):
            self._centre(box.middle)

    def _is_in_sight(self, box: Box) -> bool:
        return QRectF(self.viewport().rect()).contains(self.area_of(box))

    def show_marks(self, mark: Box | None = None) -> None:
        """Mark where a number stands."""
        self.mark = mark
        if mark is not None and self.page is not None:
            self.bring(mark)
        self.viewport().update()

    def show_hits(self, hits: Iterable[Box], current: Iterable[Box]) -> None:
        """Mark what was found on the page, and the one place that is looked at."""
        self.hits, self.hit = tuple(hits), tuple(current)
        if self.hit and self.page is not None:
            self.bring(around(self.hit))
        self.viewport().update()

    def _origin(self) -> QPointF:
        if self.page is None:
            return QPointF()
        width = self.page.width * self.scale
        free = max(0.0, (self.viewport().width() - width) / 2)
        # In whole pixels, so that the picture is not drawn between two of them.
        return QPointF(
            round(free) + _MARGIN * (free == 0) - self.horizontalScrollBar().value(),
            _MARGIN - self.verticalScrollBar().value(),
        )

    def area_of(self, box: Box) -> QRectF:
        """Return where a part of the page lies in what is seen of it [px]."""
        assert self.page is not None
        origin, scale = self._origin(), self.scale
        return QRectF(
            origin.x() + box.left * scale,
            origin.y() + (self.page.height - box.top) * scale,
            (box.right - box.left) * scale,
            box.height * scale,
        )

    def point_at(self, place: QPoint) -> tuple[float, float] | None:
        """Return the point of the page [pt] at a place of what is seen; None without a page."""
        if self.page is None:
            return None
        origin = self._origin()
        x = (place.x() - origin.x()) / self.scale
        return x, self.page.height - (place.y() - origin.y()) / self.scale

    def _centre(self, point: tuple[float, float]) -> None:
        assert self.page is not None
        size = self.viewport().size()
        x, y = point
        self.horizontalScrollBar().setValue(round(x * self.scale - size.width() / 2))
        down = (self.page.height - y) * self.scale
        self.verticalScrollBar().setValue(round(down - size.height() / 2))

    def _lay_out(self) -> None:
        self.says.resize(self.viewport().size())
        width = height = 0.0
        if self.page is not None:
            width = self.page.width * self.scale + 2 * _MARGIN
            height = self.page.height * self.scale + 2 * _MARGIN
        size = self.viewport().size()
        for bar, long, seen in (
            (self.horizontalScrollBar(), width, size.width()),
            (self.verticalScrollBar(), height, size.height()),
        ):
            # A page fitted to the width leaves no more than its margins to scroll.
            over = round(long - seen)
            bar.setRange(0, over if over > 2 * _MARGIN or bar is self.verticalScrollBar() else 0)
            bar.setPageStep(seen)
        self.viewport().update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page in its place."""
        super().resizeEvent(event)
        self._lay_out()

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """Draw what came into sight."""
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the page and, over it, what is marked."""
        painter = QPainter(self.viewport())
        painter.fillRect(self.viewport().rect(), self.palette().window())
        if self._shown is None or self.page is None:
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        self._shown.image.setDevicePixelRatio(self._shown.scale / self.scale)
        painter.drawImage(self._origin(), self._shown.image)
        colours = self.theme.colours
        for box in self.hits:
            self.tint(painter, box, colours.near_edge)
        for box in self.hit:
            self.tint(painter, box, colours.near_edge, _STRONGLY)
        self.paint_pointed(painter)
        if self.mark is not None:
            area = self.area_of(self.mark)
            self.frame(painter, area.adjusted(-4, -3, 4, 3), colours.inside, 2.0)

    def forget_pointed(self) -> None:
        """Forget what was pointed at, selected or drawn on a page before."""

    def paint_pointed(self, painter: QPainter) -> None:
        """Draw what is pointed at, selected or drawn now."""

    def tint(self, painter: QPainter, box: Box, name: str, share: int = FAINTLY) -> None:
        """Lay so much of a colour, of 255, over a part of the page."""
        # The page is paper in both palettes, and so is what lies on it.
        colour = QColor(name)
        colour.setAlpha(share)
        painter.fillRect(self.area_of(box.grown(1.0)), colour)

    def frame(self, painter: QPainter, area: QRectF, name: str, width: float) -> None:
        """Draw a frame of a colour in what is seen of the page [px]."""
        painter.setPen(QPen(QColor(name), width))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(area)
