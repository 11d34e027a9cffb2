"""Cells that have a text alone to be painted, without asking the model all that Qt would ask."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from evenbarrel.desk.style.plain import draw_words
from evenbarrel.wording.words.visible import visible

BESIDE = 3
"""What Qt leaves free at both sides of a text [px]."""
_FLAGS = QStyle.StateFlag
_STANDS_OUT = (_FLAGS.State_Selected | _FLAGS.State_HasFocus | _FLAGS.State_MouseOver).value
"""As a number: Python's flags take longer to compare than a text to be painted."""
_MOST_KEPT = 5000


class PlainCells(QStyledItemDelegate):
    """Paints a text that stands on one line, as Qt would.

    What is chosen or pointed at is left to Qt: `stands_out`.
    """

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._fitting: dict[tuple[str, int, bool], str] = {}
        """Texts as they are cut to a width [px]: to find where is dear."""
        self._take_font(parent.font())

    def stands_out(self, option: QStyleOptionViewItem, text: str) -> bool:
        """Say whether a cell has more to be painted than a text on one line."""
        return bool(option.state.value & _STANDS_OUT) or "\n" in text

    def draw_text(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        across: tuple[int, int],
        text: str,
        lies: Qt.AlignmentFlag,
        ink: QColor,
        *,
        bold: bool = False,
    ) -> None:
        """Paint a text between two places across the cell, cut where it is too long."""
        if option.font != self._font:
            self._take_font(option.font)
        metrics, box, (left, right) = self._metrics[bold], option.rect, across
        height = metrics.height()
        lines = QRect(left, box.top() + (box.height() - height) // 2, right - left + 1, height)
        painter.setPen(ink)
        painter.setFont(self._bold if bold else self._font)
        draw_words(painter, lines, lies, self._cut(text, lines.width(), bold))

    def _cut(self, text: str, width: int, bold: bool) -> str:
        kept = text, width, bold
        if kept not in self._fitting:
            if len(self._fitting) >= _MOST_KEPT:
                self._fitting.clear()
            end = Qt.TextElideMode.ElideRight
            self._fitting[kept] = self._metrics[bold].elidedText(visible(text), end, width)
        return self._fitting[kept]

    def _take_font(self, font: QFont) -> None:
        self._fitting.clear()
        self._font, self._bold = QFont(font), QFont(font)
        self._bold.setBold(True)
        self._metrics = QFontMetrics(self._font), QFontMetrics(self._bold)
