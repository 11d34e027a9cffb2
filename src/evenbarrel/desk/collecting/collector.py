"""What a supplier sent, read beside the window: one extract after the other."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from evenbarrel.desk.style.plain import on_clipboard
from evenbarrel.desk.window.background import Job, Report, timer_for
from evenbarrel.desk.window.files.exports import Export, Exporter
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.intake.accepting.left_open import left_open
from evenbarrel.intake.accepting.particulars import with_currency
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_file, extract_text
from evenbarrel.intake.sent import Sent
from evenbarrel.intake.tables.cells import TableRefused
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.autosave import KeptOpen
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import read_content
from evenbarrel.storage.personal.fault_log import log_fault
from evenbarrel.wording.sentences import blocks
from evenbarrel.wording.sentences.asking import collecting as words

SHOWN_AFTER_MS = 300
"""What is read sooner needs no word."""


@dataclass(frozen=True, slots=True)
class Read:
    """What was sent with the extract it came to, and the evaluation that was made for."""

    sent: Sent
    evaluation: Evaluation
    extract: Extract
    again: bool


class Collector(QObject):
    """Reads what is chosen, dropped or pasted, and writes what goes out; it never edits.

    Files wait for each other: each is read once the extract before is taken or put away, so that
    it is held against the evaluation as it is by then.
    """

    was_read = Signal(object, int)
    """Carries a Read, and how many more wait."""
    left_open = Signal(object)
    """Carries what an earlier window left open, LeftOpen."""
    quote_sent = Signal(object)
    """Carries the Path of a PDF: its pages are looked at, and make no extract by themselves."""
    typing_wanted = Signal()
    revision_wanted = Signal(str, str)
    """Carries a bid and the one it is said to replace."""
    comparison_wanted = Signal(str)
    """Carries a bid that is to be shown beside the one it replaces."""

    def __init__(self, session: Session, notice: Notice, parent: QWidget) -> None:
        super().__init__(parent)
        self._session, self._notice, self._window = session, notice, parent
        self._waiting: deque[Sent] = deque()
        self._current: Sent | None = None
        self._again = False
        self._refused: list[str] = []
        self.exporter = Exporter(session, notice, Dialogs(parent).file_to_write, self)
        self.job = Job(self)
        self.job.done.connect(self._done)
        self.job.failed.connect(self._failed)
        self._late = timer_for(self._show_reading, SHOWN_AFTER_MS, self)

    def ask_for(self, way: str, several: bool = False) -> None:
        """Ask for the files of a way in, and read them."""
        title = words.WAYS[way].button.replace("&", "").rstrip("…")
        dialog = QFileDialog(self._window, title, "", words.KINDS[way])
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        mode = QFileDialog.FileMode
        dialog.setFileMode(mode.ExistingFiles if several else mode.ExistingFile)
        dialog.filesSelected.connect(lambda names: self.read_files([Path(name) for name in names]))
        dialog.open()

    def read_files(self, paths: Sequence[Path]) -> None:
        """Read files one after the other; the pages of a PDF are opened."""
        for path in paths:
            if path.suffix.lower() == ".pdf":
                self.quote_sent.emit(path)
            else:
                self._waiting.append(Sent(path.name, path))
        self._begin()

    def paste(self) -> None:
        """Read the table on the clipboard, or say why there is none."""
        data = on_clipboard()
        text = data.text() if data.hasText() else ""
        if not text.strip():
            picture = blocks.PICTURE if data.hasImage() else blocks.NO_TEXT
            self._notice.show_message(blocks.WEB_PAGE if data.hasHtml() else picture, problem=True)
            return
        self._waiting.append(Sent(words.PASTED, text=text))
        self._begin()

    def read_printed(self, sent: Sent) -> None:
        """Show what was read off a page, unless an extract is open already."""
        if self._current is not None:
            self._notice.show_message(words.ONE_AT_A_TIME)
            return
        self._waiting.append(sent)
        self._begin()

    @property
    def waiting(self) -> tuple[Sent, ...]:
        """What is read after what is looked through now."""
        return tuple(self._waiting)

    @property
    def current(self) -> Sent | None:
        """What is read or looked through now."""
        return self._current

    def open_again(self, kept: KeptOpen) -> None:
        """Let what an earlier window left open be looked through, or say why it cannot be."""
        try:
            left = left_open(kept)
        except FileRefused as refused:
            self._notice.show_message(f"{refused}.", problem=True)
            return
        self._current, self._waiting = left.sent, deque(left.waiting)
        self.left_open.emit(left)

    @property
    def is_busy(self) -> bool:
        """Whether something is read, or an extract is not taken or put away yet."""
        return self._current is not None

    def hold(self, name: str) -> None:
        """Read nothing before `go_on`: an extract that nobody sent is looked at."""
        self._current = Sent(name)

    def go_on(self) -> None:
        """Read what waits next: the extract before was taken or put away."""
        self._current = None
        self._begin()

    def give_up(self) -> None:
        """Forget what is read and what waits: another evaluation was opened."""
        self.job.stop()
        self._late.stop()
        self._current, self._waiting = None, deque()

    def read_again(self, bid: str) -> None:
        """Read what is shown once more, for another offer; "" is a new one."""
        if self._current is not None:
            self._read(self._current, bid)

    def send(self, export: Export) -> None:
        """Ask where to write something for a supplier, and make it beside the window."""
        self.exporter.start(export)

    def _begin(self) -> None:
        if self._current is None and self._waiting:
            self._current = self._waiting.popleft()
            self._read(self._current, None)

    def _read(self, sent: Sent, bid: str | None) -> None:
        self._again = bid is not None
        self._late.start()
        self.job.start(partial(_extract, sent, self._session.evaluation, self._session.path, bid))

    def _show_reading(self) -> None:
        if self.job.is_running and self._current is not None:
            line = words.reading_line(self._current.name)
            self._notice.show_message(line, ("Stop", self._stop), busy=True)

    def _stop(self) -> None:
        self.give_up()
        self._notice.show_message(words.STOPPED)

    def _done(self, read: Read) -> None:
        self._late.stop()
        self._notice.hide()
        self._current = read.sent
        self.was_read.emit(read, len(self._waiting))
        self._show_refused()

    def _failed(self, error: Exception) -> None:
        self._late.stop()
        sent = self._current
        name = words.PASTED if sent is None else sent.name
        if isinstance(error, FileRefused):
            self._refused.append(f"{error}.")
        elif isinstance(error, TableRefused):
            self._refused.append(words.NO_NUMBERS.format(why=error))
        else:
            log_fault(f"reading {name}", error)
            self._refused.append(words.READ_BROKEN.format(name=name))
        if not self._again:
            self._current = None
            self._begin()
        # What could not be read for another offer is still open for the one before.
        if self._again or self._current is None:
            self._show_refused()

    def _show_refused(self) -> None:
        if self._refused:
            self._notice.show_message(" ".join(self._refused), problem=True)
            self._refused = []


def _extract(
    sent: Sent, evaluation: Evaluation, file: Path | None, bid: str | None, report: Report
) -> Read:
    """Return what was sent as an extract; raises FileRefused or TableRefused."""
    report(0.0)
    if sent.make is not None:
        extract = sent.make(evaluation, bid)
    elif sent.printed is not None:
        # Loaded where it is wanted: most sessions read no quote.
        from evenbarrel.intake.pages.printed import extract_printed_in_file

        extract = extract_printed_in_file(sent.printed, file, evaluation, bid)
    elif sent.path is None:
        extract = extract_text(evaluation, sent.text, bid)
    else:
        data = read_content(sent.path) if sent.data is None else sent.data
        sent = replace(sent, data=data)
        report(0.5)
        extract = extract_file(evaluation, sent.name, data, bid)
    return Read(sent, evaluation, with_currency(evaluation, extract), again=bid is not None)
