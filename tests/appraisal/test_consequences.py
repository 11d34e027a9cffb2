"""What a decision is told to come to is what it then comes to."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.consequences import (
    basis_of,
    decidable_criteria,
    gates_appraised,
    gates_decided,
    to_decide,
    tried_readings,
)
from evenbarrel.model import changes
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.decision import Deviation


def moves(appraisal: Appraisal, after: Evaluation) -> set[tuple[str, object, object]]:
    states = appraise(after).gates.states
    before = appraisal.gates.states
    return {(b, before[b], states[b]) for b in before if before[b] != states[b]}


@pytest.mark.parametrize("refused", [None, True])
def test_deciding_on_every_rule_moves_the_gates_that_were_told(
    sample_appraisal: Appraisal, refused: bool | None
) -> None:
    rules = [
        key
        for key in decidable_criteria(sample_appraisal)
        if basis_of(sample_appraisal, key) == "practice"
    ]
    cells = [cell for key in rules for cell in to_decide(sample_appraisal, key)]
    assert len(cells) > 20
    after = changes.with_deviations(
        sample_appraisal.evaluation,
        [
            Deviation(barrel=c.barrel, job=c.job, criterion=c.criterion, refused=refused)
            for c in cells
        ],
    )
    told = {(one.barrel, one.before, one.after) for one in gates_decided(sample_appraisal, after)}
    assert told == moves(sample_appraisal, after)
    assert told


def test_pinning_moves_the_gates_that_were_told(sample_appraisal: Appraisal) -> None:
    shut_for = {reason.job for reason in sample_appraisal.gate("b2u1a").reasons}
    after = changes.pinned(sample_appraisal.evaluation, shut_for, ("b1u1b",))
    told = {(one.barrel, one.before, one.after) for one in gates_decided(sample_appraisal, after)}
    assert told == moves(sample_appraisal, after)
    assert ("b2u1a", "shut") in {(barrel, before) for barrel, before, _ in told}
    assert shut_for.isdisjoint(appraise(after).gate("b2u1a").jobs)


def test_confirmations_taken_back_move_the_gates_that_were_told(
    sample_appraisal: Appraisal,
) -> None:
    after = sample_appraisal.evaluation.replace(confirmed_limits=())
    found = gates_appraised(sample_appraisal, appraise(after, sample_appraisal))
    told = {(o.barrel, o.before, o.after) for o in found}
    assert told == moves(sample_appraisal, after)


def test_only_what_a_person_may_accept_is_offered(sample_appraisal: Appraisal) -> None:
    for key in decidable_criteria(sample_appraisal):
        for cell in to_decide(sample_appraisal, key):
            fit = sample_appraisal.fit(cell.barrel, cell.job)
            result = next(one for one in fit.criteria if one.key == key)
            assert result.state == "outside"
            assert result.basis != "physical"
            assert key in (*fit.acceptable, *fit.accepted, *fit.refused)


def test_an_unknown_barrel_has_no_readings(sample_appraisal: Appraisal) -> None:
    with pytest.raises(KeyError):
        tried_readings(sample_appraisal, "nobody")
    assert tried_readings(sample_appraisal, "b1u1a") == ()


def test_a_slip_is_offered_first_and_every_reading_is_taken_as_told(
    sample_appraisal: Appraisal,
) -> None:
    tried = tried_readings(sample_appraisal, "b4u1b")
    assert [(one.settled.route, one.settled.reading) for one in tried] == [
        ("geometry", "in3_as_cm3"),
        ("geometry", "as_printed"),
        ("quoted", "diameter"),
        ("quoted", "stroke"),
        ("quoted", "unknown"),
    ]
    pins = changes.pinned(sample_appraisal.evaluation, {"j2", "j4"}, ("b1u1b",))
    pinned = appraise(pins)
    for one in tried_readings(pinned, "b4u1b"):
        then = appraise(changes.settled(pins, "b4u1b", one.settled))
        assert then.gate("b4u1b").reasons == one.gate.reasons
        assert {job: then.fit("b4u1b", job).state for job in one.states} == dict(one.states)
        assert [t.taken for t in tried_readings(then, "b4u1b")].count(True) == 1
