"""How a table lies: where its labels, units, values and remarks are, and where blocks end."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from evenbarrel.intake.keys import DESIGNATION, DIAMETER, LABEL, DatumKey
from evenbarrel.intake.sentences.offer import has_usual_form
from evenbarrel.intake.tables.cells import Cell, Grid, Row, turned
from evenbarrel.intake.tables.labels import (
    LabelReading,
    bare_label,
    is_currency,
    is_like_a_name,
    is_measured,
    is_money,
    is_unit,
    names_a_screw,
    nearly,
    read_label,
    unit_named,
)
from evenbarrel.intake.tables.several import names_alone
from evenbarrel.intake.tables.synonyms import squeezed, synonyms, words_of
from evenbarrel.intake.tables.values import begins_a_value, is_absent
from evenbarrel.intake.tables.wrapped import with_labels_joined

_COLUMNS_LOOKED_AT, _ROWS_LOOKED_AT = 6, 12
"""Labels stand near the left edge, or near the upper one."""
_MOST_NEARLY = 200
"""Labels of a table that are held against every wording for being nearly it."""
_NAME_OF_ANYTHING = frozenset(
    ("designation", "bezeichnung", "denominazione", "denominacion", "type", "typ")
)
"""Words above names, squeezed, that do not say of what they are: letters below them are screws'."""
_YEAR = re.compile(r"\b20[0-9]{2}\b")


@dataclass(frozen=True, slots=True)
class LabelledRow:
    """One row: its label and what that may name, its cells of values, and each one's unit text.

    `others` are the cells that are neither, as remarks; `also` are more lines of its label.
    """

    label: Cell
    reading: LabelReading
    values: Row
    units: tuple[str, ...]
    others: Row
    also: Row = ()

    @property
    def key(self) -> DatumKey | None:
        """The first datum that the label names, None where none is known."""
        return self.reading.keys[0] if self.reading.keys else None

    @property
    def is_name(self) -> bool:
        """Whether it names screws or their units, or nothing that is known."""
        return self.key in (None, LABEL, DESIGNATION)


Block = tuple[LabelledRow, ...]
"""Rows about one group of screws, those that name the screws first."""


def read_layout(grid: Grid) -> tuple[Block, ...]:
    """Return the blocks of a table, its labels down and its screws across however it lay.

    Nothing where no cell of it is a label.
    """
    columns = list(zip(*grid, strict=True))[:_COLUMNS_LOOKED_AT]
    for counted in (_measured_in, _nearly_measured_in, _labels_in):
        down = _best((counted(cells), _share_of_labels(cells)) for cells in columns)
        across = _best((counted(row), _share_of_labels(row)) for row in grid[:_ROWS_LOOKED_AT])
        if across[0] > down[0] and across[0][0]:
            return _blocks(_rows(turned(grid), across[1]))
        if down[0][0]:
            return _blocks(_rows(grid, down[1]))
    return ()


def _best(counts: Iterable[tuple[int, float]]) -> tuple[tuple[int, float], int]:
    """Return the greatest count, with the share of labels, and the first place that has them."""
    numbered = [(count, -place) for place, count in enumerate(counts)]
    count, place = max(numbered, default=((0, 0.0), 0))
    return count, -place


def _share_of_labels(cells: Sequence[Cell]) -> float:
    """Return how many of the cells name a datum, of those that name one or hold a value.

    What names a datum in a head has its values below: `Screw | Price` is no column of labels.
    """
    texts = [cell.text for cell in cells if cell.text]
    named = sum(bool(read_label(text).keys) for text in texts)
    return named / (named + sum(map(_is_value, texts))) if named else 0.0


def _words(cells: Sequence[Cell]) -> list[str]:
    """Return the different texts of cells that are not values."""
    texts = dict.fromkeys(cell.text for cell in cells if cell.text)
    return [text for text in texts if not _is_value(text)]


