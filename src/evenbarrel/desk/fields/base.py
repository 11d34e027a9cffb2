"""What every field has: a value from the model, what was typed over it, and a line of words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import (
    QDragEnterEvent,
    QFocusEvent,
    QKeyEvent,
    QKeySequence,
    QPalette,
    QWheelEvent,
)
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import ACCENT, FAINT, PROBLEM, WARNING, colour, faint
from evenbarrel.entry.parsed import ParsedText
from evenbarrel.model.datum_path import Path, TypedText
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words.visible import visible_line

if TYPE_CHECKING:
    from evenbarrel.appraisal.results import State
    from evenbarrel.wording.words.hint import Hint


def role_of(state: State | None) -> QPalette.ColorRole:
    """Return the colour of a hint: what fails stands out from what agrees or only tells."""
    return {"outside": PROBLEM, "near_edge": WARNING}.get(state or "", ACCENT)


class QuietCombo(QComboBox):
    """A choice that the wheel never changes."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def keep_narrow(self, letters: int) -> None:
        """Need no more room than for so many letters, however long a choice is."""
        self.setMinimumContentsLength(letters)
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)

    def addItems(self, texts: Sequence[str]) -> None:
        """Offer more texts, each with what hides in it shown."""
        for text in texts:
            self.addItem(visible_line(text), text)

    def offered(self) -> list[str]:
        """Return the texts on offer as they are written, whatever hides in them."""
        return [self.itemData(place) for place in range(self.count())]

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page, which scrolls."""
        event.ignore()


BESIDE_LINE = 4
"""Free above a label, so that it stands beside the words of its line [px]."""
_SHORT = 10
"""Letters that every line shows at once."""


def _whole(text: str) -> str:
    return text if len(text) > _SHORT else ""


class LineEdit(QLineEdit):
    """A line that leaves undo and redo to the window unless something uncommitted stands in it."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.textChanged.connect(lambda now: set_tip(self, pages.hidden(now) or _whole(now)))
        self.setText(text)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Look at what comes while the keyboard is here; all of a form's lines would cost."""
        self.installEventFilter(self)
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Look at nothing more."""
        self.removeEventFilter(self)
        super().focusOutEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let Ctrl+Z through where this line has nothing of its own to undo."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and not self.isModified()
            and (
                event.matches(QKeySequence.StandardKey.Undo)
                or event.matches(QKeySequence.StandardKey.Redo)
            )
        ):
            event.ignore()
            return True
        return False

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Let files that are dragged go on to the window: their names are not to be typed in."""
        if event.mimeData().hasUrls():
            event.ignore()
        else:
            super().dragEnterEvent(event)

    def show_text(self, text: str) -> None:
        """Show `text` from its beginning, with nothing to undo."""
        if text != self.text():
            self.setText(text)
            self.setCursorPosition(0)
        self.setModified(False)


