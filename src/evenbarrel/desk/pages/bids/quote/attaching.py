"""A file that is to be attached to a bid, read beside the window."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from evenbarrel.desk.window.background import Job
from evenbarrel.intake.pages.document import QuotePages, digest_of
from evenbarrel.model.terms import Document
from evenbarrel.storage.bid_documents import LARGEST
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import read_content

_LONGEST_NAME = 200


class Attaching(QObject):
    """Reads what is to be attached: its digest, and its pages where it is a PDF."""

    done = Signal(object, object, object)
    """Carries the file, the Document it makes (its path still to be told) and whose place it
    takes, or None."""
    refused = Signal(str)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._job = Job(self)
        self._job.done.connect(lambda made: self.done.emit(*made))
        self._job.failed.connect(self._refuse)

    @property
    def is_busy(self) -> bool:
        """Whether a file is being read."""
        return self._job.is_running

    def read(self, file: Path, instead_of: Document | None = None) -> None:
        """Read a file; `done` or `refused` tells of it."""
        self._job.start(lambda _: (file, document_in(file), instead_of))

    def wait(self) -> None:
        """Wait until nothing runs any more."""
        self._job.wait()

    def _refuse(self, error: Exception) -> None:
        if not isinstance(error, FileRefused):
            raise error
        self.refused.emit(str(error))


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
