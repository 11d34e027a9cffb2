"""Criteria of residence, plasticising and filling: values by hand and what each one misses."""

from __future__ import annotations

from math import log, pi

import pytest

from evenbarrel.appraisal.appraise import appraise

# The exact barrel of the fixtures: 160 g at 1 g/cm3 in 20 s, 50 mm turning 48 times a minute.
NEEDED_SPEED = pi * 0.05 * 0.8


def grams(mass: float) -> str:
    return f"{mass:.15f} g ±0"


# Residence.

POINTS = [
    {"temperature": "200 degC", "time": "60 min"},
    {"temperature": "230 degC", "time": "10 min"},
    {"temperature": "210 degC", "time": "30 min"},
]
"""Published for acetal: 60, 30 and 10 min at 200, 210 and 230 degC."""


@pytest.mark.parametrize(
    ("celsius", "minutes"),
    [
        (190, 60.0),
        (200, 60.0),
        (205, (60.0 * 30.0) ** 0.5),
        (210, 30.0),
        (220, (30.0 * 10.0) ** 0.5),
        (230, 10.0),
        (235, 10.0),
        (236, None),
    ],
)
def test_the_residence_limit_by_temperature(judged, celsius, minutes):
    result = judged(
        "residence",
        resin={"residence_limits": POINTS},
        job={"melt_temperature": f"{celsius} degC"},
    )
    if minutes is None:
        assert (result.state, result.missing) == ("not_stated", ("residence_limits",))
    else:
        assert result.allowed_high == pytest.approx(minutes * 60.0)


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        # Of the inventory only the diameter lacks.
        ({"barrel": {"melt_inventory": None, "screw_diameter": None}}, "screw_diameter"),
        ({"barrel": {"screw_diameter": None}}, "screw_diameter"),
        ({"job": {"cycle_time": None}}, "cycle_time"),
        ({"resin": {"melt_density": None}}, "melt_density"),
        ({"resin": {"residence_limits": []}}, "residence_limits"),
        ({"resin": {"melt_temperature": None}}, "melt_temperature"),
        ({"job": {"shot_mass": None, "part_mass": "10 g"}}, "cavities"),
    ],
)
def test_residence_names_what_it_misses(judged, changes, missing):
    result = judged("residence", **changes)
    assert (result.state, result.value is None or not changes.get("barrel")) == (
        "not_stated",
        True,
    )
    assert missing in result.missing


@pytest.mark.parametrize("typed", [{"feed_depth": "25 mm"}, {"flight_width": "50 mm"}])
def test_channels_that_leave_no_screw_hold_nothing_that_is_known(judged, typed):
    """Of a 50 mm screw with a pitch of one diameter; the inventory came out negative."""
    screw = {
        "melt_inventory": None,
        "length_ratio": "20 1",
        "zones": {"feed": 0.5, "compression": 0.25, "metering": 0.25},
        "feed_depth": "7 mm",
        "metering_depth": "3 mm",
    }
    assert judged("residence", barrel=screw).state != "not_stated"
    result = judged("residence", barrel=screw | typed)
    assert (result.state, result.missing) == ("not_stated", ("melt_inventory",))


def test_the_three_ways_to_the_inventory(judged):
    """4.4 D3 (L/D) / 20, common practice, no source; the screw's geometry, own arithmetic."""
    cushion = 8.0
    by_diameter = judged("residence", barrel={"melt_inventory": None, "length_ratio": "24 1"})
    held = 4.4 * 5.0**3 * 24.0 / 20.0
    assert by_diameter.value == pytest.approx((held + cushion) / 160.0 * 30.0)
    assert (by_diameter.low, by_diameter.high) == pytest.approx(
        ((0.65 * held + cushion) / 160.0 * 30.0, (1.35 * held + cushion) / 160.0 * 30.0)
    )
    by_geometry = judged(
        "residence",
        barrel={
            "melt_inventory": None,
            "length_ratio": "20 1",
            "zones": {"feed": 0.5, "compression": 0.25, "metering": 0.25},
            "feed_depth": "7 mm",
            "metering_depth": "3 mm",
        },
    )
    feed, metering = pi * 0.7 * 4.3, pi * 0.3 * 4.7
    taper = pi * (5.0 * 1.0 / 2.0 - (0.49 + 0.21 + 0.09) / 3.0)
    channel = 0.9 * 100.0 * (0.5 * 0.6 * feed + 0.25 * taper + 0.25 * metering)
    assert by_geometry.value == pytest.approx((channel + cushion) / 160.0 * 30.0)
    assert by_geometry.high == pytest.approx((1.25 * channel + cushion) / 160.0 * 30.0)


