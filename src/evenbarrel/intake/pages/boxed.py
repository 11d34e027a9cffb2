"""The words in a box drawn on a page, set into the rows and columns that they are printed in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from statistics import median

from evenbarrel.intake.extract import Extract, FoundAt
from evenbarrel.intake.pages.words import (
    Box,
    Page,
    Run,
    Word,
    around,
    lines_of,
    runs_of,
    text_of,
    words_within,
)
from evenbarrel.intake.sentences.offer import is_of_an_offer
from evenbarrel.intake.sources import Source
from evenbarrel.intake.tables.cells import Cell, Grid, TableRefused, make_grid
from evenbarrel.intake.tables.columns import Span, columns_of, nearest, shared
from evenbarrel.intake.tables.several import label_and_rest, starts_in
from evenbarrel.intake.tables.table import extract_tables
from evenbarrel.intake.tables.values import begins_a_value
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences.asking import quote

_Cells = list[list[Run]]
"""What stands in each column of one line."""
_HEADS = 4
"""A line of heads is among so many first ones."""
_APART = 1.6
"""Times the usual way from line to line: what is further below stands apart."""
_SPANNED = 0.4
"""Share of a column's width that a heading across several must cover to stand over it."""


def extract_box(
    evaluation: Evaluation,
    page: Page,
    box: Box,
    bid: str,
    source: Source,
    rest: Sequence[Grid] = (),
) -> Extract:
    """Return what the tables in a box say as an extract for the bid of that id.

    The `rest` of the quote, its tables on all pages, shows which mark separates decimals, and adds
    what it states of the offer that is neither in the box nor in the bid yet. Raises
    `TableRefused` where no words are in the box, or too many.
    """
    grids, whole = grids_in(page, box), Box(0.0, 0.0, page.width, page.height)
    extract = extract_tables(evaluation, grids, bid, source, lambda: rest or grids_in(page, whole))
    filled = {line.goes_to for line in extract.lines if line.value is not None}
    others = () if not rest else extract_tables(evaluation, rest, bid, source).lines
    of_offer = tuple(
        line
        for line in others
        if is_of_an_offer(line.field) and line.outcome == "fills" and line.goes_to not in filled
    )
    name = quote.printed_on(source.name, page.number)
    return replace(extract, lines=(*extract.lines, *of_offer), name=name)


def grids_in(page: Page, box: Box) -> tuple[Grid, ...]:
    """Return the tables in a box, from above; each cell's place is the page and the box round it.

    Raises `TableRefused` where no words are in the box, or too many.
    """
    words = words_within(page, box)
    if not words:
        raise TableRefused(quote.NOTHING_IN_BOX)
    lines = [
        pair
        for line in _with_blanks(lines_of(words))
        for pair in (_pairs_in(runs_of(line)) if line else [()])
    ]
    starts = starts_in([[text_of(run) for run in line] for line in lines])
    ends, cut = [*starts[1:], len(lines)], _cut_by(page, box, words)
    parts = [[one for one in lines[a:b] if one] for a, b in zip(starts, ends, strict=True)]
    return tuple(
        _grid_of(page, part, at, [one for one in parts if _has_heads_of(one, part)], cut)
        for at, part in zip(starts, parts, strict=True)
    )


def _cut_by(page: Page, box: Box, words: Sequence[Word]) -> frozenset[Word]:
    """Return the words in a box whose cell goes on beyond its left or its right edge."""
    _, bottom, _, top = box
    beyond = [
        word
        for word in page.words
        if bottom <= word.box.middle[1] <= top and not box.holds(*word.box.middle)
    ]
    if not beyond:
        return frozenset()
    outside = frozenset(beyond)
    runs = (run for line in lines_of([*words, *beyond]) for run in runs_of(line))
    return frozenset(word for run in runs if not outside.isdisjoint(run) for word in run)


def _has_heads_of(other: Sequence[Sequence[Run]], part: Sequence[Sequence[Run]]) -> bool:
    """Say whether a line of one part, with three cells or more, stands in another just so."""
    if other is part:
        return True
    heads = [_stands(line) for line in part[:_HEADS] if len(line) > 2]
    return any(_stands(line) in heads for line in other[:_HEADS])


def _stands(line: Sequence[Run]) -> tuple[tuple[str, int], ...]:
    return tuple((text_of(run), round(run[0].box.left)) for run in line)


def _with_blanks(lines: Sequence[list[Word]]) -> Iterator[list[Word]]:
    """Yield lines from above, and an empty one where they stand well apart."""
    boxes = [around(word.box for word in line) for line in lines]
    pitches = [above.middle[1] - below.middle[1] for above, below in pairwise(boxes)]
    usual = median(pitches) if pitches else 0.0
    for line, pitch in zip(lines, [0.0, *pitches], strict=True):
        if pitch > _APART * usual:
            yield []
        yield line


