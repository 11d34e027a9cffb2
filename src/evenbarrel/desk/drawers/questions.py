"""Open questions: what is to be asked of each supplier, and of us."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QMenu,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.drawers import question_actions
from evenbarrel.desk.drawers.two_lines import BelowRole, TwoLines
from evenbarrel.desk.style.plain import Label, point_out, set_tip, to_clipboard, tree_item
from evenbarrel.desk.style.state_marks import mark_icon
from evenbarrel.desk.style.theme import GRID, Theme, faint, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.entry import answers
from evenbarrel.wording.sentences.asking import letters
from evenbarrel.wording.sentences.asking.questions import question_text
from evenbarrel.wording.words.visible import visible_line

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.results import Question

_ROLE = Qt.ItemDataRole.UserRole
_MARKS = {
    "open": "not_stated",
    "asked": "near_edge",
    "answered": "inside",
    "accepted_as_is": "inside",
}


class _Line(NamedTuple):
    """A question as the tree tells it."""

    question: str
    state: str
    what: str
    whose: str


def _lines_of(
    group: letters.QuestionGroup, appraisal: Appraisal
) -> tuple[str, str, tuple[_Line, ...]]:
    """Return a group's title, its bid, and a line for each of its questions."""
    lines = (
        _Line(one.id, one.state, *letters.question_lines(one, appraisal)) for one in group.questions
    )
    return group.title, group.bid, tuple(lines)


