"""What takes the room there is, whatever its words would take."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget


class LeastSize(QWidget):
    """Asks for no more than its least size: what stands round it need not measure its words.

    Else every label that breaks would be laid out a hundred times where one of them changes:
    Qt's stacks ask all that they hold for a height at many widths, and keep no answer.
    """

    def hasHeightForWidth(self) -> bool:
        """Its height is what it is given; inside, words still take what they need."""
        return False

    def sizeHint(self) -> QSize:
        """Return the least size."""
        return self.minimumSizeHint()
