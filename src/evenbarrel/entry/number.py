"""What a person typed into a number field, read as one decimal number and its unit.

Offers print `1.234,5`, `1,234.5`, `1 1/2 in` and `Ø 50`. Each is read in one way only, the reading
is shown back (`echo`), and what has no single reading is refused in a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Context, Decimal, Inexact
from functools import cache
from types import MappingProxyType
from unicodedata import normalize

from evenbarrel.model.base import cut
from evenbarrel.units import units_in_words


@dataclass(frozen=True)
class Note:
    """A remark on a reading that could have been another: `thousands`, `rounded` or `tons`."""

    code: str
    text: str


@dataclass(frozen=True)
class Entry:
    """A number as it was read.

    `magnitude` is plain decimal text: digits, at most a leading `-` and one `.`, with the trailing
    zeros that were typed ("2.0" is not "2"). `unit` is the unit typed behind it, else the field's.
    """

    magnitude: str
    unit: str
    note: Note | None = None
    has_unit: bool = field(default=True, compare=False)
    """Whether a unit was typed behind the number."""


@dataclass(frozen=True)
class Refusal:
    """Text that is no single number of the field; `text` is one sentence for the person."""

    code: str
    text: str


MOST_CHARACTERS = 80
MOST_DIGITS = 15
MOST_POWER = 30
ROUNDED_DIGITS = 12

_HUGE = Refusal(
    "huge",
    f"A number has at most {MOST_DIGITS} significant digits and {MOST_POWER} on either side of "
    "its decimal mark.",
)
_TWO_NUMBERS = Refusal(
    "two_numbers", "There are two numbers, or digits not grouped in threes: type one number."
)
_WRONG_FRACTION = Refusal("fraction", "A fraction is written like 3/4 or 1 1/2.")

DIAMETER_MARKS = "Øø⌀∅φΦϕ "
"""What is printed before a diameter, Greek letters in Japan."""
_FRACTION_SLASH = "\u2044"
# One way to write what is written in many: spaces, minus signs, apostrophes, fractions. The spaces
# round a fraction keep the digits beside it apart: `1½` is not 11/2.
_SAME = str.maketrans(
    {
        **dict.fromkeys("\u00a0\u2007\u2009\u202f", " "),
        **dict.fromkeys("\u2212\u2013", "-"),
        "\u2019": "'",
        # What keeps a line from ending within a unit, in what was copied from a screen.
        "\u2060": "",
        _FRACTION_SLASH: "/",
        **{
            sign: f" {normalize('NFKC', sign).replace(_FRACTION_SLASH, '/')} "
            for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
        },
    }
)

_AT_SIGHT: tuple[tuple[re.Pattern[str], Refusal], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), Refusal(code, text))
    for pattern, code, text in (
        (
            r"^(?:[~≈≃∼<>≤≥]|(?:c|max|min|up to|bis)\b)|\b(?:ca|circa|approx|about|etwa)\b",
            "approximate",
            "This is approximate or a limit: type the number alone and say so in its note.",
        ),
        (
            r"±|\+ ?/? ?-",
            "tolerance",
            "Type the number alone; what follows ± is its half-width.",
        ),
        (
            r"^[+-]? ?(?:nan|inf(?:inity)?\b|∞)",
            "not_finite",
            "This is not a finite number; leave the field empty where nothing is stated.",
        ),
        (
            r"^[+-]? ?0(?:x[0-9a-f]|b[01]|o[0-7])",
            "hexadecimal",
            "Type the number in decimal digits.",
        ),
        (r"_[0-9]|[0-9]_", "underscore", "Type the number without underscores."),
        (
            r"^[0-9]+ ?- ?[0-9]+/[0-9]",
            _WRONG_FRACTION.code,
            _WRONG_FRACTION.text,
        ),
        (
            r"[0-9] ?[-—] ?[+-]?[.,]?[0-9]"
            r"|[0-9][^0-9]{0,9}(?:…|\.\.|÷| - | — |\bto\b|\bbis\b)[^0-9]{0,2}[0-9]",
            "range",
            "This is a range: type one number and half the spread as its half-width.",
        ),
    )
)

_PARTS = re.compile(
    r"(?P<sign>[+-]?) ?(?P<digits>[0-9.,' ]*)"
    r"(?:/(?P<denominator>[0-9]+)|(?<=[0-9])[eE](?P<power>[+-]?[0-9]+))?(?P<unit>.*)",
    re.DOTALL,
)
# One separator is the decimal mark ...
_PLAIN = re.compile(r"(?P<whole>[0-9]*)(?:[.,](?P<places>[0-9]+))?")
# ... several are group marks, all the same, and at most a different one behind them.
_GROUPED = re.compile(
    r"(?P<whole>[1-9][0-9]{0,2}(?P<mark>[.,' ])[0-9]{3}(?:(?P=mark)[0-9]{3})*)"
    r"(?:(?!(?P=mark))[.,](?P<places>[0-9]+))?"
)
_COULD_BE_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]{1,9}) )?(?P<numerator>[0-9]{1,6})")

# Usual spellings of each unit besides its own text, without spaces, full stops and `^`. Upper and
# lower case differ where both mean something: mPa, M, S are not here.
_SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        "mm": "MM millimetre millimetres millimeter millimeters",
        "cm": "CM centimetre centimetres centimeter centimeters",
        "in": 'IN In inch inches " ” ″ Zoll pouce pouces pollice pollici pulgada pulgadas',
        "cm3": "ccm cc ml mL",
        "in3": "cuin cuinch cubicinch cubicinches",
        "l": "L ℓ litre litres liter liters dm3",
        "fl_oz": "floz usfloz USfloz",
        "g": "gram grams gramme grammes Gramm gr",
        "kg": "KG Kg kgs kilogram kilograms",
        "oz": "OZ ounce ounces",
        "lb": "LB lbs LBS pound pounds",
        "g/cm3": "g/ccm g/cc g/ml g/mL kg/l kg/L kg/dm3",
        "kg/m3": "g/l g/L",
        "oz/in3": "oz/cuin oz/cuinch",
        "bar": "Bar BAR",
        "MPa": "mpa Mpa MPA N/mm2",
        "psi": "PSI Psi lb/in2 lbf/in2",
        "kgf/cm2": "kg/cm2 kp/cm2",
        "cm3/s": "ccm/s cc/s ml/s mL/s cm3/sec ccm/sec cc/sec cm3/sek ccm/sek cm3/seg",
        "in3/s": "cuin/s in3/sec cuin/sec",
        "l/min": "L/min lpm LPM lt/min",
        "m3/h": "m3/hr cbm/h",
        "g/s": "g/sec g/sek g/seg gr/s gr/sec G/S",
        "kg/h": "kg/hr Kg/h KG/H Kg/hr kg/Std kg/hour kgs/h kgs/hr",
        "lb/h": "lb/hr lbs/h lbs/hr lb/hour lbs/hour pph PPH",
        "oz/s": "oz/sec OZ/SEC",
        "rev/min": "rpm RPM Rpm r/min rev/mn tr/min tr/mn giri/min giri/1' g/1' g/min "
        "U/min 1/min /min min-1 Upm Umin-1",
        "rev/s": "1/s /s s-1 U/s r/s rps tr/s giri/s",
        "m/s": "m/sec m/sek",
        "mm/s": "mm/sec mm/sek mm/seg MM/S",
        "m/min": "",
        "in/s": "in/sec inch/s inch/sec inches/s ips",
        "ft/min": "fpm",
        "s": "sec secs second seconds sek Sek seg",
        "min": "mins minute minutes",
        "h": "hr hrs hour hours",
        "degC": "°C C",
        "degF": "°F F",
        "K": "°C C degC",
        "delta_degF": "°F F degF",
        "kW": "kw KW Kw",
        "W": "watt Watt watts",
        "hp": "HP Hp bhp",
        "PS": "CV cv ch",
        "kN": "KN kn",
        "tf": "t T to tonne tonnes metricton metrictons tonf(metric)",
        "tonf": "USton UStons ton tons Ton Tons TON TONS shortton shorttons tonf(US)",
        "Nm": "N*m NM",
        "daNm": "daN*m danm",
        "kgf.m": "kgfm kgf*m kpm kgm kg*m mkg mkp",
        "lbf.ft": "lbfft lbf-ft lb-ft lbft ft-lb ftlb ft-lbf ftlbf ft-lbs ftlbs",
        "%": "percent",
        "g/10min": "",
        "cm3/10min": "ccm/10min cc/10min ml/10min",
        "kJ/kg": "kj/kg J/g",
        "mm2/s": "mm2/sec",
        "kWh/kg": "kwh/kg",
    }
)
_UNIT_CHARACTERS = str.maketrans(
    {
        **{"³": "3", "²": "2", "¹": "1", "⁻": "-", "º": "°", "℃": "°C", "℉": "°F"},
        **dict.fromkeys(" ·⋅•", None),
    }
)
_EITHER_TON = frozenset({"ton", "tons"})
_TONS = Note("tons", "read as US tons of 2000 lbf; write t if tonnes are meant")
_GAUGE = frozenset({"psig", "psia", "psi(g)", "psi(a)", "barg", "bara", "bar(g)", "bar(a)"})


def read_number(
    text: str, units: tuple[str, ...], unit: str, decimal_mark: str = "."
) -> Entry | Refusal | None:
    """Return the number in `text`, a refusal in words, or None for an empty text.

    `units` are the unit texts the field takes, `unit` the one selected in it. A unit typed behind
    the number selects itself if the field takes it. `decimal_mark` is the one notes are written
    with; it does not change a reading. Never raises, whatever the text.
    """
    text = text.strip()
    if not text:
        return None
    if len(text) > MOST_CHARACTERS:
        return Refusal("too_long", f"A number has at most {MOST_CHARACTERS} characters here.")
    text = _plainly(text)
    for pattern, refusal in _AT_SIGHT:
        if pattern.search(text):
            return refusal
    parts = _PARTS.fullmatch(text)
    if parts is None or not re.search("[0-9]", parts["digits"]):
        return Refusal("letters", "This does not begin with a number: type digits, then a unit.")
    number = _number(parts, decimal_mark)
    if isinstance(number, Refusal):
        return number
    typed = _unit(parts["unit"].strip(), units) if parts["unit"].strip() else unit
    if isinstance(typed, Refusal):
        return typed
    magnitude, note = number
    if note is None and is_either_ton(parts["unit"]):
        note = _TONS
    return Entry(magnitude, typed, note, bool(parts["unit"].strip()))


def as_share(entry: Entry) -> Entry:
    """Return a number of a field in % by the rule for shares: `15` and `0.15` are both 15 %.

    What brings its unit is what it says. A bare number below 1 is a share of one, any other is in
    per cent; what was below 1 says so in its note.
    """
    value = Decimal(entry.magnitude)
    if entry.has_unit or entry.unit != "%" or not 0 < value < 1:
        return entry
    per_cent = format(value.scaleb(2), "f")
    note = Note(
        "share", f"a number below 1 is a share: {per_cent} %; write {entry.magnitude} % if meant"
    )
    return Entry(per_cent, "%", note, has_unit=False)


def echo(entry: Entry, decimal_mark: str = ".") -> str:
    """Return the reading shown below the field: "read as 1.5 in"."""
    unit = "" if entry.unit == "1" else f" {entry.unit}"
    return f"read as {entry.magnitude.replace('.', decimal_mark)}{unit}"


def read_unit(text: str, units: tuple[str, ...]) -> str | None:
    """Return which of `units` a text without a number spells, None where it spells none."""
    found = _unit(text.strip(), units) if 0 < len(text.strip()) <= MOST_CHARACTERS else None
    return found if isinstance(found, str) else None


def is_either_ton(text: str) -> bool:
    """Say whether a unit's text may be the US ton or the tonne: `tons` is printed for both."""
    return text.strip(" .").casefold() in _EITHER_TON


