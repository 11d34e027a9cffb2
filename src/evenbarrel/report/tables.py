"""Sheets as tables on paper: column widths, repeated headings, marks drawn beside their words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache, partial
from math import ceil
from typing import Any

from reportlab.graphics.renderPDF import draw
from reportlab.graphics.shapes import Drawing
from reportlab.platypus import Flowable, Table, TableStyle

from evenbarrel.appraisal.results import State
from evenbarrel.report.fonts import BOLD, REGULAR, width_of
from evenbarrel.report.palette import colour
from evenbarrel.report.strokes import MARK, mark
from evenbarrel.report.text import Writer
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet

PADDING = 3.0
SIZE, LEADING = 7.0, 9.0
MARK_ROOM = 2 * MARK + 2.4
"""What a mark takes before its word [pt]."""

_LONGEST_WORD = 84.0
"""A longer word is split where room is scarce [pt]."""
_SLACK = 0.5
_NAMES_SHARE = 0.28
_TITLE_LINES = 4
_SHORT, _TALLEST = 200, 300.0
"""A text that need not be measured [characters], a row that need not be split [pt]."""


@cache
def _ruled() -> TableStyle:
    head, line, ruler = (colour(name) for name in ("raised", "line", "ruler"))
    return TableStyle(
        [
            *_plain(PADDING, 2.5),
            ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
            ("BACKGROUND", (0, 0), (-1, 0), head),
            ("LINEBELOW", (0, 0), (-1, 0), 0.8, ruler),
            ("LINEBELOW", (0, 1), (-1, -1), 0.3, line),
        ]
    )


def _plain(left: float, air: float) -> list[Any]:
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


@cache
def _mark(state: State) -> Drawing:
    return Drawing(2 * MARK, 2 * MARK, mark(MARK, MARK, state))


class Marked(Flowable):
    """A state's mark with its words beside it, or below where that is asked or needed.

    Word and mark tell the state in grey print as well as in colour.
    """

    def __init__(self, state: State, words: str, stacked: bool = False) -> None:
        super().__init__()
        self._state, self._lines, self._centred = state, words.split("\n"), stacked
        self._widest = max(width_of(line, REGULAR, SIZE) for line in self._lines)
        self._stacked = stacked

    def wrap(self, room: float, _height: float) -> tuple[float, float]:
        """Return the place the mark and its lines take."""
        self.width = room
        self._stacked = self._centred or MARK_ROOM + self._widest > room
        return room, LEADING * (len(self._lines) + self._stacked)

    def draw(self) -> None:
        """Draw the mark, then the words line by line."""
        canvas, middle = self.canv, self.width / 2 if self._centred else 0.0
        top = LEADING * (len(self._lines) + self._stacked - 1)
        draw(_mark(self._state), canvas, max(0.0, middle - MARK), top + 1.2)
        canvas.setFillColor(colour("text"))
        canvas.setFont(REGULAR, SIZE)
        for place, line in enumerate(self._lines):
            y = top - LEADING * (place + self._stacked) + 2.1
            if self._centred:
                canvas.drawCentredString(middle, y, line)
            else:
                canvas.drawString(0.0 if self._stacked else MARK_ROOM, y, line)


def column_widths(writer: Writer, sheet: Sheet, room: float) -> list[float]:
    """Return the width of each column [pt], together at most `room`.

    Where everything fits on one line each column takes what it needs; else each keeps its longest
    word, and the rest is shared by the square root of what is still wanted, so that a long text
    does not starve the names beside it.
    """
    least, wanted = [], []
    for place, heading in enumerate(sheet.headings):
        words, lines = _needs(writer, heading, [row[place] for row in sheet.rows])
        least.append(words)
        wanted.append(max(words, lines))
    if sum(wanted) <= room:
        return wanted
    if sum(least) >= room:
        return [room * width / sum(least) for width in least]
    return _shared(least, wanted, room - sum(least))


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


def _needs(writer: Writer, heading: Heading, cells: Sequence[Cell]) -> tuple[float, float]:
    """Return what the longest word and the longest line of a column take [pt]."""
    titles = [*heading.title.split(), heading.unit]
    word = max(min(writer.width(writer.line(t), "heading"), _LONGEST_WORD) for t in titles)
    line = max(word, min(writer.width(writer.line(heading.title), "heading") / 2, _LONGEST_WORD))
    for cell in dict.fromkeys((c.text, c.state is not None) for c in cells):
        text, marked = cell
        if marked:
            whole = max(writer.width(part) for part in text.split("\n")) + MARK_ROOM
            word, line = max(word, whole), max(line, whole)
            continue
        shown = writer.line(text)
        line = max(line, writer.width(shown))
        parts = (writer.width(part) for part in shown.split(" "))
        word = max(word, min(max(parts), _LONGEST_WORD))
    return word + 2 * PADDING + _SLACK, line + 2 * PADDING + _SLACK


def sheet_table(writer: Writer, sheet: Sheet, room: float) -> Table:
    """Return a sheet as a table with its headings repeated on every page."""
    return _table(writer, sheet, column_widths(writer, sheet, room))


def _table(writer: Writer, sheet: Sheet, widths: list[float]) -> Table:
    aligned = [heading.align for heading in sheet.headings]
    head = [_heading(writer, heading) for heading in sheet.headings]
    rows: list[list[object]] = [list(head)]
    for row in sheet.rows:
        rows.append(
            [
                _cell(writer, cell, width - 2 * PADDING, align)
                for cell, width, align in zip(row, widths, aligned, strict=True)
            ]
        )
    table = Table(rows, widths, repeatRows=1, splitInRow=_tall(writer, sheet, widths))
    table.hAlign = "LEFT"
    table.setStyle(_ruled())
    sides = {"right": "RIGHT", "centre": "CENTER"}
    for place, align in enumerate(aligned):
        if align in sides:
            table.setStyle([("ALIGN", (place, 0), (place, -1), sides[align])])
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


def _heading(writer: Writer, heading: Heading) -> object:
    words = f"{heading.title}\n{heading.unit}" if heading.unit else heading.title
    align = "" if heading.align == "left" else f"_{heading.align}"
    return writer.paragraph(words, f"heading{align}")


def _cell(writer: Writer, cell: Cell, room: float, align: str) -> object:
    if cell.state is not None:
        return Marked(cell.state, cell.text, align == "centre")
    return writer.cell(cell.text, room, align)


def grid_tables(
    writer: Writer, sheet: Sheet, fixed: int, room: float, least: float, most: float
) -> list[tuple[int, int, Table]]:
    """Return a grid in as many tables as its columns need, the `fixed` ones repeated in each.

    The others are all of one width between `least` and `most` [pt], and their titles are cut
    where they would take more than a few lines. Each table comes with its first and last column,
    counted from 1.
    """
    names = column_widths(writer, _columns(sheet, range(fixed)), room * _NAMES_SHARE)
    rest, columns = room - sum(names), len(sheet.headings) - fixed
    parts = ceil(columns / max(1, int(rest / least)))
    size = ceil(columns / parts)
    each = min(most, rest / size)
    cut = replace(sheet, headings=_cut_titles(writer, sheet, fixed, each - 2 * PADDING))
    tables = []
    for first in range(0, columns, size):
        last = min(first + size, columns)
        part = _columns(cut, (*range(fixed), *range(fixed + first, fixed + last)))
        widths = [*names, *([each] * (last - first))]
        tables.append((first + 1, last, _table(writer, part, widths)))
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


def lines_table(
    writer: Writer, lines: Sequence[tuple[str, str]], label: float, room: float, small: bool = False
) -> Table:
    """Return labels with what they stand for, without rules; `label` is their width [pt]."""
    first, second = ("working", "working") if small else ("cell_bold", "cell")
    rows = [[writer.paragraph(a, first), writer.paragraph(b, second)] for a, b in lines]
    table = Table(rows, [label, room - label], splitInRow=1, hAlign="LEFT")
    table.setStyle(TableStyle(_plain(0, 0.3 if small else 1)))
    return table
