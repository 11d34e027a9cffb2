"""The cells of a workbook, read as texts; what is no plain workbook of bearable size is refused."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any
from zipfile import ZipFile

from evenbarrel.intake.extract import FoundAt
from evenbarrel.intake.tables.cells import (
    MOST_ROWS,
    Cell,
    Grid,
    TableRefused,
    make_grid,
    refuse_too_large,
)

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

MOST_PARTS, MOST_UNPACKED = 500, 20 * 1024 * 1024
"""Files in a workbook's archive, and bytes of them all; 50,000 cells take a fifth."""
_MOST_STYLED = 4 * 50_000
"""Cells, with those that hold a format alone."""
_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_CELL = re.compile(rb"<(?:\w+:)?c[ />]")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
_MERGED = re.compile(
    rb"<(?:\w+:)?mergeCell\b[^>]*\bref=\"([A-Z]{1,3})([0-9]{1,7}):([A-Z]{1,3})([0-9]{1,7})\""
)
_PLACES = re.compile(r"[#,]*0(?:\.(?P<places>0+))?(?![.0%])")
_UNIT_IN_FORMAT = re.compile(r'^[#,0. ]*"(?P<unit>[^"]*)"$')
_DIGITS = 12
"""Significant digits that a cell shows; what a file holds beyond is noise of binary fractions."""


@dataclass(frozen=True, slots=True)
class Sheets:
    """The grid of each visible worksheet by its title, and the titles of hidden ones with text."""

    visible: Mapping[str, Grid]
    hidden: tuple[str, ...] = ()

    @property
    def filled(self) -> tuple[str, ...]:
        """The titles of the visible worksheets that anything stands in."""
        grids = self.visible.items()
        return tuple(title for title, grid in grids if any(c.text for row in grid for c in row))


def read_sheets(data: bytes) -> Sheets:
    """Return the cells of every visible worksheet; raises `TableRefused`.

    A formula gives the value that was last computed for it.
    """
    _refuse_archive(data)
    values = _load(data, values=True)
    formulas = _load(data, values=False) if _may_hold_formulas(data) else values
    every: list[Any] = [values[title] for title in values.sheetnames]
    sheets = [one for one in every if hasattr(one, "iter_rows")]
    visible = [one for one in sheets if one.sheet_state == "visible"]
    _refuse_together(visible)
    return Sheets(
        {str(one.title): _grid(one, formulas[one.title]) for one in visible},
        tuple(str(one.title) for one in sheets if one not in visible and _holds_anything(one)),
    )


def _may_hold_formulas(data: bytes) -> bool:
    """Say whether any part may: most workbooks hold none, and to read one again takes as long."""
    with ZipFile(BytesIO(data)) as archive:
        return any(
            not name.lower().endswith((".xml", ".rels")) or _FORMULA.search(archive.read(name))
            for name in archive.namelist()
        )


def _refuse_together(sheets: Sequence[Worksheet]) -> None:
    """Refuse a workbook whose worksheets have more cells in all than are read of one table."""
    for sheet in sheets:
        refuse_too_large(sheet.max_row, sheet.max_column)
    cells = sum(sheet.max_row * sheet.max_column for sheet in sheets)
    if cells > _MOST_STYLED:
        raise TableRefused(f"its worksheets have more than {_MOST_STYLED} cells in all")


def _holds_anything(sheet: Worksheet) -> bool:
    rows = sheet.iter_rows(max_row=MOST_ROWS, values_only=True)
    return any(value is not None for row in rows for value in row)


def _refuse_archive(data: bytes) -> None:
    """Refuse by looking at the archive what must not be handed on to a reader of workbooks."""
    if data.startswith(_OLD_OR_LOCKED):
        raise TableRefused("it has a password or is an old .xls: save it as .xlsx without one")
    try:
        with ZipFile(BytesIO(data)) as archive:
            members = archive.infolist()
            if len(members) > MOST_PARTS:
                raise TableRefused(f"its archive holds more than {MOST_PARTS} files")
            if sum(member.file_size for member in members) > MOST_UNPACKED:
                raise TableRefused(f"it unpacks to more than {MOST_UNPACKED // 1024**2} MB")
            if any("vbaproject" in member.filename.lower() for member in members):
                raise TableRefused("it holds macros: save it as .xlsx without them")
            if "[Content_Types].xml" not in archive.namelist():
                raise TableRefused("it is an archive, not a workbook")
            for member in members:
                _refuse_part(member.filename.lower(), archive.read(member))
    except TableRefused:
        raise
    except Exception as error:
        # Each way to pack has errors of its own, and a damaged archive fails in any of them.
        raise TableRefused("it is not a workbook, or is damaged") from error


