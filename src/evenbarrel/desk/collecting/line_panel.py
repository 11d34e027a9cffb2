"""The line in focus: why it is sure or not; another datum, screw or value may be given to it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QVBoxLayout, QWidget

from evenbarrel.desk.collecting.data_on_offer import data_on_offer
from evenbarrel.desk.fields.base import BESIDE_LINE, Field, QuietCombo, TypedField
from evenbarrel.desk.fields.make import field_for, give_context
from evenbarrel.desk.fields.simple import ResinField
from evenbarrel.desk.help.topics import explain_shape
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label
from evenbarrel.desk.style.theme import GRID, WARNING, heading
from evenbarrel.entry.shapes import Context, Shape
from evenbarrel.intake.extract import Line
from evenbarrel.intake.in_words import WordedLine, owner_of, shape_of
from evenbarrel.model.datum_path import BarrelPath, TypedText, UnitPath
from evenbarrel.wording.sentences.asking import collecting as words

_WHAT = "Which datum the line is"
_LEAST = 12
"""Letters that a choice shows at least."""


class LinePanel(QFrame):
    """Shows one line; every act of a person goes out as a wish and comes back as another line."""

    datum_wanted = Signal(int, object)
    """Carries the line's place and the DatumKey that the line is said to be, None for no datum."""
    screw_wanted = Signal(object)
    """Carries the BarrelPath that the marked lines are said to belong to."""
    value_wanted = Signal(int, object)
    """Carries the line's place and the value it is said to have."""
    drafted = Signal()
    """What was typed as the value is not taken, or is gone again."""
    resin_wanted = Signal(int)
    """Carries the place of a line whose resin is to be added."""

    def __init__(self) -> None:
        super().__init__()
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.title = heading("", 0.5)
        self.why = Label()
        self.why.setWordWrap(True)
        self.datum, self.screw = QuietCombo(), QuietCombo()
        self.datum.setAccessibleName(_WHAT)
        self.screw.setAccessibleName("Which screw the selected lines belong to")
        for combo in (self.datum, self.screw):
            combo.keep_narrow(_LEAST)
        self._keys = data_on_offer()
        self.datum.addItems([words.NO_DATUM, *(one.text for one in self._keys)])
        self._screws: tuple[BarrelPath, ...] = ()
        self.field: Field | None = None
        self._field_of: tuple[int, Shape] | None = None
        self._place: int | None = None
        self._drafts: dict[int, tuple[Shape, object, TypedText]] = {}
        """What was typed and not taken: what for, the draft, and it as a text."""
        self.note = Label()
        self.note.setWordWrap(True)
        self.datum.activated.connect(self._choose_datum)
        self.screw.activated.connect(self._choose_screw)
        self._lay_out()

    def _lay_out(self) -> None:
        self._rows = QGridLayout()
        self._rows.setHorizontalSpacing(GRID)
        self._rows.setVerticalSpacing(GRID // 2)
        for place, (text, widget) in enumerate(
            ((words.DATUM, self.datum), (words.SCREW, self.screw))
        ):
            title = Label(text)
            title.setBuddy(widget)
            self._rows.addWidget(title, 0, 2 * place)
            self._rows.addWidget(widget, 0, 2 * place + 1)
        value = Label(words.VALUE)
        value.setContentsMargins(0, BESIDE_LINE, 0, 0)
        self._rows.addWidget(value, 1, 0, Qt.AlignmentFlag.AlignTop)
        self._rows.addWidget(self.note, 1, 1, 1, 3)
        self._rows.setColumnStretch(1, 1)
        self._rows.setColumnStretch(3, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID // 2, GRID, GRID // 2)
        column.setSpacing(GRID // 2)
        column.addWidget(self.title)
        column.addWidget(self.why)
        nest(column, self._rows)

    def show_line(
        self,
        place: int | None,
        line: Line | None,
        worded: WordedLine | None,
        screws: Sequence[tuple[BarrelPath, str]],
        context: Context,
    ) -> None:
        """Show the line at that place of the extract; nothing to put right without one."""
        self._place = place
        self._screws = tuple(path for path, _ in screws)
        unknown = line is not None and line.thing is None
        none = words.NO_DATUM if unknown else words.OF_THE_OFFER
        names = [none, *(name for _, name in screws)]
        if names != self.screw.offered():
            self.screw.clear()
            self.screw.addItems(names)
        open_to = line is not None and (line.thing is None or shape_of(line) is not None)
        for widget in (self.datum, self.screw):
            widget.setEnabled(open_to)
        if line is None or worded is None or place is None:
            self.title.setText(words.NO_LINE)
            self.why.setText("")
            self._show_field(None, None, context)
            return
        self.title.setText(words.line_heading(worded.place, worded.found))
        self.why.setText(worded.why)
        self.why.setForegroundRole(self.foregroundRole() if line.sure else WARNING)
        keys = [(one.key.owner, one.key.field) for one in self._keys]
        here = (owner_of(line.thing), line.field)
        self.datum.setCurrentIndex(keys.index(here) + 1 if here in keys else 0)
        self.screw.setCurrentIndex(self._place_of(line.thing))
        self.screw.setEnabled(open_to and (owner_of(line.thing) != "bid" or not line.field))
        self._show_field(place, line, context)

    def focus_value(self) -> None:
        """Take the keyboard to the value, or to the datum where there is no value to type."""
        target = self.datum if self.field is None else self.field
        target.setFocus()

    def typed(self) -> tuple[tuple[str, str], ...]:
        """Return what was typed as a value and cannot be taken, each with what it is for."""
        self._keep_draft()
        return tuple((one.datum.label, typed.text) for one, _, typed in self._drafts.values())

    def drafts(self) -> tuple[tuple[int, Shape, TypedText], ...]:
        """Return what was typed as a value and cannot be taken, by the place of its line."""
        self._keep_draft()
        return tuple((place, shape, one) for place, (shape, _, one) in self._drafts.items())

    def take_drafts(self, drafts: Iterable[tuple[int, Shape, TypedText]]) -> None:
        """Keep texts as if they had been typed here, before any line is shown."""
        self.forget()
        for place, shape, one in drafts:
            self._drafts[place] = (shape, one, one)

    def forget(self) -> None:
        """Forget what was typed and not taken: another extract is shown."""
        self._drafts, self._field_of = {}, None
        self._make_field(None, None, Context())

    def _keep_draft(self) -> None:
        if self.field is None or self._field_of is None:
            return
        draft, (place, shape) = self.field.draft(begun=True), self._field_of
        if isinstance(self.field, TypedField):
            # Into a choice nothing is typed: what was typed for another datum waits.
            self._drafts.pop(place, None)
        if draft is not None:
            typed = self.field.as_typed((), draft, self.field.shown)
            self._drafts[place] = (shape, draft, typed)

    def _place_of(self, thing: Any) -> int:
        if isinstance(thing, BarrelPath) and thing in self._screws:
            return self._screws.index(thing) + 1
        if isinstance(thing, UnitPath):
            units = [(one.bid, one.unit) for one in self._screws]
            if (thing.bid, thing.unit) in units:
                return units.index((thing.bid, thing.unit)) + 1
        return 0

    def _show_field(self, place: int | None, line: Line | None, context: Context) -> None:
        shape = None if line is None or place is None else shape_of(line)
        wanted = None if place is None or shape is None else (place, shape)
        if wanted is None or self.field is None or wanted != self._field_of:
            self._keep_draft()
            self._make_field(place, shape, context)
            self._field_of = wanted
            if self.field is not None and line is not None:
                self.field.reset(line.value)
            if self.field is not None and place in self._drafts:
                typed_for, draft, typed = self._drafts[place]
                # What was typed before its datum was put right is meant for that.
                self.field.take_draft(draft if typed_for == shape else typed)
        elif line is not None:
            give_context(self.field, context)
            self.field.show_value(line.value)
        self.note.setVisible(self.field is None)
        known = line is not None and bool(line.field)
        hint = words.NOT_PUT_RIGHT if known else words.CHOOSE_DATUM
        self.note.setText("" if line is None else hint)

    def _make_field(self, place: int | None, shape: Shape | None, context: Context) -> None:
        if self.field is not None:
            self._rows.removeWidget(self.field)
            self.field.hide()
            self.field.deleteLater()
            self.field = None
        if shape is None:
            return
        self.field = field_for(shape, context)
        explain_shape(self.field, shape)
        # Of the line that is shown now, whichever is in focus by the time it is taken.
        self.field.drafted.connect(self.drafted)
        self.field.edited.connect(lambda value, of=place: self.value_wanted.emit(of, value))
        if isinstance(self.field, ResinField):
            self.field.wanted.connect(lambda of=place: self.resin_wanted.emit(of))
        self._rows.addWidget(self.field, 1, 1, 1, 3)
        self._keep_tab_order(self.field)

    def _keep_tab_order(self, field: Field) -> None:
        """Let Tab go from the screw through the field and on: what is made later comes last."""
        before: QWidget = self.screw
        for widget in field.findChildren(QWidget):
            # The list that a choice opens is a window of its own.
            is_here = widget.window() is self.window()
            if is_here and widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
                self.setTabOrder(before, widget)
                before = widget

    def _choose_datum(self, place: int) -> None:
        if self._place is not None:
            key = self._keys[place - 1].key if place > 0 else None
            self.datum_wanted.emit(self._place, key)

    def _choose_screw(self, place: int) -> None:
        if place > 0:
            self.screw_wanted.emit(self._screws[place - 1])
