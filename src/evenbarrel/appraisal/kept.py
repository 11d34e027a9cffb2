"""What an appraisal keeps of the one before it: what no edit since can have moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from evenbarrel.appraisal.claims import failed_claims
from evenbarrel.appraisal.claims.context import LIMITS_OF_CLAIMS
from evenbarrel.appraisal.claims.slips import ON_RATING
from evenbarrel.appraisal.inputs.barrel_inputs import BarrelInputs, Row, barrel_inputs, rows_of
from evenbarrel.appraisal.inputs.columns import Column, columns_of
from evenbarrel.appraisal.inputs.confirmed import Confirmed, with_confirmed
from evenbarrel.appraisal.inputs.job_inputs import JobInputs, job_inputs
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit
from evenbarrel.appraisal.inputs.swept_volume import BarrelVolume, shot_masses
from evenbarrel.appraisal.job_results import JobResult
from evenbarrel.appraisal.results import BarrelResult, BidResult, ResinResult
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid, InjectionUnit

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_CONFIRMED = ("resins", "limits", "confirmed_limits")
"""Parts of an evaluation by which a confirmed limit is one."""


@dataclass(frozen=True, slots=True)
class KnownUnit:
    """The earlier results of a unit's barrels, in the unit's order."""

    settled: tuple[BarrelVolume, ...]
    results: tuple[BarrelResult, ...]

    def of_bid(self, bid: Bid) -> tuple[BarrelResult, ...]:
        """Return the results under that bid, whose supplier may have been renamed since."""
        if all((one.bid, one.supplier) == (bid.id, bid.supplier) for one in self.results):
            return self.results
        return tuple(replace(one, bid=bid.id, supplier=bid.supplier) for one in self.results)


def known_units(
    before: Appraisal | None, evaluation: Evaluation, resins: Mapping[str, ResinResult]
) -> Mapping[int, KnownUnit]:
    """Return the units of an earlier appraisal by identity, where nothing else moves them.

    Claims and volumes depend on the unit, on resins and on the limits of claims alone, and a frozen
    unit that is the very same object holds the same numbers.
    """
    if before is None or not _claimed_alike(before.evaluation, evaluation):
        return {}
    if [*before.resins] != [*resins]:
        return {}
    other = {name for name, resin in resins.items() if before.resins[name] != resin}
    # The first rows of the table are one for each barrel, in the order of the results.
    of_barrels = iter(zip(before.grid.table.rows, before.barrels, strict=False))
    known = {}
    for bid in before.evaluation.counting_bids:
        for unit in bid.units:
            own = [next(of_barrels) for _ in unit.barrels]
            settled, results = [row.settled for row, _ in own], [result for _, result in own]
            if other and _hangs_on(other, unit, results):
                continue
            if other:
                results = [
                    replace(one, shot_masses=shot_masses(one.swept, resins)) for one in results
                ]
            known[id(unit)] = KnownUnit(tuple(settled), tuple(results))
    return known


def _hangs_on(other: set[str], unit: InjectionUnit, results: Sequence[BarrelResult]) -> bool:
    """Say whether some resins may move what a unit's numbers say of each other.

    It names one of them, or a mass that no resin named for it explains is tried in every resin.
    """
    named = {name for b in unit.barrels for name in (b.reference_resin, b.plasticising_resin)}
    failed = {claim.key for result in results for claim in failed_claims(result.claims)}
    return not (other.isdisjoint(named) and ON_RATING.isdisjoint(failed))


def _claimed_alike(then: Evaluation, now: Evaluation) -> bool:
    """Say whether claims are held against the same limits."""
    return all(getattr(then.limits, key) == getattr(now.limits, key) for key in LIMITS_OF_CLAIMS)


def known_resins(before: Appraisal | None, evaluation: Evaluation) -> Mapping[int, ResinResult]:
    """Return the resins of an earlier appraisal by identity, where nothing else moves them."""
    if before is None or before.evaluation.uncertainty != evaluation.uncertainty:
        return {}
    return {id(resin): before.resins[resin.id] for resin in before.evaluation.resins}


def known_offers(before: Appraisal | None, evaluation: Evaluation) -> Mapping[int, BidResult]:
    """Return the bids of an earlier appraisal by identity, where they are judged alike."""
    if before is None:
        return {}
    then = before.evaluation
    if (then.as_of, then.limits.required) != (evaluation.as_of, evaluation.limits.required):
        return {}
    return {id(bid): one for bid, one in zip(then.counting_bids, before.bids, strict=True)}


def known_jobs(before: Appraisal | None, evaluation: Evaluation) -> Mapping[int, JobResult]:
    """Return the jobs of an earlier appraisal by identity, where nothing else moves them."""
    if before is None or before.evaluation.uncertainty != evaluation.uncertainty:
        return {}
    then = before.evaluation
    return {
        id(job): result
        for job, result in zip(then.jobs, before.jobs, strict=True)
        if then.resin(job.resin) == evaluation.resin(job.resin)
    }


def confirmed_of(before: Appraisal | None, evaluation: Evaluation) -> Confirmed:
    """Return what is judged by with what people confirmed; see `with_confirmed`."""
    if before is None or any(
        getattr(before.evaluation, name) != getattr(evaluation, name) for name in _CONFIRMED
    ):
        return with_confirmed(evaluation)
    return before.confirmed


def asking_of(
    before: Appraisal | None,
    evaluation: Evaluation,
    confirmed: Confirmed,
    jobs: Sequence[JobResult],
    resins: Mapping[str, ResinResult],
) -> tuple[tuple[Column, ...], JobInputs]:
    """Return the shots and what they ask; that of shots as before is taken from there."""
    columns = columns_of(evaluation.jobs, confirmed.resins, jobs, resins)
    limits, uncertainty = confirmed.limits, evaluation.uncertainty
    if (
        before is None
        or len(columns) != len(before.grid.table.columns)
        or before.evaluation.uncertainty != uncertainty
    ):
        return columns, job_inputs(columns, limits, uncertainty)
    then = before.grid.table
    asked = then.of_jobs
    if before.confirmed.limits != limits:
        asked = asked.judged_by(then.columns, limits)
    pairs = enumerate(zip(columns, then.columns, strict=True))
    places = [place for place, (now, earlier) in pairs if now != earlier]
    if not places:
        return then.columns, asked
    others = job_inputs([columns[place] for place in places], limits, uncertainty)
    return columns, asked.with_shots(places, others)


def rows_and_inputs(
    before: Appraisal | None,
    evaluation: Evaluation,
    settled: Sequence[tuple[StatedUnit, StatedBarrel, BarrelVolume]],
    resins: Mapping[str, ResinResult],
) -> tuple[tuple[Row, ...], BarrelInputs]:
    """Return the readings of the barrels and what they give; that of readings as before is kept."""
    rows, uncertainty = rows_of(settled), evaluation.uncertainty
    if (
        before is None
        or len(rows) != len(before.grid.table.rows)
        or before.evaluation.uncertainty != uncertainty
        or before.resins != resins
    ):
        return rows, barrel_inputs(rows, resins, uncertainty)
    then = before.grid.table
    pairs = enumerate(zip(rows, then.rows, strict=True))
    places = [place for place, (now, earlier) in pairs if not now.gives_what(earlier)]
    if not places:
        return rows, then.of_barrels
    others = barrel_inputs([rows[place] for place in places], resins, uncertainty)
    return rows, then.of_barrels.with_readings(places, others)
