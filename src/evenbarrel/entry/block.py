"""A block of cells from a spreadsheet, a mail or this program, laid onto a grid of entered data.

Nothing is taken silently: what has no place and what cannot be read is listed with the reason, and
so is a number that could have been read in another way.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from evenbarrel.entry.amount import read_money
from evenbarrel.entry.meant import unit_meant
from evenbarrel.entry.number import Entry, read_number
from evenbarrel.entry.shapes import (
    Context,
    ParsedText,
    Shape,
    read,
    read_quantity,
)
from evenbarrel.entry.wordings import fields_called, squeezed
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.sentences import blocks

Rows = tuple[tuple[str, ...], ...]
"""Cells by their lines; lines may differ in length."""

MOST_CHARACTERS = 4_000_000
"""Of one block; more is no table of screws or jobs."""

_UNIT_IN_HEADING = re.compile(r"[\s,;:/]*[(\[]?\s*(?:in )?(?P<unit>[^()\[\]]*?)\s*[)\]]?")


@dataclass(frozen=True)
class Column:
    """What stands in a line of the grid's data: its label, and its shape or None if computed.

    A `shared` datum is one for all things: what the first says holds. `unit` is the one that the
    grid heads it with.
    """

    label: str
    shape: Shape | None
    shared: bool = False
    unit: str = ""


@dataclass(frozen=True)
class Anchor:
    """Where a block goes: the thing and the datum of its first cell, and how many things may be.

    `across`: things stand in columns. `named`: the block may bring headings that say what is what.
    """

    thing: int
    datum: int
    things: int
    most: int
    across: bool = False
    named: bool = True


@dataclass(frozen=True)
class ReadBlock:
    """What a block comes to: values by place of thing and field, and what is to be told of it."""

    values: Mapping[int, Mapping[str, Any]]
    left_out: tuple[blocks.CellRemark, ...] = ()
    doubted: tuple[blocks.CellRemark, ...] = ()

    @property
    def count(self) -> int:
        """How many cells were read."""
        return sum(len(fields) for fields in self.values.values())


@dataclass(frozen=True)
class _Placed:
    thing: int
    column: Column
    text: str
    unit: str
    line: int


def split(text: str) -> Rows:
    """Return the cells of a text: by tabs, else by semicolons, bars or wide gaps, else by lines.

    Lines without any text are kept: what stands below them belongs there.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n").rstrip("\n")
    if "\t" in text or '"' in text:
        return _tabbed(text)
    lines = text.split("\n")
    for separator in (r"\s*;\s*", r"\s*\|\s*", r" {2,}"):
        cells = [re.split(separator, line.strip(" |")) for line in lines]
        counts = {len(row) for row, line in zip(cells, lines, strict=True) if line.strip()}
        if len(counts) == 1 and counts != {1}:
            return tuple(map(tuple, cells))
    return tuple((line,) for line in lines)


def _tabbed(text: str) -> Rows:
    plain = tuple(tuple(line.split("\t")) for line in text.split("\n"))
    # A cell is quoted only where it holds what would else end it; 2" is two inches.
    if not re.search(r'(?:^|[\t\n])"', text):
        return plain
    try:
        return tuple(map(tuple, csv.reader(io.StringIO(text), delimiter="\t", strict=True)))
    except csv.Error:
        return plain


def joined(rows: Iterable[Sequence[str]]) -> str:
    """Return cells as text that `split` takes apart again, and any spreadsheet with it."""
    written = io.StringIO()
    csv.writer(written, delimiter="\t", lineterminator="\n").writerows(rows)
    return written.getvalue()


def read_block(
    rows: Rows, columns: Sequence[Column], anchor: Anchor, things: Sequence[Any], context: Context
) -> ReadBlock:
    """Return what a block means from `place` on; empty cells leave what stands there."""
    left_out: list[blocks.CellRemark] = []
    doubted: list[blocks.CellRemark] = []
    values: dict[int, dict[str, Any]] = {}
    table = _table(rows, columns, anchor)
    for cell in _laid_out(table, anchor, left_out):
        shape = cell.column.shape
        if shape is None:
            left_out.append(blocks.CellRemark(cell.column.label, cell.text, blocks.COMPUTED))
            continue
        thing = things[cell.thing] if cell.thing < len(things) else None
        before = None if thing is None else getattr(thing, shape.name)
        reading = read_cell(shape, cell.text, context, before, cell.unit)
        problem = reading.problem or _not_shared(cell, reading.value, things, values)
        if problem:
            left_out.append(_remark(cell, problem, table))
            continue
        values.setdefault(cell.thing, {})[shape.name] = reading.value
        if reading.remark:
            doubted.append(_remark(cell, reading.remark, table))
    return ReadBlock(values, tuple(left_out), tuple(doubted))


def read_cell(
    shape: Shape, text: str, context: Context, before: Any = None, unit: str = ""
) -> ParsedText:
    """Return what a pasted text means: in `unit`, or the heading's, where it brings none.

    A number from elsewhere does not take over the source of the one that it replaces.
    """
    reading: ParsedText
    if shape.kind == "quantity":
        unit = unit or unit_meant(shape.datum, context.units)
        reading = read_quantity(shape.datum, text, unit, context, standing=shape.standing)
    elif shape.kind == "money":
        reading = read_money(text, context.currency)
    else:
        return read(shape, text, context, before)
    same = _same_number(reading.value, before)
    return ParsedText(before) if same else reading


