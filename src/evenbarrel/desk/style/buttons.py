"""Buttons and steps as every page and dialog makes them."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize
from PySide6.QtGui import QAction, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QPushButton, QToolButton, QWidget

from evenbarrel.desk.style.plain import cut_short, on_button, set_tip
from evenbarrel.wording.words.visible import visible_line

_BESIDE_LINE, _LINE_AIR = 10, 16
"""What a flat button leaves free beside its words at least, and usually [px]."""


def keeping_action(page: QWidget, text: str, keys: str, act: Callable[..., object]) -> QAction:
    """Return a step of a page that leaves what is being typed as it is: it only shows something."""
    action = QAction(text, page)
    action.setShortcut(QKeySequence(keys))
    action.triggered.connect(act)
    page.addAction(action)
    return action


def button_for(action: QAction) -> QPushButton:
    """Return a button that does what an action does, its shortcut in the tip."""
    button = QPushButton(action.text())
    set_tip(button, action.shortcut().toString())
    button.setEnabled(action.isEnabled())
    button.clicked.connect(action.trigger)
    if action.isCheckable():
        button.setCheckable(True)
        button.setChecked(action.isChecked())
        action.toggled.connect(button.setChecked)
    action.enabledChanged.connect(button.setEnabled)
    return button


class LineButton(QToolButton):
    """A flat button of one line, cut at its end where it has no room: Qt would cut its middle."""

    def __init__(self) -> None:
        super().__init__()
        self._words = ""
        self.setAutoRaise(True)

    def show_line(self, text: str) -> None:
        """Show words of one line."""
        self._words = visible_line(text)
        self.setAccessibleName(self._words)
        self.updateGeometry()
        self._fit()

    def text(self) -> str:
        """Return the whole line."""
        return self._words

    def sizeHint(self) -> QSize:
        """Return what the whole line takes."""
        wide = self.fontMetrics().horizontalAdvance(self._words) + _LINE_AIR
        return QSize(wide, super().sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the line for another width."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        room = self.width() - _BESIDE_LINE
        self.setText(on_button(cut_short(self.fontMetrics(), self._words, room)))


def size_window(window: QDialog, width: int, height: int) -> None:
    """Give a window its usual size, or that of the window it belongs to where that is less [px]."""
    window.resize(within_window(window, QSize(width, height)))


def within_window(window: QDialog, size: QSize) -> QSize:
    """Return as much of a size as the window has that another one belongs to [px]."""
    parent = window.parentWidget()
    return size if parent is None else size.boundedTo(parent.window().size())


def close_button(dialog: QDialog) -> QDialogButtonBox:
    """Return a row with a button that closes; Enter in a field only takes what was typed."""
    row = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    button = row.button(QDialogButtonBox.StandardButton.Close)
    button.setAutoDefault(False)
    button.setDefault(False)
    row.rejected.connect(dialog.reject)
    return row
