"""What an appraisal keeps of the one before it: what no edit since can have moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from evenbarrel.appraisal.inputs.barrel_inputs import BarrelInputs, Row
from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.inputs.job_inputs import JobInputs
from evenbarrel.appraisal.inputs.swept_volume import SettledBarrel
from evenbarrel.appraisal.results import BarrelResult, BidResult, JobResult, ResinResult
from evenbarrel.model.bid import Bid
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import Uncertainty

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_ASKING = ("jobs", "resins", "limits", "uncertainty", "confirmed_limits")
"""Parts of an evaluation by which shots ask what they ask."""


@dataclass(frozen=True, slots=True)
class KnownUnit:
    """What an earlier appraisal came to of a unit's barrels, each in the unit's order."""

    settled: tuple[SettledBarrel, ...]
    results: tuple[BarrelResult, ...]

    def of_bid(self, bid: Bid) -> tuple[BarrelResult, ...]:
        """Return the results as of that bid, whose supplier may be called otherwise by now."""
        if all((one.bid, one.supplier) == (bid.id, bid.supplier) for one in self.results):
            return self.results
        return tuple(replace(one, bid=bid.id, supplier=bid.supplier) for one in self.results)


def known_units(
    before: Appraisal | None, evaluation: Evaluation, resins: Mapping[str, ResinResult]
) -> Mapping[int, KnownUnit]:
    """Return the units of an earlier appraisal by identity, where nothing else moves them.

    Claims and volumes depend on the unit, the resins and the limits alone, and a frozen unit that
    is the very same object holds the same numbers.
    """
    if before is None or before.evaluation.limits != evaluation.limits:
        return {}
    if [*before.resins.values()] != [*resins.values()]:
        return {}
    # The first rows of the table are one for each barrel, in the order of the results.
    of_barrels = iter(zip(before.grid.table.rows, before.barrels, strict=False))
    known = {}
    for bid in before.evaluation.standing_bids:
        for unit in bid.units:
            own = [next(of_barrels) for _ in unit.barrels]
            settled, results = (row.settled for row, _ in own), (result for _, result in own)
            known[id(unit)] = KnownUnit(tuple(settled), tuple(results))
    return known


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
    return {id(bid): one for bid, one in zip(then.standing_bids, before.bids, strict=True)}


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


def known_giving(
    before: Appraisal | None,
    rows: Sequence[Row],
    resins: Mapping[str, ResinResult],
    uncertainty: Uncertainty,
) -> BarrelInputs | None:
    """Return what the readings of an earlier appraisal give; None where that may differ.

    A barrel that was settled anew, or whose frozen unit is another object, may give another.
    """
    if before is None or before.resins != resins:
        return None
    table = before.grid.table
    if table.uncertainty != uncertainty or len(table.rows) != len(rows):
        return None
    alike = all(
        one.settled is its.settled and one.unit.unit is its.unit.unit
        for one, its in zip(table.rows, rows, strict=True)
    )
    return table.of_barrels if alike else None


def known_asking(
    before: Appraisal | None,
    evaluation: Evaluation,
    jobs: Sequence[JobResult],
    resins: Mapping[str, ResinResult],
) -> tuple[tuple[Column, ...], JobInputs] | None:
    """Return the shots of an earlier appraisal and what they ask; None where that may differ."""
    if before is None or (before.jobs, before.resins) != (jobs, resins):
        return None
    then = before.evaluation
    if any(getattr(then, name) != getattr(evaluation, name) for name in _ASKING):
        return None
    return before.grid.table.columns, before.grid.table.of_jobs
