"""How the formulas scale, where they stop, and what they do at their edges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.trade import capacity, geometry, melt, recovery, residence, wear_corrosion
from evenbarrel.trade.melt import TaitSet
from evenbarrel.trade.mould import cooling, flow
from evenbarrel.trade.ownership import cost

POLYSTYRENE = TaitSet(
    "polynomial",
    (9.3805e-4, 3.3086e-7, 6.6910e-10, 2.5001e8, 4.1815e-3),
    t_low=389.0,
    t_high=469.0,
    p_high=200e6,
)


@given(factor=st.floats(0.1, 10.0))
def test_sizes_scale_as_their_dimensions_say(factor):
    assert geometry.swept_volume(0.05 * factor, 0.2 * factor) == pytest.approx(
        factor**3 * geometry.swept_volume(0.05, 0.2)
    )
    assert residence.inventory_from_diameter(0.05 * factor, 20.0) == pytest.approx(
        factor**3 * residence.inventory_from_diameter(0.05, 20.0)
    )
    thick = cooling.cooling_time(0.003 * factor, 1e-7, 500.0, 300.0, 350.0, "plate", "mean")
    wall = cooling.cooling_time(0.003, 1e-7, 500.0, 300.0, 350.0, "plate", "mean")
    assert thick == pytest.approx(factor**2 * wall)
    faster = flow.slit_pressure_drop(factor * 5e-5, 0.1, 0.002, 0.15, 7500.0, 0.38)
    once = flow.slit_pressure_drop(5e-5, 0.1, 0.002, 0.15, 7500.0, 0.38)
    assert faster == pytest.approx(factor**0.38 * once)


@given(
    temperature=st.floats(400.0, 550.0),
    pressure=st.floats(0.0, 2e8),
    more=st.floats(1.0, 20.0),
)
def test_melt_is_lighter_hot_and_denser_under_pressure(temperature, pressure, more):
    density = melt.tait_density(POLYSTYRENE, temperature, pressure)
    assert melt.tait_density(POLYSTYRENE, temperature + more, pressure) < density
    assert melt.tait_density(POLYSTYRENE, temperature, pressure + more * 1e6) > density


def test_range_of_a_tait_set_includes_its_ends():
    assert POLYSTYRENE.in_range(389.0, 0.0)
    assert POLYSTYRENE.in_range(469.0, 200e6)
    assert not POLYSTYRENE.in_range(388.9, 1e6)
    assert not POLYSTYRENE.in_range(469.1, 1e6)
    assert not POLYSTYRENE.in_range(400.0, 200.1e6)
    assert not POLYSTYRENE.in_range(np.nan, 1e6)
    inside = POLYSTYRENE.in_range(np.array([380.0, 400.0]), np.array([1e6, 1e6]))
    assert inside.tolist() == [False, True]


def test_range_without_bounds_is_not_limited():
    assert TaitSet("exponential", (1e-3, 6e-4, 1.5e8, 4e-3)).in_range(900.0, 1e9)


@pytest.mark.parametrize(
    ("form", "coefficients"),
    [("polynomial", (1e-3, 6e-4, 1.5e8, 4e-3)), ("exponential", (1e-3, 6e-4, 0.0, 1.5e8, 4e-3))],
)
def test_a_tait_set_of_the_wrong_length_is_refused(form, coefficients):
    with pytest.raises(ValueError, match=form):
        TaitSet(form, coefficients)


@given(share=st.floats(0.0, 1.0), first=st.floats(700.0, 1500.0), second=st.floats(1500.0, 5000.0))
def test_a_compound_lies_between_its_parts(share, first, second):
    density = melt.filled_density((1 - share, share), (first, second))
    assert first * (1 - 1e-12) <= density <= second * (1 + 1e-12)


def test_a_compound_whose_shares_do_not_add_up_has_no_density():
    assert np.isnan(melt.filled_density((0.3, 0.6), (2540.0, 1140.0)))
    assert melt.filled_density((0.3, 0.7), (2540.0, 1140.0)) == pytest.approx(1365.8, abs=0.1)


# The order of the points does not matter.
POINTS = ((503.15, 473.15, 483.15), (600.0, 3600.0, 1800.0))


@pytest.mark.parametrize(
    ("temperature", "expected"),
    [
        (400.0, 3600.0),
        (473.15, 3600.0),
        (478.15, np.sqrt(3600.0 * 1800.0)),
        (493.15, np.sqrt(1800.0 * 600.0)),
        (503.15, 600.0),
        (508.15, 600.0),
        (508.2, np.nan),
    ],
)
def test_residence_limit(temperature, expected):
    limit = residence.residence_limit(temperature, *POINTS)
    assert limit == pytest.approx(expected, rel=1e-12, nan_ok=True)


def test_residence_limit_of_few_points():
    assert np.isnan(residence.residence_limit(480.0, (), ()))
    assert residence.residence_limit(470.0, (470.0,), (500.0,)) == pytest.approx(500.0)
    assert np.isnan(residence.residence_limit(480.0, (470.0,), (500.0,)))


@given(low=st.floats(400.0, 508.0), high=st.floats(400.0, 508.0))
def test_hotter_melt_never_stands_longer(low, high):
    low, high = sorted((low, high))
    assert residence.residence_limit(high, *POINTS) <= residence.residence_limit(low, *POINTS)


@pytest.mark.parametrize(
    ("melt_temperature", "mould", "ejection"),
    [
        (500.0, 360.0, 360.0),
        (500.0, 360.0, 365.0),
        (500.0, 360.0, 350.0),
        (360.0, 300.0, 370.0),
        (500.0, 300.0, 480.0),
    ],
)
def test_cooling_time_outside_its_range_is_not_stated(melt_temperature, mould, ejection):
    for shape in ("plate", "cylinder"):
        for target in ("centre", "mean"):
            time = cooling.cooling_time(
                0.002, 1e-7, melt_temperature, mould, ejection, shape, target
            )
            assert np.isnan(time)


def test_window_is_never_below_nothing():
    assert cooling.recovery_window(10.0, 4.0, 0.0, np.inf) == 6.0
    assert cooling.recovery_window(3.0, 4.0, 0.0, np.inf) == 0.0
    assert cooling.recovery_window(10.0, 4.0, 3.0, np.inf) == 9.0
    assert cooling.recovery_window(10.0, 4.0, 3.0, 8.5) == 8.5
    assert cooling.time_left_in_cycle(30.0, 2.0, 5.0, 4.0) == 19.0
    assert cooling.time_left_in_cycle(6.0, 2.0, 5.0, 0.0) == -1.0
    assert recovery.recovery_share(5.0, 0.0) == np.inf


def test_time_lost_is_what_the_window_lacks():
    assert recovery.seconds_lost(7.0, 10.0) == 0.0
    assert recovery.seconds_lost(12.5, 10.0) == 2.5


@given(
    density=st.floats(700.0, 1300.0),
    enthalpy=st.floats(2e5, 8e5),
)
def test_a_converted_rate_is_never_above_the_quoted_one(density, enthalpy):
    rate = recovery.converted_rate(0.03, density, 960.0, enthalpy, 370e3)
    assert rate <= 0.03
    bounds = (1.0, density / 960.0, 370e3 / enthalpy)
    assert rate == pytest.approx(0.03 * min(bounds))


def test_rate_follows_the_screw_speed():
    assert recovery.rate_at_speed(0.03, 4.0, 3.0) == pytest.approx(0.0225)


@pytest.mark.parametrize("away", [-15.0, 15.0])
def test_a_power_law_is_shifted_by_15_kelvin_at_most(away):
    shifted = flow.shifted_consistency(7500.0, 0.01, 473.0 + away, 473.0)
    assert shifted == pytest.approx(7500.0 * np.exp(-0.01 * away))
    assert np.isnan(flow.shifted_consistency(7500.0, 0.01, 473.0 + 1.01 * away, 473.0))


def test_a_power_law_without_a_coefficient_is_not_shifted():
    assert np.isnan(flow.shifted_consistency(7500.0, np.nan, 480.0, 473.0))


def test_nozzle_and_runner_add_their_share():
    assert flow.required_pressure(40e6, flow.NOZZLE_SHARE) == pytest.approx(54e6)


@pytest.mark.parametrize(
    ("package", "abrasion", "corrosion"),
    [
        # Suited against no, slight and full attack; common practice, from memory.
        ("nitrided", (True, True, False), (True, False, False)),
        ("bimetallic_iron", (True, True, True), (True, False, False)),
        ("bimetallic_nickel", (True, True, False), (True, True, True)),
        ("bimetallic_carbide", (True, True, True), (True, True, True)),
        ("stainless", (True, False, False), (True, True, True)),
        ("chrome", (True, True, False), (True, True, True)),
        ("coated", (True, True, False), (True, False, False)),
        # Nothing attacks it, known or not.
        ("unknown", (True, None, None), (True, None, None)),
    ],
)
def test_what_a_package_withstands(package, abrasion, corrosion):
    for attack, expected in (("wear", abrasion), ("corrosion", corrosion)):
        proof = wear_corrosion.proof_of(package, attack)
        for degree, suited in zip(("no", "slightly", "yes"), expected, strict=True):
            attacked = wear_corrosion.degree_of(degree)
            beyond = wear_corrosion.attack_beyond_proof(attacked, proof)
            assert np.isnan(beyond) if suited is None else beyond == (0.0 if suited else attacked)


@pytest.mark.parametrize(
    ("barrel", "screw", "worst"),
    [
        (0.0, 0.0, 0.0),
        (1.0, 0.0, 1.0),
        (1.0, 2.0, 2.0),
        (np.nan, 2.0, 2.0),
        (1.0, np.nan, 1.0),
        (np.nan, 0.0, np.nan),
        (np.nan, np.nan, np.nan),
    ],
)
def test_one_part_attacked_is_enough_and_both_are_needed_for_none(barrel, screw, worst):
    found = wear_corrosion.worst_attack(barrel, screw)
    assert found == worst or (np.isnan(found) and np.isnan(worst))


def test_a_hot_runner_lets_off_4_percent_of_its_melt():
    """100 cm3 on 50 mm: 4 cm3 over 19.635 cm2."""
    area = geometry.screw_area(0.05)
    assert capacity.hot_runner_relief(100e-6, area) == pytest.approx(2.037e-3, rel=1e-3)


def test_a_volume_alone_is_taken_with_a_stroke_of_4_d():
    """Above 3 mm of cushion the assumption is the share of a barrel of 4 D within 1 %."""
    assert capacity.capacity_share_by_volume(160e-6, 400e-6) == pytest.approx(0.44)
    stroke = 4 * 0.05
    shot = 0.4 * stroke
    exact = capacity.capacity_share(
        shot, capacity.default_cushion(shot), capacity.default_decompression(0.05), 0.0, stroke
    )
    assert capacity.capacity_share_by_volume(0.4, 1.0) == pytest.approx(exact, abs=0.01)


def test_cost_without_a_rate_is_the_plain_sum():
    assert cost.present_cost(100.0, (10.0, 20.0), 0.0, 0.0, 5.0) == pytest.approx(125.0)
    assert cost.annuity_factor(0.0, 8.0) == pytest.approx(0.125)
    assert cost.present_value((), 0.02, 0.05) == 0.0


def test_growth_at_the_rate_cancels_it():
    assert cost.present_value((7.0,) * 5, 0.06, 0.06) == pytest.approx(35.0)


@pytest.mark.parametrize("rate", [-1.0, -2.0])
def test_a_rate_that_loses_everything_has_no_present_cost(rate):
    assert np.isnan(cost.present_cost(100.0, (10.0, 10.0), 0.0, rate, 5.0))
    assert np.isnan(cost.annuity_factor(rate, 8.0))


def test_one_call_serves_a_hundred_thousand_barrels():
    diameters = np.linspace(0.02, 0.2, 100_000)
    volumes = geometry.swept_volume(diameters, 4 * diameters)
    assert volumes.shape == (100_000,)
    assert volumes[-1] == geometry.swept_volume(0.2, 0.8)
