"""The inputs of the live workbook: one number a row, with its unit, its standing and its source.

A key names each: a letter for what it belongs to, that thing's place, and the datum. B barrel, U
injection unit, O offer, J job, R resin, L cost line; what is one for all has no letter. Where
a unit's number is printed in another unit, or an amount in another currency, `times` is what
takes it to the one that is calculated in.
"""

from __future__ import annotations

from dataclasses import dataclass

from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.units import scale
from evenbarrel.wording.sheets.live.formula import NO_RATE, known, pulled
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import rounded, unit_text

NOT_STATED = "not stated"

HEADINGS = (
    Heading("Key", key="input"),
    Heading("Of"),
    Heading("Input"),
    Heading("Value", "in the unit beside", key="value"),
    Heading("Unit"),
    Heading("As written", key="written"),
    Heading("Times", key="times"),
    Heading("Calculated with", "in the unit beside", key="taken"),
    Heading("Unit"),
    Heading("Standing"),
    Heading("Source"),
)


@dataclass(frozen=True, slots=True)
class Input:
    """One input: `value` in `unit` as entered, `times` what takes it to `taken_in`.

    `times` is a number or a formula with the number it gives; `formula` gives what is calculated
    with. `name` is the name that formulas call it by, where it has one.
    """

    key: str
    of: str
    what: str
    value: float | None
    unit: str
    times: Cell
    taken: Cell
    taken_in: str
    standing: str
    source: str
    text: str = ""

    def row(self) -> tuple[Cell, ...]:
        """Return its row below `HEADINGS`."""
        shown = self.text or ("" if self.value is None else rounded(self.value, 12))
        return (
            Cell(self.key),
            Cell(self.of),
            Cell(self.what),
            Cell(shown, self.value, entered=True, as_typed=True),
            Cell(self.unit),
            Cell(shown, self.value, as_typed=True),
            self.times,
            self.taken,
            Cell(self.taken_in),
            Cell(self.standing),
            Cell(self.source),
        )


def sheet_of(key: str, title: str, inputs: list[Input]) -> Sheet:
    """Return a sheet of inputs."""
    return Sheet(key, title, HEADINGS, tuple(one.row() for one in inputs))


def quantity_input(
    key: str, of: str, what: str, quantity: Quantity | None, kind: str, unit: str
) -> Input:
    """Return a quantity as it was printed, calculated with in `unit`."""
    printed = unit if quantity is None else quantity.unit
    times = scale(printed, kind) / scale(unit, kind)
    value = None if quantity is None else float(quantity.magnitude)
    return Input(
        key,
        of,
        what,
        value,
        unit_text(printed),
        Cell(f"{times:.7g}", times, as_typed=True),
        pulled(None if value is None else value * times, known("[value]*[times]", "value")),
        unit_text(unit),
        NOT_STATED if quantity is None else labels.STANDINGS[quantity.standing],
        "" if quantity is None else quantity.source or quantity.note,
        "" if quantity is None else quantity.magnitude,
    )


def plain_input(
    key: str, of: str, what: str, value: float | None, unit: str, standing: str, source: str = ""
) -> Input:
    """Return a number that is calculated with as it stands."""
    return Input(
        key,
        of,
        what,
        value,
        unit,
        Cell("1", 1.0),
        pulled(value, known("[value]*[times]", "value")),
        unit,
        NOT_STATED if value is None else standing,
        source,
    )


@dataclass(frozen=True, slots=True)
class Currencies:
    """What each currency is worth in that of the evaluation, None where it cannot be told."""

    own: str
    rates: dict[str, float | None]

    def input(
        self,
        key: str,
        of: str,
        what: str,
        money: Money | None,
        least: str = "",
        standing: str = "",
        per: str = "",
    ) -> Input:
        """Return an amount, calculated with in the evaluation's currency.

        `least` is "<0" where a negative amount is none, "<=0" where nothing is given away either.
        `per` follows the currency: "/kWh".
        """
        value = None if money is None else money.value()
        currency = self.own if money is None else money.currency
        rate = 1.0 if currency == self.own else self.rates.get(currency)
        foreign = currency != self.own
        none = value is None or (least == "<0" and value < 0) or (least == "<=0" and value <= 0)
        worth = None if none or value is None or rate is None else value * rate
        rule = f'IF([value]{least},"",' if least else "("
        text = f'IF(COUNT([value])=0,"",{rule}IF(COUNT([times])=0,"{NO_RATE}",[value]*[times])))'
        return Input(
            key,
            of,
            what,
            value,
            currency + per,
            pulled(rate, f"[#rate {currency}]") if foreign else Cell("1", 1.0),
            pulled(worth, text),
            self.own + per,
            standing or (NOT_STATED if money is None else labels.STANDINGS[money.standing]),
            "" if money is None else money.source,
            "" if money is None else money.amount,
        )
