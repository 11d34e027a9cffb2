from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import BaseModel

from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.model.states.digest import canonical, signs
from evenbarrel.storage.files import (
    evaluation_bytes,
    parse_bid,
    parse_evaluation,
    read_evaluation,
    write_evaluation,
)
from evenbarrel.storage.versions import CURRENT

OLD_FILES = Path(__file__).resolve().parents[1] / "old_files"
EVALUATIONS = sorted(OLD_FILES.glob("*/*.evenbarrel.json"))
BIDS = sorted(OLD_FILES.glob("*/*.bid.json"))


def entered(thing: Any) -> Iterator[tuple[type[BaseModel], str]]:
    if isinstance(thing, tuple):
        for part in thing:
            yield from entered(part)
    if isinstance(thing, BaseModel):
        for name in thing.model_fields_set:
            yield type(thing), name
            yield from entered(getattr(thing, name))


def test_every_version_has_its_kept_files() -> None:
    versions = {f"v{number}" for number in range(1, CURRENT + 1)}
    assert {path.parent.name for path in EVALUATIONS} == versions
    assert {path.parent.name for path in BIDS} == versions


@pytest.mark.parametrize("path", EVALUATIONS, ids=lambda path: path.name)
def test_an_old_evaluation_opens_and_goes_round(path: Path) -> None:
    evaluation = read_evaluation(path)
    assert evaluation.format_version == CURRENT
    assert parse_evaluation(evaluation_bytes(evaluation), path.name) == evaluation


def test_the_old_files_hold_what_was_entered() -> None:
    whole = read_evaluation(OLD_FILES / "v1" / "every_field.evenbarrel.json")
    _, _, barrel = next(whole.barrels())
    assert whole.site == "Łąkowa works"
    assert whole.jobs[0].part_mass is not None
    assert whole.jobs[0].part_mass.magnitude == "41.50"
    assert barrel.settled is not None
    assert barrel.settled.person == "I. Vostrel"
    assert whole.assignment[0].copy_number == 2
    assert whole.sign_offs[0].digest == "00ff"
    empty = read_evaluation(OLD_FILES / "v1" / "nothing_stated.evenbarrel.json")
    assert [barrel.stroke for _, _, barrel in empty.barrels()] == [None]
    offer = OLD_FILES / "v1" / "one_offer.bid.json"
    bid = parse_bid(offer.read_bytes(), offer.name)
    assert (bid.supplier, bid.resins[0].id) == ("Tarnwerk", "ps")
    assert bid.bid().units == bid.units


def test_the_old_files_use_every_field_of_the_contract() -> None:
    newest = OLD_FILES / f"v{CURRENT}" / "every_field.evenbarrel.json"
    evaluation = read_evaluation(newest)
    used = set(entered(evaluation))
    models = {model for model, _ in used}
    assert {(model, name) for model in models for name in model.model_fields} == used


def test_a_file_signed_by_version_1_stays_signed_when_it_is_saved(tmp_path: Path) -> None:
    opened = read_evaluation(OLD_FILES / "v1" / "signed.evenbarrel.json")
    write_evaluation(opened, tmp_path / "signed.evenbarrel.json")
    again = read_evaluation(tmp_path / "signed.evenbarrel.json")
    assert again == opened
    assert [signs(one, again) for one in again.sign_offs] == [True, False]


def members(value: Any, path: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for key, part in value.items():
            yield f"{path}.{key}"
            yield from members(part, f"{path}.{key}")
    elif isinstance(value, list):
        for part in value:
            yield from members(part, path)


def test_the_scheme_of_version_1_knows_no_later_field() -> None:
    """The kept file of version 1 uses all its fields: no other is in what that version signed."""
    path = OLD_FILES / "v1" / "every_field.evenbarrel.json"
    signed = members(json.loads(canonical(read_evaluation(path), "c1")))
    known = set(members(json.loads(path.read_bytes())))
    of_a_number = {"source", "standing", "half_width", "note"}
    of_limits = (".limits.", ".uncertainty.")
    unknown = {
        name
        for name in signed
        if name not in known and name.rsplit(".", 1)[-1] not in of_a_number
        if not name.startswith(of_limits)
    }
    assert unknown == set()


@pytest.mark.parametrize(
    ("path", "model"),
    [
        (path, model)
        for paths, model in ((EVALUATIONS, Evaluation), (BIDS, BidFile))
        for path in paths
        if path.parent.name == f"v{CURRENT}"
    ],
    ids=lambda value: value.name if isinstance(value, Path) else "",
)
def test_the_published_schema_accepts_the_files_of_its_version(
    path: Path, model: type[BaseModel]
) -> None:
    schema = model.model_json_schema()
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)
    data = json.loads(path.read_bytes())
    validator.validate(data)
    assert not validator.is_valid(data | {"xyzzy": 1})
