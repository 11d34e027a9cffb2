from __future__ import annotations

import hashlib
import json
import unicodedata
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.model.datum_path import put
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limits
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.offers.terms import Document
from evenbarrel.model.quantity import Place, Quantity
from evenbarrel.model.record.acceptance import Acceptance
from evenbarrel.model.record.decision import Answer, SignOff
from evenbarrel.model.resin import Resin
from evenbarrel.model.states.digest import SCHEME, canonical, digest, signed_state

texts = st.text(st.characters(exclude_categories=["Cs"]))

# Written out by hand from the contract: every field, nulls and defaults in, keys sorted, no spaces.
TINY = (
    '{"answers":[],"as_of":"2026-04-15","assignment":[],"bids":[],"buyer":"",'
    '"cost":{"discount_rate":null,"energy_per_mass":null,"exchange_rates":[],'
    '"horizon_years":null,"hours_available":null,"lines":[],"machine_hour_rate":null,"oee":null,'
    '"real":false,"residual":null,"tariff":null},'
    '"currency":"EUR","deviations":[],"jobs":[],'
    '"limits":{'
    '"engineering_high":{"note":"share of swept volume, engineering resins",'
    '"origin":"common_practice","value":0.5},'
    '"engineering_low":{"note":"share of swept volume, engineering resins",'
    '"origin":"common_practice","value":0.3},'
    '"force_agreement":{"note":"agreement of screw forces on one drive",'
    '"origin":"common_practice","value":0.02},'
    '"general_high":0.75,'
    '"general_low":{"note":"share of swept volume, general resins",'
    '"origin":"common_practice","value":0.2},'
    '"pressure_share":{"note":"required as share of quoted pressure",'
    '"origin":"common_practice","value":0.85},'
    '"rate_share":{"note":"required as share of quoted rate",'
    '"origin":"common_practice","value":0.9},'
    '"rated_basis":{"note":"agreement of an implied factor with a density",'
    '"origin":"common_practice","value":0.02},'
    '"recovery_share":{"note":"recovery as share of the cooling window",'
    '"origin":"common_practice","value":0.8},'
    '"required":[],'
    '"ring_share":{"note":"check-ring travel as share of the shot stroke",'
    '"origin":"common_practice","value":0.1},'
    '"stroke_comfort_high":{"note":"diameters","origin":"common_practice","value":3.0},'
    '"stroke_comfort_low":{"note":"diameters: many count less as out of bounds",'
    '"origin":"common_practice","value":1.0},'
    '"stroke_high":{"note":"diameters: effective screw length falls beyond",'
    '"origin":"common_practice","value":4.0},'
    '"stroke_low":{"note":"diameters: check ring closing takes a large part below",'
    '"origin":"common_practice","value":0.5}},'
    '"resins":[],"site":"Łąka","title":"\\"Two\\"",'
    '"uncertainty":{"cooling_window":null,"cycle_time":null,"melt_inventory":null,'
    '"output_factor":null,"part_mass":null,"plasticising_rate":null,"required_pressure":null}}'
)

# By c2 what is null or empty is left out, from the inside out.
TINY_2 = (
    '{"as_of":"2026-04-15","cost":{"real":false},"currency":"EUR",'
    + TINY[TINY.index('"limits":') : TINY.index(',"required":[]')]
    + TINY[TINY.index(',"ring_share"') : TINY.index(',"resins":[]')]
    + ',"site":"Łąka","title":"\\"Two\\""}'
)


def job(magnitude: str) -> Evaluation:
    return Evaluation(jobs=(Job(id="j1", part_mass=Quantity(magnitude=magnitude, unit="g")),))


def turned(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: turned(data[key]) for key in reversed(data)}
    return [turned(part) for part in data] if isinstance(data, list) else data


def test_the_canonical_form_is_the_contracts() -> None:
    tiny = Evaluation(
        title='"Two"', site="Łąka", as_of=date(2026, 4, 15), limits=Limits(general_high=0.75)
    )
    assert SCHEME == "c2"
    assert canonical(tiny, "c1").decode("utf-8") == TINY
    assert digest(tiny, "c1") == hashlib.sha256(TINY.encode("utf-8")).hexdigest()
    assert canonical(tiny).decode("utf-8") == TINY_2
    assert digest(tiny) == hashlib.sha256(TINY_2.encode("utf-8")).hexdigest()


def test_a_scheme_nobody_knows_is_said_to_be_none() -> None:
    with pytest.raises(ValueError, match="no scheme c9"):
        canonical(job("2"), "c9")


