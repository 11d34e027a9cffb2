"""What people entered of prices and costs, as inputs of the live workbook."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from evenbarrel.decision.basis import USUAL_OEE, Candidate
from evenbarrel.decision.decide import Decision
from evenbarrel.model.cost import Cost
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.offers.price_terms import standard_barrel
from evenbarrel.model.offers.terms import OWN_AMOUNT, ScopeLine
from evenbarrel.model.quantity import Money
from evenbarrel.wording.sheets.live.entered import ENTERED, PRACTICE
from evenbarrel.wording.sheets.live.inputs import (
    Currencies,
    Input,
    plain_input,
    quantity_input,
    sheet_of,
)
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.standing_by.masking import prices_masked
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import bid_called, full_name, unit_called

OURS = "filled in by us"
INCLUDED = "included"


@dataclass(frozen=True)
class Priced:
    """What is priced, with the number that each thing has in the keys of its inputs."""

    decision: Decision

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """The barrels that can be bought or that the plant owns."""
        return self.decision.basis.candidates

    @cached_property
    def bids(self) -> Mapping[str, int]:
        """The number of each bid, by its id."""
        ids = dict.fromkeys(one.bid.id for one in self.candidates)
        return {name: place for place, name in enumerate(ids, 1)}

    @cached_property
    def units(self) -> Mapping[tuple[str, str], int]:
        """The number of each injection unit, by the ids of its bid and its own."""
        ids = dict.fromkeys((one.bid.id, one.unit.id) for one in self.candidates)
        return {name: place for place, name in enumerate(ids, 1)}

    @cached_property
    def items(self) -> tuple[str, ...]:
        """The items of all scopes, those with an amount of their own first."""
        evaluation = self.decision.appraisal.evaluation
        own = (line.item for one in self.candidates for line in one.bid.scope)
        return tuple(dict.fromkeys([*OWN_AMOUNT, *evaluation.scope_items, *own]))

    def items_of(self, bid: Bid) -> frozenset[str]:
        """Return the items that an offer is asked for or speaks of."""
        listed = self.decision.appraisal.evaluation.scope_items
        return frozenset([*OWN_AMOUNT, *listed, *(line.item for line in bid.scope)])

    @cached_property
    def currencies(self) -> Currencies:
        """What each currency is worth, of those that anything is stated in."""
        evaluation = self.decision.appraisal.evaluation
        rate = self.decision.basis.rate
        return Currencies(evaluation.currency, {name: rate(name) for name in self._used})

    @cached_property
    def _used(self) -> tuple[str, ...]:
        evaluation = self.decision.appraisal.evaluation
        cost = evaluation.cost
        found: list[Money | None] = [cost.tariff, cost.machine_hour_rate]
        found += [resin.price_per_kg for resin in evaluation.resins]
        found += [line.amount for line in cost.lines]
        for one in self.candidates:
            found += [one.unit.price, one.unit.resale_value, one.bid.price]
            found.append(one.barrel.price_difference)
            found += [getattr(one.bid, name) for name in OWN_AMOUNT]
            found += [line.amount for line in one.bid.scope]
        names = dict.fromkeys(money.currency for money in found if money is not None)
        return tuple(name for name in names if name != evaluation.currency)


def cost_inputs_sheet(priced: Priced) -> Sheet:
    """Return the basis of all cost: exchange rates, years, tariffs, lines."""
    found = [*_basis(priced), *_lines(priced)]
    return sheet_of("cost_inputs", "Cost basis", found)


def offer_inputs_sheet(priced: Priced) -> Sheet:
    """Return what the offers ask for machines, screws and the items of their scope."""
    found: list[Input] = []
    for bid in {one.bid.id: one.bid for one in priced.candidates if not one.owned}.values():
        found += _items(priced, bid)
    # Of each unit the first barrel.
    of_unit = {(one.bid.id, one.unit.id): one for one in reversed(priced.candidates)}
    for unit, place in priced.units.items():
        found += _machine(priced, f"U{place}", of_unit[unit])
    found += [_screw(priced, one) for one in priced.candidates if not one.owned]
    return sheet_of("offer_inputs", "Prices in offers", found)


def _basis(priced: Priced) -> Iterator[Input]:
    evaluation = priced.decision.appraisal.evaluation
    cost, currencies = evaluation.cost, priced.currencies
    for currency, rate in currencies.rates.items():
        dates = [r.date for r in cost.exchange_rates if r.currency == currency and r.date]
        source = f"of {max(dates).isoformat()}" if dates else ""
        what = f"Exchange rate of one {currency}"
        unit = f"{evaluation.currency}/{currency}"
        yield plain_input(f"rate {currency}", "All", what, rate, unit, ENTERED, source)
    year = None if evaluation.as_of is None else evaluation.as_of.year
    kind = "a year, real" if cost.real else "a year, nominal"
    yield _one("as_of_year", "Year of the evaluation", year)
    yield _one("horizon_years", "Horizon", cost.horizon_years, "years")
    yield _one("discount_rate", "Discount rate", cost.discount_rate, kind)
    for name in ("tariff_growth", "rate_growth"):
        yield _one(name, labels.datum_of(Cost, name), getattr(cost, name), "a year")
    for name in ("turnovers", "residual_share"):
        yield _one(name, labels.datum_of(Cost, name), getattr(cost, name))
    yield from _running(priced, cost)


def _one(key: str, what: str, value: float | None, unit: str = "") -> Input:
    """Return a plain number that is one for all."""
    number = None if value is None else float(value)
    return plain_input(key, "All", what, number, unit, ENTERED)


def _running(priced: Priced, cost: Cost) -> Iterator[Input]:
    """Yield what running machines costs, one for all where no offer has its own."""
    currencies = priced.currencies
    oee = "Share of the hours in which good shots are made"
    if cost.oee is None:
        yield plain_input("oee", "All", oee, USUAL_OEE, "", "assumed", PRACTICE)
    else:
        yield _one("oee", oee, cost.oee)
    if not prices_masked(priced.decision.appraisal):
        tariff, rate = cost.tariff, cost.machine_hour_rate
        yield currencies.input("tariff", "All", "Price of electricity", tariff, "<0", per="/kWh")
        what = "Machine hour rate"
        yield currencies.input("machine_hour_rate", "All", what, rate, "<0", per="/h")
    for name, kind, unit in (
        ("energy_per_mass", "specific_energy", "kWh/kg"),
        ("change_time", "time", "h"),
    ):
        what = labels.datum_of(Cost, name)
        yield quantity_input(name, "All", what, getattr(cost, name), kind, unit)


def _lines(priced: Priced) -> Iterator[Input]:
    for place, line in enumerate(priced.decision.appraisal.evaluation.cost.lines, 1):
        key = f"L{place}"
        yield priced.currencies.input(f"{key} amount", line.kind, "Amount", line.amount)
        yield plain_input(f"{key} growth", line.kind, "Growth", line.growth, "a year", ENTERED)
        if line.per_hours is not None:
            yield quantity_input(f"{key} per_hours", line.kind, "Per", line.per_hours, "time", "h")


def _items(priced: Priced, bid: Bid) -> Iterator[Input]:
    scope, own = {line.item: line for line in bid.scope}, priced.items_of(bid)
    of = bid_called(priced.decision.appraisal.evaluation, bid)
    for place, item in enumerate(priced.items, 1):
        if item not in own:
            continue
        line = scope.get(item, ScopeLine(item=item))
        key, what = f"O{priced.bids[bid.id]} item{place}", _item(item)
        if line.state == "included":
            unit = priced.currencies.own
            yield plain_input(key, of, what, 0.0, unit, INCLUDED)
            continue
        money = line.amount
        if money is None and item in OWN_AMOUNT:
            money = getattr(bid, item)
        ours = OURS if line.state == "missing" and money is not None else ""
        yield priced.currencies.input(key, of, what, money, "<0", standing=ours)


def _item(item: str) -> str:
    return labels.datum_of(Bid, item) if item in OWN_AMOUNT else item[:1].upper() + item[1:]


def _machine(priced: Priced, key: str, one: Candidate) -> Iterator[Input]:
    unit, bid = one.unit, one.bid
    called = bid_called(priced.decision.appraisal.evaluation, bid)
    of = f"{called}, {unit_called(bid, unit)}"
    if one.owned:
        what = labels.datum_of(InjectionUnit, "resale_value")
        yield priced.currencies.input(f"{key} machine", of, what, unit.resale_value, "<0")
    else:
        of_bid = unit.price is None and len(bid.units) == 1
        what = labels.datum_of(*((Bid, "price") if of_bid else (InjectionUnit, "price")))
        money = bid.price if of_bid else unit.price
        yield priced.currencies.input(f"{key} machine", of, what, money, "<=0")
    if unit.energy_per_mass is not None and unit.energy_method:
        what = labels.datum_of(InjectionUnit, "energy_per_mass")
        stated = unit.energy_per_mass
        yield quantity_input(f"{key} energy", of, what, stated, "specific_energy", "kWh/kg")


def _screw(priced: Priced, one: Candidate) -> Input:
    key, of = f"B{one.row + 1} screw", full_name(priced.decision.appraisal, one.id)
    what = labels.datum_of(Barrel, "price_difference")
    if one.id == standard_barrel(one.unit):
        found = plain_input(key, of, what, 0.0, priced.currencies.own, INCLUDED)
        return replace(found, source="the machine's standard screw")
    return priced.currencies.input(key, of, what, one.barrel.price_difference)
