"""Every reason of every gate has a place where a person can answer it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.references import (
    ClaimRef,
    DatumRef,
    LimitRef,
    PinRef,
    Reference,
    RuleRef,
    WayOut,
)
from evenbarrel.model import changes, datum_path
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import Deviation
from evenbarrel.wording.sheets.gates.deviations import deviations_sheet, groups
from evenbarrel.wording.sheets.gates.ways_out import ways_out_sheet


def ways(appraisal: Appraisal, barrel: str) -> dict[Reference | WayOut, tuple[str, ...]]:
    sheet = ways_out_sheet(appraisal, appraisal.gate(barrel))
    texts = (tuple(cell.text for cell in row) for row in sheet.rows)
    return dict(zip(sheet.row_references, texts, strict=True))


def as_entered(evaluation: Evaluation) -> Evaluation:
    return evaluation


def unconfirmed(evaluation: Evaluation) -> Evaluation:
    """Nobody confirmed a limit, and what wears some barrels out runs elsewhere."""
    return changes.pinned(evaluation.replace(confirmed_limits=()), {"j4"}, ("b1u1b",))


def together(evaluation: Evaluation) -> Evaluation:
    """Two jobs that must never share a machine are pinned to one."""
    return changes.pinned(evaluation, {"j2", "j3"}, ("b1u1b",))


@pytest.mark.parametrize(
    ("make", "kind"), [(as_entered, DatumRef), (unconfirmed, LimitRef), (together, PinRef)]
)
def test_each_reason_leads_to_a_place_that_is_there(
    sample_evaluation: Evaluation, make: Callable[[Evaluation], Evaluation], kind: type
) -> None:
    evaluation = make(sample_evaluation)
    appraisal = appraise(evaluation)
    found = [(barrel.id, way) for barrel in appraisal.barrels for way in ways(appraisal, barrel.id)]
    for barrel in appraisal.barrels:
        assert bool(appraisal.gate(barrel.id).reasons) == (barrel.id in {one for one, _ in found})
    for barrel_id, way in found:
        assert leads_somewhere(appraisal, barrel_id, way)
    assert {kind, RuleRef} <= {type(way) for _, way in found}


def leads_somewhere(appraisal: Appraisal, barrel: str, way: Reference | WayOut) -> bool:
    match way:
        case DatumRef(path):
            return datum_path.get(appraisal.evaluation, path) is None
        case ClaimRef():
            return appraisal.claim(way).state in ("query", "contradicts")
        case LimitRef():
            return way in {one.limit for one in appraisal.waiting_limits}
        case PinRef(job):
            return job in {one.id for one in appraisal.evaluation.jobs}
        case RuleRef(_, of):
            return of == barrel
    return False


def test_one_row_gathers_the_jobs_that_wait_for_the_same(sample_appraisal: Appraisal) -> None:
    found = ways(sample_appraisal, "b1u1a")
    why, jobs, action = found[RuleRef("utilisation", "b1u1a")]
    assert why == "Share of volume: outside by rule"
    assert jobs.startswith("6: ")
    assert action == "Accept or refuse it ›"


def test_a_refusal_leads_back_to_the_rule(sample_appraisal: Appraisal) -> None:
    refused = Deviation(barrel="b1u1a", job="j2", criterion="utilisation", refused=True)
    then = appraise(changes.with_deviations(sample_appraisal.evaluation, (refused,)))
    why = ways(then, "b1u1a")[RuleRef("utilisation", "b1u1a")][0]
    assert why == "Share of volume: outside a rule that a person has refused to waive"


def test_an_unsettled_barrel_leads_to_its_claim(sample_evaluation: Evaluation) -> None:
    corroded = ("corrosion", "wear")
    jobs = {job.id for job in sample_evaluation.jobs}
    shut = {
        reason.job
        for reason in appraise(sample_evaluation).gate("b4u1b").reasons
        if reason.criterion in corroded
    }
    elsewhere = changes.pinned(sample_evaluation, shut, ("b1u1b",))
    appraisal = appraise(elsewhere)
    assert jobs - shut == set(appraisal.gate("b4u1b").jobs)
    assert ClaimRef("b4u1b", "volume_geometry") in ways(appraisal, "b4u1b")


def test_decisions_alike_but_for_the_job_are_one_row(sample_appraisal: Appraisal) -> None:
    alike = tuple(
        Deviation(barrel="b1u1a", job=job, criterion="utilisation", person="A", reason="why")
        for job in ("j2", "j3")
    )
    refused = alike[0].replace(barrel="b1u1c", refused=True)
    on_all = alike[0].replace(job=None)
    evaluation = sample_appraisal.evaluation.replace(
        deviations=(alike[0], refused, alike[1], on_all)
    )
    assert groups(evaluation.deviations) == ((0, 2), (1,), (3,))
    rows = deviations_sheet(appraise(evaluation)).rows
    assert [row[3].text for row in rows] == ["accepted", "will not be waived", "accepted"]
    assert rows[0][1].text.count("; ") == 1
    assert rows[2][1].text == "all jobs"
