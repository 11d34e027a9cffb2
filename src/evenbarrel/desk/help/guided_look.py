"""A guided look: a strip above the page that leads through five places and is left at once."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.help import guided_look as words


class GuidedLook(QFrame):
    """Shows one step at a time; the page it tells of is asked for by `wanted`."""

    wanted = Signal(object)
    """Carries the Step whose page is to be shown."""
    left = Signal()
    """The person is done with it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._place = 0
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.setAccessibleName(words.TITLE)
        self.title, self.text = heading("", 1.0), Label()
        self.text.setWordWrap(True)
        self.back, self.next, self.leave = (
            QPushButton(text) for text in (words.BACK, words.NEXT, words.LEAVE)
        )
        self.back.clicked.connect(lambda: self._go(self._place - 1))
        self.next.clicked.connect(lambda: self._go(self._place + 1))
        self.leave.clicked.connect(self._leave)
        for button in (self.back, self.next, self.leave):
            button.setAutoDefault(True)
        escape = QShortcut(QKeySequence("Esc"), self)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self._leave)
        session.opened.connect(self.hide)
        self._lay_out()
        self.hide()

    def start(self) -> None:
        """Begin at the first step, of what is open now."""
        self.show()
        self._go(0)

    def _go(self, place: int) -> None:
        # Loaded with the first look: it brings numpy along.
        from evenbarrel.wording.help.look_steps import steps as steps_through

        appraisal = self._session.appraisal
        steps = () if appraisal is None else steps_through(appraisal)
        if not 0 <= place < len(steps):
            self._leave()
            return
        self._place = place
        step, last = steps[place], place == len(steps) - 1
        self.title.setText(words.place_words(place, len(steps), step))
        self.text.setText(step.text)
        self.back.setEnabled(place > 0)
        self.next.setText(words.DONE if last else words.NEXT)
        self.leave.setVisible(not last)
        self.wanted.emit(step)
        # Whatever the page did with the keyboard, Enter goes on.
        self.next.setFocus(Qt.FocusReason.OtherFocusReason)

    def _leave(self) -> None:
        self.hide()
        self.left.emit()

    def _lay_out(self) -> None:
        column = QVBoxLayout()
        column.setSpacing(GRID // 2)
        column.addWidget(self.title)
        column.addWidget(self.text)
        row = QHBoxLayout(self)
        row.setContentsMargins(GRID, GRID // 2, GRID, GRID // 2)
        row.setSpacing(GRID)
        nest(row, column, 1)
        for button in (self.back, self.next, self.leave):
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
