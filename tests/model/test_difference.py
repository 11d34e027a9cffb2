"""What differs between two states of an evaluation is named by id, no more and no less."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenbarrel import resources
from evenbarrel.model.datum_path import put, remove
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import LimitEntry
from evenbarrel.model.states.difference import EVERYTHING, Difference, difference
from evenbarrel.storage.files import parse_evaluation


@pytest.fixture(scope="module")
def sample() -> Evaluation:
    (name,) = (n for n in resources.sample_names() if n.endswith(".evenbarrel.json"))
    return parse_evaluation(resources.read_sample(name), name)


def test_nothing_differs_from_itself_or_from_its_copy(sample: Evaluation) -> None:
    copy = Evaluation.model_validate_json(sample.model_dump_json())
    assert difference(sample, sample) == difference(sample, copy) == Difference()


@pytest.mark.parametrize(
    ("path", "value", "differs"),
    [
        (("jobs", "j3", "name"), "Another", Difference(jobs=frozenset({"j3"}))),
        (("bids", "b2", "supplier"), "Another", Difference(bids=frozenset({"b2"}))),
        (
            ("bids", "b4", "units", "b4u1", "barrels", "b4u1b", "label"),
            "Z",
            Difference(bids=frozenset({"b4"})),
        ),
        (("resins", "pc", "name"), "Another", Difference(resins=frozenset({"pc"}))),
        (("bids", "b2", "withdrawn"), True, Difference(bids=frozenset({"b2"}), rearranged=True)),
        (("title",), "Another", Difference(programme=True)),
        (("display_units",), "us", Difference(programme=True)),
        (("limits", "general_high"), LimitEntry(value=0.7), Difference(limits=True)),
        (("scope_items",), ("delivery",), Difference(record=True)),
    ],
)
def test_an_edit_is_told_where_it_was_made(
    sample: Evaluation, path: tuple[str, ...], value: object, differs: Difference
) -> None:
    after = put(sample, path, value)
    assert difference(sample, after) == differs
    assert difference(after, sample) == differs


def test_what_went_and_what_moved_is_named(sample: Evaluation) -> None:
    sample = sample.replace(proposal=None)
    without = remove(sample, ("jobs", "j2"))
    assert difference(sample, without).jobs == {"j2"}
    first, second, *rest = sample.jobs
    moved = sample.replace(jobs=(second, first, *rest))
    assert difference(sample, moved).jobs == {first.id, second.id}


def test_two_steps_differ_by_both(sample: Evaluation) -> None:
    one, other = Difference(jobs=frozenset({"a"})), Difference(limits=True)
    assert one | other == Difference(jobs=frozenset({"a"}), limits=True)
    assert Difference() | one == one
    assert EVERYTHING | one == replace(EVERYTHING, jobs=one.jobs)


def test_every_field_of_an_evaluation_shows_in_the_difference(sample: Evaluation) -> None:
    empty = Evaluation()
    for name in Evaluation.model_fields:
        if getattr(sample, name) != getattr(empty, name):
            one = sample.model_construct(**{**dict(sample), name: getattr(empty, name)})
            assert difference(sample, one) != Difference(), name
