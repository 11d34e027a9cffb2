"""What a number off a page goes to: a field of a form, a cell of the screws, an extract's line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

from PySide6.QtWidgets import QApplication, QWidget

from evenbarrel.desk.collecting.extract_panel import ExtractPanel
from evenbarrel.desk.fields.base import Field
from evenbarrel.desk.forms.form import Form
from evenbarrel.desk.forms.grids.entered_cells import ShapeRole
from evenbarrel.desk.pages.bids.screw_sheet import ScrewSheet
from evenbarrel.entry.shapes import Shape
from evenbarrel.intake.in_words import shape_of
from evenbarrel.model.datum_path import Path


@dataclass(frozen=True)
class Waiting:
    """What a number would go to: its datum, what it is called, and what stands there now."""

    shape: Shape
    name: str
    value: Any


Put = Callable[[Path, str, object, str], bool]
"""Puts a value to a field of what stands at a path, as one step of that name; False where it does
not fit."""


class Target(Protocol):
    """Where numbers go, one after the other."""

    def waiting(self) -> Waiting | None:
        """Return what waits, None where nothing does."""

    def take(self, value: Any, step: str) -> bool:
        """Put a value there as one step; False where it does not fit."""

    def go_on(self) -> None:
        """Let the next one wait."""


class SheetTarget:
    """The cell in focus of the screws side by side; the one below waits next."""

    def __init__(self, sheet: ScrewSheet) -> None:
        self._sheet = sheet

    def waiting(self) -> Waiting | None:
        """Return the datum of the cell in focus."""
        view = self._sheet.view
        index = view.currentIndex()
        shape = index.data(ShapeRole) if index.isValid() and view.isVisible() else None
        if shape is None:
            return None
        thing = self._sheet.model.thing_at(index)
        return Waiting(shape, self._sheet.name_of(index), getattr(thing, shape.name))

    def take(self, value: Any, step: str) -> bool:
        """Put a value into the cell, in place of what is being typed there."""
        self._sheet.view.abandon()
        return self._sheet.put_value(self._sheet.view.currentIndex(), value, step)

    def go_on(self) -> None:
        """Go to the cell below."""
        self._sheet.view.step_down()


class FormTarget:
    """A field of a form; the one after it waits next."""

    def __init__(self, form: Form, name: str, put: Put) -> None:
        self._form, self._name, self._put = form, name, put

    def waiting(self) -> Waiting | None:
        """Return the datum of the field."""
        if not self._form.isVisible() or self._form.subject is None:
            return None
        shape = self._form.shapes[self._name]
        return Waiting(shape, shape.datum.label, self._form.fields[self._name].shown)

    def take(self, value: Any, step: str) -> bool:
        """Put a value into the field, in place of what is typed there."""
        subject = self._form.subject
        return subject is not None and self._put(subject.path, self._name, value, step)

    def go_on(self) -> None:
        """Go to the field after; the keyboard follows where it is in the form."""
        names = list(self._form.fields)
        self._name = names[min(names.index(self._name) + 1, len(names) - 1)]
        focus = QApplication.focusWidget()
        if focus is not None and self._form.isAncestorOf(focus):
            self._form.focus_field(self._name)


class LineTarget:
    """The line in focus of an extract that is looked through; the one below waits next."""

    def __init__(self, panel: ExtractPanel) -> None:
        self.panel = panel

    def waiting(self) -> Waiting | None:
        """Return the datum that the line is taken to be."""
        line = self.panel.current_line()
        shape = None if line is None else shape_of(line)
        if line is None or shape is None or shape.kind == "scope":
            # A line of the scope is an item and a word: no number alone fills it.
            return None
        return Waiting(shape, shape.datum.label, line.value)

    def take(self, value: Any, step: str) -> bool:
        """Say that it is the line's value."""
        self.panel.give_value(value)
        return True

    def go_on(self) -> None:
        """Go to the line below."""
        self.panel.table.step_down()


def field_of(widget: QWidget | None, form: Form) -> str | None:
    """Return the name of the form's field that a widget belongs to, or None."""
    while widget is not None and not isinstance(widget, Field):
        widget = widget.parentWidget()
    names = (name for name, field in form.fields.items() if field is widget)
    return None if widget is None else next(names, None)
