from __future__ import annotations

import hashlib
import json
import unicodedata
from datetime import date
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.model.decision import SignOff
from evenbarrel.model.digest import SCHEME, canonical, digest
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limits
from evenbarrel.model.quantity import Quantity

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
    assert SCHEME == "c1"
    assert canonical(tiny).decode("utf-8") == TINY
    assert digest(tiny) == hashlib.sha256(TINY.encode("utf-8")).hexdigest()


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


def test_a_field_left_out_equals_one_given_as_null_and_both_are_in() -> None:
    left_out = Evaluation.model_validate_json('{"jobs": [{"id": "j1"}]}')
    null = Evaluation.model_validate_json('{"jobs": [{"id": "j1", "part_mass": null}]}')
    assert canonical(left_out) == canonical(null)
    assert b'"part_mass":null' in canonical(left_out)


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
    assert data["title"] == unicodedata.normalize("NFC", text)


def test_an_accent_after_a_line_break_does_not_melt_into_its_escape() -> None:
    data = json.loads(canonical(Evaluation(title="\n\u0303")))
    assert data["title"] == "\n\u0303"
