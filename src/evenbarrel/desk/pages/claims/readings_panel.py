"""How a barrel's size may be read: each reading with its consequence, one click to decide."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QSizePolicy, QWidget

from evenbarrel.appraisal.consequences import TriedReading, tried_readings
from evenbarrel.desk.forms.decision_forms import decide_reading
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import GRID, faint
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.sentences.deciding import consequences, decision

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_ACROSS = 2


class ReadingsPanel(QWidget):
    """A button for each reading, with what it says and what it would change beside it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._barrel: str | None = None
        self.tried: tuple[TriedReading, ...] = ()
        self.buttons: list[QPushButton] = []
        self._words: list[QLabel] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(GRID)
        self._grid.setVerticalSpacing(GRID // 2)
        self._grid.setColumnStretch(1, 1)
        head = faint(Label(decision.CHOOSE_READING))
        head.setWordWrap(True)
        self._grid.addWidget(head, 0, 0, 1, _ACROSS)

    def show_barrel(self, appraisal: Appraisal, barrel: str | None) -> None:
        """Offer the readings of a barrel; nothing where there is no choice."""
        self._barrel = barrel
        self.tried = () if barrel is None else tried_readings(appraisal, barrel)
        while len(self.buttons) < len(self.tried):
            self._add_row()
        for place, (button, label) in enumerate(zip(self.buttons, self._words, strict=True)):
            shown = place < len(self.tried)
            button.setVisible(shown)
            label.setVisible(shown)
            if shown:
                _say(button, label, self.tried[place], appraisal)
        self.setVisible(bool(self.tried))

    def _add_row(self) -> None:
        place = len(self.buttons)
        button, label = QPushButton(), Label()
        button.setCheckable(True)
        button.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        button.clicked.connect(lambda: self._decide(place))
        label.setWordWrap(True)
        label.setMinimumHeight(button.sizeHint().height())
        self.buttons.append(button)
        self._words.append(label)
        self._grid.addWidget(button, place + 1, 0)
        self._grid.addWidget(label, place + 1, 1)

    def _decide(self, place: int) -> None:
        tried = self.tried[place]
        if self._barrel is not None and not tried.taken:
            decide_reading(self._session, self._barrel, tried)
        # What is taken already stays pressed; a step that was refused leaves none pressed.
        for button, one in zip(self.buttons, self.tried, strict=False):
            button.setChecked(one.taken)


def _say(button: QPushButton, label: QLabel, tried: TriedReading, appraisal: Appraisal) -> None:
    units = appraisal.evaluation.display_units
    button.setText(consequences.way_word(tried.settled))
    button.setChecked(tried.taken)
    label.setText(consequences.reading_line(tried, units))
    for widget in (button, label):
        set_tip(widget, consequences.reading_tip(tried, appraisal))
