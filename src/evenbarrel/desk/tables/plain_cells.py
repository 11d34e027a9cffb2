"""Cells that have a text alone to be painted, without asking the model all that Qt would ask."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QStaticText
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from evenbarrel.desk.style.plain import cut_short, laid_out

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
        self._fitting: dict[
            tuple[str, int, Qt.AlignmentFlag, bool], tuple[QStaticText, float, float]
        ] = {}
        """Texts as they lie, cut to a width [px]: to find where, and to lay out, is dear."""
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
        box, (left, right) = option.rect, across
        words, beside, height = self._laid_out(text, right - left + 1, lies, bold)
        painter.setPen(ink)
        painter.setFont(self._bold if bold else self._font)
        painter.drawStaticText(
            QPointF(left + beside, box.top() + (box.height() - height) / 2), words
        )

    def _laid_out(
        self, text: str, width: int, lies: Qt.AlignmentFlag, bold: bool
    ) -> tuple[QStaticText, float, float]:
        """Return words cut to a width, how far from its left they begin, and their height [px]."""
        kept = text, width, lies, bold
        if kept not in self._fitting:
            if len(self._fitting) >= _MOST_KEPT:
                self._fitting.clear()
            cut = cut_short(self._metrics[bold], text, width)
            words = laid_out(cut, self._bold if bold else self._font)
            free, flags = width - words.size().width(), Qt.AlignmentFlag
            share = 1.0 if lies & flags.AlignRight else 0.5 if lies & flags.AlignHCenter else 0.0
            self._fitting[kept] = words, share * free, words.size().height()
        return self._fitting[kept]

    def _take_font(self, font: QFont) -> None:
        self._fitting.clear()
        self._font, self._bold = QFont(font), QFont(font)
        self._bold.setBold(True)
        self._metrics = QFontMetrics(self._font), QFontMetrics(self._bold)
