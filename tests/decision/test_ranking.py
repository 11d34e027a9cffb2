"""The order: what is known to run counts, silence never pays, like costs share a rank."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evenbarrel.decision.flips.choice import Compared, choices_of
from evenbarrel.decision.ranking import place_of_gate
from evenbarrel.report.decision.file import published

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
    assert Compared(decision.appraisal, choices_of(decision)).order is None


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


# Jobs known to run --------------------------------------------------------------------------------


def of(text: str) -> dict[str, str]:
    magnitude, unit = text.split(" ")
    return {"magnitude": magnitude, "unit": unit}


SIZE = ("screw_diameter", "stroke", "rated_shot_mass")
NO_SIZE = dict.fromkeys(SIZE)
SMALL = {"shot_mass": of("160 g")}
LARGE = {
    "shot_mass": of("345 g"),
    "fill_time": of("3 s"),
    "cooling_time": of("25 s"),
    "cycle_time": of("40 s"),
}
"""Of 393 cm³ one is a good share, the other more than the rule allows."""
WASTED = {"barrel": "aa", "job": None, "criterion": "utilisation", "reason": "short runs"}
REMEMBERED = {
    "id": "m",
    "resin_class": "general",
    "output_factor_route": "own",
    "output_factors": {"own": of("1 g/cm3")},
    "melt_density": of("1 g/cm3"),
    "melt_temperature": of("230 degC"),
    "residence_limits": [{"temperature": of("230 degC"), "time": of("40 s")}],
    "origins": {"residence_limits": "from_memory"},
}


def test_which_jobs_are_known_to_run(decided, make_bid, for_each):
    """Near an edge and accepted outside run; what waits for a number or a person is undecided."""
    doubted = {"required_pressure": of("900 bar")}

    @for_each(
        [
            ("run", {}, SMALL, {}),
            ("run", {}, {"shot_mass": of("308 g")}, {}),
            ("not_run", {}, LARGE, {}),
            ("run", {}, LARGE, {"deviations": [WASTED | {"person": "P", "date": "2026-01-05"}]}),
            ("undecided", NO_SIZE, SMALL, {}),
            # With its volume alone: near an edge in one criterion, a required one is open.
            ("undecided", NO_SIZE | {"swept_volume": of("200 cm3")}, SMALL, {}),
            ("undecided", {"swept_volume": of("250 cm3")}, SMALL, {}),
            ("undecided", {"injection_pressure": of("60000 bar")}, SMALL | doubted, {}),
            ("undecided", {}, SMALL | {"resin": "m"}, {"more_resins": [REMEMBERED]}),
        ]
    )
    def holds(expected, barrel, job, changes):
        found = line(decided(make_bid("a", barrel=barrel), jobs=[job], **changes), "aa")
        told = {
            "run": found.jobs_run,
            "undecided": found.jobs_undecided,
            "not_run": found.jobs_not_run,
        }
        assert {name: jobs for name, jobs in told.items() if jobs} == {expected: ("j0",)}


def test_what_nobody_states_comes_after_what_is_known_to_run(decided, make_bid, as_money):
    """A barrel without a size waits behind one that is outside a rule in half of its jobs."""
    silent_bid = {"barrel": NO_SIZE, "training": None}
    cheap = make_bid("a", unit={"price": as_money(20_000)}, **silent_bid)
    decision = decided(cheap, make_bid("b"), make_bid("c", **silent_bid), jobs=[SMALL, LARGE])

    assert {one.gate for one in decision.order} == {"waits"}
    # The silent ones share a rank, however cheap one says it is.
    assert ranks(decision) == {"ba": 1, "aa": 2, "ca": 2}
    silent, known = line(decision, "aa"), line(decision, "ba")
    assert silent.work == ((), ("j0", "j1"))
    assert (known.work, known.jobs_not_run) == ((("j0",), ()), ("j1",))
    # What is undecided is in the cost: silence is not cheap.
    assert decision.cost["aa"].jobs == ("j0", "j1")
    assert decision.cost["aa"].parts["energy"].counted > decision.cost["ba"].parts["energy"].counted
    # What lacks of its price is levelled by an offer that runs other jobs too.
    assert silent.filled["price.training"] == 3000.0
    assert silent.filled_by["price.training"] == "ba"
    told = {one.barrel: one for one in published(decision).order}["aa"]
    assert (told.jobs_run, told.jobs_undecided, told.jobs_not_run) == (0, 2, 0)


PRINTED = {
    "screw_diameter": ("38 mm", "44 mm", "50 mm", "64 mm"),
    "stroke": ("140 mm", "200 mm", "240 mm"),
    "rated_shot_mass": ("200 g", "350 g"),
    "injection_pressure": ("700 bar", "1300 bar", "2200 bar"),
    "plasticising_rate": ("6 g/s", "20 g/s"),
    "melt_inventory": ("300 cm3", "900 cm3"),
}
BARRELS = st.fixed_dictionaries({name: st.sampled_from(texts) for name, texts in PRINTED.items()})
PLANNED = st.fixed_dictionaries(
    {
        "shot_mass": st.sampled_from(("40 g", "160 g", "240 g", "330 g")),
        "required_pressure": st.sampled_from(("900 bar", "1500 bar")),
    }
)


@several
@given(
    printed=st.lists(BARRELS, min_size=3, max_size=3),
    planned=st.lists(PLANNED, min_size=1, max_size=3),
    prices=st.lists(AMOUNTS, min_size=3, max_size=3),
    away=st.one_of(st.just(SIZE), st.sampled_from([(name,) for name in PRINTED])),
)
def test_taking_data_away_never_improves_a_place(
    decided, make_bid, as_money, printed, planned, prices, away
):
    """But where rules on verdicts say so: a gate is less shut, or one job more is known to run.

    That is where what is no longer there was outside, or in doubt, and is not required.
    """

    def own_line(less):
        bids = (
            make_bid(
                "abc"[at],
                unit={"price": as_money(prices[at])},
                barrel={name: of(text) for name, text in data.items()} | (less if at == 0 else {}),
            )
            for at, data in enumerate(printed)
        )
        jobs = [{name: of(text) for name, text in job.items()} for job in planned]
        return line(decided(*bids, jobs=jobs), "aa")

    before, after = own_line({}), own_line(dict.fromkeys(away))
    eased = place_of_gate(after.gate) < place_of_gate(before.gate)
    if away == SIZE:
        assert after.jobs_run == ()
    if not eased and set(after.jobs_run) <= set(before.jobs_run):
        assert after.rank >= before.rank


def test_the_order_of_the_sample_follows_from_its_verdicts(sample_decision):
    """Ranked again from what its cells say, and from the levelled costs of like work."""
    appraisal = sample_decision.appraisal
    required = ("capacity", "utilisation", "stroke")

    def kind(barrel: str, job: str) -> str:
        fit = appraisal.fit(barrel, job)
        if fit.unaccepted:
            return "not run"
        doubted = {"disputed", "beyond_unconfirmed"}.intersection(fit.reasons)
        waits = doubted or set(required).intersection(fit.open)
        unsettled = appraisal.barrel(barrel).swept.unsettled
        return "undecided" if waits or unsettled else "run"

    work = {
        one.barrel: tuple(
            tuple(job.id for job in appraisal.jobs if kind(one.barrel, job.id) == which)
            for which in ("run", "undecided")
        )
        for one in sample_decision.order
    }
    offered = [one for one in sample_decision.order if one.rank is not None]

    def better(one, other) -> bool:
        gates = [("no_objection", "waits", "shut").index(each.gate) for each in (one, other)]
        runs = [len(work[each.barrel][0]) for each in (one, other)]
        if (gates[0], -runs[0]) != (gates[1], -runs[1]):
            return (gates[0], -runs[0]) < (gates[1], -runs[1])
        alike = work[one.barrel] == work[other.barrel] and runs[0] > 0
        return alike and other.levelled > one.levelled * 1.02

    assert {one.barrel: one.work for one in sample_decision.order} == work
    for one in offered:
        assert one.rank == 1 + sum(better(other, one) for other in offered), one.barrel
    assert work["b4u1c"] == ((), tuple(job.id for job in appraisal.jobs))
    assert [one.barrel for one in offered if one.gate == "waits"] == ["b1u1c", "b1u1a", "b4u1c"]