def _plainly(text: str) -> str:
    text = re.sub(" {2,}", " ", text.translate(_SAME).lstrip(DIAMETER_MARKS))
    # The 1 of `60 1/min` and of `5 1/s` belongs to the unit, unlike the last of `1 1/2`.
    return re.sub(r"(?<=[0-9]) 1/ ?(min|s)$", r" /\1", text)


def _number(parts: re.Match[str], decimal_mark: str) -> tuple[str, Note | None] | Refusal:
    if parts["denominator"]:
        read = _fraction(parts["digits"], parts["denominator"])
    else:
        read = _decimal(parts["digits"].strip(), parts["power"])
    if isinstance(read, Refusal):
        return read
    value, doubt = read
    magnitude = format(value, "f")
    whole, _, places = magnitude.partition(".")
    significant = (whole + places).lstrip("0") if places else whole.strip("0")
    if len(significant) > MOST_DIGITS or max(len(whole), len(places)) > MOST_POWER:
        return _HUGE
    if parts["sign"] == "-" and value != 0:
        magnitude = f"-{magnitude}"
    return magnitude, _note(doubt, magnitude, decimal_mark)


def _decimal(digits: str, power: str | None) -> tuple[Decimal, str | None] | Refusal:
    match = _PLAIN.fullmatch(digits) or _GROUPED.fullmatch(digits)
    if match is None:
        return _not_one_number(digits)
    whole = re.sub("[^0-9]", "", match["whole"]) or "0"
    if power is not None and abs(int(power)) > MOST_POWER:
        return _HUGE
    value = Decimal(f"{whole}.{match['places'] or ''}E{power or 0}")
    thousands = power is None and _COULD_BE_THOUSANDS.fullmatch(digits)
    return value, "thousands" if thousands else None


