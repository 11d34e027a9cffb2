"""A line above the page: what was found, refused or finished, and what can be done about it."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QProgressBar, QPushButton, QWidget

from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, PROBLEM

Offer = tuple[str, Callable[[], None]]
"""A button's text and what it does."""

_STEPS = 100


class Notice(QFrame):
    """One sentence with buttons; it never blocks, and goes when it is answered or closed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.setAccessibleName("Notice")
        self.text = Label()
        self.text.setWordWrap(True)
        self.text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.progress = QProgressBar()
        self.progress.setAccessibleName("Progress")
        self.progress.setRange(0, 0)
        self.progress.setFixedWidth(160)
        self.buttons: list[QPushButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(GRID, GRID // 2, GRID, GRID // 2)
        self._row.addWidget(self.text, 1)
        self._row.addWidget(self.progress)
        self.hide()

    def show_message(
        self, text: str, *offers: Offer, problem: bool = False, busy: bool = False
    ) -> None:
        """Show a sentence with what can be done; without an offer it can be closed."""
        self.text.setText(text)
        self.text.setForegroundRole(PROBLEM if problem else self.foregroundRole())
        self.progress.setRange(0, 0)
        self.progress.setVisible(busy)
        for button in self.buttons:
            button.hide()
            button.deleteLater()
        self.buttons = [self._button(*offer) for offer in offers or (("Close", lambda: None),)]
        self.show()

    def show_progress(self, share: float) -> None:
        """Show how far the work is, 0 to 1."""
        self.progress.setRange(0, _STEPS)
        self.progress.setValue(round(share * _STEPS))

    def _button(self, text: str, act: Callable[[], None]) -> QPushButton:
        button = QPushButton(text)
        button.setAutoDefault(True)

        def clicked() -> None:
            # Hidden before the act, which may tell the next thing.
            self.hide()
            act()

        button.clicked.connect(clicked)
        self._row.addWidget(button)
        return button
