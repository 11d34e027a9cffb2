"""Criteria of residence, plasticising and filling: values by hand and what each one misses."""

from __future__ import annotations

from math import log, pi

import pytest

# The exact barrel of the fixtures: 160 g at 1 g/cm3 in 20 s, 50 mm turning 60 times a minute.
NEEDED_SPEED = pi * 0.05 * 1.0


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
        ({"barrel": {"melt_inventory": None, "screw_diameter": None}}, "melt_inventory"),
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
    },
    "resin": {"diffusivity": "0.1 mm2/s"},
}


def test_a_computed_window_is_the_plates_time_less_hold(judged):
    """t = h2 / (pi2 a) ln[4/pi (Tm - Tw) / (Te - Tw)]; half-width 40 % of the formula's time."""

    time = 9.0 / (pi**2 * 0.1) * log(4.0 / pi * 200.0 / 50.0)
    result = judged("recovery", **WALL)
    assert result.value == pytest.approx(8.0 / (time - 4.0))
    assert result.low == pytest.approx(8.0 / (1.4 * time - 4.0))
    assert result.high == pytest.approx(8.0 / (0.6 * time - 4.0))


@pytest.mark.parametrize("hold", ["40 s", "12 s"])
def test_no_window_left_is_outside_and_said_so(judged, hold):
    result = judged("recovery", resin=WALL["resin"], job={**WALL["job"], "hold_time": hold})
    assert result.state == ("outside" if hold == "40 s" else "near_edge")
    assert result.caution == ("no_window_left" if hold == "40 s" else None)


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


def test_a_screw_that_turns_too_slowly_is_a_matter_of_physics(judged):
    result = judged("screw_speed", barrel=SLOW)
    assert (result.state, result.basis) == ("outside", "physical")
    assert result.allowed_high == pytest.approx(pi * 0.05 * 50.0 / 60.0)


def test_too_fast_for_the_resin_alone_is_the_resins(judged):
    result = judged("screw_speed", resin={"peripheral_speed_limit": "0.1 m/s"})
    assert (result.state, result.basis) == ("outside", "resin")


def test_beyond_resin_and_machine_is_physical_even_where_the_resins_limit_is_soft(judged):
    """n_need above screw_speed_max: outside, physical."""
    resin = {
        "peripheral_speed_limit": "0.05 m/s",
        "origins": {"peripheral_speed_limit": "from_memory"},
    }
    result = judged("screw_speed", resin=resin, barrel=SLOW)
    assert (result.state, result.basis, result.unconfirmed) == ("outside", "physical", False)
    alone = judged("screw_speed", resin=resin)
    assert (alone.state, alone.basis, alone.reasons) == ("near_edge", "resin", ("soft",))


def test_without_the_resins_limit_only_the_machines_speaks(judged):
    resin = {"peripheral_speed_limit": None}
    unknown = judged("screw_speed", resin=resin)
    assert (unknown.state, unknown.missing) == ("not_stated", ("peripheral_speed_limit",))
    assert judged("screw_speed", resin=resin, barrel=SLOW).state == "outside"


def test_a_speed_printed_without_saying_which_is_only_assumed(judged):
    barrel = {"plasticising_speed": None, "screw_speed": "120 rev/min"}
    limit = {"peripheral_speed_limit": "0.1 m/s"}
    result = judged("screw_speed", barrel=barrel, resin=limit)
    assert result.value == pytest.approx(NEEDED_SPEED)
    assert (result.state, result.unconfirmed) == ("near_edge", True)
    nothing = judged("screw_speed", barrel={"plasticising_speed": None})
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
    weak = judged("pressure", job=job, resin=resin, barrel={"injection_pressure": "1 MPa"})
    assert (weak.state, weak.reasons) == ("near_edge", ("soft",))
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