def test_an_assumed_length_ratio_makes_the_inventory_soft(judged):
    """L/D null: 20, assumed, soft."""
    limits = {"residence_limits": [{"temperature": "230 degC", "time": "10 s"}]}
    barrel = {"melt_inventory": None}
    result = judged("residence", barrel=barrel, resin=limits)
    assert result.value == pytest.approx((4.4 * 125.0 + 8.0) / 160.0 * 30.0)
    assert (result.state, result.unconfirmed, result.reasons) == ("near_edge", True, ("soft",))
    stated = judged("residence", barrel={**barrel, "length_ratio": "20 1"}, resin=limits)
    assert (stated.state, stated.unconfirmed) == ("outside", False)


def test_a_hot_runner_adds_to_the_stay_and_a_short_one_is_noted(judged):
    result = judged("residence", job={"hot_runner_volume": "160 cm3"})
    assert result.value == pytest.approx((508.0 + 160.0) / 160.0 * 30.0)
    assert result.caution is None
    brief = judged("residence", barrel={"melt_inventory": "100 cm3 ±0"})
    assert brief.value == pytest.approx(108.0 / 160.0 * 30.0)
    assert (brief.state, brief.caution) == ("inside", "short_stay")


# Recovery and screw speed.


def other_resin(density: str | None = "0.8 g/cm3", enthalpy: str | None = "400 kJ/kg") -> dict:
    return {
        "barrel": {"plasticising_resin": "ps"},
        "more_resins": [{"id": "ps", "melt_density": density, "enthalpy": enthalpy}],
    }


@pytest.mark.parametrize(
    ("density", "enthalpy", "share"),
    [
        ("0.8 g/cm3", "500 kJ/kg", 1.0),
        ("1.25 g/cm3", "500 kJ/kg", 0.8),
        ("1 g/cm3", "400 kJ/kg", 0.8),
        ("1.25 g/cm3", "300 kJ/kg", 0.6),
        ("1.6 g/cm3", "400 kJ/kg", 0.625),
        ("0.5 g/cm3", "900 kJ/kg", 1.0),
    ],
)
def test_the_rate_in_another_resin_is_the_least_of_three(judged, density, enthalpy, share):
    """1, the ratio of melt densities, the inverse ratio of enthalpies."""
    result = judged("recovery", **other_resin(density, enthalpy))
    assert result.value == pytest.approx(0.4 / share)


@pytest.mark.parametrize(
    ("changes", "missing"),
    [
        ({"barrel": {"plasticising_rate": None}}, ("plasticising_rate",)),
        ({"barrel": {"reference_resin": None}}, ("plasticising_resin",)),
        (other_resin(enthalpy=None), ("enthalpy",)),
        (other_resin(density=None), ("melt_density",)),
        ({"job": {"cooling_time": None}}, ("cooling_time",)),
        ({"job": {"shot_mass": None}}, ("part_mass", "cavities")),
    ],
)
def test_recovery_names_what_it_misses(judged, changes, missing):
    result = judged("recovery", **changes)
    assert (result.state, result.missing) == ("not_stated", missing)


def test_the_window_is_cooling_less_delay_and_longer_where_the_screw_may_turn_on(judged):
    job = {"screw_delay": "2 s", "recovery_during_opening": "6 s"}
    assert judged("recovery", job=job).value == pytest.approx(8.0 / 24.0)


