"""Two revisions of an offer side by side: numbers, verdicts and price that differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.results import Fit
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.model.changes import without_barrels
from evenbarrel.model.datum import data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Money, Quantity


@dataclass(frozen=True, slots=True)
class ChangedDatum:
    """A datum that two revisions state otherwise; `of` is the new thing that has it."""

    of: Bid | InjectionUnit | Barrel
    field: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True)
class ChangedVerdict:
    """A job whose verdict is another on the new screw."""

    barrel: Barrel
    job: str
    before: Fit
    after: Fit


@dataclass(frozen=True, slots=True)
class ChangedPrice:
    """The landed price of a screw before and now, each by its parts."""

    barrel: Barrel
    before: Amount
    after: Amount
    parts: Mapping[str, tuple[Amount, Amount]]


@dataclass(frozen=True)
class Revision:
    """An offer and the one it replaces, each appraised as if it were the only offer."""

    evaluation: Evaluation
    """All that is offered, with both."""
    before: Bid
    after: Bid
    then: Appraisal
    now: Appraisal

    @cached_property
    def pairs(self) -> tuple[tuple[Barrel, Barrel], ...]:
        """Each screw of the earlier offer with the one that replaces it."""
        old = {b.id: b for unit in self.before.units for b in unit.barrels}
        new = (b for unit in self.after.units for b in unit.barrels)
        return tuple((old[b.revises], b) for b in new if b.revises in old)

    @property
    def left(self) -> tuple[Barrel, ...]:
        """Screws of the earlier offer that have no successor."""
        paired = {old.id for old, _ in self.pairs}
        return tuple(b for u in self.before.units for b in u.barrels if b.id not in paired)

    @property
    def added(self) -> tuple[Barrel, ...]:
        """Screws that replace none."""
        paired = {new.id for _, new in self.pairs}
        return tuple(b for u in self.after.units for b in u.barrels if b.id not in paired)

    @cached_property
    def numbers(self) -> tuple[ChangedDatum, ...]:
        """Every datum that is stated otherwise, or by one of the two alone."""
        return tuple(self._numbers())

    def _numbers(self) -> Iterator[ChangedDatum]:
        yield from _changed(self.before, self.after)
        units = {b.id: unit for unit in self.before.units for b in unit.barrels}
        for unit in self.after.units:
            revised = (units[b.revises] for b in unit.barrels if b.revises in units)
            earlier = next(revised, None)
            if earlier is not None:
                yield from _changed(earlier, unit)
        for old, new in self.pairs:
            yield from _changed(old, new)

    @cached_property
    def verdicts(self) -> tuple[ChangedVerdict, ...]:
        """Every job whose verdict is another."""
        found = []
        for old, new in self.pairs:
            for job in self.now.grid.job_ids:
                before, after = self.then.fit(old.id, job), self.now.fit(new.id, job)
                if (before.state, before.by_rule) != (after.state, after.by_rule):
                    found.append(ChangedVerdict(new, job, before, after))
        return tuple(found)

    @cached_property
    def prices(self) -> tuple[ChangedPrice, ...]:
        """The price of every pair of screws, landed, whether it changed or not."""
        decided: tuple[Decision, Decision] = decide(self.then), decide(self.now)
        prices = []
        for old, new in self.pairs:
            one, other = decided[0].offers.get(old.id), decided[1].offers.get(new.id)
            if one is not None and other is not None:
                parts = {name: (one.parts[name], other.parts[name]) for name in one.parts}
                prices.append(ChangedPrice(new, one.price, other.price, parts))
        return tuple(prices)


def revision(evaluation: Evaluation, bid: str) -> Revision | None:
    """Return a bid beside the one it revises; None where it revises none. Raises KeyError."""
    after = evaluation.bid(bid)
    if after.revises is None:
        return None
    before = evaluation.bid(after.revises)
    then, now = (appraise(_alone(evaluation, one)) for one in (before, after))
    return Revision(evaluation, before, after, then, now)


def _alone(evaluation: Evaluation, bid: Bid) -> Evaluation:
    """Return the evaluation as if one bid were all that is offered, and stood in for none."""
    kept = {barrel.id for unit in bid.units for barrel in unit.barrels}
    gone = {barrel.id for _, _, barrel in evaluation.barrels()} - kept
    trimmed = without_barrels(evaluation, gone)
    alone = trimmed.bid(bid.id)
    return trimmed.replace(bids=(alone.replace(revises=None, withdrawn=None),))


def _changed(
    before: Bid | InjectionUnit | Barrel, after: Bid | InjectionUnit | Barrel
) -> Iterator[ChangedDatum]:
    for field in data_of(type(after)):
        old, new = getattr(before, field), getattr(after, field)
        if not _same(old, new):
            yield ChangedDatum(after, field, old, new)


def _same(one: Any, other: Any) -> bool:
    """Say whether two values are one print: of a number its digits and unit."""
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return (one.magnitude, one.unit) == (other.magnitude, other.unit)
    if isinstance(one, Money) and isinstance(other, Money):
        return (one.amount, one.currency) == (other.amount, other.currency)
    return bool(one == other)
