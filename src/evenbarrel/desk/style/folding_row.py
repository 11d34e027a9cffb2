"""Buttons and choices beside each other, and in lines below where a window is narrow."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QRect, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from evenbarrel.desk.style.theme import GRID


class FoldingRow(QWidget):
    """Gives each of its parts the size it would like, as many to a line as have room."""

    def __init__(self, *parts: QWidget) -> None:
        super().__init__()
        self._parts = parts
        for part in parts:
            part.setParent(self)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def hasHeightForWidth(self) -> bool:
        """The height follows the width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height of the lines."""
        return max((place.bottom() + 1 for _, place in self._places(width)), default=0)

    def sizeHint(self) -> QSize:
        """Return the size of one line."""
        sizes = [part.sizeHint() for part in self._seen()]
        wide = sum(size.width() for size in sizes) + GRID * max(0, len(sizes) - 1)
        return QSize(wide, max((size.height() for size in sizes), default=0))

    def minimumSizeHint(self) -> QSize:
        """Return the size of the widest part."""
        widest = max((part.minimumSizeHint().width() for part in self._seen()), default=0)
        return QSize(widest, self.sizeHint().height())

    def event(self, event: QEvent) -> bool:
        """Place the parts anew where one came, went, or would like another size."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
            self._place()
        return done

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place the parts in other lines."""
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        for part, place in self._places(self.width()):
            part.setGeometry(place)

    def _seen(self) -> list[QWidget]:
        return [part for part in self._parts if not part.isHidden()]

    def _places(self, width: int) -> Iterator[tuple[QWidget, QRect]]:
        line = self.sizeHint().height()
        left = top = 0
        for part in self._seen():
            size = part.sizeHint()
            if left and left + size.width() > width:
                left, top = 0, top + line + GRID
            wide = min(size.width(), width)
            yield part, QRect(left, top + (line - size.height()) // 2, wide, size.height())
            left += wide + GRID
