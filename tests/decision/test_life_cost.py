"""Cost over life: against a library, and every amount against its own working."""

from __future__ import annotations

from collections.abc import Iterator

import numpy_financial
import pytest

from evenbarrel.decision.amount import SUM, Amount
from evenbarrel.trade.ownership import cost as formulas
from evenbarrel.wording.sentences.deciding.choice import copies_line

from .conftest import RESIN

YEARS, RATE = 10, 0.07


def walk(amount: Amount) -> Iterator[Amount]:
    yield amount
    for part in amount.parts:
        yield from walk(part)


def test_present_cost_is_the_librarys_net_present_value(decided, make_bid, as_money):
    """Own arithmetic of each year's payments; numpy_financial.npv adds them up."""
    lines = [
        {"kind": "service", "amount": as_money(2000), "per_year": True, "growth": 0.02},
        {"kind": "screw", "amount": as_money(9000), "year": 5, "growth": 0.03},
        {"kind": "wear", "amount": as_money(600), "per_hours": {"magnitude": "1000", "unit": "h"}},
        {"kind": "too late", "amount": as_money(9e6), "year": 11},
    ]
    cost = {"lines": lines, "tariff_growth": 0.04, "rate_growth": 0.01}
    jobs = [
        {
            "annual_quantity": 200_000,
            "end_year": 2030,
            "cooling_time": {"magnitude": "7.5", "unit": "s"},
        }
    ]
    decision = decided(make_bid("b"), jobs=jobs, cost=cost)

    lost = 160 / 20 - 7.5
    hours = 200_000 * (30 + lost) / 3600 / 0.8 + 10 * 2
    paid = [113_000.0]
    for year in range(1, YEARS + 1):
        runs = year <= 2030 - 2026
        energy = 200_000 * 0.160 * 1.0 * 0.2 * 1.04**year
        time = 200_000 * lost / 3600 / 0.8 * 40 * 1.01**year
        changes = 10 * 4 * 500e-6 * 1000 * 2 + 10 * 2 * 40 * 1.01**year
        wear = 600 * hours / 1000
        payment = 2000 * 1.02**year + (9000 * 1.03**5 if year == 5 else 0.0)
        paid.append(payment + (energy + time + changes + wear if runs else 0.0))
    paid[-1] -= 0.1 * 100_000
    life = decision.cost["ba"]
    assert life.present.value == pytest.approx(numpy_financial.npv(RATE, paid), rel=1e-9)
    yearly = -numpy_financial.pmt(RATE, YEARS, numpy_financial.npv(RATE, paid))
    assert life.yearly.value == pytest.approx(yearly, rel=1e-9)


def test_every_amount_of_the_sample_follows_from_its_working(sample_decision):
    seen = 0
    for life in sample_decision.cost.values():
        for amount in (*walk(life.present), *walk(life.yearly)):
            if amount.formula == SUM and amount.value is not None:
                assert amount.value == pytest.approx(sum(p.counted for p in amount.parts))
            elif amount.formula is not None and amount.value is not None:
                again = getattr(formulas, amount.formula)(**amount.inputs)
                assert amount.value == again
                seen += 1
            assert (amount.value is None) == (amount.standing == "missing")
            assert amount.value is not None or amount.missing
    assert seen > 500


def test_parts_add_up_and_what_is_left_at_the_end_is_taken_off(sample_decision):
    for life in sample_decision.cost.values():
        parts = [part.counted for part in life.parts.values()]
        assert life.present.value == pytest.approx(sum(parts))
        assert life.parts["residual"].counted <= 0.0


@pytest.mark.parametrize("name", ["horizon_years", "discount_rate"])
def test_without_horizon_or_rate_there_is_no_cost_over_life(decided, make_bid, name):
    decision = decided(make_bid("b"), cost={name: None})

    assert decision.cost["ba"].present.value is None
    assert decision.cost["ba"].yearly.value is None
    assert name in decision.cost["ba"].missing
    assert decision.offers["ba"].price.value == 113_000.0


@pytest.mark.parametrize(
    ("lacking", "part"),
    [
        ({"tariff": None}, "energy"),
        ({"energy_per_mass": None}, "energy"),
        ({"turnovers": None}, "changes"),
        ({"change_time": None}, "changes"),
        ({"residual_share": None}, "residual"),
    ],
)
def test_one_datum_missing_leaves_its_part_out_and_names_it(decided, make_bid, lacking, part):
    life = decided(make_bid("b"), cost=lacking).cost["ba"]

    assert life.parts[part].value is None
    assert set(lacking) <= set(life.missing)
    assert life.present.value is not None


def test_a_negative_tariff_is_no_tariff(decided, make_bid, as_money):
    life = decided(make_bid("b"), cost={"tariff": as_money("-0.2")}).cost["ba"]

    assert life.parts["energy"].value is None
    assert "negative.tariff" in life.missing


