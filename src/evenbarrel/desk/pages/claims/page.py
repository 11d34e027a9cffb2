"""Claims: what each offer says, held against its other numbers and against physics."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QBoxLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.appraisal.references import ClaimRef, Reference, WayOut
from evenbarrel.desk.drawers.question_actions import QuestionActions
from evenbarrel.desk.forms.decision_forms import Values, naming_dialog
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.claims.readings_panel import ReadingsPanel
from evenbarrel.desk.pages.page import Page
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.rows_first import RowsFirst
from evenbarrel.desk.style.scrolling import Scrolling
from evenbarrel.desk.style.theme import GRID, Theme, faint, headed, heading
from evenbarrel.desk.tables.fitting import fit_height, with_broken_headings
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.model.states.difference import EVERYTHING, Difference
from evenbarrel.wording.sentences import claims_page
from evenbarrel.wording.sheets.claims import claims_sheet, offers_sheet

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.results import Question

_HEADING_WIDTH = 12
_CLAIM, _SHARE = 400, 0.45
"""What the chosen claim keeps [px], and how much of a low page it takes at most."""
_BOTH_WIDE = 720
"""What a claim in words and what was printed take beside each other [px]."""
_OFFERS_SEEN, _FEWER, _LOW = 6, 4, 680
"""How many offers are seen at most, in a page lower than so many pixels too."""

_ROWS_SEEN = 3
"""So many barrels are seen however low the window is."""
_ROWS_ABOVE = 2
"""Rows seen above the chosen claim's."""


class ClaimPanel(QWidget):
    """One claim in full: its numbers, the probable cause, the question, what was printed."""

    datum_wanted = Signal(tuple)
    """Carries the Path of the datum to go to."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._reference: ClaimRef | None = None
        self.title = heading("", 1.0, lines=2)
        self.sentence, self.cause, self.question, self.decision = (Label() for _ in range(4))
        for label in (self.sentence, self.cause, self.question, self.decision):
            label.setWordWrap(True)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.printed = SheetView(theme, "Printed numbers of the claim")
        self.printed.rows_fitted.connect(lambda: fit_height(self.printed))
        self.readings = ReadingsPanel(session)
        self.name = QPushButton("Na&me and reason…")
        self.unsettle = QPushButton("&Take the decision back")
        self.go = QPushButton("&Go to datum")
        self.working = QPushButton("Show &working")
        self.asking = QuestionActions(session)
        explain(self.asking, "place.questions")
        explain(self.readings, "reading")
        self.name.clicked.connect(self._name)
        self.unsettle.clicked.connect(self._unsettle)
        self.go.clicked.connect(self._go)
        self.working.clicked.connect(self._show_working)
        self._lay_out()

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        for button in (self.name, self.unsettle, self.go, self.working):
            buttons.addWidget(button)
        buttons.addStretch(1)
        words = QVBoxLayout()
        words.setSpacing(GRID)
        for widget in (self.sentence, self.cause, self.decision):
            words.addWidget(widget)
        words.addStretch(1)
        self._halves = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._halves.setSpacing(GRID * 2)
        nest(self._halves, words, 1)
        self._halves.addWidget(self.printed, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID * 2, GRID, GRID * 2, GRID)
        column.setSpacing(GRID)
        column.addWidget(self.title)
        nest(column, self._halves)
        column.addWidget(self.readings)
        nest(column, buttons)
        column.addWidget(self.question)
        column.addWidget(self.asking)
        column.addStretch(1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put what was printed below the words where they have no room beside each other."""
        super().resizeEvent(event)
        way = QBoxLayout.Direction
        beside = self.width() >= _BOTH_WIDE
        self._halves.setDirection(way.LeftToRight if beside else way.TopToBottom)

    @property
    def reference(self) -> ClaimRef | None:
        """The claim shown, or None."""
        return self._reference

    def show_claim(self, appraisal: Appraisal, reference: ClaimRef | None) -> None:
        """Show a claim as it is now; nothing where there is none."""
        self._reference = reference
        claim_words = (
            None if reference is None else claims_page.claim_in_words(appraisal, reference)
        )
        if claim_words is None:
            self._reference = None
            self.title.setText(claims_page.CHOOSE)
        else:
            self.title.setText(claim_words.title)
            self.printed.set_sheet(claims_page.printed_sheet(claim_words))
            fit_height(self.printed)
        for label, text in (
            (self.sentence, "" if claim_words is None else claim_words.sentence),
            (self.cause, "" if claim_words is None else claim_words.cause),
            (self.decision, "" if claim_words is None else claim_words.decision),
        ):
            label.setText(text)
            label.setVisible(bool(text))
        self.printed.setVisible(claim_words is not None)
        self._show_question(None if claim_words is None else claim_words.question, appraisal)
        self._show_buttons(appraisal)

    def _show_question(self, question: Question | None, appraisal: Appraisal) -> None:
        text = "" if question is None else claims_page.question_line(question, appraisal)
        self.question.setText(text)
        self.question.setVisible(bool(text))
        self.asking.show_question(question)

    def _show_buttons(self, appraisal: Appraisal) -> None:
        barrel = self._barrel(appraisal.evaluation)
        of_volume = self._reference is not None and self._reference.key == "volume_geometry"
        owner = barrel.id if of_volume and barrel is not None else None
        self.readings.show_barrel(appraisal, owner)
        settled = of_volume and barrel is not None and barrel.settled is not None
        for button in (self.name, self.unsettle):
            button.setVisible(settled)
        for button in (self.go, self.working):
            button.setVisible(self._reference is not None)

    def _barrel(self, evaluation: Evaluation) -> Barrel | None:
        owner = None if self._reference is None else self._reference.owner
        return next((b for _, _, b in evaluation.barrels() if b.id == owner), None)

    def _name(self) -> None:
        session, barrel = self._session, self._barrel(self._session.evaluation)
        if barrel is None or barrel.settled is None:
            return
        settled, name = barrel.settled, barrel.id

        def take(values: Values) -> None:
            session.try_edit(
                "Name and reason of the decision on volume",
                lambda: changes.settled(session.evaluation, name, settled.replace(**values)),
            )

        dialog = naming_dialog(settled.person, settled.reason, settled.date, self)
        dialog.answered.connect(take)
        dialog.open()

    def _unsettle(self) -> None:
        barrel = self._barrel(self._session.evaluation)
        if barrel is not None:
            after = changes.settled(self._session.evaluation, barrel.id, None)
            self._session.edit("Take back the decision on volume", after)

    def _go(self) -> None:
        appraisal = self._session.appraisal
        if appraisal is not None and self._reference is not None:
            claim_words = claims_page.claim_in_words(appraisal, self._reference)
            if claim_words is not None:
                path = changes.datum_path(appraisal.evaluation, *claim_words.datum)
                self.datum_wanted.emit(path)

    def _show_working(self) -> None:
        if self._reference is not None:
            self._session.show_working.emit(self._reference)