WALL = {
    "job": {
        "cooling_time": None,
        "wall_thickness": "3 mm",
        "mould_temperature": "30 degC",
        "ejection_temperature": "80 degC",
        "hold_time": "4 s",
        "cycle_time": None,
    },
    "resin": {"diffusivity": "0.1 mm2/s"},
}


def plate(diffusivity: float = 0.1, lead: float = 4.0 / pi) -> float:
    """t = h2 / (pi2 a) ln[k (Tm - Tw) / (Te - Tw)] of the 3 mm wall above, in s."""
    return 9.0 / (pi**2 * diffusivity) * log(lead * 200.0 / 50.0)


MEAN = 8.0 / pi**2


def test_a_computed_window_is_the_plates_time_less_hold(judged):
    """Where one diffusivity is known, the half-width is 40 % of the formula's time."""
    result = judged("recovery", **WALL)
    assert result.value == pytest.approx(8.0 / (plate() - 4.0))
    assert result.low == pytest.approx(8.0 / (1.4 * plate() - 4.0))
    assert result.high == pytest.approx(8.0 / (0.6 * plate() - 4.0))


@pytest.mark.parametrize("target", [None, "centre", "mean"])
def test_two_diffusivities_span_the_formula_with_centre_and_mean(judged, target):
    """The nominal one is the effective diffusivity's, for the job's target, else the centre."""
    resin = {"diffusivity": "0.1 mm2/s", "diffusivity_literature": "0.12 mm2/s"}
    job = {**WALL["job"], "hold_time": "4 s", "cooling_target": target}
    result = judged("recovery", job=job, resin=resin)
    nominal = plate(0.1, MEAN if target == "mean" else 4.0 / pi)
    assert result.value == pytest.approx(8.0 / (nominal - 4.0))
    assert result.low == pytest.approx(8.0 / (plate() - 4.0))
    assert result.high == pytest.approx(8.0 / (plate(0.12, MEAN) - 4.0))


def test_combinations_beyond_the_one_term_formula_are_left_out(planned):
    """At Te 160 and Tw 30 degC the mean's Fourier number is below 0.2, the centre's is not."""
    job = {**WALL["job"], "ejection_temperature": "150 degC"}
    resin = {"diffusivity": "0.1 mm2/s", "diffusivity_literature": "0.2 mm2/s"}

    def time(diffusivity: float) -> float:
        return 9.0 / (pi**2 * diffusivity) * log(4.0 / pi * 200.0 / 120.0)

    window = appraise(planned(job=job, resin=resin)).job("j").window
    assert (window.cooling.low, window.cooling.nominal, window.cooling.high) == pytest.approx(
        (time(0.2), time(0.1), time(0.1))
    )
    failing = {**job, "cooling_target": "mean"}
    assert appraise(planned(job=failing, resin=resin)).job("j").window.cooling is None


CYCLE = {
    "cycle_time": "30 s ±0.05",
    "fill_time": "2 s",
    "hold_time": "5 s",
    "mould_motion_time": "4 s",
    "cooling_time": None,
}


def test_the_cycle_gives_the_window_where_all_of_it_is_stated(planned, judged):
    """cycle - fill - hold - motion: 5 % of the cycle, 10 % of the motion."""
    result = judged("recovery", job=CYCLE)
    assert result.value == pytest.approx(8.0 / 19.0)
    assert (result.low, result.high) == pytest.approx((8.0 / 20.9, 8.0 / 17.1))
    window = appraise(planned(job=CYCLE)).job("j").window
    assert (window.taken, tuple(window.routes)) == ("cycle", ("cycle",))
    carried = {**CYCLE, "mould_motion_time": "4 s ±0.5"}
    assert judged("recovery", job=carried).high == pytest.approx(8.0 / 15.5)
    width = {"cooling_window": {"motion": 0.25}}
    assert judged("recovery", job=CYCLE, uncertainty=width).high == pytest.approx(8.0 / 16.5)


