"""What a person does on a page of a quote: points, selects words, draws a box, turns, zooms."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QWheelEvent
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.pages.bids.quote.marked_page import MarkedPage
from evenbarrel.desk.style.plain import to_clipboard
from evenbarrel.desk.style.theme import Theme
from evenbarrel.intake.pages.words import Box, around, text_of, word_at, words_between
from evenbarrel.wording.sentences.asking import quote
from evenbarrel.wording.words.visible import visible_line

Mode = Literal["point", "box"]

_FINGER = 4
"""Pixels that a pressed mouse may move and still only click."""


class PageView(MarkedPage):
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
        super().__init__(theme, parent)
        self.mode: Mode = "point"
        self.selection: tuple[int, int] | None = None
        self._pressed: QPoint | None = None
        self._drawn: QRectF | None = None
        self._hover: Box | None = None
        self.setAccessibleName(quote.PANEL)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setMouseTracking(True)

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

    def forget_pointed(self) -> None:
        """Forget what was pointed at, selected or drawn on a page before."""
        self.selection = self._hover = self._drawn = None

    def paint_pointed(self, painter: QPainter) -> None:
        """Draw the selected words, the word below the pointer, and the box that is drawn."""
        colours = self.theme.colours
        if self.page is not None and self.selection is not None:
            for word in words_between(self.page, *self.selection):
                self.tint(painter, word.box, colours.inside)
        if self._hover is not None:
            self.frame(painter, self.area_of(self._hover.grown(1.5)), colours.accent, 1.0)
        if self._drawn is not None:
            self.frame(painter, self._drawn, colours.inside, 1.5)

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
                self.point_at(self._drawn.topLeft().toPoint()),
                self.point_at(self._drawn.bottomRight().toPoint()),
            )
            self._drawn = None
            assert one is not None
            assert other is not None
            self.boxed.emit(Box(one[0], other[1], other[0], one[1]))
        elif self.mode == "point" and (here - pressed).manhattanLength() <= _FINGER:
            self.selection = None
            point = self.point_at(here)
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
        point = self.point_at(place)
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
