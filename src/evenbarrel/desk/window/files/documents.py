"""Opening, saving and exporting, with nothing a person typed lost on the way."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from evenbarrel.desk.window.files.exports import Export, Exporter
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import TypedText
from evenbarrel.storage.autosave import Recovered
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.sentences import documents, typed
from evenbarrel.wording.sentences.differences import difference_lines, holder_words


class Documents(QObject):
    """The steps of the File menu. `commit` takes what stands typed and not yet left."""

    sample_opened = Signal()
    typed_wanted = Signal(object)
    """Carries the TypedText that a person wants to go to."""

    def __init__(
        self,
        session: Session,
        notice: Notice,
        dialogs: Dialogs,
        commit: Callable[[], None],
        refused: Callable[[], tuple[TypedText, ...]],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._notice = notice
        self.dialogs = dialogs
        self._commit = commit
        self._typed = refused
        self.exporter = Exporter(session, notice, dialogs.file_to_write, self)

    def new(self) -> None:
        """Begin an empty evaluation."""
        if self.may_leave():
            self._session.new()

    def open(self) -> None:
        """Ask for a file and open it."""
        if self.may_leave():
            path = self.dialogs.file_to_open()
            if path is not None:
                self._open(path)

    def open_recent(self, path: Path) -> None:
        """Open a file of the recent ones; one that is gone leaves the list."""
        if self.may_leave():
            self._open(path)

    def open_sample(self) -> bool:
        """Open the sample programme; say whether it was opened."""
        if self.may_leave():
            try:
                self._session.open_sample()
            except FileRefused as refusal:
                self._notice.show_message(str(refusal), problem=True)
            else:
                self._notice.hide()
                self.sample_opened.emit()
                return True
        return False

    def save(self) -> bool:
        """Save under the present name, or ask for one; say whether it was saved."""
        self._commit()
        if self._session.path is None or self._session.read_only:
            return self.save_as()
        other = self._session.changed_on_disk()
        if other is not None:
            lines = difference_lines(self._session.evaluation, other)
            choice = self.dialogs.changed_on_disk(self._session.path.name, lines)
            if choice == "cancel":
                return False
            if choice == "copy":
                return self.save_as()
        return self._save(self._session.path)

    def save_as(self) -> bool:
        """Ask for a name and save; say whether it was saved."""
        self._commit()
        path = self.dialogs.file_to_save(self._session.path, self._session.evaluation.title)
        return path is not None and self._save(path)

    def may_leave(self) -> bool:
        """Say whether the present evaluation may go: saved, given up, or unchanged."""
        self._commit()
        session, refused = self._session, self._typed()
        if not session.is_modified and not refused:
            return True
        answer = self.dialogs.unsaved(
            session.evaluation.title,
            typed.typed_lines(session.evaluation, refused),
            session.is_modified,
        )
        if answer == "save":
            return self.save()
        if answer == "discard":
            session.give_up()
            return True
        if answer == "show":
            self.typed_wanted.emit(refused[0])
        return False

    def offer_unsaved(self) -> None:
        """Offer work that an earlier session left unsaved; nothing is loaded without a person."""
        offers = self._session.unsaved_work()
        if offers:
            first = offers[0]
            # What was typed into what is looked through comes back with it.
            typed = [one for one in first.typed if one.path or first.left_open is None]
            is_open = first.left_open is not None
            title = first.evaluation.title
            self._notice.show_message(
                documents.found_unsaved(title, len(offers), len(typed), is_open),
                ("&Restore", partial(self._take_up, first)),
                ("&Discard", partial(self._throw_away, first)),
            )

    def _show_typed(self, back: Sequence[TypedText], gone: Sequence[str]) -> None:
        """Tell what stands where it was typed again, and what was typed into what is gone."""
        lines = []
        if back:
            lines.append(typed.back_again(typed.typed_lines(self._session.evaluation, back)))
        if gone:
            lines.append(typed.to_be_read_again(gone))
        go = (typed.GO_TO, partial(self.typed_wanted.emit, next(iter(back), None)))
        offers = (go, (typed.LATER, lambda: None)) if back else ()
        if lines:
            self._notice.show_message("\n".join(lines), *offers)

    def _take_up(self, offer: Recovered) -> None:
        """Restore an offer; what stands open is not given up without a word."""
        if self.may_leave():
            self._session.restore(offer)
            typed = self._typed()
            gone = [one.text for one in offer.typed if not one.path and one not in typed]
            self._show_typed([one for one in typed if one.path], gone)
        else:
            self.offer_unsaved()

    def _throw_away(self, offer: Recovered) -> None:
        self._session.throw_away(offer)
        self.offer_unsaved()

    def hold(self) -> None:
        """Hold the file that was opened; where another window does, ask what to do."""
        session = self._session
        holder = session.hold()
        if holder is None or session.path is None:
            return
        choice = self.dialogs.held_by(
            session.path.name, holder_words(holder.person, holder.machine, holder.since)
        )
        if choice == "take_over":
            session.hold(take_over=True)
        elif choice == "copy":
            session.open_copy()
        else:
            self._notice.show_message(documents.read_only(session.path.name))

    def export(self, export: Export) -> None:
        """Ask for a name and write one kind of file beside the window."""
        self._commit()
        self.exporter.start(export)

    def write_letter(self, bid: str) -> None:
        """Open the letter to the supplier of a bid."""
        self._commit()
        self._session.letter_wanted.emit(bid)

    def _open(self, path: Path) -> None:
        try:
            self._session.open(path)
        except FileRefused as refusal:
            if not path.exists():
                self._session.recent.forget(path)
            self._notice.show_message(str(refusal), problem=True)
        else:
            self._notice.hide()
            self.hold()
            self.offer_unsaved()

    def _save(self, path: Path) -> bool:
        try:
            self._session.save(path)
        except FileRefused as refusal:
            self._notice.show_message(str(refusal), problem=True)
            return False
        return True
