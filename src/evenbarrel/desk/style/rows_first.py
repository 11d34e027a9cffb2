"""A table above its details: it gets the room for all its rows, as far as these leave it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget


class RowsFirst(QSplitter):
    """Gives the upper part all it would like, and the rest to the lower, which has its least.

    Once a person moves the bar between them it stays where it was moved to.
    """

    def __init__(self, upper: QWidget, lower: QWidget) -> None:
        super().__init__(Qt.Orientation.Vertical)
        self._upper, self._lower = upper, lower
        self.addWidget(upper)
        self.addWidget(lower)
        self.setChildrenCollapsible(False)
        self.setStretchFactor(1, 1)
        self._is_moved = False
        self.splitterMoved.connect(lambda *_: self._leave())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the room out again."""
        super().resizeEvent(event)
        self._share()

    def event(self, event: QEvent) -> bool:
        """Share the room out again where a part would like another height."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._share()
        return done

    def _leave(self) -> None:
        self._is_moved = True

    def _share(self) -> None:
        upper, lower = self._upper, self._lower
        if self._is_moved or upper.isHidden() or lower.isHidden():
            return
        layout = upper.layout()
        wanted = upper.sizeHint().height()
        if layout is not None and layout.hasHeightForWidth():
            # Before a stretch at its end Qt leaves a space that it does not count.
            wanted = layout.totalHeightForWidth(upper.width()) + layout.spacing()
            # Nor does a splitter ask what words take in its width.
            upper.setMinimumHeight(layout.totalMinimumHeightForWidth(upper.width()))
        room = self.height() - self.handleWidth()
        high = min(wanted, room - lower.minimumSizeHint().expandedTo(lower.minimumSize()).height())
        if high != self.sizes()[0]:
            self.setSizes([high, room - high])
