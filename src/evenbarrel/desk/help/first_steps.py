"""What an empty evaluation offers on every page: begin, open, the sample, and what comes first."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, on_button, set_tip
from evenbarrel.desk.style.theme import GRID, heading
from evenbarrel.desk.window.files.documents import Documents
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.resources import sample_name
from evenbarrel.wording.help import first_steps as words

_BESIDE, _IN_A_ROW = 880, 600
"""What the buttons need beside words of a readable width, and what they need in one row [px]."""


class FirstSteps(QFrame):
    """Stands above the page for as long as neither a job nor an offer is entered."""

    def __init__(
        self, session: Session, documents: Documents, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._documents = documents
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAccessibleName(words.FIRST_TITLE)
        self.words = Label()
        self.words.setWordWrap(True)
        self.begin = QPushButton(words.BEGIN_NEW)
        self.open = QPushButton(words.OPEN_FILE)
        self.recent = QPushButton(words.OPEN_RECENT)
        self.sample = QPushButton(words.OPEN_SAMPLE)
        self.open.clicked.connect(documents.open)
        self.sample.clicked.connect(documents.open_sample)
        self.sample.setEnabled(sample_name() is not None)
        set_tip(self.sample, words.SAMPLE_TIP)
        self._menu = QMenu(self)
        self._menu.aboutToShow.connect(self._offer_recent)
        self.recent.setMenu(self._menu)
        self._lay_out()

    def show_page(self, page: str, evaluation: Evaluation) -> None:
        """Say on that page what comes first; nothing once a job or an offer is there."""
        self.setVisible(not evaluation.jobs and not evaluation.bids)
        if self.isHidden():
            return
        self.words.setText(words.FIRST_STEPS[page])
        paths = self._session.recent.paths()
        self.recent.setEnabled(bool(paths))
        set_tip(self.recent, "" if paths else words.NO_RECENT)

    def minimumSizeHint(self) -> QSize:
        """Return the least size, the buttons in two columns below the words."""
        widest = max(button.sizeHint().width() for button in self._steps)
        return QSize(2 * widest + 4 * GRID, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the buttons below the words where there is no room beside."""
        super().resizeEvent(event)
        direction = QBoxLayout.Direction
        beside = self.width() >= _BESIDE
        self._row.setDirection(direction.LeftToRight if beside else direction.TopToBottom)
        self._place_buttons(len(self._steps) if self.width() >= _IN_A_ROW else 2)

    def _place_buttons(self, across: int) -> None:
        for place, button in enumerate(self._steps):
            self._buttons.addWidget(button, place // across, place % across)

    def _offer_recent(self) -> None:
        self._menu.clear()
        for path in self._session.recent.paths():
            action = self._menu.addAction(on_button(str(path)))
            action.triggered.connect(partial(self._documents.open_recent, path))

    def _lay_out(self) -> None:
        column = QVBoxLayout()
        column.setSpacing(GRID // 2)
        column.addWidget(heading(words.FIRST_TITLE, 1.0))
        column.addWidget(self.words)
        self._steps = (self.begin, self.open, self.recent, self.sample)
        for button in self._steps:
            button.setAutoDefault(True)
        self._buttons = QGridLayout()
        self._buttons.setSpacing(GRID)
        self._place_buttons(2)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(GRID, GRID // 2, GRID, GRID // 2)
        self._row.setSpacing(GRID)
        nest(self._row, column, 1)
        nest(self._row, self._buttons)