def _is_value(text: str) -> bool:
    """Say whether a text is a value and no label; a label may be numbered, as `2.1 Stroke`."""
    return begins_a_value(text) and not read_label(text).keys


def _labels_in(cells: Sequence[Cell]) -> int:
    """Return how many different data the cells name."""
    return len({keys[0] for text in _words(cells) if (keys := read_label(text).keys)})


def _measured_in(cells: Sequence[Cell]) -> int:
    """Return how many different data with a unit, or prices, the cells name."""
    return _count_measured(read_label(text) for text in _words(cells))


def _nearly_measured_in(cells: Sequence[Cell]) -> int:
    return _count_measured(nearly(text) for text in _words(cells)[:_MOST_NEARLY])


def _count_measured(readings: Iterable[LabelReading]) -> int:
    named = {reading.keys[0] for reading in readings if reading.keys}
    return sum(map(is_measured, named))


def _rows(grid: Grid, labels: int) -> list[LabelledRow]:
    joined = with_labels_joined(grid, labels)
    grid = tuple(one.row for one in joined)
    readings = [
        replace(reading, keys=tuple(dict.fromkeys((*reading.keys, *one.perhaps))))
        for one, reading in zip(joined, _readings([row[labels] for row in grid]), strict=True)
    ]
    readings = _without_other_assemblies(grid, labels, readings)
    columns = _Columns(grid, labels, readings)
    rows = [
        replace(columns.labelled(one.row, reading), also=one.also)
        for one, reading in zip(joined, readings, strict=True)
        if any(cell.text for cell in one.row)
    ]
    return _with_names_above(rows)


def _with_names_above(rows: Sequence[LabelledRow]) -> list[LabelledRow]:
    """Return the rows, one without a label right above the screws' names as those of units."""
    named = list(rows)
    for at, (above, row) in enumerate(pairwise(rows)):
        names = [cell.text for cell in above.values if cell.text]
        is_alone = not above.label.text and not above.others and row.key == LABEL
        if is_alone and len(names) > 1 and all(map(is_like_a_name, names)):
            named[at] = replace(above, reading=LabelReading((DESIGNATION,)))
    return named


def _readings(cells: Sequence[Cell]) -> list[LabelReading]:
    readings, tried = [], 0
    for cell in cells:
        reading = read_label(cell.text)
        if not reading.keys and cell.text:
            reading = bare_label(cell.text)
        if not reading.keys and cell.text and tried < _MOST_NEARLY:
            reading, tried = nearly(cell.text), tried + 1
        readings.append(reading)
    return readings


def _without_other_assemblies(
    grid: Grid, labels: int, readings: Sequence[LabelReading]
) -> list[LabelReading]:
    """Return the readings, none of a screw's data under a title that is of another assembly.

    The stroke of a clamp or an ejector is printed as `Stroke`, too. Below the data of one, without
    a title, such a word alone does not say of what it is.
    """
    kept, is_elsewhere, is_below = [], False, False
    for row, reading in zip(grid, readings, strict=True):
        label = row[labels]
        others = [cell.text for cell in row if cell is not label and cell.text]
        is_title = bool(label.text) and not any(begins_a_value(text) for text in others)
        if is_title and (not reading.keys or not others):
            is_elsewhere = not synonyms().elsewhere.isdisjoint(words_of(label.text))
        is_elsewhere = is_elsewhere and not names_a_screw(label.text)
        of_screw = bool(reading.keys) and reading.keys[0].owner == "barrel"
        elsewhere = LabelReading((), reading.unit, beside=label.text)
        if reading.keys or is_title:
            names_other = not synonyms().elsewhere.isdisjoint(words_of(label.text))
            is_below = (names_other and not of_screw) or (is_below and _is_one_word(label.text))
        if is_below and of_screw:
            reading = replace(reading, bare=True)
        kept.append(elsewhere if is_elsewhere and of_screw else reading)
    return kept


