"""The text of one cell, read as the value of a datum, with everything that makes it less sure."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from typing import Any

from evenbarrel.entry.amount import CURRENCY_SIGNS, NO_CURRENCY, without_cents
from evenbarrel.entry.number import (
    DIAMETER_MARKS,
    Entry,
    Refusal,
    is_either_ton,
    read_number,
    read_unit,
)
from evenbarrel.entry.printed import (
    in_thousands,
    likelier,
    may_be_thousands,
    plain_ratio,
    read_day,
)
from evenbarrel.entry.shapes import Context, Shape, read
from evenbarrel.intake.extract import Finding
from evenbarrel.intake.tables.synonyms import synonyms
from evenbarrel.model.datum import Datum
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.units import KINDS, kind_has, to_si
from evenbarrel.wording.sentences import pages

ALL_UNITS = tuple(dict.fromkeys(unit for kind in KINDS.values() for unit in kind.units))
LONGEST, LONGEST_NUMBER = 2_000, 200
"""Characters of a cell that are read: of a text, and of anything that holds a number."""


@dataclass(frozen=True, slots=True)
class CellReading:
    """What a cell's text means: a value or None, and what was noticed."""

    value: Any = None
    findings: tuple[Finding, ...] = ()

    def also(self, *findings: Finding) -> CellReading:
        """Return the reading with more noticed."""
        return replace(self, findings=(*self.findings, *findings))


# A mark that leads to a note below the table: raised digits, a star, or `1)`.
_FOOTNOTE = re.compile(
    r"(?:(?<=[0-9])\s*[⁰¹²³⁴-⁹]+[)⁾]?|(?<=\w)[⁰¹⁴-⁹]+[)⁾]?|\s*\*+\)?|\s*[†‡]|\s\(?[0-9][)⁾])$"
)
_IN_BRACKETS = re.compile(r"^(?P<first>[^()\[\]]+)[(\[](?P<second>[^()\[\]]+)[)\]]$")
_TWO_STATED = re.compile(
    r"^ ?(?P<low>[0-9][0-9.,']*) ?/ ?(?P<high>[0-9][0-9.,']*)(?![0-9/]) ?[^0-9/]*[0-9]?$"
)
_WORDS_BEHIND = re.compile(
    r"^(?P<number>[0-9](?:[0-9.,' ]*[0-9])? ?[^\W\d_][^\s(,;]*)"
    r"(?P<rest>[\s(,;]\s*(?=.*[^\W\d_]).+)$"
)
_WORDS_OF_PRICE = re.compile(r"^(?P<number>[0-9](?:[0-9.,' ]*[0-9])?)(?P<rest>[ ,;(]+[^0-9]+)$")
_UNITS_IN = re.compile(r"(?<=[0-9] )[^\s(),;]+|(?<=[0-9])[^\W\d_][^\s(),;]*")
"""What stands behind the numbers of a text, as their units do."""
_TWO_UNITS = re.compile(r"^(?P<first>[^()\[\]]+?) ?[(\[](?P<second>[^()\[\]]+)[)\]]$")
_BRACES = str.maketrans("{}", "()")
"""Japanese offers put the older unit in braces: `274 {2,795}` MPa {kgf/cm2}."""
_OF_A_RATIO = frozenset({"l/d", "d", ":1", "x d", "ratio"})
"""What stands where others have a unit, beside a number that has none."""
_TOLERANCE = re.compile(r"^(?P<number>[^±]*[0-9][^±]*)(?:±|\+ ?/ ?-)\s*(?P<spread>[0-9].*)$")
_FROM_ZERO = re.compile(
    r"^0 ?(?:-|–|—|…|\.{2,3}|~|÷|to|bis|à|a) ?(?=[0-9])(?!.*[0-9] ?[-–] ?[0-9])"
)
_OF_A_RANGE = frozenset({"screw_speed", "screw_speed_max", "max_back_pressure"})
"""What is printed from nothing to its highest."""
_THOUSANDS = re.compile(r"^[1-9][0-9]{0,2}[.,][0-9]{3}(?![0-9])")
_DECIMAL = {
    mark: re.compile(
        rf"(?<![0-9.,])(?:[0-9]{{1,3}}(?:\{other}[0-9]{{3}})+{re.escape(mark)}[0-9]+"
        rf"|0{re.escape(mark)}[0-9]+|[0-9]+{re.escape(mark)}(?:[0-9]{{1,2}}|[0-9]{{4,}})"
        rf"|[1-9][0-9]{{0,2}}(?:\{other}[0-9]{{3}}){{2,}})(?![0-9.,])"
    )
    for mark, other in ((",", "."), (".", ","))
}
"""Numbers that show which mark parts their decimals: 45,5 and 0,260, but not 1,234."""
_PRINTED_WITH_SIGN = frozenset({"position_scatter"})
"""What is itself half a width, and so printed behind ±."""
_CURRENCY_BEFORE = re.compile(r"^[A-Z]{3} ?(?=[0-9])")


