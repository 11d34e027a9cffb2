"""Entered data as a grid of which whole blocks are copied, put in, filled and cleared."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from evenbarrel.desk.forms.cell_edits import CellEdits
from evenbarrel.desk.forms.grids.cell_words import on_one_line, title_of
from evenbarrel.desk.forms.grids.entered_cells import EnteredCells
from evenbarrel.desk.forms.grids.grid_view import Area
from evenbarrel.desk.tables.roles import Index
from evenbarrel.entry.shapes import Shape, read, written
from evenbarrel.wording.sentences import blocks
from evenbarrel.wording.words.numbers import counted

if TYPE_CHECKING:
    from evenbarrel.entry.block import Rows


class EntryModel(EnteredCells):
    """Things against their data, each block of cells changed in one step."""

    def copied(self, area: Area) -> tuple[Rows, Rows]:
        """Return the cells of a block as they read back: with headings, and alone."""
        alone = tuple(
            tuple(self._copied(self.index(row, column)) for column in area.columns)
            for row in area.rows
        )
        if self._across:
            titles = (on_one_line(self._titles[place]) for place in area.columns)
            named = zip(area.rows, alone, strict=True)
            rows = ((title_of(self._columns[row]), *cells) for row, cells in named)
            return (("", *titles), *rows), alone
        return (tuple(title_of(self._columns[at]) for at in area.columns), *alone), alone

    def put_rows(self, rows: Rows, top: int, left: int, named: bool) -> str:
        """Put a block in from that cell on; return what was taken and what was not, in words."""
        # Loaded with the first block.
        from evenbarrel.entry.block import Anchor, Column, read_block

        thing, datum = (left, top) if self._across else (top, left)
        columns = [
            Column(one.datum.label, one, one.name in self._shared, self._unit(one))
            if isinstance(one, Shape)
            else Column(one.title, None)
            for one in self._columns
        ]
        anchor = Anchor(thing, datum, len(self._things), self._most, self._across, named)
        block = read_block(rows, columns, anchor, self._things, self._context)
        count = len(self._things)
        values = {self._things[at].id: v for at, v in block.values.items() if at < count}
        added = tuple(v for at, v in sorted(block.values.items()) if at >= count)
        if not self._put(CellEdits(blocks.PASTE, values, added)):
            return blocks.taken(0, "", block.left_out)
        how_many = counted(len(added), "screw" if self._across else "job") if added else ""
        return blocks.taken(block.count, how_many, block.left_out, block.doubted)

    def fill(self, area: Area) -> str:
        """Give every cell of a block what stands in its first; return what was done."""
        cells = list(self._entered(area))
        first = area.left if self._across else area.top
        values: dict[str, dict[str, Any]] = {}
        for place, shape in cells:
            if place != first:
                value = getattr(self._things[first], shape.name)
                values.setdefault(self._things[place].id, {})[shape.name] = value
        if not values:
            return blocks.NOTHING_TO_FILL
        return self._changed(CellEdits(self.fills, values))

    def clear_cells(self, area: Area) -> str:
        """Empty the cells of a block; return what was done."""
        values: dict[str, dict[str, Any]] = {}
        for place, shape in self._entered(area):
            empty = read(shape, "", self._context).value
            values.setdefault(self._things[place].id, {})[shape.name] = empty
        return self._changed(CellEdits(blocks.CLEAR, values))

    def _changed(self, cells: CellEdits) -> str:
        count = sum(len(fields) for fields in cells.values.values())
        return blocks.cleared(count) if self._put(cells) else blocks.taken(0, "")

    def _put(self, cells: CellEdits) -> bool:
        for thing, fields in cells.values.items():
            for name in fields:
                self.texts.forget(thing, name)
        return self._put_cells(cells)

    def _entered(self, area: Area) -> Iterator[tuple[int, Shape]]:
        """Yield the place of the thing and the shape of each entered cell of a block."""
        things, data = (area.columns, area.rows) if self._across else (area.rows, area.columns)
        for datum in data:
            column = self._columns[datum]
            if isinstance(column, Shape):
                yield from ((place, column) for place in things)

    def _copied(self, index: Index) -> str:
        column = self._column(index)
        if isinstance(column, Shape):
            return written(column, getattr(self.thing_at(index), column.name), self._context)
        text = str(index.data())
        return f"{text} {column.unit}".rstrip() if any(map(str.isdigit, text)) else text
