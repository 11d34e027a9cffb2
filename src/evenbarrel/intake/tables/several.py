"""Several tables one below the other: where each begins, found from its headings and titles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from evenbarrel.intake.keys import DESIGNATION, LABEL
from evenbarrel.intake.tables.cells import Cell, Grid, Row
from evenbarrel.intake.tables.labels import (
    bare_name,
    is_like_a_name,
    is_measured,
    is_money,
    is_unit,
    names_a_screw,
    once,
    read_label,
    unit_named,
)
from evenbarrel.intake.tables.synonyms import squeezed, synonyms
from evenbarrel.intake.tables.values import begins_a_value

Line = Sequence[str]
"""What stands in the filled cells of one line, from the left; nothing where it is blank."""
_LONGEST_TITLE = 24
_MOST_HEADS = 4
_LONGEST_LABEL = 50
_MOST_IN_PAIR = 3


def starts_in(lines: Sequence[Line]) -> list[int]:
    """Return at which lines a table begins, the first one always.

    A table begins where its heads come again, at other heads, and at a line that is the name of a
    screw or of a unit alone. Names and titles right above the heads belong to them. Sentences that
    stand apart are parts for themselves.
    """
    starts, before = [0], _TableSoFar()
    units: set[str] = set()
    for at, line in enumerate(lines):
        if not line:
            continue
        if before.is_prose != _is_prose(line) and _stands_apart(lines, at, before):
            starts.append(at)
            before = _TableSoFar()
        elif _begins(line, before) or (before.has_data and _is_of_another_unit(line, units)):
            start = _with_titles(lines, starts[-1], at)
            if start > starts[-1]:
                starts.append(start)
                before = _TableSoFar()
                for title in filter(None, lines[start:at]):
                    before.add(title)
        before.add(line)
        units |= _units_in(line)
    return starts


def tables_in(grid: Grid) -> tuple[Grid, ...]:
    """Return the tables that lie one below the other in a grid, without columns none of them has.

    Cells keep the places they had.
    """
    if not grid:
        return ()
    lines = [_line_of(row) for row in grid]
    starts = starts_in(lines)
    tables = []
    for start, end in zip(starts, [*starts[1:], len(grid)], strict=True):
        rows = grid[start:end]
        filled = [c for c in range(len(grid[0])) if any(row[c].text for row in rows)]
        tables.append(tuple(tuple(row[c] for c in filled) for row in rows) if filled else rows)
    return tuple(tables)


def _line_of(row: Row) -> Line:
    """Return what stands in a row; one merged cell over all of it, as a title is, stands once."""
    filled = [cell for cell in row if cell.text]
    alone = len({cell.place for cell in filled}) == 1
    return [cell.text for cell in (filled[:1] if alone else filled)]


def with_pairs_stacked(grid: Grid) -> tuple[Grid, ...]:
    """Return a table whose labels stand in one column: those beside others come below them.

    `Stroke | 200 mm | Screw speed | 300 rpm` prints two data in each row. What has more columns
    than a label, a unit and a number, and another count of them, is a table of its own.
    """
    starts = [c for c, column in enumerate(zip(*grid, strict=True)) if _is_of_labels(column)]
    if len(starts) < 2 or starts[0] > 1:
        return (grid,)
    starts = [0, *starts[1:]]
    ends = [*starts[1:], len(grid[0])]
    widths = {b - a for a, b in zip(starts, ends, strict=True)}
    widest = max(widths)
    if widest > _MOST_IN_PAIR and len(widths) > 1:
        return tuple(tuple(row[a:b] for row in grid) for a, b in zip(starts, ends, strict=True))
    stacked = []
    for start, end in zip(starts, ends, strict=True):
        for row in grid:
            own = row[start:end]
            blank = (replace(own[-1], text="", noticed=()),) * (widest - len(own))
            stacked.append((*own, *blank))
    return (tuple(stacked),)


def with_offer_parted(grid: Grid) -> Grid:
    """Return a table with each row of several data of the offer as a row of each of them.

    `Offer no. | A-5518 | Date | 14.10.2026` stands above many a table.
    """
    return tuple(part for row in grid for part in _pairs_of_offer(row))


def _pairs_of_offer(row: Row) -> Iterator[Row]:
    filled = [at for at, cell in enumerate(row) if cell.text]
    labels, values = filled[::2], filled[1::2]
    if len(labels) < 2 or len(labels) != len(values):
        yield row
        return
    named = [read_label(row[at].text) for at in labels]
    of_offer = all(one.exact and one.keys[0].owner == "bid" for one in named)
    if not of_offer or any(read_label(row[at].text).keys for at in values):
        yield row
        return
    first = labels[0]
    for label, value in zip(labels, values, strict=True):
        cells = [replace(cell, text="", noticed=()) for cell in row]
        cells[first], cells[first + 1] = row[label], row[value]
        yield tuple(cells)


def _is_of_labels(column: Sequence[Cell]) -> bool:
    texts = [cell.text for cell in column if cell.text]
    named = {keys[0] for text in texts if (keys := read_label(text).keys)}
    return sum(map(is_measured, named)) > 1 and not any(map(begins_a_value, texts))


def names_alone(line: Line) -> bool:
    """Say whether a line is the name of one screw, or of one unit, and nothing else."""
    if len(line) != 1 or len(line[0]) > _LONGEST_TITLE or read_label(line[0]).keys:
        return False
    return _is_screw_name(line[0]) or bool(unit_named(line[0]))


def label_and_rest(text: str) -> tuple[str, str] | None:
    """Return a label that is known and what stands behind its colon; None for any other text."""
    label, colon, rest = text.partition(":")
    if not colon or not rest.strip() or not read_label(label).exact:
        return None
    return label.strip(), rest.strip()


class _TableSoFar:
    """What the lines of a table hold as far as they were looked at."""

    def __init__(self) -> None:
        self.first: Line = ()
        self.last: Line = ()
        self.heads: list[Line] = []
        self.longest = 0
        self.has_data = self.is_across = self.is_prose = False

    def add(self, line: Line) -> None:
        """Add a line in which something stands."""
        self.is_prose = _is_prose(line) and (self.is_prose or not self.first)
        is_between_heads = len(line) == 1 and self.last in self.heads and not self.has_data
        self.first = self.first or line
        self.last = self.last if is_between_heads else line
        self.longest = max(self.longest, len(line))
        self.has_data = self.has_data or _holds_data(line)
        if _is_head(line) and len(self.heads) < _MOST_HEADS:
            self.heads.append(line)
            self.is_across = self.is_across or _is_across(line)


def _is_prose(line: Line) -> bool:
    """Say whether a line is of sentences, as a letter and a foot are, and of no table."""
    text = line[0]
    is_long = len(text) > _LONGEST_LABEL or (text[-1] in ".,;:!" and len(text.split()) > 3)
    return len(line) < 3 and is_long and not read_label(text).keys


def _stands_apart(lines: Sequence[Line], at: int, before: _TableSoFar) -> bool:
    """Say whether a line has a blank one above it, or sentences alone."""
    return bool(before.first) and (before.is_prose or not lines[at - 1])


def _units_in(line: Line) -> set[str]:
    """Return the units that a line names, squeezed; none where it names no unit."""
    named = unit_named(line[0])
    if named and len(line) == 1:
        return {squeezed(named)}
    reading = read_label(line[0])
    is_of_unit = len(line) > 1 and reading.exact and reading.keys[0] == DESIGNATION
    return {squeezed(text) for text in line[1:]} if is_of_unit else set()


def _is_of_another_unit(line: Line, units: set[str]) -> bool:
    found = _units_in(line)
    return bool(found) and bool(units) and found.isdisjoint(units)


def _begins(line: Line, before: _TableSoFar) -> bool:
    """Say whether a line begins a table, after those of the table so far."""
    if names_alone(line):
        return before.has_data
    if not before.first or (before.last in before.heads and not _is_same(line, before.last)):
        return False
    if any(_is_same(line, one) for one in (before.first, *before.heads)):
        return True
    if before.has_data and _is_of_prices(line):
        return True
    if not _is_head(line):
        return before.is_across and (_leads_to_text(line) or _names_data(line))
    if _is_across(line) or before.is_across:
        return True
    if not before.heads:
        return before.longest < len(line)
    return any(_names_alike(line, head) for head in before.heads)


def _with_titles(lines: Sequence[Line], begun: int, at: int) -> int:
    """Return where the names and titles right above a head begin."""
    start = at
    for before in range(at - 1, begun - 1, -1):
        line = lines[before]
        key = read_label(line[0]).keys[:1] if line else ()
        is_title = (len(line) == 1 and not key) or _is_of_names(line, lines[at])
        if line and not is_title and key != (DESIGNATION,):
            break
        start = before if line else start
    return start


def _is_head(line: Line) -> bool:
    """Say whether a line names the screws of a table, or the data of one with its screws down."""
    if len(line) < 2:
        return False
    if any(LABEL in (reading := read_label(text)).keys and reading.exact for text in line):
        return True
    units = synonyms().columns["unit"]
    behind = [text for text in line[1:] if squeezed(text) not in units]
    if behind and len(behind) < len(line) - 1 and not read_label(line[0]).keys:
        return True
    named = sum(_is_screw_name(text) for text in behind)
    return _is_across(line) or (named > 0 and 2 * named >= len(behind))


def _names_alike(line: Line, head: Line) -> bool:
    """Say whether a line names screws as a head before does, and not what kind they are."""
    again = bool({*line[1:]} & {*head[1:]}) and len({*line[1:]}) == len(line) - 1
    return squeezed(line[0]) == squeezed(head[0]) or again or any(map(_is_screw_name, line[1:]))


def _is_across(line: Line) -> bool:
    """Say whether a line is of the names of data, with their numbers below it."""
    if len(line) < 2 or any(begins_a_value(text) for text in line):
        return False
    named = {keys[0] for text in line if (keys := read_label(text).keys)}
    measured = sum(is_measured(key) for key in named)
    return measured > 1 or (measured == 1 and LABEL in named and len(named) == len(line))


def _is_of_prices(line: Line) -> bool:
    """Say whether a line is the head of a list of prices: its columns named, one by a price."""
    if len(line) < 2 or any(begins_a_value(text) for text in line) or read_label(line[0]).keys:
        return False
    return any(is_money(reading.keys[0]) for t in line[1:] if (reading := read_label(t)).keys)


def _is_of_names(line: Line, head: Line) -> bool:
    """Say whether a line above a head names what several of its columns are of, as units."""
    return 1 < len(line) < len(head) and all(map(is_like_a_name, line))


def _is_screw_name(text: str) -> bool:
    name = bare_name(text)
    return names_a_screw(text) and name != text and len(name) <= 12 and not read_label(text).keys


def _is_same(line: Line, other: Line) -> bool:
    """Say whether a line is another one again, perhaps `continued`, and no row of numbers."""
    if len(line) < 2 or len(line) != len(other):
        return False
    keys = read_label(line[0]).keys
    if keys and is_measured(keys[0]):
        return False
    first, again = (squeezed(once(one[0])) for one in (line, other))
    rest = zip(line[1:], other[1:], strict=True)
    return first == again and all(squeezed(one) == squeezed(two) for one, two in rest)


def _holds_data(line: Line) -> bool:
    return len(line) > 1 and any(begins_a_value(text) for text in line[1:])


def _names_data(line: Line) -> bool:
    """Say whether a line names a datum and holds no number: the head of other columns."""
    readings = [read_label(text) for text in line]
    named = any(one.exact and is_measured(one.keys[0]) for one in readings)
    return named and not any(map(begins_a_value, line))


def _leads_to_text(line: Line) -> bool:
    """Say whether a line is a datum of the offer or a unit, its value behind it."""
    reading = read_label(line[0])
    return (
        1 < len(line) <= 3
        and bool(reading.keys)
        and reading.keys[0].owner != "barrel"
        and not any(read_label(text).keys for text in line[1:] if not is_unit(text))
    )
