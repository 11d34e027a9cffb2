"""The data sheet for one supplier: what is asked, what was stated, room for the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.intake.data_sheet.layout import (
    DATA,
    LISTS,
    SCOPE_STATES,
    TERMS,
    WORDS_ALONE,
    SheetRow,
    column_names,
    marker,
    sheet_rows,
)
from evenbarrel.intake.keys import DatumKey
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit, Zones
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.storage.workbooks import LINE_HEIGHT, lines_of, workbook_bytes, write_text
from evenbarrel.wording.sentences.asking import data_sheet as words
from evenbarrel.wording.sentences.asking.listing import still_open
from evenbarrel.wording.sentences.asking.questions import question_text
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import names_of_resins
from evenbarrel.wording.words.numbers import display_unit

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.styles import Font
    from openpyxl.worksheet.datavalidation import DataValidation

SCREWS_OF_A_BLANK = 3
_WIDTHS = {
    "label": 34.0,
    "unit": 9.0,
    "screw": 15.0,
    "place": 24.0,
    "question": 60.0,
    "remark": 30.0,
}
_OPEN_TO_FILL = ("unit", "screw", "place", "remark")
_FIXED, _TO_FILL = "Data sheet, fixed", "Data sheet, to fill in"
"""How cells look, each by one name: one by one their parts would take most of the writing."""
_FILLED = 0.9
"""Characters of a line above the table, as a share of the width of its columns."""
_MARGIN = 0.4
"""Of a printed page [in]."""
_MOST_EXACT = 15
"""Digits that a cell keeps of a number."""


def render_sheet(appraisal: Appraisal, bid: str | None, only_open: bool = False) -> bytes:
    """Return the data sheet for a bid of the evaluation, or a blank one where `bid` is None.

    With `only_open` it holds the data that an open question is about, and nothing else. What we
    assumed or measured ourselves is not in it. Raises KeyError for a bid that is not there.
    """
    from openpyxl import Workbook

    book = Workbook()
    sheet = _Sheet(appraisal, bid, only_open)
    sheet.write(book)
    _write_terms(book, sheet.rows)
    book.move_sheet(LISTS, len(book.sheetnames))
    return workbook_bytes(book)


def _add_looks(book: Workbook) -> None:
    from openpyxl.styles import Alignment, Border, NamedStyle, Protection, Side
    from openpyxl.styles.fonts import DEFAULT_FONT

    for name in (_FIXED, _TO_FILL):
        look = NamedStyle(
            name,
            font=DEFAULT_FONT,
            border=Border(bottom=Side("hair")),
            alignment=Alignment(wrap_text=True, vertical="top"),
            protection=Protection(locked=name == _FIXED),
        )
        book.add_named_style(look)


@dataclass(frozen=True, slots=True)
class _Screw:
    unit: InjectionUnit | None = None
    barrel: Barrel | None = None


class _Sheet:
    """One worksheet of data, written row by row."""

    def __init__(self, appraisal: Appraisal, bid: str | None, only_open: bool) -> None:
        evaluation = appraisal.evaluation
        self._units, self._currency = evaluation.display_units, evaluation.currency
        self._resins = names_of_resins(evaluation)
        self._bid = _bid_of(appraisal, bid)
        self._wanted = words.wanted_lines(appraisal)
        asked = [q for q in still_open(appraisal.questions) if q.bid == bid and bid is not None]
        self._questions = {q.datum: question_text(q, appraisal) for q in asked}
        self._run = {job.resin for job in evaluation.jobs if job.resin}
        self._screws = _screws_of(self._bid)
        self._names = column_names(len(self._screws))
        items = dict.fromkeys(evaluation.scope_items)
        if self._bid is not None:
            items |= dict.fromkeys(line.item for line in self._bid.scope)
        only = frozenset(self._questions) if only_open else None
        self.rows = tuple(sheet_rows(items, only))
        self._lists: dict[tuple[str, ...], DataValidation] = {}

    def write(self, book: Workbook) -> None:
        """Write the worksheets of data and of lists."""
        _add_looks(book)
        page: Any = book.worksheets[0]
        page.title = DATA
        self._list_page: Any = book.create_sheet(LISTS)
        self._list_page.sheet_state = "hidden"
        write_text(page.cell(1, 1), marker("" if self._bid is None else self._bid.id))
        for column, name in enumerate(self._names, 2):
            write_text(page.cell(1, column), name)
        row = 2
        for line in self._above():
            write_text(page.cell(row, 1), WORDS_ALONE)
            write_text(page.cell(row, 2), line).font = _font(row == 2, 13 if row == 2 else 10)
            row += 1
        self._head(page, row)
        self._first_row = row
        for one in self.rows:
            row += 1
            if one.key is None:
                self._heading(page, row, one.label)
            else:
                self._row(page, row, one.key, one.label)
        self._finish(page)

    def _above(self) -> Iterator[str]:
        """Yield the title, what is wanted and how to fill the sheet, no line wider than it."""
        widest = int(sum(_WIDTHS[name] for name in self._names) * _FILLED)
        for line in (words.SHEET_TITLE, *self._wanted, words.SHEET_HOW):
            yield from wrap(line, widest) or [line]

    def _head(self, page: Any, row: int) -> None:
        from openpyxl.styles import Alignment, Border, Side

        write_text(page.cell(row, 1), WORDS_ALONE)
        number = 0
        for column, name in enumerate(self._names, 2):
            number += name == "screw"
            head = write_text(page.cell(row, column), words.HEADINGS[name].format(number=number))
            head.font, head.alignment = _font(), Alignment(wrap_text=True, vertical="top")
            head.border = Border(bottom=Side("medium"))
        page.freeze_panes = page.cell(row + 1, 3)

    def _heading(self, page: Any, row: int, label: str) -> None:
        from openpyxl.styles import PatternFill

        write_text(page.cell(row, 1), WORDS_ALONE)
        write_text(page.cell(row, 2), label).font = _font()
        for column in range(2, len(self._names) + 2):
            page.cell(row, column).fill = PatternFill("solid", fgColor="E4E4DF")

    def _row(self, page: Any, row: int, key: DatumKey, label: str) -> None:
        write_text(page.cell(row, 1), str(key))
        values = [self._value(key, screw) for screw in self._screws]
        unit = self._unit_of(key, values)
        number = -1
        for column, name in enumerate(self._names, 2):
            cell = page.cell(row, column)
            number += name == "screw"
            of_bid = name == "screw" and key.owner == "bid" and number > 0
            cell.style = _TO_FILL if name in _OPEN_TO_FILL and not of_bid else _FIXED
            if name == "label":
                write_text(cell, label)
            elif name == "unit" and unit:
                write_text(cell, unit)
                self._listed(page, cell, self._choices_of_unit(key))
            elif name == "question" and self._asked(key):
                write_text(cell, self._asked(key))
            elif name == "screw" and not of_bid:
                self._put(cell, values[number], unit)
                self._listed(page, cell, self._choices(key))

    def _asked(self, key: DatumKey) -> str:
        """Return the question that a row answers, "" for none."""
        return self._questions.get(key.part.removesuffix(".state") or key.field, "")

    def _value(self, key: DatumKey, screw: _Screw) -> Any:
        """Return what the supplier stated; None for what we assumed or measured."""
        thing = {"bid": self._bid, "unit": screw.unit, "barrel": screw.barrel}[key.owner]
        if thing is None:
            return None
        if key.field == "scope":
            return self._scope_value(key)
        value = getattr(thing, key.field)
        if isinstance(value, Zones):
            return f"{getattr(value, key.part) * 100:.12g}"
        if isinstance(value, str) and key.shape.kind == "choice":
            return labels.choice(value)
        if isinstance(value, str) and key.shape.kind == "resin":
            return self._resins.get(value, value)
        if getattr(value, "standing", "quoted") not in ("quoted", "confirmed"):
            return None
        return value

    def _scope_value(self, key: DatumKey) -> Any:
        item, _, what = key.part.rpartition(".")
        scope = () if self._bid is None else self._bid.scope
        line = next((one for one in scope if one.item == item), None)
        if line is None:
            return None
        if what == "state":
            return SCOPE_STATES[line.state]
        return line.amount if line.state == "extra" else None

    def _unit_of(self, key: DatumKey, values: Sequence[Any]) -> str:
        if key.field == "zones":
            return "%"
        stated = next((value for value in values if isinstance(value, Quantity | Money)), None)
        if isinstance(stated, Money):
            return stated.currency
        if key.part.endswith(".amount"):
            return self._currency_of_bid()
        if key.field == "scope":
            return ""
        if key.shape.kind == "money":
            return self._currency_of_bid()
        kinds = key.shape.datum.kinds
        if not kinds or key.shape.datum.units == ("1",):
            return ""
        return stated.unit if stated is not None else display_unit(kinds[0], self._units)

    def _currency_of_bid(self) -> str:
        return (self._bid.currency if self._bid is not None else None) or self._currency

    def _put(self, cell: Any, value: Any, unit: str) -> None:
        """Write a number as a number with the digits that were printed, anything else as words."""
        if isinstance(value, Quantity):
            self._put_number(cell, value.magnitude, value.unit, unit or "1")
        elif isinstance(value, Money):
            self._put_number(cell, value.amount, value.currency, unit)
        elif isinstance(value, date):
            cell.value, cell.number_format = value, "yyyy-mm-dd"
        elif value not in (None, ""):
            write_text(cell, str(value))

    def _put_number(self, cell: Any, magnitude: str, own: str, unit: str) -> None:
        if own != unit or sum(c.isdigit() for c in magnitude) > _MOST_EXACT:
            write_text(cell, magnitude if own == unit else f"{magnitude} {own}")
            return
        _, _, places = magnitude.partition(".")
        cell.value = float(magnitude) if places else int(magnitude)
        cell.number_format = f"0.{'0' * len(places)}" if places else "0"

    def _choices_of_unit(self, key: DatumKey) -> tuple[str, ...]:
        return () if key.field in ("zones", "scope") else key.shape.datum.units

    def _choices(self, key: DatumKey) -> tuple[str, ...]:
        if key.field == "scope":
            return tuple(SCOPE_STATES.values()) if key.part.endswith(".state") else ()
        if key.field == "zones":
            return ()
        if key.shape.kind == "resin":
            # Those of the jobs, and no other: what competitors rate in is their own affair.
            return tuple(name for one, name in self._resins.items() if one in self._run)
        return tuple(labels.choice(code) for code in key.shape.choices)

    def _listed(self, page: Any, cell: Any, choices: tuple[str, ...]) -> None:
        """Offer a cell the words of a list; others can be typed, and are read as what they are."""
        from openpyxl.utils import get_column_letter
        from openpyxl.worksheet.datavalidation import DataValidation

        if not choices:
            return
        if choices not in self._lists:
            column = len(self._lists) + 1
            for row, word in enumerate(choices, 1):
                write_text(self._list_page.cell(row, column), word)
            letter = get_column_letter(column)
            area = f"{LISTS}!${letter}$1:${letter}${len(choices)}"
            rule = DataValidation("list", formula1=area, allow_blank=True, showErrorMessage=False)
            page.add_data_validation(rule)
            self._lists[choices] = rule
        self._lists[choices].add(cell)

    def _finish(self, page: Any) -> None:
        from openpyxl.utils import get_column_letter

        page.row_dimensions[1].hidden = True
        page.column_dimensions["A"].hidden = True
        widths = [_WIDTHS[name] for name in self._names]
        for column, width in enumerate(widths, 2):
            page.column_dimensions[get_column_letter(column)].width = width
        _fit_rows(page, widths, self._first_row)
        # No password: it keeps a slip of the hand off the keys, not a person.
        page.protection.sheet = True
        page.protection.formatCells = page.protection.formatColumns = False
        page.protection.insertColumns = page.protection.sort = False
        _fit_pages(page, self._first_row)


def _font(bold: bool = True, size: int = 11) -> Font:
    """Return the font of all the other cells, in bold or in another size: else it has no name."""
    from openpyxl.styles import Font
    from openpyxl.styles.fonts import DEFAULT_FONT

    return Font(name=DEFAULT_FONT.name, family=DEFAULT_FONT.family, size=size, bold=bold)


def _fit_pages(page: Any, head: int) -> None:
    """Print all columns beside each other on each page, below the headings in row `head`."""
    paper, edges = page.page_setup, page.page_margins
    paper.orientation, paper.paperSize, paper.fitToHeight = "landscape", int(page.PAPERSIZE_A4), 0
    page.sheet_properties.pageSetUpPr.fitToPage = True
    page.print_title_rows = f"{head}:{head}"
    edges.left = edges.right = edges.top = _MARGIN
    edges.bottom = 1.5 * _MARGIN
    edges.footer = _MARGIN / 2
    page.oddFooter.right.text = "&P / &N"


def _fit_rows(page: Any, widths: Sequence[float], first: int = 1) -> None:
    """Make each row as high as its texts: not every program that shows a workbook does."""
    for cells in page.iter_rows(min_row=first, min_col=page.max_column - len(widths) + 1):
        lines = lines_of([str(cell.value or "") for cell in cells], widths)
        if lines > 1:
            page.row_dimensions[cells[0].row].height = lines * LINE_HEIGHT


def _bid_of(appraisal: Appraisal, bid: str | None) -> Bid | None:
    if bid is None:
        return None
    for one in appraisal.evaluation.bids:
        if one.id == bid:
            return one
    raise KeyError(bid)


def _screws_of(bid: Bid | None) -> tuple[_Screw, ...]:
    units = () if bid is None else bid.units
    screws = tuple(_Screw(unit, barrel) for unit in units for barrel in unit.barrels)
    bare = tuple(_Screw(unit) for unit in units if not unit.barrels)
    return (*screws, *bare) or (_Screw(),) * SCREWS_OF_A_BLANK


def _write_terms(book: Workbook, rows: Sequence[SheetRow]) -> None:
    from openpyxl.styles import Alignment

    page: Any = book.create_sheet(TERMS)
    _fit_pages(page, 1)
    for column, heading in enumerate(words.TERMS_HEADINGS, 1):
        write_text(page.cell(1, column), heading).font = _font()
    row = 1
    for key in dict.fromkeys(one.key for one in rows if one.key is not None):
        meaning = _meaning(key)
        if not meaning:
            continue
        row += 1
        datum = key.shape.datum
        units = datum.units if datum.units and datum.units != ("1",) else ()
        for column, text in enumerate((datum.label, meaning, ", ".join(units)), 1):
            cell = write_text(page.cell(row, column), text)
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    widths = (28.0, 80.0, 24.0)
    for letter, width in zip("ABC", widths, strict=True):
        page.column_dimensions[letter].width = width
    _fit_rows(page, widths)
    page.freeze_panes = "A2"


def _meaning(key: DatumKey) -> str:
    if key.field == "scope" or key.part not in ("", "feed"):
        return ""
    return words.TERMS.get(key.field) or key.shape.datum.help
