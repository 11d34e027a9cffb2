"""The words in a box drawn on a page, set into the rows and columns that they are printed in."""

from __future__ import annotations

from collections.abc import Sequence

from evenbarrel.intake.pages.words import (
    Box,
    Page,
    Run,
    around,
    lines_of,
    runs_of,
    text_of,
    words_within,
)
from evenbarrel.intake.proposal import Place, Proposal
from evenbarrel.intake.sources import Source
from evenbarrel.intake.tables.cells import Cell, Grid, TableRefused, make_grid
from evenbarrel.intake.tables.columns import Span, columns_of, nearest, shared
from evenbarrel.intake.tables.table import propose_table
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.wording.sentences.asking import quote

_SPANNED = 0.4
"""Share of a column's width that a heading across several must cover to stand over it."""


def propose_box(evaluation: Evaluation, page: Page, box: Box, bid: str, source: Source) -> Proposal:
    """Return what the table in a box says as a proposal for the bid of that id.

    Raises `TableRefused` where no words are in the box, or too many.
    """
    return propose_table(evaluation, grid_in(page, box), bid, source)


def grid_in(page: Page, box: Box) -> Grid:
    """Return the words in a box as a table; each cell's place is the page and the box round it.

    Raises `TableRefused` where no words are in the box, or too many.
    """
    words = words_within(page, box)
    if not words:
        raise TableRefused(quote.NOTHING_IN_BOX)
    lines = [runs_of(line) for line in lines_of(words)]
    columns = columns_of([[_span(run) for run in line] for line in lines])
    rows = []
    for number, line in enumerate(lines, 1):
        cells: list[list[Run]] = [[] for _ in columns]
        for run in line:
            for column in _columns_of(run, columns):
                cells[column].append(run)
        once = _printed_once(line, columns, cells)
        rows.append(
            [_cell(page, number, at + 1, runs, at in once) for at, runs in enumerate(cells)]
        )
    return make_grid(rows)


def _cell(page: Page, row: int, column: int, runs: Sequence[Run], is_shared: bool) -> Cell:
    if not runs:
        return Cell("", Place(row, column, page=page.number))
    words = [word for run in runs for word in run]
    box = around(word.box for word in words).rounded()
    noticed = ("for_all",) if is_shared else ()
    return Cell(text_of(words), Place(row, column, page=page.number, box=box), noticed)


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


def _printed_once(
    line: Sequence[Run], columns: Sequence[Span], cells: list[list[Run]]
) -> frozenset[int]:
    """Put what stands between columns into those on either side, and return which they are.

    It is printed in the middle of them, so they are as many on its left as on its right.
    """
    among: set[int] = set()
    for run in line:
        if any(run in runs for runs in cells):
            continue
        after = sum(column[1] < _span(run)[0] for column in columns)
        count = 0
        while (
            after - count - 1 > 0
            and after + count < len(columns)
            and not cells[after - count - 1]
            and not cells[after + count]
        ):
            count += 1
        chosen = range(after - count, after + count) if count else [min(after, len(columns) - 1)]
        for column in chosen:
            cells[column].append(run)
        among |= set(chosen) if count else set()
    return frozenset(among)
