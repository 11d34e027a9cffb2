"""Entered data as a table that Qt reads and writes: things against their data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel
from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFont

from evenbarrel.desk.style.theme import Theme, plain_tip
from evenbarrel.desk.tables.sheet_table import Index, ReferenceRole
from evenbarrel.entry.shapes import Context, Shape, read, shapes_of, written
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sheets.sheet import Reference
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import unit_text

ShapeRole = Qt.ItemDataRole.UserRole + 3
"""The Shape of an entered cell, None for a computed one."""

_NUMERIC = frozenset({"quantity", "integer", "share", "money"})


@dataclass(frozen=True)
class Computed:
    """A column that is computed: its title, its unit and a text and reference for each thing."""

    title: str
    unit: str
    cells: Mapping[str, tuple[str, Reference | None]]


class EntryModel(QAbstractTableModel):
    """Things against their data; `across` puts the things into columns.

    What is computed stands behind the data, or before the datum at place `computed_at`.

    A text that cannot be read stays in its cell with the reason, and the model is not changed.
    """

    edited = Signal(str, str, object)
    """Carries the thing's id, the field's name and its new value."""
    refused = Signal(str)

    def __init__(
        self,
        model: type[BaseModel],
        names: Sequence[str],
        theme: Theme,
        across: bool = False,
        computed_at: int | None = None,
    ) -> None:
        super().__init__()
        shapes = shapes_of(model)
        self.shapes: tuple[Shape, ...] = tuple(shapes[name] for name in names)
        self._computed_at = len(names) if computed_at is None else computed_at
        self._columns: tuple[Shape | Computed, ...] = self.shapes
        self._across = across
        self._theme = theme
        self._things: tuple[Any, ...] = ()
        self._titles: tuple[str, ...] = ()
        self._context = Context()
        self._drafts: dict[tuple[str, str], tuple[str, str, object]] = {}

    def show_things(
        self,
        things: Sequence[Any],
        context: Context,
        titles: Sequence[str] = (),
        computed: Sequence[Computed] = (),
    ) -> None:
        """Show these things; where they are the same ones, selection and scrolling stay."""
        at = self._computed_at
        columns: tuple[Shape | Computed, ...] = (
            *self.shapes[:at],
            *computed,
            *self.shapes[at:],
        )
        before = tuple(thing.id for thing in self._things), len(self._columns)
        after = tuple(thing.id for thing in things), len(columns)
        if before != after:
            self.beginResetModel()
        self._things, self._titles = tuple(things), tuple(titles)
        self._columns, self._context = columns, context
        if before != after:
            self.endResetModel()
        elif things:
            last = self.index(self.rowCount() - 1, self.columnCount() - 1)
            self.dataChanged.emit(self.index(0, 0), last)
            orientation = Qt.Orientation.Horizontal
            self.headerDataChanged.emit(orientation, 0, self.columnCount() - 1)

    def thing_at(self, index: Index) -> Any:
        """Return the thing of a valid index."""
        return self._things[index.column() if self._across else index.row()]

    def place_of(self, identity: str) -> int:
        """Return the row (or column) of a thing, -1 where it is not shown."""
        ids = [thing.id for thing in self._things]
        return ids.index(identity) if identity in ids else -1

    def refused_texts(self) -> tuple[str, ...]:
        """Return the texts that were typed and not taken, and still stand in their cells."""
        things = {thing.id: thing for thing in self._things}
        return tuple(
            text
            for (name, datum), (text, _, before) in self._drafts.items()
            if name in things and getattr(things[name], datum) == before
        )

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many rows there are."""
        if parent.isValid():
            return 0
        return len(self._columns) if self._across else len(self._things)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return how many columns there are."""
        if parent.isValid():
            return 0
        return len(self._things) if self._across else len(self._columns)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Return that entered cells are editable."""
        flags = super().flags(index)
        if index.isValid() and isinstance(self._column(index), Shape):
            return flags | Qt.ItemFlag.ItemIsEditable
        return flags

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return text, alignment, tip, colour, shape or reference of a cell."""
        if not index.isValid():
            return None
        shape = self._column(index)
        if isinstance(shape, Computed):
            return self._computed_data(index, shape, role)
        if role == ShapeRole:
            return shape
        if role == Qt.ItemDataRole.TextAlignmentRole:
            right = shape.kind in _NUMERIC
            flag = Qt.AlignmentFlag.AlignRight if right else Qt.AlignmentFlag.AlignLeft
            return flag | Qt.AlignmentFlag.AlignVCenter
        draft = self._draft(index, shape)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            if draft is not None:
                return draft[0]
            return self._text(index, shape, role == Qt.ItemDataRole.DisplayRole)
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(draft[1] if draft is not None else self._tip(index, shape))
        if role == Qt.ItemDataRole.ForegroundRole and draft is not None:
            return QColor(self._theme.colours.outside)
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Read a typed text; False, told and kept in its cell, where it cannot be taken."""
        shape = self._column(index) if index.isValid() else None
        if not isinstance(shape, Shape) or role != Qt.ItemDataRole.EditRole:
            return False
        thing = self.thing_at(index)
        before, key = getattr(thing, shape.name), (thing.id, shape.name)
        reading = read(shape, str(value), self._context, before)
        if reading.problem:
            self._drafts[key] = (str(value), reading.problem, before)
            self.refused.emit(f"{shape.datum.label}: {reading.problem}")
        else:
            self._drafts.pop(key, None)
            if reading.value != before:
                self.edited.emit(*key, reading.value)
        self.dataChanged.emit(index, index)
        return not reading.problem

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a datum's label with its unit, or a thing's title."""
        of_data = (orientation == Qt.Orientation.Horizontal) != self._across
        if not of_data:
            shown = role == Qt.ItemDataRole.DisplayRole and section < len(self._titles)
            return self._titles[section] if shown else None
        if section >= len(self._columns):
            return None
        column = self._columns[section]
        if isinstance(column, Computed):
            return f"{column.title}\n{column.unit}" if role == Qt.ItemDataRole.DisplayRole else None
        datum = column.datum
        if role == Qt.ItemDataRole.ToolTipRole:
            return datum.help or None
        if role == Qt.ItemDataRole.DisplayRole:
            unit = unit_text(datum.units[0]) if datum.units else ""
            between = ", " if self._across else "\n"
            return f"{datum.label}{between}{unit}" if unit else datum.label
        return None

    def choices(self, shape: Shape) -> tuple[str, ...]:
        """Return the words that a cell of closed choice offers."""
        if shape.kind == "resin":
            return tuple(self._context.resins.values())
        return tuple(labels.choice(code) for code in shape.choices)

    def _column(self, index: Index) -> Shape | Computed:
        return self._columns[index.row() if self._across else index.column()]

    def _draft(self, index: Index, shape: Shape) -> tuple[str, str, object] | None:
        thing = self.thing_at(index)
        draft = self._drafts.get((thing.id, shape.name))
        # A draft stands over the value it was typed over; another value replaces it.
        return draft if draft is not None and draft[2] == getattr(thing, shape.name) else None

    def _text(self, index: Index, shape: Shape, for_show: bool) -> str:
        value = getattr(self.thing_at(index), shape.name)
        header_unit = shape.datum.units[0] if shape.datum.units else ""
        if for_show and isinstance(value, Quantity) and value.unit == header_unit:
            return value.magnitude
        return written(shape, value, self._context)

    def _tip(self, index: Index, shape: Shape) -> str:
        value = getattr(self.thing_at(index), shape.name)
        if not isinstance(value, Quantity):
            return shape.datum.help
        standing = labels.STANDINGS[value.standing]
        warning = pages.unusual(shape.datum, value.magnitude, value.unit)
        return "; ".join(part for part in (standing, value.source, warning) if part)

    def _computed_data(self, index: Index, column: Computed, role: int) -> Any:
        text, reference = column.cells.get(self.thing_at(index).id, ("", None))
        if role == Qt.ItemDataRole.DisplayRole:
            return text
        if role == ReferenceRole:
            return reference
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        if role == Qt.ItemDataRole.FontRole:
            font = QFont()
            font.setBold(True)
            return font
        return None