def test_it_buys_as_many_as_the_hours_need_and_trains_once(decided, make_bid):
    """Two jobs of 4667 h (560 000 parts at 30 s, oee 0.8, and 20 h of changes) on 6000 h."""
    life = decided(make_bid("b"), jobs=[{"annual_quantity": 450_000}] * 2).cost["ba"]

    assert life.copies == 2
    assert life.parts["price"].value == 2 * 110_000 + 3000


def test_a_job_of_no_quantity_takes_no_hours_and_costs_its_changes_alone(decided, make_bid):
    decision = decided(make_bid("b"), jobs=[{"annual_quantity": 0, "batches_per_year": 0}])

    assert decision.cost["ba"].parts["energy"].value == 0.0
    assert decision.cost["ba"].parts["changes"].value == 0.0
    assert decision.costs.programme.hours.tolist() == [[0.0]]


def test_a_job_without_quantity_and_hours_is_named(decided, make_bid):
    decision = decided(make_bid("b"), jobs=[{"annual_quantity": None}])

    assert "annual_quantity" in decision.cost["ba"].missing
    assert decision.cost["ba"].parts["energy"].value is None
    assert not decision.cover[1].proven


def test_stated_hours_are_gross_of_stops(decided, make_bid):
    """1000 h a year as they are; 1000 x 0.8 x 3600 / 30 shots."""
    jobs = [{"annual_quantity": None, "hours_per_year": {"magnitude": "1000", "unit": "h"}}]
    decision = decided(make_bid("b"), jobs=jobs)

    assert decision.costs.programme.hours.tolist() == [[pytest.approx(1000.0)]]
    assert decision.costs.programme.shots.tolist() == [pytest.approx(96_000.0)]


def test_energy_by_a_named_method_goes_before_what_is_assumed_for_all(decided, make_bid):
    energy = {"energy_per_mass": {"magnitude": "0.5", "unit": "kWh/kg"}}
    measured = make_bid("b", unit=energy | {"energy_method": "a named one"})
    decision = decided(measured, make_bid("c", unit=energy))

    stated, assumed = (decision.cost[name].parts["energy"] for name in ("ba", "ca"))
    assert stated.value == pytest.approx(0.5 * assumed.value)
    assert (stated.standing, assumed.standing) == ("stated", "assumed")


def test_an_unstated_recovery_takes_the_worst_of_the_others(decided, make_bid):
    slow = {"plasticising_rate": {"magnitude": "7", "unit": "g/s"}}
    silent = {"plasticising_rate": None}
    jobs = [{"cooling_time": {"magnitude": "22", "unit": "s"}}]
    decision = decided(make_bid("b", barrel=slow), make_bid("c", barrel=silent), jobs=jobs)

    lost = decision.costs.programme.seconds_lost
    assert lost[1, 0] == lost[0, 0] > 0.0
    assert decision.cost["ca"].parts["time_lost"].standing == "ours"


@pytest.mark.parametrize(("rate", "lost"), [("20", 0.0), ("5", 160 / 5 - 26.0)])
def test_a_wall_that_is_cold_early_lengthens_no_planned_cycle(decided, make_bid, rate, lost):
    """2 mm are cold 4.6 s after hold; the cycle leaves 30 - 2 - 2 = 26 s, and 8 s are recovered."""

    def given(magnitude, unit):
        return {"magnitude": magnitude, "unit": unit}

    walled = RESIN | {
        "id": "w",
        "diffusivity": given("0.1", "mm2/s"),
        "mould_temperature": given("30", "degC"),
        "ejection_temperature": given("80", "degC"),
    }
    times = {"cooling_time": None, "hold_time": given("2", "s"), "wall_thickness": given("2", "mm")}
    offer = make_bid("b", barrel={"plasticising_rate": given(rate, "g/s")})
    decision = decided(offer, jobs=[times | {"resin": "w"}], more_resins=[walled])

    assert decision.appraisal.jobs[0].window.taken == "formula"
    assert decision.costs.programme.seconds_lost.tolist() == [[pytest.approx(lost)]]


def test_why_more_than_one_machine_is_needed_is_told(sample_decision, decided, make_bid):
    # PVC and POM: their hours would go on one machine.
    assert copies_line(sample_decision) == (
        "A barrel alone needs more than one machine where some of its jobs must never share one "
        "(Valve body, two cavities with Sprinkler gear set, 12 cavities)."
    )
    long = {"annual_quantity": None, "hours_per_year": {"magnitude": "5000", "unit": "h"}}
    assert copies_line(decided(make_bid("b"), jobs=[long])) == ""
    assert copies_line(decided(make_bid("b"), jobs=[long, long])) == (
        "A barrel alone needs more than one machine where its jobs need more hours than one "
        "machine has."
    )
