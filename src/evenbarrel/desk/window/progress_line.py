"""Shown below the window while a large evaluation is appraised beside it: how far, and a stop."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QPushButton, QWidget

from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import GRID
from evenbarrel.wording.sentences import pages

_STEPS = 100
_WIDTH = 120


class ProgressLine(QWidget):
    """A line with progress and one button: to stop, or once stopped to go on."""

    def __init__(self, stop: Callable[[], None], again: Callable[[], None]) -> None:
        super().__init__()
        self._stop, self._again = stop, again
        self._busy = False
        self.words = Label()
        self.bar = QProgressBar()
        self.bar.setRange(0, _STEPS)
        self.bar.setFixedWidth(_WIDTH)
        self.bar.setAccessibleName("How far the appraisal is")
        self.button = QPushButton()
        self.button.clicked.connect(self._press)
        row = QHBoxLayout(self)
        row.setContentsMargins(GRID, 0, GRID, 0)
        for widget in (self.words, self.bar, self.button):
            row.addWidget(widget)
        self.hide()

    def show_busy(self, busy: bool, current: bool) -> None:
        """Show that work runs, that it was stopped short, or nothing where all is `current`."""
        self._busy = busy
        self.bar.setValue(0)
        self.bar.setVisible(busy)
        self.words.setText(pages.APPRAISING if busy else pages.NOT_CURRENT)
        self.button.setText("Stop" if busy else "Appraise")
        set_tip(self.button, "" if busy else pages.NOT_CURRENT_TIP)
        self.setVisible(busy or not current)

    def show_progress(self, share: float) -> None:
        """Show how far the work is, 0 to 1."""
        self.bar.setValue(round(share * _STEPS))

    def _press(self) -> None:
        if self._busy:
            self._stop()
        else:
            self._again()
