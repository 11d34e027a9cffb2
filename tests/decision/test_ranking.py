"""The order: silence never pays, a hopeless bid changes nothing, like costs share a rank."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

several = settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
PARTS = ("freight", "installation", "training")
AMOUNTS = st.integers(1, 60).map(lambda thousands: thousands * 1000)


def ranks(decision) -> dict[str, int | None]:
    return {line.barrel: line.rank for line in decision.order}


def line(decision, barrel: str):
    return next(one for one in decision.order if one.barrel == barrel)


def first(decision) -> str:
    return decision.order[0].barrel


@several
@given(price=AMOUNTS, parts=st.lists(AMOUNTS, min_size=3, max_size=3), data=st.data())
def test_a_bid_that_states_all_never_loses_to_one_that_states_less(
    decided, make_bid, as_money, price, parts, data
):
    """The same offer with some or all amounts left out is never before it."""
    stated = {name: as_money(amount) for name, amount in zip(PARTS, parts, strict=True)}
    left_out = data.draw(st.sets(st.sampled_from(("price", *PARTS)), min_size=1))
    silent = stated | dict.fromkeys(left_out - {"price"})
    unit = {"price": None if "price" in left_out else as_money(price)}
    complete = make_bid("b", unit={"price": as_money(price)}, **stated)
    decision = decided(make_bid("a", unit=unit, **silent), complete)

    assert ranks(decision)["ba"] == 1
    assert ranks(decision)["aa"] == 1


def test_all_stated_against_nothing_stated(decided, make_bid):
    nothing = make_bid("a", unit={"price": None}, **dict.fromkeys(PARTS))
    decision = decided(nothing, make_bid("b"))

    assert ranks(decision)["ba"] == 1
    assert line(decision, "aa").levelled >= line(decision, "ba").levelled
    assert line(decision, "aa").present_cost is None


def test_lines_and_energy_are_levelled_too(decided, make_bid, as_money):
    """The one that states its service and its energy does not lose by saying so."""
    energy = {"energy_per_mass": {"magnitude": "1.5", "unit": "kWh/kg"}, "energy_method": "named"}
    lines = [{"unit": "bu", "kind": "service", "amount": as_money(9000), "per_year": True}]
    decision = decided(make_bid("a"), make_bid("b", unit=energy), cost={"lines": lines})

    assert ranks(decision) == {"aa": 1, "ba": 1}
    assert line(decision, "aa").levelled == pytest.approx(line(decision, "ba").levelled)
    assert "service" in decision.cost["aa"].missing


def test_what_is_left_unsaid_earns_no_rank_of_its_own(decided, make_bid, as_money):
    """With what the dearer one states it is within the resolution: they share the rank."""
    lines = [{"unit": "bu", "kind": "service", "amount": as_money(2000), "per_year": True}]
    dearer = make_bid("b", unit={"price": as_money(101_000)})
    decision = decided(make_bid("a"), dearer, cost={"lines": lines})

    silent, open_about_it = line(decision, "aa"), line(decision, "ba")
    assert silent.levelled < open_about_it.levelled < silent.levelled * 1.02
    assert open_about_it.levelled > silent.present_cost * 1.05
    assert ranks(decision) == {"aa": 1, "ba": 1}


def test_what_nobody_states_says_how_much_it_may_grow(decided, make_bid, as_money):
    dear = make_bid("b", unit={"price": as_money(200_000)}, training=None)
    cheap = line(decided(make_bid("a", training=None), dear), "aa")

    assert cheap.unfilled == ("price.training",)
    assert cheap.may_grow is not None
    assert cheap.may_grow > 80_000


@several
@given(factor=st.integers(3, 40), freight=AMOUNTS, leader=st.sampled_from("ab"), data=st.data())
def test_a_hopeless_bid_added_never_changes_who_leads(
    decided, make_bid, as_money, factor, freight, leader, data
):
    """Dearer than any other whatever the others leave out, or shut for every job."""
    silent = {"freight": None} if data.draw(st.booleans()) else {}
    other = make_bid("b", unit={"price": as_money(104_000)})
    bids = [make_bid("a", **silent), other]
    if leader == "b":
        bids.reverse()
    extra = {"freight": as_money(freight), "unit": {"price": as_money(factor * 100_000)}}
    lines = [{"bid": "h", "kind": "service", "amount": as_money(freight), "per_year": True}]
    if data.draw(st.booleans()):
        extra["barrel"] = {"injection_pressure": {"magnitude": "10", "unit": "bar"}}
    hopeless = make_bid("h", **extra)
    jobs = [{"required_pressure": {"magnitude": "900", "unit": "bar"}}]
    before = decided(*bids, jobs=jobs, cost={"lines": lines})
    after = decided(*bids, hopeless, jobs=jobs, cost={"lines": lines})

    assert first(after) == first(before)
    assert {b for b, r in ranks(after).items() if r == 1} == {
        b for b, r in ranks(before).items() if r == 1
    }


def test_the_gate_goes_before_the_cost(decided, make_bid, as_money):
    weak = {"injection_pressure": {"magnitude": "400", "unit": "bar"}}
    cheap = make_bid("a", unit={"price": as_money(10_000)}, barrel=weak)
    jobs = [{"required_pressure": {"magnitude": "900", "unit": "bar"}}]

    assert ranks(decided(cheap, make_bid("b"), jobs=jobs)) == {"ba": 1, "aa": 2}


def test_costs_of_unlike_work_are_not_compared(decided, make_bid, as_money):
    """Each runs one of the two jobs: neither is before the other, whatever they cost."""
    small = {
        "screw_diameter": {"magnitude": "30", "unit": "mm"},
        "injection_pressure": {"magnitude": "2500", "unit": "bar"},
    }
    jobs = [
        {
            "shot_mass": {"magnitude": "70", "unit": "g"},
            "required_pressure": {"magnitude": "2000", "unit": "bar"},
        },
        {"shot_mass": {"magnitude": "280", "unit": "g"}},
    ]
    cheap = make_bid("a", unit={"price": as_money(10_000)}, barrel=small)
    decision = decided(cheap, make_bid("b"), jobs=jobs)

    work = {one.barrel: (one.gate, one.jobs_run) for one in decision.order}
    assert work == {"aa": ("shut", ("j0",)), "ba": ("shut", ("j1",))}
    assert ranks(decision) == {"aa": 1, "ba": 1}


@pytest.mark.parametrize(("dearer", "expected"), [(101_000, 1), (110_000, 2)])
def test_costs_within_the_resolution_share_a_rank(decided, make_bid, as_money, dearer, expected):
    decision = decided(make_bid("a"), make_bid("b", unit={"price": as_money(dearer)}))

    assert ranks(decision) == {"aa": 1, "ba": expected}


def test_without_a_horizon_no_cost_decides(decided, make_bid, as_money):
    decision = decided(
        make_bid("a", unit={"price": as_money(900_000)}),
        make_bid("b"),
        cost={"horizon_years": None},
    )

    assert ranks(decision) == {"aa": 1, "ba": 1}
    assert line(decision, "aa").levelled is None
