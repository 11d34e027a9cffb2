"""Numbers as people read them: rounded to what they support, in display units."""

from __future__ import annotations

from decimal import Decimal
from functools import cache, lru_cache
from math import floor, isfinite, log10
from typing import Literal

from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.units import from_si, metric_unit, us_unit

DisplayUnits = Literal["metric", "us"]

ABSENT = "–"
"""What stands where nothing is stated."""

_US = frozenset(
    ("in", "in3", "fl_oz", "oz", "lb", "oz/in3", "psi", "in3/s", "lb/h", "oz/s", "in/s", "ft/min")
) | {"degF", "delta_degF", "hp", "tonf", "lbf.ft"}
_LEAST_DIGITS = 2
_MOST_KEPT = 8192
"""Numbers whose text is kept: after an edit most stand where they stood."""

_PRETTY = {
    "cm3": "cm³",
    "in3": "in³",
    "fl_oz": "fl oz",
    "g/cm3": "g/cm³",
    "kg/m3": "kg/m³",
    "oz/in3": "oz/in³",
    "cm3/s": "cm³/s",
    "in3/s": "in³/s",
    "mm2/s": "mm²/s",
    "cm3/10min": "cm³/10 min",
    "g/10min": "g/10 min",
    "kgf/cm2": "kgf/cm²",
    "m3/h": "m³/h",
    "tf": "t",
    "tonf": "US tons",
    "degC": "°C",
    "degF": "°F",
    "delta_degF": "°F",
    "Nm": "N m",
    "daNm": "daN m",
    "kgf.m": "kgf m",
    "lbf.ft": "lbf ft",
    "1": "",
}


def unit_text(unit: str) -> str:
    """Return a unit as printed for people: cm³ for cm3, nothing for 1."""
    return _PRETTY.get(unit, unit)


@cache
def display_unit(kind: str, units: DisplayUnits) -> str:
    """Return the unit text a kind is shown in."""
    return us_unit(kind) if units == "us" else metric_unit(kind)


@lru_cache(maxsize=_MOST_KEPT)
def rounded(value: float | None, digits: int = 3) -> str:
    """Return a number with so many significant digits, plainly written; – for None.

    Whole digits are never rounded away: 12345 stays 12345 at three digits.
    """
    if value is None or not isfinite(value):
        return ABSENT
    if value == 0:
        return "0"
    places = max(0, digits - 1 - floor(log10(abs(value))))
    text = f"{Decimal(repr(value)):.{places}f}"
    if places and abs(Decimal(text)) >= Decimal(10) ** (digits - places):
        # Rounded up to one digit more: 9.97 is 10 at two digits, not 10.0.
        text = f"{Decimal(repr(value)):.{places - 1}f}"
    return "0" if text.strip("-0.") == "" else text.replace("-", "−")


def system_of(unit: str) -> DisplayUnits:
    """Return the system that a printed unit belongs to."""
    return "us" if unit in _US else "metric"


def in_units(value: float | None, kind: str, units: DisplayUnits) -> float | None:
    """Return an SI value in the unit its kind is shown in, or None."""
    return None if value is None else from_si(value, display_unit(kind, units), kind)


def shown(value: float | None, kind: str, units: DisplayUnits, digits: int = 3) -> str:
    """Return an SI value as text in its display unit, without the unit."""
    return rounded(in_units(value, kind, units), digits)


def with_unit(value: float | None, kind: str, units: DisplayUnits, digits: int = 3) -> str:
    """Return an SI value as text with its display unit; – for None."""
    if value is None or not isfinite(value):
        return ABSENT
    return f"{shown(value, kind, units, digits)} {unit_text(display_unit(kind, units))}".rstrip()


def compared(value: float | None, kind: str, units: DisplayUnits, digits: int = 4) -> str:
    """Return an SI value to be held against another: four digits, no idle zeros, its unit."""
    text, space, unit = with_unit(value, kind, units, digits).partition(" ")
    return (text.rstrip("0").rstrip(".") if "." in text else text) + space + unit


def between(low: str, high: str) -> str:
    """Return two numbers as the ends of a range, their unit once where both have the same."""
    number, _, unit = low.partition(" ")
    return f"{number if unit and high.endswith(f' {unit}') else low} to {high}"


def supported_digits(share: float) -> int:
    """Return how many digits a number with this half-width (a share of it) supports: 2 to 4."""
    if not share > 0.0 or not isfinite(share):
        return 4
    return min(4, max(2, 1 - floor(log10(round(share, 6) or 1e-6))))


def estimated(value: float | None, kind: str, units: DisplayUnits) -> str:
    """Return an SI value that is an estimate: two digits, whole ones too, and its unit."""
    own = in_units(value, kind, units)
    if own is None or not isfinite(own):
        return ABSENT
    text = rounded(round(own, 1 - floor(log10(abs(own))) if own else 0), 2)
    return f"{text} {unit_text(display_unit(kind, units))}".rstrip()


def percent(share: float | None, digits: int = 2) -> str:
    """Return a share as text in per cent; whole digits are kept: 0.564 is 56 %."""
    return ABSENT if share is None else f"{rounded(share * 100.0, digits)} %"


def signed_percent(share: float) -> str:
    """Return a difference as text in per cent with its sign."""
    text = percent(abs(share))
    return text if share == 0 else ("+" if share > 0 else "−") + text


def printed(quantity: Quantity | None) -> str:
    """Return a quantity exactly as it was printed; – where it is not stated."""
    if quantity is None:
        return ABSENT
    return f"{quantity.magnitude} {unit_text(quantity.unit)}".rstrip()


def in_system(quantity: Quantity, kind: str, units: DisplayUnits) -> Quantity:
    """Return a quantity of a kind as it is shown: in its US unit where those are asked for.

    One in a US unit, or of a kind that has none, stays as printed; so does all under metric units.
    A converted number keeps as many significant digits as were printed, two at least.
    """
    unit = display_unit(kind, units)
    if units == "metric" or unit not in _US or quantity.unit in _US:
        return quantity
    value = from_si(quantity.si(kind), unit, kind)
    digits = len(Decimal(quantity.magnitude).as_tuple().digits)
    text = rounded(value, max(_LEAST_DIGITS, digits)).replace("−", "-")
    return quantity.replace(magnitude=text, unit=unit)


def money(amount: Money | None) -> str:
    """Return an amount with its currency, thousands apart; – for None."""
    if amount is None:
        return ABSENT
    value = Decimal(amount.amount)
    places = max(0, -int(value.as_tuple().exponent))
    return f"{amount.currency} {value:,.{places}f}".replace(",", "\u202f")


def currency_amount(value: float | None, currency: str) -> str:
    """Return a computed amount in whole units with its currency, thousands apart; – for None."""
    text = whole_amount(value)
    return text if text == ABSENT else f"{currency} {text}"


def whole_amount(value: float | None) -> str:
    """Return a computed amount in whole units, thousands apart, below its currency; – for None."""
    if value is None or not isfinite(value):
        return ABSENT
    return f"{value:,.0f}".replace(",", "\u202f").replace("-", "−")


def counted(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun: "1 barrel", "12 barrels"."""
    return f"{count} {one if count == 1 else many or one + 's'}"