def _not_shared(
    cell: _Placed, value: Any, things: Sequence[Any], values: Mapping[int, Mapping[str, Any]]
) -> str:
    """Return why a value cannot stand beside that of the first thing, "" where it can."""
    shape = cell.column.shape
    if not cell.column.shared or not cell.thing or shape is None:
        return ""
    stands = getattr(things[0], shape.name) if things else None
    first = values.get(0, {}).get(shape.name, stands)
    return "" if value == first or _same_number(value, first) else blocks.ONE_FOR_ALL


def _same_number(one: object, other: object) -> bool:
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return (one.magnitude, one.unit) == (other.magnitude, other.unit)
    if isinstance(one, Money) and isinstance(other, Money):
        return (one.amount, one.currency) == (other.amount, other.currency)
    return False


@dataclass(frozen=True)
class _Head:
    column: Column | None
    unit: str
    title: str


@dataclass(frozen=True)
class _Table:
    """A block turned so that each line is a thing, under what its cells are."""

    rows: Rows
    heads: tuple[_Head, ...]
    first_line: int
    across: bool


def _remark(cell: _Placed, why: str, table: _Table) -> blocks.CellRemark:
    return blocks.CellRemark(cell.column.label, cell.text, why, cell.line, table.across)


def _laid_out(
    table: _Table, anchor: Anchor, left_out: list[blocks.CellRemark]
) -> Iterator[_Placed]:
    """Yield every cell with text that has a place; tell of those that have none."""
    thing, too_many = anchor.thing, 0
    for line, row in enumerate(table.rows, table.first_line):
        is_empty = not any(text.strip() for text in row)
        if thing >= anchor.most and not is_empty:
            too_many += 1
            continue
        for number, text in enumerate(row):
            if not text.strip():
                continue
            head = table.heads[number] if number < len(table.heads) else None
            if head is not None and head.column is not None:
                yield _Placed(thing, head.column, text.strip(), head.unit or head.column.unit, line)
            else:
                what = blocks.column(number + 1, "" if head is None else head.title, table.across)
                left_out.append(blocks.CellRemark(what, text, blocks.NO_COLUMN))
        # An empty line below the last thing adds none.
        thing += 0 if is_empty and thing >= anchor.things else 1
    if too_many:
        what = blocks.lines(too_many, table.across)
        left_out.insert(0, blocks.CellRemark(what, "", blocks.too_many(anchor.most)))


def _table(rows: Rows, columns: Sequence[Column], anchor: Anchor) -> _Table:
    table = _turned(rows) if anchor.across else rows
    if anchor.named:
        # A supplier's table may stand the other way round.
        for one, across in ((table, anchor.across), (_turned(table), not anchor.across)):
            heads = _heads(one[0], columns) if len(one) > 1 else None
            if heads is not None:
                return _Table(one[1:], heads, 2, across)
    heads = tuple(_Head(column, "", column.label) for column in columns[anchor.datum :])
    return _Table(table, heads, 1, anchor.across)


def _turned(rows: Rows) -> Rows:
    return tuple(zip_longest(*rows, fillvalue=""))


def _heads(cells: Sequence[str], columns: Sequence[Column]) -> tuple[_Head, ...] | None:
    """Return what the cells of a heading line name, None where it is no heading line."""
    titles = [" ".join(cell.split()) for cell in cells]
    if sum(map(bool, titles)) > 2 * len(columns):
        # Each datum is named once: among so many, no half of the titles can be of one.
        return None
    heads = [_head(title, columns) for title in titles]
    named = sum(head.column is not None for head in heads)
    if not named or 2 * named < sum(bool(head.title) for head in heads):
        return None
    if not heads[0].title:
        # The corner of a table: below it stand the names of the things.
        heads[0] = _Head(columns[0], "", columns[0].label)
    return tuple(heads)


def _head(title: str, columns: Sequence[Column]) -> _Head:
    said = title.casefold()
    begun = [column for column in columns if said.startswith(column.label.casefold())]
    # "Shot mass" is no "Shot mass tolerance": the longest label that fits is meant.
    for column in sorted(begun, key=lambda column: -len(column.label)):
        rest = title[len(column.label) :]
        if not rest:
            return _Head(column, "", title)
        unit = _unit(rest, column)
        if unit:
            return _Head(column, unit, title)
    return _called(title, columns) or _Head(None, "", title)


def _called(title: str, columns: Sequence[Column]) -> _Head | None:
    """Return the datum that suppliers call so, before its unit if any; None where it is not sure.

    The longest wording that is known counts; where it stands for several data the unit decides.
    """
    ends = [word.end() for word in re.finditer(r"\S+", title)]
    for end in reversed(ends):
        fields = fields_called().get(squeezed(title[:end]), frozenset())
        meant = [one for one in columns if one.shape is not None and one.shape.name in fields]
        found = [_Head(one, _unit(title[end:], one), title) for one in meant]
        if title[end:].strip():
            found = [head for head in found if head.unit]
        if len(found) == 1:
            return found[0]
    return None


def _unit(rest: str, column: Column) -> str:
    found = _UNIT_IN_HEADING.fullmatch(rest)
    units = () if column.shape is None else column.shape.datum.units
    if found is None or not found["unit"] or not units:
        return ""
    entry = read_number(f"1 {found['unit']}", units, "")
    return entry.unit if isinstance(entry, Entry) else ""
