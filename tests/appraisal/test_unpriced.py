"""What is not stated of prices and of the cost basis is asked, and of whom."""

from __future__ import annotations

from datetime import date

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.asked import place_to_go
from evenbarrel.decision.decide import decide
from evenbarrel.entry.answers import answered, places_of
from evenbarrel.model.cost import Cost
from evenbarrel.model.datum_path import put
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Money


def asked(evaluation: Evaluation) -> dict[str, str]:
    """Questions that amounts of money raise, by id, with whom they are to."""
    questions = appraise(evaluation).questions
    return {one.id: one.to for one in questions if "cost" in one.raised_by}


def unpriced(evaluation: Evaluation) -> Evaluation:
    """The evaluation without any amount and without a cost basis."""
    bids = tuple(
        bid.replace(
            price=None,
            freight=None,
            installation=None,
            training=None,
            scope=(),
            units=tuple(
                unit.replace(
                    price=None,
                    barrels=tuple(barrel.replace(price_difference=None) for barrel in unit.barrels),
                )
                for unit in bid.units
            ),
        )
        for bid in evaluation.bids
    )
    return evaluation.replace(bids=bids, cost=Cost(), scope_items=())


def test_who_asks_only_what_fits_is_asked_for_no_price(sample_evaluation: Evaluation) -> None:
    bare = unpriced(sample_evaluation)
    assert asked(bare) == {}
    begun = put(bare, ("bids", "b2", "units", "b2u1", "price"), Money(amount="1", currency="EUR"))
    assert {"b1.price", "b3.price", "b1.freight", "b2.freight"} <= set(asked(begun))
    assert "b2.price" not in asked(begun)
    assert not any(name.startswith("b6.") for name in asked(begun)), "the plant offers nothing"


def test_who_is_silent_of_the_energy_that_others_state_is_asked(
    sample_evaluation: Evaluation,
) -> None:
    stated = {b.id for b in sample_evaluation.bids for u in b.units if u.energy_per_mass}
    offered = {b.id for b in sample_evaluation.suppliers_bids}
    assert stated
    assert offered - stated
    assert not any("energy" in name for name in asked(sample_evaluation)), "ours stands for all"
    without = put(sample_evaluation, ("cost", "energy_per_mass"), None)
    silent = {f"{bid}.energy_per_mass" for bid in offered - stated}
    ids = asked(without)
    assert {name for name in ids if "energy" in name} == {"us.energy_per_mass", *silent}
    assert {ids[name] for name in silent} == {"supplier"}


def test_every_part_that_an_offer_lacks_is_a_question(sample_evaluation: Evaluation) -> None:
    decision = decide(appraise(sample_evaluation))
    ids = asked(sample_evaluation)
    data = {"machine": "price", "screw": "price_difference"}
    for offer in decision.offers.values():
        for name in offer.lacking:
            assert ids[f"{offer.bid}.{data.get(name, name)}"] == "supplier"


def test_what_the_basis_lacks_is_asked_of_us(sample_evaluation: Evaluation) -> None:
    lacking = Cost(discount_rate=0.05)
    ids = asked(sample_evaluation.replace(cost=lacking))
    ours = {"horizon_years", "tariff", "machine_hour_rate", "energy_per_mass", "turnovers"}
    assert {f"us.{name}" for name in (*ours, "exchange_rate.USD")} <= set(ids)
    assert "us.discount_rate" not in ids
    assert {to for name, to in ids.items() if name.startswith("us.")} == {"us"}


def test_an_answer_becomes_the_price(sample_evaluation: Evaluation) -> None:
    evaluation = put(sample_evaluation, ("bids", "b1", "units", "b1u1", "price"), None)
    question = next(one for one in appraise(evaluation).questions if one.id == "b1.price")
    ((path, shape),) = places_of(question, evaluation)
    assert (path, shape.kind) == (("bids", "b1", "units", "b1u1", "price"), "money")
    price = Money(amount="186500", currency="EUR")
    after = answered(evaluation, question, {path: price}, "By letter", date(2026, 11, 3))
    assert after.bid("b1").units[0].price == price.replace(standing="confirmed")
    assert decide(appraise(after)).offers["b1u1a"].complete
    basis = sample_evaluation.replace(cost=sample_evaluation.cost.replace(tariff=None))
    ours = next(one for one in appraise(basis).questions if one.id == "us.tariff")
    assert place_to_go(ours, basis) == ("cost", "tariff")
