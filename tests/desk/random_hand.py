"""What a person at random has: keys, texts, a watch on what goes wrong, a measure of memory."""

from __future__ import annotations

import ctypes
import gc
import random
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import (
    QAbstractItemModel,
    QAbstractListModel,
    QModelIndex,
    QtMsgType,
    qInstallMessageHandler,
)
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QComboBox,
    QHeaderView,
    QScrollArea,
    QTabBar,
    QWidget,
)

_EXPECTED = ("propagateSizeHints", "This plugin does not support")
"""What a platform without a screen says of every new window."""

FITTING = ("12", "46.5", "250", "0.35", "3", "30 %", "2026-03-02", "1800")
"""What many a field takes."""
TEXTS = (
    *("12", "46.5", "1,5", "0", "-3", "1e9", "250 mm", "9.8 in3", "1.200,5", "12 %", "0.35"),
    *("2026-03-02", "31.02.2026", "EUR", "Lid", "a & b", "n/a", "12 furlongs", "1..2", "NaN"),
    *("", "   ", "<b>bold</b><img src=x>", "=1+1", "%s{0}\\n", "Größe ½ − 3"),
    *("\u202eevil\u202c", "a\u200bb\x07c", "one\ntwo\tthree", "\ud83d", "\U0001f600" * 3),
    *("9" * 400, "x" * 2500),
)
"""Good, bad and hostile."""
ON_A_PAGE = """
    Tab Tab Tab Tab Tab Return Return Return Return Return Esc Esc Down Up Left Right Home End
    PgDown PgUp F2 Space Del Backspace 7 L Shift+Backtab Ctrl+Tab Ctrl+A Ctrl+C Ctrl+V Ctrl+X
    Shift+Down F6 F9 F1 Ctrl+Z Ctrl+Z Ctrl+Z Ctrl+Z Ctrl+Z Ctrl+Z Ctrl+Shift+Z Ctrl+Shift+Z
    Ctrl+Shift+Z Ctrl+D Ctrl+Del Ctrl+Shift+J Ctrl+Shift+A Ctrl+Shift+U Ctrl+Shift+B Ctrl+Shift+R
    Ctrl+Shift+I Ctrl+Shift+T Ctrl+Shift+V Ctrl+S Ctrl+PgDown Ctrl+PgUp
"""
IN_A_DIALOG = "Tab Tab Tab Return Return Return Esc Down Space"


def any_key(dice: random.Random, keys: str) -> str:
    """Return one of the keys written in `keys`, each as likely as it is often written."""
    return dice.choice(keys.split())


def key_of(text: str) -> tuple[object, object]:
    """Return the key of "Ctrl+Z" and what is held with it."""
    both = QKeySequence(text)[0]
    return both.key(), both.keyboardModifiers()


class Watch:
    """Collects what goes wrong: exceptions that nobody caught, and warnings of Qt."""

    def __init__(self) -> None:
        self.exceptions: list[str] = []
        self.warnings: list[str] = []

    def take(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Take an exception, as `sys.excepthook` does."""
        self.exceptions.append("".join(traceback.format_exception(kind, error, trace)))

    def hear(self, kind: QtMsgType, context: object, message: str) -> None:
        """Take a message of Qt."""
        if kind != QtMsgType.QtDebugMsg and not any(text in message for text in _EXPECTED):
            self.warnings.append(message)

    @contextmanager
    def on(self) -> Iterator[None]:
        """Watch for as long as the context lasts."""
        hook, handler = sys.excepthook, qInstallMessageHandler(self.hear)
        sys.excepthook = self.take
        try:
            yield
        finally:
            sys.excepthook = hook
            qInstallMessageHandler(handler)


def is_part(widget: QWidget) -> bool:
    """Say whether a widget is but a part of another that is acted on as a whole."""
    parent = widget.parentWidget()
    return isinstance(widget, QHeaderView) or isinstance(
        parent, QComboBox | QAbstractScrollArea | QTabBar
    )


def any_child(
    dice: random.Random, model: QAbstractItemModel, parent: QModelIndex
) -> QModelIndex | None:
    """Return some cell or item below `parent`, None where there is none."""
    rows = model.rowCount(parent)
    columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(parent)
    if not rows or not columns:
        return None
    return model.index(dice.randrange(rows), dice.randrange(columns), parent)


def bring_into_sight(widget: QWidget) -> None:
    """Scroll to a widget, as a person does before clicking it."""
    area = widget.parentWidget()
    while area is not None and not isinstance(area, QScrollArea):
        area = area.parentWidget()
    if area is not None:
        area.ensureWidgetVisible(widget)


def resident_memory() -> int:
    """Return the bytes of this process that are in memory, once what is free was handed back."""
    gc.collect()
    with suppress(OSError, AttributeError):
        ctypes.CDLL("libc.so.6").malloc_trim(0)
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096
