"""Items of a list that tell in a fainter line below what they are about."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem, QTreeWidget

from evenbarrel.desk.style.heads import cut_to_lines
from evenbarrel.desk.style.plain import draw_words, to_break
from evenbarrel.desk.style.theme import FAINT
from evenbarrel.desk.tables.roles import Index

BelowRole = Qt.ItemDataRole.UserRole + 1
"""What an item tells in the fainter line below its text."""

_SMALLER = 1.0
_BESIDE = 4
_SHORT, _MOST_LINES = 120, 4
"""Letters that are never too many, and over how many lines one line may be broken."""
_WRAPPED = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop


class TwoLines(QStyledItemDelegate):
    """Paints what an item has under `BelowRole` below its text, faint and broken to the width."""

    def __init__(self, tree: QTreeWidget) -> None:
        super().__init__(tree)
        self._tree = tree
        tree.setItemDelegate(self)
        # Broken lines are broken anew where the tree gets another width.
        tree.header().sectionResized.connect(lambda *_: tree.scheduleDelayedItemsLayout())

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Draw the item, and below its first line the rest."""
        self.initStyleOption(option, index)
        rest = index.data(BelowRole)
        if rest is None:
            super().paint(painter, option, index)
            return
        option.text, option.decorationAlignment = "", Qt.AlignmentFlag.AlignTop
        style = option.widget.style()
        style.drawControl(QStyle.ControlElement.CE_ItemViewItem, option, painter, option.widget)
        box = option.rect.adjusted(option.decorationSize.width() + _BESIDE, 0, 0, 0)
        line = option.fontMetrics.height()
        painter.save()
        painter.setFont(option.font)
        painter.setPen(option.palette.text().color())
        draw_words(
            painter, QRect(box.topLeft(), QSize(box.width(), line)), int(_WRAPPED), index.data()
        )
        painter.setFont(_smaller(option.font))
        painter.setPen(option.palette.color(FAINT))
        below = _short(rest, _smaller(option.font), box.width())
        draw_words(painter, box.adjusted(0, line, 0, 0), int(_WRAPPED), below)
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height that the broken text takes."""
        self.initStyleOption(option, index)
        rest = index.data(BelowRole)
        if rest is None:
            return super().sizeHint(option, index)
        indent = self._tree.indentation() * 2
        width = self._tree.columnWidth(0) - indent - option.decorationSize.width() - _BESIDE
        small = _smaller(option.font)
        words = to_break(_short(rest, small, width))
        below = QFontMetrics(small).boundingRect(QRect(0, 0, width, 0), int(_WRAPPED), words)
        return QSize(0, option.fontMetrics.height() + below.height() + _BESIDE)


def _short(rest: str, font: QFont, width: int) -> str:
    """Return what stands below with each of its lines cut that would be broken too often."""
    if len(rest) <= _SHORT:
        return rest
    return "\n".join(cut_to_lines(font, line, width, _MOST_LINES) for line in rest.split("\n"))


def _smaller(font: QFont) -> QFont:
    small = QFont(font)
    small.setPointSizeF(font.pointSizeF() - _SMALLER)
    return small
