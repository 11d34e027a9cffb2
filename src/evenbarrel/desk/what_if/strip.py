"""A strip above every page as long as a what-if is open or kept aside: nothing is decided."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton

from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import ACCENT, GRID
from evenbarrel.wording.sentences.deciding import what_if as words
from evenbarrel.wording.sentences.deciding.what_if import TriedLine


class WhatIfStrip(QFrame):
    """Says what is tried beside the pages, with the ways back to it and out of it."""

    def __init__(self, show: Callable[[], None], throw_away: Callable[[], None]) -> None:
        super().__init__()
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.setAccessibleName(words.TITLE)
        self.text = Label()
        self.text.setWordWrap(True)
        self.text.setForegroundRole(ACCENT)
        self.look, self.drop = QPushButton("&Look at it"), QPushButton("&Discard")
        self.look.clicked.connect(show)
        self.drop.clicked.connect(throw_away)
        set_tip(self.drop, words.DROP_TIP)
        row = QHBoxLayout(self)
        row.setContentsMargins(GRID, GRID // 2, GRID, GRID // 2)
        row.addWidget(self.text, 1)
        row.addWidget(self.look)
        row.addWidget(self.drop)
        self.hide()

    def show_tried(self, lines: Sequence[TriedLine], is_open: bool) -> None:
        """Say what is tried; nothing stands there where nothing is and the what-if is closed."""
        self.text.setText(words.strip_line(lines))
        self.drop.setVisible(bool(lines))
        self.setVisible(is_open or bool(lines))
