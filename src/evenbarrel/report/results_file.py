"""The appraisal as it leaves the program: the fixed names and units of the results file."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from math import isfinite
from typing import Any

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.doubt import datum_to_ask
from evenbarrel.appraisal.gate_results import GateReason, WaitingLimit
from evenbarrel.appraisal.inputs.confirmed import holds
from evenbarrel.appraisal.job_results import JobResult
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.appraisal.results import (
    SEVERITY,
    BarrelResult,
    BidResult,
    Claim,
    CriterionResult,
    Fit,
    Question,
)
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.flips.search import Flips
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import ConfirmedLimit
from evenbarrel.model.states.digest import digest
from evenbarrel.report.acceptance import published_series
from evenbarrel.report.decision.file import published
from evenbarrel.report.results_shapes import (
    PublishedBarrel,
    PublishedBid,
    PublishedClaim,
    PublishedConfirmedLimit,
    PublishedCriterion,
    PublishedEvaluation,
    PublishedFit,
    PublishedGateReason,
    PublishedJob,
    PublishedProgramme,
    PublishedQuestion,
    PublishedWaitingLimit,
    PublishedWindow,
    Results,
)
from evenbarrel.units import KINDS, from_si, metric_unit

RESULTS_VERSION = 2
DIGITS = 9
"""Significant digits of the numbers that enter the results digest."""

_NOT_COMPUTED = {
    "evaluation",
    "questions",
    "confirmed_limits",
    "waiting_limits",
    "acceptance",
    "decision",
}
"""What the results digest leaves out: what was entered, or follows from what is in it.