@pytest.mark.parametrize("lacking", ["fill_time", "hold_time", "mould_motion_time"])
def test_of_a_cycle_in_part_only_the_most_it_can_leave_is_known(judged, planned, lacking):
    """Nothing is assumed for motion; outside at the cap is outside, else nothing is said."""
    job = {**CYCLE, "cycle_time": "30 s ±0", lacking: None}
    left = 30.0 - sum({"fill_time": 2, "hold_time": 5, "mould_motion_time": 4}.values())
    left += {"fill_time": 2, "hold_time": 5, "mould_motion_time": 4}[lacking]
    result = judged("recovery", job=job)
    assert (result.state, result.missing) == ("not_stated", ("cooling_time",))
    assert result.value == pytest.approx(8.0 / left)
    slow = judged("recovery", job=job, barrel={"plasticising_rate": "5 g/s ±0"})
    assert slow.state == "outside"
    assert appraise(planned(job=job)).job("j").window.taken == "cap"


def test_a_formula_without_its_hold_leaves_only_the_cap(judged, planned):
    job = {**WALL["job"], "hold_time": None, "cycle_time": "30 s ±0"}
    result = judged("recovery", job=job, resin=WALL["resin"])
    assert (result.state, result.value) == ("not_stated", pytest.approx(8.0 / 28.0))
    window = appraise(planned(job=job, resin=WALL["resin"])).job("j").window
    assert (window.taken, window.routes) == ("cap", {})
    assert window.cooling.nominal == pytest.approx(plate())


PS_WALL = {
    "cycle_time": "8 s ±0",
    "cooling_time": None,
    "wall_thickness": "2.5 mm",
    "hold_time": "2 s",
    "fill_time": "1 s",
    "mould_temperature": "35 degC",
    "ejection_temperature": "80 degC",
}
PS_DIFFUSIVITIES = {"diffusivity": "0.06 mm2/s", "diffusivity_literature": "0.117 mm2/s"}


def test_polystyrene_of_25_mm_does_not_cool_15_s_in_a_cycle_of_8(judged, planned):
    """The formula's 15 s are capped by the 5 s that the cycle less fill and hold leave."""
    result = judged("recovery", job=PS_WALL, resin=PS_DIFFUSIVITIES)
    assert result.value == pytest.approx(8.0 / 5.0)
    assert result.state == "outside"
    appraisal = appraise(planned(job=PS_WALL, resin=PS_DIFFUSIVITIES))
    window = appraisal.job("j").window
    assert window.routes["formula"].nominal == pytest.approx(16.03, abs=0.01)
    assert (window.taken, window.beyond_cycle) == ("formula", ("formula",))
    question = next(q for q in appraisal.questions if q.id == "us.cycle_time")
    assert (question.key, question.jobs) == ("window_beyond_cycle", ("j",))
    unhurried = {**PS_WALL, "cycle_time": "30 s ±0"}
    appraisal = appraise(planned(job=unhurried, resin=PS_DIFFUSIVITIES))
    assert "us.cycle_time" not in {question.id for question in appraisal.questions}


def test_what_was_measured_stays_in_a_longer_pack(judged, planned):
    """A measured 1.8 s of cooling in a 4.0 s pack stays 1.8 s: nothing is taken off again."""
    job = {
        "cycle_time": "10 s ±0",
        "fill_time": "1 s",
        "hold_time": "4.0 s",
        "cooling_time": "1.8 s ±0",
    }
    assert judged("recovery", job=job).value == pytest.approx(8.0 / 1.8)
    assert appraise(planned(job=job)).job("j").window.beyond_cycle == ()


