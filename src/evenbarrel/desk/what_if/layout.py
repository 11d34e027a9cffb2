"""Where the parts of the what-if stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.style.buttons import size_window
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import ACCENT, GRID, PROBLEM, faint, heading
from evenbarrel.desk.what_if.datum_search import CutToWidth, rows_high
from evenbarrel.wording.sentences.deciding import what_if as words

if TYPE_CHECKING:
    from evenbarrel.desk.what_if.dialog import WhatIf

_SIZE = (1120, 640)
_TRIED, _OUTCOME = 3, 100


def lay_out(dialog: WhatIf) -> None:
    """Put the parts of the dialog in place: choice, field and trials above, the outcome below."""
    size_window(dialog, *_SIZE)
    introduction = Label(words.INTRODUCTION)
    introduction.setForegroundRole(ACCENT)
    # In a low window the trial scrolls; what can be done with it stays in sight.
    inside = QWidget()
    outer = QVBoxLayout(dialog)
    outer.setContentsMargins(0, 0, 0, 2 * GRID)
    outer.setSpacing(GRID)
    outer.addWidget(Scrolling(inside), 1)
    for label in (introduction, dialog.title, dialog.entered, dialog.problem, dialog.count):
        label.setWordWrap(True)
    dialog.problem.setForegroundRole(PROBLEM)
    faint(dialog.entered)
    close = QPushButton("&Close")
    close.clicked.connect(dialog.close)
    set_tip(dialog.keep, words.KEEP_TIP)
    set_tip(dialog.drop, words.DROP_TIP)
    buttons = QHBoxLayout()
    buttons.setContentsMargins(2 * GRID, 0, 2 * GRID, 0)
    buttons.addWidget(dialog.progress_line)
    buttons.addStretch(1)
    for button in (dialog.keep, dialog.drop, close, dialog.take_back, dialog.progress_line.button):
        button.setAutoDefault(False)
    for button in (dialog.keep, dialog.drop, close):
        buttons.addWidget(button)
    nest(outer, buttons)
    column = QVBoxLayout(inside)
    column.setContentsMargins(GRID * 2, GRID * 2, GRID * 2, 0)
    column.setSpacing(GRID)
    column.addWidget(introduction)
    # Before anything is tried the names have the room; then what it comes to.
    column.addWidget(_Halves(dialog.search, _trial(dialog)), 1)
    column.addWidget(dialog.problem)
    column.addWidget(dialog.count)
    column.addWidget(dialog.changes, _OUTCOME)


class _Halves(QWidget):
    """The search beside what is tried; above it where both have no room beside each other."""

    def __init__(self, search: QWidget, trial: QWidget) -> None:
        super().__init__()
        self._parts = search, trial
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(2 * GRID)
        self._row.addWidget(search)
        self._row.addWidget(trial, 1)

    def minimumSizeHint(self) -> QSize:
        """Return the least size, both below each other."""
        return QSize(max(self._widths()), super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put one below the other, or back beside it."""
        super().resizeEvent(event)
        way, beside = QBoxLayout.Direction, sum(self._widths()) + self._row.spacing()
        self._row.setDirection(way.LeftToRight if self.width() >= beside else way.TopToBottom)

    def _widths(self) -> list[int]:
        return [max(part.minimumSizeHint().width(), part.minimumWidth()) for part in self._parts]


def _trial(dialog: WhatIf) -> QWidget:
    """Return the field of what is chosen, and what is tried so far."""
    dialog.place.setContentsMargins(0, 0, 0, 0)
    dialog.tried.setAccessibleName("What is tried")
    dialog.tried.setItemDelegate(CutToWidth(dialog.tried))
    dialog.tried.setFixedHeight(rows_high(dialog.tried, _TRIED))
    font = dialog.title.font()
    font.setBold(True)
    dialog.title.setFont(font)
    row = QHBoxLayout()
    row.addWidget(heading("Tried"))
    row.addStretch(1)
    row.addWidget(dialog.take_back)
    trial = QWidget()
    column = QVBoxLayout(trial)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(GRID // 2)
    for widget in (dialog.title, dialog.entered):
        column.addWidget(widget)
    nest(column, dialog.place)
    nest(column, row)
    column.addWidget(dialog.tried)
    column.addStretch(1)
    return trial
