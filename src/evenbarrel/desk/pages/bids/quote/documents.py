"""The documents of a bid: attached, found again, kept as they are now, removed."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QFileDialog

from evenbarrel.desk.pages.bids.quote.attaching import Attaching
from evenbarrel.desk.pages.bids.quote.loader import Opened
from evenbarrel.desk.pages.bids.quote.panel import QuotePanel
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import new_bid
from evenbarrel.model.documents import with_document, without_document
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import Document
from evenbarrel.model.quantity import Place
from evenbarrel.storage.bid_documents import path_to_keep
from evenbarrel.wording.sentences.asking import quote


class BidDocuments(QObject):
    """Does to the documents of the bid that is shown what is asked for on the panel of pages."""

    begun = Signal(tuple)
    """Carries the path of the bid whose quote was sent: its pages are to be opened."""
    refused = Signal(str)
    """Carries why a file was not attached."""

    def __init__(self, session: Session, panel: QuotePanel) -> None:
        super().__init__(panel)
        self._session, self._panel = session, panel
        self._attaching = Attaching(self)
        self._attaching.refused.connect(self.refused)
        self.bid: str | None = None
        """The bid that is shown."""
        panel.attach_wanted.connect(self._attach)
        panel.remove_wanted.connect(self._remove)
        panel.keep_wanted.connect(self._keep_changed)

    def bid_now(self) -> Bid | None:
        """Return the bid that is shown as it is now."""
        return next((one for one in self._session.evaluation.bids if one.id == self.bid), None)

    def begin(self, file: Path) -> None:
        """Take a PDF that was sent to the bid that has it, else to a new one."""
        self._attaching.read(file, self._begin)

    def wait(self) -> None:
        """Wait until no file is read any more."""
        self._attaching.wait()

    def _begin(self, file: Path, document: Document) -> None:
        evaluation = self._session.evaluation
        for bid in evaluation.bids:
            if any(one.sha256 == document.sha256 for one in bid.documents):
                self.begun.emit(("bids", bid.id))
                return
        kept = document.replace(id="document1", path=path_to_keep(file, self._session.path))
        fresh = new_bid(evaluation).replace(documents=(kept,))
        self._session.edit(quote.attach_step(kept.name), edits.append(evaluation, ("bids",), fresh))
        self.begun.emit(("bids", fresh.id))

    def _attach(self, wanted: Path | Document | None) -> None:
        """Attach a file; a Document says whose file is to be found again."""
        if isinstance(wanted, Path):
            self._attaching.read(wanted, self._attached)
            return
        take = self._attached if wanted is None else partial(self._found_again, wanted)
        dialog = QFileDialog(self._panel, quote.ATTACH, "", quote.FILES)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.fileSelected.connect(lambda name: self._attaching.read(Path(name), take))
        dialog.open()

    def _attached(self, file: Path, document: Document) -> None:
        bid = self.bid_now()
        if bid is None:
            return
        if any(one.sha256 == document.sha256 for one in bid.documents):
            self._panel.say(quote.already(document.name))
            return
        free = edits.free_id({one.id for one in bid.documents}, "document")
        kept = document.replace(id=free, path=path_to_keep(file, self._session.path))
        self._edit(quote.attach_step(kept.name), kept)
        self._panel.show_place(Place(document=kept.id))

    def _found_again(self, before: Document, file: Path, document: Document) -> None:
        path = path_to_keep(file, self._session.path)
        self._edit(quote.attach_step(document.name), document.replace(id=before.id, path=path))

    def _keep_changed(self, opened: Opened | None) -> None:
        """Take a document that changed for what was attached: the person says it is right."""
        if opened is not None:
            document = opened.document
            kept = document.replace(sha256=opened.digest, pages=opened.pages.count)
            self._edit(quote.attach_step(document.name), kept)

    def _edit(self, step: str, document: Document) -> None:
        bid = self.bid
        if bid is not None:
            evaluation = self._session.evaluation
            self._session.try_edit(step, lambda: with_document(evaluation, bid, document))

    def _remove(self, document: Document | None) -> None:
        bid, evaluation = self.bid, self._session.evaluation
        if bid is not None and document is not None:
            step = quote.remove_step(document.name)
            self._session.try_edit(step, lambda: without_document(evaluation, bid, document.id))
