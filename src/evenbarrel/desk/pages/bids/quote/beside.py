"""The quote beside the forms of Bids: what a click, a box and a number's place do."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QApplication, QWidget

from evenbarrel.desk.collecting.area import CollectingArea
from evenbarrel.desk.forms.form import Form
from evenbarrel.desk.pages.bids.quote.documents import BidDocuments
from evenbarrel.desk.pages.bids.quote.panel import QuotePanel
from evenbarrel.desk.pages.bids.quote.targets import (
    FormTarget,
    LineTarget,
    Put,
    SheetTarget,
    Target,
    field_of,
)
from evenbarrel.desk.pages.bids.screw_sheet import ScrewSheet
from evenbarrel.desk.style.buttons import keeping_action
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.session import Session
from evenbarrel.entry.shapes import written
from evenbarrel.intake.extract import Finding, FoundAt, Line
from evenbarrel.intake.pages.numbers import Found, value_at
from evenbarrel.intake.pages.printed import extract_printed
from evenbarrel.intake.pages.words import Box, Page, words_within
from evenbarrel.intake.sent import Printed, Sent
from evenbarrel.intake.sources import Source, context_of
from evenbarrel.model import quantity
from evenbarrel.model.datum_path import Path
from evenbarrel.model.offers.terms import Document
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.sentences.asking import quote
from evenbarrel.wording.sentences.asking.extracts import finding_text

_NOT_OFF_A_PAGE = frozenset({"marks", "nested"})


class QuoteBeside(QObject):
    """Ties the panel of pages to the fields that wait for what is printed on them."""

    table_read = Signal(object)
    """Carries what was Sent: what is printed in a box, or on all pages."""
    begun = Signal(tuple)
    """Carries the path of the bid whose quote was opened."""
    shown_changed = Signal()
    """The pages stand beside the data now, or no longer."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        sheet: ScrewSheet,
        put: Put,
        chosen_bid: Callable[[], str | None],
    ) -> None:
        super().__init__(sheet)
        self._session, self._put, self._chosen_bid = session, put, chosen_bid
        self._forms: list[Form] = []
        self._sheet = sheet
        self._target: Target = SheetTarget(sheet)
        self._line: LineTarget | None = None
        self.toggle: QAction | None = None
        self.panel = QuotePanel(theme)
        self.documents = BidDocuments(session, self.panel)
        self.panel.hide()
        self._connect()

    @property
    def is_shown(self) -> bool:
        """Whether the pages stand beside the data."""
        return self.toggle is not None and self.toggle.isChecked()

    def make_actions(self, page: QWidget) -> None:
        """Add the steps of the quote's pages to a page: show them, a number's place, find words."""
        self.toggle = keeping_action(page, quote.PANEL, "F7", self.show_pages)
        self.toggle.setCheckable(True)
        keeping_action(page, quote.PLACE_TIP, "Ctrl+Shift+P", self._show_waiting_place)
        self.to_words = keeping_action(page, quote.FIND, "Ctrl+F", self._find_words)
        self.read_all = keeping_action(page, quote.READ_ALL, "Ctrl+Shift+E", self._read_all)
        self.larger = keeping_action(page, quote.ALL_ROOM, "Shift+F7", self._enlarge)
        self.larger.setCheckable(True)
        self.larger.toggled.connect(self.panel.larger.setChecked)
        self.panel.larger.clicked.connect(self.larger.trigger)

    def show_pages(self, shown: bool) -> None:
        """Show the pages of the chosen bid's quote beside its data, or nothing there."""
        if self.toggle is not None:
            self.toggle.setChecked(shown)
            self.larger.setChecked(shown and self.larger.isChecked())
        self.panel.setVisible(shown)
        self.shown_changed.emit()
        self.follow()

    def follow(self) -> None:
        """Show the documents of the bid that is chosen, where pages are shown at all."""
        if self.is_shown:
            self.show_bid(self._chosen_bid())

    def _show_waiting_place(self) -> None:
        self.show_place(self.place_waiting())

    def _enlarge(self, on: bool) -> None:
        """Open the pages with all the room there is, where they are not beside the data yet."""
        if on and not self.is_shown:
            self.show_pages(True)
            self.larger.setChecked(True)

    def _find_words(self) -> None:
        self.show_pages(True)
        self.panel.finder.begin()

    def _connect(self) -> None:
        panel = self.panel
        panel.pointed.connect(self._take_at)
        panel.table_drawn.connect(self._read_table)
        panel.reading_wanted.connect(self._read_all)
        panel.place_drawn.connect(self._keep_place)
        panel.closed.connect(lambda: self.show_pages(False))
        self._sheet.strip.place_wanted.connect(self.show_place)
        self.documents.refused.connect(self._show_refused)
        self.documents.begun.connect(self._begin)
        self._sheet.view.selectionModel().currentChanged.connect(lambda *_: self._show_target())
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._follow_focus)

    def join(self, collecting: CollectingArea) -> None:
        """Hand tables over to be looked through, and open the pages of what is sent."""
        self.table_read.connect(collecting.collector.read_printed)
        collecting.collector.quote_sent.connect(self.documents.begin)
        collecting.panel.line_chosen.connect(self.show_found)
        self._line = LineTarget(collecting.panel)
        collecting.front_changed.connect(self._show_target)

    def add_form(self, form: Form) -> None:
        """Let the fields of a form wait for numbers too."""
        self._forms.append(form)
        form.place_wanted.connect(lambda _, place: self.show_place(place))

    def show_bid(self, bid: str | None) -> None:
        """Show the documents of a bid, none where none is chosen."""
        self.documents.bid = bid
        found = self.documents.bid_now()
        documents = () if found is None else found.documents
        self.panel.show_documents(documents, self._session.path, found is not None)
        self._show_target()

    def show_place(self, place: quantity.Place | None) -> None:
        """Open the page that a number of the chosen bid is printed on, and mark it."""
        self.show_pages(True)
        if place is None:
            self.panel.say(quote.NO_PLACE)
        else:
            self.panel.show_place(place)

    def show_found(self, document: Document | None, line: Line) -> None:
        """Mark where a line of an extract was found, where its document is the one in sight."""
        self._show_target()
        shown, found = self.panel.document, line.place
        same = shown is not None and document is not None and shown.sha256 == document.sha256
        if self.is_shown and shown is not None and same and found.page is not None:
            place = quantity.Place(document=shown.id, page=found.page, box=found.box)
            self.panel.show_place(place)

    def wait(self) -> None:
        """Wait until nothing runs beside the window."""
        self.panel.loader.wait()
        self.documents.wait()

    def place_waiting(self) -> quantity.Place | None:
        """Return where the number in the field that waits is printed, if it is kept."""
        waiting = self._target.waiting()
        return None if waiting is None else getattr(waiting.value, "place", None)

    def _follow_focus(self, _: QWidget | None, now: QWidget | None) -> None:
        """The field that had the keyboard last is the one that waits."""
        if now is None:
            return
        if now is self._sheet.view or self._sheet.view.isAncestorOf(now):
            self._target = SheetTarget(self._sheet)
        for form in self._forms:
            name = field_of(now, form)
            if name is not None:
                self._target = FormTarget(form, name, self._put)
        self._show_target()

    def _show_target(self) -> None:
        waiting = self._target_now().waiting()
        line = self._nothing_waits() if waiting is None else quote.goes_to(waiting.name)
        self.panel.show_target(line)

    def _target_now(self) -> Target:
        """Return the extract's line in focus while one is looked through, else the field."""
        line = self._line
        return self._target if line is None or not line.panel.isVisible() else line

    def _nothing_waits(self) -> str:
        in_line = isinstance(self._target_now(), LineTarget)
        return quote.NO_DATUM_WAITS if in_line else quote.NOTHING_WAITS

    def _source(self) -> Source | None:
        document = self.panel.document
        return None if document is None else Source(document.name, document)

    def _take_at(self, page: Page, x: float, y: float) -> None:
        target = self._target_now()
        waiting, source, panel = target.waiting(), self._source(), self.panel
        if waiting is None or source is None:
            panel.say(self._nothing_waits())
            return
        if waiting.shape.kind in _NOT_OFF_A_PAGE:
            panel.say(quote.TYPED_BY_HAND)
            return
        context = context_of(self._session.evaluation, self.documents.bid_now())
        found = value_at(page, x, y, waiting.shape, context)
        if found is None:
            panel.say(quote.NOT_A_WORD)
            return
        noticed = _finding_texts(found.reading.findings)
        if found.reading.value is None:
            panel.say(quote.not_read(waiting.name, found.text, noticed), problem=True)
            return
        value = source.sourced(found.reading.value, _place(page, found.box))
        if target.take(value, quote.read_step(waiting.name)):
            target.go_on()
            self._show_taken(waiting.name, written(waiting.shape, value, context), found, noticed)
            self._show_target()

    def _show_taken(self, name: str, value: str, found: Found, noticed: tuple[str, ...]) -> None:
        self.panel.mark_taken(found.box)
        self.panel.say(quote.read_as(name, value, found.text, noticed))

    def _keep_place(self, page: Page, box: Box) -> None:
        """Keep where the number in the field that waits stands, as on a page without text."""
        waiting, source = self._target.waiting(), self._source()
        if waiting is None or source is None:
            self.panel.say(quote.NOTHING_WAITS)
        elif not isinstance(waiting.value, Quantity | Money):
            self.panel.say(quote.NO_NUMBER_YET)
        else:
            placed = source.sourced(waiting.value, _place(page, box))
            kept = waiting.value.replace(
                place=placed.place, source=waiting.value.source or placed.source
            )
            if self._target.take(kept, quote.read_step(waiting.name)):
                self.panel.mark_taken(box)
                self.panel.say(quote.marked(waiting.name, page.number))

    def _read_table(self, page: Page, box: Box) -> None:
        source, bid = self._source(), self.documents.bid_now()
        if source is None or bid is None:
            return
        if not words_within(page, box):
            self.panel.say(f"{source.name}: {quote.NOTHING_IN_BOX}.", problem=True)
            return
        assert source.document is not None
        printed = Printed(source.document, bid.id, page.number, box)
        self._read(quote.printed_on(source.name, page.number), printed, page)

    def _read_all(self) -> None:
        """Read what the tables on all pages hold."""
        source, bid, pages = self._source(), self.documents.bid_now(), self.panel.pages
        if source is not None and source.document is not None and bid is not None and pages:
            self._read(source.name, Printed(source.document, bid.id), None)

    def _read(self, name: str, printed: Printed, page: Page | None) -> None:
        make = partial(extract_printed, printed, page, self.panel.pages)
        self.table_read.emit(Sent(name, printed=printed, make=make))

    def _begin(self, bid: Path) -> None:
        """Open the pages of a bid whose quote was sent."""
        self.begun.emit(bid)
        self.show_pages(True)

    def _show_refused(self, text: str) -> None:
        if self.is_shown:
            self.panel.say(f"{text}.", problem=True)
        else:
            self._session.refused.emit(f"{text}.")


def _place(page: Page, box: Box) -> FoundAt:
    return FoundAt(1, 1, page=page.number, box=box.rounded())


def _finding_texts(findings: tuple[Finding, ...]) -> tuple[str, ...]:
    return tuple(finding_text(one.code, one.detail) for one in findings)
