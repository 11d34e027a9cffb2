"""The questions that stop a person: which file, and what becomes of unsaved changes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from evenbarrel.desk.style.plain import message_box
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.file_names import EVALUATION, with_ending
from evenbarrel.wording.sentences import documents, typed
from evenbarrel.wording.words.visible import file_stem

Unsaved = Literal["save", "discard", "cancel", "show"]
Held = Literal["read_only", "copy", "take_over"]
OtherWriter = Literal["overwrite", "copy", "cancel"]

_WORDS_WIDE, _AROUND_WORDS = 300, 100
"""How wide the words of a box are at least, and what is above and below them [px]."""
_EVALUATIONS = "Evaluations (*.evenbarrel.json);;All files (*)"


class Dialogs:
    """Asks the person in front of `parent`."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def file_to_open(self) -> Path | None:
        """Return the evaluation to open, None where the person thinks better of it."""
        name, _ = QFileDialog.getOpenFileName(self._parent, "Open evaluation", "", _EVALUATIONS)
        return Path(name) if name else None

    def file_to_save(self, present: Path | None, title: str = "") -> Path | None:
        """Return where to save; the usual ending is added where none is typed.

        The name suggested for what was never saved is its `title`.
        """
        stem = file_stem(title)
        suggested = str(present or (stem and stem + EVALUATION))
        return self._file_to_write("Save evaluation", suggested, _EVALUATIONS, EVALUATION, present)

    def file_to_write(self, title: str, suggested: str, kinds: str, ending: str) -> Path | None:
        """Return where to write an export of these kinds; `ending` is added where it lacks."""
        return self._file_to_write(title, suggested, kinds, ending, None)

    def _file_to_write(
        self, title: str, suggested: str, kinds: str, ending: str, present: Path | None
    ) -> Path | None:
        """Ask until the file that will be written is new, or may be replaced."""
        while True:
            # Qt would ask about the name as it was typed, before its ending is added.
            name, _ = QFileDialog.getSaveFileName(
                self._parent,
                title,
                suggested,
                kinds,
                options=QFileDialog.Option.DontConfirmOverwrite,
            )
            if not name:
                return None
            try:
                path = with_ending(Path(name), ending)
            except FileRefused as refusal:
                self._show_message(str(refusal))
                continue
            if path == present or not path.exists() or self.may_replace(path.name):
                return path
            suggested = str(path)

    def may_replace(self, name: str) -> bool:
        """Ask whether the file of that name may be replaced."""
        button = QMessageBox.StandardButton
        box = message_box(self._parent, documents.ask_replace(name))
        box.setStandardButtons(button.Yes | button.No)
        box.setDefaultButton(button.No)
        return self._ask(box) == button.Yes

    def held_by(self, name: str, holder: str) -> Held:
        """Return how to open a file that another window holds."""
        return self._choose(
            documents.held_by(name, holder),
            "",
            {
                "read_only": "Open read-onl&y",
                "copy": "Open a &copy",
                "take_over": "&Take over",
            },
            "read_only",
        )  # type: ignore[return-value]

    def changed_on_disk(self, name: str, lines: tuple[str, ...]) -> OtherWriter:
        """Return what becomes of a file that something else has written since it was opened."""
        return self._choose(
            documents.changed_on_disk(name),
            "\n".join(lines),
            {
                "overwrite": "&Overwrite it",
                "copy": "Save under another &name…",
                "cancel": "&Cancel",
            },
            "cancel",
        )  # type: ignore[return-value]

    def _choose(self, text: str, more: str, choices: Mapping[str, str], usual: str) -> str:
        box = message_box(self._parent, text, more)
        buttons = {
            box.addButton(words, QMessageBox.ButtonRole.AcceptRole): choice
            for choice, words in choices.items()
        }
        usual_button = next(button for button, choice in buttons.items() if choice == usual)
        box.setDefaultButton(usual_button)
        box.setEscapeButton(usual_button)
        self._ask(box)
        return buttons.get(box.clickedButton(), usual)  # type: ignore[call-overload, no-any-return]

    def _ask(self, box: QMessageBox) -> int:
        """Wait for the answer; the box goes with it, else the window would keep every one."""
        try:
            return box.exec()
        finally:
            box.deleteLater()

    def _not_taken_text(self, asked: str, refused: tuple[str, ...]) -> str:
        """Return what was not taken: as much as leaves its buttons to a low window."""
        if not refused:
            return ""
        metrics, window = self._parent.fontMetrics(), self._parent.window()
        room = QRect(0, 0, _WORDS_WIDE, window.height() - _AROUND_WORDS)
        for most in range(typed.MOST, 1, -1):
            text = typed.not_in_file(refused, most)
            flags = Qt.TextFlag.TextWordWrap.value
            if metrics.boundingRect(room, flags, f"{asked}\n\n{text}").height() <= room.height():
                return text
        return typed.not_in_file(refused, 1)

    def _show_message(self, text: str) -> None:
        self._ask(message_box(self._parent, text))

    def unsaved(self, title: str, refused: tuple[str, ...], changed: bool = True) -> Unsaved:
        """Return what becomes of changes, if any; `refused` names what was typed, not taken."""
        asked = documents.ask_save(title) if changed else typed.ask_leave(title)
        box = message_box(self._parent, asked, self._not_taken_text(asked, refused))
        button = QMessageBox.StandardButton
        leave = button.Discard | button.Cancel
        box.setStandardButtons(button.Save | leave if changed else leave)
        box.setDefaultButton(button.Save if changed else button.Cancel)
        show = box.addButton(typed.GO_TO, QMessageBox.ButtonRole.ActionRole) if refused else None
        answer = self._ask(box)
        if show is not None and box.clickedButton() is show:
            return "show"
        if answer == button.Save:
            return "save"
        return "discard" if answer == button.Discard else "cancel"
