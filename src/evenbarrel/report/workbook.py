"""The evaluation as a workbook: one worksheet for each sheet, numbers as numbers, text as text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from io import BytesIO
from math import isfinite
from typing import TYPE_CHECKING, Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from evenbarrel import __version__
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.wording.sentences.document import UNTITLED, foot_text
from evenbarrel.wording.sheets.assumptions import limits_sheet, resins_sheet, uncertainty_sheet
from evenbarrel.wording.sheets.deviations import deviations_sheet
from evenbarrel.wording.sheets.document import all_questions_sheet, printed_fit_sheet
from evenbarrel.wording.sheets.pins import pins_sheet
from evenbarrel.wording.sheets.programme import (
    barrels_sheet,
    claims_sheet,
    gate_sheet,
    masses_sheet,
    offers_sheet,
    shots_sheet,
)
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.sheets.waiting import confirmed_limits_sheet, waiting_limits_sheet
from evenbarrel.wording.words import labels

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell.cell import Cell as Field

LONGEST = 32_767
"""Characters a cell of a workbook can hold; a longer text is cut where all can see it."""

_NARROWEST, _WIDEST = 8, 60
_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ufffe\uffff]|[\ud800-\udfff]")

_TITLES: Mapping[str, str] = {
    "gate": "Gate on fit",
    "shots": "Planned shots",
    "barrels": "Barrels on one volume basis",
    "masses": "Full strokes in resins run",
    "fit": "Fit",
    "claims": "Claims",
    "offers": "Offers",
    "questions": "Questions",
    "deviations": "Deviations",
    "pins": "Jobs pinned to barrels",
    "waiting_limits": "Limits to confirm",
    "confirmed_limits": "Limits confirmed",
    "resins": "Resins and output factors",
    "limits": "Limits",
    "uncertainty": "Half-widths of inputs",
}
"""A worksheet's title by its sheet's key: a workbook takes 31 characters, and no []:*?/\\'."""

# A workbook carries two dates and an archive one for each part: none may tell when it was written.
_NO_DAY = datetime(2000, 1, 1)
_NO_ARCHIVE_DAY = (2000, 1, 1, 0, 0, 0)


def workbook_sheets(appraisal: Appraisal) -> tuple[Sheet, ...]:
    """Return the sheets in the order of their worksheets."""
    return (
        gate_sheet(appraisal),
        shots_sheet(appraisal),
        barrels_sheet(appraisal),
        masses_sheet(appraisal),
        printed_fit_sheet(appraisal),
        claims_sheet(appraisal),
        offers_sheet(appraisal),
        all_questions_sheet(appraisal),
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
    return _bytes(book)


def plain(words: str) -> str:
    """Return words a workbook can hold: no control characters, not too long."""
    kept = _UNPRINTABLE.sub("", words)
    return kept if len(kept) <= LONGEST else kept[: LONGEST - 1] + "…"


def _write_sheet(book: Workbook, sheet: Sheet, foot: str) -> None:
    from openpyxl.styles import Alignment, Font

    page: Any = book.create_sheet(_TITLES[sheet.key])
    top, bold = Alignment(vertical="top", wrap_text=True), Font(bold=True)
    for column, heading in enumerate(sheet.headings, 1):
        head = _text(page.cell(1, column), heading_text(heading))
        head.font, head.alignment = bold, top
    for row, cells in enumerate(sheet.rows, 2):
        for column, cell in enumerate(cells, 1):
            _write(page.cell(row, column), cell).alignment = top
    for place, note in enumerate(sheet.notes, len(sheet.rows) + 3):
        _text(page.cell(place, 1), note)
    page.freeze_panes = page.cell(2, 1 + _names(sheet))
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
    named = ("Supplier", "Barrel", "Injection unit", "Screw")
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
    words = cell.text
    if cell.state is not None:
        words = f"{labels.MARKS[cell.state]} {words}"
    return _text(field, words)


def _format(cell: Cell) -> str:
    """Return a number format with as many places as the printed number has."""
    _, point, places = cell.text.partition(".")
    digits = sum(character.isdigit() for character in places)
    return "0." + "0" * digits if point and digits else "0"


def _text(field: Field, words: str) -> Field:
    """Write words that stay words, even those that begin like a formula."""
    field.value = plain(words)
    field.data_type = "s"
    field.quotePrefix = True
    return field


def _widths(sheet: Sheet) -> Mapping[str, float]:
    from openpyxl.utils import get_column_letter

    widths = {}
    for column, heading in enumerate(sheet.headings):
        texts = [heading_text(heading), *(row[column].text for row in sheet.rows)]
        longest = max(len(line) for text in texts for line in text.split("\n"))
        letter = get_column_letter(column + 1)
        widths[letter] = float(min(_WIDEST, max(_NARROWEST, longest + 2)))
    return widths


def _bytes(book: Workbook) -> bytes:
    """Return the workbook's archive with every date in it set to one day."""
    book.properties.created = _NO_DAY
    first = BytesIO()
    book.save(first)
    out = BytesIO()
    with ZipFile(first) as read, ZipFile(out, "w", ZIP_DEFLATED) as written:
        for name in read.namelist():
            written.writestr(_part(name), _undated(name, read.read(name)), ZIP_DEFLATED)
    return out.getvalue()


def _part(name: str) -> ZipInfo:
    part = ZipInfo(name, _NO_ARCHIVE_DAY)
    part.create_system = 0
    return part


def _undated(name: str, content: bytes) -> bytes:
    if name != "docProps/core.xml":
        return content
    day: Any = _NO_DAY.isoformat().encode() + b"Z"
    return re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", lambda found: found[1] + day, content)
