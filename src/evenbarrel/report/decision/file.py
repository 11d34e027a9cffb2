"""The decision as it leaves the program: the fixed names and units of the results file."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.cover.covers import Cover
from evenbarrel.decision.decide import Decision, ProposalResult
from evenbarrel.decision.flips.search import Flip, Flips
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.decision.offers import Offer
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.decision.weighting import Shares
from evenbarrel.report.decision.ask import published_ask
from evenbarrel.report.decision.shapes import (
    PublishedCopies,
    PublishedCost,
    PublishedCover,
    PublishedDecision,
    PublishedFlip,
    PublishedFlips,
    PublishedHours,
    PublishedLeftOut,
    PublishedOffer,
    PublishedOrder,
    PublishedProposal,
    PublishedRun,
    PublishedShare,
    PublishedShares,
    PublishedUncovered,
)
from evenbarrel.wording.standing_by.flips import flip_line


def _values(parts: Mapping[str, Amount]) -> dict[str, float | None]:
    return {name: part.value for name, part in parts.items()}


def _per(amount: Amount, size: float) -> float | None:
    """Return a price for one of a smaller unit, `size` being how many make up the SI unit."""
    return None if amount.value is None else amount.value / size


def _offer(offer: Offer) -> PublishedOffer:
    return PublishedOffer(
        barrel=offer.barrel,
        owned=offer.owned,
        price=offer.price.value,
        complete=offer.complete,
        parts=_values(offer.parts),
        price_per_usable_cm3=_per(offer.of_usable_volume, 1e6),
        price_per_rated_g=_per(offer.of_rated_mass, 1e3),
        price_per_rated_g_common=_per(offer.of_common_mass, 1e3),
        missing=offer.missing,
        queries=offer.queries,
    )


def _cost(cost: LifeCost) -> PublishedCost:
    return PublishedCost(
        barrel=cost.barrel,
        copies=cost.copies,
        jobs_run=cost.jobs,
        present_cost=cost.present.value,
        yearly_cost=cost.yearly.value,
        parts=_values(cost.parts),
        missing=cost.missing,
    )


def _cover(cover: Cover) -> PublishedCover:
    return PublishedCover(
        machines=cover.machines,
        bought=cover.bought,
        gate=cover.gate,
        barrels=tuple(PublishedCopies(barrel=b, copies=n) for b, n in cover.barrels),
        present_cost=cover.present.value,
        yearly_cost=cover.yearly.value,
        assignment=tuple(
            PublishedRun(job=run.job, barrel=run.barrel, copy=run.copy, share=run.share)
            for run in cover.runs
        ),
        hours=tuple(
            PublishedHours(barrel=barrel, copy=copy, hours=hours)
            for barrel, copy, hours in cover.hours
        ),
        uncovered=tuple(PublishedUncovered(job=job, why=why) for job, why in cover.uncovered),
        first_broken_year=cover.first_broken_year,
        proven=cover.proven,
        gap=cover.gap,
        missing=cover.missing,
        runner_up=None if cover.runner_up is None else _cover(cover.runner_up),
        fully_priced=None if cover.fully_priced is None else _cover(cover.fully_priced),
    )


def _order(line: OrderLine) -> PublishedOrder:
    return PublishedOrder(
        barrel=line.barrel,
        rank=line.rank,
        gate=line.gate,
        jobs_run=len(line.jobs_run),
        jobs_undecided=len(line.jobs_undecided),
        jobs_not_run=len(line.jobs_not_run),
        present_cost=line.present_cost,
        levelled_cost=line.levelled,
        filled=line.filled,
        unfilled=line.unfilled,
        may_grow=line.may_grow,
        least_margin=line.least_margin,
        not_assessed=line.not_assessed,
        queries=line.queries,
        delivery=line.delivery,
        warranty=line.warranty,
    )


def _shares(shares: Shares) -> PublishedShares:
    return PublishedShares(
        measures=shares.measures,
        shares=tuple(
            PublishedShare(barrel=barrel, share=share) for barrel, share in shares.shares.items()
        ),
        left_out=tuple(PublishedLeftOut(barrel=barrel, why=why) for barrel, why in shares.left_out),
        marked=shares.marked,
        error=shares.error,
    )


def _proposal(decision: Decision, result: ProposalResult) -> PublishedProposal:
    day = result.proposal.date
    return PublishedProposal(
        barrels=result.proposal.barrels,
        gate=result.gate.state,
        price=result.price.value,
        present_cost=result.present.value,
        yearly_cost=result.yearly.value,
        missing=result.missing,
        costs=tuple(_cost(cost) for cost in result.costs),
        open_questions=tuple(one.id for one in decision.open_questions(result)),
        uncovered=result.gate.uncovered,
        given_twice=result.twice,
        replaced=result.replaced,
        reason=result.proposal.reason,
        person=result.proposal.person,
        date=None if day is None else day.isoformat(),
    )


def _flip(flip: Flip, flips: Flips, appraisal: Appraisal) -> PublishedFlip:
    number = flip.number
    width = number.half_width
    return PublishedFlip(
        datum=number.datum,
        of=number.of,
        now=number.now,
        kept=flip.kept,
        flip=flip.value,
        change_percent=flip.change * 100.0,
        half_width_percent=None if width is None else width * 100.0,
        within=flip.within,
        unit=number.unit,
        what=flip_line(flip, flips, appraisal),
    )


def published(decision: Decision, flips: Flips | None = None) -> PublishedDecision:
    """Return the decision with its fixed names; computes what of it nobody asked for yet.

    What would flip it stands in it where `flips` are given.
    """
    proposal = decision.proposal
    return PublishedDecision(
        currency=decision.appraisal.evaluation.currency,
        offers=tuple(map(_offer, decision.offers.values())),
        cost=tuple(map(_cost, decision.cost.values())),
        cover=tuple(map(_cover, decision.cover)),
        order=tuple(map(_order, decision.order)),
        shares=_shares(decision.shares),
        needs_at_least=decision.needs_at_least,
        proposal=None if proposal is None else _proposal(decision, proposal),
        ask=published_ask(decision.ask),
        flips=None
        if flips is None
        else tuple(_flip(flip, flips, decision.appraisal) for flip in flips.flips),
        flips_of=None
        if flips is None
        else PublishedFlips(
            choices=tuple(choice.barrels for choice in flips.choices),
            numbers=flips.numbers,
            steady=flips.steady,
        ),
    )
