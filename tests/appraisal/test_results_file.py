"""The results file: its names, its schema, its digest."""

from __future__ import annotations

import json

import jsonschema
import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.states.digest import digest
from evenbarrel.report.results_file import results_digest, results_of, to_json
from evenbarrel.report.results_shapes import Results


def publication(evaluation) -> Results:
    appraisal = appraise(evaluation)
    return results_of(appraisal, {q.id: f"Please state {q.datum}." for q in appraisal.questions})


CHANGES = {
    "title": "Drip fittings",
    "barrels": [
        {"swept_volume": "392.7 cm3"},
        {"id": "c", "swept_volume": "450 cm3", "ring_travel": None},
        {"id": "d", "screw_diameter": None, "stroke": None, "rated_shot_mass": "300 g"},
    ],
    "jobs": [
        {},
        {"id": "k", "shot_mass": "350 g ±0", "smallest_shot_mass": "50 g"},
        {"id": "l", "resin": None, "cooling_time": None},
    ],
    "deviations": [{"barrel": "b", "criterion": "utilisation", "person": "N. N."}],
}


@pytest.fixture(scope="module")
def results(planned) -> dict:
    return json.loads(to_json(publication(planned(**CHANGES))))


def test_the_results_are_valid_by_their_own_schema(results):
    schema = Results.model_json_schema(mode="serialization")
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(results)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(schema).validate({**results, "jobs": 1})
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(schema).validate({**results, "more": 1})


# The contract's names: those of its example and those it lists below it.
NAMES = {
    "": {
        "results_version",
        "evaluation",
        "jobs",
        "planned_range_cm3",
        "barrels",
        "fits",
        "questions",
        "bids",
        "programme",
    },
    "evaluation": {"title", "digest"},
    "jobs": {"id", "resin", "shot_mass_g", "shot_volume_cm3", "output_factor_g_cm3"},
    "barrels": {
        "id",
        "supplier",
        "unit",
        "label",
        "swept_volume_cm3",
        "swept_volume_route",
        "implied_factor_g_cm3",
        "rated_basis",
        "shot_mass_g",
        "claims",
        "state",
        "jobs_by_state",
        "unsettled",
        "gate",
        "gate_because",
        "gate_jobs",
    },
    "barrels.claims": {
        "key",
        "state",
        "stated",
        "derived",
        "difference_percent",
        "unit",
        "cause",
        "question",
        "causes",
        "subject",
        "tolerance_percent",
    },
    "barrels.gate_because": {"kind", "criterion", "job", "claim"},
    "bids": {"claims"},
    "fits": {"barrel", "job", "state", "binding", "criteria", "open", "soft", "deviation"},
    "fits.criteria": {
        "key",
        "state",
        "value",
        "value_low",
        "value_high",
        "allowed_low",
        "allowed_high",
        "comfort_low",
        "comfort_high",
        "unit",
        "margin",
        "shot_volume_low_cm3",
        "shot_volume_high_cm3",
        "missing",
        "at",
        "basis",
        "soft",
        "because",
        "comfort_margin",
        "comfort_volume_low_cm3",
        "comfort_volume_high_cm3",
        "caution",
        "shot_volume_empty",
        "window",
    },
    "questions": {"id", "to", "bid", "barrels", "datum", "raised_by", "jobs", "text"},
    "programme": {"incompatible_pairs"},
}
# Fields may be added, none renamed: what this version adds.
ADDED = {
    "": {"acceptance", "confirmed_limits", "decision", "waiting_limits"},
    "barrels": {"swept_volume_low_cm3", "swept_volume_high_cm3"},
    "barrels.claims": {"note", "missing"},
    "barrels.gate_because": {"other_job"},
    "bids": {"id"},
    "fits": {"because"},
    "questions": {"state"},
}


@pytest.mark.parametrize("place", NAMES)
def test_the_names_are_the_contracts(results, place):
    things = [results]
    for part in place.split(".") if place else []:
        found = [thing[part] for thing in things]
        things = [x for f in found for x in (f if isinstance(f, list) else [f])]
    assert things
    for thing in things:
        assert set(thing) == NAMES[place] | ADDED.get(place, set())


def test_numbers_are_in_the_units_their_names_say(results):
    first = results["jobs"][0]
    assert (first["shot_mass_g"], first["shot_volume_cm3"]) == pytest.approx((160.0, 160.0))
    assert first["output_factor_g_cm3"] == pytest.approx(1.0)
    assert results["planned_range_cm3"] == pytest.approx([50.0, 350.0])
    barrel = results["barrels"][0]
    assert barrel["swept_volume_cm3"] == pytest.approx(392.699, abs=1e-3)
    assert barrel["shot_mass_g"]["r"] == pytest.approx(392.699, abs=1e-3)
    claim = next(c for c in barrel["claims"] if c["key"] == "volume_geometry")
    assert (claim["state"], claim["unit"]) == ("agrees", "cm3")
    assert (claim["stated"], claim["derived"]) == pytest.approx((392.7, 392.699), abs=1e-3)
    utilisation = results["fits"][0]["criteria"][1]
    assert utilisation["shot_volume_high_cm3"] == pytest.approx(0.8 * 392.699, abs=1e-3)


