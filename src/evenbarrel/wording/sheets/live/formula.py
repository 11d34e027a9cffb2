"""How a calculated cell of the workbook says what it is calculated from.

A formula is a spreadsheet's expression without its equals sign, in which places stand in brackets:

    [stroke]                    the cell of this row in the column with that key
    [barrels.stroke]            the cell of another sheet, in the row whose first column holds the
                                number that this row has under the same key (`barrel`)
    [calculation.capacity=17]   the same, in the row with that number
    [calculation.lost:]         all cells of a column
    [#B3 stroke]                what an input comes to; inputs have keys, see `inputs`

Rows are found by their number, so that a sheet may be sorted and nothing changes. A key is made
of letters and digits of ours: no word of a supplier ever comes into a formula.

Not stated is the empty text, in inputs and in whatever hangs on them: `known` looks for numbers
before it calculates, so that nothing is ever taken for 0. `NO_RATE` goes through in the same way:
an amount is stated, but not what its currency is worth.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from evenbarrel.units import scale
from evenbarrel.wording.sheets.sheet import Cell, Heading
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    display_unit,
    in_units,
    rounded,
    unit_text,
)

NO_RATE = "no rate"
"""Stands for an amount in a currency without a exchange rate."""


def known(expression: str, *needs: str) -> str:
    """Return a formula that is empty unless every needed place holds a number."""
    places = ",".join(f"[{need}]" for need in needs)
    return f'IF(COUNT({places})={len(needs)},IFERROR({expression},""),"")'


def worth(growth: str, first: str, last: str) -> str:
    """Return how much one unit of money a year from first to last is worth today."""
    step = f"((1+N({growth}))/(1+discount_rate))^years"
    return f"SUMPRODUCT({step}*(years>={first})*(years<={last}))"


def calculated(value: float | None, formula: str, digits: int = 4) -> Cell:
    """Return a cell that a workbook calculates anew; `value` is what the program has."""
    if value is not None and not isfinite(value):
        value = None
    return Cell(rounded(value, digits), value, formula=formula)


EMPTY = Cell("", formula='""')
"""A cell in which nothing can be; a cell without anything would be taken for 0."""


def pulled(value: float | None, formula: str) -> Cell:
    """Return a cell that shows an input, with as many places as it is typed with."""
    if value is None or not isfinite(value):
        return Cell(ABSENT, formula=formula)
    return Cell(f"{value:.7g}", value, formula=formula, as_typed=True)


def whole(value: float | None, formula: str) -> Cell:
    """Return a calculated cell of a number that is whole, or shown so."""
    if value is None or not isfinite(value):
        return Cell(ABSENT, formula=formula)
    return Cell(f"{value:.0f}", value, formula=formula)


def money(value: float | None, formula: str) -> Cell:
    """Return a calculated cell of an amount."""
    if value is None or not isfinite(value):
        return Cell(ABSENT, formula=formula)
    return Cell(f"{value:.2f}", value, formula=formula)


def by_program(title: str, unit: str = "") -> Heading:
    """Return the heading of numbers that no formula gives: the program's, as it was written."""
    return Heading(f"{title}, by the program", unit)


def program_number(value: float | None, digits: int = 4) -> Cell:
    """Return a number of the program's that no formula gives."""
    return Cell(ABSENT, None) if value is None else Cell(rounded(value, digits), value)


def number(place: int) -> Cell:
    """Return the number by which formulas find a row."""
    return Cell(str(place), float(place))


@dataclass(frozen=True, slots=True)
class Scales:
    """The units that a workbook calculates in, and what takes one of them to another."""

    units: DisplayUnits

    def heading(self, title: str, kind: str, key: str) -> Heading:
        """Return the heading of a column of one kind."""
        return Heading(title, unit_text(display_unit(kind, self.units)), key=key)

    def value(self, value: float | None, kind: str) -> float | None:
        """Return a number in SI as the workbook has it."""
        known_number = value is not None and isfinite(value)
        return in_units(value, kind, self.units) if known_number else None

    def size(self, kind: str) -> float:
        """Return the unit of a kind in SI."""
        return scale(display_unit(kind, self.units), kind)

    @property
    def volume(self) -> str:
        """Return by what a cubed length is multiplied to be a volume, "" where it is one."""
        return _times(self.size("length") ** 3 / self.size("volume"))

    @property
    def length(self) -> str:
        """Return by what a volume over an area is multiplied to be a length."""
        return _times(self.size("volume") / self.size("length") ** 3)

    @property
    def recovery(self) -> str:
        """Return by what a mass over a rate is multiplied to be seconds."""
        return _times(self.size("mass") / self.size("mass_rate"))

    @property
    def kilograms(self) -> str:
        """Return by what a mass is multiplied to be kilograms."""
        return _times(self.size("mass"))


def _times(factor: float) -> str:
    """Return a factor as a formula has it: powers of ten come out whole, 1 is left out."""
    text = f"{factor:.12g}" if float(f"{factor:.12g}") == factor else repr(factor)
    plain = round(factor)
    if abs(factor - plain) < 1e-12 * factor and plain > 0:
        text = str(plain)
    elif abs(1 / factor - round(1 / factor)) < 1e-9 and factor < 1:
        return f"/{round(1 / factor)}"
    return "" if text == "1" else f"*{text}"
