"""What every workbook that is written keeps to: text stays text, and no date tells when."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from math import ceil
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from evenbarrel.wording.words.visible import visible

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell.cell import Cell as Field

LONGEST = 32_767
"""Characters a cell of a workbook can hold; a longer text is cut where all can see it."""

LINE_HEIGHT = 15
"""Of a line of text in a row [pt]: not every program that shows a workbook fits rows to theirs."""

# A workbook carries two dates and an archive one for each part: none may tell when it was written.
_NO_DAY = datetime(2000, 1, 1)
_NO_ARCHIVE_DAY = (2000, 1, 1, 0, 0, 0)


def plain(words: str) -> str:
    """Return words a workbook can hold: nothing hidden in them, not too long."""
    kept = visible(words)
    return kept if len(kept) <= LONGEST else kept[: LONGEST - 1] + "…"


def write_text(field: Field, words: str) -> Field:
    """Write words that stay words, even those that begin like a formula."""
    field.value = plain(words)
    field.data_type = "s"
    field.quotePrefix = True
    return field


def workbook_bytes(book: Workbook, bodies: Sequence[str] = ()) -> bytes:
    """Return the workbook's archive with every date in it set to one day.

    `bodies` are the cells of each worksheet in rows as `row_xml` writes them, for a book whose
    sheets have none yet.
    """
    book.properties.created = _NO_DAY
    first = BytesIO()
    book.save(first)
    out = BytesIO()
    with ZipFile(first) as read, ZipFile(out, "w", ZIP_DEFLATED) as written:
        for name in read.namelist():
            content = _with_cells(name, _undated(name, read.read(name)), bodies)
            written.writestr(_part(name), content, ZIP_DEFLATED)
    return out.getvalue()


# Cells written without openpyxl, which takes ten times as long, and keeps of a formula and its
# value only one: whatever shows a workbook without calculating it would show nothing.


def text_xml(place: str, look: int, words: str) -> str:
    """Return a cell of words that stay words, even those that begin like a formula."""
    escaped = escape(plain(words))
    text = f'<is><t xml:space="preserve">{escaped}</t></is>' if escaped else ""
    return f'<c r="{place}" s="{look}" t="inlineStr">{text}</c>'


def number_xml(place: str, look: int, value: float | None, formula: str = "") -> str:
    """Return a cell of a number, of a formula with its value, or an empty one."""
    calculated = f"<f>{escape(formula)}</f>" if formula else ""
    stored = "" if value is None else f"<v>{value:.17g}</v>"
    return f'<c r="{place}" s="{look}">{calculated}{stored}</c>'


_ROOM, _MOST_LINES = 1.1, 27
"""What breaking lines between words costs of their room, and the most that a row may be high."""


def lines_of(texts: Sequence[str], widths: Sequence[float]) -> int:
    """Return how many lines the longest of a row's texts takes in its column."""
    most = 1
    for text, width in zip(texts, widths, strict=True):
        if len(text) >= width or "\n" in text:
            lines = text.split("\n")
            most = max(most, sum(max(1, ceil(len(line) * _ROOM / width)) for line in lines))
    return min(most, _MOST_LINES)


def row_xml(number: int, cells: Sequence[str], lines: int = 1) -> str:
    """Return a row of cells as `text_xml` and `number_xml` write them, as high as its lines."""
    height = f' ht="{lines * LINE_HEIGHT}" customHeight="1"' if lines > 1 else ""
    return f'<row r="{number}"{height}>{"".join(cells)}</row>'


_WORKSHEET = re.compile(r"xl/worksheets/sheet([0-9]+)\.xml")
_REACH = re.compile(rb"<dimension [^>]*/>")
_NO_CELLS = re.compile(rb"<sheetData ?/>|<sheetData></sheetData>")


def _with_cells(name: str, content: bytes, bodies: Sequence[str]) -> bytes:
    sheet = _WORKSHEET.fullmatch(name)
    if sheet is None or not bodies:
        return content
    body = f"<sheetData>{bodies[int(sheet[1]) - 1]}</sheetData>".encode()
    # How far the cells reach may be left out, and the book does not know it.
    before, after = _NO_CELLS.split(_REACH.sub(b"", content))
    return before + body + after


def _part(name: str) -> ZipInfo:
    part = ZipInfo(name, _NO_ARCHIVE_DAY)
    part.create_system = 0
    return part


def _undated(name: str, content: bytes) -> bytes:
    if name != "docProps/core.xml":
        return content
    day: Any = _NO_DAY.isoformat().encode() + b"Z"
    return re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", lambda found: found[1] + day, content)
