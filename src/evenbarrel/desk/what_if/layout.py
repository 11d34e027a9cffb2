"""Where the parts of the what-if stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

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
    told = Label(words.TOLD)
    told.setForegroundRole(ACCENT)
    # In a low window the trial scrolls; what can be done with it stays in sight.
    inside = QWidget()
    outer = QVBoxLayout(dialog)
    outer.setContentsMargins(0, 0, 0, 2 * GRID)
    outer.setSpacing(GRID)
    outer.addWidget(Scrolling(inside), 1)
    for label in (told, dialog.title, dialog.entered, dialog.problem, dialog.count):
        label.setWordWrap(True)
    dialog.problem.setForegroundRole(PROBLEM)
    faint(dialog.entered)
    upper = QHBoxLayout()
    upper.setSpacing(2 * GRID)
    upper.addWidget(dialog.search)
    nest(upper, _trial(dialog), 1)
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
    column.addWidget(told)
    # Before anything is tried the names have the room; then what it comes to.
    nest(column, upper, 1)
    column.addWidget(dialog.problem)
    column.addWidget(dialog.count)
    column.addWidget(dialog.changes, _OUTCOME)


def _trial(dialog: WhatIf) -> QVBoxLayout:
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
    column = QVBoxLayout()
    column.setSpacing(GRID // 2)
    for widget in (dialog.title, dialog.entered):
        column.addWidget(widget)
    nest(column, dialog.place)
    nest(column, row)
    column.addWidget(dialog.tried)
    column.addStretch(1)
    return column
