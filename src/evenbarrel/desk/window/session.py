"""The sole owner of the current evaluation: one way in, one signal out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError
from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from evenbarrel import resources
from evenbarrel.model import datum_path as edits
from evenbarrel.model.bid import Bid
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.autosave import Recovery
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import parse_evaluation, read_bid, read_evaluation, write_evaluation
from evenbarrel.storage.recent import RecentFiles
from evenbarrel.wording.sentences import pages

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

AUTOSAVE_AFTER_MS = 3000
_SAMPLE_ENDING = ".evenbarrel.json"
_MERGEABLE = 1


class _Swap(QUndoCommand):
    """The one command of the program: it swaps whole evaluations."""

    def __init__(
        self, session: Session, before: Evaluation, after: Evaluation, text: str, merge_key: str
    ) -> None:
        # Shown in a menu, where a single & would be a mnemonic.
        super().__init__(text.replace("&", "&&"))
        self._session = session
        self._before = before
        self._after = after
        self._merge_key = merge_key

    def redo(self) -> None:
        self._session._set(self._after)

    def undo(self) -> None:
        self._session._set(self._before)

    def id(self) -> int:
        return _MERGEABLE if self._merge_key else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Swap) or other._merge_key != self._merge_key:
            return False
        self._after = other._after
        self.setObsolete(self._after == self._before)
        return True


def sample_name() -> str | None:
    """Return the name of the sample evaluation, or None where none is shipped."""
    return next((n for n in resources.sample_names() if n.endswith(_SAMPLE_ENDING)), None)


class Session(QObject):
    """Holds the evaluation, its appraisal, its file and its undo stack.

    Views listen to `changed` and ask for changes by `edit` or `put`; nobody else sets the
    evaluation. The first appraisal waits for `begin`, so that a window can be painted before.
    """

    changed = Signal(object)
    """Carries the Appraisal of the new evaluation."""
    show_working = Signal(tuple)
    """Carries the Reference of a number a person clicked."""
    chosen = Signal(object, object)
    """Carries the ids of the barrel and the job chosen, each None where none is."""
    file_changed = Signal()
    """The path, the title or the modified state is another."""
    refused = Signal(str)
    """Carries one sentence: what was wrong, where, and what was kept."""

    def __init__(
        self,
        recovery: Recovery | None = None,
        recent: RecentFiles | None = None,
        today: Callable[[], date] = date.today,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._recovery = recovery or Recovery()
        self.recent = recent or RecentFiles()
        self._today = today
        self._begun = False
        self.evaluation = Evaluation(as_of=today())
        self.appraisal: Appraisal | None = None
        self.path: Path | None = None
        self.chosen_barrel: str | None = None
        self.chosen_job: str | None = None
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self._tell_of_file)
        self._autosave = QTimer(self)
        self._autosave.setSingleShot(True)
        self._autosave.setInterval(AUTOSAVE_AFTER_MS)
        self._autosave.timeout.connect(self.autosave)

    @property
    def is_modified(self) -> bool:
        """Whether something would be lost if the program ended now."""
        return not self.undo_stack.isClean()

    def begin(self) -> None:
        """Appraise for the first time; from here on every change is appraised at once."""
        self._begun = True
        self._appraise()

    def edit(self, text: str, after: Evaluation, merge_key: str = "") -> None:
        """Make `after` the evaluation as one undoable step called `text`.

        Steps in a row with the same `merge_key` become one.
        """
        if after != self.evaluation:
            self.undo_stack.push(_Swap(self, self.evaluation, after, text, merge_key))

    def put(self, path: edits.Path, value: Any, text: str, merge_key: str = "") -> bool:
        """Put one value at a path as one step; False, and told, where it does not fit."""
        return self.try_edit(text, lambda: edits.put(self.evaluation, path, value), merge_key)

    def try_edit(self, text: str, make: Callable[[], Evaluation], merge_key: str = "") -> bool:
        """Edit to what `make` returns; False, and told in words, where it does not fit."""
        try:
            after = make()
        except ValidationError as error:
            self.refused.emit(pages.not_accepted(error.errors()[0]["msg"]))
            return False
        self.edit(text, after, merge_key)
        return True

    def choose(self, barrel: str | None, job: str | None) -> None:
        """Choose a barrel and a job together, or one, or neither."""
        if (barrel, job) != (self.chosen_barrel, self.chosen_job):
            self.chosen_barrel, self.chosen_job = barrel, job
            self.chosen.emit(barrel, job)

    def new(self) -> None:
        """Begin an empty evaluation as of today."""
        self._open(Evaluation(as_of=self._today()), None)

    def open(self, path: Path) -> None:
        """Open a file; raises FileRefused, the present evaluation then stays."""
        self._open(read_evaluation(path), path)
        self.recent.remember(path)

    def open_sample(self) -> None:
        """Open the sample as a document without a file; raises FileRefused."""
        name = sample_name()
        if name is None:
            raise FileRefused("sample", "", "no sample evaluation is shipped with this copy")
        self._open(parse_evaluation(resources.read_sample(name), name), None)

    def save(self, path: Path) -> None:
        """Write the evaluation to `path`; raises FileRefused, nothing is then changed."""
        write_evaluation(self.evaluation, path)
        self._forget_autosave()
        self.path = path
        self._recovery.clear(path)
        self.recent.remember(path)
        self.undo_stack.setClean()
        self.file_changed.emit()

    def read_bid(self, path: Path) -> Bid:
        """Add the bid in a file, with the resins it names; raises FileRefused.

        Ids that are taken are given anew; a resin already known by its id stays as it is.
        """
        from evenbarrel.model.changes import with_new_ids

        bid_file = read_bid(path)
        bid = with_new_ids(bid_file.bid(), self.evaluation)
        known = {resin.id for resin in self.evaluation.resins}
        more = tuple(resin for resin in bid_file.resins if resin.id not in known)
        after = self.evaluation.replace(
            resins=(*self.evaluation.resins, *more), bids=(*self.evaluation.bids, bid)
        )
        self.edit(pages.ADD_SUPPLIER, after)
        return bid

    def autosave(self) -> None:
        """Keep unsaved work in case the program is cut off."""
        if self.is_modified:
            try:
                self._recovery.autosave(self.evaluation, self.path)
            except FileRefused as refusal:
                self.refused.emit(pages.not_kept(str(refusal)))

    def unsaved_work(self) -> Evaluation | None:
        """Return work that an earlier window left unsaved, of this file or untitled, or None."""
        return self._recovery.offer(self.path)

    def restore(self, unsaved: Evaluation) -> None:
        """Take up unsaved work again; it counts as modified until it is saved."""
        self._open(unsaved, self.path)
        self.undo_stack.resetClean()
        self._autosave.start()

    def discard_unsaved(self) -> None:
        """Remove what is kept of unsaved work: the person does not want it."""
        self._autosave.stop()
        self._recovery.clear(self.path)

    def _tell_of_file(self) -> None:
        self.file_changed.emit()

    def _forget_autosave(self) -> None:
        self._autosave.stop()
        self._recovery.clear(self.path)

    def _open(self, evaluation: Evaluation, path: Path | None) -> None:
        self._autosave.stop()
        self.undo_stack.clear()
        self.path = path
        self.choose(None, None)
        self.evaluation = evaluation
        self._appraise()
        self.file_changed.emit()

    def _set(self, evaluation: Evaluation) -> None:
        self.evaluation = evaluation
        self._forget_what_is_gone()
        self._autosave.start()
        self._appraise()

    def _forget_what_is_gone(self) -> None:
        barrels = {barrel.id for _, _, barrel in self.evaluation.barrels()}
        jobs = {job.id for job in self.evaluation.jobs}
        self.choose(
            self.chosen_barrel if self.chosen_barrel in barrels else None,
            self.chosen_job if self.chosen_job in jobs else None,
        )

    def _appraise(self) -> None:
        if not self._begun:
            return
        # Imported here because numpy and pint are slow to load and the first paint does without.
        from evenbarrel.appraisal.appraise import appraise

        self.appraisal = appraise(self.evaluation, self.appraisal)
        self.changed.emit(self.appraisal)
