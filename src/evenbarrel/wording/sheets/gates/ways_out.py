"""What stands in a barrel's way, and for each of it the place where a person can answer it."""

from __future__ import annotations

from dataclasses import dataclass, field

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.consequences import basis_of, may_decide
from evenbarrel.appraisal.gate_results import Gate, GateReason
from evenbarrel.appraisal.references import (
    ClaimRef,
    CriterionRef,
    DatumRef,
    PinRef,
    Reference,
    RuleRef,
    WayOut,
)
from evenbarrel.model import changes
from evenbarrel.model.datum_path import Path
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.resin import Resin
from evenbarrel.wording.sentences.cells import listed, missing_words
from evenbarrel.wording.sentences.deciding.decision import NOTHING_STANDS
from evenbarrel.wording.sheets.gates.limits import limit_name, value_text
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import job_name

Way = tuple[Reference | WayOut, str, str]
"""Where a reason can be answered, why it stands in the way, and what to do there."""


@dataclass
class _Gathered:
    """The criteria and jobs that wait for one and the same."""

    criteria: dict[str, None] = field(default_factory=dict)
    jobs: dict[str, None] = field(default_factory=dict)


def ways_out_sheet(appraisal: Appraisal, gate: Gate) -> Sheet:
    """Return what stands in a barrel's way, a row for each place that answers it.

    Each cell of a row opens that place, or the working of a criterion.
    """
    found: dict[Way, _Gathered] = {}
    for reason in gate.reasons:
        way = found.setdefault(_way(appraisal, gate.barrel, reason), _Gathered())
        for criterion in filter(None, (reason.criterion,)):
            way.criteria[criterion] = None
        for job in filter(None, (reason.job, reason.other_job)):
            way.jobs[job] = None
    headings = (Heading("What stands in the way"), Heading("Jobs"), Heading("Way out"))
    rows = tuple(_row(appraisal, way, gathered) for way, gathered in found.items())
    return Sheet(
        "ways_out",
        "Ways out",
        headings,
        rows,
        notes=() if rows else (NOTHING_STANDS,),
        row_references=tuple(reference for reference, _, _ in found),
    )


def _row(appraisal: Appraisal, way: Way, gathered: _Gathered) -> tuple[Cell, ...]:
    reference, why, action = way
    criteria = listed([CRITERION_WORDS[key].label.lower() for key in gathered.criteria])
    text = f"{criteria}: {why}" if criteria else why
    names = [job_name(appraisal, job) for job in gathered.jobs]
    jobs = f"{len(names)}: {'; '.join(names)}" if names else "all"
    return (
        Cell(f"{text[:1].upper()}{text[1:]}", reference=reference),
        Cell(jobs, tip="\n".join(names), reference=reference),
        Cell(f"{action} ›", reference=reference),
    )


def _way(appraisal: Appraisal, barrel: str, reason: GateReason) -> Way:
    """Return the way out of one reason of a barrel's gate."""
    if reason.kind in ("rule", "outside"):
        return _of_outside(appraisal, barrel, reason)
    if reason.kind == "open":
        return _of_open(appraisal, barrel, reason)
    if reason.kind == "beyond_unconfirmed":
        return _of_limit(appraisal, barrel, reason)
    if reason.kind == "disputed":
        claim = reason.claim or ""
        words = CLAIM_WORDS[claim].label.lower()
        why = f"a printed number is in doubt, see {words}"
        return ClaimRef(barrel, claim), why, "Settle, answer or accept the claim"
    if reason.kind == "unsettled":
        why = "the printed sizes contradict each other and nobody has decided"
        return ClaimRef(barrel, "volume_geometry"), why, "Choose a reading"
    why = "two jobs that must never share a machine are pinned to one"
    return PinRef(reason.job or ""), why, "Pin one of them elsewhere"


def _of_outside(appraisal: Appraisal, barrel: str, reason: GateReason) -> Way:
    criterion, job = reason.criterion or "", reason.job or ""
    may_accept = may_decide(appraisal, CriterionRef(barrel, job, criterion))
    if reason.kind == "rule":
        if reason.shuts:
            why = "outside a rule that a person has refused to waive"
            return RuleRef(criterion, barrel), why, "Look at the refusal"
        if may_accept:
            return RuleRef(criterion, barrel), "outside by rule", "Accept or refuse it"
        # Nothing can be accepted before the size is settled.
        why = "outside by rule, whichever reading of the size is used"
        return ClaimRef(barrel, "volume_geometry"), why, "Choose a reading first"
    if may_accept:
        why = "beyond the resin's limit"
        return RuleRef(criterion, barrel), why, "Accept it, or run the job elsewhere"
    physical = basis_of(appraisal, criterion) == "physical"
    why = "outside by physics" if physical else "beyond the resin's limit"
    return PinRef(job), why, "Run the job on another barrel"


def _of_open(appraisal: Appraisal, barrel: str, reason: GateReason) -> Way:
    criterion, job = reason.criterion or "", reason.job or ""
    missing = appraisal.fit(barrel, job).criterion(criterion).missing if criterion else ()
    if not missing:
        return CriterionRef(barrel, job, criterion), "not assessed", "Open the working"
    path = _place(appraisal, barrel, job, missing[0])
    why = f"not assessed, {missing_words(missing)} missing"
    return DatumRef(path), why, f"Enter {missing_words(missing[:1])}, or ask for it"


def _place(appraisal: Appraisal, barrel: str, job: str, datum: str) -> Path:
    """Return where a missing datum is entered: with the offer, the job or the job's resin."""
    evaluation = appraisal.evaluation
    if any(datum in model.model_fields for model in (Barrel, InjectionUnit, Bid)):
        return changes.datum_path(evaluation, barrel, datum)
    resin = appraisal.job(job).resin
    if datum in Job.model_fields or datum not in Resin.model_fields or resin is None:
        return ("jobs", job, datum)
    return ("resins", resin, datum)


def _of_limit(appraisal: Appraisal, barrel: str, reason: GateReason) -> Way:
    cell = CriterionRef(barrel, reason.job or "", reason.criterion or "")
    waiting = appraisal.limits_awaited[cell]
    limit, value = waiting.limit, value_text(waiting.limit.field, waiting.value)
    name = limit_name(appraisal, limit).lower()
    why = f"{name} exceeded, {value} from memory: {labels.TO_CONFIRM}"
    return limit, why, "Confirm or change the limit"
