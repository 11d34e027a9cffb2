"""Lines of an extract read from sentences: never sure, each with its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from evenbarrel.intake.accepting.taking import value_at
from evenbarrel.intake.extract import Finding, Line
from evenbarrel.intake.keys import DatumKey
from evenbarrel.intake.sentences.offer import offer_in
from evenbarrel.intake.sentences.scope import LONGEST, InScope, said_in, sentences_in
from evenbarrel.intake.sources import Source, context_of
from evenbarrel.intake.tables.values import read_value
from evenbarrel.model.datum_path import BidPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import OWN_AMOUNT, ScopeLine
from evenbarrel.model.quantity import Money

_NOT_UNDERSTOOD = frozenset({"label_unknown", "remark", "no_value"})
_IN_A_SENTENCE = (Finding("in_a_sentence"),)


def with_sentences(
    evaluation: Evaluation, bid: BidPath, source: Source, thousands: str, lines: Sequence[Line]
) -> list[Line]:
    """Return the lines, in place of what was not understood before what its sentences say.

    What else stands in the same cell stays a line that is not read; what stands in one row, and
    what goes on in the next, is one text. Nothing that a sentence says is sure.
    """
    reader = _Reader(evaluation, bid, source, thousands)
    return [one for texts in _texts_in(lines) for one in reader.read(texts)]


def _texts_in(lines: Sequence[Line]) -> Iterator[list[Line]]:
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
    own = line.field in OWN_AMOUNT and line.value is None
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
        self, evaluation: Evaluation, bid: BidPath, source: Source, thousands: str
    ) -> None:
        self._evaluation, self._bid, self._source = evaluation, bid, source
        known = next((one for one in evaluation.bids if one.id == bid.bid), None)
        self._context, self._thousands = context_of(evaluation, known), thousands
        own = () if known is None else tuple(line.item for line in known.scope)
        self._items = tuple(dict.fromkeys((*OWN_AMOUNT, *evaluation.scope_items, *own)))

    def read(self, lines: Sequence[Line]) -> Sequence[Line]:
        """Return the lines of one text, or what they say of the scope and what is left of them."""
        first = lines[0]
        if not _is_unread(first):
            return lines
        label = f"{first.label}: " if first.field else ""
        text = label + first.text
        for at, line in enumerate(lines[1:], 1):
            beside = line.place.row == first.place.row
            text += (": " if at == 1 else ", ") if beside else " "
            text += line.text
        told, rest = list(self._of_offer(text, first)), []
        if told and not any(said_in(part, self._items) for part in sentences_in(text)):
            return told
        for sentence in sentences_in(text):
            found = said_in(sentence, self._items)
            told += [one for said in found for one in self._lines(said, first)]
            rest += [] if found else [sentence]
        if not told:
            return lines
        left = Line(first.place, "", ". ".join(rest), findings=(Finding("label_unknown"),))
        return [*told, left] if rest else told

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
        price = self._money(said, found) if said.amount else None
        own = said.item in OWN_AMOUNT
        value = ScopeLine(item=said.item, state=said.state, amount=None if own else price)  # type: ignore[arg-type]
        line = Line(found.place, "", said.sentence, self._bid, findings=_IN_A_SENTENCE)
        stands = value_at(self._evaluation, self._bid, "scope", said.item)
        yield replace(line, field="scope", part=said.item, value=value, now=stands)
        if own and price is not None:
            stands = value_at(self._evaluation, self._bid, said.item)
            yield replace(line, text=said.amount, field=said.item, value=price, now=stands)

    def _money(self, said: InScope, found: Line) -> Money | None:
        shape = DatumKey("bid", "price").shape
        reading = read_value(shape, said.amount, "", self._context, self._thousands)
        value = self._source.sourced(reading.value, found.place)
        return value if isinstance(value, Money) else None
