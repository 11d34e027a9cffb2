"""Cover: 200 random programmes against trying everything, and what is told of a set."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from time import monotonic

import numpy as np
import pytest

from evenbarrel.decision.cover.problem import BAND
from evenbarrel.decision.cover.search import CoverSearch
from evenbarrel.decision.cover.tables import CoverTables

HERE = Path(__file__).parent / "programmes.py"
_spec = importlib.util.spec_from_file_location("programmes", HERE)
programmes = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(programmes)

LONG = 60.0
"""Seconds: nothing here is to be stopped by time."""
KN = {"clamp_force_needed": {"magnitude": "1600", "unit": "kN"}}
TWO = [{"annual_quantity": 450_000}] * 2
"""Two jobs of 4688 h each and 20 h of changes: together too much for 6000 h."""


def unpriced(problem, found) -> int:
    silent = problem.unpriced & problem.bought
    return int((np.array(found.copies) * silent).sum())


def check(problem, most: int, found) -> None:
    weight, jobs, silent, cost = programmes.by_trying_everything(problem, most)
    assert found.weight == pytest.approx(weight, rel=BAND)
    assert (found.covered, unpriced(problem, found)) == (jobs, silent)
    assert found.cost == pytest.approx(cost, rel=1e-6)
    for barrel, copies in enumerate(found.copies):
        packing = problem.packing(barrel, found.jobs_of(barrel))
        assert packing is not None
        assert packing[0] <= copies


@pytest.mark.parametrize("block", range(10))
def test_the_best_set_is_that_of_trying_everything(block):
    for seed in range(20 * block, 20 * block + 20):
        problem, most = programmes.programme(seed), seed % 3
        check(problem, most, CoverSearch(problem, monotonic() + LONG).best(most).best)


@pytest.mark.parametrize("seed", range(12))
def test_listing_and_solving_finds_the_same_as_looking_at_every_choice(seed, monkeypatch):
    problem = programmes.programme(seed, moulds=np.ones(4))
    by_tables = CoverSearch(problem, monotonic() + LONG).best(2)
    monkeypatch.setattr(CoverTables, "serve", staticmethod(lambda _: False))
    by_solving = CoverSearch(problem, monotonic() + LONG).best(2)

    assert by_solving.best.covered == by_tables.best.covered
    assert by_solving.best.cost == pytest.approx(by_tables.best.cost, rel=1e-9)
    assert (by_solving.runner_up is None) == (by_tables.runner_up is None)
    if by_tables.runner_up is not None:
        assert by_solving.runner_up.cost == pytest.approx(by_tables.runner_up.cost, rel=1e-9)
    assert by_solving.best.gap == by_tables.best.gap == 0.0


def test_doing_nothing_leaves_every_job_and_the_year_it_should_run(decided, make_bid):
    nothing = decided(make_bid("b"), jobs=[{"start_year": 2028}]).cover[0]

    assert nothing.barrels == ()
    assert nothing.uncovered == (("j0", "machines"),)
    assert nothing.first_broken_year == 2028
    assert nothing.gate == "shut"
    assert nothing.present.value == 0.0


def test_the_plants_own_machine_comes_on_top(decided, make_bid, as_money):
    own = make_bid("own", unit={"owned_copies": 1, "resale_value": as_money(5000), "price": None})
    decision = decided(make_bid("b"), own, jobs=TWO)

    assert decision.cover[0].barrels == (("owna", 1),)
    assert decision.cover[0].costs[0].parts["price"].value == 5000.0
    assert decision.cover[1].uncovered == ()
    assert decision.cover[1].bought == 1
    assert decision.needs_at_least == 1
    assert decision.order[-1].barrel == "owna"
    assert decision.order[-1].rank is None


def test_hours_hold_in_every_year(decided, make_bid):
    """One job ends before the other begins: one machine runs both; a year together needs two."""
    apart = [TWO[0] | {"end_year": 2030}, TWO[1] | {"start_year": 2031}]
    together = [TWO[0] | {"end_year": 2031}, TWO[1] | {"start_year": 2031}]

    assert decided(make_bid("b"), jobs=apart).needs_at_least == 1
    assert decided(make_bid("b"), jobs=together).needs_at_least == 2
    one = decided(make_bid("b"), jobs=together).cover[1]
    assert [why for _, why in one.uncovered] == ["hours"]


def test_a_job_longer_than_a_year_needs_a_second_mould(decided, make_bid):
    """1 000 000 parts at 30 s take 10 417 h and 20 h of changes, on 6000 h."""
    jobs = [{"annual_quantity": 1_000_000}]
    decision = decided(make_bid("b"), jobs=jobs)
    assert decision.cover[3].uncovered == (("j0", "moulds"),)
    assert decision.needs_at_least is None

    two = decided(make_bid("b"), jobs=[jobs[0] | {"moulds": 2}])
    assert two.needs_at_least == 2
    runs = two.cover[2].runs
    assert sum(run.share for run in runs) == pytest.approx(1.0)
    assert {run.copy for run in runs} == {1, 2}


def test_clamp_force_is_compared_and_asked_for_where_it_is_not_stated(decided, make_bid):
    small = decided(make_bid("b"), jobs=[KN]).cover[1]
    assert small.uncovered == (("j0", "clamp_force"),)

    unknown = decided(make_bid("b", unit={"clamp_force": None}), jobs=[KN]).cover[1]
    assert unknown.uncovered == ()
    assert not unknown.proven
    assert "clamp_force" in unknown.missing


def test_what_must_never_meet_runs_on_two_copies(decided, make_bid):
    other = {
        "id": "pvc",
        "hazard_groups": ["halogenated"],
        "output_factor_route": "own",
        "output_factors": {"own": {"magnitude": "1", "unit": "g/cm3"}},
        "melt_density": {"magnitude": "1", "unit": "g/cm3"},
        "enthalpy": {"magnitude": "500", "unit": "kJ/kg"},
        "resin_class": "general",
    }
    acetal = other | {"id": "pom", "hazard_groups": ["acetal"]}
    jobs = [{"resin": "pvc"}, {"resin": "pom"}]
    decision = decided(make_bid("b"), jobs=jobs, more_resins=[other, acetal])

    assert decision.needs_at_least == 2
    assert len({run.copy for run in decision.cover[2].runs}) == 2
    assert decision.cost["ba"].copies == 2
    # One has the hours for both: it is no want of hours that keeps the other job from it.
    assert decision.cover[1].uncovered == (("j1", "incompatible"),)


def test_pins_and_bans_hold(decided, make_bid, as_money):
    cheap, dear = make_bid("b"), make_bid("c", unit={"price": as_money(150_000)})
    pinned = decided(cheap, dear, assignment=[{"job": "j0", "barrel": "ca", "copy": 1}]).cover[1]
    assert pinned.barrels == (("ca", 1),)
    assert pinned.runner_up is None

    ban = {"forbidden": [{"job": "j0", "barrel": "ba"}]}
    banned = decided(cheap, dear, cover_options=ban).cover[1]
    assert banned.barrels == (("ca", 1),)

    free = decided(cheap, dear).cover[1]
    assert free.barrels == (("ba", 1),)
    assert free.runner_up is not None
    assert free.runner_up.barrels == (("ca", 1),)


def test_a_pin_to_what_cannot_run_it_is_told(decided, make_bid):
    small = make_bid("c", unit={"clamp_force": {"magnitude": "500", "unit": "kN"}})
    pin = [{"job": "j0", "barrel": "ca", "copy": 1}]

    assert decided(make_bid("b"), small, assignment=pin).cover[1].uncovered == (("j0", "pinned"),)


def test_what_waits_counts_only_where_a_person_says_so(decided, make_bid):
    jobs = [{"shot_mass": {"magnitude": "30", "unit": "g"}}]
    shut = decided(make_bid("b"), jobs=jobs)
    assert shut.cover[1].uncovered == (("j0", "waits"),)

    options = {"waiting_fits": True}
    assert decided(make_bid("b"), jobs=jobs, cover_options=options).cover[1].uncovered == ()


def test_a_machine_without_a_price_comes_last_and_makes_no_cost(decided, make_bid, as_money):
    silent = make_bid("a", unit={"price": None})
    priced = make_bid("b", unit={"price": as_money(900_000)})
    assert decided(silent, priced).cover[1].barrels == (("ba", 1),)

    alone = decided(silent).cover[1]
    assert alone.barrels == (("aa", 1),)
    assert alone.present.value is None
    assert "machine" in alone.missing


def test_training_is_paid_once_for_two_machines_of_a_bid(decided, make_bid):
    two = decided(make_bid("b"), jobs=TWO).cover[2]

    assert two.barrels == (("ba", 2),)
    assert two.costs[0].parts["price"].value == 2 * 110_000 + 3000


def test_nothing_to_plan_is_no_fault(decided, make_bid):
    assert decided(make_bid("b"), jobs=[]).needs_at_least == 0
    assert decided().cover[0].barrels == ()


def test_every_line_of_the_sample_keeps_its_hours_and_its_gate(sample_decision, sample_appraisal):
    for cover in sample_decision.cover:
        assert all(hours <= 6000.0 * (1 + 1e-6) for _, _, hours in cover.hours)
        assert (cover.gate == "shut") == bool(cover.uncovered)
        jobs = {run.job for run in cover.runs} | {job for job, _ in cover.uncovered}
        assert jobs == {job.id for job in sample_appraisal.jobs}
    assert sample_decision.cover[-1].uncovered == ()
