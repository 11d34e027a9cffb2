"""What an appraisal keeps of the one before it: what no edit since can have moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from evenbarrel.appraisal.claims import UnitClaims
from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.inputs.job_inputs import JobInputs
from evenbarrel.appraisal.results import BidResult, JobResult, ResinResult
from evenbarrel.model.evaluation import Evaluation

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal

_ASKING = ("jobs", "resins", "limits", "uncertainty", "confirmed_limits")
"""Parts of an evaluation by which shots ask what they ask."""


def known_claims(
    before: Appraisal | None, evaluation: Evaluation, resins: Mapping[str, ResinResult]
) -> Mapping[int, UnitClaims]:
    """Return the claims of an earlier appraisal by the identity of their unit.

    Claims depend on the unit, the resins and the limits alone, and a frozen unit that is the very
    same object holds the same numbers.
    """
    if before is None or before.resins != resins or before.evaluation.limits != evaluation.limits:
        return {}
    return {
        id(unit): tuple(before.barrel(barrel.id).claims for barrel in unit.barrels)
        for bid in before.evaluation.standing_bids
        for unit in bid.units
    }


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
