"""A recorded proposal: its gate and cost over the jobs it gives, and what cannot stand."""

from __future__ import annotations

import gc
import json
from weakref import ref

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.decide import decide
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import evaluation_bytes, parse_evaluation

JOBS = [{}, {"shot_mass": {"magnitude": "200", "unit": "g"}}]


def proposal(barrels, jobs=()):
    named = [{"job": job, "barrel": barrel} for job, barrel in jobs]
    return {"barrels": list(barrels), "jobs": named, "person": "A buyer", "date": "2026-01-20"}


def test_it_is_judged_and_costed_over_the_jobs_it_gives(decided, make_bid):
    given = proposal(["aa", "ba"], [("j0", "aa"), ("j1", "ba")])
    result = decided(make_bid("a"), make_bid("b"), jobs=JOBS, proposal=given).proposal

    assert result.gate.state == "no_objection"
    assert [cost.jobs for cost in result.costs] == [("j0",), ("j1",)]
    whole = sum(cost.present.value for cost in result.costs)
    assert result.present.value == pytest.approx(whole)


def test_a_job_that_it_leaves_out_shuts_it(decided, make_bid):
    result = decided(make_bid("a"), jobs=JOBS, proposal=proposal(["aa"], [("j0", "aa")])).proposal

    assert result.gate.state == "shut"
    assert result.gate.uncovered == ("j1",)


def test_one_barrel_without_jobs_named_runs_them_all(decided, make_bid):
    result = decided(make_bid("a"), jobs=JOBS, proposal=proposal(["aa"])).proposal

    assert result.costs[0].jobs == ("j0", "j1")


def test_a_job_given_twice_is_told_and_costed_once(decided, make_bid):
    given = proposal(["aa", "ba"], [("j0", "aa"), ("j0", "ba"), ("j1", "ba")])
    result = decided(make_bid("a"), make_bid("b"), jobs=JOBS, proposal=given).proposal

    assert result.twice == ("j0",)
    assert [cost.jobs for cost in result.costs] == [("j0",), ("j1",)]


def test_a_barrel_whose_bid_was_revised_is_named_and_not_costed(decided, make_bid):
    bids = (make_bid("a"), make_bid("b", revises="a"))
    result = decided(*bids, proposal=proposal(["aa"])).proposal

    assert result.replaced == ("aa",)
    assert result.costs == ()


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda e: e["cost"].update(discount_rate=-1.0), "discount rate: .* must be above -1"),
        (lambda e: e["cost"].update(horizon_years=0), "cost, horizon: .* must be at least 1"),
        (
            lambda e: e["cost"].update(exchange_rates=[{"currency": "USD", "rate": 0.0}]),
            "exchange rate 1, rate: .* must be above 0",
        ),
        (lambda e: e.update(proposal=[{}, {}]), "proposal: must be a set of named fields"),
        (
            lambda e: e.update(assignment=[{"job": "j1", "barrel": "gone", "copy": 1}]),
            "'gone', which is not in the evaluation",
        ),
        (lambda e: e.update(proposal={"barrels": ["gone"]}), "'gone'"),
    ],
)
def test_what_cannot_stand_is_refused_in_one_sentence(sample_evaluation, spoil, words):
    filed = json.loads(evaluation_bytes(sample_evaluation))
    spoil(filed)

    with pytest.raises(FileRefused, match=words) as refused:
        parse_evaluation(json.dumps(filed).encode(), "a.evenbarrel.json")
    assert "\n" not in str(refused.value)


def test_a_decision_is_the_same_one_while_somebody_holds_it_and_no_longer(decided, make_bid):
    held = decided(make_bid("a"), jobs=JOBS)
    assert decide(held.appraisal) is held
    evaluation = held.appraisal.evaluation
    other = decide(appraise(evaluation.replace(jobs=evaluation.jobs[:1])))
    assert len(other.appraisal.jobs) == 1
    gone = ref(other)
    del other
    gc.collect()
    assert gone() is None