@pytest.mark.parametrize(
    ("job", "window"),
    [
        # Nothing known of the cycle but its length: 20 s of cooling in 18 s are 18.
        ({"cycle_time": "18 s ±0", "fill_time": None}, 18.0),
        ({"cycle_time": "18 s ±0"}, 16.0),
        ({"cycle_time": "18 s ±0", "screw_delay": "1 s"}, 15.0),
        # Past opening: no longer than the mould moves, nor than cycle - fill - hold - delay.
        ({"recovery_during_opening": "3 s", "mould_motion_time": "2 s ±0"}, 22.0),
        ({"recovery_during_opening": "3 s"}, 23.0),
        ({"cycle_time": "24 s ±0", "recovery_during_opening": "3 s"}, 22.0),
        ({"cycle_time": "24 s ±0", "recovery_during_opening": "3 s", "screw_delay": "1 s"}, 21.0),
        ({"cycle_time": None, "recovery_during_opening": "9 s"}, 29.0),
    ],
)
def test_whatever_is_taken_is_held_against_the_cycle(judged, job, window):
    assert judged("recovery", job=job).value == pytest.approx(8.0 / window)


def test_each_end_of_the_window_is_capped_for_itself(judged):
    job = {"cooling_time": "20 s ±0.1", "cycle_time": "22 s ±0.05"}
    result = judged("recovery", job=job)
    assert (result.value, result.low, result.high) == pytest.approx(
        (8.0 / 20.0, 8.0 / 21.1, 8.0 / 18.0)
    )


@pytest.mark.parametrize(
    ("times", "state"),
    [
        ({"hold_time": "40 s", "fill_time": "4 s", "cycle_time": "41 s"}, "outside"),
        ({"hold_time": "12 s"}, "near_edge"),
        # A wall that is cold before hold ends does not say when the mould opens.
        ({"hold_time": "40 s"}, "not_stated"),
    ],
)
def test_no_window_left_is_outside_and_said_so(judged, times, state):
    result = judged("recovery", resin=WALL["resin"], job={**WALL["job"], **times})
    assert result.state == state
    assert result.caution == ("no_window_left" if state == "outside" else None)
    # A bound where the window is 0 is unbounded.
    assert result.high is None


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("hold_time", None),
        ("ejection_temperature", "34 degC"),
        ("ejection_temperature", "240 degC"),
        ("wall_thickness", None),
    ],
)
def test_a_window_that_cannot_be_computed_is_not_stated(judged, name, value):
    """Tm > Te > Tw + 5 K, and the hold time must be known."""
    result = judged("recovery", resin=WALL["resin"], job={**WALL["job"], name: value})
    assert (result.state, result.missing) == ("not_stated", ("cooling_time",))


def test_a_jobs_own_melt_temperature_does_not_change_the_window(judged):
    job = {**WALL["job"], "melt_temperature": "250 degC"}
    assert judged("recovery", resin=WALL["resin"], job=job).value == pytest.approx(
        judged("recovery", **WALL).value
    )


SLOW = {"screw_speed_max": "50 rev/min"}


LIMITED = {"peripheral_speed_limit": "0.5 m/s"}


def test_a_screw_that_turns_too_slowly_is_for_recovery_to_tell(judged):
    """Beyond its greatest speed nothing turns: the value is capped, recovery decides."""
    barrel = {**SLOW, "plasticising_rate": "5 g/s ±0"}
    result = judged("screw_speed", barrel=barrel, resin=LIMITED)
    assert result.value == pytest.approx(pi * 0.05 * 50.0 / 60.0)
    assert (result.state, result.basis) == ("inside", "resin")
    assert judged("recovery", barrel=barrel).state == "outside"


def test_a_screw_within_the_limit_at_its_greatest_speed_is_inside_whatever_the_window(judged):
    """50 mm at 190 rev/min: 0.497 m/s of 0.5, though 80 % of the limit are passed."""
    barrel = {"screw_speed_max": "190 rev/min", "plasticising_rate": "5 g/s ±0"}
    result = judged("screw_speed", barrel=barrel, resin=LIMITED)
    assert (result.state, result.reasons) == ("inside", ())
    assert result.value == pytest.approx(pi * 0.05 * 190.0 / 60.0)
    for unknown in (
        {"job": {"cooling_time": None}},
        {"barrel": {**barrel, "plasticising_rate": None}},
        {"barrel": {**barrel, "plasticising_speed": None}},
    ):
        changes = {"barrel": barrel, **unknown}
        assert judged("screw_speed", resin=LIMITED, **changes).state == "inside"
    faster = judged("screw_speed", resin=LIMITED, job={"cooling_time": None})
    assert (faster.state, faster.missing) == ("not_stated", ("cooling_time",))


