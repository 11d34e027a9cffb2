"""Text that was pasted or read from a file, cut into a grid of cells."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Callable, Iterator
from itertools import pairwise

from evenbarrel.intake.extract import FoundAt
from evenbarrel.intake.tables.cells import MOST_ROWS, Cell, Grid, TableRefused, make_grid
from evenbarrel.intake.tables.columns import columns_of, nearest
from evenbarrel.intake.tables.labels import is_unit, read_label
from evenbarrel.intake.tables.several import label_and_rest, starts_in
from evenbarrel.intake.tables.values import begins_a_value, is_absent

MOST_CHARACTERS = 2_000_000
"""Of a text; far more than 50,000 cells take."""
LONGEST_LINE = 20_000
# The dots that lead the eye from a label to its number are a gap, too.
_COLON = re.compile(r"(?<![0-9]):|:(?![0-9])")
"""What parts a label from its value, and not 22:1."""
_SAYS = frozenset({"is", "are", "at", "ist", "beträgt", "bei", "est", "è", "es"})
"""Words of a sentence before its number, and of no row of a table."""
_GAP = re.compile(r" {2,}| *\.{4,} *")


def text_of(data: bytes) -> str:
    """Return the text in a file, UTF-8 or UTF-16 by its mark, else Windows Latin.

    Raises `TableRefused` where it is no text.
    """
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", "replace")
    if b"\0" in data:
        raise TableRefused("it is not text")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def grid_of(text: str) -> Grid:
    """Return the cells of a pasted text, however its columns are kept apart.

    Raises `TableRefused` where it is too long.
    """
    if len(text) > MOST_CHARACTERS:
        raise TableRefused(f"it has more than {MOST_CHARACTERS} characters")
    lines = text.splitlines()
    if len(lines) > MOST_ROWS:
        raise TableRefused(f"it has {len(lines)} rows; a table of at most {MOST_ROWS} rows is read")
    if any(len(line) > LONGEST_LINE for line in lines):
        raise TableRefused(f"one of its lines has more than {LONGEST_LINE} characters")
    cut = _cutter(lines)
    parted = _parted(lines) if cut is _by_gaps else map(cut, lines)
    rows = [
        [Cell(_clean(text), FoundAt(number, column)) for column, text in enumerate(cells, 1)]
        for number, whole in enumerate(parted, 1)
        for cells in _pairs_in(whole)
    ]
    return make_grid(rows)


def _parted(lines: list[str]) -> list[list[str]]:
    """Return the cells of lines kept apart by spaces; each table has columns of its own."""
    starts = starts_in([[text for _, text in _placed(line) if text.strip()] for line in lines])
    cells: list[list[str]] = []
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
        own = lines[start:end]
        cells += _aligned(own) or map(_by_gaps, own)
    return cells


def _pairs_in(cells: list[str]) -> Iterator[list[str]]:
    """Yield a line as it is, or the pairs of label and value that it is made of, each as a row."""
    filled = [cell for cell in cells if cell.strip()]
    pairs = [pair for cell in filled if (pair := label_and_rest(_clean(cell))) is not None]
    if filled and len(pairs) == len(filled):
        yield from map(list, pairs)
    else:
        yield cells


def _clean(text: str) -> str:
    text = text.encode("utf-8", "replace").decode("utf-8")
    return " ".join(text.replace("\u00a0", " ").split()).strip("\"'" if text[:1] == "'" else "")


def _cutter(lines: list[str]) -> Callable[[str], list[str]]:
    """Return what cuts a line, by the mark that most lines have."""
    filled = [line for line in lines if line.strip()]
    half = len(filled) / 2

    def common(mark: str) -> bool:
        return bool(filled) and sum(mark in line for line in filled) >= max(1, half)

    # A tab is no accident, however many lines of a letter stand round the table.
    if common("\t") or sum("\t" in line for line in filled) > 2:
        return lambda line: line.split("\t")
    if common("|"):
        return _by_bars
    if common(";"):
        return lambda line: _by_csv(line, ";")
    if bool(filled) and sum(_has_gap(line) for line in filled) >= max(1, half):
        return _by_gaps
    if 2 * sum(_COLON.search(line) is not None for line in filled) >= max(2, len(filled)):
        return _by_colon
    if common(",") and _reads_as_csv(filled):
        return lambda line: _by_csv(line, ",")
    return _by_words


def _by_bars(line: str) -> list[str]:
    cells = line.strip().removeprefix("|").removesuffix("|").split("|")
    # The rule below the heads of a table written in text says nothing.
    return [] if all(re.fullmatch(r"\s*:?[-=+]+:?\s*", cell) for cell in cells) else cells


def _by_csv(line: str, mark: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=mark, skipinitialspace=True), [])
    except csv.Error:
        return line.split(mark)


def _reads_as_csv(lines: list[str]) -> bool:
    """Say whether commas part cells, not digits: most lines then have as many of them.

    Sentences have commas, too, and end with a full stop.
    """
    if 2 * sum(line.rstrip().endswith(".") for line in lines) >= len(lines):
        return False
    counts = [len(_by_csv(line, ",")) for line in lines]
    usual = max(set(counts), key=counts.count)
    return usual > 2 and counts.count(usual) >= len(counts) / 2


def _has_gap(line: str) -> bool:
    return re.search(r"\S {2,}\S|\S *\.{4,} *\S", line) is not None


def _by_gaps(line: str) -> list[str]:
    return [text for _, text in _placed(line)]


def _placed(line: str) -> list[tuple[int, str]]:
    """Return the cells between gaps, each with the character it begins at."""
    cells, begun = [], 0
    line = line.strip("\r\n")
    for gap in (*_GAP.finditer(line), None):
        end = len(line) if gap is None else gap.start()
        cells += _unit_apart(begun, line[begun:end])
        begun = end if gap is None else gap.end()
    return cells


def _unit_apart(begun: int, cell: str) -> list[tuple[int, str]]:
    """Part a unit from the number behind it, where a long one left one space between them."""
    unit, space, number = cell.partition(" ")
    if space and is_unit(unit) and begins_a_value(number):
        return [(begun, unit), (begun + len(unit) + 1, number)]
    return [(begun, cell)]


def _aligned(lines: list[str]) -> list[list[str]] | None:
    """Return the cells of lines by where they stand, as type of one width shows columns.

    A line without a unit has a gap less than the others. None where all have as many cells, or
    they do not stand below each other.
    """
    placed = [[(at, text) for at, text in _placed(line) if text.strip()] for line in lines]
    counts = {len(line) for line in placed if len(line) > 1}
    if len(counts) < 2:
        return None
    spans = [[(float(at), float(at + len(text))) for at, text in line] for line in placed]
    columns = columns_of(spans)
    homes = [[nearest(span, columns) for span in line] for line in spans]
    if len(columns) > max(counts) or any(len(set(home)) < len(home) for home in homes):
        return None
    return [
        [dict(zip(home, (text for _, text in line), strict=True)).get(c, "") for c in range(width)]
        for home, line in zip(homes, placed, strict=True)
        for width in [len(columns)]
    ]


def _by_colon(line: str) -> list[str]:
    label, *rest = _COLON.split(line, maxsplit=1)
    if not rest or not any(c.isalpha() for c in label) or _states_something(label.split()):
        return [line]
    return [label.strip(" -•*·"), rest[0].strip()]


def _by_words(line: str) -> list[str]:
    """Cut a line that has single spaces alone: a label, perhaps a unit, and its numbers."""
    pair = label_and_rest(line)
    if pair is not None:
        return list(pair)
    words = line.split()
    if _states_something(words):
        return [line.strip()]
    end = len(words)
    while end > 1 and (begins_a_value(words[end - 1]) or is_absent(words[end - 1])):
        end -= 1
    values = words[end:]
    # 40 mm: the unit is behind the number, once or each time.
    if not values and len(words) > 2 and is_unit(words[-1]) and begins_a_value(words[-2]):
        return [" ".join(words[:-2]), words[-2], words[-1]]
    unit = words[end - 1] if values and end > 1 and is_unit(words[end - 1]) else ""
    if unit and read_label(" ".join(words[:end])).unit:
        end -= 1
        return [" ".join(words[:end]), unit.strip("[]()"), *values]
    return [" ".join(words[:end]), "", *values] if values else [line.strip()]


def _states_something(words: list[str]) -> bool:
    """Say whether words are a sentence: `The stroke is 200 mm`, `38 g/s at 300 rpm`."""
    return any(one.casefold() in _SAYS and begins_a_value(after) for one, after in pairwise(words))
