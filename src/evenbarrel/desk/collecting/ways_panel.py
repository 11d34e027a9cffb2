"""The ways in side by side: what Bids shows before any offer is there."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.collecting.outgoing import blank_sheet
from evenbarrel.desk.collecting.ways import WAYS_IN, Way
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.scrolling import hold
from evenbarrel.desk.style.theme import GRID, faint, heading
from evenbarrel.wording.sentences.asking import collecting as words

_ACROSS, _TWO_CARDS = 2, 480
"""Cards in a row, and the width that they need [px]."""


class WaysPanel(QScrollArea):
    """One card a way; `wanted` carries the Wish of the one that is pressed."""

    wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.buttons: dict[str, QPushButton] = {}
        introduction = Label(words.COLLECT_INTRODUCTION)
        introduction.setWordWrap(True)
        self._cards = [self._card(way) for way in WAYS_IN]
        self._grid = cards = QGridLayout()
        cards.setSpacing(GRID)
        self._place_cards(_ACROSS)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(GRID, 0, GRID, GRID)
        column.setSpacing(GRID)
        column.addWidget(heading(words.COLLECT_TITLE, 2.0))
        column.addWidget(introduction)
        nest(column, cards)
        column.addWidget(self._sending())
        column.addStretch(1)
        hold(self, inside)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put one card below the other where there is no room for two."""
        super().resizeEvent(event)
        self._place_cards(_ACROSS if self.viewport().width() >= _TWO_CARDS else 1)

    def _place_cards(self, across: int) -> None:
        for place, card in enumerate(self._cards):
            self._grid.addWidget(card, place // across, place % across)

    def _card(self, way: Way) -> QFrame:
        button = QPushButton(way.words.button)
        button.clicked.connect(lambda: self.wanted.emit(way.begin))
        self.buttons[way.key] = button
        return _framed(way.words.title, way.words.when, button)

    def _sending(self) -> QFrame:
        button = QPushButton(words.SHEET_BLANK)
        button.clicked.connect(lambda: self.wanted.emit(blank_sheet()))
        self.buttons["blank"] = button
        return _framed(words.SEND_TITLE, words.SEND_INTRODUCTION, button)


def _framed(title: str, introduction: str, button: QPushButton) -> QFrame:
    card = QFrame()
    card.setFrameShape(QFrame.Shape.StyledPanel)
    card.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
    label = faint(Label(introduction))
    label.setWordWrap(True)
    label.setAlignment(Qt.AlignmentFlag.AlignTop)
    button.setAutoDefault(True)
    button.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
    column = QVBoxLayout(card)
    column.setContentsMargins(GRID, GRID, GRID, GRID)
    column.setSpacing(GRID // 2)
    column.addWidget(heading(title, 0.5))
    column.addWidget(label, 1)
    column.addWidget(button)
    return card