def _is_one_word(label: str) -> bool:
    """Say whether a label is one word, but for its unit and words like `max.`."""
    words = (word for word in words_of(label) if not is_unit(word))
    return sum(word not in synonyms().harmless for word in words) == 1


class _Columns:
    """What each column of a grid holds, found from its heading and its content."""

    def __init__(self, grid: Grid, labels: int, readings: Sequence[LabelReading]) -> None:
        self._labels = labels
        measured = [
            row
            for row, reading in zip(grid, readings, strict=True)
            if reading.keys and is_measured(reading.keys[0])
        ]
        every = list(zip(*grid, strict=True))
        below = list(zip(*measured, strict=True)) or [() for _ in every]
        self.units = [
            c for c in range(len(every)) if c != labels and _holds_units(every[c], below[c])
        ]
        self.values = [
            c
            for c in range(labels + 1, len(every))
            if c not in self.units and _holds_values(every[c], below[c])
        ]

        self._currencies = {c: _currency_over(every[c]) for c in self.values}

    def labelled(self, row: Row, reading: LabelReading) -> LabelledRow:
        """Return a row with its cells told apart."""
        known = {self._labels, *self.values, *self.units}
        others = tuple(cell for c, cell in enumerate(row) if c not in known and cell.text)
        values = [row[column] for column in self.values]
        reading = _as_head(
            row[self._labels].text, reading, [cell.text for cell in values if cell.text]
        )
        is_price = bool(reading.keys) and is_money(reading.keys[0])
        beside = [
            reading.unit or self._unit(row, c) or (self._currencies.get(c, "") if is_price else "")
            for c in self.values
        ]
        unknown = not reading.keys or reading.likely
        if unknown and values and not any(cell.text for cell in values):
            reading = self._name(row[self._labels], values, reading)
        odd = [row[c] for c in self.units if row[c].text and not says_unit(row[c].text)]
        if values and odd and reading.keys and not any(cell.text for cell in values):
            # What has no unit, as a name, is often written where the others have theirs.
            values[0], beside[0] = odd[0], reading.unit
        return LabelledRow(row[self._labels], reading, tuple(values), tuple(beside), others)

    def _name(self, label: Cell, values: list[Cell], reading: LabelReading) -> LabelReading:
        """Return what a title names, `Injection unit 430` or `Screw A`; the name goes to `values`.

        That of a screw is known where there is one screw alone.
        """
        unit = unit_named(label.text)
        if unit or (names_alone([label.text]) and len(values) == 1):
            values[0] = replace(label, text=unit or label.text)
            return LabelReading((DESIGNATION,) if unit else (LABEL,))
        return reading

    def _unit(self, row: Row, column: int) -> str:
        """Return the unit for a cell: behind it where each number has its own, else the row's."""
        if not self.units:
            return ""
        nearest = column + 1 if column + 1 in self.units else None
        chosen = self.units[0] if nearest is None or len(self.units) == 1 else nearest
        text = row[chosen].text.strip("[]() ")
        return "" if is_absent(text) else text


def _as_head(label: str, reading: LabelReading, texts: Sequence[str]) -> LabelReading:
    """Return a reading as it is, unless the row is the head of a table.

    `Data` above labels is no date, and `Bezeichnung` beside `Schnecke A`, or A, B and C, is of the
    screws.
    """
    if not reading.keys or not texts:
        return reading
    key = reading.keys[0]
    are_letters = len(texts) > 1 and all(len(text) == 1 and text.isalpha() for text in texts)
    of_screws = are_letters and squeezed(label) in _NAME_OF_ANYTHING
    if key == DESIGNATION and (of_screws or any(names_a_screw(text) for text in texts)):
        return LabelReading((LABEL,))
    if key == DESIGNATION and any(_names_money(text) for text in texts):
        # `Description | Price EUR`: what the columns of a list of prices hold.
        return LabelReading(())
    dated = any(begins_a_value(text) or _YEAR.search(text) for text in texts)
    if key.shape.kind == "date" and not dated:
        return LabelReading(())
    return reading


