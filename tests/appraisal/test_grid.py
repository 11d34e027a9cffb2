"""The grid as a whole: many barrels against many jobs are what each pair is alone."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.gate_results import GATES
from evenbarrel.appraisal.results import SEVERITY

OTHERS = [
    {
        "id": "ps",
        "resin_class": "general",
        "output_factor_route": "trade_table",
        "output_factors": {"trade_table": "0.91 g/cm3"},
        "melt_density": "0.96 g/cm3",
        "enthalpy": "370 kJ/kg",
    },
    {
        "id": "pa",
        "resin_class": "engineering",
        "output_factor_route": "own",
        "output_factors": {"own": "1.2 g/cm3"},
        "melt_density": "1.25 g/cm3",
        "enthalpy": "700 kJ/kg",
        "melt_temperature": "290 degC",
        "abrasive": "yes",
        "corrosive": "slightly",
        "peripheral_speed_limit": "0.3 m/s",
        "residence_limits": [{"temperature": "290 degC", "time": "5 min"}],
        "origins": {"residence_limits": "from_memory"},
        "power_law": {
            "k": 9000.0,
            "n": 0.6,
            "temperature": "285 degC",
            "temperature_coefficient": 0.01,
        },
    },
]
BARRELS = [
    {},
    {"id": "small", "screw_diameter": "36 mm", "stroke": "150 mm", "ring_travel": None},
    {"id": "unsettled", "swept_volume": "450 cm3", "plasticising_resin": "ps"},
    {"id": "inches", "screw_diameter": "2.25 in", "stroke": "9 in", "swept_volume": "586.4 cm3"},
    {
        "id": "rated",
        "screw_diameter": None,
        "stroke": None,
        "rated_shot_mass": "300 g",
        "reference_resin": "ps",
        "screw_package": "nitrided",
    },
]
JOBS = [
    {},
    {"id": "ends", "smallest_shot_mass": "40 g", "largest_shot_mass": "290 g"},
    {"id": "ps", "resin": "ps", "shot_mass": "150 g", "melt_temperature": "220 degC"},
    {
        "id": "pa",
        "resin": "pa",
        "shot_mass": None,
        "part_mass": "12 g",
        "cavities": 4,
        "runner_mass": "5 g",
        "required_pressure": None,
        "flow_length": "100 mm",
        "flow_width": "50 mm",
        "flow_wall": "2 mm",
        "smallest_shot_mass": "30 g",
    },
]


UNDISPUTED = [
    {"question": f"bid.{datum}", "state": "accepted_as_is"}
    for datum in ("injection_pressure", "plasticising_rate")
]
"""Unlike screws of one unit that print one pressure put it in doubt, each alone does not."""


@pytest.fixture(scope="module")
def whole(planned):
    return appraise(planned(barrels=BARRELS, jobs=JOBS, more_resins=OTHERS, answers=UNDISPUTED))


def test_a_grid_of_five_by_four_is_each_pair_alone(for_each, planned, whole):
    @for_each(product(range(len(BARRELS)), range(len(JOBS))))
    def _(barrel, job):
        pair = {"barrels": [BARRELS[barrel]], "jobs": [JOBS[job]]}
        alone = appraise(planned(**pair, more_resins=OTHERS, answers=UNDISPUTED))
        names = alone.barrels[0].id, alone.jobs[0].id
        assert whole.fit(*names) == alone.fit(*names)


def test_the_grid_holds_every_state_and_end(whole):
    fits = [whole.fit(b.id, j.id) for b in whole.barrels for j in whole.jobs]
    assert {c.state for fit in fits for c in fit.criteria} == set(SEVERITY)
    assert {c.at for fit in fits for c in fit.criteria} == {"nominal", "smallest", "largest"}
    found = {code for fit in fits for c in fit.criteria for code in c.reasons}
    assert found >= {"comfort", "uncertainty", "beyond_unconfirmed", "unsettled"}


def test_arrays_and_cells_say_the_same(whole):
    grid = whole.grid
    for row, barrel in enumerate(whole.barrels):
        for column, job in enumerate(whole.jobs):
            fit = whole.fit(barrel.id, job.id)
            assert SEVERITY[grid.state[row, column]] == fit.state
            assert GATES[whole.gates.cells[row, column]] == fit.gate
            assert bool(grid.by_rule[row, column]) == fit.by_rule


def test_a_barrels_state_is_the_worst_over_its_jobs(whole):
    for barrel in whole.barrels:
        states = [whole.fit(barrel.id, job.id).state for job in whole.jobs]
        assert whole.barrel_states[barrel.id] == min(states, key=SEVERITY.index)
    assert sum(whole.counts().values()) == len(BARRELS)


def test_appraising_twice_gives_equal_results(planned, whole):
    again = appraise(planned(barrels=BARRELS, jobs=JOBS, more_resins=OTHERS, answers=UNDISPUTED))
    assert again.jobs == whole.jobs
    assert again.barrels == whole.barrels
    assert again.bids == whole.bids
    assert again.questions == whole.questions
    assert np.array_equal(again.grid.state, whole.grid.state)
    for barrel in whole.barrels:
        for job in whole.jobs:
            assert again.fit(barrel.id, job.id) == whole.fit(barrel.id, job.id)


def test_the_order_of_barrels_and_jobs_changes_no_cell(planned, whole):
    turned = appraise(
        planned(barrels=BARRELS[::-1], jobs=JOBS[::-1], more_resins=OTHERS, answers=UNDISPUTED)
    )
    for barrel in whole.barrels:
        for job in whole.jobs:
            assert turned.fit(barrel.id, job.id) == whole.fit(barrel.id, job.id)


@pytest.mark.parametrize(
    ("barrels", "jobs"), [([], [{}]), ([{}], []), (BARRELS, []), ([], JOBS), ([], [])]
)
def test_an_empty_side_stops_nothing(planned, barrels, jobs):
    appraisal = appraise(planned(barrels=barrels, jobs=jobs, more_resins=OTHERS))
    assert appraisal.grid.state.shape == (len(barrels), len(jobs))
    assert len(appraisal.barrel_states) == len(barrels)
    assert all(state == "not_stated" for state in appraisal.barrel_states.values())
    assert isinstance(appraisal.questions, tuple)


def test_an_unknown_cell_is_a_key_error(whole):
    with pytest.raises(KeyError):
        whole.fit("nobody", "j")
    with pytest.raises(KeyError):
        whole.fit("b", "nothing")


METRIC = {
    "barrel": {
        "screw_diameter": "50.8000000000 mm",
        "stroke": "203.200000000 mm",
        "injection_pressure": "160.000000000 MPa",
        "injection_rate": "163.870640000 cm3/s",
        "plasticising_rate": "20.0000000000 g/s ±0",
        "melt_inventory": "491.611920000 cm3 ±0",
        "ring_travel": "2.54000000000 mm",
    },
    "job": {
        "shot_mass": "170.097138750 g ±0.01",
        "required_pressure": "103.421359395 MPa ±0.02",
        "cooling_time": "21 s ±0",
        "cushion": "5.08000000000 mm",
        "smallest_shot_mass": "56.6990462500 g ±0",
    },
    "resin": {"melt_temperature": "230 degC", "peripheral_speed_limit": "0.9144 m/s"},
    "unit": {"position_scatter": "0.0254 mm", "injection_power": "29.8279948628690808 kW"},
}
INCHES = {
    "barrel": {
        "screw_diameter": "2.0000000000 in",
        "stroke": "8.000000000 in",
        "injection_pressure": "23206.038080 psi",
        "injection_rate": "10.0000000000 in3/s",
        "plasticising_rate": "158.732829 lb/h ±0",
        "melt_inventory": "30.0000000000 in3 ±0",
        "ring_travel": "0.1000000000 in",
    },
    "job": {
        "shot_mass": "6.00000000000 oz ±0.01",
        "required_pressure": "15000.0000000 psi ±0.02",
        "cooling_time": "0.35 min ±0",
        "cushion": "0.2000000000 in",
        "smallest_shot_mass": "2.00000000000 oz ±0",
    },
    "resin": {"melt_temperature": "446 degF", "peripheral_speed_limit": "180 ft/min"},
    "unit": {"position_scatter": "0.001 in", "injection_power": "40 hp"},
}


def test_inches_psi_and_ounces_give_the_same_as_metric(cell):
    metric, us = cell(**METRIC), cell(**INCHES)
    for name in ("state", "binding", "open", "reasons", "by_rule", "gate"):
        assert getattr(metric, name) == getattr(us, name), name
    for one, other in zip(metric.criteria, us.criteria, strict=True):
        assert (one.state, one.reasons, one.at, one.missing) == (
            other.state,
            other.reasons,
            other.at,
            other.missing,
        )
        for name in ("value", "low", "high", "margin", "shot_volume_low", "shot_volume_high"):
            pair = getattr(one, name), getattr(other, name)
            assert pair == (None, None) or pair[0] == pytest.approx(pair[1], rel=1e-6), name


@pytest.mark.parametrize(
    ("first", "second", "apart"),
    [
        (["halogenated"], ["acetal"], True),
        (["acetal"], ["halogenated"], True),
        (["acetal"], ["acetal"], False),
        (["halogenated"], [], False),
        (["halogenated", "acetal"], ["acetal"], True),
    ],
)
def test_halogenated_and_acetal_never_meet_on_one_machine(planned, first, second, apart):
    """A pair of jobs, never a cell's state."""
    evaluation = planned(
        resin={"hazard_groups": first},
        more_resins=[{**OTHERS[1], "hazard_groups": second}],
        jobs=[{}, {"id": "k", "resin": "pa"}, {"id": "l", "resin": None}],
    )
    appraisal = appraise(evaluation)
    assert appraisal.incompatible_pairs == ((("j", "k"),) if apart else ())
    assert appraisal.fit("b", "j").state == "inside"


def test_overheated_acetal_is_a_caution_and_not_a_state(judged):
    points = [{"temperature": "230 degC", "time": "80 s"}]
    result = judged("residence", resin={"residence_limits": points, "hazard_groups": ["acetal"]})
    assert (result.state, result.caution) == ("outside", "overheated_acetal")
    assert judged("residence", resin={"hazard_groups": ["acetal"]}).caution is None