def test_every_cell_carries_every_criterion_in_order(results):
    pairs = [(fit["barrel"], fit["job"]) for fit in results["fits"]]
    assert pairs == [(b, j) for b in ("b", "c", "d") for j in ("j", "k", "l")]
    for fit in results["fits"]:
        assert [c["key"] for c in fit["criteria"]] == list(CRITERIA)
        # A lower bound with all its data says nothing, and nothing is left to assess in it.
        not_stated = [c for c in fit["criteria"] if c["state"] == "not_stated"]
        assert fit["open"] == [c["key"] for c in not_stated if c["missing"] or c["caution"]]


def test_what_cannot_be_had_is_null_and_not_stated(results):
    job = results["jobs"][2]
    assert (job["resin"], job["shot_volume_cm3"], job["output_factor_g_cm3"]) == (None,) * 3
    fit = next(f for f in results["fits"] if (f["barrel"], f["job"]) == ("b", "l"))
    utilisation = fit["criteria"][1]
    assert utilisation["state"] == "not_stated"
    assert (utilisation["value"], utilisation["margin"]) == (None, None)
    assert utilisation["missing"] == ["resin"]


def test_claims_name_their_question_and_deviations_their_criterion(results):
    asked = {question["id"] for question in results["questions"]}
    claims = [c for barrel in results["barrels"] for c in barrel["claims"]]
    named = {claim["question"] for claim in claims} - {None}
    assert named
    assert named <= asked
    fit = next(f for f in results["fits"] if (f["barrel"], f["job"]) == ("b", "k"))
    assert (fit["state"], fit["deviation"]) == ("outside", ["utilisation"])


def test_the_digest_names_the_evaluation(planned):
    evaluation = planned(**CHANGES)
    results = publication(evaluation)
    assert (results.evaluation.title, results.evaluation.digest) == (
        "Drip fittings",
        digest(evaluation),
    )


def with_volume(results: Results, factor: float) -> Results:
    first, *others = results.barrels
    changed = first.replace(swept_volume_cm3=first.swept_volume_cm3 * factor)
    return results.replace(barrels=(changed, *others))


def test_the_results_digest_counts_nine_digits(planned):
    results = publication(planned(**CHANGES))
    rounded = with_volume(results, 392.7 / results.barrels[0].swept_volume_cm3)
    assert results_digest(with_volume(rounded, 1 + 1e-8)) != results_digest(rounded)
    assert results_digest(with_volume(rounded, 1 + 1e-12)) == results_digest(rounded)


def test_the_results_digest_holds_states_and_binding_and_no_sentences(planned):
    evaluation = planned(**CHANGES)
    results = publication(evaluation)
    same = results_digest(results)
    assert same == results_digest(publication(evaluation))
    assert same == results_digest(results.replace(questions=()))
    first, *others = results.fits
    for changes in ({"state": "outside"}, {"binding": "stroke"}):
        changed = results.replace(fits=(first.replace(**changes), *others))
        assert results_digest(changed) != same


def test_published_twice_is_the_same_bytes(planned):
    texts = [to_json(publication(planned(**CHANGES))) for _ in range(2)]
    assert texts[0] == texts[1]
    assert texts[0].endswith(b"}\n")
    assert b"NaN" not in texts[0]


def test_a_confirmed_limit_is_published_with_who_and_why(planned):
    soft = {"value": 0.1, "origin": "from_memory"}
    said = {"field": "ring_share", "value": 0.1, "person": "N. N.", "reason": "seen"}
    told = json.loads(
        to_json(publication(planned(limits={"ring_share": soft}, confirmed_limits=[said])))
    )
    (one,) = told["confirmed_limits"]
    assert (one["resin"], one["value"], one["person"]) == (None, 0.1, "N. N.")
    assert (one["reason"], one["date"], one["holds"]) == ("seen", None, True)
    other = {"ring_share": soft | {"value": 0.2}}
    told = json.loads(to_json(publication(planned(limits=other, confirmed_limits=[said]))))
    assert told["confirmed_limits"][0]["holds"] is False


def test_a_limit_that_waits_is_published_with_what_it_shuts(planned):
    soft = {"general_high": {"value": 0.21, "origin": "from_memory"}}
    told = json.loads(to_json(publication(planned(limits=soft))))
    (one,) = [w for w in told["waiting_limits"] if w["field"] == "general_high"]
    assert one["cells"] > 0
    waits = {b["id"] for b in told["barrels"] if b["gate"] == "waits"}
    assert set(one["shuts"]) <= waits
