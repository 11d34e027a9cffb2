"""A document's pages, read and drawn beside the window."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, replace
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from evenbarrel.desk.window.background import Job, Report
from evenbarrel.intake.pages.document import Picture, QuotePages, digest_of
from evenbarrel.intake.pages.search import Hit, search
from evenbarrel.intake.pages.words import Page
from evenbarrel.model.offers.terms import Document
from evenbarrel.storage.bid_documents import read_document
from evenbarrel.storage.file_errors import FileRefused

_KEPT = 8
"""Pictures of pages that are kept, to turn back to at once."""
_SMALLEST = 0.3
"""Pixels a point of a page that is fitted to a narrow width."""


@dataclass(frozen=True, slots=True)
class Opened:
    """A document that was opened: its pages, and whether it is still what was attached."""

    document: Document
    pages: QuotePages
    unchanged: bool
    digest: str


@dataclass(frozen=True, slots=True)
class Wanted:
    """A page that is asked for: so many pixels a point or, with `scale` 0, so many pixels wide."""

    number: int
    scale: float
    width: float


@dataclass(frozen=True, slots=True)
class Shown:
    """A page as it is shown: what it holds, and its picture of so many pixels a point."""

    page: Page
    image: QImage
    scale: float


_Drawn = tuple[Wanted, Page, Picture]


class Loader(QObject):
    """Opens a document and brings its pages, one after the other, off the window's thread.

    What comes late, of a document or a page that is no longer wanted, is dropped.
    """

    opened = Signal(object)
    """Carries what was Opened."""
    refused = Signal(str)
    """Carries why a document or a page is not shown, in one sentence."""
    page_ready = Signal(object)
    """Carries the page that was asked for, Shown."""
    found = Signal(object)
    """Carries the Hits of a search."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.current: Opened | None = None
        self._kept: OrderedDict[Wanted, Shown] = OrderedDict()
        self._wanted: Wanted | None = None
        self._opening, self._drawing, self._ahead, self._search = (Job(self) for _ in range(4))
        self._opening.done.connect(self._take_opened)
        self._drawing.done.connect(self._take_page)
        self._ahead.done.connect(self._keep)
        self._search.done.connect(self.found)
        for job in (self._opening, self._drawing, self._search):
            job.failed.connect(self._refuse)

    @property
    def is_busy(self) -> bool:
        """Whether something is awaited."""
        return any(
            job.is_running for job in (self._opening, self._drawing, self._ahead, self._search)
        )

    def open(self, document: Document, evaluation: Path | None) -> None:
        """Open a document of the evaluation at that path, or of one without a file."""
        self.close()
        self._opening.start(lambda _: _open(document, evaluation))

    def close(self) -> None:
        """Let go of the document."""
        for job in (self._opening, self._drawing, self._ahead, self._search):
            job.stop()
        self._kept.clear()
        if self.current is not None:
            # Beside the window: it waits for whoever is still at its pages.
            pages = self.current.pages
            self._ahead.start(lambda _: pages.close())
            self._ahead.stop()
        self.current = self._wanted = None

    def wait(self) -> None:
        """Wait until nothing runs any more: before the window goes."""
        self.close()
        for job in (self._opening, self._drawing, self._ahead, self._search):
            job.wait()

    def want(self, wanted: Wanted) -> None:
        """Ask for a page; it comes at once where it is kept."""
        opened = self.current
        if opened is None:
            return
        self._wanted = wanted
        kept = self._kept.get(wanted)
        if kept is not None:
            self._drawing.stop()
            self.page_ready.emit(kept)
            self._look_ahead()
        else:
            self._drawing.start(lambda _: _draw(opened, wanted))

    def search(self, wanted: str) -> None:
        """Look for words on every page; `found` carries where they stand."""
        opened = self.current
        if opened is not None:
            self._search.start(lambda report: _find(opened, wanted, report))

    def _take_opened(self, opened: Opened) -> None:
        self.current = opened
        self.opened.emit(opened)

    def _take_page(self, drawn: _Drawn) -> None:
        self._keep(drawn)
        if self._wanted is not None and self._wanted in self._kept:
            self.page_ready.emit(self._kept[self._wanted])
            self._look_ahead()

    def _keep(self, drawn: _Drawn | None) -> None:
        if drawn is None:
            return
        wanted, page, picture = drawn
        image = QImage(
            picture.pixels,
            picture.width,
            picture.height,
            picture.bytes_a_row,
            QImage.Format.Format_RGB32,
        ).copy()
        self._kept[wanted] = Shown(page, image, picture.width / max(1.0, page.width))
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)

    def _look_ahead(self) -> None:
        """Draw the next page while this one is looked at."""
        opened, wanted = self.current, self._wanted
        if opened is None or wanted is None or self._ahead.is_running:
            return
        after = replace(wanted, number=wanted.number + 1)
        if after.number <= opened.pages.count and after not in self._kept:
            self._ahead.start(lambda _: _draw(opened, after))

    def _refuse(self, error: Exception) -> None:
        if not isinstance(error, FileRefused):
            raise error
        self.refused.emit(str(error))


def _open(document: Document, evaluation: Path | None) -> Opened:
    data = read_document(document, evaluation)
    pages = QuotePages(data, document.name)
    digest = digest_of(data)
    return Opened(document, pages, document.sha256 in ("", digest), digest)


def _draw(opened: Opened, wanted: Wanted) -> _Drawn:
    page = opened.pages.page(wanted.number)
    scale = wanted.scale or max(_SMALLEST, wanted.width / max(1.0, page.width))
    return wanted, page, opened.pages.picture(wanted.number, scale)


def _find(opened: Opened, wanted: str, report: Report) -> tuple[Hit, ...]:
    return search(opened.pages, wanted, report)
