from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from evenbarrel.model.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.decision import Assignment, Deviation
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import LimitEntry, Limits, Uncertainty
from evenbarrel.model.limits import limit_origin as origin_of
from evenbarrel.model.limits import limit_value as value_of
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Resin


def unit(name: str, *barrels: str) -> InjectionUnit:
    return InjectionUnit(id=name, barrels=tuple(Barrel(id=barrel) for barrel in barrels))


PS = Resin(id="ps")
ONE = Bid(id="b1", units=(unit("u1", "a", "b"),))
TWO = Bid(id="b2", units=(unit("u2", "c"), unit("u3")))


def test_barrels_come_in_the_order_of_the_file_with_unit_and_bid() -> None:
    evaluation = Evaluation(bids=(ONE, TWO))
    found = [(bid.id, unit.id, barrel.id) for bid, unit, barrel in evaluation.barrels()]
    assert found == [("b1", "u1", "a"), ("b1", "u1", "b"), ("b2", "u2", "c")]


def test_a_resin_is_found_by_its_id() -> None:
    evaluation = Evaluation(resins=(PS, Resin(id="pp")))
    assert evaluation.resin("ps") == PS
    assert evaluation.resin("pa") is None
    assert evaluation.resin(None) is None


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"resins": (PS, PS)}, "two resins have the id 'ps'"),
        ({"jobs": (Job(id="j1"), Job(id="j1"))}, "two jobs have the id 'j1'"),
        ({"bids": (ONE, Bid(id="b1"))}, "two bids have the id 'b1'"),
        ({"bids": (ONE, Bid(id="b2", units=(unit("u1"),)))}, "two units have the id 'u1'"),
        ({"bids": (ONE, Bid(id="b2", units=(unit("u2", "a"),)))}, "two barrels have the id 'a'"),
        ({"jobs": (Job(id="j1", resin="ps"),)}, "job 'j1', resin names the resin 'ps'"),
        ({"assignment": (Assignment(job="j1", barrel="a"),)}, "names the barrel 'a'"),
        (
            {"bids": (ONE,), "assignment": (Assignment(job="j1", barrel="a"),)},
            "assignment names the job 'j1'",
        ),
        (
            {"bids": (ONE,), "deviations": (Deviation(barrel="z", criterion="stroke"),)},
            "deviations names the barrel 'z'",
        ),
    ],
)
def test_what_does_not_hang_together_is_refused(fields: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        Evaluation(**fields)


def test_ids_of_different_things_may_be_the_same() -> None:
    evaluation = Evaluation(
        resins=(Resin(id="a"),), jobs=(Job(id="a", resin="a"),), bids=(Bid(id="a"),)
    )
    assert evaluation.jobs[0].resin == "a"


def test_a_deviation_may_be_for_every_job() -> None:
    deviation = Deviation(barrel="a", criterion="stroke")
    assert Evaluation(bids=(ONE,), deviations=(deviation,)).deviations == (deviation,)


def test_nothing_entered_changes() -> None:
    evaluation = Evaluation()
    with pytest.raises(ValidationError, match="frozen"):
        evaluation.title = "new"  # type: ignore[misc]


def test_a_bid_file_brings_the_resins_it_names_and_gives_the_bid() -> None:
    barrel = Barrel(id="a", reference_resin="ps")
    units = (InjectionUnit(id="u1", barrels=(barrel,)),)
    bid_file = BidFile(id="b1", supplier="Tarnwerk", units=units, resins=(PS,))
    assert bid_file.bid() == Bid(id="b1", supplier="Tarnwerk", units=units)
    with pytest.raises(ValidationError, match="not among the resins"):
        BidFile(id="b1", units=units)
    with pytest.raises(ValidationError, match="two barrels have the id 'a'"):
        BidFile(id="b1", units=(unit("u1", "a", "a"),))


@pytest.mark.parametrize(
    "fields",
    [
        {"general_low": 0.8},
        {"engineering_low": 0.6},
        {"stroke_low": 1.5},
        {"stroke_comfort_low": 3.5},
        {"stroke_high": 2.0},
        {"general_high": LimitEntry(value=0.1)},
    ],
)
def test_crossed_limits_are_refused(fields: dict[str, Any]) -> None:
    with pytest.raises(ValidationError, match="are crossed"):
        Limits(**fields)


def test_nobody_accepts_a_criterion_that_does_not_exist() -> None:
    assert Deviation(barrel="a", criterion="utilisation").criterion == "utilisation"
    with pytest.raises(ValidationError, match="'utilization' is no criterion"):
        Deviation(barrel="a", criterion="utilization")


def test_comfort_may_reach_to_the_hard_edge() -> None:
    assert Limits(stroke_comfort_low=0.5, stroke_comfort_high=4.0).stroke_low == Limits().stroke_low


def test_a_bare_limit_is_the_users_own() -> None:
    limits = Limits(general_high=0.75)
    assert (value_of(limits.general_high), origin_of(limits.general_high)) == (0.75, None)
    assert (value_of(limits.general_low), origin_of(limits.general_low)) == (0.2, "common_practice")


def test_half_widths_are_given_for_all_routes_or_for_one() -> None:
    uncertainty = Uncertainty(output_factor={"own": 0.01}, cycle_time=0.2)
    assert uncertainty.half_width("output_factor", "own") == 0.01
    # Common practice, no source: the half-width of the trade's own factors.
    assert uncertainty.half_width("output_factor", "trade_table") == 0.04
    assert uncertainty.half_width("cycle_time", "given") == 0.2
    with pytest.raises(ValidationError, match="has no route 'guess'"):
        Uncertainty(output_factor={"guess": 0.01})


@pytest.mark.parametrize(
    "magnitude", ["", ".5", "5.", "+5", "1e3", "1,5", "nan", " 5", "5\n", "1_0", "٤", "9" * 31]
)
def test_a_magnitude_is_plain_decimal_digits(magnitude: str) -> None:
    with pytest.raises(ValidationError):
        Quantity(magnitude=magnitude, unit="mm")
    with pytest.raises(ValidationError):
        Money(amount=magnitude, currency="EUR")


def test_the_last_printed_digit_is_what_was_rounded_away() -> None:
    assert Quantity(magnitude="2.0", unit="mm").last_digit("length") == pytest.approx(5e-5)
    assert Quantity(magnitude="2", unit="mm").last_digit("length") == pytest.approx(5e-4)
    assert Quantity(magnitude="230", unit="degC").last_digit("temperature") == pytest.approx(0.5)
    assert Money(amount="-12.50", currency="EUR").value() == -12.5


@pytest.mark.parametrize("text", ["\ud800", "a\udfffb", "e\u0301\ud83d"])
def test_half_of_a_character_is_refused_as_a_file_would_refuse_it(text: str) -> None:
    with pytest.raises(ValidationError, match="unicode string"):
        Evaluation(title=text)
    with pytest.raises(ValidationError, match="unicode string"):
        Evaluation().replace(buyer=text)


def test_texts_and_notes_have_their_length() -> None:
    assert Evaluation(title="x" * 2000).title == "x" * 2000
    with pytest.raises(ValidationError, match="at most 2000"):
        Evaluation(title="x" * 2001)
    assert len(Bid(id="b", notes="x" * 20_000).notes) == 20_000
    with pytest.raises(ValidationError, match="at most 20000"):
        Bid(id="b", notes="x" * 20_001)


def test_a_barrel_that_is_not_there_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        Evaluation().barrel_path("gone")
