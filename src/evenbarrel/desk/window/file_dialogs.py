"""The questions that stop a person: which file, and what becomes of unsaved changes."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from evenbarrel.wording.sentences import pages

Unsaved = Literal["save", "discard", "cancel"]

_EVALUATIONS = "Evaluations (*.evenbarrel.json);;All files (*)"
_ENDING = ".evenbarrel.json"


class Dialogs:
    """Asks the person in front of `parent`."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent

    def file_to_open(self) -> Path | None:
        """Return the evaluation to open, None where the person thinks better of it."""
        name, _ = QFileDialog.getOpenFileName(self._parent, "Open evaluation", "", _EVALUATIONS)
        return Path(name) if name else None

    def file_to_save(self, present: Path | None) -> Path | None:
        """Return where to save; the usual ending is added where none is typed."""
        name, _ = QFileDialog.getSaveFileName(
            self._parent, "Save evaluation", str(present or ""), _EVALUATIONS
        )
        if not name:
            return None
        path = Path(name)
        return path if path.suffix else path.with_name(path.name + _ENDING)

    def file_to_write(self, title: str, proposed: str, kinds: str) -> Path | None:
        """Return where to write an export of these kinds."""
        name, _ = QFileDialog.getSaveFileName(self._parent, title, proposed, kinds)
        return Path(name) if name else None

    def unsaved(self, title: str, refused: tuple[str, ...]) -> Unsaved:
        """Return what becomes of changes; `refused` names what was typed and not taken."""
        box = QMessageBox(self._parent)
        box.setIcon(QMessageBox.Icon.Question)
        box.setTextFormat(Qt.TextFormat.PlainText)
        box.setText(pages.ask_save(title))
        if refused:
            box.setInformativeText(pages.refused_entries(refused))
        button = QMessageBox.StandardButton
        box.setStandardButtons(button.Save | button.Discard | button.Cancel)
        box.setDefaultButton(button.Save)
        answer = box.exec()
        if answer == button.Save:
            return "save"
        return "discard" if answer == button.Discard else "cancel"