def test_an_answer_that_nobody_gave_does_not_count() -> None:
    evaluation = job("2")
    asked = evaluation.replace(answers=(Answer(question="q", state="asked", text="called"),))
    given = evaluation.replace(answers=(Answer(question="q", state="answered"),))
    assert digest(asked) == digest(evaluation)
    assert digest(given) != digest(evaluation)


def test_what_is_measured_and_where_it_was_read_changes_no_signature() -> None:
    stroke = Quantity(magnitude="180", unit="mm")
    document = Document(id="quote", path="a/quote.pdf", sha256="ab" * 32)
    unit = InjectionUnit(id="u", barrels=(Barrel(id="a", stroke=stroke),))
    evaluation = Evaluation(bids=(Bid(id="b", documents=(document,), units=(unit,)),))
    placed = stroke.replace(place=Place(document="quote", page=2))
    same = (
        put(evaluation, ("bids", "b", "units", "u", "barrels", "a", "stroke"), placed),
        put(evaluation, ("bids", "b", "documents", "quote", "path"), "b/quote.pdf"),
        evaluation.replace(acceptance=(Acceptance(barrel="a"),)),
        evaluation.replace(signed_states=(signed_state(evaluation),)),
    )
    assert {digest(one) for one in same} == {digest(evaluation)}
    other = put(evaluation, ("bids", "b", "documents", "quote", "sha256"), "cd" * 32)
    assert digest(other) != digest(evaluation)


def test_what_a_digest_signs_is_kept_with_it() -> None:
    evaluation = job("2").replace(title="e\u0301")
    state = signed_state(evaluation)
    assert state.digest == digest(evaluation)
    assert state.evaluation["title"] == "\u00e9"
    text = json.dumps(state.evaluation, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert text.encode() == canonical(evaluation)


@pytest.mark.parametrize("sign", ["x", "\u0958", "\ufb2c"])
def test_the_longest_notes_can_be_signed(sign: str) -> None:
    """U+FB2C is three characters in NFC; none is more."""
    evaluation = Evaluation(bids=(Bid(id="b", notes=sign * 20_000),))
    assert signed_state(evaluation).digest == digest(evaluation)


def test_a_place_in_a_list_counts_even_where_nothing_stands_in_it() -> None:
    """Members are left out, elements never: the second of two resins stays the second."""
    assert b'"resins":[{"id":"a"},{"id":"b"}]' in canonical(
        Evaluation(resins=(Resin(id="a"), Resin(id="b")))
    )


def test_the_order_of_keys_in_a_file_is_of_no_matter() -> None:
    evaluation = job("2.0").replace(title="Two")
    data = evaluation.model_dump(mode="json", by_alias=True)
    assert list(turned(data)) != list(data)
    back = Evaluation.model_validate_json(json.dumps(turned(data)))
    assert digest(back) == digest(evaluation)


def test_magnitudes_count_as_they_were_entered() -> None:
    assert digest(job("2.0")) != digest(job("2"))
    assert digest(job("2.0")) == digest(job("2.0"))


def test_what_is_not_signed_does_not_count() -> None:
    evaluation = job("2")
    signed = evaluation.replace(
        display_units="us", sign_offs=(SignOff(role="purchase", person="M. Ardell"),)
    )
    assert digest(signed) == digest(evaluation)
    assert b"format_version" not in canonical(evaluation)
    assert digest(evaluation.replace(title="other")) != digest(evaluation)


def test_a_field_left_out_equals_one_given_as_null_and_neither_is_in() -> None:
    left_out = Evaluation.model_validate_json('{"jobs": [{"id": "j1"}]}')
    null = Evaluation.model_validate_json('{"jobs": [{"id": "j1", "part_mass": null}]}')
    assert canonical(left_out) == canonical(null)
    assert b"part_mass" not in canonical(left_out)
    assert b'"part_mass":null' in canonical(left_out, "c1")


def test_a_whole_number_in_a_file_counts_as_the_same_number() -> None:
    whole = Evaluation.model_validate_json('{"limits": {"stroke_high": 5}}')
    assert digest(whole) == digest(Evaluation(limits=Limits(stroke_high=5.0)))


@given(texts)
def test_two_spellings_of_one_text_count_as_one(text: str) -> None:
    composed, decomposed = (unicodedata.normalize(form, text) for form in ("NFC", "NFD"))
    assert digest(Evaluation(title=composed)) == digest(Evaluation(title=decomposed))


@given(texts)
def test_the_canonical_form_is_json_that_gives_the_text_back(text: str) -> None:
    data = json.loads(canonical(Evaluation(title=text)))
    assert data.get("title", "") == unicodedata.normalize("NFC", text)


def test_an_accent_after_a_line_break_does_not_melt_into_its_escape() -> None:
    data = json.loads(canonical(Evaluation(title="\n\u0303")))
    assert data["title"] == "\n\u0303"