def test_screw_speed_has_the_comfort_band_of_recovery(judged):
    """Within 80 % of the limit inside, to the limit near the edge."""
    for share, state in ((0.79, "inside"), (0.9, "near_edge"), (1.01, "outside")):
        limit = {"peripheral_speed_limit": f"{NEEDED_SPEED / share:.12f} m/s"}
        result = judged("screw_speed", resin=limit)
        assert result.state == state
        assert result.comfort_high == pytest.approx(0.8 * result.allowed_high)
    assert judged("screw_speed", resin=limit, limits={"recovery_share": 0.5}).comfort_high == (
        pytest.approx(0.5 * result.allowed_high)
    )


def test_too_fast_for_the_resin_is_the_resins(judged):
    result = judged("screw_speed", resin={"peripheral_speed_limit": "0.1 m/s"})
    assert (result.state, result.basis) == ("outside", "resin")


def test_a_limit_from_memory_leaves_no_worse_than_near_the_edge(judged):
    resin = {
        "peripheral_speed_limit": "0.1 m/s",
        "origins": {"peripheral_speed_limit": "from_memory"},
    }
    result = judged("screw_speed", resin=resin)
    assert (result.state, result.basis, result.unconfirmed) == ("near_edge", "resin", True)


def test_without_the_resins_limit_nothing_is_said(judged):
    resin = {"peripheral_speed_limit": None}
    for barrel in ({}, SLOW):
        result = judged("screw_speed", resin=resin, barrel=barrel)
        assert (result.state, result.missing) == ("not_stated", ("peripheral_speed_limit",))


@pytest.mark.parametrize(
    ("stated", "speed"),
    [
        ({"screw_speed": "120 rev/min"}, NEEDED_SPEED),
        ({"screw_speed": "120 rev/min", "screw_speed_max": None}, NEEDED_SPEED),
        # Nothing but the highest speed: the rate is taken to hold there.
        ({}, pi * 0.05 * 0.4 * 5.0),
    ],
)
def test_a_speed_printed_without_saying_which_is_only_assumed(judged, planned, stated, speed):
    barrel = {"plasticising_speed": None, **stated}
    limit = {"peripheral_speed_limit": "0.1 m/s"}
    result = judged("screw_speed", barrel=barrel, resin=limit)
    assert result.value == pytest.approx(speed)
    assert (result.state, result.unconfirmed, result.reasons) == ("near_edge", True, ("soft",))
    question = next(
        q for q in appraise(planned(barrel=barrel)).questions if q.datum == "plasticising_speed"
    )
    assert question.to == "supplier"


def test_without_any_speed_the_screw_speed_is_not_stated(judged):
    barrel = {"plasticising_speed": None, "screw_speed_max": None}
    nothing = judged("screw_speed", barrel=barrel)
    assert (nothing.state, nothing.missing) == ("not_stated", ("plasticising_speed",))
    assert not nothing.unconfirmed


# Filling.

LAW = {"k": 20000.0, "n": 0.4, "temperature": "230 degC", "temperature_coefficient": 0.01}
FLOW = {
    "required_pressure": None,
    "flow_length": "150 mm",
    "flow_width": "100 mm",
    "wall_thickness": "4 mm",
    "flow_wall": "2 mm",
    "cavities": 2,
}


