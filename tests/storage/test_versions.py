from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.states.digest import digest, signs
from evenbarrel.storage.file_errors import Fault
from evenbarrel.storage.versions import CURRENT, STEPS, upgrade

OLD_FILES = Path(__file__).resolve().parents[1] / "old_files"


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


def signed_by_version_1() -> dict[str, Any]:
    """A file that version 1 of the program wrote: its first signature held, not its second."""
    data: dict[str, Any] = json.loads((OLD_FILES / "v1" / "signed.evenbarrel.json").read_bytes())
    return data


def stepped(data: dict[str, Any]) -> Evaluation:
    return Evaluation.model_validate_json(json.dumps(upgrade(data)))


def test_what_has_no_field_any_more_goes_to_the_notes() -> None:
    evaluation = stepped(signed_by_version_1())
    (bid,) = evaluation.bids
    one, other = bid.units[0].barrels
    assert bid.notes.splitlines() == [
        "Discount on two",
        "Check ring of A: three-piece ring",
        "Volume of B was taken from its rated mass: nothing else is printed, I. Vostrel",
    ]
    assert (one.ring_kind, other.ring_kind) == (None, "ball")
    assert one.settled is not None
    assert (one.settled.route, one.settled.reading, other.settled) == ("geometry", None, None)
    assert (evaluation.cost.residual, evaluation.cost.notes) == (None, "Residual value: 20000 EUR")


def test_a_valid_signature_of_version_1_stays_valid_and_an_invalid_one_does_not() -> None:
    evaluation = stepped(signed_by_version_1())
    valid, invalid = evaluation.sign_offs
    assert valid.carried is not None
    assert invalid.carried is None
    assert [signs(one, evaluation) for one in (valid, invalid)] == [True, False]
    assert not signs(valid, evaluation.replace(title="Three"))
    (state,) = evaluation.signed_states
    assert state.digest == valid.carried.digest == digest(evaluation)
    assert state.evaluation["title"] == "Signed by version 1"


@pytest.mark.parametrize(
    "change",
    [
        lambda data: data["bids"][0].update(notes="another"),
        lambda data: data["bids"][0]["units"][0]["barrels"][0].update(ring_kind="two-piece"),
        lambda data: data["bids"][0]["units"][0]["barrels"][1]["settled"].update(reason="other"),
        lambda data: data["cost"]["residual"].update(amount="20001"),
    ],
)
def test_whatever_changed_before_the_step_is_seen_by_the_signature(
    change: Callable[[dict[str, Any]], None],
) -> None:
    """What the step moves is held against the signature as it stood, not as it became."""
    data = signed_by_version_1()
    change(data)
    evaluation = stepped(data)
    assert [signs(one, evaluation) for one in evaluation.sign_offs] == [False, False]
    assert evaluation.signed_states == ()


def test_a_residual_value_that_is_no_amount_is_refused() -> None:
    with pytest.raises(Fault, match="format 1 cannot be brought to format 2"):
        upgrade({"format_version": 1, "cost": {"residual": {"amount": "much"}}})
