from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest

from evenbarrel.model.digest import signs
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import Fault
from evenbarrel.storage.versions import CURRENT, STEPS, upgrade


def rename_site(data: dict[str, Any]) -> dict[str, Any]:
    rest = {name: value for name, value in data.items() if name != "place"}
    return rest | {"site": data["place"]}


def shout(data: dict[str, Any]) -> dict[str, Any]:
    return data | {"site": data["site"].upper()}


STEPS_TO_3 = {1: rename_site, 2: shout}


def test_the_shipped_steps_lead_from_the_first_version_to_the_present_one() -> None:
    assert set(STEPS) == set(range(1, CURRENT))


def test_steps_are_taken_in_order_and_the_data_given_is_left_alone() -> None:
    old = {"format_version": 1, "place": "hall 2"}
    assert upgrade(old, STEPS_TO_3, 3) == {"format_version": 3, "site": "HALL 2"}
    assert old == {"format_version": 1, "place": "hall 2"}


def test_only_the_steps_still_needed_are_taken() -> None:
    assert upgrade({"format_version": 2, "site": "a"}, STEPS_TO_3, 3) == {
        "format_version": 3,
        "site": "A",
    }
    present = {"format_version": 3, "site": "a"}
    assert upgrade(present, STEPS_TO_3, 3) == present


@pytest.mark.parametrize("content", [{}, {"place": 5}, {"place": None}])
def test_content_a_step_can_make_nothing_of_is_refused(content: dict[str, Any]) -> None:
    with pytest.raises(Fault) as fault:
        upgrade({"format_version": 1, **content}, STEPS_TO_3, 3)
    assert fault.value.problem.startswith("it is damaged: format ")


def test_a_newer_version_is_refused_with_both_numbers() -> None:
    with pytest.raises(Fault) as fault:
        upgrade({"format_version": 4}, STEPS_TO_3, 3)
    assert fault.value.field == "format_version"
    assert fault.value.problem == (
        "written by a newer version of Evenbarrel; format 4, this version reads up to 3"
    )


@pytest.mark.parametrize("version", [True, "1", 1.0, 0, -1, None, [1]])
def test_a_version_is_a_whole_number(version: object) -> None:
    with pytest.raises(Fault, match="must be a whole number"):
        upgrade({"format_version": version})


def signed_version_1(scheme_digest: str) -> dict[str, Any]:
    """A file of version 1 with a ring told in words, under a signature of that digest."""
    barrel = {"id": "a", "label": "A", "ring_kind": "three-piece ring"}
    bid = {"id": "b", "supplier": "Tarnwerk", "units": [{"id": "u", "barrels": [barrel]}]}
    signature = {"role": "purchase", "scheme": "c1", "digest": scheme_digest}
    return {"format_version": 1, "title": "Two", "bids": [bid], "sign_offs": [signature]}


def digest_as_version_1_computed_it(data: dict[str, Any]) -> str:
    """Scheme c1 by the contract, written anew: every field of version 1, nulls and defaults in."""
    stepped = upgrade({**data, "sign_offs": []})
    whole = Evaluation.model_validate_json(json.dumps(stepped)).model_dump(
        mode="json", by_alias=True
    )
    (barrel,) = whole["bids"][0]["units"][0]["barrels"]
    barrel["ring_kind"], whole["bids"][0]["notes"] = "three-piece ring", ""
    for name in ("format_version", "display_units", "sign_offs", "confirmed_limits"):
        del whole[name]
    text = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def test_a_ring_in_words_goes_to_the_notes() -> None:
    stepped = upgrade(signed_version_1(""))
    evaluation = Evaluation.model_validate_json(json.dumps(stepped))
    assert evaluation.bids[0].notes == "Check ring of A: three-piece ring"
    assert evaluation.bids[0].units[0].barrels[0].ring_kind is None


def test_a_valid_signature_of_version_1_stays_valid_and_an_invalid_one_does_not() -> None:
    valid = digest_as_version_1_computed_it(signed_version_1(""))
    for scheme_digest, holds in ((valid, True), ("0" * 64, False)):
        stepped = upgrade(signed_version_1(scheme_digest))
        evaluation = Evaluation.model_validate_json(json.dumps(stepped))
        (signature,) = evaluation.sign_offs
        assert (signature.carried is not None) == holds
        assert signs(signature, evaluation) == holds
        assert not signs(signature, evaluation.replace(title="Three"))