def _pairs_in(line: Sequence[Run]) -> Iterator[Sequence[Run]]:
    """Yield a line as it is, or the pairs of label and value that it is made of, each for itself.

    `Supplier: Nordhalm` is two cells though no gap parts them.
    """
    ends = [next((at for at, w in enumerate(run, 1) if w.text.endswith(":")), 0) for run in line]
    known = [label_and_rest(text_of(run)) is not None for run in line]
    if all(known) and all(ends):
        yield from ((run[:end], run[end:]) for run, end in zip(line, ends, strict=True))
    else:
        yield line


def _grid_of(
    page: Page,
    lines: Sequence[Sequence[Run]],
    before: int,
    alike: Sequence[Sequence[Sequence[Run]]],
    cut: frozenset[Word],
) -> Grid:
    """Return the lines of a part as a table, in the columns that it has with those alike.

    Cells with words that are `cut` are not whole.
    """
    columns = columns_of([[_span(run) for run in line] for part in alike for line in part])
    table = [_over_columns(line, columns) for line in lines]
    valued = _valued(table, len(columns))
    for head in range(1, len(columns)):
        _join_head(table, head, valued)
    rows = []
    for number, (line, cells) in enumerate(zip(lines, table, strict=True), before + 1):
        once = _settle_between(line, columns, cells, valued)
        rows.append(
            [_cell(page, number, at + 1, runs, at in once, cut) for at, runs in enumerate(cells)]
        )
    return make_grid(rows)


def _over_columns(line: Sequence[Run], columns: Sequence[Span]) -> _Cells:
    cells: _Cells = [[] for _ in columns]
    for run in line:
        for column in _columns_of(run, columns):
            cells[column].append(run)
    return cells


def _valued(table: Sequence[_Cells], count: int) -> frozenset[int]:
    """Return which columns hold numbers, most of them."""
    found = set()
    for column in range(count):
        texts = [text_of(run) for cells in table for run in cells[column]]
        if 2 * sum(begins_a_value(text) for text in texts) > len(texts):
            found.add(column)
    return frozenset(found)


def _join_head(table: Sequence[_Cells], at: int, valued: frozenset[int]) -> None:
    """Put a head that stands alone in its column over the numbers beside it that have none."""
    filled = [row for row, cells in enumerate(table) if cells[at]]
    if len(filled) != 1 or at in valued:
        return
    row = filled[0]
    beside = [
        column
        for column in (at - 1, at + 1)
        if column in valued
        and not table[row][column]
        and not any(cells[column] for cells in table[:row])
    ]
    if len(beside) == 1:
        table[row][beside[0]] = table[row][at]
        table[row][at] = []


def _cell(
    page: Page,
    row: int,
    column: int,
    runs: Sequence[Run],
    is_shared: bool,
    cut: frozenset[Word],
) -> Cell:
    if not runs:
        return Cell("", FoundAt(row, column, page=page.number))
    words = [word for run in runs for word in run]
    box = around(word.box for word in words).rounded()
    seen = (
        ("for_all", is_shared),
        ("set_together", len(runs) > 1),
        ("cut_off", not cut.isdisjoint(words)),
    )
    noticed = tuple(code for code, is_so in seen if is_so)
    return Cell(text_of(words), FoundAt(row, column, page=page.number, box=box), noticed)


def _span(run: Run) -> Span:
    return run[0].box.left, max(word.box.right for word in run)


def _columns_of(run: Run, columns: Sequence[Span]) -> list[int]:
    """Return the columns that a run stands in: each one that a heading stands over.

    What begins in the first column is a label or a sentence, however long it is.
    """
    span = _span(run)
    over = [
        at
        for at, column in enumerate(columns)
        if shared(span, column) >= _SPANNED * (column[1] - column[0])
    ]
    if len(over) < 2:
        home = nearest(span, columns)
        return [home] if shared(span, columns[home]) > 0 else []
    return [0] if over[0] == 0 else over


def _settle_between(
    line: Sequence[Run], columns: Sequence[Span], cells: _Cells, valued: frozenset[int]
) -> frozenset[int]:
    """Put what stands between columns into one of them, or into all it is printed once for.

    A head that begins where its numbers do not lies beside them. What stands alone in the middle of
    columns of numbers is meant for as many on its left as on its right; which these are comes back.
    """
    off = [run for run in line if not any(run in runs for runs in cells)]
    for run in off:
        after = sum(column[1] < _span(run)[0] for column in columns)
        free = [at for at in (after - 1, after) if 0 < at < len(columns) and not cells[at]]
        if len(off) == 1 and len(free) == 2 and valued.issuperset(free):
            count = _free_on_both_sides(after, cells, valued)
            chosen = range(after - count, after + count)
            for at in chosen:
                cells[at].append(run)
            return frozenset(chosen)
        span = _span(run)
        nearest_free = sorted(free, key=lambda at: (at not in valued, -shared(span, columns[at])))
        cells[nearest_free[0] if free else nearest(span, columns)].append(run)
    return frozenset()


def _free_on_both_sides(after: int, cells: _Cells, valued: frozenset[int]) -> int:
    """Return how many columns of numbers are empty on either side of a place, side by side."""
    free = [at in valued and not runs for at, runs in enumerate(cells)]
    count = 0
    while count < min(after, len(free) - after) and free[after - count - 1] and free[after + count]:
        count += 1
    return count