def without_footnotes(text: str) -> str:
    """Return the text of a cell without the marks of footnotes at its end."""
    return _FOOTNOTE.sub("", text).strip()


def is_absent(text: str) -> bool:
    """Say whether a text says that nothing is stated: `n/a`, `on request`, a dash."""
    return synonyms().is_absent(text)


def mark_of_thousands(texts: Iterable[str]) -> str:
    """Return the mark for thousands that the other numbers leave, "" where they show none."""
    every = " ; ".join(texts)
    comma, point = (_DECIMAL[mark].search(every) is not None for mark in ",.")
    return "" if comma == point else ("." if comma else ",")


@lru_cache(maxsize=16384)
def begins_a_value(text: str) -> bool:
    """Say whether a text looks like a number or like a word for none."""
    bare = synonyms().without_approximation(_CURRENCY_BEFORE.sub("", text))[0]
    bare = bare.lstrip(f"+-±≤≥<>~{DIAMETER_MARKS}")
    return is_absent(text) or (bool(bare) and (bare[0].isdigit() or bare[0] in "½⅓⅔¼¾.,€$"))


def read_value(
    shape: Shape, text: str, unit: str, context: Context, thousands: str = ""
) -> CellReading:
    """Return what a cell means for a datum of that shape.

    `unit` is the unit's text printed beside or above the cell, "" where none is. `thousands` is
    the mark that the other cells of the table show to be the one for thousands, "" where none do.
    Never raises, whatever the text.
    """
    text = " ".join(text[:LONGEST].encode("utf-8", "replace").decode("utf-8").split())
    text, unit = text.translate(_BRACES), unit.translate(_BRACES)
    if is_absent(text):
        return CellReading(None, (Finding("not_stated", text),))
    if shape.kind != "text" and len(text) > LONGEST_NUMBER:
        return CellReading(None, (Finding("not_read", pages.NUMBER_WANTED),))
    if shape.kind == "quantity":
        return _quantity(shape, text, unit, thousands)
    if shape.kind == "money":
        return _money(text, unit, context, thousands)
    reader = _READERS.get(shape.kind)
    if reader is not None:
        return reader(shape, text, unit, context)
    parsed = read(shape, text, context)
    if parsed.problem or parsed.value in (None, ""):
        return CellReading(None, (Finding("not_read", parsed.problem),))
    return CellReading(parsed.value)


def _quantity(shape: Shape, text: str, unit: str, thousands: str) -> CellReading:
    datum = shape.datum
    bare, findings = _plain_number(shape, text)
    tolerance = _TOLERANCE.match(bare)
    if tolerance is not None:
        return _with_spread(datum, tolerance, unit, thousands).also(*findings)
    if _is_two_stated(bare):
        return CellReading(None, (*findings, Finding("range", text)))
    beside = _IN_BRACKETS.match(bare)
    if beside is not None and begins_a_value(beside["second"]):
        return _stated_twice(datum, beside, unit, thousands).also(*findings)
    return _number_before_words(datum, bare, unit, thousands).also(*findings)


def _number_before_words(datum: Datum, text: str, unit: str, thousands: str) -> CellReading:
    """Read a number with its unit before words about it, as `326 g in PS`: the words are told."""
    whole = _one_number(datum, text, unit, thousands)
    found = _WORDS_BEHIND.match(text)
    if found is None or all(one.code != "not_read" for one in whole.findings):
        return whole
    rest = found["rest"].strip(" ,;")
    reading = _one_number(datum, found["number"], unit, thousands)
    if reading.value is None:
        return whole
    if any(is_of_datum(datum, word) for word in _UNITS_IN.findall(rest)):
        return CellReading(None, (Finding("range", text),))
    return reading.also(Finding("more_beside", rest))


def speaks_for_itself(name: str, reading: CellReading) -> bool:
    """Say whether a number has its unit and is in the usual range of what it is taken for.

    A rate by mass may be that of either end of the screw.
    """
    codes = {one.code for one in reading.findings}
    if reading.value is None or codes & {"unit_missing", "unusual"}:
        return False
    return name != "injection_rate" or kind_has("volume_rate", reading.value.unit)


def is_of_datum(datum: Datum, text: str) -> bool:
    """Say whether a text is a unit that a datum is measured in, or two as `bar (psi)`."""
    return read_unit(_units_of_two(text)[0], datum.units) is not None


