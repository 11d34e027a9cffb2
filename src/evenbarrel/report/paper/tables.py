"""Sheets as tables on paper: column widths, repeated headings, marks drawn beside their words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from math import ceil
from types import MappingProxyType
from typing import Any

from reportlab.platypus import Flowable, Table, TableStyle

from evenbarrel.report.paper.fonts import BOLD, REGULAR, width_of
from evenbarrel.report.paper.pages import Begun
from evenbarrel.report.paper.palette import colour
from evenbarrel.report.paper.pictures.strokes import LEADING, MARK_ROOM, SIZE, Marked
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet

PADDING = 3.0

_AIR_BESIDE = 24.0
"""What a page keeps free round columns that cannot be broken [pt]."""
_LONGEST_WORD = 84.0
"""A longer word is split where room is scarce [pt]."""
_SLACK, _NAMES_SHARE = 0.5, 0.28
_AIR, _TITLE_LINES = 1.7, 4
_GRID_HEAD = "heading_small"
_GRID_AIR, _GRID_PADDING = 1.5, 2.0
"""Round the words of a grid [pt]: its many columns stand closer than those of other tables."""
_SHORT, _TALLEST = 200, 300.0
"""A text that need not be measured [characters], a row not to be split [pt]."""
LOW = 18.0
"""A row of one line is lower [pt]."""


@cache
def _ruled() -> TableStyle:
    head, line, ruler = (colour(name) for name in ("raised", "line", "ruler"))
    return TableStyle(
        [
            *plain_style(PADDING, _AIR),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("BACKGROUND", (0, 0), (-1, 0), head),
            ("LINEBELOW", (0, 0), (-1, 0), 0.8, ruler),
            ("LINEBELOW", (0, 1), (-1, -1), 0.3, line),
        ]
    )


def plain_style(left: float, air: float) -> list[Any]:
    """Return the commands of a table without rules: room at the left of its cells, air [pt]."""
    whole = ((0, 0), (-1, -1))
    return [
        ("FONT", *whole, REGULAR, SIZE, LEADING),
        ("TEXTCOLOR", *whole, colour("text")),
        ("VALIGN", *whole, "TOP"),
        ("LEFTPADDING", *whole, left),
        ("RIGHTPADDING", *whole, PADDING),
        ("TOPPADDING", *whole, air),
        ("BOTTOMPADDING", *whole, air),
    ]


def column_widths(
    writer: Writer,
    sheet: Sheet,
    room: float,
    most: Mapping[int, float] = MappingProxyType({}),
) -> list[float]:
    """Return the width of each column [pt], together at most `room`.

    Where all fits on one line each column takes what it needs, headings on two if need be; else
    each keeps its longest word, the rest shared by the square root of what is wanted: a long text
    starves no names beside it.
    """
    least, wanted, titled = [], [], []
    for place, heading in enumerate(sheet.headings):
        words, lines = _needs(writer, heading, [row[place] for row in sheet.rows])
        least.append(words)
        wanted.append(max(words, min(lines, most.get(place, lines))))
        title = writer.width(writer.line(heading.title), "heading") + 2 * PADDING + _SLACK
        titled.append(max(wanted[-1], title))
    if sum(titled) <= room:
        return titled
    if sum(wanted) <= room:
        return wanted
    if sum(least) >= room:
        return _capped(least, room)
    return _shared(least, wanted, room - sum(least))


def _capped(least: list[float], room: float) -> list[float]:
    """Return widths that fill the room, the widest ones cut alike: short words stay whole."""
    rest, columns = room, sorted(range(len(least)), key=lambda place: least[place])
    widths = list(least)
    for number, place in enumerate(columns):
        widths[place] = min(least[place], rest / (len(columns) - number))
        rest -= widths[place]
    return widths


def _shared(least: list[float], wanted: list[float], rest: float) -> list[float]:
    widths = list(least)
    missing = sorted((wanted[place] - least[place], place) for place in range(len(least)))
    roots = sum(more**0.5 for more, _ in missing)
    for more, place in missing:
        if more <= 0:
            continue
        given = min(more, rest * more**0.5 / roots)
        widths[place] += given
        rest, roots = rest - given, roots - more**0.5
    return widths


def _in_two(writer: Writer, title: str) -> float:
    """Return the least width at which a heading takes two lines [pt]."""
    words = writer.line(title).split(" ")
    halves = ((words[:n], words[n:]) for n in range(1, len(words) + 1))
    return min(max(writer.width(" ".join(h), "heading") for h in both) for both in halves)


def _needs(writer: Writer, heading: Heading, cells: Sequence[Cell]) -> tuple[float, float]:
    """Return what the longest word and the longest line of a column take [pt]."""
    titles = [*heading.title.split(), heading.unit]
    word = max(min(writer.width(writer.line(t), "heading"), _LONGEST_WORD) for t in titles)
    line = max(word, min(_in_two(writer, heading.title), _LONGEST_WORD))
    for cell in dict.fromkeys((c.text, c.state is not None) for c in cells):
        text, marked = cell
        if marked:
            lines = _lines(writer, text).split("\n")
            whole = max(writer.width(part) for part in lines) + MARK_ROOM
            word, line = max(word, min(whole, _LONGEST_WORD)), max(line, whole)
            continue
        shown = writer.line(text)
        line = max(line, writer.width(shown))
        # A number with what is said of it is one word: "204 900 + ?".
        words = [shown] if heading.align == "right" else shown.split(" ")
        parts = (writer.width(part) for part in words)
        word = max(word, min(max(parts), _LONGEST_WORD))
    return word + 2 * PADDING + _SLACK, line + 2 * PADDING + _SLACK


class SheetTable(Table):
    """A table that never leaves its last row alone on a page, nor a first one of one line.

    It is measured once for a width, when it has its style.
    """

    _taken: tuple[float, tuple[float, float]] | None = None

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        """Return the place it takes."""
        if self._taken is None or self._taken[0] != room:
            self._taken = room, super().wrap(room, height)
        return self._taken[1]

    def split(self, room: float, height: float) -> list[Any]:
        """Return the parts before and after the end of the page."""
        parts: list[Any] = super().split(room, height)
        if len(parts) != 2:
            return parts
        first, second = parts
        heights: list[float] = first._rowHeights
        if _rows_of(second) == 1 and _rows_of(first) > 1:
            heights = heights[:-1]
            parts = super().split(room, sum(heights) + 0.01)
        if len(heights) == 1 + self.repeatRows and height < _TALLEST and heights[-1] < LOW:
            return []
        return parts

    def heights(self, room: float) -> list[float]:
        """Return the height of its headings and of each row [pt]."""
        made: Any = self
        made.wrap(room, _TALLEST)
        return list(made._rowHeights)


def _rows_of(table: Any) -> int:
    return int(table._nrows) - int(table.repeatRows)


def sheet_table(
    writer: Writer,
    sheet: Sheet,
    room: float,
    most: Mapping[int, float] = MappingProxyType({}),
    *,
    whole_width: bool = False,
) -> SheetTable:
    """Return a sheet as a table with its headings repeated on every page.

    `most` holds the greatest width of some columns [pt], by their place. With `whole_width` the
    widest column takes what the others leave of the room.
    """
    widths = column_widths(writer, sheet, room, most)
    if whole_width:
        widths[widths.index(max(widths))] += room - sum(widths)
    return _table(writer, sheet, widths)


def halves(writer: Writer, sheet: Sheet, room: float) -> list[SheetTable]:
    """Return a sheet as two tables of the same columns, each within `room` [pt]."""
    widths, middle = column_widths(writer, sheet, room), -(-len(sheet.rows) // 2)
    parts = (sheet.rows[:middle], sheet.rows[middle:])
    return [_table(writer, replace(sheet, rows=rows), widths) for rows in parts]


def banded_table(writer: Writer, named: Sequence[tuple[str, Sheet]], room: float) -> SheetTable:
    """Return sheets of the same headings as one table, each below a band with its title.

    A band is never parted from its first row by the end of a page; where its rows go on, the page's
    head tells the name that stands before its sheet.
    """
    sheets = [sheet for _, sheet in named]
    rows: list[tuple[Cell, ...]] = []
    bands = []
    for sheet in sheets:
        bands.append(len(rows) + 1)
        rows += [(Cell(""),) * len(sheet.headings), *sheet.rows]
    whole = replace(sheets[0], rows=tuple(rows))
    widths = column_widths(writer, whole, room)
    widths[widths.index(max(widths))] += room - sum(widths)
    table = _table(writer, whole, widths)
    for place, (name, sheet) in zip(bands, named, strict=True):
        cells: Any = table
        title = writer.paragraph(sheet.title, "band")
        cells._cellvalues[place][0] = [Begun(writer.line(name)), title]
        table.setStyle(
            [
                ("SPAN", (0, place), (-1, place)),
                ("TOPPADDING", (0, place), (-1, place), 7),
                ("LINEBELOW", (0, place), (-1, place), 0.6, colour("ruler")),
                ("NOSPLIT", (0, place), (-1, place + 1)),
            ]
        )
    return table


def _table(writer: Writer, sheet: Sheet, widths: list[float], *, grid: bool = False) -> SheetTable:
    aligned = [heading.align for heading in sheet.headings]
    beside = 2 * (_GRID_PADDING if grid else PADDING)
    head = [
        _heading(writer, replace(one, title=writer.title(one.title, width - beside)), grid)
        for one, width in zip(sheet.headings, widths, strict=True)
    ]
    rows: list[list[object]] = [list(head)]
    for row in sheet.rows:
        placed = zip(row, widths, aligned, strict=True)
        rows.append([_cell(writer, c, w - beside, align, grid) for c, w, align in placed])
    table = SheetTable(rows, widths, repeatRows=1, splitInRow=_tall(writer, sheet, widths))
    table.hAlign = "LEFT"
    table.setStyle(_ruled())
    if grid:
        air = ((side, (0, 1), (-1, -1), _GRID_AIR) for side in ("TOPPADDING", "BOTTOMPADDING"))
        sides = ("LEFTPADDING", "RIGHTPADDING")
        table.setStyle([*air, *((side, (0, 0), (-1, -1), _GRID_PADDING) for side in sides)])
    lies = {"right": "RIGHT", "centre": "CENTER"}
    for place, align in enumerate(aligned):
        if align in lies:
            table.setStyle([("ALIGN", (place, 0), (place, -1), lies[align])])
    return table


def _tall(writer: Writer, sheet: Sheet, widths: list[float]) -> bool:
    """Say whether a row may fill most of a page: only then may it be split within."""
    for row in sheet.rows:
        for cell, width in zip(row, widths, strict=True):
            if len(cell.text) > _SHORT:
                lines = cell.text.count("\n") + 1.2 * writer.width(cell.text) / width
                if lines * LEADING > _TALLEST:
                    return True
    return False


def _heading(writer: Writer, heading: Heading, grid: bool) -> object:
    words = f"{heading.title}\n{heading.unit}" if heading.unit else heading.title
    if grid:
        style = f"{_GRID_HEAD}_{heading.align}" if heading.align != "left" else _GRID_HEAD
        return writer.paragraph(words, style)
    align = "" if heading.align == "left" else f"_{heading.align}"
    return writer.paragraph(words, f"heading{align}")


def _lines(writer: Writer, words: str) -> str:
    return "\n".join(map(writer.line, words.split("\n")))


def _cell(writer: Writer, cell: Cell, room: float, align: str, grid: bool) -> object:
    if cell.state is not None:
        return Marked(cell.state, _lines(writer, cell.text), align == "centre", grid)
    return writer.cell(cell.text, room, align)


def grid_tables(
    writer: Writer, sheet: Sheet, fixed: int, room: float, least: float, most: float
) -> list[tuple[int, int, SheetTable]]:
    """Return a grid in as many tables as its columns need, the `fixed` ones repeated in each.

    The others are all of one width between `least` and `most` [pt], and their titles are cut
    where they would take more than a few lines. Each table comes with its first and last column,
    counted from 1.
    """
    names = column_widths(writer, _columns(sheet, range(fixed)), room * _NAMES_SHARE)
    if len(sheet.headings) == fixed:
        return [(0, 0, _table(writer, sheet, names, grid=True))]
    titles = (word for heading in sheet.headings[fixed:] for word in heading.title.split())
    longest = max((writer.width(writer.line(word), _GRID_HEAD) for word in titles), default=0.0)
    # A heading's word is not broken, unless it is longer than any column may be.
    least = max(least, min(longest + 2 * _GRID_PADDING + _SLACK, most))
    rest, columns = room - sum(names), len(sheet.headings) - fixed
    parts = ceil(columns / max(1, int(rest / least)))
    size = ceil(columns / parts)
    each = min(most, rest / size)
    cut = replace(sheet, headings=_cut_titles(writer, sheet, fixed, each - 2 * _GRID_PADDING))
    tables = []
    for first in range(0, columns, size):
        last = min(first + size, columns)
        part = _columns(cut, (*range(fixed), *range(fixed + first, fixed + last)))
        made = _table(writer, part, [*names, *([each] * (last - first))], grid=True)
        tables.append((first + 1, last, made))
    return tables


def _columns(sheet: Sheet, places: Sequence[int]) -> Sheet:
    headings = tuple(sheet.headings[place] for place in places)
    rows = tuple(tuple(row[place] for place in places) for row in sheet.rows)
    return Sheet(sheet.key, sheet.title, headings, rows)


def _cut_titles(writer: Writer, sheet: Sheet, fixed: int, room: float) -> tuple[Heading, ...]:
    measure = partial(width_of, font=BOLD, size=SIZE)
    cut = (
        replace(heading, title=fitted(writer.line(heading.title), _TITLE_LINES * room, measure))
        for heading in sheet.headings[fixed:]
    )
    return (*sheet.headings[:fixed], *cut)


def side_by_side(
    columns: Sequence[Sequence[Flowable]], widths: Sequence[float], depth: float
) -> list[Flowable]:
    """Return columns of flowables beside each other, each so wide [pt].

    Where one is higher than a page is deep [pt] they stand below each other: none can be broken.
    """
    heights = (
        sum(part.wrap(width, depth)[1] for part in column)
        for column, width in zip(columns, widths, strict=True)
    )
    if max(heights) > depth - _AIR_BESIDE:
        return [part for column in columns for part in column]
    return [
        Table(
            [list(map(list, columns))],
            list(widths),
            hAlign="LEFT",
            style=TableStyle(plain_style(0, 0)),
        )
    ]