class Field(QWidget):
    """Base of all fields.

    `show_value` shows the model's value and leaves alone what was typed over that same value;
    `reset` shows it whatever was typed. Neither emits; `edited` comes of a person's act only.
    """

    edited = Signal(object)
    drafted = Signal()
    """What was typed is not taken or not left yet, or is gone again."""
    place_wanted = Signal(object)
    """Carries the Place of a number, which is to be shown where it is printed."""

    def __init__(self, label: str, help_text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        # It may name a person's thing, as what a resin is called.
        self.label = label = visible_line(label)
        self._help = help_text
        self._shown: object = None
        self.setAccessibleName(label)
        set_tip(self, help_text)
        self.message = faint(Label(help_text))
        self.message.setAccessibleName(f"{label}: what was understood")
        self.message.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self.message.setWordWrap(True)
        self._row = QHBoxLayout()
        self._row.setSpacing(4)
        self._row.setContentsMargins(0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        self.hint: Label | None = None
        """Made with the first words: few fields ever have any."""
        self._column = column
        nest(column, self._row)
        column.addWidget(self.message)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    @property
    def shown(self) -> object:
        """The model's value that the field stands for."""
        return self._shown

    def show_value(self, value: object) -> None:
        """Show the model's value; what was typed over the same value stays."""
        if value != self._shown:
            self.reset(value)

    def reset(self, value: object) -> None:
        """Show the model's value, whatever was typed before."""
        self._shown = value
        self._display(value)

    def refuse(self, before: object, problem: str) -> None:
        """Stand for the value before again: what was typed is not taken, and stays where it can."""
        self.reset(before)

    def commit(self) -> None:
        """Take what was typed as if the person had left the field."""

    def draft(self, begun: bool = False) -> object | None:
        """Return what was typed and not taken, or None; `take_draft` puts it back.

        With `begun` also what is being typed, and not left yet.
        """
        return None

    def take_draft(self, draft: object) -> None:
        """Show again what was typed and not taken, without a word."""

    def as_typed(self, path: Path, draft: object, over: object) -> TypedText:
        """Return what was typed over a value as one text, which `take_draft` takes too."""
        return draft if isinstance(draft, TypedText) else TypedText(path, str(draft))

    def _display(self, value: object) -> None:
        raise NotImplementedError

    def _emit(self, value: object) -> None:
        if value != self._shown:
            self._shown = value
            self.edited.emit(value)

    def show_hint(self, hint: Hint) -> None:
        """Say what the other numbers imply; nothing stands there without words."""
        if self.hint is None:
            if not hint.text:
                return
            self.hint = faint(Label())
            self.hint.setAccessibleName(f"{self.label}: implied by the other numbers")
            self.hint.setWordWrap(True)
            self._column.addWidget(self.hint)
        colour(self.hint, role_of(hint.state))
        if hint.text != self.hint.text():
            self.hint.setText(hint.text)
            self.hint.setVisible(bool(hint.text))

    def say(self, reading: ParsedText) -> None:
        """Put what was understood, doubted or refused into the line below."""
        understood = f"{reading.echo} ({reading.remark})" if reading.remark else reading.echo
        if reading.problem:
            self._say(f"⊗ {reading.objection}", PROBLEM)
        elif reading.warning:
            text = "; ".join(part for part in (understood, reading.warning) if part)
            self._say(f"◐ {text}", WARNING)
        else:
            self._say(understood or self._help, FAINT)

    def _say(self, text: str, role: QPalette.ColorRole) -> None:
        if text != self.message.text():
            self.message.setText(text)
        colour(self.message, role)


class TypedField(Field):
    """A field whose value is typed into one line and read as a whole."""

    def __init__(self, label: str, help_text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(label, help_text, parent)
        self.line = LineEdit()
        self.line.setAccessibleName(self.label)
        self.line.setAccessibleDescription(help_text)
        self.line.textEdited.connect(self.drafted)
        self.line.editingFinished.connect(self.commit)
        self._row.addWidget(self.line)
        self.setFocusProxy(self.line)
        self._refused = False

    def read(self, text: str) -> ParsedText:
        """Return what `text` means to this field."""
        raise NotImplementedError

    def written(self, value: object) -> str:
        """Return the model's value as text."""
        raise NotImplementedError

    def commit(self) -> None:
        """Take the typed text, or say why not and leave it standing."""
        reading, was_draft = self.read(self.line.text()), self.draft() is not None
        self._refused = bool(reading.problem)
        self.say(reading)
        if was_draft or self.draft() is not None:
            self.drafted.emit()
        if self._refused:
            return
        self.line.show_text(self.written(reading.value))
        self._emit(reading.value)

    def draft(self, begun: bool = False) -> object | None:
        """Return the refused text, or with `begun` what is being typed, or None."""
        return self.line.text() if self._refused or (begun and self.line.isModified()) else None

    def refuse(self, before: object, problem: str) -> None:
        """Keep the typed text with the reason, though it reads well."""
        self._shown, self._refused = before, True
        self.say(ParsedText(problem=problem))
        self.drafted.emit()

    def take_draft(self, draft: object) -> None:
        """Show the refused text and why again; what can be read by now is taken when left."""
        self.line.setText(draft.text if isinstance(draft, TypedText) else str(draft))
        self.line.setModified(True)
        reading = self.read(self.line.text())
        self._refused = bool(reading.problem)
        self.say(reading)

    def _display(self, value: object) -> None:
        self._refused = False
        text = self.written(value)
        self.line.show_text(text)
        self.say(replace(self.read(text), remark=""))


def field_with_focus() -> Field | None:
    """Return the field that the keyboard is in, or None."""
    widget = QApplication.focusWidget()
    while widget is not None and not isinstance(widget, Field):
        widget = widget.parentWidget()
    return widget


def commit_focused() -> None:
    """Take what stands typed and not yet left: before saving, closing, or a step of another."""
    field = field_with_focus()
    if field is not None:
        field.commit()


def first_reachable(area: QWidget) -> QWidget:
    """Return the first widget inside that the Tab key would reach."""
    for widget in area.findChildren(QWidget):
        reachable = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if reachable and widget.isVisible() and widget.isEnabled():
            return widget
    return area