def _plain_number(shape: Shape, text: str) -> tuple[str, list[Finding]]:
    """Return a number's text without what is said about it, and what was."""
    findings = []
    bare = without_footnotes(text)
    if bare != text:
        findings.append(Finding("footnote", text))
    stripped, about = synonyms().without_approximation(bare)
    if about:
        findings.append(Finding(about, bare))
    from_zero = _FROM_ZERO.match(stripped) if shape.name in _OF_A_RANGE else None
    if from_zero is not None:
        findings.append(Finding("from_zero", stripped))
        stripped = stripped[from_zero.end() :]
    if stripped[:1] == "±":
        stripped = stripped[1:].strip()
        if shape.name not in _PRINTED_WITH_SIGN:
            findings.append(Finding("tolerance", bare))
    if shape.datum.units == ("1",):
        stripped = plain_ratio(stripped)
    return stripped, findings


def _is_two_stated(text: str) -> bool:
    """Say whether two numbers are set side by side with a stroke: 240/260, and not 5/8."""
    found = _TWO_STATED.match(text)
    if found is None:
        return False
    low, high = found["low"], found["high"]
    halves = high.isdigit() and int(high) in (2, 3, 4, 5, 8, 16, 32, 64)
    return not (halves and low.isdigit() and int(low) < int(high))


def _one_number(datum: Datum, text: str, unit: str, thousands: str) -> CellReading:
    entry = read_number(text, datum.units, "")
    if entry is None:
        return CellReading(None, (Finding("not_read"),))
    if isinstance(entry, Refusal):
        code = entry.code if entry.code in ("range", "gauge") else "not_read"
        return CellReading(None, (Finding(code, entry.text),))
    chosen = _unit_of(datum, entry, unit)
    if isinstance(chosen, Finding):
        return CellReading(None, (chosen,))
    used, findings = chosen
    entry = Entry(entry.magnitude, used, entry.note)
    if may_be_thousands(entry):
        entry = _with_thousands(datum, entry, text, thousands)
        findings.append(_said_of_mark(entry.magnitude, text.lstrip(DIAMETER_MARKS), thousands))
    elif entry.note is not None:
        findings.append(Finding(entry.note.code, entry.note.text))
    problem = datum.problem(entry.magnitude, used)
    if problem is not None:
        return CellReading(None, (*findings, Finding("impossible", problem)))
    unusual = pages.unusual(datum, entry.magnitude, used)
    if unusual:
        findings.append(Finding("unusual", unusual))
    return CellReading(Quantity(magnitude=entry.magnitude, unit=used), tuple(findings))


def _unit_of(datum: Datum, entry: Entry, beside: str) -> tuple[str, list[Finding]] | Finding:
    """Return the unit of a number and what is to be said of it, or why it has none."""
    if entry.unit:
        other = read_unit(_units_of_two(beside)[0], datum.units) if beside else entry.unit
        return entry.unit, [] if other == entry.unit else [Finding("two_units", beside)]
    is_ratio = datum.kinds == ("ratio",)
    if beside and not (is_ratio and beside.casefold() in _OF_A_RATIO):
        named = read_unit(_units_of_two(beside)[0], datum.units)
        if named is None:
            return Finding("unit_unknown", beside)
        return named, [Finding("tons", beside)] if is_either_ton(beside) else []
    if is_ratio:
        return "1", []
    meant = datum.unit or datum.units[0]
    return meant, [Finding("unit_missing", meant)]


def _with_thousands(datum: Datum, entry: Entry, text: str, thousands: str) -> Entry:
    """Return the likelier of 1.234 and 1234: as the table writes, else as is usual."""
    mark = _THOUSANDS.match(text.lstrip(DIAMETER_MARKS))
    if thousands and mark is not None:
        return in_thousands(entry) if thousands in mark[0] else entry
    return likelier(datum, entry)


def _said_of_mark(magnitude: str, text: str, thousands: str) -> Finding:
    """Return the remark on a mark that may separate thousands: other numbers settle it, or none."""
    settled = bool(thousands) and _THOUSANDS.match(text) is not None
    return Finding("mark_settled" if settled else "thousands", magnitude)


def _with_spread(datum: Datum, parts: re.Match[str], unit: str, thousands: str) -> CellReading:
    reading = _one_number(datum, parts["number"].strip(), unit, thousands)
    spread = read_number(parts["spread"], (*datum.units, "%"), "")
    if not isinstance(reading.value, Quantity):
        # 245 ± 5 mm prints its unit once, behind both.
        behind = spread.unit if isinstance(spread, Entry) else ""
        return reading.also(Finding("tolerance", behind))
    quantity = reading.value
    if isinstance(spread, Entry) and spread.unit in datum.units and not unit:
        reading = _one_number(datum, parts["number"].strip(), spread.unit, thousands)
        quantity = reading.value or quantity
    if isinstance(spread, Entry):
        half = Decimal(spread.magnitude)
        whole = Decimal(100) if spread.unit == "%" else abs(Decimal(quantity.magnitude))
        if whole and half / whole <= 1:
            quantity = quantity.replace(half_width=float(half / whole))
    return replace(reading, value=quantity).also(Finding("tolerance", parts["spread"]))


