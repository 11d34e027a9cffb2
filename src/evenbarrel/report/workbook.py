"""The evaluation as a workbook: one worksheet for each sheet, numbers as numbers, text as text."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import TYPE_CHECKING, Any

from reportlab.lib.colors import Whiter

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import State
from evenbarrel.decision.decide import decide
from evenbarrel.report.paper.palette import colour
from evenbarrel.storage.workbooks import plain, workbook_bytes, write_text
from evenbarrel.wording.paper.choice import choice_sheets
from evenbarrel.wording.paper.sections import UNTITLED, foot_text
from evenbarrel.wording.sheets.assumptions import limits_sheet, resins_sheet, uncertainty_sheet
from evenbarrel.wording.sheets.barrels import masses_sheet
from evenbarrel.wording.sheets.calculating import (
    calculating_barrels_sheet,
    calculating_claims_sheet,
    calculating_fit_sheet,
    calculating_offers_sheet,
)
from evenbarrel.wording.sheets.document import all_questions_sheet, printed_shots_sheet
from evenbarrel.wording.sheets.gates.deviations import deviations_sheet
from evenbarrel.wording.sheets.gates.pins import pins_sheet
from evenbarrel.wording.sheets.gates.waiting import confirmed_limits_sheet, waiting_limits_sheet
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.sheets.summary import printed_gate_sheet
from evenbarrel.wording.words import labels

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell.cell import Cell as Field

_NARROWEST, _WIDEST = 8, 60

_TINT = 0.86
"""How far a state's colour is mixed with white under its word."""

_TITLES: Mapping[str, str] = {
    "gate": "Gate",
    "barrels": "Barrels",
    "shots": "Jobs",
    "claims": "Claims",
    "fit": "Fit",
    "questions": "Questions",
    "offers": "Offers",
    "proposal": "Proposal",
    "offers_footing": "Prices",
    "life_cost": "Cost over life",
    "order": "Order",
    "shares": "Shares of weightings",
    "cover": "Sets of machines",
    "masses": "Full strokes in resins run",
    "deviations": "Deviations",
    "pins": "Jobs pinned to barrels",
    "waiting_limits": "Limits to confirm",
    "confirmed_limits": "Limits confirmed",
    "resins": "Resins and output factors",
    "limits": "Limits",
    "uncertainty": "Half-widths of inputs",
}
"""A worksheet's title by its sheet's key: a workbook takes 31 characters, and no []:*?/\\'."""


def workbook_sheets(appraisal: Appraisal) -> tuple[Sheet, ...]:
    """Return the sheets in the order of their worksheets."""
    return (
        printed_gate_sheet(appraisal),
        calculating_barrels_sheet(appraisal),
        printed_shots_sheet(appraisal),
        calculating_claims_sheet(appraisal),
        calculating_fit_sheet(appraisal),
        all_questions_sheet(appraisal),
        calculating_offers_sheet(appraisal),
        *choice_sheets(decide(appraisal)),
        masses_sheet(appraisal),
        deviations_sheet(appraisal),
        pins_sheet(appraisal),
        waiting_limits_sheet(appraisal),
        confirmed_limits_sheet(appraisal),
        resins_sheet(appraisal),
        limits_sheet(appraisal),
        uncertainty_sheet(appraisal),
    )


def render_workbook(appraisal: Appraisal) -> bytes:
    """Return the evaluation as a workbook; equal evaluations give equal bytes."""
    # Imported here: it takes longer to load than everything else a report needs.
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    for sheet in workbook_sheets(appraisal):
        _write_sheet(book, sheet, foot_text(appraisal, __version__))
    evaluation = appraisal.evaluation
    book.properties.title = plain(evaluation.title) or UNTITLED
    book.properties.creator = plain(evaluation.buyer)
    book.properties.description = foot_text(appraisal, __version__)
    return workbook_bytes(book)


def _write_sheet(book: Workbook, sheet: Sheet, foot: str) -> None:
    from openpyxl.styles import Alignment, Font

    page: Any = book.create_sheet(_TITLES[sheet.key])
    top, bold = Alignment(vertical="top", wrap_text=True), Font(bold=True)
    for column, heading in enumerate(sheet.headings, 1):
        head = write_text(page.cell(1, column), heading_text(heading))
        head.font, head.alignment = bold, top
    for row, cells in enumerate(sheet.rows, 2):
        for column, cell in enumerate(cells, 1):
            _write(page.cell(row, column), cell).alignment = top
    for place, note in enumerate(sheet.notes, len(sheet.rows) + 3):
        write_text(page.cell(place, 1), note)
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
    named = ("No.", "Supplier", "Barrel", "Injection unit", "Screw", "Mould")
    lead = 0
    while lead < len(sheet.headings) and sheet.headings[lead].title in named:
        lead += 1
    return max(1, lead)


def _write(field: Field, cell: Cell) -> Field:
    """Write a number as a number; a state, and anything else, as words."""
    if cell.state is None and cell.value is not None and isfinite(cell.value):
        field.value = cell.value
        field.number_format = _format(cell)
        return field
    if cell.state is None:
        return write_text(field, cell.text)
    write_text(field, f"{labels.MARKS[cell.state]} {cell.text}")
    return _coloured(field, cell.state)


def _coloured(field: Field, state: State) -> Field:
    """Give a state's word its colour on a tint of it; the word and its mark tell it without."""
    from openpyxl.styles import Font, PatternFill

    full = colour(state)
    field.font = Font(color=full.hexval()[2:].upper())
    tint = Whiter(full, 1.0 - _TINT).hexval()[2:].upper()
    field.fill = PatternFill("solid", start_color=tint, end_color=tint)
    return field


def _format(cell: Cell) -> str:
    """Return a number format with as many places as the printed number has."""
    _, point, places = cell.text.partition(".")
    digits = sum(character.isdigit() for character in places)
    return "0." + "0" * digits if point and digits else "0"


def _widths(sheet: Sheet) -> Mapping[str, float]:
    from openpyxl.utils import get_column_letter

    widths = {}
    for column, heading in enumerate(sheet.headings):
        texts = [heading_text(heading), *(row[column].text for row in sheet.rows)]
        longest = max(len(line) for text in texts for line in text.split("\n"))
        letter = get_column_letter(column + 1)
        widths[letter] = float(min(_WIDEST, max(_NARROWEST, longest + 2)))
    return widths
