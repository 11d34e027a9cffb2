"""Heads: words above others, which leave these their room however long a name in them is."""

from __future__ import annotations

from functools import lru_cache
from math import ceil

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QFontMetricsF,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QTextLayout,
)
from PySide6.QtWidgets import QWidget

from evenbarrel.desk.style.plain import (
    Label,
    cut_short,
    draw_words,
    set_tip,
    to_break,
    without_joints,
)

MOST_LINES = 5
"""Lines of what a page or a step says first."""
_AIR = 2
"""What Qt leaves round words besides [px]."""
_LINE_END = "\N{LINE SEPARATOR}"
_MOST_KEPT = 64
"""Words that are kept as they were cut: who sets them, sizes them and paints them asks for them."""


class Head(Label):
    """A label of so many lines at most: what has no room in them is cut, and told by its tip."""

    def __init__(self, text: str = "", lines: int = 1, parent: QWidget | None = None) -> None:
        self._lines = lines
        super().__init__(text, parent)
        self.setWordWrap(lines > 1)

    def shown(self) -> str:
        """Return the words as they are seen, … where they are cut."""
        if self.buddy() is not None:
            # Words of our own, with a key in them.
            return self.text()
        room = self.contentsRect().width() - 2 * self.margin()
        return cut_to_lines(self.font(), self.text(), room, self._lines)

    def sizeHint(self) -> QSize:
        """Return the usual size, of no more than its lines."""
        return self._bounded(super().sizeHint())

    def minimumSizeHint(self) -> QSize:
        """Return the least size, of no more than its lines."""
        return self._bounded(super().minimumSizeHint())

    def heightForWidth(self, width: int) -> int:
        """Return the height of the words, of no more than its lines."""
        return min(super().heightForWidth(width), self._highest())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the words that have room."""
        shown = self.shown()
        if shown == self.text():
            super().paintEvent(event)
            return
        painter, margin = QPainter(self), self.margin()
        painter.setPen(self.palette().color(self.foregroundRole()))
        box = self.contentsRect().adjusted(margin, margin, -margin, -margin)
        draw_words(painter, box, self.alignment() | Qt.TextFlag.TextDontClip, shown)
        painter.end()

    def setText(self, text: str) -> None:
        """Show words, cut where they have no room."""
        super().setText(text)
        self._show_tip()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the words for another width."""
        super().resizeEvent(event)
        self._show_tip()

    def _show_tip(self) -> None:
        """Let the tip tell the whole where it is cut."""
        set_tip(self, "" if self.shown() == self.text() else self.text())

    def _bounded(self, size: QSize) -> QSize:
        return QSize(size.width(), min(size.height(), self._highest()))

    def _highest(self) -> int:
        around = self.contentsMargins()
        edges = around.top() + around.bottom() + 2 * self.margin()
        return ceil(self._lines * QFontMetricsF(self.font()).lineSpacing()) + _AIR + edges


@lru_cache(maxsize=_MOST_KEPT)
def cut_to_lines(font: QFont, text: str, width: int, lines: int) -> str:
    """Return words that break, cut to so many lines of a width [px]; each line ends where it does.

    Words that have room are returned as they are.
    """
    metrics = QFontMetrics(font)
    if lines == 1 and "\n" not in text:
        return cut_short(metrics, text, width)
    words = to_break(text)
    layout = QTextLayout(words.replace("\n", _LINE_END), font)
    layout.beginLayout()
    starts: list[int] = []
    while len(starts) <= lines:
        line = layout.createLine()
        if not line.isValid():
            break
        line.setLineWidth(width)
        starts.append(line.textStart())
    layout.endLayout()
    if len(starts) <= lines:
        return text
    # Qt counts a sign beyond the first 65,536 as two.
    units = words.encode("utf-16-le", "surrogatepass")
    ends = (*starts[1:lines], len(units) // 2)
    parts = [
        units[2 * start : 2 * end].decode("utf-16-le", "surrogatepass")
        for start, end in zip(starts[:lines], ends, strict=True)
    ]
    parts = [without_joints(part) for part in parts]
    kept, rest = [part.rstrip() for part in parts[:-1]], parts[-1].replace("\n", " ")
    return "\n".join((*kept, cut_short(metrics, rest, width)))
