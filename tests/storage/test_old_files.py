from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from pydantic import BaseModel

from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.storage.files import evaluation_bytes, parse_evaluation, read_bid, read_evaluation
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
    bid = read_bid(OLD_FILES / "v1" / "one_offer.bid.json")
    assert (bid.supplier, bid.resins[0].id) == ("Tarnwerk", "ps")
    assert bid.bid().units == bid.units


def test_the_old_files_use_every_field_of_the_contract() -> None:
    newest = OLD_FILES / f"v{CURRENT}" / "every_field.evenbarrel.json"
    evaluation = read_evaluation(newest)
    used = set(entered(evaluation))
    models = {model for model, _ in used}
    assert {(model, name) for model in models for name in model.model_fields} == used


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
