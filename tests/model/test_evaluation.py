from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from evenbarrel.model.cost import Cost
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import LimitEntry, Limits, Uncertainty
from evenbarrel.model.limits import limit_origin as origin_of
from evenbarrel.model.limits import limit_value as value_of
from evenbarrel.model.offers.barrel import Decision, Settled
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.offers.terms import Document, Guarantee, PaymentTerm, ScopeLine
from evenbarrel.model.quantity import Money, Place, Quantity
from evenbarrel.model.record.acceptance import Acceptance
from evenbarrel.model.record.decision import (
    Assignment,
    CoverOptions,
    Deviation,
    JobOnBarrel,
    Proposal,
    SignedState,
)
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


CHAIN = (ONE, Bid(id="b2", revises="b1"), Bid(id="b3", revises="b2"))


def revising(name: str, earlier: str) -> Bid:
    return Bid(id=f"o-{name}", units=(unit_of(Barrel(id=name, revises=earlier)),))


def unit_of(*barrels: Barrel, standard: str | None = None) -> InjectionUnit:
    return InjectionUnit(id=f"u-{barrels[0].id}", barrels=barrels, standard_barrel=standard)


EUR = Money(amount="1", currency="EUR")
MASS = Quantity(magnitude="300", unit="g")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"bids": (Bid(id="b1", revises="b0"),)}, "bid 'b1', revises names the bid 'b0'"),
        ({"bids": (*CHAIN, Bid(id="b4", revises="b1"))}, "'b2' and 'b4' both revise 'b1'"),
        ({"bids": (Bid(id="b1", revises="b1"),)}, "bid 'b1' would revise itself"),
        (
            {"bids": (Bid(id="b1", revises="b2"), Bid(id="b2", revises="b1"), Bid(id="b3"))},
            "bid 'b1' would revise itself",
        ),
        ({"bids": (ONE, revising("z", "q"))}, "barrel 'z', revises names the barrel 'q'"),
        (
            {"bids": (ONE, revising("y", "a"), revising("z", "a"))},
            "'y' and 'z' both revise 'a'",
        ),
        ({"bids": (ONE,), "proposal": Proposal(barrels=("z",))}, "names the barrel 'z'"),
        (
            {
                "bids": (ONE,),
                "jobs": (Job(id="j1"),),
                "proposal": Proposal(barrels=("a",), jobs=(JobOnBarrel(job="j1", barrel="b"),)),
            },
            "'b', which is not among those it proposes",
        ),
        (
            {"cover_options": CoverOptions(forbidden=(JobOnBarrel(job="j1", barrel="a"),))},
            "cover options names the barrel 'a'",
        ),
        ({"acceptance": (Acceptance(barrel="a"),)}, "acceptance names the barrel 'a'"),
        ({"cost": Cost(common_resin="ps")}, "common resin names the resin 'ps'"),
        (
            {"confirmed_limits": ({"field": "no_such", "value": 0.8},)},
            "'no_such' is not a limit",
        ),
        (
            {"confirmed_limits": ({"resin": "ps", "field": "no_such", "value": "x"},)},
            "'no_such' is not a limit",
        ),
        # They are data of a resin and of the limits, and no edge of any criterion.
        (
            {"confirmed_limits": ({"resin": "ps", "field": "name", "value": "x"},)},
            "'name' is not a limit",
        ),
        (
            {"confirmed_limits": ({"resin": "ps", "field": "melt_density", "value": "x"},)},
            "'melt_density' is not a limit",
        ),
        (
            {"confirmed_limits": ({"field": "required", "value": ("wear",)},)},
            "'required' is not a limit",
        ),
        ({"resins": ({"id": "ps", "unsuited_rings": ("hoop",)},)}, "'sliding', 'ball'"),
        (
            {"signed_states": (SignedState(digest="d", evaluation={}),) * 2},
            "two signed states have the digest 'd'",
        ),
    ],
)
def test_references_of_revisions_and_decisions_lead_somewhere(
    fields: dict[str, Any], words: str
) -> None:
    with pytest.raises(ValidationError, match=words):
        Evaluation(**fields)


def test_a_chain_of_revisions_may_stand_in_any_order() -> None:
    bids = (CHAIN[2], CHAIN[0], CHAIN[1], revising("z", "a"))
    assert Evaluation(bids=bids).bids == bids


