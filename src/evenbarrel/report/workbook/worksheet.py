"""One sheet as a worksheet: numbers as numbers, text as text, what is calculated as formulas."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate
from math import ceil, isfinite
from typing import TYPE_CHECKING, Any, Literal

from reportlab.lib.colors import Whiter

from evenbarrel.appraisal.results import State
from evenbarrel.report.paper.palette import colour
from evenbarrel.report.workbook.addresses import Addresses
from evenbarrel.storage.workbooks import lines_of, number_xml, row_xml, text_xml
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels

if TYPE_CHECKING:
    from openpyxl import Workbook

_NARROWEST, _WIDEST, _WIDEST_NAME, _PROSE, _WIDEST_HEADING = 7, 44, 32, 80, 10
"""Widths of columns in characters: of texts, of names that each page repeats, of long texts."""
_BUTTON = 3
"""What a filter's button takes of a heading [characters]."""
_UPRIGHT, _PAGE_WIDTH = 104, 255
"""Characters that a page takes side by side: upright, and across while it stays readable."""
_A4, _MARGIN, _EDGE = 9, 0.4, 0.2
"""The size of paper by its number in a workbook, its margins, and its head's and foot's [in]."""

Part = Literal["heading", "row", "note"]

_FONT, _FONT_SIZE = "Calibri", 11
"""What a workbook is set in where nothing else is said; who has it not takes another."""
_TINT = 0.86
"""How far a state's colour is mixed with white under its word."""
_INPUT_TINT = "FFF3D6"
"""Under what a person may change."""
_NAMING = frozenset(
    ("No.", "Barrel no.", "Job no.", "Key", "Supplier", "Barrel", "Injection unit", "Screw")
) | {"Mould", "Job", "Shot", "Rank", "Bought"}


class Looks:
    """How cells look: each look is made once, and cells name it by its number."""

    def __init__(self, book: Workbook) -> None:
        """Take the book that keeps the looks."""
        page: Any = book.create_sheet()
        self._scratch = page.cell
        book.remove(page)
        self._known: dict[tuple[State | None, str, bool, str], int] = {}

    def of(self, cell: Cell, digits: str = "", part: Part = "row") -> int:
        """Return the look of a cell: that of its state, of an input, of a number or of a text.

        `digits` is a number's format; a text has none.
        """
        key = (cell.state, digits, cell.entered, part)
        if key not in self._known:
            # Each in a field of its own: a look begins plain.
            field = self._scratch(1, len(self._known) + 1)
            _dress(field, cell, digits, part)
            self._known[key] = field.style_id
        return self._known[key]


def _dress(field: Any, cell: Cell, digits: str, part: Part) -> None:
    """Dress a cell; a state's word and its mark tell it without the colour."""
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    field.alignment = Alignment(vertical="top", wrap_text=True)
    if digits:
        # A little room, or a number runs into the text beside it.
        field.alignment = Alignment(horizontal="right", vertical="top", indent=1)
    field.font = Font(name=_FONT, size=_FONT_SIZE, bold=part == "heading")
    if part != "note":
        # Told on paper too, where a spreadsheet's own lines are not.
        line = colour("ruler" if part == "heading" else "line").hexval()[2:].upper()
        field.border = Border(bottom=Side("thin", color=line))
    # Text stays text when somebody types it in anew.
    field.quotePrefix = not digits
    if digits:
        field.number_format = digits
    if part == "heading":
        head = colour("raised").hexval()[2:].upper()
        field.fill = PatternFill("solid", start_color=head, end_color=head)
    if cell.entered:
        field.fill = PatternFill("solid", start_color=_INPUT_TINT, end_color=_INPUT_TINT)
    if cell.state is not None:
        full = colour(cell.state)
        field.font = Font(name=_FONT, size=_FONT_SIZE, color=full.hexval()[2:].upper())
        tint = Whiter(full, 1.0 - _TINT).hexval()[2:].upper()
        field.fill = PatternFill("solid", start_color=tint, end_color=tint)


def add_sheet(book: Workbook, sheet: Sheet, title: str, foot: str) -> None:
    """Add a worksheet without its cells: its frozen panes, filter, widths and printed pages."""
    page: Any = book.create_sheet(title)
    letters, widths, names = _letters(sheet), _widths(sheet), _names(sheet)
    page.freeze_panes = f"{letters[names]}2"
    if sheet.rows:
        # The notes below stay out of what is filtered and sorted.
        page.auto_filter.ref = f"A1:{letters[-2]}{1 + len(sheet.rows)}"
    for letter, width in zip(letters, widths, strict=False):
        page.column_dimensions[letter].width = width
    for row in _note_rows(sheet):
        page.merged_cells.add(f"A{row}:{letters[_first_page(widths, names) - 1]}{row}")
    _print(page, widths, names, letters[names - 1])
    page.oddFooter.left.text, page.oddFooter.right.text = foot, "&P / &N"


