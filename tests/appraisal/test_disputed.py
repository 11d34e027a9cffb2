"""A printed number in doubt decides nothing until a person has answered for it."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.model.datum_path import put
from evenbarrel.model.evaluation import Evaluation

OIL = ("b5u1a", "j2")
"""175 bar of oil pressure printed as melt pressure, 1995 bar by ratio and system pressure."""
PSI = ("b4u1b", "j6")
"""25380 psi printed as bar: 1750 bar, against 1600 bar required."""


@pytest.mark.parametrize("cell", [OIL, PSI])
def test_a_pressure_in_doubt_is_neither_too_little_nor_enough(
    sample_appraisal: Appraisal, cell: tuple[str, str]
) -> None:
    pressure = sample_appraisal.fit(*cell).criterion("pressure")
    assert (pressure.state, pressure.reasons) == ("near_edge", ("disputed",))
    assert pressure.low is not None
    assert pressure.value is not None
    assert pressure.high is not None
    # The value is the printed one, and lies in its own interval: nothing is guessed.
    assert pressure.low <= pressure.value <= pressure.high
    assert (pressure.value > 1.0) == (cell == OIL)


def test_the_gate_waits_and_names_the_claim(sample_appraisal: Appraisal) -> None:
    barrel, _ = OIL
    gates = [sample_appraisal.gates.over(barrel, [job.id]) for job in sample_appraisal.jobs]
    waiting = [gate for gate in gates if gate.state == "waits"]
    assert waiting
    for gate in waiting:
        disputed = {(r.criterion, r.claim) for r in gate.reasons if r.kind == "disputed"}
        stated = sample_appraisal.fit(barrel, gate.jobs[0]).criterion("pressure").state
        assert (("pressure", "pressure_kind") in disputed) == (stated != "not_stated")


def test_only_pressure_depends_on_it(
    sample_evaluation: Evaluation, sample_appraisal: Appraisal
) -> None:
    path = ("bids", "b5", "units", "b5u1", "barrels", "b5u1a", "pressure_kind")
    answered = appraise(put(sample_evaluation, path, "oil"))
    for job in sample_appraisal.jobs:
        before, after = sample_appraisal.fit(OIL[0], job.id), answered.fit(OIL[0], job.id)
        for criterion in before.criteria:
            if criterion.key not in ("pressure", "power"):
                assert criterion == after.criterion(criterion.key)
    assert answered.fit(*OIL).criterion("pressure").state == "inside"


# Each claim contradicts; all else of the barrel is the exact one.
DOUBTED = [
    ("pressure_kind", "pressure", {"injection_pressure": "45 bar", "pressure_kind": "melt"}, {}),
    ("injection_speed", "rate", {"injection_speed": "200 mm/s"}, {}),
    ("injection_power", "power", {}, {"drive_power": "2 kW"}),
]


@pytest.mark.parametrize(("claim", "criterion", "barrel", "unit"), DOUBTED)
def test_what_a_claim_contradicts_is_near_the_edge_until_it_is_answered(
    planned, claim, criterion, barrel, unit
) -> None:
    doubted = appraise(planned(barrel=barrel, unit=unit))
    assert doubted.barrel("b").claim(claim).state == "contradicts"
    result = doubted.fit("b", "j").criterion(criterion)
    assert result.state == "near_edge"
    assert "disputed" in result.reasons
    assert doubted.gate("b").state == "waits"
    question = doubted.question_of(ClaimRef("b", claim))
    assert question is not None
    for state, ended in (("asked", False), ("answered", True), ("accepted_as_is", True)):
        answers = [{"question": question.id, "state": state}]
        after = appraise(planned(barrel=barrel, unit=unit, answers=answers))
        reasons = after.fit("b", "j").criterion(criterion).reasons
        assert ("disputed" not in reasons) == ended
        # The claim stays printed whatever became of it; it counts while it holds.
        assert after.barrel("b").claim(claim).state == "contradicts"
        assert (claim not in after.gate("b").doubts) == ended


def test_what_is_not_stated_stays_so(planned) -> None:
    appraisal = appraise(planned(barrel={"injection_speed": "200 mm/s"}, job={"fill_time": None}))
    assert appraisal.barrel("b").claim("injection_speed").state == "contradicts"
    assert appraisal.fit("b", "j").criterion("rate").state == "not_stated"


def test_a_query_that_names_no_slip_disputes_nothing(planned) -> None:
    appraisal = appraise(planned(barrel={"injection_speed": "78.0 mm/s"}))
    claim = appraisal.barrel("b").claim("injection_speed")
    assert (claim.state, claim.cause) == ("query", None)
    assert "disputed" not in appraisal.fit("b", "j").criterion("rate").reasons
    assert appraisal.gate("b").doubts == ("injection_speed",)


def test_leaving_a_volume_as_it_is_settles_nothing(planned) -> None:
    barrel = {"swept_volume": "450 cm3"}
    answers = [{"question": "bid.swept_volume", "state": "accepted_as_is"}]
    appraisal = appraise(planned(barrel=barrel, answers=answers))
    assert appraisal.barrel("b").swept.unsettled
    gate = appraisal.gate("b")
    assert gate.state == "waits"
    assert ("unsettled", "volume_geometry") in {(r.kind, r.claim) for r in gate.reasons}
    assert "volume_geometry" in gate.doubts