def _not_one_number(digits: str) -> Refusal:
    if " " in digits:
        return _TWO_NUMBERS
    if digits[-1] in ".,":
        return Refusal("places", "No digits follow the decimal mark.")
    return Refusal(
        "grouping", "The digits are not grouped in threes: type the number without separators."
    )


def _fraction(digits: str, denominator: str) -> tuple[Decimal, str | None] | Refusal:
    match = _FRACTION.fullmatch(digits)
    if match is None or len(denominator) > 6 or int(denominator) == 0:
        return _WRONG_FRACTION
    whole, numerator, parts = int(match["whole"] or 0), int(match["numerator"]), int(denominator)
    if match["whole"] and numerator >= parts:
        return _WRONG_FRACTION
    dividend, divisor = Decimal(whole * parts + numerator), Decimal(parts)
    context = Context(prec=MOST_DIGITS)
    value = context.divide(dividend, divisor)
    if not context.flags[Inexact]:
        return value, None
    return Context(prec=ROUNDED_DIGITS).divide(dividend, divisor), "rounded"


def _note(doubt: str | None, magnitude: str, decimal_mark: str) -> Note | None:
    shown = magnitude.replace(".", decimal_mark)
    if doubt == "thousands":
        grouped = magnitude.replace(".", "")
        return Note(doubt, f"read as {shown}; write {grouped} if thousands are meant")
    if doubt == "rounded":
        return Note(doubt, f"read as {shown}, rounded to {ROUNDED_DIGITS} digits")
    return None


@cache
def _units_of() -> Mapping[str, tuple[str, ...]]:
    """Return the units that each spelling may mean, in the order of the table above."""
    found: dict[str, tuple[str, ...]] = {}
    for unit, usual in _SPELLINGS.items():
        for spelling in dict.fromkeys((unit, *usual.split())):
            found[spelling] = (*found.get(spelling, ()), unit)
    return found


def _unit(typed: str, units: tuple[str, ...]) -> str | Refusal:
    spelling = re.sub(r"\^(?=-?[0-9])|(?<=[A-Za-z])\.", "", typed.translate(_UNIT_CHARACTERS))
    for unit in _units_of().get(spelling, ()):
        if unit in units:
            return unit
    if spelling.casefold() in _GAUGE and "bar" in units:
        return Refusal(
            "gauge",
            "It is not known whether this is gauge or absolute: type the number with psi or "
            "bar only.",
        )
    if re.match(r"(?:[^A-Za-z%°]|x )*[0-9]", typed):
        return _TWO_NUMBERS
    # Line breaks stay out of the one sentence.
    quoted = cut(" ".join(typed.split()))
    return Refusal(
        "unit", f'"{quoted}" is not a unit of this field; it takes {units_in_words(units)}.'
    )
