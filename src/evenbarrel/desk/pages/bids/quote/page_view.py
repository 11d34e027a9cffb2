"""One page of a quote: looked at, scrolled, pointed at, with words selected or a box drawn."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QWidget

from evenbarrel.desk.pages.bids.quote.loader import Shown
from evenbarrel.desk.style.plain import Label, to_clipboard
from evenbarrel.desk.style.theme import FAINT, GRID, Theme
from evenbarrel.intake.pages.words import Box, Page, around, text_of, word_at, words_between
from evenbarrel.wording.sentences.asking import quote
from evenbarrel.wording.words.visible import visible_line

Mode = Literal["point", "box"]

_FINGER = 4
"""Pixels that a pressed mouse may move and still only click."""
_STEP = 40
_MARGIN = GRID
_FAINT, _STRONG = 60, 110
"""How much of a colour lies over the words it marks, of 255."""


class PageView(QAbstractScrollArea):
    """Shows a page; a click and a drawn box are told in the page's own points.

    A click leaves the keyboard where it is, so that the field that waits for a number goes on
    waiting; the Tab key leads here all the same. Then the arrow keys go from word to word, with
    Shift they select, and Enter is a click on the word.
    """

    pointed = Signal(float, float)
    """Carries the point of a click [pt]."""
    boxed = Signal(object)
    """Carries the Box that was drawn."""
    turned = Signal(int)
    """Carries by how many pages to turn."""
    zoomed = Signal(int)
    """Carries by how many steps to zoom."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._shown: Shown | None = None
        self.scale = 1.0
        self.mode: Mode = "point"
        self.mark: Box | None = None
        self.hits: tuple[Box, ...] = ()
        self.hit: tuple[Box, ...] = ()
        self.selection: tuple[int, int] | None = None
        self._pressed: QPoint | None = None
        self._drawn: QRectF | None = None
        self._hover: Box | None = None
        self.setAccessibleName(quote.PANEL)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setMouseTracking(True)
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
        middle = self._point_at(self.viewport().rect().center())
        at_top = self.verticalScrollBar().value() == 0
        mark = self.mark if other or (self.mark and self._is_in_sight(self.mark)) else None
        self._shown, self.scale = shown, scale
        self.says.hide()
        if other:
            self.selection = self._hover = self._drawn = None
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

    def selected_text(self) -> str:
        """Return the selected words."""
        if self.page is None or self.selection is None:
            return ""
        return text_of(words_between(self.page, *self.selection))

    def selected_box(self) -> Box | None:
        """Return the box round the selected words, None where no two are selected."""
        if self.page is None or self.selection is None or self.selection[0] == self.selection[1]:
            return None
        words = words_between(self.page, *self.selection)
        return around(word.box for word in words).grown(1.0)

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

    def _point_at(self, place: QPoint) -> tuple[float, float] | None:
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
        colours = self._theme.colours
        for box in self.hits:
            self._tint(painter, box, colours.near_edge, _FAINT)
        for box in self.hit:
            self._tint(painter, box, colours.near_edge, _STRONG)
        if self.selection is not None:
            for word in words_between(self.page, *self.selection):
                self._tint(painter, word.box, colours.inside, _FAINT)
        if self._hover is not None:
            self._frame(painter, self.area_of(self._hover.grown(1.5)), colours.accent, 1.0)
        if self.mark is not None:
            area = self.area_of(self.mark)
            self._frame(painter, area.adjusted(-4, -3, 4, 3), colours.inside, 2.0)
        if self._drawn is not None:
            self._frame(painter, self._drawn, colours.inside, 1.5)

    def _tint(self, painter: QPainter, box: Box, name: str, share: int) -> None:
        # The page is paper in both palettes, and so is what lies on it.
        colour = QColor(name)
        colour.setAlpha(share)
        painter.fillRect(self.area_of(box.grown(1.0)), colour)

    def _frame(self, painter: QPainter, area: QRectF, name: str, width: float) -> None:
        painter.setPen(QPen(QColor(name), width))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(area)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin a click, a selection or a box."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._pressed = event.position().toPoint()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Select or draw while the button is down; else point out the word below."""
        here = event.position().toPoint()
        if self.page is None:
            return
        if self._pressed is None or not event.buttons() & Qt.MouseButton.LeftButton:
            self._point_out(here)
        elif (here - self._pressed).manhattanLength() > _FINGER:
            if self.mode == "box":
                self._drawn = QRectF(QPointF(self._pressed), QPointF(here)).normalized()
            else:
                start, end = self._word_near(self._pressed), self._word_near(here)
                if start is not None and end is not None:
                    self.selection = start, end
        self.viewport().update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Tell of a click or of the box that was drawn."""
        pressed, self._pressed = self._pressed, None
        here = event.position().toPoint()
        if pressed is None or self.page is None:
            return
        if self._drawn is not None:
            one, other = (
                self._point_at(self._drawn.topLeft().toPoint()),
                self._point_at(self._drawn.bottomRight().toPoint()),
            )
            self._drawn = None
            assert one is not None
            assert other is not None
            self.boxed.emit(Box(one[0], other[1], other[0], one[1]))
        elif self.mode == "point" and (here - pressed).manhattanLength() <= _FINGER:
            self.selection = None
            point = self._point_at(here)
            assert point is not None
            self.pointed.emit(*point)
        self.viewport().update()

    def _point_out(self, here: QPoint) -> None:
        word = self._word_near(here, 2.0)
        shape = Qt.CursorShape
        if self.mode == "box":
            self._hover = None
            self.viewport().setCursor(shape.CrossCursor)
        else:
            self._hover = None if word is None or self.page is None else self.page.words[word].box
            self.viewport().setCursor(
                shape.ArrowCursor if word is None else shape.PointingHandCursor
            )

    def _word_near(self, place: QPoint, reach: float = 12.0) -> int | None:
        point = self._point_at(place)
        if point is None or self.page is None:
            return None
        return word_at(self.page, *point, reach)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll, and turn the page at its end; with Ctrl zoom."""
        step = 1 if event.angleDelta().y() > 0 else -1
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoomed.emit(step)
            event.accept()
            return
        bar = self.verticalScrollBar()
        at_end = bar.value() == (bar.minimum() if step > 0 else bar.maximum())
        if at_end and event.angleDelta().y():
            self.turned.emit(-step)
            event.accept()
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from word to word, select, take, copy, turn and zoom."""
        key, held = event.key(), event.modifiers()
        shift = bool(held & Qt.KeyboardModifier.ShiftModifier)
        if held & Qt.KeyboardModifier.ControlModifier and key == Qt.Key.Key_C:
            to_clipboard(self.selected_text())
        elif key in _WORDS:
            self._step(_WORDS[key], shift)
        elif key in _LINES:
            self._step_line(_LINES[key], shift)
        elif key in _TURNS:
            self.turned.emit(_TURNS[key])
        elif key in _ZOOMS:
            self.zoomed.emit(_ZOOMS[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._take()
        elif key == Qt.Key.Key_Escape and self.selection is not None:
            self.selection = None
        else:
            super().keyPressEvent(event)
        self.viewport().update()

    def _take(self) -> None:
        if self.page is None or self.selection is None:
            return
        box = self.selected_box()
        if self.mode == "box" and box is not None:
            self.boxed.emit(box)
        elif self.mode == "point":
            self.pointed.emit(*self.page.words[self.selection[1]].box.middle)

    def _step(self, by: int, keep: bool) -> None:
        if self.page is None or not self.page.words:
            return
        last = len(self.page.words) - 1
        now = self.selection[1] + by if self.selection is not None else (0 if by > 0 else last)
        self._go_to_word(max(0, min(last, now)), keep)

    def _step_line(self, by: int, keep: bool) -> None:
        """Go to the word below, or above, that lies nearest to the one that is chosen."""
        if self.page is None or self.selection is None:
            self._step(by, keep)
            return
        words = self.page.words
        here = words[self.selection[1]].box
        beyond = [
            (index, word.box)
            for index, word in enumerate(words)
            if (here.middle[1] - word.box.middle[1]) * by > here.height / 2
        ]
        if beyond:
            x, y = here.middle
            index, _ = min(
                beyond,
                key=lambda one: (
                    4 * abs(one[1].middle[1] - y) + max(one[1].left - x, x - one[1].right, 0.0)
                ),
            )
            self._go_to_word(index, keep)

    def _go_to_word(self, index: int, keep: bool) -> None:
        assert self.page is not None
        begun = index if not keep or self.selection is None else self.selection[0]
        self.selection = begun, index
        word = self.page.words[index]
        self.setAccessibleDescription(visible_line(word.text))
        self.bring(word.box)


_WORDS: dict[int, int] = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}
_LINES: dict[int, int] = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
_TURNS: dict[int, int] = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}
_ZOOMS: dict[int, int] = {Qt.Key.Key_Plus: 1, Qt.Key.Key_Equal: 1, Qt.Key.Key_Minus: -1}