A cover that ran out of time may differ from one run to the next.
"""


def _finite(value: float | None) -> float | None:
    return None if value is None or not isfinite(value) else value


def _cm3(volume: float | None) -> float | None:
    return None if volume is None else _finite(volume * 1e6)


def _grams(mass: float | None) -> float | None:
    return None if mass is None else _finite(mass * 1e3)


def _g_cm3(density: float | None) -> float | None:
    return None if density is None else _finite(density * 1e-3)


def _percent(share: float | None) -> float | None:
    return None if share is None else _finite(share * 100.0)


def _claim(claim: Claim, question: str | None) -> PublishedClaim:
    unit = metric_unit(claim.kind) if claim.kind in KINDS else ""

    def out(value: float | None) -> float | None:
        if value is None or not unit:
            return _finite(value)
        return _finite(from_si(value, unit, claim.kind))

    return PublishedClaim(
        key=claim.key,
        subject=datum_to_ask(claim),
        state=claim.state,
        stated=out(claim.stated),
        derived=out(claim.derived),
        difference_percent=_percent(claim.gap),
        tolerance_percent=_percent(claim.tolerance),
        unit=unit,
        cause=claim.cause,
        causes=tuple(f"{cause.code}:{cause.datum}" for cause in claim.causes),
        note=claim.note,
        missing=claim.missing,
        question=question,
    )


def _claims(appraisal: Appraisal, owner: BarrelResult | BidResult) -> tuple[PublishedClaim, ...]:
    published = []
    for claim in owner.claims:
        question = appraisal.question_of(ClaimRef(owner.id, claim.key))
        published.append(_claim(claim, None if question is None else question.id))
    return tuple(published)


def _reason(reason: GateReason) -> PublishedGateReason:
    return PublishedGateReason(
        kind=reason.kind,
        criterion=reason.criterion,
        job=reason.job,
        other_job=reason.other_job,
        claim=reason.claim,
    )


def _barrel(barrel: BarrelResult, appraisal: Appraisal) -> PublishedBarrel:
    grid, gate = appraisal.grid, appraisal.gate(barrel.id)
    codes = grid.state[grid.row(barrel.id)]
    by_state: dict[str, tuple[str, ...]] = {
        state: tuple(job for job, code in zip(grid.job_ids, codes, strict=True) if code == place)
        for place, state in enumerate(SEVERITY)
    }
    bound = barrel.swept.bound
    return PublishedBarrel(
        id=barrel.id,
        supplier=barrel.supplier,
        unit=barrel.unit,
        label=barrel.label,
        state=appraisal.barrel_states[barrel.id],
        jobs_by_state=by_state,
        gate=gate.state,
        gate_because=tuple(map(_reason, gate.reasons)),
        gate_jobs=gate.jobs,
        unsettled=barrel.swept.unsettled,
        swept_volume_cm3=None if bound is None else _cm3(bound.nominal),
        swept_volume_low_cm3=None if bound is None else _cm3(bound.low),
        swept_volume_high_cm3=None if bound is None else _cm3(bound.high),
        swept_volume_route=barrel.swept.route,
        implied_factor_g_cm3=_g_cm3(barrel.implied_factor),
        rated_basis=barrel.rated_basis,
        shot_mass_g={resin: _grams(mass) for resin, mass in barrel.shot_masses},
        claims=_claims(appraisal, barrel),
    )


def _window(job: JobResult) -> PublishedWindow | None:
    window = job.window
    if window is None or window.taken is None or window.bound is None:
        return None
    bound = window.bound
    if not all(map(isfinite, (bound.nominal, bound.low, bound.high))):
        return None
    return PublishedWindow(route=window.taken, value=bound.nominal, low=bound.low, high=bound.high)


def _criterion(result: CriterionResult, job: JobResult) -> PublishedCriterion:
    return PublishedCriterion(
        key=result.key,
        state=result.state,
        basis=result.basis,
        at=result.at,
        value=result.value,
        value_low=result.low,
        value_high=result.high,
        allowed_low=result.allowed_low,
        allowed_high=result.allowed_high,
        comfort_low=result.comfort_low,
        comfort_high=result.comfort_high,
        unit=result.unit,
        margin=result.margin,
        comfort_margin=result.comfort_margin,
        shot_volume_low_cm3=_cm3(result.shot_volume_low),
        shot_volume_high_cm3=_cm3(result.shot_volume_high),
        comfort_volume_low_cm3=_cm3(result.comfort_volume_low),
        comfort_volume_high_cm3=_cm3(result.comfort_volume_high),
        shot_volume_empty=result.shot_volume_empty,
        soft=result.unconfirmed,
        because=result.reasons,
        missing=result.missing,
        caution=result.caution,
        window=_window(job) if result.key == "recovery" else None,
    )


def _fit(fit: Fit, job: JobResult) -> PublishedFit:
    return PublishedFit(
        barrel=fit.barrel,
        job=fit.job,
        state=fit.state,
        binding=fit.binding,
        open=fit.open,
        soft=fit.unconfirmed,
        because=fit.reasons,
        deviation=fit.accepted,
        criteria=tuple(_criterion(criterion, job) for criterion in fit.criteria),
    )


def _job(job: JobResult) -> PublishedJob:
    shot = job.nominal
    volume = None if shot is None or shot.volume is None else shot.volume.nominal
    return PublishedJob(
        id=job.id,
        resin=job.resin,
        shot_mass_g=None if shot is None else _grams(shot.mass.nominal),
        shot_volume_cm3=_cm3(volume),
        output_factor_g_cm3=_g_cm3(job.factor),
    )


def _bid(bid: BidResult, appraisal: Appraisal) -> PublishedBid:
    return PublishedBid(id=bid.id, claims=_claims(appraisal, bid))


def _question(question: Question, text: str) -> PublishedQuestion:
    return PublishedQuestion(
        id=question.id,
        to=question.to,
        bid=question.bid,
        barrels=question.barrels,
        datum=question.datum,
        raised_by=question.raised_by,
        jobs=question.jobs,
        state=question.state,
        text=text,
    )


def _confirmed(one: ConfirmedLimit, evaluation: Evaluation) -> PublishedConfirmedLimit:
    return PublishedConfirmedLimit(
        resin=one.resin,
        field=one.field,
        value=one.value,
        person=one.person,
        date=one.date,
        reason=one.reason,
        holds=holds(evaluation, one),
    )


def _waiting(one: WaitingLimit) -> PublishedWaitingLimit:
    return PublishedWaitingLimit(
        resin=one.limit.resin,
        field=one.limit.field,
        value=one.value,
        cells=len(one.cells),
        shuts=one.shuts,
        frees=one.frees,
    )


def results_of(
    appraisal: Appraisal,
    texts: Mapping[str, str],
    decision: Decision | None = None,
    flips: Flips | None = None,
) -> Results:
    """Return the results with their fixed names; `texts` gives each question's sentence by id.

    What a choice needs stands in them where the `decision` is given, and what would flip it where
    `flips` are.
    """
    evaluation, span = appraisal.evaluation, appraisal.planned_range
    cells = ((barrel.id, job) for barrel in appraisal.barrels for job in appraisal.jobs)
    return Results(
        results_version=RESULTS_VERSION,
        evaluation=PublishedEvaluation(title=evaluation.title, digest=digest(evaluation)),
        jobs=tuple(_job(job) for job in appraisal.jobs),
        planned_range_cm3=None if span is None else (span[0] * 1e6, span[1] * 1e6),
        barrels=tuple(_barrel(barrel, appraisal) for barrel in appraisal.barrels),
        bids=tuple(_bid(bid, appraisal) for bid in appraisal.bids),
        fits=tuple(_fit(appraisal.fit(barrel, job.id), job) for barrel, job in cells),
        questions=tuple(_question(q, texts[q.id]) for q in appraisal.questions),
        programme=PublishedProgramme(incompatible_pairs=appraisal.incompatible_pairs),
        confirmed_limits=tuple(_confirmed(one, evaluation) for one in evaluation.confirmed_limits),
        waiting_limits=tuple(map(_waiting, appraisal.waiting_limits)),
        acceptance=published_series(appraisal),
        decision=None if decision is None else published(decision, flips),
    )


def to_json(results: Results) -> bytes:
    """Return the results as UTF-8 JSON, one level of indentation a step."""
    return (results.model_dump_json(indent=1, by_alias=True) + "\n").encode("utf-8")


def _rounded(value: Any) -> Any:
    if isinstance(value, float):
        return float(f"{value:.{DIGITS}g}")
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items() if key != "text"}
    return [_rounded(item) for item in value] if isinstance(value, list) else value


def results_digest(results: Results) -> str:
    """Return the SHA-256 over states, binding and numbers to 9 significant digits."""
    data = results.model_dump(mode="json", exclude=_NOT_COMPUTED)
    text = json.dumps(_rounded(data), sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("utf-8")).hexdigest()
