"""A proposal: what was found, as what it was read, how sure and why, and what stands there now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from evenbarrel.model import datum_path as edits
from evenbarrel.model.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.datum_path import BarrelPath, BidPath, ThingPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.model.terms import Document, ScopeLine

Outcome = Literal["fills", "same", "differs", "settled", "not_read"]
"""What taking a line would do: fill an empty datum, nothing, change one, change one that was
confirmed or measured; or it cannot be taken."""

HARMLESS = frozenset({"formula", "text_number", "also_stated", "resin_in_label", "two_units"})
"""Findings that are said and leave a line as sure as it was."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something noticed while reading: its code, and the words or number it is about."""

    code: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a text was found: row and column count from 1; `sheet` is empty for pasted text.

    Of what was read off a page also the `page`, from 1, and the `box` round the text [pt], left,
    bottom, right and top from the page's lower left corner.
    """

    row: int
    column: int
    sheet: str = ""
    page: int | None = None
    box: tuple[float, float, float, float] | None = None

    def __str__(self) -> str:
        """Return the place as people say it: `Data!E7`, `p. 3`, else `row 7, column 5`."""
        if self.page is not None:
            return f"p. {self.page}"
        if not self.sheet:
            return f"row {self.row}, column {self.column}"
        letters, column = "", self.column
        while column:
            column, rest = divmod(column - 1, 26)
            letters = chr(ord("A") + rest) + letters
        return f"{self.sheet}!{letters}{self.row}"


@dataclass(frozen=True, slots=True)
class Line:
    """One text that was found, the datum it is taken to be, and the value read from it.

    `thing` and `field` say where it would go, None and "" where nobody knows; a line of the scope
    has its item in `part`. `value` is None where nothing can be taken; `now` is what stands there.
    """

    place: Place
    label: str
    text: str
    thing: ThingPath | None = None
    field: str = ""
    part: str = ""
    value: Any = None
    findings: tuple[Finding, ...] = ()
    now: Any = None

    @property
    def sure(self) -> bool:
        """Whether there is a value and nothing speaks against it."""
        return self.value is not None and all(one.code in HARMLESS for one in self.findings)

    @property
    def outcome(self) -> Outcome:
        """What taking the line would do."""
        if self.value is None or self.thing is None:
            return "not_read"
        if self.now is None or self.now in ("", ()):
            return "fills"
        if same_value(self.value, self.now):
            return "same"
        confirmed = getattr(self.now, "standing", "") in ("confirmed", "measured")
        return "settled" if confirmed else "differs"


@dataclass(frozen=True, slots=True)
class Proposal:
    """Every line that was found, in order; `document` is the file they stand in, if any.

    `bid` is the bid they are for; it may be new, and so may its units and barrels: their paths name
    ids that nothing in the evaluation has.
    """

    bid: BidPath
    lines: tuple[Line, ...]
    document: Document | None = None

    def sure_lines(self) -> tuple[int, ...]:
        """Return the places in `lines` of what may be taken unseen: sure, and filling a gap."""
        return tuple(
            index for index, line in enumerate(self.lines) if line.sure and line.outcome == "fills"
        )


def same_value(one: Any, other: Any) -> bool:
    """Say whether two values of a datum are the same number, however each is sourced."""
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return one.unit == other.unit and Decimal(one.magnitude) == Decimal(other.magnitude)
    if isinstance(one, Money) and isinstance(other, Money):
        return one.currency == other.currency and Decimal(one.amount) == Decimal(other.amount)
    if isinstance(one, ScopeLine) and isinstance(other, ScopeLine):
        amounts = (one.amount, other.amount)
        alike = amounts[0] == amounts[1] or (None not in amounts and same_value(*amounts))
        return one.state == other.state and alike
    return bool(one == other)


def value_at(evaluation: Evaluation, thing: ThingPath, field: str, part: str = "") -> Any:
    """Return what stands there now; None where the thing is not in the evaluation yet."""
    try:
        found = getattr(edits.get(evaluation, thing.path), field)
    except KeyError:
        return None
    if field != "scope":
        return found
    return next((line for line in found if line.item == part), None)


def take(evaluation: Evaluation, proposal: Proposal, accepted: Iterable[int]) -> Evaluation:
    """Return the evaluation with the accepted lines of a proposal in it, as one change.

    `accepted` are places in its `lines`; lines without a value change nothing. Bids, units and
    barrels that they need are added; of resins only new ones are. Raises pydantic.ValidationError
    where what was accepted contradicts itself or what stands.
    """
    chosen = [proposal.lines[index] for index in accepted]
    resins = [line.value for line in chosen if isinstance(line.value, Resin)]
    fresh = tuple(resin for resin in resins if evaluation.resin(resin.id) is None)
    if fresh:
        evaluation = evaluation.replace(resins=(*evaluation.resins, *fresh))
    taken = [line for line in chosen if _can_be_taken(line)]
    return _with_lines(evaluation, proposal, taken) if taken else evaluation


def _with_lines(evaluation: Evaluation, proposal: Proposal, taken: Iterable[Line]) -> Evaluation:
    path = proposal.bid.path
    try:
        bid = edits.get(evaluation, path)
    except KeyError:
        bid = None
    changed = Bid(id=proposal.bid.bid) if bid is None else bid
    document = proposal.document
    if document is not None and all(one.id != document.id for one in changed.documents):
        changed = changed.replace(documents=(*changed.documents, document))
    for line in taken:
        changed = _with_line(changed, line)
    if bid is None:
        return edits.append(evaluation, ("bids",), changed)
    return edits.put(evaluation, path, changed)


def _can_be_taken(line: Line) -> bool:
    return line.value is not None and isinstance(line.thing, BidPath | UnitPath | BarrelPath)


def _with_line(bid: Bid, line: Line) -> Bid:
    thing = line.thing
    if isinstance(thing, UnitPath | BarrelPath):
        if all(unit.id != thing.unit for unit in bid.units):
            bid = edits.append(bid, ("units",), InjectionUnit(id=thing.unit))
        if isinstance(thing, BarrelPath):
            barrels = ("units", thing.unit, "barrels")
            if all(barrel.id != thing.barrel for barrel in edits.get(bid, barrels)):
                bid = edits.append(bid, barrels, Barrel(id=thing.barrel))
    if line.field == "scope":
        others = tuple(one for one in bid.scope if one.item != line.part)
        return bid.replace(scope=(*others, line.value))
    assert thing is not None
    # The path of a thing in its bid is its path in the evaluation without ("bids", id).
    return edits.put(bid, (*thing.path[2:], line.field), line.value)
