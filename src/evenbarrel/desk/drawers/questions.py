"""Open questions: what is to be asked of each supplier, and of us, and what became of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QItemSelectionModel, QObject, QPoint, Qt, Signal
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

from evenbarrel.appraisal.asked import place_to_go
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.drawers import question_actions
from evenbarrel.desk.drawers.two_lines import BelowRole, TwoLines
from evenbarrel.desk.fields.base import LineEdit, QuietCombo
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, point_out, set_tip, tree_item
from evenbarrel.desk.style.state_marks import mark_icon
from evenbarrel.desk.style.theme import GRID, Theme, faint, heading
from evenbarrel.desk.window.session import Session
from evenbarrel.wording.sentences.asking import listing
from evenbarrel.wording.sentences.asking.listing import (
    ListedQuestion,
    QuestionGroup,
    QuestionLine,
    Shown,
)
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


class QuestionsDrawer(QWidget):
    """A group for each supplier and one for us; the chosen question stands in full below."""

    datum_wanted = Signal(tuple)
    """Carries the Path of the datum a question asks for."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._theme = theme
        self._made_from: tuple[object, ...] = ()
        self._groups: tuple[QuestionGroup, ...] = ()
        self._listed: dict[str, ListedQuestion] = {}
        self._closed: set[str] = set()
        self._lines: list[tuple[str, str, tuple[QuestionLine, ...]]] = []
        self.count = faint(Label())
        self.shown = QuietCombo()
        self.shown.setAccessibleName("Which questions are listed")
        self._choices: tuple[Shown, ...] = ()
        self.tree = QTreeWidget()
        self.tree.setAccessibleName("Open questions")
        self.tree.setHeaderHidden(True)
        self.tree.setIndentation(GRID * 2)
        TwoLines(self.tree)
        self.tree.viewport().installEventFilter(self)
        self.tree.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.tree.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.tree.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.sentence = Label()
        self.sentence.setWordWrap(True)
        self.sentence.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.person = LineEdit()
        self.person.setAccessibleName("Who asks or answers")
        self.person.setPlaceholderText("your name")
        self.letter = QPushButton("&Letter…")
        set_tip(self.letter, "All open questions to this supplier as a letter, to edit and send")
        self.more = QPushButton("&Mark…")
        self.more.setAccessibleName("Mark the chosen questions asked, answered or accepted")
        self._lay_out()
        self._connect()

    def _connect(self) -> None:
        self.tree.itemSelectionChanged.connect(self._show_chosen)
        self.tree.currentItemChanged.connect(lambda *_: self._show_chosen())
        self.tree.itemActivated.connect(lambda *_: self._go())
        self.tree.itemCollapsed.connect(lambda item: self._closed.add(item.data(0, _ROLE)))
        self.tree.itemExpanded.connect(lambda item: self._closed.discard(item.data(0, _ROLE)))
        self.tree.customContextMenuRequested.connect(self._open_menu)
        self.shown.activated.connect(lambda _: self._choose_shown())
        self.person.editingFinished.connect(self._take_person)
        self.letter.clicked.connect(lambda: self._session.letter_wanted.emit(self._bid()))
        self.more.clicked.connect(lambda: self._open_menu(None))
        self._theme.changed.connect(self._repaint_marks)

    def _lay_out(self) -> None:
        title = QHBoxLayout()
        title.addWidget(heading("Open questions"))
        title.addStretch(1)
        title.addWidget(self.count)
        who = QHBoxLayout()
        label = faint(Label("&By"))
        label.setBuddy(self.person)
        for widget in (label, self.person, self.more, self.letter):
            who.addWidget(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID // 2)
        nest(column, title)
        column.addWidget(self.shown)
        column.addWidget(self.tree, 1)
        column.addWidget(self.sentence)
        nest(column, who)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Show the questions as they are now; the chosen ones and closed groups stay so."""
        self.person.show_text(self._session.person)
        made_from = listing.made_from(appraisal, self._session.today())
        if made_from != self._made_from:
            self._made_from = made_from
            self._list(appraisal)
        self._show_chosen()

    def _list(self, appraisal: Appraisal) -> None:
        self._groups = listing.question_groups(appraisal, self._session.today())
        self._listed = {one.id: one for group in self._groups for one in group.questions}
        self.count.setText(listing.open_line(appraisal))
        choices, kept = listing.shown_words(self._groups), self._shown()
        self._choices = tuple(choices)
        if self.shown.offered() != list(choices.values()):
            self.shown.clear()
            self.shown.addItems(list(choices.values()))
            self.shown.setCurrentIndex(self._choices.index(kept))
        self._fill()

    def _shown(self) -> Shown:
        place = self.shown.currentIndex()
        return self._choices[place] if self._choices else "waiting"

    def _fill(self) -> None:
        """List the questions of the choice; what was chosen is chosen again where it is listed.

        Where the current one is listed no more the one in its place is current.
        """
        lines = [
            (group.title, group.bid, tuple(one.line for one in group.of(self._shown())))
            for group in self._groups
        ]
        # After most edits the same questions stand open, told alike.
        if lines != self._lines:
            self._lines = lines
            self._show_lines()

    def _choose_shown(self) -> None:
        """List the questions of the choice that was made."""
        self._fill()
        self._show_chosen()

    def _show_lines(self) -> None:
        """Build the tree anew."""
        current, kept = self._key(self.tree.currentItem()), {one.id for one in self._chosen()}
        before = [self._key(item) for item in self._items()]
        self.tree.blockSignals(True)
        self.tree.clear()
        for title, bid, questions in self._lines:
            if questions:
                self._add_group(title, bid, questions)
        items = self._items()
        keys = [self._key(item) for item in items]
        if current in before and items:
            found = keys.index(current) if current in keys else before.index(current)
            item = items[min(found, len(items) - 1)]
            of_group = not current[1]
            if of_group or not kept & {name for name, _ in keys}:
                kept = {self._key(item)[0]}
            flag = QItemSelectionModel.SelectionFlag.NoUpdate
            self.tree.setCurrentItem(item, 0, flag)
        for item, (name, _) in zip(items, keys, strict=True):
            item.setSelected(name in kept)
        self.tree.blockSignals(False)

    def _key(self, item: QTreeWidgetItem | None) -> tuple[str, bool]:
        """Return what an item stands for: a question by its id, or a group by its bid."""
        if item is None:
            return "", True
        return str(item.data(0, _ROLE)), item.parent() is not None

    def _add_group(self, title: str, bid: str, questions: tuple[QuestionLine, ...]) -> None:
        top = tree_item(self.tree, title)
        top.setData(0, _ROLE, bid)
        font = top.font(0)
        font.setBold(True)
        top.setFont(0, font)
        for one in questions:
            item = tree_item(top, one.what)
            below = [visible_line(text) for text in (one.whose, one.became) if text]
            item.setData(0, BelowRole, "\n".join(below))
            spoken = visible_line(", ".join((one.what, *below)))
            item.setData(0, Qt.ItemDataRole.AccessibleTextRole, spoken)
            item.setData(0, _ROLE, one.id)
            item.setIcon(0, mark_icon(_MARKS[one.state], self._theme.colours))
        top.setExpanded(bid not in self._closed)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Word a question in full where it is pointed at: of hundreds most never are."""
        appraisal = self._session.appraisal
        if isinstance(event, QHelpEvent) and appraisal is not None:
            item = self.tree.itemAt(event.pos())
            listed = None if item is None else self._listed.get(item.data(0, _ROLE))
            if listed is not None:
                tip = listing.question_in_full(listed, appraisal)
                point_out(event.globalPos(), tip, self.tree)
                return True
        return super().eventFilter(watched, event)

    def choose(self, question: str) -> None:
        """Choose the question of that id."""
        for item in self._items():
            if item.data(0, _ROLE) == question:
                self.tree.setCurrentItem(item)

    def question(self) -> Question | None:
        """Return the current question; None where there is none, or only what was said of it."""
        listed = self._listed.get(self._current())
        return None if listed is None else listed.question

    def _current(self) -> str:
        name, is_question = self._key(self.tree.currentItem())
        return name if is_question else ""

    def _chosen(self) -> tuple[ListedQuestion, ...]:
        """Return the chosen questions; of a chosen group all that are listed in it."""
        names: dict[str, None] = {}
        for item in self.tree.selectedItems():
            inside = _children(item) or [item]
            names |= dict.fromkeys(str(one.data(0, _ROLE)) for one in inside)
        return tuple(self._listed[name] for name in names if name in self._listed)

    def _standing(self) -> tuple[Question, ...]:
        """Return the chosen questions that still stand and can be marked."""
        return tuple(one.question for one in self._chosen() if one.question is not None)

    def _items(self) -> list[QTreeWidgetItem]:
        """Return the groups' items, each before those of its questions."""
        found: list[QTreeWidgetItem] = []
        for place in range(self.tree.topLevelItemCount()):
            top = self.tree.topLevelItem(place)
            if top is not None:
                found += [top, *_children(top)]
        return found

    def _repaint_marks(self) -> None:
        for item in self._items():
            if item.parent() is not None:
                listed = self._listed[item.data(0, _ROLE)]
                item.setIcon(0, mark_icon(_MARKS[listed.state], self._theme.colours))

    def _bid(self) -> str:
        """Return the offer whose group is chosen, "" where it is ours or none is."""
        item = self.tree.currentItem()
        bid = "" if item is None else str((item.parent() or item).data(0, _ROLE))
        offers = self._session.evaluation.suppliers_bids
        return bid if any(offer.id == bid for offer in offers) else ""

    def _show_chosen(self) -> None:
        listed, appraisal = self._listed.get(self._current()), self._session.appraisal
        text = ""
        if listed is not None and appraisal is not None:
            text = listing.question_in_full(listed, appraisal)
        self.sentence.setText(text)
        self.sentence.setVisible(bool(text))
        layout, item = self.layout(), self.tree.currentItem()
        if layout is not None and item is not None:
            # The sentence takes height from the tree: what it is of stays in sight.
            layout.activate()
            self.tree.scrollToItem(item)
        self.more.setEnabled(bool(self._standing()))
        self.letter.setEnabled(bool(self._bid()))

    def _take_person(self) -> None:
        self._session.person = self.person.text().strip()

    def _go(self) -> None:
        """Go to the claim that raised the question and to its datum."""
        question = self.question()
        if question is None:
            return
        if question.claim is not None:
            owner = question.barrels[0] if question.barrels else question.bid or ""
            self._session.show_working.emit(ClaimRef(owner, question.claim))
        path = place_to_go(question, self._session.evaluation)
        if path is not None:
            self.datum_wanted.emit(path)

    def _open_menu(self, position: QPoint | None) -> None:
        menu = self.menu()
        if menu is not None:
            below = self.more.mapToGlobal(self.more.rect().topLeft())
            at = below if position is None else self.tree.viewport().mapToGlobal(position)
            menu.popup(at)

    def menu(self) -> QMenu | None:
        """Return what can be done with the chosen questions; None where none stands."""
        chosen = self._standing()
        if not chosen:
            return None
        # What is typed as the name counts for what is marked.
        self._take_person()
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        many = "" if len(chosen) == 1 else f" ({len(chosen)})"
        session = self._session
        if not many:
            menu.addAction("Go to &datum", self._go)
            menu.addSeparator()
        menu.addAction(
            f"Mark &asked{many}", lambda: question_actions.mark(session, chosen, "asked")
        )
        if not many:
            menu.addAction("A&nswered…", lambda: question_actions.answer(session, chosen[0], self))
        menu.addAction(
            f"Accept as it &is{many}",
            lambda: question_actions.mark(session, chosen, "accepted_as_is"),
        )
        if any(question.state != "open" for question in chosen):
            menu.addAction(
                f"&Open again{many}", lambda: question_actions.mark(session, chosen, "open")
            )
        if self._bid():
            menu.addSeparator()
            menu.addAction("&Letter…", self.letter.click)
        return menu


def _children(item: QTreeWidgetItem) -> list[QTreeWidgetItem]:
    children = (item.child(place) for place in range(item.childCount()))
    return [child for child in children if child is not None]
