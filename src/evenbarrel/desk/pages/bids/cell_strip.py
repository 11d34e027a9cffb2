"""What stands behind the cell in focus: source, standing, half-width, note, and what implies it."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLineEdit, QVBoxLayout

from evenbarrel.desk.fields.base import LineEdit, role_of
from evenbarrel.desk.fields.provenance import STANDINGS, PlaceButton, choice_of_standing
from evenbarrel.desk.help.topics import explain
from evenbarrel.desk.style.nesting import nest
from evenbarrel.desk.style.plain import Label, set_tip
from evenbarrel.desk.style.theme import FAINT, GRID, PROBLEM, colour, faint, heading
from evenbarrel.entry.shapes import HALF_WIDTH, Context, read, read_text
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.help.glossary import F1
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.asking import quote
from evenbarrel.wording.words.hint import NO_HINT, Hint
from evenbarrel.wording.words.numbers import rounded

_NARROW = 120
"""What a standing or a half-width takes; the rest is for where a number was printed [px]."""


class CellStrip(QFrame):
    """Source, standing, half-width and note of one number, or of all that are marked."""

    changed = Signal(str, object)
    """Carries the field of a number and what a person made of it."""
    place_wanted = Signal(object)
    """Carries the Place of a number, which is to be shown where it is printed."""

    def __init__(self) -> None:
        super().__init__()
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.title = heading("", 1.0)
        self.help = faint(Label())
        self.hint = Label()
        self.hint.setWordWrap(True)
        self.hint.setAccessibleName("What the other numbers imply")
        self.source = _line("Where printed")
        self.standing = choice_of_standing("Standing of the cell in focus")
        self.half_width = _line("Half-width, share of the value")
        self.note = _line("Note")
        self.place = PlaceButton(f"{quote.PLACE_TIP}, of the cell in focus")
        self.place.clicked.connect(lambda _=False: self.place_wanted.emit(self.place.place))
        self._value: Quantity | Money | None = None
        for line, key in (
            (self.source, "source"),
            (self.half_width, "half_width"),
            (self.note, "note"),
        ):
            explain(line, key)
        for widget in (self.standing, self.half_width):
            widget.setMaximumWidth(_NARROW)
        self._lay_out()
        self.source.editingFinished.connect(lambda: self._take("source", self.source))
        self.note.editingFinished.connect(lambda: self._take("note", self.note))
        self.half_width.editingFinished.connect(self._take_half_width)
        self.standing.activated.connect(
            lambda place: self.changed.emit("standing", STANDINGS[place])
        )

    def show_cell(self, title: str, help_text: str, value: Any, hint: Hint = NO_HINT) -> None:
        """Show what stands behind a value; lines wait where it is no number."""
        self.title.setText(title)
        self.help.setText(help_text)
        number = value if isinstance(value, Quantity | Money) else None
        quantity = value if isinstance(value, Quantity) else None
        self._value = number
        for line in (self.source, self.standing):
            line.setEnabled(number is not None)
        for line in (self.half_width, self.note):
            line.setEnabled(quantity is not None)
        self.source.show_text("" if number is None else number.source)
        self.standing.setCurrentIndex(
            STANDINGS.index("quoted" if number is None else number.standing)
        )
        self.place.show_place(None if number is None else number.place)
        half = None if quantity is None else quantity.half_width
        self.half_width.show_text("" if half is None else f"{rounded(half * 100, 2)} %")
        self.note.show_text("" if quantity is None else quantity.note)
        self._say_hint(hint)

    def _say_hint(self, hint: Hint) -> None:
        self.hint.setText(hint.text or pages.NOTHING_IMPLIED)
        colour(self.hint, role_of(hint.state) if hint.text else FAINT)

    def _take(self, name: str, line: QLineEdit) -> None:
        reading = read_text(line.text())
        if reading.problem:
            self._say_problem(reading.objection)
        elif self._value is not None and reading.value != getattr(self._value, name, reading.value):
            self.changed.emit(name, reading.value)

    def _say_problem(self, text: str) -> None:
        self.hint.setText(text)
        colour(self.hint, PROBLEM)

    def _take_half_width(self) -> None:
        if not isinstance(self._value, Quantity) or not self.half_width.isModified():
            return
        reading = read(HALF_WIDTH, self.half_width.text(), Context())
        if reading.problem:
            self._say_problem(reading.objection)
        elif reading.value != self._value.half_width:
            self.changed.emit("half_width", reading.value)

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.title)
        top.addWidget(self.help, 1)
        rows = QGridLayout()
        rows.setHorizontalSpacing(GRID)
        rows.setVerticalSpacing(GRID // 2)
        # In two lines: where a number was printed, and a note, are sentences.
        for row, place, words, widget in (
            (0, 0, "Source", self.source),
            (0, 2, "Standing", self.standing),
            (1, 0, "Note", self.note),
            (1, 2, "Half-width ±", self.half_width),
        ):
            title = Label(words)
            set_tip(title, F1)
            rows.addWidget(title, row, place)
            rows.addWidget(widget, row, place + 1)
        at_source = QHBoxLayout()
        # While it is empty, for the reason that `nest` gives.
        rows.addLayout(at_source, 0, 1)
        at_source.addWidget(self.source, 1)
        at_source.addWidget(self.place)
        rows.setColumnStretch(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(GRID, GRID // 2, GRID, GRID)
        column.setSpacing(GRID // 2)
        nest(column, top)
        nest(column, rows)
        column.addWidget(self.hint)


def _line(name: str) -> LineEdit:
    line = LineEdit()
    line.setAccessibleName(f"{name} of the cell in focus")
    return line
