"""Cells of a sheet as they are painted: a state's mark, then the text in its lines."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRect
from PySide6.QtGui import QPainter, QPalette
from PySide6.QtWidgets import QStyle, QStyleOptionViewItem

from evenbarrel.desk.style.state_marks import MARK_SIZE, stamp_mark
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.plain_cells import BESIDE, PlainCells

if TYPE_CHECKING:
    from evenbarrel.desk.tables.sheet_table import SheetView

MARK_GAP = 6
"""Beside a mark, at both its sides, and right of the text that follows it [px]."""


class StateDelegate(PlainCells):
    """Paints a cell's mark before its text."""

    def __init__(self, theme: Theme, view: SheetView) -> None:
        super().__init__(view)
        self._theme, self._view = theme, view

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Draw the cell, and its state's mark at the left of the text."""
        model, column = self._view.sheet_model, index.column()
        cell = model.cell(index)
        role = QPalette.ColorRole.Text
        if self.stands_out(option, cell.text):
            if cell.state is None and "\n" in cell.text:
                super().paint(painter, option, index)
                return
            self.initStyleOption(option, index)
            option.text = ""
            item = QStyle.ControlElement.CE_ItemViewItem
            self._view.style().drawControl(item, option, painter, self._view)
            if option.state & QStyle.StateFlag.State_Selected:
                role = QPalette.ColorRole.HighlightedText
        box = option.rect
        left, right = box.left() + BESIDE, box.right() - BESIDE
        if cell.state is not None:
            left, right = box.left() + MARK_GAP, box.right() - MARK_GAP
            if model.marks_alone:
                stamp_mark(painter, box.toRectF().center(), cell.state, self._theme.colours)
                return
            middle = QPointF(left + MARK_SIZE / 2, box.top() + box.height() / 2)
            stamp_mark(painter, middle, cell.state, self._theme.colours)
            left += MARK_SIZE + MARK_GAP
        ink, lies = option.palette.color(role), model.alignment(column)
        lines, high = self._view.lines_at(index), option.fontMetrics.lineSpacing()
        top = box.top() + (box.height() - high * len(lines)) // 2
        for place, line in enumerate(lines):
            if len(lines) > 1:
                option.rect = QRect(box.left(), top + place * high, box.width(), high)
            self.draw_text(painter, option, (left, right), line, lies, ink)

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> Any:
        """Return the usual size, wider by the mark where there is one."""
        size = super().sizeHint(option, index)
        if self._view.sheet_model.cell(index).state is not None:
            size.setWidth(size.width() + MARK_SIZE + 2 * MARK_GAP)
        return size
