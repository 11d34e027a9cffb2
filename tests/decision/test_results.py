"""The decision in the results file and in what `appraise` prints."""

from __future__ import annotations

import json
import math
import re

import jsonschema
import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.acceptance import series_of
from evenbarrel.report.results_file import results_digest, results_of, to_json
from evenbarrel.report.results_shapes import Results
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.sentences.deciding.choice import choice_lines, missing_text
from evenbarrel.wording.sentences.summary import summary_text


@pytest.fixture(scope="module")
def written(sample_appraisal, sample_decision):
    results = results_of(sample_appraisal, question_texts(sample_appraisal), sample_decision)
    return json.loads(to_json(results))


def test_the_results_hold_what_the_contract_names_and_fit_their_schema(written):
    schema = Results.model_json_schema(by_alias=True)
    jsonschema.Draft202012Validator(schema).validate(written)
    decision = written["decision"]
    assert {"currency", "offers", "cost", "cover", "order", "shares", "needs_at_least"} <= set(
        decision
    )
    assert {"job", "barrel", "copy", "share"} == set(decision["cover"][1]["assignment"][0])
    assert {"machine", "screw", "freight", "installation", "training", "scope", "fill_in"} == set(
        decision["offers"][0]["parts"]
    )
    assert [cover["machines"] for cover in decision["cover"][:4]] == [0, 1, 2, 3]


def test_parts_of_the_results_add_up(written):
    for offer in written["decision"]["offers"]:
        if offer["price"] is not None:
            assert sum(p or 0.0 for p in offer["parts"].values()) == pytest.approx(offer["price"])
    for cost in written["decision"]["cost"]:
        if cost["present_cost"] is not None:
            assert sum(p or 0.0 for p in cost["parts"].values()) == pytest.approx(
                cost["present_cost"]
            )


def test_a_null_has_its_reason(written):
    for entry in (*written["decision"]["offers"], *written["decision"]["cost"]):
        silent = [name for name, value in entry["parts"].items() if value is None]
        assert not silent or entry["missing"]


def test_the_decision_is_not_in_the_digest_of_results(sample_appraisal, sample_decision):
    texts = question_texts(sample_appraisal)
    alone = results_of(sample_appraisal, texts)
    assert results_digest(alone) == results_digest(
        results_of(sample_appraisal, texts, sample_decision)
    )


def test_the_summary_tells_the_order_the_sets_and_what_is_not_counted(
    sample_appraisal, sample_decision
):
    text = summary_text(sample_appraisal, sample_decision)
    leader = sample_decision.order[0].barrel
    label = sample_appraisal.barrel(leader).label
    assert re.search(rf"^1\. .*{label}: no objection, 8 of 8 jobs", text, re.MULTILINE)
    assert "Every job runs with" in text
    assert "Not counted:" in text
    assert "None" not in text


def test_the_summary_says_why_there_is_no_cost(decided, make_bid):
    lines = choice_lines(decided(make_bid("b"), cost={"horizon_years": None}))

    assert "No cost over life: horizon not stated." in lines


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("exchange_rate.USD", "an exchange rate for USD"),
        ("negative.freight", "freight (negative as stated)"),
        ("lines.service", "service"),
        ("price.machine", "machine price"),
        ("spares", "spares"),
    ],
)
def test_what_is_missing_is_told_in_words(name, words):
    assert missing_text(name) == words


def test_the_results_hold_every_acceptance_series_with_its_verdicts(written, sample_appraisal):
    found = series_of(sample_appraisal)
    told = written["acceptance"]
    assert [one["kind"] for one in told] == ["air_shot", "plasticising", "repeatability"]
    assert [one["unit"] for one in told] == ["g", "g/s", "%"]
    for one, series in zip(told, found, strict=True):
        size = 100.0 if one["unit"] == "%" else 1000.0
        entered = sample_appraisal.evaluation.acceptance[series.acceptance]
        assert (one["barrel"], one["date"]) == (entered.barrel, entered.date.isoformat())
        assert one["shots"] == len(entered.tests[series.test].masses)
        assert one["value"] == pytest.approx(series.result.value * size)
        assert one["uncertainty"] == pytest.approx(series.result.expanded * size)
        parts = one["uncertainty_parts_percent"].values()
        relative = math.hypot(*parts) / 100.0
        assert one["uncertainty"] == pytest.approx(2.0 * relative * one["value"])
        for held in one["held"]:
            least, most = one["value"] - one["uncertainty"], one["value"] + one["uncertainty"]
            low, high = held["low"], held["high"]
            within = (low is None or least >= low) and (high is None or most <= high)
            beyond = (low is not None and most < low) or (high is not None and least > high)
            verdict = "accept" if within else "reject" if beyond else "within_uncertainty"
            assert held["verdict"] == verdict
    assert {held["verdict"] for one in told for held in one["held"]} == {
        "accept",
        "reject",
        "within_uncertainty",
    }


def test_what_is_weighed_later_is_not_in_the_digest_of_results(sample_appraisal):
    """It is no part of what was signed: a signature computes the same before and after."""
    texts = question_texts(sample_appraisal)
    before = appraise(sample_appraisal.evaluation.replace(acceptance=()))
    assert results_of(before, texts).acceptance == ()
    assert results_digest(results_of(before, texts)) == results_digest(
        results_of(sample_appraisal, texts)
    )
