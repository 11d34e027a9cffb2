from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from evenbarrel.model.datum_path import append, change, free_id, get, put, remove
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import Assignment

UNIT = InjectionUnit(id="u1", barrels=(Barrel(id="a"), Barrel(id="b")))
OTHER = InjectionUnit(id="u2", barrels=(Barrel(id="c"),))
EVALUATION = Evaluation(
    bids=(Bid(id="b1", units=(UNIT,)), Bid(id="b2", units=(OTHER,))), jobs=(Job(id="j1"),)
)
BARREL = ("bids", "b1", "units", "u1", "barrels", "b")
STROKE = Quantity(magnitude="180", unit="mm")


def test_a_value_deep_inside_is_put_and_all_else_is_shared() -> None:
    changed = put(EVALUATION, (*BARREL, "stroke"), STROKE)
    assert get(changed, (*BARREL, "stroke")) == STROKE
    assert get(EVALUATION, (*BARREL, "stroke")) is None
    assert changed.bids[1] is EVALUATION.bids[1]
    assert changed.bids[0].units[0].barrels[0] is UNIT.barrels[0]
    assert put(changed, (*BARREL, "stroke"), None) == EVALUATION


def test_the_empty_path_is_the_thing_itself() -> None:
    assert get(EVALUATION, ()) is EVALUATION
    assert change(EVALUATION, (), lambda thing: thing.replace(title="new")).title == "new"


def test_items_come_and_go() -> None:
    path = ("bids", "b2", "units", "u2", "barrels")
    longer = append(EVALUATION, path, Barrel(id="d"))
    assert [barrel.id for barrel in get(longer, path)] == ["c", "d"]
    assert remove(longer, (*path, "d")) == EVALUATION
    assert remove(EVALUATION, ("bids", "b1")).bids == (EVALUATION.bids[1],)


@pytest.mark.parametrize("path", [("bids", "b9"), ("bids", "b1", "units", "u2")])
def test_a_path_to_nothing_is_an_error(path: tuple[str, ...]) -> None:
    with pytest.raises(KeyError):
        get(EVALUATION, path)
    with pytest.raises(KeyError):
        put(EVALUATION, path, None)
    with pytest.raises(AttributeError):
        get(EVALUATION, ("beds",))


def test_a_change_that_does_not_fit_is_refused() -> None:
    bar = Quantity(magnitude="180", unit="bar")
    with pytest.raises(ValidationError, match="is not a unit it can have"):
        put(EVALUATION, (*BARREL, "stroke"), bar)
    with pytest.raises(ValidationError, match="two barrels have the id 'a'"):
        append(EVALUATION, ("bids", "b2", "units", "u2", "barrels"), Barrel(id="a"))
    with pytest.raises(ValidationError, match="not among the resins"):
        put(EVALUATION, (*BARREL, "reference_resin"), "ps")
    with pytest.raises(ValidationError):
        EVALUATION.replace(beds=())


def test_a_field_with_another_name_in_the_file_is_replaced_by_its_own() -> None:
    assignment = Assignment(job="j1", barrel="a", copy=2)
    assert assignment.replace(job="j2") == Assignment(job="j2", barrel="a", copy=2)
    assert assignment.replace(copy_number=3).copy_number == 3
    with pytest.raises(ValidationError):
        Assignment.model_validate_json('{"job": "j1", "barrel": "a", "copy_number": 2}')


@given(st.sets(st.integers(1, 12).map(lambda number: f"b{number}")))
def test_a_free_id_is_the_first_nobody_has(taken: set[str]) -> None:
    number = int(free_id(taken, "b")[1:])
    assert f"b{number}" not in taken
    assert {f"b{smaller}" for smaller in range(1, number)} <= taken
