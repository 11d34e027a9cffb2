"""Entered data as a table that Qt reads and writes, cell by cell: things against their data."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QColor

from evenbarrel.desk.forms.cell_edits import CellEdits, places_that_differ
from evenbarrel.desk.forms.grids.cell_words import lies, tip_of
from evenbarrel.desk.forms.grids.computed import RIGHT, Computed, beside_unit, over_unit
from evenbarrel.desk.forms.grids.grid_view import GridModel
from evenbarrel.desk.forms.refused_texts import Find, RefusedTexts
from evenbarrel.desk.help.topics import TopicRole, key_of_shape
from evenbarrel.desk.style.plain import for_people
from evenbarrel.desk.style.state_marks import mark_icon
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.roles import Index
from evenbarrel.entry.meant import unit_shared
from evenbarrel.entry.shapes import Context, Shape, read, written
from evenbarrel.model.datum_path import free_id
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences import blocks, pages
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import in_system, unit_text

ShapeRole = Qt.ItemDataRole.UserRole + 3
"""The Shape of an entered cell, None for a computed one."""

_Role = Qt.ItemDataRole
_NEVER_SET = frozenset({_Role.BackgroundRole, _Role.CheckStateRole})
"""What Qt asks of every cell it paints, and no cell has."""
_OF_REFUSED = frozenset(
    {_Role.DisplayRole, _Role.EditRole, _Role.ToolTipRole, _Role.DecorationRole}
    | {_Role.ForegroundRole}
)
"""What changes where something typed was not accepted."""
_READ = Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemNeverHasChildren
_ENTERED = _READ | Qt.ItemFlag.ItemIsEditable


class EnteredCells(GridModel):
    """Things against their data; `across` puts the things into columns.

    What is computed stands behind the data, or before the datum at place `computed_at`. A text
    that cannot be read stays in its cell with the reason, and the model is not changed.
    """

    edited = Signal(str, str, object)
    """Carries the thing's id, the field's name and its new value."""
    refused = Signal(str)
    remarked = Signal(str)
    """Carries how a typed text was read where it could have been read in another way."""

    def __init__(
        self,
        shapes: Sequence[Shape],
        theme: Theme,
        put_cells: Callable[[CellEdits], bool],
        find: Find,
        across: bool = False,
        computed_at: int | None = None,
    ) -> None:
        super().__init__()
        self.shapes: tuple[Shape, ...] = tuple(shapes)
        self.fills = blocks.FILL_RIGHT if across else blocks.FILL_DOWN
        self._put_cells = put_cells
        self._most = 0
        self._shared: frozenset[str] = frozenset()
        self._marks: Mapping[tuple[str, str], str] = {}
        self._computed_at = len(shapes) if computed_at is None else computed_at
        self._columns: tuple[Shape | Computed, ...] = self.shapes
        self._across = across
        self._theme = theme
        self._things: tuple[Any, ...] = ()
        self._titles: tuple[str, ...] = ()
        self._context = Context()
        self.texts = RefusedTexts(self.shapes, find, self._all_changed)
        self._units: dict[str, str] = {}

    def show_things(
        self,
        things: Sequence[Any],
        context: Context,
        titles: Sequence[str] = (),
        computed: Sequence[Computed] = (),
        most: int = 0,
        shared: frozenset[str] = frozenset(),
        marks: Mapping[tuple[str, str], str] = MappingProxyType({}),
    ) -> None:
        """Show these things; where they are the same ones, selection and scrolling stay.

        A block that is put in may add things up to `most`, none where that is fewer than there are.
        `shared` data are one for all things; `marks` are states by the thing's id and the field.
        """
        at = self._computed_at
        columns: tuple[Shape | Computed, ...] = (*self.shapes[:at], *computed, *self.shapes[at:])
        before, were = self._looks(), (tuple(t.id for t in self._things), len(self._columns))
        same = were == (tuple(thing.id for thing in things), len(columns))
        if not same:
            self.beginResetModel()
        self._things, self._titles = tuple(things), tuple(titles)
        self._units = {}
        self._shared, self._marks = shared, marks
        self._columns, self._context, self._most = columns, context, max(most, len(things))
        common, cells = self._looks()
        if not same:
            self.endResetModel()
        elif before[0] == common:
            self._cells_changed(places_that_differ(before[1], cells))
        else:
            self._all_changed()
            self._heads_changed()

    def _all_changed(self) -> None:
        self._cells_changed(range(len(self._things)))

    def _heads_changed(self) -> None:
        if self._things:
            self.headerDataChanged.emit(Qt.Orientation.Horizontal, 0, self.columnCount() - 1)
            self.headerDataChanged.emit(Qt.Orientation.Vertical, 0, self.rowCount() - 1)

    def _looks(self) -> tuple[object, list[object]]:
        """Return what cells and headings of all things are read by, and what each thing shows."""
        computed = [column for column in self._columns if isinstance(column, Computed)]
        heads = [column.heading for column in computed]
        units = [self._unit(shape) for shape in self.shapes if self._across]
        cells = [(one, *(c.cells.get(one.id) for c in computed)) for one in self._things]
        return (self._context, self._titles, self._marks, heads, units), [*cells]

    def _cells_changed(self, places: Sequence[int]) -> None:
        """Tell views that cells from the first to the last of these things are other."""
        if places:
            first, last = places[0], places[-1]
            if self._across:
                ends = self.index(0, first), self.index(self.rowCount() - 1, last)
            else:
                ends = self.index(first, 0), self.index(last, self.columnCount() - 1)
            self.dataChanged.emit(*ends)

    def things(self) -> tuple[Any, ...]:
        """Return the things that are shown."""
        return self._things

    def show_entered(self, things: Sequence[Any]) -> None:
        """Show the same things with the data they have now."""
        before, self._things, units = self._things, tuple(things), self._units
        self._units = {}
        if self._across and any(
            self._unit(shape) != units.get(shape.name) for shape in self.shapes
        ):
            self._all_changed()
            self._heads_changed()
        else:
            self._cells_changed(places_that_differ(before, self._things))

    def thing_at(self, index: Index) -> Any:
        """Return the thing of a valid index."""
        return self._things[index.column() if self._across else index.row()]

    def place_of(self, identity: str) -> int:
        """Return the row (or column) of a thing, -1 where it is not shown."""
        ids = [thing.id for thing in self._things]
        return ids.index(identity) if identity in ids else -1

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
        if not index.isValid():
            return super().flags(index)
        return _ENTERED if isinstance(self._column(index), Shape) else _READ

    @for_people
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Return text, alignment, tip, colour, shape or reference of a cell."""
        if role in _NEVER_SET or not index.isValid():
            return None
        shape = self._column(index)
        if isinstance(shape, Computed):
            return shape.cell_data(self.thing_at(index).id, role)
        if role == TopicRole:
            return key_of_shape(shape)
        if role == ShapeRole:
            return shape
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return lies(shape)
        if role not in _OF_REFUSED:
            return None
        thing = self.thing_at(index)
        draft = self.texts.at(thing, shape.name)
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            if draft is not None:
                return draft.text
            return self._text(index, shape, role == Qt.ItemDataRole.DisplayRole)
        if role == Qt.ItemDataRole.ToolTipRole:
            if draft is not None:
                return draft.problem
            return tip_of(shape, getattr(thing, shape.name), self._context.units)
        if role == Qt.ItemDataRole.DecorationRole:
            state = self._marks.get((thing.id, shape.name))
            return None if state is None else mark_icon(state, self._theme.colours)
        if role == Qt.ItemDataRole.ForegroundRole and draft is not None:
            return QColor(self._theme.colours.problem)
        return None

    def plain(self, index: Index) -> tuple[str, Qt.AlignmentFlag, bool] | None:
        """Return a cell's text, how it lies and whether it is bold; None where it has more."""
        column, thing = self._column(index), self.thing_at(index)
        if isinstance(column, Computed):
            return column.cells.get(thing.id, ("", None))[0], RIGHT, True
        if (thing.id, column.name) in self._marks or self.texts.at(thing, column.name):
            return None
        return self._text(index, column, for_show=True), lies(column), False

    def begin(self, index: Index, text: str) -> None:
        """Know what is being typed in a cell; nothing is where there is no such cell."""
        shape = self._column(index) if index.isValid() else None
        if isinstance(shape, Shape):
            self.texts.begin(self.thing_at(index), shape.name, text)
        else:
            self.texts.leave()

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        """Read a typed text; False, told and kept in its cell, where it cannot be taken."""
        shape = self._column(index) if index.isValid() else None
        if not isinstance(shape, Shape) or role != Qt.ItemDataRole.EditRole:
            return False
        thing = self.thing_at(index)
        before, key = getattr(thing, shape.name), (thing.id, shape.name)
        context = replace(self._context, beside=self._unit(shape))
        reading = read(shape, str(value), context, before)
        if reading.problem:
            self.texts.keep(thing, shape.name, str(value), reading.objection)
            self.refused.emit(f"{shape.datum.label}: {reading.objection}")
        else:
            self.texts.forget(*key)
            if reading.remark:
                self.remarked.emit(f"{shape.datum.label}: {reading.echo} ({reading.remark})")
            if reading.value != before:
                self.edited.emit(*key, reading.value)
        self.dataChanged.emit(index, index)
        return not reading.problem

    @for_people
    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Return a datum's label with its unit, or a thing's title."""
        if (orientation == Qt.Orientation.Horizontal) == self._across:
            shown = role == Qt.ItemDataRole.DisplayRole and section < len(self._titles)
            return self._titles[section] if shown else None
        if section >= len(self._columns):
            return None
        column = self._columns[section]
        if role == Qt.ItemDataRole.TextAlignmentRole and not self._across:
            return lies(column)
        if isinstance(column, Computed):
            return column.heading if role == Qt.ItemDataRole.DisplayRole else None
        if role == Qt.ItemDataRole.ToolTipRole:
            return column.datum.help or None
        if role == Qt.ItemDataRole.DisplayRole:
            beside = beside_unit if self._across else over_unit
            return beside(column.datum.label, unit_text(self._unit(column)))
        return None

    def offered(self, shape: Shape) -> tuple[tuple[str, str], ...]:
        """Return the keys and words that a pick-list offers; resins of the table stand behind."""
        if shape.kind == "resin":
            return (*self._context.resins.items(), *self._context.table.items())
        return tuple((code, labels.choice(code)) for code in shape.choices)

    def name_resin(self, index: Index, name: str) -> bool:
        """Put a resin into a cell that only its name is known of: it is added in the same step."""
        shape, thing = self._column(index), self.thing_at(index)
        if not isinstance(shape, Shape):
            return False
        self.texts.forget(thing.id, shape.name)
        key = free_id({*self._context.resins, *self._context.table}, "resin")
        return self._put_cells(
            CellEdits(pages.ADD_RESIN, {thing.id: {shape.name: key}}, resins={key: name})
        )

    def has_resin(self, key: str) -> bool:
        """Say whether the evaluation has the resin of that key."""
        return key in self._context.resins

    def _column(self, index: Index) -> Shape | Computed:
        return self._columns[index.row() if self._across else index.column()]

    def _unit(self, shape: Shape) -> str:
        """Return the unit that heads a datum, and that a bare number typed there is in."""
        if not shape.datum.units:
            return ""
        if shape.name not in self._units:
            # Each supplier prints in units of its own; our own jobs are told in the desk's.
            stated = (getattr(one, shape.name) for one in self._things if self._across)
            self._units[shape.name] = unit_shared(shape.datum, stated, self._context.units)
        return self._units[shape.name]

    def _text(self, index: Index, shape: Shape, for_show: bool) -> str:
        value = getattr(self.thing_at(index), shape.name)
        if for_show and isinstance(value, Quantity):
            value = in_system(value, shape.datum.kind_of(value.unit), self._context.units)
            if value.unit == self._unit(shape):
                return value.magnitude
        return written(shape, value, self._context)
