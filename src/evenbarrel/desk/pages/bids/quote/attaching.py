"""A file that is to be attached to a bid, read beside the window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from evenbarrel.desk.window.background import Job
from evenbarrel.intake.pages.document import QuotePages, digest_of
from evenbarrel.model.offers.terms import Document
from evenbarrel.storage.bid_documents import LARGEST
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import read_content

_LONGEST_NAME = 200


Take = Callable[[Path, Document], None]
"""Gets a file and the Document it makes, whose id and path are still to be told."""


class Attaching(QObject):
    """Reads what is to be attached: its digest, and its pages where it is a PDF."""

    refused = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._job = Job(self)
        self._job.done.connect(_hand_over)
        self._job.failed.connect(self._refuse)

    @property
    def is_busy(self) -> bool:
        """Whether a file is being read."""
        return self._job.is_running

    def read(self, file: Path, take: Take) -> None:
        """Read a file and hand it over to `take`, or tell why not."""
        self._job.start(lambda _: (take, file, document_in(file)))

    def wait(self) -> None:
        """Wait until nothing runs any more."""
        self._job.wait()

    def _refuse(self, error: Exception) -> None:
        if not isinstance(error, FileRefused):
            raise error
        self.refused.emit(str(error))


def _hand_over(made: tuple[Take, Path, Document]) -> None:
    take, file, document = made
    take(file, document)


def document_in(file: Path) -> Document:
    """Return what a file is as a document of a bid; raises `FileRefused`."""
    data = read_content(file, LARGEST)
    count = None
    if file.suffix.lower() == ".pdf":
        pages = QuotePages(data, file.name)
        count = pages.count
        pages.close()
    name = file.name[:_LONGEST_NAME]
    return Document(id="document", name=name, sha256=digest_of(data), pages=count)
