"""What of prices, and of the basis for cost over life, is not stated: a question like any other.

Prices are asked for once one is stated, the basis once a part of it is: who only wants to know
what fits is asked for neither.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenbarrel.model.cost import Cost
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.offers.price_terms import machine_price, scope_of, standard_barrel
from evenbarrel.model.quantity import Money

PRICE, SCOPE, BASIS, RATE = "price", "scope_missing", "cost_basis", "exchange_rate"
_BASIS = ("horizon_years", "discount_rate", "residual_share", "hours_available")
_OF_JOBS = ("annual_quantity", "batches_per_year")
_OF_CHANGES = ("turnovers", "change_time")
_NOT_BEGUN = Cost()


@dataclass(frozen=True, slots=True)
class Unpriced:
    """One thing that is not stated: of a bid, or with `bid` None ours to state."""

    bid: str | None
    datum: str
    key: str
    barrels: tuple[str, ...] = ()
    jobs: tuple[str, ...] = ()


def unpriced(evaluation: Evaluation) -> Iterator[Unpriced]:
    """Yield what is not stated of prices, then of the basis for cost over life."""
    offers = evaluation.suppliers_bids
    if any(True for bid in offers for _ in _amounts(bid)):
        for bid in offers:
            yield from _of_bid(evaluation, bid)
        yield from _rates(evaluation, offers)
    if evaluation.cost != _NOT_BEGUN:
        yield from _of_basis(evaluation)


def _amounts(bid: Bid) -> Iterator[Money]:
    """Yield every amount that an offer states."""
    found = [bid.price, bid.freight, bid.installation, bid.training]
    found += [line.amount for line in bid.scope]
    for unit in bid.units:
        found += [unit.price, *(barrel.price_difference for barrel in unit.barrels)]
    return (money for money in found if money is not None)


def _of_bid(evaluation: Evaluation, bid: Bid) -> Iterator[Unpriced]:
    for unit in bid.units:
        barrels = tuple(barrel.id for barrel in unit.barrels)
        if machine_price(bid, unit) is None:
            yield Unpriced(bid.id, "price", PRICE, barrels)
        yield from _screws(bid, unit)
    for line, money in scope_of(bid, evaluation.scope_items):
        if line.state != "included" and (money is None or line.state == "missing"):
            yield Unpriced(bid.id, line.item, SCOPE)


def _screws(bid: Bid, unit: InjectionUnit) -> Iterator[Unpriced]:
    standard = standard_barrel(unit)
    silent = tuple(
        barrel.id
        for barrel in unit.barrels
        if barrel.price_difference is None and barrel.id != standard
    )
    if silent:
        yield Unpriced(bid.id, "price_difference", PRICE, silent)


def _rates(evaluation: Evaluation, offers: Sequence[Bid]) -> Iterator[Unpriced]:
    stated = {rate.currency for rate in evaluation.cost.exchange_rates} | {evaluation.currency}
    used = dict.fromkeys(money.currency for bid in offers for money in _amounts(bid))
    for currency in used:
        if currency not in stated:
            yield Unpriced(None, f"{RATE}.{currency}", RATE)


def _energies(evaluation: Evaluation) -> Iterator[Unpriced]:
    """Ask us for one energy for all, and who does not state his machine's where others do."""
    units = [unit for bid in evaluation.counting_bids for unit in bid.units]
    if any(unit.energy_per_mass is None or not unit.energy_method for unit in units):
        yield Unpriced(None, "energy_per_mass", BASIS)
    if any(unit.energy_per_mass is not None for unit in units):
        for bid in evaluation.suppliers_bids:
            for unit in bid.units:
                if unit.energy_per_mass is None:
                    barrels = tuple(barrel.id for barrel in unit.barrels)
                    yield Unpriced(bid.id, "energy_per_mass", PRICE, barrels)


def _of_basis(evaluation: Evaluation) -> Iterator[Unpriced]:
    cost, jobs = evaluation.cost, evaluation.jobs
    yield from (Unpriced(None, name, BASIS) for name in _BASIS if getattr(cost, name) is None)
    if cost.tariff is None:
        yield Unpriced(None, "tariff", BASIS)
    if cost.machine_hour_rate is None:
        yield Unpriced(None, "machine_hour_rate", BASIS)
    if cost.energy_per_mass is None:
        yield from _energies(evaluation)
    if any(job.batches_per_year for job in jobs):
        missing = (name for name in _OF_CHANGES if getattr(cost, name) is None)
        yield from (Unpriced(None, name, BASIS) for name in missing)
    for name in _OF_JOBS:
        of = tuple(job.id for job in jobs if getattr(job, name) is None)
        if name == "annual_quantity":
            of = tuple(name for name in of if evaluation.job(name).hours_per_year is None)
        if of:
            yield Unpriced(None, name, BASIS, jobs=of)
