"""Several screws in one cell, as `35 / 40 / 45`: parted into a column for each of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from evenbarrel.entry.shapes import Context
from evenbarrel.intake.keys import DIAMETER
from evenbarrel.intake.tables.cells import Cell, Grid, make_grid
from evenbarrel.intake.tables.labels import read_label
from evenbarrel.intake.tables.values import read_value
from evenbarrel.model.quantity import Quantity

_PARTED = re.compile(r"^[^/|]+(?:[/|][^/|]+)+$")
_BEHIND = re.compile(r"^(?P<number>[0-9][0-9.,]*) ?(?P<unit>[^0-9.,\s].*)?$")


def parted(grid: Grid) -> Grid:
    """Return a table in which each column that holds several screws a cell is several columns.

    How many screws there are is told by a row of diameters that grow from one to the next. A cell
    with as many parts is parted, any other stays whole in the first column of them. A table lying
    the other way round is left as it is.
    """
    counts = _screws_in(grid)
    if not counts:
        return grid
    rows = [
        [part for column, cell in enumerate(row) for part in _parts(cell, counts.get(column, 1))]
        for row in grid
    ]
    sheet = grid[0][0].place.sheet
    return make_grid(rows, sheet)


def _screws_in(grid: Grid) -> dict[int, int]:
    """Return for each column with several screws a cell how many they are."""
    for row in grid:
        labels = [c for c, cell in enumerate(row) if DIAMETER in read_label(cell.text).keys]
        if labels:
            found = {
                column: len(sizes)
                for column, cell in enumerate(row)
                if column > labels[0] and (sizes := _split(cell.text)) and _are_diameters(sizes)
            }
            if found:
                return found
    return {}


def _are_diameters(texts: Sequence[str]) -> bool:
    """Say whether the texts are diameters of screws, each larger than the one before."""
    readings = [read_value(DIAMETER.shape, text, "mm", Context()) for text in texts]
    values = [one.value for one in readings if isinstance(one.value, Quantity)]
    if len(values) < len(texts) or any(one.findings for one in readings):
        return False
    sizes = [value.si("length") for value in values]
    return all(low < high for low, high in pairwise(sizes))


def _split(text: str) -> list[str]:
    """Return the parts of a cell, the unit behind the last one behind each; none where it has none.

    `40 / 45 mm` is `40 mm` and `45 mm`; a ratio to one is no part.
    """
    if _PARTED.match(text) is None:
        return []
    parts = [part.strip() for part in re.split(r"[/|]", text)]
    last = _BEHIND.match(parts[-1])
    unit = "" if last is None else last["unit"] or ""
    if not unit:
        return parts
    number = re.compile(r"[0-9][0-9.,]*")
    return [f"{part} {unit}" if number.fullmatch(part) else part for part in parts]


def _parts(cell: Cell, count: int) -> list[Cell]:
    """Return a cell as so many, each at its place; behind one left whole the rest are blank."""
    if count == 1:
        return [cell]
    parts = _split(cell.text)
    if len(parts) == count:
        return [replace(cell, text=part) for part in parts]
    return [cell, *(replace(cell, text="") for _ in range(count - 1))]