class ClaimsPage(Page):
    """Offers above, barrels against claims in the middle, the chosen claim in full below."""

    def __init__(self, session: Session, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.words = Label()
        self.words.setWordWrap(True)
        self.empty = faint(Label(claims_page.EMPTY))
        self.empty.setWordWrap(True)
        self.offers = SheetView(theme, "Offers: validity and completeness")
        # Which numbers are missing is told in full below; the barrels need the room.
        self.offers.keep_rows_low()
        self.grid = SheetView(theme, "Barrels down, claims across")
        self.grid.keep_in_sight(2)
        self.grid.narrow_to_marks()
        self.grid.end_with_rows(_ROWS_SEEN)
        self.panel = ClaimPanel(session, theme)
        for view in (self.offers, self.grid):
            view.opened.connect(self.choose)
        self.panel.datum_wanted.connect(self.datum_wanted)
        self.offers.rows_fitted.connect(self._fit_offers)
        self._lay_out()

    def _lay_out(self) -> None:
        # In a low window the claim scrolls, nothing of it is cut off.
        self._frame = Scrolling(self.panel, framed=True)
        self._frame.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.splitter = RowsFirst(self.grid, self._frame)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        nest(column, headed("Claims", self.words))
        column.addWidget(self.empty)
        column.addWidget(self.offers)
        column.addWidget(self.splitter, 1)
        # Where there is nothing to show, the words stay at the top.
        column.addStretch()

    def show_appraisal(self, appraisal: Appraisal, difference: Difference = EVERYTHING) -> None:
        """Show every claim as it is now; the chosen one stays chosen."""
        if difference.touches_claims:
            self._show_claims(appraisal)
        self.panel.show_claim(appraisal, self.panel.reference)
        if self.panel.reference is None:
            # The worst stands open from the start, and where the chosen one is gone.
            self.panel.show_claim(appraisal, appraisal.worst_claim)
        self._mark_chosen(appraisal)

    def _show_claims(self, appraisal: Appraisal) -> None:
        has_bids = bool(appraisal.bids)
        self.words_alone = not has_bids
        self.words.setText(claims_page.words_first(appraisal))
        self.empty.setVisible(not has_bids)
        for widget in (self.words, self.offers, self.splitter):
            widget.setVisible(has_bids)
        self.offers.set_sheet(offers_sheet(appraisal))
        self._fit_offers()
        self.grid.set_sheet(with_broken_headings(claims_sheet(appraisal), _HEADING_WIDTH))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave more of a low page to the chosen claim."""
        super().resizeEvent(event)
        self._fit_offers()
        self._frame.setMinimumHeight(min(_CLAIM, round(_SHARE * self.height())))

    def _fit_offers(self) -> None:
        fit_height(self.offers, _FEWER if self.height() < _LOW else _OFFERS_SEEN)

    def open_claim(self, reference: ClaimRef) -> None:
        """Show a claim in full, the keyboard on what can be done about it."""
        self.choose(reference)
        self.panel.go.setFocus(Qt.FocusReason.OtherFocusReason)

    def point_at(self, shown: Reference | WayOut) -> None:
        """Show a claim in full, with its working."""
        self.choose(shown)
        self._session.show_working.emit(shown)

    def choose(self, reference: Reference | WayOut) -> None:
        """Show one claim in full, and its cell among the others."""
        if self._session.appraisal is not None and isinstance(reference, ClaimRef):
            self.panel.show_claim(self._session.appraisal, reference)
            self._mark_chosen(self._session.appraisal)

    def _mark_chosen(self, appraisal: Appraisal) -> None:
        """Make the cell of the claim that is shown in full the current one, in sight."""
        chosen = self.panel.reference
        if chosen is None:
            return
        barrels = [barrel.id for barrel in appraisal.barrels]
        for view, owners in ((self.grid, barrels), (self.offers, [b.id for b in appraisal.bids])):
            if chosen.owner not in owners:
                continue
            row = owners.index(chosen.owner)
            cells = view.sheet_model.sheet.rows[row]
            column = next(at for at, one in enumerate(cells) if one.reference == chosen)
            index = view.sheet_model.index(row, column)
            if index != view.currentIndex():
                view.setCurrentIndex(index)
                # Near the top: the panel below may still take of the grid's height.
                above = view.sheet_model.index(max(0, row - _ROWS_ABOVE), column)
                view.scrollTo(above, QAbstractItemView.ScrollHint.PositionAtTop)
