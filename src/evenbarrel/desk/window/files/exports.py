"""Exports: the evaluation as PDF, as workbook and as results, and whatever else is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from evenbarrel.desk.window.background import Job, Report
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.storage.atomic import atomic_write, keep_apart
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.personal.fault_log import log_fault
from evenbarrel.wording.sentences import documents, pages
from evenbarrel.wording.words.visible import file_stem

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.decision.flips.search import Flips

Render = Callable[..., bytes]
"""Makes the bytes of an Appraisal; one that takes flips is given the Flips too, or None."""
AskPath = Callable[[str, str, str, str], Path | None]
"""Asks where to write: title, suggested path, filter, ending; None where the person cancels."""

_ENDING = ".evenbarrel.json"
_MADE, _WRITTEN = 0.9, 1.0


@dataclass(frozen=True)
class Export:
    """One kind of file: what button and menu entry say, its ending, and what makes its bytes.

    `with_workings` makes them with an appendix of how the numbers came about; None: has none.
    `name` is suggested for it, "" the evaluation's own. `takes_flips`: what would flip the
    choice goes in too, where it was looked for in the evaluation as it stands.
    """

    text: str
    what: str
    ending: str
    render: Render
    with_workings: Render | None = None
    name: str = ""
    takes_flips: bool = False


def _pdf(appraisal: Appraisal, flips: Flips | None = None) -> bytes:
    # All are loaded where the work is done: they are slow to load and seldom wanted.
    from evenbarrel.report.pdf import render_pdf

    return render_pdf(appraisal, flips=flips)


def _pdf_with_workings(appraisal: Appraisal, flips: Flips | None = None) -> bytes:
    from evenbarrel.report.pdf import render_pdf

    return render_pdf(appraisal, workings=True, flips=flips)


def _workbook(appraisal: Appraisal, flips: Flips | None = None) -> bytes:
    from evenbarrel.report.workbook.book import render_workbook

    return render_workbook(appraisal, flips)


def _results(appraisal: Appraisal, flips: Flips | None = None) -> bytes:
    from evenbarrel.decision.decide import decide
    from evenbarrel.report.results_file import results_of, to_json
    from evenbarrel.wording.sentences.asking.questions import question_texts

    return to_json(results_of(appraisal, question_texts(appraisal), decide(appraisal), flips))


EXPORTS: tuple[Export, ...] = (
    Export("Evaluation as &PDF…", "PDF", ".pdf", _pdf, _pdf_with_workings, takes_flips=True),
    Export("&Workbook…", "workbook", ".xlsx", _workbook, takes_flips=True),
    Export("&Results as JSON…", "results file", ".json", _results, takes_flips=True),
)


class Exporter(QObject):
    """Makes and writes files beside the window, and says in a notice how it went.

    The evaluation is never touched; a file is written whole or not at all.
    """

    def __init__(
        self, session: Session, notice: Notice, ask: AskPath, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._notice = notice
        self._ask = ask
        self._running = ""
        self._without_flips = False
        self.job = Job(self)
        self.job.done.connect(self._done)
        self.job.failed.connect(self._failed)
        self.job.progress.connect(notice.show_progress)

    def start(self, export: Export) -> None:
        """Ask where to write, then make and write the file beside the window."""
        appraisal = self._current()
        if appraisal is None:
            return
        kinds = f"{export.what} (*{export.ending})"
        title = export.text.replace("&", "")
        path = self._ask(title, self._suggested(export), kinds, export.ending)
        if path is None:
            return
        self._running = export.what
        self._without_flips = export.takes_flips and self._session.looks_for_flips
        own, flips = self._session.path, self._session.flips

        def work(report: Report) -> object:
            report(0.0)
            keep_apart(path, own)
            given = (appraisal, flips) if export.takes_flips else (appraisal,)
            content = export.render(*given)
            # Nothing is written where the person stopped it in the meantime.
            report(_MADE)
            atomic_write(path, content)
            report(_WRITTEN)
            return path

        line = documents.export_running(export.what)
        self._notice.show_message(line, ("Stop", self.stop), busy=True)
        self.job.start(work)

    def stop(self) -> None:
        """Stop what runs; the evaluation and the file that was there stay as they are."""
        self.job.stop()
        self._notice.show_message(documents.EXPORT_STOPPED)

    def wait(self) -> None:
        """Stop, and wait for the thread: before the window goes."""
        self.job.wait()

    def _current(self) -> Appraisal | None:
        """Return the appraisal of what is entered; None, and told, where it is not made yet."""
        if not self._session.is_current:
            self._notice.show_message(pages.WAIT_FOR_VERDICTS)
            return None
        return self._session.appraisal

    def _suggested(self, export: Export) -> str:
        path, ending = self._session.path, export.ending
        if path is None:
            title = file_stem(self._session.evaluation.title)
            return f"{export.name or title or 'evaluation'}{ending}"
        if export.name:
            return str(path.with_name(export.name + ending))
        name = path.name.removesuffix(_ENDING).removesuffix(".json")
        ending = f".results{ending}" if ending == ".json" else ending
        return str(path.with_name(name + ending))

    def _done(self, path: object) -> None:
        if isinstance(path, Path):
            line = documents.export_done(path.name)
            self._notice.show_message(
                f"{line} {documents.WITHOUT_FLIPS}" if self._without_flips else line
            )

    def _failed(self, error: Exception) -> None:
        if isinstance(error, FileRefused):
            text = documents.export_failed(str(error))
        else:
            log_fault(f"making the {self._running}", error)
            text = documents.export_broken(self._running)
        self._notice.show_message(text, problem=True)