def test_a_long_chain_is_walked_once() -> None:
    bids = tuple(Bid(id=f"b{n}", revises=f"b{n + 1}" if n < 4999 else None) for n in range(5000))
    assert len(Evaluation(bids=bids).bids) == 5000


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"freight": EUR, "scope": (ScopeLine(item="freight", amount=EUR),)}, "freight has an"),
        ({"scope": (ScopeLine(item="spares"),) * 2}, "two lines of the scope are for 'spares'"),
        ({"payment_terms": (PaymentTerm(share=0.6),) * 2}, "more than the price"),
        ({"documents": (Document(id="q"),) * 2}, "two documents have the id 'q'"),
        (
            {"guarantees": (Guarantee(barrel="a", datum="rated_shot_mass", value=MASS),)},
            "guarantees names the barrel 'a', which is not in the bid",
        ),
        (
            {"units": (unit_of(Barrel(id="a"), standard="b"), unit_of(Barrel(id="b")))},
            "'b', which is not in the unit",
        ),
    ],
)
def test_the_terms_of_a_bid_do_not_contradict_each_other(
    fields: dict[str, Any], words: str
) -> None:
    with pytest.raises(ValidationError, match=words):
        Bid(id="b1", **fields)


def test_an_amount_stands_in_the_scope_or_in_the_field_of_its_own() -> None:
    state = ScopeLine(item="freight", state="extra")
    assert Bid(id="b1", freight=EUR, scope=(state,)).freight == EUR
    assert Bid(id="b1", scope=(state.replace(amount=EUR),)).scope[0].amount == EUR


@pytest.mark.parametrize(
    ("datum", "value", "tolerance", "words"),
    [
        ("label", "300 g", None, "'label' is not a number of a barrel"),
        ("price", "300 g", None, "'price' is not a number of a barrel"),
        ("rated_shot_mass", "300 mm", None, "'mm' is not a unit it can have"),
        ("rated_shot_mass", "300 g", "2 mm", "'mm' is not a unit it can have"),
        ("rated_shot_mass", "300 g", "-2 %", "cannot be negative"),
    ],
)
def test_what_is_guaranteed_is_a_number_of_its_kind(
    datum: str, value: str, tolerance: str | None, words: str
) -> None:
    with pytest.raises(ValidationError, match=words):
        guarantee(datum, value, tolerance)


@pytest.mark.parametrize("tolerance", [None, "2 %", "5 g", "0 %"])
def test_a_guarantee_has_its_tolerance_as_a_share_or_in_its_own_unit(tolerance: str | None) -> None:
    assert guarantee("rated_shot_mass", "300 g", tolerance).value == MASS


def guarantee(datum: str, value: str, tolerance: str | None) -> Guarantee:
    return Guarantee(barrel="a", datum=datum, value=quantity(value), tolerance=quantity(tolerance))


def quantity(text: str | None) -> Any:
    if text is None:
        return None
    magnitude, unit = text.split()
    return Quantity(magnitude=magnitude, unit=unit)


@pytest.mark.parametrize("route", ["geometry", "quoted"])
def test_what_was_wrong_goes_with_the_route_that_was_right(route: Decision) -> None:
    own = {
        "geometry": {"as_printed", "in3_as_cm3", "cm3_as_in3", "fl_oz_as_cm3", "neighbour_barrel"},
        "quoted": {
            "diameter",
            "stroke",
            "unknown",
            "radius_as_diameter",
            "diameter_as_radius",
            "in_as_mm",
            "mm_as_in",
        },
    }
    for reading in own[route] | {None, "decimal_shift"}:
        assert Settled(route=route, reading=reading).reading == reading
    for reading in own["quoted" if route == "geometry" else "geometry"]:
        with pytest.raises(ValidationError, match="does not go with the reading"):
            Settled(route=route, reading=reading)


def test_a_place_is_on_a_page_or_in_a_cell() -> None:
    box = (1.0, 2.0, 3.0, 4.0)
    assert Place(document="q", page=1, box=box).box == box
    assert Place(document="q", cell="C7").cell == "C7"
    with pytest.raises(ValidationError, match="not both"):
        Place(document="q", page=1, cell="C7")
    with pytest.raises(ValidationError, match="needs the page"):
        Place(document="q", box=box)


@pytest.mark.parametrize("held", ["\ud800", float("nan")])
def test_what_was_signed_is_kept_as_a_file_can_keep_it(held: Any) -> None:
    with pytest.raises(ValidationError, match=r"unicode string|finite number"):
        SignedState(digest="d", evaluation={"title": [held]})


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
    with pytest.raises(ValidationError, match="'utilization' is not a criterion"):
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


@pytest.mark.parametrize(
    "fields",
    [
        {"confirmed_limits": ({"field": "x" * 2000, "value": 0.8},)},
        {"deviations": ({"barrel": "a", "criterion": "x" * 2000},)},
        {"limits": {"required": ("x" * 2000,)}},
        {"bids": ({"id": "b", "scope": ({"item": "x" * 2000},) * 2},)},
        {"jobs": ({"id": "j", "resin": "x" * 2000},)},
    ],
)
def test_a_refusal_quotes_the_beginning_of_a_long_text_and_marks_that_it_goes_on(
    fields: dict[str, Any],
) -> None:
    with pytest.raises(ValidationError) as refused:
        Evaluation.model_validate(fields)
    said = str(refused.value.errors()[0]["msg"])
    assert "xxx…" in said
    assert len(said) < 250
