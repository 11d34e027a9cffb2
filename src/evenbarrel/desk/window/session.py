"""The sole owner of the current evaluation: one way in, one signal out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoStack

from evenbarrel import resources
from evenbarrel.desk.window.background import Costing, Job, timer_for
from evenbarrel.desk.window.files.open_file import OpenFile
from evenbarrel.desk.window.selection import Selection
from evenbarrel.desk.window.swap import Swap
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import last_person
from evenbarrel.model.datum_path import TypedText
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.states.difference import EVERYTHING, Difference, decides_alike, difference
from evenbarrel.storage.autosave import Autosave, KeptOpen, Recovered
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import open_evaluation, parse_evaluation, write_evaluation
from evenbarrel.storage.lock import Holder
from evenbarrel.storage.personal.recent import RecentFiles
from evenbarrel.wording.sentences import pages

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.decision.decide import Decision
    from evenbarrel.decision.flips.search import Flips

AUTOSAVE_AFTER_MS = 1000
"""After the last edit; a person who keeps typing does not put it off for longer than below."""
AUTOSAVE_AT_LATEST_MS = 5000
APPRAISED_AT_ONCE = 20_000
"""Cells, a barrel against a job each: up to so many are appraised while a person waits, about a
third of a second on two cores. More are appraised beside the window."""


class Session(QObject):
    """Holds the evaluation, its appraisal, its file and its undo stack.

    `person` is who asks and answers, for what is marked next.
    Views listen to `changed` and ask for changes by `edit` or `put`; nobody else sets the
    evaluation. The first appraisal waits for `begin`, so that a window can be painted before.
    """

    edited = Signal()
    """Another value is in the evaluation; its results follow by `changed`."""
    appraising = Signal(bool)
    """A large evaluation is being appraised beside the window, or no longer."""
    progress = Signal(float)
    """How much of that is done, 0 to 1."""
    changed = Signal(object, object)
    """Carries the Appraisal of the new evaluation, and the Difference to what was shown before."""
    show_working = Signal(object)
    """Carries the Reference of a number a person clicked."""
    letter_wanted = Signal(str)
    """Carries the bid whose supplier a person wants to write to."""
    typed_back = Signal(tuple)
    """Carries the TypedTexts that were kept beside unsaved work that is taken up again."""
    open_again = Signal(object)
    """Carries the KeptOpen that stood beside unsaved work that is taken up again."""
    opened = Signal()
    """Another evaluation stands in place of the one before; its appraisal follows."""
    file_changed = Signal()
    """The path, the title or the modified state is another."""
    refused = Signal(str)
    """Carries one sentence: what was wrong, where, and what was kept."""

    def __init__(
        self,
        autosave: Autosave | None = None,
        recent: RecentFiles | None = None,
        today: Callable[[], date] = date.today,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._kept = autosave or Autosave()
        self._file = OpenFile()
        self.recent = recent or RecentFiles()
        self.today = today
        self.person = ""
        self.typed: Callable[[], tuple[TypedText, ...]] = tuple
        """Returns what is typed and not taken: no evaluation holds it, the autosave does."""
        self.left_open: Callable[[], KeptOpen | None] = lambda: None
        """Returns what is read and not taken yet, which the autosave keeps too."""
        self._begun = False
        self.evaluation = Evaluation(as_of=today())
        self.appraisal: Appraisal | None = None
        self._decision: Decision | None = None
        self._decided: Decision | None = None
        """The decision of a state before, of which the next one takes what is as it was."""
        self._flips: tuple[Evaluation, Flips] | None = None
        self.looks_for_flips = False
        """Whether they are being looked for now."""
        self._unshown = Difference()
        self._work = Job(self)
        self._work.done.connect(self._arrived)
        self._work.failed.connect(self._fail)
        self._work.progress.connect(self.progress)
        self.costing = Costing(self)
        self.selection = Selection(self)
        self.undo_stack = QUndoStack(self)
        self.undo_stack.cleanChanged.connect(self._clean_changed)
        self._pause = timer_for(self.autosave, AUTOSAVE_AFTER_MS, self)
        self._at_latest = timer_for(self.autosave, AUTOSAVE_AT_LATEST_MS, self)

    @property
    def path(self) -> Path | None:
        """The file that the document stands in, None where it has none."""
        return self._file.path

    @property
    def read_only(self) -> bool:
        """Whether another window holds the file."""
        return self._file.read_only

    @property
    def is_current(self) -> bool:
        """Whether the appraisal is of the evaluation as it stands."""
        return self.appraisal is not None and self.appraisal.evaluation is self.evaluation

    @property
    def decision(self) -> Decision | None:
        """What a choice needs of the appraisal that is shown, each part when it is asked for."""
        if self._decision is None and self.appraisal is not None:
            # Here, and not above, as the appraisal is.
            from evenbarrel.decision.decide import decide

            self._decision = decide(self.appraisal, self._decided)
            self._decided = None
        return self._decision

    @property
    def flips(self) -> Flips | None:
        """What would flip the choice, where it was looked for in what stands now, signed or not."""
        kept = self._flips
        return kept[1] if kept is not None and decides_alike(kept[0], self.evaluation) else None

    def keep_flips(self, evaluation: Evaluation, flips: Flips) -> None:
        """Keep what would flip the choice of an evaluation."""
        self._flips = (evaluation, flips)

    @property
    def awaits_first(self) -> bool:
        """Whether a document stands open of which nothing is appraised yet."""
        entered = self.evaluation.jobs or self.evaluation.bids
        return self.appraisal is None and (self._begun or bool(entered))

    @property
    def is_modified(self) -> bool:
        """Whether something would be lost if the program ended now."""
        return not self.undo_stack.isClean()

    def begin(self) -> None:
        """Appraise for the first time; from here on every change is appraised at once."""
        self._begun = True
        self._appraise(EVERYTHING)

    def edit(self, text: str, after: Evaluation, merge_key: str = "") -> None:
        """Make `after` the evaluation as one undoable step called `text`.

        Steps in a row with the same `merge_key` become one.
        """
        if after != self.evaluation:
            self.undo_stack.push(Swap(self._set, self.evaluation, after, text, merge_key))

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

    def new(self) -> None:
        """Begin an empty evaluation as of today."""
        self._open(Evaluation(as_of=self.today()))

    def open(self, path: Path) -> None:
        """Open a file; raises FileRefused, the present evaluation then stays.

        Where another window holds it, it is open to be read alone until `take_over`.
        """
        evaluation, content = open_evaluation(path)
        self._open(evaluation, OpenFile(path, content))
        self.recent.remember(path)

    def hold(self, *, take_over: bool = False) -> Holder | None:
        """Hold the present file against other windows; return who holds it, None if we do."""
        holder = self._file.hold(take_over=take_over)
        if self.path is not None:
            self.file_changed.emit()
        return holder

    def open_copy(self) -> None:
        """Go on with what is open as a document without a file; the file stays as it is."""
        self._stand_in(OpenFile())
        self.undo_stack.resetClean()
        self.file_changed.emit()

    def changed_on_disk(self) -> Evaluation | None:
        """Return what something else wrote into the present file, None where nothing did."""
        return self._file.changed_on_disk()

    def open_sample(self) -> None:
        """Open the sample as a document without a file; raises FileRefused."""
        name = resources.sample_name()
        if name is None:
            raise FileRefused("sample", "", "no sample evaluation is shipped with this copy")
        self._open(parse_evaluation(resources.read_sample(name), name))

    def save(self, path: Path) -> None:
        """Write the evaluation to `path`; raises FileRefused, nothing is then changed."""
        written = write_evaluation(self.evaluation, path)
        self.give_up()
        if path == self.path:
            self._file.saved(written)
        else:
            self._stand_in(OpenFile(path, written))
            self.hold()
        self.recent.remember(path)
        self.undo_stack.setClean()
        self.file_changed.emit()
        # What was typed and not taken is in no file.
        self.autosave()

    def keep_soon(self) -> None:
        """Keep unsaved work when the person pauses: something was typed, taken or not."""
        self._pause.start()
        if not self._at_latest.isActive():
            self._at_latest.start()

    def autosave(self) -> bool:
        """Keep unsaved work in case the program is cut off; False where it cannot be, as told."""
        self._stop_timers()
        try:
            typed, left_open = self.typed(), self.left_open()
            if not self.is_modified and not typed and left_open is None:
                self._kept.clear()
            else:
                self._kept.keep(self.evaluation, self.path, typed, left_open)
        except FileRefused as refusal:
            self.refused.emit(pages.not_kept(str(refusal)))
            return False
        return True

    def unsaved_work(self) -> tuple[Recovered, ...]:
        """Return what windows that were cut off left unsaved, of this file or untitled."""
        return self._kept.offers(self.path)

    def restore(self, offer: Recovered) -> None:
        """Take up unsaved work again; it counts as modified until it is saved."""
        self._swap_document(offer.evaluation, offer.typed)
        self.undo_stack.resetClean()
        if offer.left_open is not None:
            self.open_again.emit(offer.left_open)
        # Kept under this window's name before the offer goes: at no time by neither.
        if self.autosave():
            self._kept.throw_away(offer)

    def throw_away(self, offer: Recovered) -> None:
        """Remove an offer: the person does not want it."""
        self._kept.throw_away(offer)

    def give_up(self) -> None:
        """Keep nothing aside: it was saved or undone, the person said so, or the window goes."""
        self._stop_timers()
        self._kept.clear()

    def close(self) -> None:
        """Let go of the file and of what is kept aside: the window goes."""
        self._work.wait()
        self.costing.wait()
        self.typed, self.left_open = tuple, lambda: None
        self.give_up()
        self._file.let_go()

    def stop_appraising(self) -> None:
        """Stop the work beside the window; what is shown stays, and is no longer current."""
        self._work.stop()
        self.appraising.emit(False)

    def appraise_again(self) -> None:
        """Appraise what stands now, after the work was stopped."""
        self._appraise(Difference())

    def _clean_changed(self, clean: bool) -> None:
        # What was undone to what is saved is nothing that could be lost.
        if clean:
            self.autosave()
        self.file_changed.emit()

    def _stop_timers(self) -> None:
        self._pause.stop()
        self._at_latest.stop()

    def _stand_in(self, file: OpenFile) -> None:
        self._file.let_go()
        self._file = file

    def _open(self, evaluation: Evaluation, file: OpenFile | None = None) -> None:
        self.give_up()
        self._stand_in(file or OpenFile())
        self._swap_document(evaluation)

    def _swap_document(self, evaluation: Evaluation, typed: tuple[TypedText, ...] = ()) -> None:
        self.undo_stack.clear()
        self.selection.choose(None, None)
        self.evaluation = evaluation
        self.person = last_person(evaluation)
        self.opened.emit()
        self.typed_back.emit(typed)
        self._appraise(EVERYTHING)
        self.file_changed.emit()

    def _set(self, evaluation: Evaluation) -> None:
        differs = difference(self.evaluation, evaluation)
        self.evaluation = evaluation
        self.selection.forget_what_is_gone(evaluation)
        self.keep_soon()
        self._appraise(differs)

    def _appraise(self, differs: Difference) -> None:
        self._unshown |= differs
        if not self._begun:
            return
        # Imported here because numpy is slow to load and the first paint does without.
        from evenbarrel.appraisal.appraise import appraise

        evaluation, before = self.evaluation, self.appraisal
        if self._unshown.whole:
            before = self.appraisal = self._decision = self._decided = None
        # Where things came or went, no place to type in may be of the state before.
        if self.is_large and (self._unshown.whole or not self._unshown.rearranged):
            self._work.start(lambda report: appraise(evaluation, before, report))
            self.appraising.emit(True)
            self.edited.emit()
            return
        self._work.stop()
        self._arrived(appraise(evaluation, before))

    @property
    def is_large(self) -> bool:
        """Whether appraising it takes longer than a person should wait."""
        barrels = sum(len(unit.barrels) for bid in self.evaluation.bids for unit in bid.units)
        return barrels * len(self.evaluation.jobs) > APPRAISED_AT_ONCE

    def _take(self, appraisal: Appraisal) -> None:
        differs, self._unshown = self._unshown, Difference()
        if not self.is_large:
            self._decided = self._decision or self._decided
        self.appraisal, self._decision = appraisal, None
        self.changed.emit(appraisal, differs)

    def _arrived(self, appraisal: Appraisal) -> None:
        self._take(appraisal)
        self.appraising.emit(False)

    def _fail(self, error: Exception) -> None:
        self.appraising.emit(False)
        raise error
