"""What stands at a point of a page, read as the value of a datum with the unit printed for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenbarrel.entry.shapes import Context, Shape
from evenbarrel.intake.pages.boxed import grids_in
from evenbarrel.intake.pages.words import (
    Box,
    Page,
    Run,
    Word,
    around,
    lines_of,
    runs_of,
    text_of,
    word_at,
)
from evenbarrel.intake.tables.labels import is_unit, read_label, unit_in
from evenbarrel.intake.tables.table import thousands_in
from evenbarrel.intake.tables.values import CellReading, is_of_datum, read_value

_WITH_NUMBERS = frozenset({"quantity", "money", "integer", "share"})
_LONGEST = 6
"""Words that a number with its sign, thousands, unit and `approx.` may be printed in."""
_GUESSED = frozenset({"unit_missing", "currency_missing", "currency_sign", "more_beside"})
"""What is guessed, or goes beyond the number."""


@dataclass(frozen=True, slots=True)
class Found:
    """What was found at a point: its text, the box round it, and what it was read as."""

    text: str
    box: Box
    reading: CellReading


def value_at(page: Page, x: float, y: float, shape: Shape, context: Context) -> Found | None:
    """Return what is printed at a point as a value of that shape, None where there is no word.

    For a number these are the words that make it up; its unit is looked for beside it, in the label
    of its row and above it. A mark that may separate thousands is settled by the tables on the
    page. For anything else it is the whole content of one cell.
    """
    index = word_at(page, x, y)
    if index is None:
        return None
    word = page.words[index]
    row = _row_of(page, word)
    run = next(one for one in row if word in one)
    if shape.kind not in _WITH_NUMBERS:
        text = text_of(run)
        return Found(text, _box(run), read_value(shape, text, "", context))
    unit = _unit_for(page, row, run, shape) if shape.kind == "quantity" else ""
    tried = [
        Found(text_of(part), _box(part), read_value(shape, text_of(part), unit, context))
        for part in _parts_with(run, run.index(word))
    ]
    best = min(tried, key=_unlikeliness)
    if not any(one.code == "thousands" for one in best.reading.findings):
        return best
    mark = thousands_in(grids_in(page, Box(0.0, 0.0, page.width, page.height)))
    return replace(best, reading=read_value(shape, best.text, unit, context, mark))


def _unlikeliness(found: Found) -> tuple[bool, bool, int]:
    codes = {one.code for one in found.reading.findings}
    return found.reading.value is None, bool(codes & _GUESSED), -len(found.text)


def _box(words: Sequence[Word]) -> Box:
    return around(word.box for word in words)


def _row_of(page: Page, word: Word) -> list[Run]:
    """Return the runs of the line that a word stands in."""
    beside = (one for one in page.words if _beside(one.box, word.box))
    lines = lines_of(beside)
    return runs_of(next(line for line in lines if word in line))


def _beside(one: Box, other: Box) -> bool:
    return one.bottom < other.top and other.bottom < one.top


def _parts_with(run: Run, place: int) -> Iterator[Run]:
    """Yield every part of a run that the word at `place` belongs to and that may be a number."""
    for start in range(max(0, place - _LONGEST + 1), place + 1):
        for end in range(place + 1, min(len(run), start + _LONGEST) + 1):
            yield run[start:end]


def _unit_for(page: Page, row: Sequence[Run], run: Run, shape: Shape) -> str:
    """Return the unit's text that is printed for a number elsewhere than behind it, or ""."""
    before = [one for one in row if one[0].box.left < run[0].box.left]
    for one in reversed(before):
        unit = _unit_said(text_of(one), shape)
        if unit:
            return unit
    for one in _above(page, run):
        unit = _unit_said(text_of(one), shape)
        if unit:
            return unit
    return ""


def _unit_said(text: str, shape: Shape) -> str:
    said = unit_in(text) if is_unit(text) else read_label(text).unit
    return said if said and is_of_datum(shape.datum, said) else ""


def _above(page: Page, run: Run) -> Iterator[Run]:
    """Yield what stands above a number in its column, the nearest first."""
    box = _box(run)
    over = [
        word
        for word in page.words
        if word.box.bottom >= box.top and word.box.left < box.right and box.left < word.box.right
    ]
    for line in reversed(lines_of(over)):
        yield tuple(line)