def _names_money(text: str) -> bool:
    return any(map(is_money, read_label(text).keys))


def _holds_units(column: Sequence[Cell], below: Sequence[Cell]) -> bool:
    if _is_headed(column, "unit"):
        return True
    texts = [cell.text for cell in below if not is_absent(cell.text)]
    return bool(texts) and 2 * sum(is_unit(text) or is_currency(text) for text in texts) >= len(
        texts
    )


def _holds_values(column: Sequence[Cell], below: Sequence[Cell]) -> bool:
    if _is_headed(column, "remark") or _is_headed(column, "wanted"):
        return False
    if _currency_over(column):
        return True
    texts = [cell.text for cell in below if cell.text]
    if not texts:
        # A table of names alone, as of the offer itself.
        return not below and any(cell.text for cell in column)
    return 3 * sum(begins_a_value(text) for text in texts) >= len(texts)


def says_unit(text: str) -> bool:
    """Say whether a text is a unit, or the head of a column of units."""
    return is_unit(text) or squeezed(text) in synonyms().columns["unit"]


def _currency_over(column: Sequence[Cell]) -> str:
    """Return the currency that a column of prices is headed with, as `Price USD`, or ""."""
    head = next((cell.text for cell in column if cell.text), "")
    return read_label(head).unit if _names_money(head) else ""


def _is_headed(column: Sequence[Cell], what: str) -> bool:
    head = next((cell.text for cell in column if cell.text), "")
    return bool(head) and squeezed(head) in synonyms().columns[what]


def _blocks(rows: Sequence[LabelledRow]) -> tuple[Block, ...]:
    """Part the rows where the data of screws come anew: other screws follow.

    They do below other names, or where the datum that came first, or a diameter, comes again. Any
    other is printed twice for the same screws, as a pressure in the oil and in the melt.
    """
    starts, seen, first, last = [0], set[DatumKey](), None, None
    for index, row in enumerate(rows):
        key = row.key
        if key is None or row.is_name or key.owner == "bid":
            continue
        if key in seen and key != last:
            start = index
            while start - 1 > starts[-1] and rows[start - 1].is_name:
                start -= 1
            if key in (first, DIAMETER) or any(map(_may_name, rows[start:index])):
                starts.append(start)
                seen, first = set(), None
        seen.add(key)
        first, last = first or key, key
    ends = [*starts[1:], len(rows)]
    return tuple(_borne_out(rows[a:b]) for a, b in zip(starts, ends, strict=True))


def _borne_out(rows: Sequence[LabelledRow]) -> Block:
    """Return the rows, bare heads as those of nothing where the others are not of screws.

    Two other data of screws have to be named outright, and none of them may be what the bare one is
    taken for.
    """
    named = {row.key for row in rows if row.key is not None and row.reading.exact}
    of_screws = sum(is_measured(key) and key.owner == "barrel" for key in named)

    def borne_out(row: LabelledRow) -> LabelledRow:
        keys = tuple(key for key in row.reading.keys if key not in named) if of_screws > 1 else ()
        return replace(row, reading=replace(row.reading, keys=keys))

    return tuple(borne_out(row) if row.reading.bare else row for row in rows)


def _may_name(row: LabelledRow) -> bool:
    """Say whether a row may name screws or their unit; unknown numbers do not."""
    has_numbers = any(begins_a_value(cell.text) for cell in row.values if cell.text)
    return row.key is not None or not row.label.text or not has_numbers


def is_title(key: DatumKey, row: LabelledRow) -> bool:
    """Say whether a row is of words that name an offer: `Offer: one machine` is no number of it."""
    texts = [cell.text for cell in row.values if cell.text]
    is_vague = key.field == "reference" and squeezed(row.label.text) in synonyms().vague
    return is_vague and not any(has_usual_form(key.field, text) for text in texts)