def _refuse_part(name: str, content: bytes) -> None:
    if not name.endswith((".xml", ".rels")):
        return
    if b"\0" in content:
        raise TableRefused("it holds XML in an encoding that workbooks do not use")
    if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
        raise TableRefused("it defines XML entities, which no workbook does")
    if "macroenabled" in content[:20_000].decode("utf-8", "replace").lower():
        raise TableRefused("it is a workbook with macros: save it as .xlsx without them")
    if "worksheets/" not in name:
        return
    if sum(1 for _ in _CELL.finditer(content)) > _MOST_STYLED:
        raise TableRefused(f"one of its sheets has more than {_MOST_STYLED} cells")
    for left, top, right, bottom in _MERGED.findall(content):
        rows, columns = int(bottom) - int(top) + 1, _column(right) - _column(left) + 1
        refuse_too_large(rows, columns)


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number


def _load(data: bytes, values: bool) -> Workbook:
    # Imported here: it takes long to load, and the desk is painted before.
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            # It warns of parts that it drops: charts, extensions. None holds a number.
            warnings.simplefilter("ignore")
            return load_workbook(BytesIO(data), data_only=values)
    except Exception as error:
        # A damaged workbook fails in as many ways as it has parts.
        raise TableRefused("it is not a workbook, or is damaged") from error


def _grid(values: Worksheet, formulas: Worksheet) -> Grid:
    title = str(values.title)
    rows, columns = values.max_row, values.max_column
    merged = dict(_covered(values, rows, columns))
    made = [
        [
            _cell(values, formulas, merged.get((row, column), (row, column)))
            for column in range(1, columns + 1)
        ]
        for row in range(1, rows + 1)
    ]
    return make_grid(made, title)


def _covered(sheet: Worksheet, rows: int, columns: int) -> Iterator[tuple[Any, tuple[int, int]]]:
    """Yield each cell below a merged one, and the cell whose text it shows."""
    for area in sheet.merged_cells.ranges:
        for row in range(area.min_row, min(area.max_row, rows) + 1):
            for column in range(area.min_col, min(area.max_col, columns) + 1):
                yield (row, column), (area.min_row, area.min_col)


def _cell(values: Worksheet, formulas: Worksheet, at: tuple[int, int]) -> Cell:
    row, column = at
    place = FoundAt(row, column, str(values.title))
    found: Any = values.cell(row, column)
    held: Any = formulas.cell(row, column)
    is_formula = held.data_type == "f"
    if found.value is None:
        return Cell("", place, ("formula_unknown",)) if is_formula else Cell("", place)
    if found.data_type == "e":
        return Cell(_one_line(str(found.value)), place, ("formula_error",))
    noticed = ["formula"] if is_formula else []
    if found.data_type == "s" and _is_number(str(found.value)):
        noticed.append("text_number")
    return Cell(_text(found.value, str(found.number_format)), place, tuple(noticed))


def _is_number(text: str) -> bool:
    return text.strip().replace(".", "", 1).replace(",", "", 1).isdigit()


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _text(value: Any, number_format: str) -> str:
    """Return what a cell shows, as far as its format says no more than places, % or a unit."""
    if isinstance(value, bool):
        return str(value)
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if not isinstance(value, int | float):
        return _one_line(str(value))
    if "%" in number_format:
        return f"{_plain(value * 100)} %"
    places = _PLACES.match(number_format)
    text = _plain(value)
    if places is not None and places["places"]:
        shown = f"{value:.{len(places['places'])}f}"
        text = shown if float(shown) == float(text) else text
    unit = _UNIT_IN_FORMAT.match(number_format)
    named = "" if unit is None else unit["unit"]
    return f"{text} {named.strip()}".strip()


def _plain(value: float) -> str:
    """Return a number in decimal digits, as many as a cell shows."""
    text = f"{value:.{_DIGITS}g}"
    if "e" in text:
        text = f"{float(text):f}" if abs(value) < 1e30 else text
    return text.rstrip("0").rstrip(".") if "." in text and "e" not in text else text
