"""Buttons beside a page: pressed, they leave the keyboard with the field that waits."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QToolButton, QWidget

from evenbarrel.desk.style.plain import set_tip
from evenbarrel.wording.words.visible import visible_line


def tool(text: str, tip: str, act: Callable[[], object]) -> QToolButton:
    """Return a small button with the sign or word on it that says what it does."""
    button = QToolButton()
    button.setText(text)
    button.setAccessibleName(tip)
    set_tip(button, tip)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.clicked.connect(lambda _=False: act())
    return button


def push(text: str, act: Callable[[], object]) -> QPushButton:
    """Return a button with words on it."""
    button = QPushButton(visible_line(text))
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.clicked.connect(lambda _=False: act())
    return button


def row(*parts: QWidget | tuple[QWidget, int] | None) -> QHBoxLayout:
    """Return widgets in a row; with a number one grows, None is what stays free."""
    line = QHBoxLayout()
    line.setSpacing(4)
    for part in parts:
        if part is None:
            line.addStretch(1)
        elif isinstance(part, tuple):
            line.addWidget(*part)
        else:
            line.addWidget(part)
    return line