class QuestionsDrawer(QWidget):
    """A group for each supplier and one for us; the chosen question stands in full below."""

    datum_wanted = Signal(tuple)
    """Carries the Path of the datum a question asks for."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._theme = theme
        self._questions: dict[str, Question] = {}
        self._lines: list[tuple[str, str, tuple[_Line, ...]]] = []
        self.count = faint(Label())
        self.tree = QTreeWidget()
        self.tree.setAccessibleName("Open questions")
        self.tree.setHeaderHidden(True)
        self.tree.setIndentation(GRID * 2)
        TwoLines(self.tree)
        self.tree.viewport().installEventFilter(self)
        self.tree.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.tree.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.tree.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.sentence = Label()
        self.sentence.setWordWrap(True)
        self.sentence.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.copy_letter = QPushButton("Copy &letter")
        set_tip(self.copy_letter, "All open questions to this supplier as a letter")
        self.more = QPushButton("&Mark…")
        self.more.setAccessibleName("Mark the question asked, answered or accepted")
        self._lay_out()
        self.tree.currentItemChanged.connect(lambda *_: self._show_chosen())
        self.tree.itemActivated.connect(lambda *_: self._go())
        self.tree.customContextMenuRequested.connect(self._open_menu)
        self.copy_letter.clicked.connect(self._copy_letter)
        self.more.clicked.connect(lambda: self._open_menu(None))
        theme.changed.connect(self._repaint_marks)

    def _lay_out(self) -> None:
        title = QHBoxLayout()
        title.addWidget(heading("Open questions"))
        title.addStretch(1)
        title.addWidget(self.count)
        buttons = QHBoxLayout()
        buttons.addWidget(self.more)
        buttons.addWidget(self.copy_letter)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID // 2)
        column.addLayout(title)
        column.addWidget(self.tree, 1)
        column.addWidget(self.sentence)
        column.addLayout(buttons)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show the questions as they are now; the chosen one and closed groups stay so."""
        self._questions = {question.id: question for question in appraisal.questions}
        self.count.setText(letters.open_line(appraisal))
        groups = letters.question_groups(appraisal)
        lines = [_lines_of(group, appraisal) for group in groups]
        if lines != self._lines:
            self._lines = lines
            self._show_lines()
        self._show_chosen()

    def _show_lines(self) -> None:
        """Build the tree anew: after most edits the same questions stand open, told alike."""
        kept = self.question()
        closed = {item.data(0, _ROLE) for item in self._groups() if not item.isExpanded()}
        self.tree.clear()
        for title, bid, lines in self._lines:
            top = tree_item(self.tree, title)
            top.setData(0, _ROLE, bid)
            font = top.font(0)
            font.setBold(True)
            top.setFont(0, font)
            for line in lines:
                self._add(top, line)
            top.setExpanded(bid not in closed)
        if kept is not None:
            self.choose(kept.id)

    def _add(self, top: QTreeWidgetItem, line: _Line) -> None:
        item = tree_item(top, line.what)
        item.setData(0, BelowRole, visible_line(line.whose))
        item.setData(
            0, Qt.ItemDataRole.AccessibleTextRole, visible_line(f"{line.what}, {line.whose}")
        )
        item.setData(0, _ROLE, line.question)
        item.setIcon(0, mark_icon(_MARKS[line.state], self._theme.colours))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Word a question in full where it is pointed at: of hundreds most never are."""
        appraisal = self._session.appraisal
        if isinstance(event, QHelpEvent) and appraisal is not None:
            item = self.tree.itemAt(event.pos())
            question = None if item is None else self._questions.get(item.data(0, _ROLE))
            if question is not None:
                point_out(event.globalPos(), question_text(question, appraisal), self.tree)
                return True
        return super().eventFilter(watched, event)

    def choose(self, question: str) -> None:
        """Choose the question of that id."""
        for item in self._items():
            if item.data(0, _ROLE) == question:
                self.tree.setCurrentItem(item)

    def question(self) -> Question | None:
        """Return the chosen question, or None."""
        item = self.tree.currentItem()
        if item is None or item.parent() is None:
            return None
        return self._questions.get(item.data(0, _ROLE))

    def _groups(self) -> list[QTreeWidgetItem]:
        tops = (self.tree.topLevelItem(place) for place in range(self.tree.topLevelItemCount()))
        return [top for top in tops if top is not None]

    def _items(self) -> list[QTreeWidgetItem]:
        """Return the question's items, group by group."""
        children = (
            group.child(place) for group in self._groups() for place in range(group.childCount())
        )
        return [item for item in children if item is not None]

    def _repaint_marks(self) -> None:
        for item in self._items():
            question = self._questions[item.data(0, _ROLE)]
            item.setIcon(0, mark_icon(_MARKS[question.state], self._theme.colours))

    def _bid(self) -> str | None:
        """Return the offer whose group is chosen, or None."""
        item = self.tree.currentItem()
        if item is None:
            return None
        bid = (item.parent() or item).data(0, _ROLE)
        return bid if isinstance(bid, str) and bid else None

    def _show_chosen(self) -> None:
        question, appraisal = self.question(), self._session.appraisal
        text = ""
        if question is not None and appraisal is not None:
            text = question_text(question, appraisal)
        self.sentence.setText(text)
        self.sentence.setVisible(bool(text))
        layout, item = self.layout(), self.tree.currentItem()
        if layout is not None and item is not None:
            # The sentence takes height from the tree: what it is of stays in sight.
            layout.activate()
            self.tree.scrollToItem(item)
        self.more.setEnabled(question is not None)
        self.copy_letter.setEnabled(self._bid() is not None)

    def _go(self) -> None:
        """Go to the claim that raised the question and to its datum."""
        question = self.question()
        if question is None:
            return
        if question.claim is not None:
            owner = question.barrels[0] if question.barrels else question.bid or ""
            self._session.show_working.emit(ClaimRef(owner, question.claim))
        path = answers.place_to_go(question, self._session.evaluation)
        if path is not None:
            self.datum_wanted.emit(path)

    def _open_menu(self, position: QPoint | None) -> None:
        menu = self.menu()
        if menu is not None:
            below = self.more.mapToGlobal(self.more.rect().topLeft())
            at = below if position is None else self.tree.viewport().mapToGlobal(position)
            menu.popup(at)

    def menu(self) -> QMenu | None:
        """Return what can be done with the chosen question; None where none is chosen."""
        question = self.question()
        if question is None:
            return None
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        session = self._session
        menu.addAction("Go to &datum", self._go)
        menu.addSeparator()
        menu.addAction("Mark &asked", lambda: question_actions.mark(session, question, "asked"))
        menu.addAction("A&nswered…", lambda: question_actions.answer(session, question, self))
        menu.addAction(
            "Accept as it &is", lambda: question_actions.mark(session, question, "accepted_as_is")
        )
        if question.state != "open":
            menu.addAction("&Open again", lambda: question_actions.mark(session, question, "open"))
        return menu

    def _copy_letter(self) -> None:
        bid, appraisal = self._bid(), self._session.appraisal
        if bid is not None and appraisal is not None:
            to_clipboard(letters.letter_text(appraisal, bid))
