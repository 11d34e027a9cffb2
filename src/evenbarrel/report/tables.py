"""Sheets as tables on paper: column widths, repeated headings, marks drawn beside their words."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Table, TableStyle

from evenbarrel.appraisal.results import State
from evenbarrel.report.palette import HEAD, LINE, RULER, STATES, TEXT
from evenbarrel.report.text import REGULAR, Writer
from evenbarrel.wording.sheet import Cell, Heading, Sheet

PADDING = 3.0
SIZE, LEADING = 7.0, 9.0
MARK_ROOM = 9.0
"""What a mark takes before its word [pt]."""

_LONGEST_WORD = 84.0
"""A longer word is split where room is scarce [pt]."""
_SLACK = 0.5

_STYLE = TableStyle(
    [
        ("FONT", (0, 0), (-1, -1), REGULAR, SIZE, LEADING),
        ("TEXTCOLOR", (0, 0), (-1, -1), TEXT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("BACKGROUND", (0, 0), (-1, 0), HEAD),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, RULER),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, LINE),
        ("LEFTPADDING", (0, 0), (-1, -1), PADDING),
        ("RIGHTPADDING", (0, 0), (-1, -1), PADDING),
        ("TOPPADDING", (0, 0), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
    ]
)
BARE = TableStyle(
    [
        ("FONT", (0, 0), (-1, -1), REGULAR, SIZE, LEADING),
        ("TEXTCOLOR", (0, 0), (-1, -1), TEXT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 2 * PADDING),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
    ]
)


class Marked(Flowable):
    """A state's mark with its words beside it, told apart in grey as well as in colour."""

    def __init__(self, state: State, words: str) -> None:
        super().__init__()
        self._state, self._lines = state, words.split("\n")

    def wrap(self, room: float, _height: float) -> tuple[float, float]:
        """Return the place the mark and its lines take."""
        return room, LEADING * len(self._lines)

    def draw(self) -> None:
        """Draw the mark in line with the first of the words."""
        canvas = self.canv
        top = LEADING * (len(self._lines) - 1)
        draw_mark(canvas, self._state, 3.0, top + 4.6, 2.6)
        canvas.setFillColor(TEXT)
        canvas.setFont(REGULAR, SIZE)
        for place, line in enumerate(self._lines):
            canvas.drawString(MARK_ROOM, top - LEADING * place + 2.1, line)


def draw_mark(canvas: Canvas, state: State, x: float, y: float, radius: float) -> None:
    """Draw a state's mark about a centre [pt]: a disc, a half disc, a crossed or a dotted ring."""
    canvas.saveState()
    canvas.setStrokeColor(STATES[state])
    canvas.setFillColor(STATES[state])
    canvas.setLineWidth(radius * 0.28)
    if state == "not_stated":
        canvas.setDash([radius * 0.35, radius * 0.436])
    canvas.circle(x, y, radius, stroke=1, fill=int(state == "inside"))
    if state == "near_edge":
        canvas.wedge(x - radius, y - radius, x + radius, y + radius, 90, 180, stroke=0, fill=1)
    if state == "outside":
        arm = radius * 0.7071
        canvas.line(x - arm, y - arm, x + arm, y + arm)
        canvas.line(x - arm, y + arm, x + arm, y - arm)
    canvas.restoreState()


def column_widths(writer: Writer, sheet: Sheet, room: float) -> list[float]:
    """Return the width of each column [pt], together at most `room`.

    Where everything fits on one line each column takes what it needs; else each keeps its longest
    word, and what is left goes to those with more to say.
    """
    least, wanted = [], []
    for place, heading in enumerate(sheet.headings):
        cells = [row[place] for row in sheet.rows]
        words, lines = _needs(writer, heading, cells)
        least.append(words)
        wanted.append(max(words, lines))
    if sum(wanted) <= room:
        return wanted
    if sum(least) >= room:
        return [room * width / sum(least) for width in least]
    more = [full - width for full, width in zip(wanted, least, strict=True)]
    share = (room - sum(least)) / sum(more)
    return [width + share * extra for width, extra in zip(least, more, strict=True)]


def _needs(writer: Writer, heading: Heading, cells: Sequence[Cell]) -> tuple[float, float]:
    """Return what the longest word and the longest line of a column take [pt]."""
    titles = [*heading.title.split(), heading.unit]
    word = max(min(writer.width(writer.line(t), "heading"), _LONGEST_WORD) for t in titles)
    line = word
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
    table = Table(rows, widths, repeatRows=1, splitInRow=1, hAlign="LEFT")
    table.setStyle(_STYLE)
    sides = {"right": "RIGHT", "centre": "CENTER"}
    for place, align in enumerate(aligned):
        if align in sides:
            table.setStyle([("ALIGN", (place, 0), (place, -1), sides[align])])
    return table


def _heading(writer: Writer, heading: Heading) -> object:
    words = f"{heading.title}\n{heading.unit}" if heading.unit else heading.title
    align = "" if heading.align == "left" else f"_{heading.align}"
    return writer.paragraph(words, f"heading{align}")


def _cell(writer: Writer, cell: Cell, room: float, align: str) -> object:
    if cell.state is not None:
        return Marked(cell.state, cell.text)
    return writer.cell(cell.text, room, align)


def wide_parts(sheet: Sheet, fixed: int, most: int) -> list[tuple[int, int, Sheet]]:
    """Return a sheet cut into column groups of even size, at most `most` beside the fixed ones.

    Each part comes with the first and last of its own columns, counted from 1.
    """
    columns = len(sheet.headings) - fixed
    parts = max(1, ceil(columns / most))
    size = ceil(columns / parts)
    cut = []
    for first in range(0, columns, size):
        last = min(first + size, columns)
        kept = [*range(fixed), *range(fixed + first, fixed + last)]
        headings = tuple(sheet.headings[place] for place in kept)
        rows = tuple(tuple(row[place] for place in kept) for row in sheet.rows)
        cut.append((first + 1, last, Sheet(sheet.key, sheet.title, headings, rows)))
    return cut


def lines_table(writer: Writer, lines: Sequence[Sequence[str]], widths: list[float]) -> Table:
    """Return short lines in columns without rules, the first in bold."""
    rows = []
    for line in lines:
        cells = [writer.cell(t, w - 2 * PADDING) for t, w in zip(line, widths, strict=True)]
        cells[0] = writer.paragraph(line[0], "cell_bold")
        rows.append(cells)
    table = Table(rows, widths, splitInRow=1, hAlign="LEFT")
    table.setStyle(BARE)
    return table
