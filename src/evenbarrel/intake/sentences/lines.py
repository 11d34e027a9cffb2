"""Lines of an extract read from sentences: never sure, each with its place."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from evenbarrel.entry.amount import CURRENCY_SIGNS, NO_CURRENCY
from evenbarrel.intake.accepting.taking import value_at
from evenbarrel.intake.extract import Finding, Line
from evenbarrel.intake.keys import DatumKey
from evenbarrel.intake.sentences.numbers import numbers_in
from evenbarrel.intake.sentences.offer import offer_in
from evenbarrel.intake.sentences.prices import Priced, priced_in
from evenbarrel.intake.sentences.scope import LONGEST, InScope, said_in, sentences_in
from evenbarrel.intake.sources import Source, context_of
from evenbarrel.intake.tables.values import CellReading, read_value
from evenbarrel.model.datum_path import BarrelPath, BidPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import InjectionUnit
from evenbarrel.model.offers.terms import OWN_AMOUNT, ScopeLine
from evenbarrel.model.quantity import Money

_CURRENCY = re.compile(
    r"[€£$]|(?<![A-Za-z])(?:EUR|USD|CHF|GBP|JPY|CNY|SEK|DKK|PLN|CZK|INR)(?![A-Za-z])"
)
_MARK = re.compile(r"[0-9]{1,3}[.)]?|[A-Z]")
"""What numbers the rows of a list."""
_NOT_UNDERSTOOD = frozenset({"label_unknown", "remark", "no_value"})
_PRICES = {"machine": "price", "second_barrel": "second_barrel_price"}
_IN_A_SENTENCE = (Finding("in_a_sentence"),)


def with_sentences(
    evaluation: Evaluation, bid: BidPath, source: Source, thousands: str, lines: Sequence[Line]
) -> list[Line]:
    """Return the lines, in place of what was not understood before what its sentences say.

    What else stands in the same cell stays a line that is not read; what stands in one row, and
    what goes on in the next, is one text. Nothing that a sentence says is sure.
    """
    reader = _Reader(evaluation, bid, source, thousands, lines)
    return [one for texts in _texts_in(_by_rows(lines)) for one in reader.read(texts)]


def _by_rows(lines: Sequence[Line]) -> Iterator[Line]:
    """Yield the lines, what is not understood of one row together, from the left."""
    rows: dict[object, list[Line]] = defaultdict(list)
    for number, line in enumerate(lines):
        at = line.place
        rows[(at.sheet, at.page, at.row) if _is_unread(line) else number].append(line)
    for row in rows.values():
        yield from sorted(row, key=_left)


def _left(line: Line) -> float:
    return line.place.column if line.place.box is None else line.place.box[0]


def _texts_in(lines: Iterable[Line]) -> Iterator[list[Line]]:
    """Yield the lines that make up one text, each line that is understood alone."""
    group: list[Line] = []
    for line in lines:
        if group and not (_is_unread(line) and _goes_on(group[-1], line)):
            yield group
            group = []
        group.append(line)
    if group:
        yield group


def _is_unread(line: Line) -> bool:
    codes = {one.code for one in line.findings}
    own = line.field in (*OWN_AMOUNT, *_PRICES.values()) and line.value is None
    return own or (line.thing is None and bool(codes & _NOT_UNDERSTOOD))


def _goes_on(before: Line, line: Line) -> bool:
    """Say whether a text that is not understood goes on: in its row, or as a sentence below it."""
    one, other = before.place, line.place
    if not _is_unread(before) or (one.sheet, one.page) != (other.sheet, other.page):
        return False
    if line.field and one.row != other.row:
        # What stands beside a label of its own goes on with nothing.
        return False
    rows = other.row - one.row
    return rows == 0 or (rows == 1 and before.text[-1:] not in ".:;!" and line.text[:1].islower())


class _Reader:
    def __init__(
        self,
        evaluation: Evaluation,
        bid: BidPath,
        source: Source,
        thousands: str,
        lines: Sequence[Line],
    ) -> None:
        self._evaluation, self._bid, self._source = evaluation, bid, source
        known = next((one for one in evaluation.bids if one.id == bid.bid), None)
        self._context, self._thousands = context_of(evaluation, known), thousands
        own = () if known is None else tuple(line.item for line in known.scope)
        self._items = tuple(dict.fromkeys((*OWN_AMOUNT, *evaluation.scope_items, *own)))
        self._unit = _only_unit(bid, () if known is None else known.units, lines)
        self._screw = _only_screw(self._unit, () if known is None else known.units, lines)
        self._currency = _only_currency(lines)

    def read(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Return the lines of one text, or what they say of the scope and what is left of them."""
        first = lines[0]
        if not _is_unread(first):
            return lines
        text = _with_its_label(first)
        is_row = any(line.place.row == first.place.row for line in lines[1:])
        is_numbered = _MARK.fullmatch(text) is not None
        for at, line in enumerate(lines[1:], 1):
            beside = line.place.row == first.place.row and not (is_numbered and at == 1)
            text += (": " if at == 1 + is_numbered else ", ") if beside else " "
            text += _with_its_label(line)
        read, rest = list(self._of_offer(text, first)), []
        if read and not any(self._says_more(part) for part in sentences_in(text)):
            return read
        for sentence in sentences_in(text):
            found = said_in(sentence, self._items)
            priced = tuple(self._priced(sentence, found))
            known = [one for said in found for one in self._lines(said, first)]
            known += [one for price in priced for one in self._price(price, sentence, first)]
            # A row of a table that was not understood is of something else.
            known += () if is_row else self._numbers(sentence, first)
            read += known
            rest += [] if known else [sentence]
        if not read:
            return lines
        left = Line(first.place, "", ". ".join(rest), findings=(Finding("label_unknown"),))
        return [*read, left] if rest else read

    def _priced(self, sentence: str, found: Sequence[InScope]) -> Iterator[Priced]:
        """Yield what a sentence prices besides what it says of the scope."""
        if not any(said.amount for said in found):
            every = priced_in(sentence, self._items)
            yield from (one for one in every if not found or one.what in _PRICES)

    def _says_more(self, sentence: str) -> bool:
        says = (said_in(sentence, self._items), priced_in(sentence, self._items))
        return any(map(any, says)) or any(numbers_in(sentence))

    def _numbers(self, sentence: str, found: Line) -> Iterator[Line]:
        """Yield the numbers of the one machine, or of its one screw, that a sentence states."""
        for key, text in numbers_in(sentence):
            thing = self._unit if key.owner == "unit" else self._screw
            reading = read_value(key.shape, text, "", self._context, self._thousands)
            has_unit = all(one.code != "unit_missing" for one in reading.findings)
            if thing is not None and reading.value is not None and has_unit:
                value = self._source.sourced(reading.value, found.place)
                findings = (*_IN_A_SENTENCE, *reading.findings)
                line = Line(found.place, "", sentence, thing, key.field, findings=findings)
                yield replace(line, value=value, now=value_at(self._evaluation, thing, key.field))

    def _price(self, priced: Priced, sentence: str, found: Line) -> Iterator[Line]:
        """Yield the line of a price, none where nobody knows of which of several machines it is."""
        if priced.what == "item":
            said = InScope(priced.item, "extra", priced.amount, sentence)
            yield from self._lines(said, found)
            return
        thing, field = self._unit, _PRICES[priced.what]
        reading = self._reading(priced.amount)
        if thing is not None and reading.value is not None:
            value = self._source.sourced(reading.value, found.place)
            findings = (*_IN_A_SENTENCE, *reading.findings)
            line = Line(found.place, "", sentence, thing, field, findings=findings)
            yield replace(line, value=value, now=value_at(self._evaluation, thing, field))

    def _of_offer(self, text: str, found: Line) -> Iterator[Line]:
        """Yield the number of the offer and the dates that a text names."""
        for field, part in offer_in(text):
            reading = read_value(DatumKey("bid", field).shape, part, "", self._context)
            if reading.value is not None:
                stands = value_at(self._evaluation, self._bid, field)
                findings = (*_IN_A_SENTENCE, *reading.findings)
                line = Line(found.place, "", part, self._bid, field, findings=findings)
                yield replace(line, text=text[:LONGEST], value=reading.value, now=stands)

    def _lines(self, said: InScope, found: Line) -> Iterator[Line]:
        """Yield the line of an item, and that of its amount where the bid has a field for it."""
        price = self._read(said.amount, found) if said.amount else None
        own = said.item in OWN_AMOUNT
        value = ScopeLine(item=said.item, state=said.state, amount=None if own else price)  # type: ignore[arg-type]
        line = Line(found.place, "", said.sentence, self._bid, findings=_IN_A_SENTENCE)
        stands = value_at(self._evaluation, self._bid, "scope", said.item)
        yield replace(line, field="scope", part=said.item, value=value, now=stands)
        if own and price is not None:
            stands = value_at(self._evaluation, self._bid, said.item)
            yield replace(line, text=said.amount, field=said.item, value=price, now=stands)

    def _read(self, amount: str, found: Line) -> Money | None:
        value = self._source.sourced(self._reading(amount).value, found.place)
        return value if isinstance(value, Money) else None

    def _reading(self, amount: str) -> CellReading:
        shape = DatumKey("bid", "price").shape
        return read_value(shape, amount, self._currency, self._context, self._thousands)


