"""Offers on one footing: what each barrel costs where it is to stand, and what for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.decision.amount import Amount, absent, computed, total
from evenbarrel.decision.basis import Basis, Candidate
from evenbarrel.model.datum import si_of
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.price_terms import amount_of, machine_price, scope_of, standard_barrel
from evenbarrel.model.offers.terms import OWN_AMOUNT

ONCE = ("training",)
"""What is paid once for all machines of a bid; everything else for each machine."""
NOT_A_PRICE = ("swept_volume", "rated_shot_mass", "common_resin", "utilisation_high", "jobs")
"""What a price is set beside; an offer is complete without it."""


@dataclass(frozen=True)
class Offer:
    """What one machine with this barrel costs, landed, in the evaluation's currency.

    `items` are its parts one by one: "machine", "screw", freight and so on; those in `filled_in`
    are what we put in for what the offer leaves out. `queries` are codes with the item they are
    about: "included_with_amount.freight" (an amount that is said to be included is not added),
    "total_differs" (the total of the bid is not the sum of its units).
    """

    barrel: str
    bid: str
    unit: str
    owned: bool
    items: tuple[Amount, ...]
    filled_in: tuple[Amount, ...]
    price: Amount
    of_usable_volume: Amount
    of_rated_mass: Amount
    of_common_mass: Amount
    queries: tuple[str, ...]

    @cached_property
    def parts(self) -> Mapping[str, Amount]:
        """The price by the parts of the results: other items of the scope are one of them."""
        own = {part.of: part for part in self.items}
        named = ("machine", "screw", *OWN_AMOUNT)
        others = [part for part in self.items if part.of not in named]
        filled = total("fill_in", self.filled_in)
        parts = {name: own.get(name, Amount(name, 0.0)) for name in named}
        return parts | {"scope": total("scope", others), "fill_in": filled}

    @property
    def named(self) -> Mapping[str, Amount]:
        """Every amount of it by its name."""
        beside = (self.of_usable_volume, self.of_rated_mass, self.of_common_mass)
        return {**self.parts, "price": self.price, **{amount.of: amount for amount in beside}}

    @property
    def lacking(self) -> tuple[str, ...]:
        """What of the price is not stated by the offer, filled in by us or not."""
        names = [name for part in self.items for name in part.missing]
        return tuple(dict.fromkeys([*names, *(part.of for part in self.filled_in)]))

    @property
    def complete(self) -> bool:
        """Whether the offer states every part of its price."""
        return not self.lacking

    @property
    def missing(self) -> tuple[str, ...]:
        """Everything that is not stated, of the price and of what it is set beside."""
        beside = (self.of_usable_volume, self.of_rated_mass, self.of_common_mass)
        names = [name for amount in beside for name in amount.missing if name in NOT_A_PRICE]
        return tuple(dict.fromkeys([*self.lacking, *names]))

    @property
    def once(self) -> float:
        """What of the price is paid once however many machines of the bid are bought."""
        return sum(p.counted for p in (*self.items, *self.filled_in) if p.of in ONCE)


class Offers:
    """The offers of all barrels that count."""

    def __init__(self, basis: Basis, before: Offers | None = None) -> None:
        """Take what the amounts are computed from; earlier offers on the same basis are kept.

        Of the jobs they hang on the share that a volume is used to alone.
        """
        self.basis = basis
        self._made: dict[str, Offer] = {}
        if before is not None and before._made and self._usable_share == before._usable_share:
            self._made = dict(before._made)

    @cached_property
    def of(self) -> Mapping[str, Offer]:
        """Each barrel's offer, in the order of the file."""
        return {candidate.id: self.one(candidate.id) for candidate in self.basis.candidates}

    def one(self, barrel: str) -> Offer:
        """Return a barrel's offer, whatever the others are; raises KeyError."""
        if barrel not in self._made:
            self._made[barrel] = self._offer(self.basis.by_id[barrel])
        return self._made[barrel]

    def _offer(self, candidate: Candidate) -> Offer:
        if candidate.owned:
            kept = self.basis.amount("resale_value", candidate.unit.resale_value)
            filled: list[Amount] = []
            items = [replace(kept, of="machine")]
            price = total("price", items, known=not _unconverted(items))
        else:
            items, filled = self._items(candidate)
            machine = items[0]
            known = machine.value is not None and not _unconverted([*items, *filled])
            price = total("price", [*items, *filled], known)
        return Offer(
            candidate.id,
            candidate.bid.id,
            candidate.unit.id,
            candidate.owned,
            tuple(items),
            tuple(filled),
            price,
            self._of_usable_volume(candidate, price),
            self._of_rated_mass(candidate, price),
            self._of_common_mass(candidate, price),
            tuple(self._queries(candidate.bid)),
        )

    def _items(self, candidate: Candidate) -> tuple[list[Amount], list[Amount]]:
        """Return what the offer asks part by part, and what we fill in."""
        items, filled = [self._machine(candidate), self._screw(candidate)], []
        for line, money in scope_of(candidate.bid, self.basis.evaluation.scope_items):
            item = line.item
            if line.state == "included":
                items.append(Amount(item, 0.0))
            elif line.state == "missing" and money is not None:
                ours = self.basis.amount(item, money)
                filled.append(ours if ours.value is None else replace(ours, standing="ours"))
            else:
                items.append(self.basis.amount(item, money))
        return items, filled

    def _machine(self, candidate: Candidate) -> Amount:
        money = machine_price(candidate.bid, candidate.unit)
        if money is not None and money.value() == 0.0:
            # Nobody gives a machine away: a nought is a gap that somebody filled.
            return absent("machine", "machine", printed=money)
        return self.basis.amount("machine", money)

    def _screw(self, candidate: Candidate) -> Amount:
        if candidate.id == standard_barrel(candidate.unit):
            return Amount("screw", 0.0)
        return self.basis.amount("screw", candidate.barrel.price_difference, lowest=None)

    def _queries(self, bid: Bid) -> Iterator[str]:
        for line in bid.scope:
            money = amount_of(bid, line)
            if line.state == "included" and money is not None and money.value() != 0.0:
                yield f"included_with_amount.{line.item}"
        if bid.price is None or any(unit.price is None for unit in bid.units):
            return
        whole = self.basis.amount("price", bid.price)
        units = total("price", [self.basis.amount("machine", u.price) for u in bid.units])
        if whole.value is not None and not units.missing and units.value != whole.value:
            yield "total_differs"

    @cached_property
    def _usable_share(self) -> tuple[float | None, tuple[str, ...]]:
        """The share of a swept volume that the job of the largest shot may use, or what lacks."""
        volumes = [
            (shot.volume.nominal, place)
            for place, job in enumerate(self.basis.appraisal.jobs)
            if (shot := job.nominal) is not None and shot.volume is not None
        ]
        if not volumes:
            return None, ("jobs",)
        column = max(volumes, key=lambda one: one[0])[1]
        share = at(self.basis.appraisal.grid.table.inputs.utilisation_high.nominal, 0, column)
        return (share, ()) if share > 0 else (None, ("utilisation_high",))

    def _volume(self, candidate: Candidate) -> float | None:
        bound = self.basis.appraisal.barrel(candidate.id).swept.bound
        return None if bound is None else bound.nominal

    def _of_usable_volume(self, candidate: Candidate, price: Amount) -> Amount:
        share, lacking = self._usable_share
        return _beside(
            candidate,
            "price_of_usable_volume",
            price,
            lacking,
            swept_volume=self._volume(candidate),
            share=share,
        )

    def _of_rated_mass(self, candidate: Candidate, price: Amount) -> Amount:
        mass = si_of(candidate.barrel, "rated_shot_mass")
        lacking = ("rated_shot_mass",) if mass is None else ()
        return _beside(candidate, "price_of_rated_mass", price, lacking, mass=mass)

    def _of_common_mass(self, candidate: Candidate, price: Amount) -> Amount:
        common = self.basis.evaluation.cost.common_resin
        resin = self.basis.appraisal.resins.get(common or "")
        factor = None if resin is None else resin.factor
        return _beside(
            candidate,
            "price_of_common_mass",
            price,
            ("common_resin",) if factor is None else (),
            swept_volume=self._volume(candidate),
            output_factor=factor,
        )


def _beside(
    candidate: Candidate,
    formula: str,
    price: Amount,
    lacking: tuple[str, ...],
    **inputs: float | None,
) -> Amount:
    """Return a price for so much of something; missing where the price is, or that is not known.

    A machine of the plant has no price to set beside others.
    """
    known = {name: value for name, value in inputs.items() if value is not None}
    if "swept_volume" in inputs and inputs["swept_volume"] is None:
        lacking = (*lacking, "swept_volume")
    if lacking or price.value is None or candidate.owned or len(known) < len(inputs):
        return absent(formula, *price.missing, *lacking)
    return computed(formula, formula, known | {"price": price.value}, price.standing, (price,))


def _unconverted(parts: list[Amount]) -> bool:
    return any(name.startswith("exchange_rate.") for part in parts for name in part.missing)
