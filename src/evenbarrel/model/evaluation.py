"""One evaluation: everything people entered, as of a date; and a bid on its own."""

from collections.abc import Iterator, Mapping
from datetime import date as Date
from functools import cached_property
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from evenbarrel.model.base import Currency, Frozen, Rows, refusal
from evenbarrel.model.cost import Cost
from evenbarrel.model.datum import Datum
from evenbarrel.model.datum_path import Path
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limits, Uncertainty
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.record.acceptance import Acceptance
from evenbarrel.model.record.decision import (
    Answer,
    Assignment,
    ConfirmedLimit,
    CoverOptions,
    Deviation,
    Measure,
    Proposal,
    SignedState,
    SignOff,
)
from evenbarrel.model.resin import Resin
from evenbarrel.model.states.consistency import (
    refuse_broken_chains,
    refuse_duplicates,
    refuse_unknown,
)

FORMAT_VERSION = 2
MOST_RESINS, MOST_JOBS, MOST_BARRELS = 500, 2_000, 20_000
"""More than any programme has; within them everything is computed in bearable time."""


def _refuse_dangling(resins: tuple[Resin, ...], bids: tuple[Bid, ...]) -> None:
    known = {resin.id for resin in resins}
    for bid in bids:
        for unit in bid.units:
            for barrel in unit.barrels:
                for name in ("reference_resin", "plasticising_resin"):
                    _refuse_unknown_resin(
                        known,
                        f"barrel '{barrel.id}', {name.replace('_', ' ')}",
                        getattr(barrel, name),
                    )


def _refuse_unknown_resin(known: set[str], where: str, resin: str | None) -> None:
    if resin is not None and resin not in known:
        raise refusal(
            "dangling_resin",
            "{where} names the resin '{resin}', which is not among the resins",
            where=where,
            resin=resin,
        )


def _barrels_of(bids: tuple[Bid, ...]) -> Iterator[tuple[Bid, InjectionUnit, Barrel]]:
    return ((bid, unit, barrel) for bid in bids for unit in bid.units for barrel in unit.barrels)


class BidFile(Bid):
    """A bid as it travels on its own, with the resins it names."""

    format_version: Annotated[int, Field(ge=1, le=FORMAT_VERSION)] = FORMAT_VERSION
    resins: Rows[Resin] = ()

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        refuse_duplicates("resins", (resin.id for resin in self.resins))
        refuse_duplicates("units", (unit.id for unit in self.units))
        refuse_duplicates("barrels", (b.id for unit in self.units for b in unit.barrels))
        _refuse_dangling(self.resins, (self,))
        return self

    def bid(self) -> Bid:
        """Return the bid without its wrapping."""
        return Bid.model_validate({name: getattr(self, name) for name in Bid.model_fields})


