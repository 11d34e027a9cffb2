"""Labels that run over two lines or more, set together before anybody looks them up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenbarrel.intake.keys import DatumKey
from evenbarrel.intake.tables.cells import Cell, Grid, Row
from evenbarrel.intake.tables.labels import LabelReading, is_measured, is_unit, read_label
from evenbarrel.intake.tables.several import names_alone
from evenbarrel.intake.tables.synonyms import synonyms
from evenbarrel.intake.tables.values import begins_a_value

_MOST_LINES = 3
"""A label in a narrow column runs over as many."""
_HEADS_LOOKED_AT = 4


@dataclass(frozen=True, slots=True)
class LabelRow:
    """A row whose label is whole: `also` are the cells of other lines that it was set from.

    `perhaps` are the data that it may name instead, with the line above it.
    """

    row: Row
    also: Row = ()
    perhaps: tuple[DatumKey, ...] = ()


def with_heads_joined(grid: Grid) -> Grid:
    """Return a table with wrapped headings joined into one row, where more are then recognised.

    On a page a heading of one line may stand between the two of the others.
    """
    rows = list(grid)
    at = 0
    while at + 1 < min(len(rows), _HEADS_LOOKED_AT):
        lines = next((n for n in (3, 2) if _are_one_head(rows[at : at + n], n)), 0)
        if lines:
            rows[at : at + lines] = [_set_together(rows[at : at + lines])]
        else:
            at += 1
    return tuple(rows)


def _set_together(rows: Sequence[Row]) -> Row:
    return tuple(_joined(cells) for cells in zip(*rows, strict=True))


def _are_one_head(rows: Sequence[Row], lines: int) -> bool:
    if len(rows) < lines or not (_is_of_heads(rows[0]) and _is_of_heads(rows[-1])):
        return False
    between = [cell.text for row in rows[1:-1] for cell in row if cell.text]
    if len(between) != lines - 2 or any(map(begins_a_value, between)):
        return False
    return _measured_in(_set_together(rows)) > max(1, *map(_measured_in, rows))


def with_systems_joined(grid: Grid) -> Grid:
    """Return a table without the second of two columns that print the same in metric and US units.

    `English | Metric` above `1.77 in | 45 mm` is one screw: what the second column says stands
    behind the first, in brackets, and has to be the same number.
    """
    for row in grid[:_HEADS_LOOKED_AT]:
        systems = [synonyms().system_of(cell.text) for cell in row]
        for at in range(1, len(row) - 1):
            if systems[at] and systems[at + 1] and systems[at] != systems[at + 1]:
                return tuple(_with_second_in_brackets(one, at, row) for one in grid)
    return grid


def _with_second_in_brackets(row: Row, at: int, head: Row) -> Row:
    first, second = row[at : at + 2]
    text = first.text or second.text
    if row is head:
        text = ""
    elif first.text and second.text and first.place != second.place:
        text = f"{first.text} ({second.text})"
    return (*row[:at], replace(first, text=text), *row[at + 2 :])


def _is_of_heads(row: Row) -> bool:
    texts = [cell.text for cell in row if cell.text]
    return (
        len(texts) > 1
        and not any(begins_a_value(text) for text in texts)
        and not all(is_unit(text) for text in texts)
    )


def _measured_in(row: Row) -> int:
    readings = [read_label(text) for cell in row if (text := cell.text)]
    return len({one.keys[0] for one in readings if one.keys and is_measured(one.keys[0])})


def _joined(cells: Sequence[Cell]) -> Cell:
    filled = [cell for cell in cells if cell.text]
    if not filled:
        return cells[0]
    return replace(filled[0], text=" ".join(cell.text for cell in filled))


def with_labels_joined(grid: Grid, labels: int) -> list[LabelRow]:
    """Return the rows of a table, each label that runs over several lines set together.

    The numbers stand on its first line or on its last; what makes no known label stays apart.
    """
    made: list[LabelRow] = []
    waiting: list[LabelRow] = []
    for row in grid:
        label = row[labels]
        is_part = bool(label.text) and not any(cell.text for cell in row if cell is not label)
        if is_part and not names_alone([label.text]):
            above = None if waiting or not made else _with_part(made[-1], labels, label)
            if above is None:
                waiting.append(LabelRow(row))
            else:
                made[-1] = above
            continue
        last = waiting[-(_MOST_LINES - 1) :] if label.text else []
        whole, used = _with_parts_above(row, labels, [one.row[labels] for one in last])
        made += [*waiting[: len(waiting) - used], whole]
        waiting = []
    return [*made, *waiting]


def _with_part(above: LabelRow, labels: int, part: Cell) -> LabelRow | None:
    """Return the row before with one more line of its label, None where that names nothing."""
    label = above.row[labels]
    if not label.text or all(cell is label or not cell.text for cell in above.row):
        return None
    joined = _joined((label, part))
    reading, own = read_label(joined.text), read_label(label.text)
    if not _is_known(reading) or (own.exact and own.keys != reading.keys):
        return None
    row = tuple(joined if cell is label else cell for cell in above.row)
    return LabelRow(row, (*above.also, part), above.perhaps)


def _with_parts_above(row: Row, labels: int, above: Sequence[Cell]) -> tuple[LabelRow, int]:
    """Return a row with the lines of its label that stand above it, and how many these are."""
    label, own = row[labels], read_label(row[labels].text)
    for count in range(len(above), 0, -1):
        parts = above[len(above) - count :]
        joined = _joined((*parts, label))
        reading = read_label(joined.text)
        begun = not own.keys and bool(reading.keys) and not read_label(parts[0].text).keys
        if not (_is_known(reading) or begun):
            continue
        if own.exact and own.keys != reading.keys:
            # `Screw`, a title, above `Drive power`: it may be that of the screw.
            return LabelRow(row, (), reading.keys), 0
        whole = tuple(joined if cell is label else cell for cell in row)
        return LabelRow(whole, (*parts, label)), count
    return LabelRow(row), 0


def _is_known(reading: LabelReading) -> bool:
    beside = not reading.beside or synonyms().is_resin(reading.beside, {})
    return bool(reading.keys) and not reading.likely and beside