def _with_its_label(line: Line) -> str:
    return f"{line.label.rstrip(' :')}: {line.text}" if line.field else line.text


def _only_unit(
    bid: BidPath, stands: Sequence[InjectionUnit], lines: Sequence[Line]
) -> UnitPath | None:
    """Return the one machine that an offer is of; None where it is of several, or of none yet."""
    things = (line.thing for line in lines if line.value is not None)
    found = {
        UnitPath(one.bid, one.unit) for one in things if isinstance(one, BarrelPath | UnitPath)
    }
    found |= {UnitPath(bid.bid, unit.id) for unit in stands}
    return found.pop() if len(found) == 1 else None


def _only_screw(
    unit: UnitPath | None, stands: Sequence[InjectionUnit], lines: Sequence[Line]
) -> BarrelPath | None:
    """Return the one screw of the one machine; None where there are several, or none yet."""
    things = (line.thing for line in lines if line.value is not None)
    found = {one for one in things if isinstance(one, BarrelPath)}
    if unit is not None:
        own = (one for own in stands for one in own.barrels)
        found |= {BarrelPath(unit.bid, unit.unit, one.id) for one in own}
    return found.pop() if len(found) == 1 else None


def _only_currency(lines: Sequence[Line]) -> str:
    """Return the one currency that an offer names, by its code or its sign; "" for several."""
    texts = (f"{line.label} {line.text} {line.beside}" for line in lines)
    signs = (mark for text in texts for mark in _CURRENCY.findall(text))
    named = {CURRENCY_SIGNS.get(mark, mark) for mark in signs if mark not in NO_CURRENCY}
    return named.pop() if len(named) == 1 else ""
