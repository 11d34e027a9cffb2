"""Files that are dragged onto a window and let go there."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QEvent, QMimeData, QObject, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QWidget

from evenbarrel.storage.file_names import EVALUATION


class DroppedFiles(QObject):
    """Takes files that are dropped on a window; text and anything else is left alone."""

    evaluation = Signal(object)
    """Carries the Path of an evaluation, once the drag is over."""
    sent = Signal(object)
    """Carries the Paths of anything else: what a supplier sent."""
    too_many = Signal()
    """An evaluation was among several files."""
    _let_go = Signal(object)

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        window.setAcceptDrops(True)
        window.installEventFilter(self)
        # In its own turn: what is asked meanwhile would hold up the drag.
        self._let_go.connect(self._sort, Qt.ConnectionType.QueuedConnection)

    def eventFilter(self, window: QObject, event: QEvent) -> bool:
        """Take what is dragged over the window, and what is dropped on it."""
        if isinstance(event, QDropEvent):
            paths = _files_in(event.mimeData())
            if paths and isinstance(event, QDragEnterEvent):
                event.acceptProposedAction()
                return True
            if paths and event.type() == QEvent.Type.Drop:
                event.acceptProposedAction()
                self._let_go.emit(paths)
                return True
        return super().eventFilter(window, event)

    def _sort(self, paths: Sequence[Path]) -> None:
        if not any(path.name.lower().endswith(EVALUATION) for path in paths):
            self.sent.emit(paths)
        elif len(paths) == 1:
            self.evaluation.emit(paths[0])
        else:
            self.too_many.emit()


def _files_in(data: QMimeData) -> tuple[Path, ...]:
    """Return the files of this machine that are dragged, none for anything else."""
    urls = data.urls() if data.hasUrls() else []
    return tuple(Path(url.toLocalFile()) for url in urls if url.isLocalFile())
