"""Where everything stands in a workbook: places in formulas become references to cells."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from evenbarrel.wording.sheets.live.inputs import HEADINGS
from evenbarrel.wording.sheets.sheet import Sheet

_PLACE = re.compile(r"\[([^\[\]]+)\]")
_ROW = "\0"
"""Stands for the row in a formula that is the same all down a column."""


class Addresses:
    """The cells of a workbook's sheets, by the keys of their columns and of the inputs."""

    def __init__(self, sheets: Sequence[Sheet], titles: Mapping[str, str]) -> None:
        """Take the sheets with their titles; each begins in the first row with its headings."""
        self._titles = titles
        self._last = {sheet.key: len(sheet.rows) + 1 for sheet in sheets}
        self._columns = {sheet.key: _columns(sheet) for sheet in sheets}
        self._inputs = {
            row[0].text: sheet.key
            for sheet in sheets
            if sheet.headings == HEADINGS
            for row in sheet.rows
        }
        self._known: dict[tuple[str, str], str] = {}

    def names(self) -> Iterator[tuple[str, str]]:
        """Yield the names that formulas use and what each stands for.

        An input that is one for all has one; it is found by its key, as every input is.
        """
        yield from ((key, self._input(key)) for key in self._inputs if " " not in key)
        if "years" in self._columns:
            yield "years", self._all("years", "year")

    def formula(self, sheet: str, row: int, text: str) -> str:
        """Return a cell's formula as a workbook has it; raises KeyError for an unknown place."""
        known = self._known.get((sheet, text))
        if known is None:
            known = _PLACE.sub(lambda found: self._reference(sheet, found[1]), text)
            self._known[sheet, text] = known
        return known.replace(_ROW, str(row))

    def _reference(self, sheet: str, place: str) -> str:
        if place.startswith("#"):
            return self._input(place[1:])
        if place in self._columns[sheet]:
            return self._columns[sheet][place] + _ROW
        if place in self._inputs:
            return place
        other, _, column = place.partition(".")
        if column.endswith(":"):
            return self._all(other, column[:-1])
        column, _, wanted = column.partition("=")
        number = next(iter(self._columns[other]))
        row = wanted or self._columns[sheet][number] + _ROW
        return self._found(other, number, column, row)

    def _input(self, key: str) -> str:
        return self._found(self._inputs[key], "input", "taken", f'"{key}"')

    def _found(self, sheet: str, number: str, column: str, wanted: str) -> str:
        """Return the cell of a column in the row whose number or key is the wanted one."""
        where = self._all(sheet, number)
        return f"INDEX({self._all(sheet, column)},MATCH({wanted},{where},0))"

    def _all(self, sheet: str, column: str) -> str:
        # A sheet without rows still has one to point at: empty.
        letter, last = self._columns[sheet][column], max(2, self._last[sheet])
        return f"'{self._titles[sheet]}'!${letter}$2:${letter}${last}"


def _columns(sheet: Sheet) -> dict[str, str]:
    from openpyxl.utils import get_column_letter

    return {
        heading.key: get_column_letter(place)
        for place, heading in enumerate(sheet.headings, 1)
        if heading.key
    }
