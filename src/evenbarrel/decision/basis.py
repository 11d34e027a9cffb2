"""What every amount is based on: which barrels are offered, exchange rates, years, prices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.amount import Amount, absent, computed
from evenbarrel.model.datum import si_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Money

USUAL_OEE = 0.85
"""Assumed where nobody states it, changes of job not in it; common practice, no source."""
USUAL_RESOLUTION = 0.02
"""Costs nearer to each other share one rank; ours."""
HOUR = 3600.0
_OFFERED = ("bids", "cost", "resins", "currency", "as_of", "scope_items")
"""What of an evaluation amounts hang on besides its jobs, and who runs which."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A barrel that can be bought with its unit, or that the plant owns; `row` is its place in
    the grid."""

    bid: Bid
    unit: InjectionUnit
    barrel: Barrel
    row: int

    @property
    def id(self) -> str:
        """The barrel's id."""
        return self.barrel.id

    @property
    def owned(self) -> bool:
        """Whether the plant has the machine already."""
        return bool(self.unit.owned_copies)


@dataclass(frozen=True)
class Basis:
    """The evaluation with its appraisal, as far as amounts of money and hours hang on it.

    Where `only` is given, these barrels are all that is compared.
    """

    appraisal: Appraisal
    only: frozenset[str] | None = None

    @property
    def evaluation(self) -> Evaluation:
        """What people entered."""
        return self.appraisal.evaluation

    def is_as(self, before: Basis) -> bool:
        """Say whether offers, prices, resins and barrels are as before, whatever the jobs are."""
        now, then = self.appraisal, before.appraisal
        return (
            self.only == before.only
            and all(
                getattr(now.evaluation, name) == getattr(then.evaluation, name) for name in _OFFERED
            )
            and now.resins == then.resins
            and [one.swept for one in now.barrels] == [one.swept for one in then.barrels]
        )

    @cached_property
    def candidates(self) -> tuple[Candidate, ...]:
        """Every barrel of a bid that counts, in the order of the file."""
        row = self.appraisal.grid.row
        return tuple(
            Candidate(bid, unit, barrel, row(barrel.id))
            for bid in self.evaluation.counting_bids
            for unit in bid.units
            for barrel in unit.barrels
            if self.only is None or barrel.id in self.only
        )

    @cached_property
    def by_id(self) -> Mapping[str, Candidate]:
        """The candidates by their barrel's id."""
        return {candidate.id: candidate for candidate in self.candidates}

    @cached_property
    def years(self) -> int | None:
        """The horizon [year], None where nobody chose one."""
        return self.evaluation.cost.horizon_years

    @cached_property
    def discount_rate(self) -> float | None:
        """The discount rate of a year, None where nobody chose one."""
        return self.evaluation.cost.discount_rate

    @property
    def dated(self) -> bool:
        """Whether payments of later years can be brought to today."""
        return self.years is not None and self.discount_rate is not None

    @property
    def undated(self) -> tuple[str, ...]:
        """What is not stated of the horizon and the discount rate."""
        both = {"horizon_years": self.years, "discount_rate": self.discount_rate}
        return tuple(name for name, value in both.items() if value is None)

    @property
    def oee(self) -> float:
        """Share of the hours in which good shots are made."""
        stated = self.evaluation.cost.oee
        return USUAL_OEE if stated is None else stated

    @property
    def resolution(self) -> float:
        """Share within which costs count as equal."""
        stated = self.evaluation.cost.resolution
        return USUAL_RESOLUTION if stated is None else stated

    def hours_available(self, unit: InjectionUnit) -> float | None:
        """Return the hours that a machine may run in a year, None where nobody states them."""
        own = si_of(unit, "hours_available")
        seconds = si_of(self.evaluation.cost, "hours_available") if own is None else own
        return None if seconds is None else seconds / HOUR

    @cached_property
    def _rates(self) -> Mapping[str, float | None]:
        """Rates by currency; None where several are stated and no date decides between them."""
        rates: dict[str, float | None] = {}
        for currency in {rate.currency for rate in self.evaluation.cost.exchange_rates}:
            of_it = [r for r in self.evaluation.cost.exchange_rates if r.currency == currency]
            dates = [r.date for r in of_it if r.date is not None]
            newest = [r for r in of_it if r.date == max(dates, default=None)]
            values = {r.rate for r in (newest if dates else of_it)}
            rates[currency] = values.pop() if len(values) == 1 else None
        return rates | {self.evaluation.currency: 1.0}

    def rate(self, currency: str) -> float | None:
        """Return what one unit of a currency is worth, None where it cannot be told."""
        return self._rates.get(currency)

    def amount(self, of: str, money: Money | None, lowest: float | None = 0.0) -> Amount:
        """Return an entered amount in the evaluation's currency.

        Missing with `of` named where it is not stated, with "exchange_rate.USD" where no rate is,
        with "negative.freight" where it is below `lowest`: then it is no price.
        """
        if money is None:
            return absent(of, of)
        if lowest is not None and money.value() < lowest:
            return absent(of, f"negative.{of}", printed=money)
        rate = self.rate(money.currency)
        if rate is None:
            return absent(of, f"exchange_rate.{money.currency}", printed=money)
        return computed(
            of,
            "converted_amount",
            {"amount": money.value(), "rate": rate},
            "assumed" if money.standing == "assumed" else "stated",
            printed=money,
        )
