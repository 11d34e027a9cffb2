"""One sheet as a worksheet: numbers as numbers, text as text, what is calculated as formulas."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from math import isfinite
from typing import TYPE_CHECKING, Any

from reportlab.lib.colors import Whiter

from evenbarrel.appraisal.results import State
from evenbarrel.report.paper.palette import colour
from evenbarrel.report.workbook.addresses import Addresses
from evenbarrel.storage.workbooks import write_text
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels

if TYPE_CHECKING:
    from openpyxl import Workbook

_NARROWEST, _WIDEST, _WIDEST_HEADING = 8, 60, 20

_TINT = 0.86
"""How far a state's colour is mixed with white under its word."""
_INPUT_TINT = "FFF3D6"
"""Under what a person may change."""
_NAMING = frozenset(
    ("No.", "Barrel no.", "Mould no.", "Key", "Supplier", "Barrel", "Injection unit", "Screw")
) | {"Mould", "Shot"}

Stored = Mapping[str, float]
"""The program's values of calculated cells, by their places."""


class Looks:
    """How cells look: each look is made once and copied, for a workbook has thousands of cells."""

    def __init__(self) -> None:
        """Begin without any."""
        self._known: dict[tuple[State | None, str, bool], Any] = {}

    def give(self, field: Any, cell: Cell, digits: str) -> None:
        """Give a cell the look of its state or its number format, or that of an input."""
        key = (cell.state, digits, cell.entered)
        if key not in self._known:
            _dress(field, cell, digits)
            self._known[key] = field._style
        field._style = copy(self._known[key])


def _dress(field: Any, cell: Cell, digits: str) -> None:
    """Dress a cell; a state's word and its mark tell it without the colour."""
    from openpyxl.styles import Alignment, Font, PatternFill

    field.alignment = Alignment(vertical="top", wrap_text=True)
    if digits:
        field.number_format = digits
    if cell.entered:
        field.fill = PatternFill("solid", start_color=_INPUT_TINT, end_color=_INPUT_TINT)
    if cell.state is not None:
        full = colour(cell.state)
        field.font = Font(color=full.hexval()[2:].upper())
        tint = Whiter(full, 1.0 - _TINT).hexval()[2:].upper()
        field.fill = PatternFill("solid", start_color=tint, end_color=tint)


def write_sheet(
    book: Workbook, sheet: Sheet, title: str, addresses: Addresses, looks: Looks, foot: str
) -> Stored:
    """Write a sheet as the book's next worksheet; return the values of its calculated cells."""
    page: Any = book.create_sheet(title)
    stored: dict[str, float] = {}
    _write_headings(page, sheet)
    for row, cells in enumerate(sheet.rows, 2):
        for column, cell in enumerate(cells, 1):
            field = page.cell(row, column)
            if cell.formula:
                looks.give(field, cell, _format(cell))
                field.value = addresses.formula(sheet.key, row, cell.formula)
                if cell.value is not None:
                    stored[field.coordinate] = cell.value
            else:
                _write(field, cell, looks)
    for place, note in enumerate(sheet.notes, len(sheet.rows) + 3):
        write_text(page.cell(place, 1), note)
    _lay_out(page, sheet, foot)
    return stored


def _write_headings(page: Any, sheet: Sheet) -> None:
    from openpyxl.styles import Alignment, Font

    top, bold = Alignment(vertical="top", wrap_text=True), Font(bold=True)
    for column, heading in enumerate(sheet.headings, 1):
        head: Any = write_text(page.cell(1, column), heading_text(heading))
        head.font, head.alignment = bold, top


def _write(field: Any, cell: Cell, looks: Looks) -> None:
    """Write a number as a number; a state, and anything else, as words."""
    if cell.state is None and cell.value is not None and isfinite(cell.value):
        looks.give(field, cell, "General" if cell.entered else _format(cell))
        field.value = cell.value
    elif cell.state is not None:
        looks.give(field, cell, "")
        write_text(field, f"{labels.MARKS[cell.state]} {cell.text}")
    else:
        looks.give(field, cell, "")
        if cell.text:
            write_text(field, cell.text)


def _lay_out(page: Any, sheet: Sheet, foot: str) -> None:
    page.freeze_panes = page.cell(2, 1 + _names(sheet))
    if sheet.rows:
        # The notes below stay out of what is filtered and sorted.
        last = page.cell(1 + len(sheet.rows), len(sheet.headings)).coordinate
        page.auto_filter.ref = f"A1:{last}"
    page.print_title_rows = "1:1"
    page.page_setup.orientation, page.page_setup.fitToHeight = "landscape", 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.oddFooter.left.text, page.oddFooter.right.text = foot, "&P / &N"
    for letter, width in _widths(sheet).items():
        page.column_dimensions[letter].width = width


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
    if cell.value is None:
        return "General"
    _, point, places = cell.text.partition(".")
    digits = sum(character.isdigit() for character in places)
    return "0." + "0" * digits if point and digits else "0"


def _widths(sheet: Sheet) -> Mapping[str, float]:
    from openpyxl.utils import get_column_letter

    widths = {}
    for column, heading in enumerate(sheet.headings):
        below = (line for row in sheet.rows for line in row[column].text.split("\n"))
        longest = max(map(len, below), default=0)
        words = heading_text(heading)
        wrapped = max(min(len(words), _WIDEST_HEADING), *map(len, words.split()))
        letter = get_column_letter(column + 1)
        widths[letter] = float(min(_WIDEST, max(_NARROWEST, longest + 2, wrapped + 2)))
    return widths
