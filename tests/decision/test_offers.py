"""Offers on one footing: worked examples, and what is not stated."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

RATES = {"exchange_rates": [{"currency": "USD", "rate": 0.9, "date": "2026-01-10"}]}


def test_a_landed_price_is_the_sum_of_its_parts(decided, make_bid, as_money):
    """100 000 + 1500 + 4000 + 6000 + 3000 + 2500 extra, an included item adding nothing."""
    scope = [
        {"item": "spares", "state": "extra", "amount": as_money(2500)},
        {"item": "documents", "state": "included"},
    ]
    barrels = [{"price_difference": as_money(0)}, {"price_difference": as_money(1500)}]
    decision = decided(
        make_bid("b", scope=scope, barrels=barrels), scope_items=["spares", "documents"]
    )

    offer = decision.offers["bb"]
    assert offer.price.value == 117_000.0
    assert offer.complete
    parts = {name: part.value for name, part in offer.parts.items()}
    assert parts == {
        "machine": 100_000.0,
        "screw": 1500.0,
        "freight": 4000.0,
        "installation": 6000.0,
        "training": 3000.0,
        "scope": 2500.0,
        "fill_in": 0.0,
    }


def test_prices_in_another_currency_are_converted_at_the_rate(decided, make_bid, as_money):
    changes = {
        "unit": {"price": as_money(200_000, "USD")},
        "freight": as_money(1000, "USD"),
        "installation": as_money(500),
        "training": as_money(0),
    }
    offer = decided(make_bid("b", **changes), cost=RATES).offers["ba"]

    assert offer.price.value == pytest.approx(181_400.0)
    assert offer.complete


def test_without_a_rate_there_is_no_price(decided, make_bid, as_money):
    """One amount in a currency without a rate makes the whole sum unknown, never a partial one."""
    decision = decided(make_bid("b", freight=as_money(1000, "USD")))

    assert decision.offers["ba"].price.value is None
    assert "exchange_rate.USD" in decision.offers["ba"].missing
    assert decision.cost["ba"].present.value is None


@pytest.mark.parametrize(
    "second", [{"rate": 0.8, "date": "2026-01-10"}, {"rate": 0.8, "date": None}]
)
def test_two_rates_of_one_day_are_no_rate_and_an_older_one_gives_way(
    decided, make_bid, as_money, second
):
    rates = [{"currency": "USD", "rate": 0.9, "date": "2026-01-10"}, {"currency": "USD", **second}]
    price = (
        decided(make_bid("b", freight=as_money(1000, "USD")), cost={"exchange_rates": rates})
        .offers["ba"]
        .price
    )

    assert price.value == (None if second["date"] else 109_900.0)


def test_a_fill_in_is_ours_and_does_not_complete_an_offer(decided, make_bid, as_money):
    scope = [{"item": "training", "state": "missing", "amount": as_money(3500)}]
    offer = decided(make_bid("b", training=None, scope=scope)).offers["ba"]

    assert offer.price.value == 113_500.0
    assert offer.parts["fill_in"].value == 3500.0
    assert offer.parts["fill_in"].standing == "ours"
    assert not offer.complete
    assert offer.missing == ("training",)


def test_what_nobody_states_counts_nothing_and_is_named(decided, make_bid):
    offer = decided(make_bid("b", freight=None), scope_items=["spares"]).offers["ba"]

    assert offer.price.value == 109_000.0
    assert offer.missing == ("freight", "spares")


def test_an_amount_of_what_is_included_is_a_query_and_is_not_added(decided, make_bid):
    scope = [{"item": "freight", "state": "included"}]
    offer = decided(make_bid("b", scope=scope)).offers["ba"]

    assert offer.price.value == 109_000.0
    assert offer.queries == ("included_with_amount.freight",)


@pytest.mark.parametrize("amount", ["-1", "0"])
def test_a_machine_price_of_nothing_or_less_is_no_price(decided, make_bid, as_money, amount):
    offer = decided(make_bid("b", unit={"price": as_money(amount)})).offers["ba"]

    assert offer.price.value is None
    assert any("machine" in name for name in offer.missing)


def test_a_negative_freight_is_not_taken_off(decided, make_bid, as_money):
    offer = decided(make_bid("b", freight=as_money(-4000))).offers["ba"]

    assert offer.price.value == 109_000.0
    assert offer.missing == ("negative.freight",)


def test_a_total_serves_where_the_bid_has_one_unit(decided, make_bid, as_money):
    offer = decided(make_bid("b", price=as_money(90_000), unit={"price": None})).offers["ba"]

    assert offer.parts["machine"].value == 90_000.0


def test_a_total_that_is_not_the_sum_is_a_query(decided, make_bid, as_money):
    assert decided(make_bid("b", price=as_money(90_000))).offers["ba"].queries == ("total_differs",)


def test_the_one_screw_without_a_difference_is_the_standard_one(decided, make_bid, as_money):
    barrels = [{}, {"price_difference": as_money(-700)}]
    offers = decided(make_bid("b", barrels=barrels)).offers

    assert (offers["ba"].complete, offers["bb"].price.value) == (True, 112_300.0)


def test_of_two_screws_without_a_difference_neither_is_known(decided, make_bid):
    offers = decided(make_bid("b", barrels=[{}, {}])).offers

    assert [offer.missing for offer in offers.values()] == [("screw",), ("screw",)]


def test_prices_beside_volume_and_mass(decided, make_bid):
    """V = 392.70 cm3 x 0.8 usable; 350 g as printed; V x 1 g/cm3 on the common basis."""
    offer = decided(make_bid("b")).offers["ba"]

    assert offer.of_usable_volume.value == pytest.approx(113_000 / (392.699e-6 * 0.8), rel=1e-4)
    assert offer.of_rated_mass.value == pytest.approx(113_000 / 0.350)
    assert offer.of_common_mass.value == pytest.approx(113_000 / 0.392699, rel=1e-4)


def test_only_the_newest_bid_that_stands_is_offered(decided, make_bid):
    bids = [make_bid("b"), make_bid("c", revises="b"), make_bid("d", revises="c", withdrawn=True)]

    assert list(decided(*bids).offers) == ["ca"]


@given(amounts=st.lists(st.integers(1, 10**6), min_size=3, max_size=3), rate=st.floats(0.01, 90.0))
def test_a_rate_scales_a_bid_that_is_all_in_one_currency(
    decided, make_bid, as_money, amounts, rate
):
    names = ("freight", "installation", "training")
    abroad = {n: as_money(a, "USD") for n, a in zip(names, amounts, strict=True)}
    unit = {"price": as_money(100_000, "USD")}
    rates = {"exchange_rates": [{"currency": "USD", "rate": rate}]}
    price = decided(make_bid("b", unit=unit, **abroad), cost=rates).offers["ba"].price.value

    assert price == pytest.approx(rate * (100_000 + sum(amounts)), rel=1e-12)
