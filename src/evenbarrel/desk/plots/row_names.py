"""The strips beside a picture: what each barrel, lane or criterion is called."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.style.plain import draw_words
from evenbarrel.desk.style.theme import Colours
from evenbarrel.wording.pictures.label_layout import fitted

_AIR = 8.0


@dataclass(frozen=True, slots=True)
class Name:
    """Words beside one row, centred on `y` [px]; `second` is fainter, below `text` if there is."""

    y: float
    text: str
    second: str = ""
    strong: bool = False


class Names(QWidget):
    """One column of names. It moves with the picture beside it."""

    def __init__(self, right_aligned: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._aligned = (
            Qt.AlignmentFlag.AlignRight if right_aligned else Qt.AlignmentFlag.AlignLeft
        ) | Qt.AlignmentFlag.AlignVCenter
        self._names: tuple[Name, ...] = ()
        self._colours: Colours | None = None

    def show_names(self, names: tuple[Name, ...], colours: Colours) -> None:
        """Show names at their places."""
        self._names, self._colours = names, colours
        self.update()

    def names(self) -> tuple[Name, ...]:
        """Return what is shown."""
        return self._names

    def wanted_width(self, most: int) -> int:
        """Return the width [px] that the longest name needs, at most `most`."""
        widths = [
            QFontMetricsF(self._font(strong)).horizontalAdvance(text)
            for name in self._names
            for text, strong in ((name.text, name.strong), (name.second, False))
        ]
        return min(most, ceil(2 * _AIR + max(widths, default=0.0) + 1.0))

    def _font(self, strong: bool) -> QFont:
        font = QFont(self.font())
        font.setBold(strong)
        return font

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the names, each cut to the column's width."""
        if self._colours is None:
            return
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._colours.page))
        line = QFontMetricsF(self.font()).height()
        for name in self._names:
            apart = line / 2 if name.text and name.second else 0.0
            self._paint_text(painter, name.text, name.y - apart, name.strong)
            self._paint_text(painter, name.second, name.y + apart, False, faint=True)
        painter.end()

    def _paint_text(
        self, painter: QPainter, text: str, y: float, strong: bool, faint: bool = False
    ) -> None:
        if self._colours is None:
            return
        font = self._font(strong)
        painter.setFont(font)
        metrics = QFontMetricsF(font)
        box = QRectF(_AIR, y - metrics.height() / 2, self.width() - 2 * _AIR, metrics.height())
        painter.setPen(QColor(self._colours.faint_text if faint else self._colours.text))
        draw_words(
            painter, box, self._aligned, fitted(text, box.width(), metrics.horizontalAdvance)
        )
