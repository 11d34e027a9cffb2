"""What every field has: a value from the model, what was typed over it, and a line of words."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPalette, QWheelEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from evenbarrel.desk.style.theme import ACCENT, FAINT, PROBLEM, WARNING, faint
from evenbarrel.entry.shapes import ParsedText


class QuietCombo(QComboBox):
    """A choice that the wheel never changes."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page, which scrolls."""
        event.ignore()


class LineEdit(QLineEdit):
    """A line that leaves undo and redo to the window unless something uncommitted stands in it."""

    def event(self, event: QEvent) -> bool:
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
            return False
        return super().event(event)

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
    """What was typed is not taken, or is taken again."""

    def __init__(self, label: str, help_text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.label = label
        self._help = help_text
        self._shown: object = None
        self.setAccessibleName(label)
        self.setToolTip(help_text)
        self.message = faint(QLabel(help_text))
        self.message.setAccessibleName(f"{label}: what was understood")
        self.message.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self.message.setWordWrap(True)
        self._row = QHBoxLayout()
        self._row.setSpacing(4)
        self._row.setContentsMargins(0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(1)
        self.hint = faint(QLabel())
        self.hint.setForegroundRole(ACCENT)
        self.hint.setAccessibleName(f"{label}: implied by the other numbers")
        self.hint.setWordWrap(True)
        self.hint.hide()
        column.addLayout(self._row)
        column.addWidget(self.message)
        column.addWidget(self.hint)
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

    def commit(self) -> None:
        """Take what was typed as if the person had left the field."""

    def draft(self) -> object | None:
        """Return what was typed and not taken, or None; `take_draft` puts it back."""
        return None

    def take_draft(self, draft: object) -> None:
        """Show again what was typed and not taken, without a word."""

    def _display(self, value: object) -> None:
        raise NotImplementedError

    def _emit(self, value: object) -> None:
        if value != self._shown:
            self._shown = value
            self.edited.emit(value)

    def show_hint(self, text: str) -> None:
        """Say what the other numbers imply; nothing stands there without words."""
        if text != self.hint.text():
            self.hint.setText(text)
            self.hint.setVisible(bool(text))

    def say(self, reading: ParsedText) -> None:
        """Put what was understood, doubted or refused into the line below."""
        understood = f"{reading.echo} ({reading.remark})" if reading.remark else reading.echo
        if reading.problem:
            self._say(f"⊗ {reading.problem}", PROBLEM)
        elif reading.warning:
            self._say(f"◐ {understood}; {reading.warning}", WARNING)
        else:
            self._say(understood or self._help, FAINT)

    def _say(self, text: str, role: QPalette.ColorRole) -> None:
        if text != self.message.text():
            self.message.setText(text)
        self.message.setForegroundRole(role)


class TypedField(Field):
    """A field whose value is typed into one line and read as a whole."""

    def __init__(self, label: str, help_text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(label, help_text, parent)
        self.line = LineEdit()
        self.line.setAccessibleName(label)
        self.line.setAccessibleDescription(help_text)
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
        reading = self.read(self.line.text())
        self._refused = bool(reading.problem)
        self.say(reading)
        if self._refused:
            self.drafted.emit()
            return
        self.line.show_text(self.written(reading.value))
        self._emit(reading.value)

    def draft(self) -> object | None:
        """Return the refused text, or None."""
        return self.line.text() if self._refused else None

    def take_draft(self, draft: object) -> None:
        """Show the refused text and why again; what can be read by now is taken when left."""
        self.line.setText(str(draft))
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
