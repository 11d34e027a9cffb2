"""What identifies and prices an offer: which of it is neither there nor taken, and is typed."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from typing import Any

from evenbarrel.entry.shapes import Shape, shapes_of
from evenbarrel.intake.accepting.correcting import CORRECTED, with_value
from evenbarrel.intake.accepting.taking import value_at
from evenbarrel.intake.extract import Extract, FoundAt, Line
from evenbarrel.intake.in_words import owner_of
from evenbarrel.intake.keys import MODELS
from evenbarrel.model.datum_path import BarrelPath, BidPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.quantity import Money
from evenbarrel.wording.sentences.asking.carried import BEFORE
from evenbarrel.wording.sentences.asking.collecting import TYPED

_DOUBTED = frozenset({"currency_missing", "currency_sign"})
"""Findings of an amount that leave open which currency it is in."""


@dataclass(frozen=True, slots=True)
class Particular:
    """A datum of an offer that it should not be without, and where it goes."""

    thing: BidPath | UnitPath
    field: str

    @property
    def shape(self) -> Shape:
        """What can stand there."""
        return shapes_of(MODELS["bid" if isinstance(self.thing, BidPath) else "unit"])[self.field]


def particulars(evaluation: Evaluation, extract: Extract) -> tuple[Particular, ...]:
    """Return supplier, offer number and price as an offer should have them.

    The price is the machine's where the offer has one unit, else its total. Of an extract that
    brings nothing of an offer there are none.
    """
    if not any(owner_of(line.thing) and line.place.sheet != BEFORE for line in extract.lines):
        return ()
    units = _units(evaluation, extract)
    priced = units[0] if len(units) == 1 else extract.bid
    named = (Particular(extract.bid, field) for field in ("supplier", "reference"))
    return (*named, Particular(priced, "price"))


def lacking(
    evaluation: Evaluation, extract: Extract, ticked: Collection[int]
) -> tuple[Particular, ...]:
    """Return the particulars that would not be there once the ticked lines are taken."""
    taken = [extract.lines[place] for place in ticked]
    things: tuple[BidPath | UnitPath, ...] = (extract.bid, *_units(evaluation, extract))
    is_priced = any(value_at(evaluation, thing, "price") is not None for thing in things)
    is_priced = is_priced or any(line.field == "price" for line in taken)
    given = {(line.thing, line.field) for line in taken}

    def is_there(one: Particular) -> bool:
        if one.field == "price":
            return is_priced
        stands = value_at(evaluation, one.thing, one.field)
        return bool(stands) or (one.thing, one.field) in given

    return tuple(one for one in particulars(evaluation, extract) if not is_there(one))


def read_of(extract: Extract, one: Particular) -> Any:
    """Return what was read for a particular, sure or not; None where nothing was."""
    lines = (line for line in extract.lines if (line.thing, line.field) == (one.thing, one.field))
    return next((line.value for line in lines if line.value is not None), None)


def with_typed(
    evaluation: Evaluation, extract: Extract, one: Particular, value: Any
) -> tuple[Extract, int]:
    """Return the extract in which a person said a particular, and the place of its line."""
    for index, line in enumerate(extract.lines):
        if (line.thing, line.field) == (one.thing, one.field) and line.value is not None:
            return with_value(evaluation, extract, index, value), index
    line = Line(
        FoundAt(len(extract.lines) + 1, 0, TYPED),
        one.shape.datum.label,
        "",
        one.thing,
        one.field,
        value=value,
        findings=(CORRECTED,),
    )
    return replace(extract, lines=(*extract.lines, line)), len(extract.lines)


def with_currency(evaluation: Evaluation, extract: Extract) -> Extract:
    """Return the extract with the offer's currency, where all its amounts are printed in one.

    What is typed later is meant in it too; none is told where the offer states one already.
    """
    amounts = [line for line in extract.lines if _amount(line) is not None]
    named = {_amount(line).currency for line in amounts}
    doubted = any(one.code in _DOUBTED for line in amounts for one in line.findings)
    is_stated = any(line.field == "currency" for line in extract.lines)
    stands = value_at(evaluation, extract.bid, "currency")
    if len(named) != 1 or doubted or is_stated or stands:
        return extract
    label = shapes_of(Bid)["currency"].datum.label
    first = amounts[0]
    line = Line(
        first.place, label, first.text, extract.bid, "currency", value=named.pop(), now=stands
    )
    return replace(extract, lines=(*extract.lines, line))


def _amount(line: Line) -> Any:
    value = line.value.amount if isinstance(line.value, ScopeLine) else line.value
    return value if isinstance(value, Money) else None


def _units(evaluation: Evaluation, extract: Extract) -> tuple[UnitPath, ...]:
    """Return the units of the offer: those that stand and those that the lines would add."""
    return tuple(dict.fromkeys(_each_unit(evaluation, extract)))


def _each_unit(evaluation: Evaluation, extract: Extract) -> Iterator[UnitPath]:
    for bid in evaluation.bids:
        if bid.id == extract.bid.bid:
            yield from (UnitPath(bid.id, unit.id) for unit in bid.units)
    for line in extract.lines:
        if isinstance(line.thing, BarrelPath | UnitPath):
            yield UnitPath(line.thing.bid, line.thing.unit)