def _print(page: Any, widths: Sequence[float], names: int, last_name: str) -> None:
    """Set how a worksheet is printed: its title, headings and names on each page."""
    paper = page.page_setup
    paper.paperSize, paper.fitToHeight, paper.fitToWidth = _A4, 0, _pages(widths, names)
    paper.orientation = "portrait" if sum(widths) <= _UPRIGHT else "landscape"
    if paper.fitToWidth > 1:
        # A row's own pages come before the next rows.
        page.print_title_cols = f"A:{last_name}"
        paper.pageOrder = "overThenDown"
    page.print_title_rows = "1:1"
    page.sheet_properties.pageSetUpPr.fitToPage = True
    edges = page.page_margins
    edges.left = edges.right = _MARGIN
    edges.top = edges.bottom = 1.5 * _MARGIN
    edges.header = edges.footer = _EDGE
    page.oddHeader.left.text = "&A"


def _pages(widths: Sequence[float], names: int) -> int:
    """Return how many pages side by side are wanted to read columns, the names on each."""
    lead, total = sum(widths[:names]), sum(widths)
    if total <= _PAGE_WIDTH:
        return 1
    return ceil((total - lead) / max(_PAGE_WIDTH - lead, _PAGE_WIDTH / 3))


def _first_page(widths: Sequence[float], names: int) -> int:
    """Return how many columns surely stand on the first page: notes go over these."""
    lead, pages = sum(widths[:names]), _pages(widths, names)
    room = lead + (sum(widths) - lead) / pages
    return max(names, sum(taken <= room for taken in accumulate(widths)))


def _note_rows(sheet: Sheet) -> range:
    """Return the rows of the notes: a free one parts them from what is filtered and sorted."""
    return range(len(sheet.rows) + 3, len(sheet.rows) + 3 + len(sheet.notes))


def cells_of(sheet: Sheet, addresses: Addresses, looks: Looks) -> str:
    """Return the cells of a sheet: its headings, its rows, and its notes below."""
    letters, widths = _letters(sheet), _widths(sheet)
    # Bold, and with a filter's button in their last line.
    titled = [width - _BUTTON for width in widths]
    words = [heading_text(heading) for heading in sheet.headings]
    head = looks.of(Cell(""), part="heading")
    cells = [text_xml(f"{at}1", head, text) for at, text in zip(letters, words, strict=False)]
    rows = [row_xml(1, cells, lines_of(words, titled))]
    for row, own in enumerate(sheet.rows, 2):
        cells = [
            _written(f"{letter}{row}", cell, looks)
            if not cell.formula
            else number_xml(
                f"{letter}{row}",
                looks.of(cell, _format(cell)),
                cell.value,
                addresses.formula(sheet.key, row, cell.formula),
            )
            for letter, cell in zip(letters, own, strict=False)
        ]
        rows.append(row_xml(row, cells, lines_of([cell.text for cell in own], widths)))
    note = looks.of(Cell(""), part="note")
    across = [sum(widths[: _first_page(widths, _names(sheet))])]
    for row, text in zip(_note_rows(sheet), sheet.notes, strict=True):
        rows.append(row_xml(row, [text_xml(f"A{row}", note, text)], lines_of([text], across)))
    return "".join(rows)


def _written(place: str, cell: Cell, looks: Looks) -> str:
    """Return a number as a number; a state, and anything else, as words."""
    if cell.state is not None:
        return text_xml(place, looks.of(cell), f"{labels.MARKS[cell.state]} {cell.text}")
    if cell.value is not None and isfinite(cell.value):
        return number_xml(place, looks.of(cell, _format(cell)), cell.value)
    if cell.entered:
        return number_xml(place, looks.of(cell, "General"), None)
    return text_xml(place, looks.of(cell), cell.text)


@lru_cache
def _first_letters(count: int) -> tuple[str, ...]:
    from openpyxl.utils import get_column_letter

    return tuple(get_column_letter(place) for place in range(1, count + 1))


def _letters(sheet: Sheet) -> tuple[str, ...]:
    """Return the letters of a sheet's columns, and of the one beside them."""
    return _first_letters(len(sheet.headings) + 1)


def heading_text(heading: Heading) -> str:
    """Return a heading with its unit."""
    return f"{heading.title} [{heading.unit}]" if heading.unit else heading.title


def _names(sheet: Sheet) -> int:
    """Return how many columns at the left tell what a row is about."""
    lead = 0
    while lead < len(sheet.headings) and sheet.headings[lead].title in _NAMING:
        lead += 1
    return max(1, lead)


def _format(cell: Cell) -> str:
    """Return a number format with as many places as the printed number has."""
    if cell.value is None or cell.as_typed:
        return "General"
    _, point, places = cell.text.partition(".")
    digits = sum(character.isdigit() for character in places)
    return "0." + "0" * digits if point and digits else "0"


def _widths(sheet: Sheet) -> list[float]:
    """Return the width of each column in characters: of what stands in it, headings wrapped."""
    widths = []
    for column, heading in enumerate(sheet.headings):
        below = (line for row in sheet.rows for line in row[column].text.split("\n"))
        longest = max(map(len, below), default=0)
        words = heading_text(heading)
        wrapped = max(min(len(words), _WIDEST_HEADING), *map(len, words.split()))
        widest = _WIDEST if longest < 4 * _WIDEST else _PROSE
        if heading.title in _NAMING:
            widest = _WIDEST_NAME
        widths.append(float(min(widest, max(_NARROWEST, longest + 3, wrapped + _BUTTON))))
    return widths
