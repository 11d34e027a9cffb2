"""The pages of a bid's documents with what one does to them: turn, zoom, search, click, draw."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.pages.bids.quote.controls import push, row, tool
from evenbarrel.desk.pages.bids.quote.finder import Finder
from evenbarrel.desk.pages.bids.quote.loader import Loader, Opened, Shown, Wanted
from evenbarrel.desk.pages.bids.quote.page_view import PageView
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import GRID, PROBLEM, Theme, faint
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.words import Box, Page
from evenbarrel.model.offers.terms import Document
from evenbarrel.model.quantity import Place
from evenbarrel.wording.sentences.asking import quote

_ZOOM, _LEAST, _MOST = 1.25, 0.3, 6.0
_PDF = ".pdf"


class QuotePanel(QWidget):
    """Shows one document of a bid; what is done to it is asked for by signals."""

    pointed = Signal(object, float, float)
    """Carries the Page and the point of a click."""
    table_drawn = Signal(object, object)
    """Carries the Page and the Box round a table."""
    reading_wanted = Signal()
    """All pages are to be read."""
    place_drawn = Signal(object, object)
    """Carries the Page and the Box round a number."""
    attach_wanted = Signal(object)
    """Carries the Path of a file that was dropped, or None where it is still to be chosen."""
    remove_wanted = Signal(object)
    narrowest = 330
    """The least width in which everything can be reached [px]."""
    closed = Signal()
    """The person wants no page beside the data."""
    keep_wanted = Signal(object)
    """Carries what was Opened of a document that changed, to be kept as it is now."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.loader = Loader(self)
        self.view = PageView(theme)
        self.choice = QuietCombo()
        self.notice, self.goes_to, self.result = Label(), faint(Label()), Label()
        self.finder, self.which = Finder(), Label()
        self._documents: tuple[Document, ...] = ()
        self._evaluation: Path | None = None
        self._document: Document | None = None
        self._opened: Opened | None = None
        self._number, self._zoom = 1, 0.0
        self._mark: Place | None = None
        self._make_buttons()
        self._lay_out()
        self._connect()
        self.setAcceptDrops(True)
        explain(self, "place.quote")
        self.show_documents((), None, False)

    @property
    def document(self) -> Document | None:
        """The document that is chosen."""
        return self._document

    @property
    def pages(self) -> QuotePages | None:
        """All pages of the document that is open."""
        return None if self._opened is None else self._opened.pages

    @property
    def page(self) -> Page | None:
        """The page that is shown."""
        return self.view.page

    def show_documents(
        self, documents: tuple[Document, ...], evaluation: Path | None, has_bid: bool
    ) -> None:
        """Offer the documents of a bid of the evaluation at that path; show the same one again."""
        self._evaluation = evaluation
        self.attach.setEnabled(has_bid)
        if documents != self._documents or not documents:
            before = None if self._document is None else self._document.id
            self._documents = documents
            self.choice.clear()
            self.choice.addItems([one.name or one.path or one.id for one in documents])
            places = [one.id for one in documents]
            first = next((at for at, one in enumerate(documents) if _is_pdf(one)), 0)
            at = places.index(before) if before in places else first
            self.choice.setCurrentIndex(at)
            if documents:
                self._show(documents[at], self._number if places[at] == before else 1)
            else:
                self._close(quote.NO_DOCUMENT if has_bid else quote.NO_BID)
        self.choice.setEnabled(len(documents) > 1)
        self.remove.setEnabled(bool(documents))

    def show_place(self, place: Place) -> None:
        """Open the page that a number is printed on, and mark it there."""
        document = next((one for one in self._documents if one.id == place.document), None)
        if document is None:
            self.say(quote.PLACE_GONE, problem=True)
            return
        self._mark = place if place.box is not None else None
        self._number = place.page or 1
        if document != self._document:
            self.choice.setCurrentIndex(self._documents.index(document))
            self._show(document, self._number, place)
        else:
            if self.page is not None and self.page.number == self._number:
                self.view.show_marks(_box_of(self._mark, self._number))
            self._bring()
        if place.cell is not None:
            self.say(quote.not_on_page(place.cell, document.name))

    def show_target(self, text: str) -> None:
        """Say where a click goes."""
        if text != self.goes_to.text():
            self.goes_to.setText(text)

    def say(self, text: str, problem: bool = False) -> None:
        """Say what came of a click or a box."""
        self.result.setForegroundRole(PROBLEM if problem else self.foregroundRole())
        self.result.setText(text)
        self.result.setVisible(bool(text))

    def mark_taken(self, box: Box) -> None:
        """Mark the number that was just taken."""
        self._mark = None
        self.view.show_marks(box)

    def turn(self, by: int) -> None:
        """Go so many pages on."""
        count = 0 if self._opened is None else self._opened.pages.count
        wanted = max(1, min(count, self._number + by))
        if wanted != self._number and count:
            self._number = wanted
            self._mark = None
            self.view.show_marks()
            self._bring()

    def zoom(self, steps: int) -> None:
        """Make the page larger, or smaller where `steps` is negative; 0 fits it to the width."""
        zoom = self.view.scale * _ZOOM**steps
        self._zoom = min(_MOST, max(_LEAST, zoom)) if steps else 0.0
        self.fit.setChecked(not steps)
        self._bring()

    def _make_buttons(self) -> None:
        self.back = tool("◀", "Previous page (PgUp)", lambda: self.turn(-1))
        self.on = tool("▶", "Next page (PgDn)", lambda: self.turn(1))
        self.out = tool("−", "Smaller (−)", lambda: self.zoom(-1))
        self.into = tool("+", "Larger (+)", lambda: self.zoom(1))
        self.fit = tool("Fit", "Fit the page to the width", lambda: self.zoom(0))
        self.fit.setCheckable(True)
        self.fit.setChecked(True)
        self.read_all = tool(quote.READ_ALL, quote.READ_ALL_TIP, self.reading_wanted.emit)
        self.read_table = tool(quote.READ_TABLE, quote.READ_TABLE_TIP, self._begin_table)
        self.mark_place = tool(quote.MARK_PLACE, quote.MARK_PLACE_TIP, self._begin_place)
        for button in (self.read_table, self.mark_place):
            button.setCheckable(True)
        self.larger = tool(quote.LARGER, quote.LARGER_TIP, lambda: None)
        self.larger.setCheckable(True)
        self.attach = push(quote.ATTACH, lambda: self.attach_wanted.emit(None))
        self.leave = tool("✕", "Close the quote pages (F7)", self.closed.emit)
        self.remove = push(quote.REMOVE, lambda: self.remove_wanted.emit(self._document))
        self.again = push(quote.FIND_AGAIN, lambda: self.attach_wanted.emit(self._document))
        self.keep = push(quote.KEEP_CHANGED, lambda: self.keep_wanted.emit(self._opened))

    def _lay_out(self) -> None:
        self.choice.setAccessibleName("Document of the offer")
        self.choice.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.choice.setMinimumContentsLength(8)
        self.which.setAccessibleName("Page shown")
        for label, name in (
            (self.notice, "The document's state"),
            (self.goes_to, "Where a click goes"),
            (self.result, "What was read"),
        ):
            label.setWordWrap(True)
            label.setAccessibleName(name)
        line = QHBoxLayout()
        line.addWidget(self.notice, 1)
        line.addWidget(self.again)
        line.addWidget(self.keep)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, 0, 0, GRID // 2)
        column.setSpacing(GRID // 2)
        self._bars = (
            row((self.choice, 1), self.attach, self.remove, self.larger, self.leave),
            row(self.back, self.which, self.on, self.out, self.into, self.fit, (self.finder, 1)),
            row(self.read_all, self.read_table, self.mark_place, None),
        )
        for bar in self._bars[:2]:
            nest(column, bar)
        nest(column, line)
        column.addWidget(self.view, 1)
        nest(column, self._bars[2])
        column.addWidget(self.goes_to)
        column.addWidget(self.result)
        self._show_state("")
        self.say("")

    def _connect(self) -> None:
        self.loader.opened.connect(self._take_opened)
        self.loader.refused.connect(self._refuse)
        self.loader.page_ready.connect(self._take_page)
        self.loader.found.connect(lambda hits: self.finder.take(hits, self._number))
        self.finder.wanted.connect(self._look)
        self.finder.moved.connect(self._go_to_hit)
        self.view.pointed.connect(self._pointed)
        self.view.boxed.connect(self._boxed)
        self.view.turned.connect(self.turn)
        self.view.zoomed.connect(self.zoom)
        self.choice.activated.connect(lambda at: self._show(self._documents[at]))
        leave = QShortcut(QKeySequence("Esc"), self.finder.sought)
        leave.setContext(Qt.ShortcutContext.WidgetShortcut)
        leave.activated.connect(lambda: self.view.setFocus(Qt.FocusReason.OtherFocusReason))
        # While the panel is drawn wider the page follows once, at the end.
        self._settled = QTimer(self)
        self._settled.setSingleShot(True)
        self._settled.setInterval(80)
        self._settled.timeout.connect(self._bring)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the page to the new width."""
        super().resizeEvent(event)
        if not self._zoom and self._opened is not None:
            self._settled.start()

    def minimumSizeHint(self) -> QSize:
        """Return the least size in which everything can be reached."""
        return QSize(self.narrowest, super().minimumSizeHint().height())

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let a file be dropped."""
        if self.attach.isEnabled() and event.mimeData().hasUrls():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Attach what is dropped."""
        for url in event.mimeData().urls():
            if url.isLocalFile():
                self.attach_wanted.emit(Path(url.toLocalFile()))

    def _show(self, document: Document, number: int = 1, mark: Place | None = None) -> None:
        self._close("")
        self._document, self._number = document, number
        set_tip(self.choice, document.name)
        self._mark = mark
        if _is_pdf(document):
            self.view.say(quote.LOADING)
            self.loader.open(document, self._evaluation)
        else:
            self.view.say(quote.not_pages(document.name))

    def _close(self, line: str) -> None:
        self.loader.close()
        self._document = self._opened = self._mark = None
        self.finder.clear()
        self.view.show_marks()
        self.view.show_hits((), ())
        self.view.say(line)
        self._show_state("")
        self.say("")
        self._show_number()

    def _show_state(self, text: str, again: bool = False, keep: bool = False) -> None:
        self.notice.setText(text)
        self.notice.setVisible(bool(text))
        self.again.setVisible(again)
        self.keep.setVisible(keep)

    def _take_opened(self, opened: Opened) -> None:
        self._opened = opened
        self._number = max(1, min(opened.pages.count, self._number))
        if not opened.unchanged:
            self._show_state(quote.changed_since(opened.document.name), keep=True)
        self._bring()

    def _refuse(self, problem: str) -> None:
        if self._opened is None:
            self.view.say("")
            self._show_state(quote.missing(problem), again=True)
        else:
            self.say(f"{problem}.", problem=True)

    def _take_page(self, shown: Shown) -> None:
        self.view.mark = _box_of(self._mark, shown.page.number)
        self.view.show_page(shown, shown.scale / self.view.devicePixelRatioF())
        self._show_hits()
        if shown.page.is_picture:
            self.say(quote.SCANNED)
        elif self.result.text() == quote.SCANNED:
            self.say("")

    def _bring(self) -> None:
        if self._opened is not None:
            self._show_number()
            ratio = self.view.devicePixelRatioF()
            width = self.view.viewport().width() - 2 * GRID
            self.loader.want(Wanted(self._number, round(self._zoom * ratio, 3), width * ratio))

    def _show_number(self) -> None:
        count = 0 if self._opened is None else self._opened.pages.count
        self.which.setText(quote.page_of(self._number, count) if count else "")
        self.back.setEnabled(count > 0 and self._number > 1)
        self.on.setEnabled(self._number < count)
        of_page = (self.out, self.into, self.fit, self.finder)
        for one in (*of_page, self.read_all, self.read_table, self.mark_place):
            one.setEnabled(count > 0)

    def _look(self, wanted: str) -> None:
        if wanted:
            self.loader.search(wanted)
        self._show_hits()

    def _go_to_hit(self, page: int) -> None:
        if page != self._number:
            self._number, self._mark = page, None
            self.view.show_marks()
            self._bring()
        self._show_hits()

    def _show_hits(self) -> None:
        self.view.show_hits(*self.finder.boxes_on(self._number))

    def _begin_table(self) -> None:
        box = self.view.selected_box()
        if self.read_table.isChecked() and box is not None and self.page is not None:
            self._end_mode()
            self.table_drawn.emit(self.page, box)
            return
        self.mark_place.setChecked(False)
        self._set_mode(quote.READ_TABLE_NOW if self.read_table.isChecked() else "")

    def _begin_place(self) -> None:
        self.read_table.setChecked(False)
        self._set_mode(quote.MARK_PLACE_NOW if self.mark_place.isChecked() else "")

    def _set_mode(self, line: str) -> None:
        self.view.mode = "box" if line else "point"
        self.say(line)

    def _end_mode(self) -> None:
        self.read_table.setChecked(False)
        self.mark_place.setChecked(False)
        self._set_mode("")

    def _pointed(self, x: float, y: float) -> None:
        if self.page is not None:
            self.pointed.emit(self.page, x, y)

    def _boxed(self, box: Box) -> None:
        signal = self.place_drawn if self.mark_place.isChecked() else self.table_drawn
        self._end_mode()
        if self.page is not None:
            signal.emit(self.page, box)


def _is_pdf(document: Document) -> bool:
    return (document.path or document.name).lower().endswith(_PDF)


def _box_of(place: Place | None, number: int) -> Box | None:
    if place is None or place.box is None or place.page != number:
        return None
    return Box(*place.box)
