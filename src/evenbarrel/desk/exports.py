"""Exports: the evaluation as PDF, as workbook and as results, and the letters to suppliers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from evenbarrel.desk.fields.base import QuietCombo
from evenbarrel.desk.jobs import Job, Report
from evenbarrel.desk.notice import Notice
from evenbarrel.desk.session import Session
from evenbarrel.desk.theme import GRID, faint
from evenbarrel.storage.atomic import atomic_write, keep_apart
from evenbarrel.storage.refusal import FileRefused
from evenbarrel.wording import asking_text, decision_text

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

Render = Callable[["Appraisal"], bytes]
AskPath = Callable[[QWidget, str, str, str], Path | None]
"""Asks where to write: parent, title, proposed path, filter; None where the person cancels."""

_ENDING = ".evenbarrel.json"
_MADE, _WRITTEN = 0.9, 1.0


@dataclass(frozen=True)
class Export:
    """One kind of file: what its button says, its ending, and what makes its bytes."""

    text: str
    what: str
    ending: str
    render: Render


def _pdf(appraisal: Appraisal) -> bytes:
    # The three are loaded where the work is done: they are slow to load and seldom wanted.
    from evenbarrel.report.pdf import render_pdf

    return render_pdf(appraisal)


def _workbook(appraisal: Appraisal) -> bytes:
    from evenbarrel.report.workbook import render_workbook

    return render_workbook(appraisal)


def _results(appraisal: Appraisal) -> bytes:
    from evenbarrel.appraisal.published import publish, to_json
    from evenbarrel.wording.questions import question_texts

    return to_json(publish(appraisal, question_texts(appraisal)))


EXPORTS: tuple[Export, ...] = (
    Export("Evaluation as &PDF…", "PDF", ".pdf", _pdf),
    Export("&Workbook…", "workbook", ".xlsx", _workbook),
    Export("&Results as JSON…", "results file", ".json", _results),
)


def ask_path(parent: QWidget, title: str, proposed: str, kinds: str) -> Path | None:
    """Ask where to write a file."""
    name, _ = QFileDialog.getSaveFileName(parent, title, proposed, kinds)
    return Path(name) if name else None


class ExportPanel(QWidget):
    """Buttons for every export; the work runs beside the window and can be stopped.

    The evaluation is never touched; a file is written whole or not at all.
    """

    def __init__(
        self,
        session: Session,
        exports: tuple[Export, ...] = EXPORTS,
        ask: AskPath = ask_path,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._ask = ask
        self._bids: tuple[str, ...] = ()
        self._running: tuple[Export, Path] | None = None
        self.notice = Notice()
        self.buttons: dict[str, QPushButton] = {}
        self.supplier = QuietCombo()
        self.supplier.setAccessibleName("Supplier the letter is to")
        self.copy_letter = QPushButton("&Copy letter")
        self.save_letter = QPushButton("Letter as &text…")
        self.copy_letter.clicked.connect(self._copy_letter)
        self.save_letter.clicked.connect(self._save_letter)
        self.job = Job(self)
        self.job.done.connect(self._done)
        self.job.failed.connect(self._failed)
        self.job.progress.connect(self.notice.show_progress)
        application = QCoreApplication.instance()
        if application is not None:
            application.aboutToQuit.connect(self.job.wait)
        self._lay_out(exports)

    def _lay_out(self, exports: tuple[Export, ...]) -> None:
        row = QHBoxLayout()
        for export in exports:
            button = QPushButton(export.text)
            button.clicked.connect(lambda _, export=export: self.start(export))
            self.buttons[export.ending] = button
            row.addWidget(button)
        row.addStretch(1)
        letters = QHBoxLayout()
        title = QLabel("Letter with the open questions t&o")
        title.setBuddy(self.supplier)
        for widget in (title, self.supplier, self.copy_letter, self.save_letter):
            letters.addWidget(widget)
        letters.addStretch(1)
        told = faint(QLabel(decision_text.EXPORTS_EXPLAINED))
        told.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID, GRID, GRID)
        column.setSpacing(GRID)
        column.addLayout(row)
        column.addLayout(letters)
        column.addWidget(told)
        column.addWidget(self.notice)
        column.addStretch(1)

    def show_appraisal(self, appraisal: Appraisal) -> None:
        """Offer the suppliers there are."""
        bids = appraisal.evaluation.bids
        chosen = self.bid()
        self._bids = tuple(bid.id for bid in bids)
        self.supplier.clear()
        self.supplier.addItems([bid.supplier or bid.id for bid in bids])
        if chosen in self._bids:
            self.supplier.setCurrentIndex(self._bids.index(chosen))
        for button in (self.copy_letter, self.save_letter):
            button.setEnabled(bool(bids))

    def bid(self) -> str:
        """Return the offer whose letter is chosen, "" where there is none."""
        place = self.supplier.currentIndex()
        return self._bids[place] if 0 <= place < len(self._bids) else ""

    def start(self, export: Export) -> None:
        """Ask where to write, then make and write the file beside the window."""
        appraisal = self._session.appraisal
        if appraisal is None:
            return
        kinds = f"{export.what} (*{export.ending})"
        path = self._ask(self, export.text.replace("&", ""), self._proposed(export.ending), kinds)
        if path is None:
            return
        path = path if path.suffix else path.with_name(path.name + export.ending)
        self._running = (export, path)
        own = self._session.path

        def work(report: Report) -> object:
            report(0.0)
            keep_apart(path, own)
            content = export.render(appraisal)
            # Nothing is written where the person stopped it in the meantime.
            report(_MADE)
            atomic_write(path, content)
            report(_WRITTEN)
            return path

        told = decision_text.export_running(export.what)
        self.notice.tell(told, ("Stop", self.stop), busy=True)
        self.job.start(work)

    def stop(self) -> None:
        """Stop what runs; the evaluation and the file that was there stay as they are."""
        self.job.stop()
        self._running = None
        self.notice.tell(decision_text.EXPORT_STOPPED)

    def wait(self) -> None:
        """Stop, and wait for the thread: before the window goes."""
        self.job.wait()

    def _proposed(self, ending: str) -> str:
        path = self._session.path
        if path is None:
            return f"evaluation{ending}"
        name = path.name.removesuffix(_ENDING).removesuffix(".json")
        ending = f".results{ending}" if ending == ".json" else ending
        return str(path.with_name(name + ending))

    def _done(self, path: object) -> None:
        if isinstance(path, Path):
            self.notice.tell(decision_text.export_done(path.name))

    def _failed(self, error: Exception) -> None:
        export = self._running
        what = "file" if export is None else export[0].what
        if isinstance(error, FileRefused):
            text = decision_text.export_failed(str(error))
        else:
            text = decision_text.export_broken(what)
        self.notice.tell(text, problem=True)

    def _letter(self) -> str:
        appraisal, bid = self._session.appraisal, self.bid()
        return "" if appraisal is None or not bid else asking_text.letter_text(appraisal, bid)

    def _copy_letter(self) -> None:
        letter = self._letter()
        if letter:
            QGuiApplication.clipboard().setText(letter)
            self.notice.tell(decision_text.LETTER_COPIED)

    def _save_letter(self) -> None:
        letter = self._letter()
        if not letter:
            return
        name = f"questions-{self.bid()}.txt"
        proposed = name if self._session.path is None else str(self._session.path.with_name(name))
        path = self._ask(self, "Letter as text", proposed, "Text (*.txt)")
        if path is None:
            return
        try:
            keep_apart(path, self._session.path)
            atomic_write(path, letter.encode("utf-8"))
        except FileRefused as refusal:
            self.notice.tell(decision_text.export_failed(str(refusal)), problem=True)
        else:
            self.notice.tell(decision_text.export_done(path.name))
