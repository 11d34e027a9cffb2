"""Boxes to be ticked in the lines of a list or a table."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex
from PySide6.QtWidgets import QApplication, QStyledItemDelegate, QStyleOptionViewItem


class Ticks(QStyledItemDelegate):
    """Draws each box in the line that boxes before words have: the style's own is lost on slate."""

    def initStyleOption(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Give a line the colours of a box."""
        super().initStyleOption(option, index)
        # Qt takes a string here alone, though its types ask for bytes.
        option.palette = QApplication.palette("QCheckBox")  # type: ignore[call-overload]
