"""Where bids are collected: the offers, or in their place an extract or two revisions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import ValidationError
from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.collecting.collector import Collector, Read
from evenbarrel.desk.collecting.extract_panel import ExtractPanel
from evenbarrel.desk.collecting.reopening import chosen_on, open_again
from evenbarrel.desk.collecting.revision_view import RevisionView
from evenbarrel.desk.collecting.ways import Wish
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, Theme
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.intake.accepting.keeping_up import kept_up
from evenbarrel.intake.accepting.left_open import LeftOpen, kept_of
from evenbarrel.intake.accepting.revising import revision_of
from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.extract import Extract
from evenbarrel.model.changes import all_ids
from evenbarrel.model.datum_path import BarrelPath, Path, TypedText, UnitPath
from evenbarrel.storage.autosave import KeptOpen
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.asking import collecting as words

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.model.evaluation import Evaluation


class CollectingArea(QWidget):
    """Holds the offers of the page, and shows an extract in their place while one is looked at.

    An extract stays open behind the offers until it is taken or put away.
    """

    taken = Signal(tuple)
    """Carries the Path of what was taken first: a unit, else the bid."""
    front_changed = Signal()
    """The offers are in front now, or no longer."""

    def __init__(self, session: Session, theme: Theme, offers: QWidget) -> None:
        super().__init__()
        self._session = session
        self._offers = offers
        self.notice = Notice()
        self.collector = Collector(session, self.notice, self)
        self.panel = ExtractPanel(theme)
        self.revisions = RevisionView(theme)
        self._compared = ""
        self._open = QFrame()
        self._open.setFrameShape(QFrame.Shape.StyledPanel)
        self.open_line = Label()
        self.back = QPushButton(words.BACK)
        self.back.setAutoDefault(True)
        self._stack = QStackedWidget()
        self._lay_out()
        self._connect()

    @property
    def offers_in_front(self) -> bool:
        """Whether the offers themselves are seen."""
        return self._stack.currentWidget() is self._offers

    def collect(self, wish: Wish) -> None:
        """Do what a person wants done of collecting bids."""
        wish(self.collector)

    def show_offers(self) -> None:
        """Bring the offers to the front; an extract stays open behind them."""
        self._show(self._offers)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Keep an extract, or two revisions, up with what is entered now."""
        self.panel.follow(appraisal.evaluation)
        if self._stack.currentWidget() is self.revisions:
            self._compare(self._compared)

    def not_taken(self, evaluation: Evaluation) -> tuple[TypedText, ...]:
        """Return what a person did to an extract and would lose with it."""
        return tuple(TypedText((), one) for one in self.panel.refused())

    def take_back(self, typed: TypedText, evaluation: Evaluation) -> bool:
        """Return False: what was typed into an extract comes back with it."""
        return False

    def left_open(self) -> KeptOpen | None:
        """Return the extract that stands open, as it is kept aside; None where none does.

        One that cannot be kept is refused in words and counts as none: the evaluation is kept.
        """
        evaluation, panel, sent = self._session.evaluation, self.panel, self.collector.current
        # An evaluation that is still being appraised was not shown to it yet.
        panel.follow(evaluation)
        if panel.extract is None or sent is None:
            return None
        chosen = chosen_on(panel, not self.offers_in_front)
        try:
            return kept_of(LeftOpen(panel.extract, chosen, sent, self.collector.waiting))
        except FileRefused as refused:
            self._session.refused.emit(pages.not_kept(str(refused)))
            return None

    def forget_gone(self, evaluation: Evaluation) -> None:
        """Forget nothing: an extract is kept up with the evaluation by itself."""

    def forget_typed(self) -> None:
        """Forget nothing: an extract is put away by itself, and says so."""

    def _lay_out(self) -> None:
        row = QHBoxLayout(self._open)
        row.setContentsMargins(GRID, GRID // 2, GRID, GRID // 2)
        row.addWidget(self.open_line, 1)
        row.addWidget(self.back)
        self._open.hide()
        for widget in (self._offers, self.panel, self.revisions):
            self._stack.addWidget(widget)
        self._show(self._offers)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GRID // 2)
        column.addWidget(self.notice)
        column.addWidget(self._open)
        column.addWidget(self._stack, 1)

    def _connect(self) -> None:
        self.collector.was_read.connect(self._look_through)
        self.collector.revision_wanted.connect(self._revise)
        self.collector.comparison_wanted.connect(self._compare)
        self.panel.worked_on.connect(self._session.keep_soon)
        self.panel.take_wanted.connect(self._take)
        self.panel.put_away.connect(self._put_away)
        self.panel.look_wanted.connect(self.show_offers)
        self.panel.offer_wanted.connect(self.collector.read_again)
        self.revisions.closed.connect(self.show_offers)
        self.revisions.opened.connect(self._session.show_working)
        self.back.clicked.connect(lambda: self._show(self.panel))
        self.collector.left_open.connect(self._open_again)
        self._session.opened.connect(self._forget)
        self._session.left_open = self.left_open

    def _show(self, widget: QWidget) -> None:
        policy = QSizePolicy.Policy
        for one in (self._offers, self.panel, self.revisions):
            # What lies behind takes no room: else the offers were as wide as an extract.
            wanted = policy.Preferred if one is widget else policy.Ignored
            one.setSizePolicy(wanted, wanted)
        self._stack.setCurrentWidget(widget)
        waits = self.panel.is_open and widget is not self.panel
        self._open.setVisible(waits)
        if waits:
            self.open_line.setText(words.open_line(self.panel.holds))
        if widget is self.panel and self.isVisible():
            self.panel.table.setFocus()
        self.front_changed.emit()
        if self.panel.is_open:
            self._session.keep_soon()

    def _open_again(self, left: LeftOpen) -> None:
        open_again(self.panel, self._session.evaluation, left)
        self._show(self.panel if left.chosen.in_front else self._offers)

    def _look_through(self, read: Read, waiting: int) -> None:
        evaluation, extract = self._session.evaluation, read.extract
        if evaluation is not read.evaluation:
            extract = kept_up(extract, evaluation, frozenset(all_ids(read.evaluation)))
        if read.again:
            self.panel.open_again(evaluation, extract)
        else:
            self.panel.open(evaluation, extract, waiting, fixed=False)
        self._show(self.panel)

    def _revise(self, bid: str, before: str) -> None:
        if self.collector.is_busy:
            self.notice.show_message(words.ONE_AT_A_TIME)
            return
        evaluation = self._session.evaluation
        self.collector.hold(bid)
        self.panel.open(evaluation, revision_of(evaluation, bid, before), 0, fixed=True)
        self._show(self.panel)

    def _take(self, noted: tuple[int, ...]) -> None:
        evaluation = self._session.evaluation
        # An evaluation that is still being appraised was not shown to it yet.
        self.panel.follow(evaluation)
        extract, ticked = self.panel.extract, tuple(sorted(self.panel.ticked))
        assert extract is not None
        try:
            after = self._answered(take(evaluation, extract, ticked, noted), extract)
        except ValidationError as error:
            self.panel.show_problem(words.does_not_fit(str(error.errors()[0]["msg"])))
            return
        first = _first_taken(extract, ticked)
        self.panel.close_extract()
        self._show(self._offers)
        self._session.edit(words.taking(self.panel.holds), after)
        self.taken.emit(first)
        self.notice.show_message(words.taken_line(len(ticked) + len(noted), self.panel.holds))
        self.collector.go_on()

    def _answered(self, after: Evaluation, extract: Extract) -> Evaluation:
        """Return what was taken with the questions marked that a returned data sheet answers."""
        if not extract.is_returned:
            return after
        # Loaded where it is wanted: it brings the appraisal along.
        from evenbarrel.appraisal.appraise import appraise
        from evenbarrel.intake.data_sheet.answering import with_questions_answered

        session = self._session
        appraisal = session.appraisal if session.is_current else None
        questions = (appraisal or appraise(session.evaluation)).questions
        return with_questions_answered(
            session.evaluation, after, extract, questions, session.today(), session.person
        )

    def _put_away(self) -> None:
        self.panel.close_extract()
        self._session.keep_soon()
        self._show(self._offers)
        self.collector.go_on()

    def _forget(self) -> None:
        """Another evaluation was opened: what was read for the one before is of no use."""
        was_open = self.panel.is_open
        self.collector.give_up()
        self.panel.close_extract()
        self._show(self._offers)
        if was_open:
            self.notice.show_message(words.put_away(self.panel.holds))
        else:
            self.notice.hide()

    def _compare(self, bid: str) -> None:
        # Loaded where it is wanted: it brings the decision along.
        from evenbarrel.decision.revision import revision

        evaluation = self._session.evaluation
        known = any(one.id == bid for one in evaluation.bids)
        compared = revision(evaluation, bid) if known else None
        if compared is None:
            self.show_offers()
            return
        self._compared = bid
        self.revisions.show_revision(compared)
        self._show(self.revisions)
        self.revisions.tabs.setFocus()


def _first_taken(extract: Extract, ticked: tuple[int, ...]) -> Path:
    things = (extract.lines[place].thing for place in ticked)
    for thing in things:
        if isinstance(thing, UnitPath | BarrelPath):
            return thing.path[:4]
    return extract.bid.path
