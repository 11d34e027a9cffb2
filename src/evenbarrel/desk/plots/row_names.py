"""The strips beside a picture: what each barrel, lane or criterion is called."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from PySide6.QtCore import QEvent, QRectF, Qt
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
        self._widths: dict[tuple[str, bool], float] = {}
        """How wide each text is, plain or strong: asked for again with every row scrolled."""
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
        metrics = [QFontMetricsF(self._font(strong)) for strong in (False, True)]
        texts = {(name.text, name.strong) for name in self._names}
        texts |= {(name.second, False) for name in self._names}
        if not texts.issubset(self._widths):
            self._widths = {
                (text, strong): metrics[strong].horizontalAdvance(text) for text, strong in texts
            }
        widest = max((self._widths[one] for one in texts), default=0.0)
        return min(most, ceil(2 * _AIR + widest + 1.0))

    def changeEvent(self, event: QEvent) -> None:
        """Measure all anew in another font."""
        if event.type() == QEvent.Type.FontChange:
            self._widths = {}
        super().changeEvent(event)

    def _font(self, strong: bool) -> QFont:
        font = QFont(self.font())
        font.setBold(strong)
        return font

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the names that are in sight, each cut to the column's width."""
        if self._colours is None:
            return
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._colours.page))
        line = QFontMetricsF(self.font()).height()
        for name in self._names:
            if not -line < name.y < self.height() + line:
                continue
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