class Evaluation(Frozen):
    """Resins, planned jobs, bids, limits and decisions, as of a date: one file."""

    format_version: Annotated[int, Field(ge=1, le=FORMAT_VERSION)] = FORMAT_VERSION
    title: Annotated[str, Datum("Title", group="evaluation")] = ""
    buyer: Annotated[str, Datum("Buyer", group="evaluation")] = ""
    site: Annotated[str, Datum("Site", group="evaluation")] = ""
    as_of: Annotated[
        Date | None, Datum("As of", "The date the offers are judged on", "evaluation")
    ] = None
    currency: Currency = "EUR"
    display_units: Literal["metric", "us"] = "metric"
    resins: Annotated[tuple[Resin, ...], Field(max_length=MOST_RESINS)] = ()
    jobs: Annotated[tuple[Job, ...], Field(max_length=MOST_JOBS)] = ()
    bids: Annotated[tuple[Bid, ...], Field(max_length=MOST_BARRELS)] = ()
    limits: Limits = Limits()
    uncertainty: Uncertainty = Uncertainty()
    cost: Cost = Cost()
    answers: Rows[Answer] = ()
    deviations: Rows[Deviation] = ()
    confirmed_limits: Rows[ConfirmedLimit] = ()
    assignment: Rows[Assignment] = ()
    cover_options: CoverOptions = CoverOptions()
    scope_items: Rows[str] = ()
    measures: Rows[Measure] = ()
    proposal: Proposal | None = None
    acceptance: Rows[Acceptance] = ()
    sign_offs: Rows[SignOff] = ()
    signed_states: Rows[SignedState] = ()

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        refuse_duplicates("resins", (resin.id for resin in self.resins))
        refuse_duplicates("jobs", (job.id for job in self.jobs))
        refuse_duplicates("bids", (bid.id for bid in self.bids))
        units = [unit for bid in self.bids for unit in bid.units]
        barrels = [barrel.id for unit in units for barrel in unit.barrels]
        for things, count in (("units", len(units)), ("barrels", len(barrels))):
            if count > MOST_BARRELS:
                raise refusal(
                    "too_many",
                    "there are {count} {things}; an evaluation takes at most {most}",
                    count=count,
                    things=things,
                    most=MOST_BARRELS,
                )
        refuse_duplicates("units", (unit.id for unit in units))
        refuse_duplicates("barrels", barrels)
        _refuse_dangling(self.resins, self.bids)
        known = {resin.id for resin in self.resins}
        for job in self.jobs:
            _refuse_unknown_resin(known, f"job '{job.id}', resin", job.resin)
        refuse_broken_chains("bids", "bid", {bid.id: bid.revises for bid in self.bids})
        refuse_broken_chains("barrels", "barrel", {b.id: b.revises for _, _, b in self.barrels()})
        self._refuse_unknown_references()
        return self

    def _refuse_unknown_references(self) -> None:
        jobs, barrels = {job.id for job in self.jobs}, {b.id for _, _, b in self.barrels()}
        proposal = self.proposal or Proposal()
        for where, references in (
            ("deviations", self.deviations),
            ("assignment", self.assignment),
            ("cover options", self.cover_options.forbidden),
            ("proposal", proposal.jobs),
        ):
            for reference in references:
                refuse_unknown(where, "barrel", reference.barrel, barrels)
                refuse_unknown(where, "job", reference.job, jobs)
        for barrel in proposal.barrels:
            refuse_unknown("proposal", "barrel", barrel, barrels)
        proposed = set(proposal.barrels)
        for one in proposal.jobs:
            refuse_unknown("proposal", "barrel", one.barrel, proposed, "among those it proposes")
        resins = {resin.id for resin in self.resins}
        refuse_unknown("cost, common resin", "resin", self.cost.common_resin, resins)
        for measured in self.acceptance:
            refuse_unknown("acceptance", "barrel", measured.barrel, barrels)
            for test in measured.tests:
                refuse_unknown("acceptance", "resin", test.resin, resins)
        refuse_duplicates(
            "signed states", (state.digest for state in self.signed_states), "have the digest"
        )

    def barrels(self) -> Iterator[tuple[Bid, InjectionUnit, Barrel]]:
        """Yield every barrel with its unit and bid, in the order of the file."""
        return _barrels_of(self.bids)

    @property
    def counting_bids(self) -> tuple[Bid, ...]:
        """The bids that count: the newest of each chain of revisions that is not withdrawn.

        What is appraised, asked, decided and printed is of these; the others stay as entered.
        """
        return self._counting_bids

    @cached_property
    def _counting_bids(self) -> tuple[Bid, ...]:
        if not any(bid.revises or bid.withdrawn for bid in self.bids):
            return self.bids
        revised = {bid.revises for bid in self.bids}
        counting = set()
        for bid in self.bids:
            head: Bid | None = None if bid.id in revised else bid
            while head is not None and head.withdrawn:
                head = self._bid_of.get(head.revises or "")
            if head is not None:
                counting.add(head.id)
        return tuple(bid for bid in self.bids if bid.id in counting)

    @property
    def suppliers_bids(self) -> tuple[Bid, ...]:
        """The bids that count and are offers: whose suppliers can be asked."""
        return tuple(bid for bid in self.counting_bids if not bid.is_own)

    def counting_barrels(self) -> Iterator[tuple[Bid, InjectionUnit, Barrel]]:
        """Yield every barrel of a bid that counts with its unit and bid, in the file's order."""
        return _barrels_of(self.counting_bids)

    @property
    def kept(self) -> dict[str, Any]:
        """What was made of this very evaluation and is costly to make again, by what it is."""
        return self._kept

    @cached_property
    def _kept(self) -> dict[str, Any]:
        return {}

    @cached_property
    def _counting_ids(self) -> frozenset[str]:
        return frozenset(barrel.id for _, _, barrel in self.counting_barrels())

    def counts(self, barrel: str) -> bool:
        """Say whether a barrel is of a bid that counts."""
        return barrel in self._counting_ids

    @cached_property
    def _place_of(self) -> Mapping[str, tuple[Bid, InjectionUnit, Barrel]]:
        return {place[-1].id: place for place in self.barrels()}

    @cached_property
    def _job_of(self) -> Mapping[str, Job]:
        return {job.id: job for job in self.jobs}

    @cached_property
    def _bid_of(self) -> Mapping[str, Bid]:
        return {bid.id: bid for bid in self.bids}

    def place(self, barrel: str) -> tuple[Bid, InjectionUnit, Barrel]:
        """Return a barrel with its bid and its unit; raises KeyError."""
        return self._place_of[barrel]

    def barrel(self, name: str) -> Barrel:
        """Return the barrel of that id; raises KeyError."""
        return self._place_of[name][-1]

    def job(self, name: str) -> Job:
        """Return the job of that id; raises KeyError."""
        return self._job_of[name]

    def bid(self, name: str) -> Bid:
        """Return the bid of that id; raises KeyError."""
        return self._bid_of[name]

    def barrel_path(self, barrel: str) -> Path:
        """Return the path of a barrel; raises KeyError."""
        bid, unit, one = self.place(barrel)
        return ("bids", bid.id, "units", unit.id, "barrels", one.id)

    def resin(self, name: str | None) -> Resin | None:
        """Return the resin of that id, or None."""
        return next((resin for resin in self.resins if resin.id == name), None)