def _stated_twice(datum: Datum, parts: re.Match[str], unit: str, thousands: str) -> CellReading:
    """Read `2000 bar (29008 psi)`: the first, if the second is the same.

    The units of both may stand beside them, as `bar (psi)`.
    """
    unit, other_unit = _units_of_two(unit)
    first = _one_number(datum, parts["first"].strip(), unit, thousands)
    second = _one_number(datum, parts["second"].strip(), other_unit, thousands)
    one, other = first.value, second.value
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        values = [to_si(float(q.magnitude), q.unit, datum.kind_of(q.unit)) for q in (one, other)]
        if abs(values[0] - values[1]) <= 0.02 * abs(values[0]):
            also = Finding("also_stated", parts["second"].strip())
            # Which tons they are the second number settles.
            kept = tuple(one for one in first.findings if one.code != "tons")
            return CellReading(first.value, (*kept, also))
    return first.also(Finding("two_numbers", parts["second"].strip()))


def _units_of_two(text: str) -> tuple[str, str]:
    """Return the two units of `bar (psi)`; of any other text all of it, and "" for the second."""
    found = _TWO_UNITS.match(text)
    return (text, "") if found is None else (found["first"], found["second"])


def _money(text: str, unit: str, context: Context, thousands: str) -> CellReading:
    bare = without_footnotes(text)
    findings = [Finding("footnote", text)] if bare != text else []
    bare, about = synonyms().without_approximation(bare)
    findings += [Finding(about, text)] if about else []
    bare = without_cents(bare)
    found = re.findall(r"[€£$]|(?<![A-Za-z])[A-Z]{3}(?![A-Za-z])", bare)
    named = [name for name in found if name not in NO_CURRENCY]
    for name in named:
        bare = bare.replace(name, " ")
    currency = CURRENCY_SIGNS.get(named[0], named[0]) if named else unit.upper()
    currency = CURRENCY_SIGNS.get(currency, currency)
    if "$" in (*named, unit):
        findings.append(Finding("currency_sign", "$"))
    entry = read_number(bare, ("1",), "1")
    words = _WORDS_OF_PRICE.match(bare.strip())
    if isinstance(entry, Refusal) and words is not None:
        entry = read_number(words["number"], ("1",), "1")
        findings.append(Finding("more_beside", words["rest"].strip(" ,;")))
    if not isinstance(entry, Entry):
        detail = "" if entry is None else entry.text
        return CellReading(None, (*findings, Finding("not_read", detail)))
    if may_be_thousands(entry):
        # No amount of money has three places behind its mark.
        entry = in_thousands(entry)
        as_printed = thousands if thousands and thousands in bare else ""
        findings.append(_said_of_mark(entry.magnitude, bare.strip(), as_printed))
    if len(currency) != 3 or not (currency.isascii() and currency.isalpha()):
        currency = context.currency
        findings.append(Finding("currency_missing", currency))
    return CellReading(Money(amount=entry.magnitude, currency=currency), tuple(findings))


def _choice(shape: Shape, text: str, unit: str, context: Context) -> CellReading:
    code = synonyms().choice(shape.name, shape.choices, text)
    if code is None:
        return CellReading(None, (Finding("not_read", pages.CHOICE_WANTED),))
    return CellReading(code)


def _resin(shape: Shape, text: str, unit: str, context: Context) -> CellReading:
    found = synonyms().resins_of(text, context.resins)
    shipped = set() if found else synonyms().resins_of(text, context.table)
    if len(found | shipped) != 1:
        return CellReading(None, (Finding("unknown_resin", text),))
    (resin,) = found | shipped
    noticed = (Finding("table_resin", context.table[resin]),) if shipped else ()
    return CellReading(resin, noticed)


def _date(shape: Shape, text: str, unit: str, context: Context) -> CellReading:
    day = read_day(text)
    if day is None:
        return CellReading(None, (Finding("not_read", pages.DATE_WANTED),))
    findings = (Finding("day_or_month", day.value.isoformat()),) if day.either else ()
    return CellReading(day.value, findings)


def _whole(shape: Shape, text: str, unit: str, context: Context) -> CellReading:
    parsed = read(shape, text, context)
    if parsed.problem or parsed.value is None:
        return CellReading(None, (Finding("not_read", parsed.problem),))
    return CellReading(parsed.value)


_READERS: Mapping[str, Callable[[Shape, str, str, Context], CellReading]] = {
    "choice": _choice,
    "resin": _resin,
    "date": _date,
    "integer": _whole,
}