def estimate(rate_m3_s: float, shift: float = 0.0) -> float:
    """2 K L / H [2 (2n + 1) / n Q / (W H2)]^n for one of two cavities, and 35 % on top."""
    shear = 2.0 * 1.8 / 0.4 * rate_m3_s / 2.0 / (0.1 * 0.002**2)
    return 1.35 * 2.0 * 20000.0 * 2.718281828459045 ** (-0.01 * shift) * 75.0 * shear**0.4


@pytest.mark.parametrize(("celsius", "shift"), [(230, 0.0), (244, 14.0), (220, -10.0)])
def test_an_estimated_pressure_is_soft_and_50_percent_wide(judged, celsius, shift):
    job = {**FLOW, "melt_temperature": f"{celsius} degC"}
    resin = {"power_law": LAW}
    result = judged("pressure", job=job, resin=resin)
    expected = estimate(80e-6, shift) / 160e6
    assert result.value == pytest.approx(expected)
    assert (result.low, result.high) == pytest.approx((0.5 * expected, 1.5 * expected))
    assert result.unconfirmed
    # So little is no melt pressure, which puts it in doubt as well.
    weak = judged("pressure", job=job, resin=resin, barrel={"injection_pressure": "1 MPa"})
    assert (weak.state, weak.reasons) == ("near_edge", ("soft", "disputed"))
    power = judged("power", job=job, resin=resin, unit={"injection_power": "1 kW"})
    assert (power.state, power.reasons) == ("near_edge", ("soft",))


@pytest.mark.parametrize(
    ("job", "law"),
    [
        ({"melt_temperature": "246 degC"}, {}),
        ({}, {"temperature_coefficient": None}),
        ({"flow_length": None}, {}),
        ({"fill_time": None}, {}),
    ],
)
def test_no_estimate_without_its_inputs(judged, job, law):
    result = judged("pressure", job={**FLOW, **job}, resin={"power_law": {**LAW, **law}})
    assert (result.state, result.missing) == ("not_stated", ("required_pressure",))


@pytest.mark.parametrize(
    ("barrel", "value", "missing"),
    [
        ({"pressure_kind": "melt"}, 0.625, ()),
        (
            {
                "pressure_kind": "oil",
                "injection_pressure": "16 MPa",
                "intensification_ratio": "10 1",
            },
            0.625,
            (),
        ),
        ({"pressure_kind": "oil"}, None, ("intensification_ratio",)),
        ({"injection_pressure": None}, None, ("injection_pressure",)),
    ],
)
def test_the_quoted_pressure_is_the_one_in_the_melt(judged, barrel, value, missing):
    result = judged("pressure", barrel=barrel)
    assert result.value == (value if value is None else pytest.approx(value))
    assert result.missing == missing


def test_a_mass_rate_is_divided_by_the_reference_factor(judged):
    by_resin = judged("rate", barrel={"injection_rate": "150 g/s"})
    assert by_resin.value == pytest.approx(80.0 / 150.0)
    barrel = {"injection_rate": "150 g/s", "reference_factor": "0.75 g/cm3"}
    assert judged("rate", barrel=barrel).value == pytest.approx(80.0 / 200.0)


def test_a_rate_that_is_demanded_needs_no_shot(judged):
    job = {"required_rate": "60 cm3/s", "fill_time": None}
    result = judged("rate", job=job)
    assert (result.value, result.state) == (pytest.approx(60.0 / 150.0), "inside")
    assert (result.shot_volume_low, result.shot_volume_high) == (None, None)
    lacking = judged("rate", job=job | {"shot_mass": None}, barrel={"injection_rate": None})
    assert lacking.missing == ("injection_rate",)


def test_an_estimated_pressure_has_its_shot_volumes_too(judged):
    """The estimate grows with the rate, so with the shot in its fill time."""
    resin = {"power_law": LAW}
    for key in ("pressure", "power"):
        volume = judged(key, job=FLOW, resin=resin).shot_volume_high
        at_edge = {**FLOW, "shot_mass": grams(volume * 1e6)}
        assert judged(key, job=at_edge, resin=resin).value == pytest.approx(1.0)
