"""Half-widths by quantity and route, and the two corners that bound a value."""

from __future__ import annotations

from math import pi

import pytest

from evenbarrel.appraisal.appraise import appraise

AREA = pi / 4 * 5.0**2
VOLUME = AREA * 20.0


def test_the_interval_of_utilisation_is_the_two_corners(judged):
    """Shot 2 %, own factor 3 %, diameter 0.1 mm twice and stroke 0.5 mm, linearly."""
    result = judged(
        "utilisation",
        job={"shot_mass": "160 g"},
        resin={"output_factors": {"own": "1 g/cm3"}},
        barrel={"screw_diameter": "50 mm", "stroke": "200 mm"},
    )
    precision = 2 * 0.1 / 50.0 + 0.5 / 200.0
    assert result.value == pytest.approx(160.0 / VOLUME)
    assert (result.low, result.high) == pytest.approx(
        (
            160.0 * 0.98 / 1.03 / (VOLUME * (1 + precision)),
            160.0 * 1.02 / 0.97 / (VOLUME * (1 - precision)),
        )
    )


@pytest.mark.parametrize(
    ("diameter", "stroke", "d_mm", "s_mm"),
    [
        ("50 mm", "200 mm", 0.1, 0.5),
        ("50.0 mm", "200.0 mm", 0.05, 0.05),
        ("50.00 mm", "200.00 mm", 0.005, 0.005),
        ("5 cm", "20 cm", 0.1, 0.5),
        ("2 in", "8 in", 0.005 * 25.4, 0.02 * 25.4),
        ("2.00 in", "8.0 in", 0.005 * 25.4, 0.02 * 25.4),
        ("2.000 in", "8.000 in", 0.0005 * 25.4, 0.0005 * 25.4),
    ],
)
def test_printed_precision_of_nominal_sizes(planned, diameter, stroke, d_mm, s_mm):
    """Half of the last printed digit; at most 0.1 mm (0.005 in) for D, 0.5 mm (0.02 in) for s."""
    barrel = {"screw_diameter": diameter, "stroke": stroke}
    swept = appraise(planned(barrel=barrel)).barrel("b").swept.bound
    scale = {"mm": 1.0, "cm": 10.0, "in": 25.4}
    d, s = (float(t.split()[0]) * scale[t.split()[1]] for t in (diameter, stroke))
    assert swept.high / swept.nominal - 1.0 == pytest.approx(2 * d_mm / d + s_mm / s)
    assert 1.0 - swept.low / swept.nominal == pytest.approx(2 * d_mm / d + s_mm / s)


# (criterion, part, datum, printed, where a half-width is kept, by route, default)
WIDTHS = [
    ("residence", "barrel", "melt_inventory", "500 cm3", "melt_inventory", "quoted", 0.15),
    ("residence", "job", "cycle_time", "30 s", "cycle_time", "given", 0.05),
    ("recovery", "barrel", "plasticising_rate", "20 g/s", "plasticising_rate", "same_resin", 0.10),
    ("recovery", "job", "cooling_time", "20 s", "cooling_window", "given", 0.10),
    ("pressure", "job", "required_pressure", "100 MPa", "required_pressure", "given", 0.10),
    ("stroke", "job", "shot_mass", "160 g", "part_mass", "quoted", 0.02),
]


def interval(key: str, share: float) -> tuple[float, float]:
    """The interval by hand where only that one input is uncertain by `share`."""
    low, high = 1.0 - share, 1.0 + share
    if key == "recovery":
        return 0.4 / high, 0.4 / low
    if key == "pressure":
        return 0.625 * low, 0.625 * high
    return 160.0 / (AREA * 5.0) * low, 160.0 / (AREA * 5.0) * high


@pytest.mark.parametrize(("key", "part", "datum", "printed", "kept", "route", "default"), WIDTHS)
def test_half_widths_default_by_route_and_by_datum(
    judged, key, part, datum, printed, kept, route, default
):
    """uncertainty.<quantity>: a number for all routes or {route: number}; a datum may carry one."""

    def expected(share: float) -> tuple[float, float]:
        if key != "residence":
            return interval(key, share)
        if datum == "cycle_time":
            return 508.0 / 160.0 * 30.0 * (1 - share), 508.0 / 160.0 * 30.0 * (1 + share)
        return (
            (500.0 * (1 - share) + 8.0) / 160.0 * 30.0,
            (500.0 * (1 + share) + 8.0) / 160.0 * 30.0,
        )

    def found(uncertainty: dict, text: str = printed) -> tuple[float, float]:
        result = judged(key, **{part: {datum: text}}, uncertainty=uncertainty)
        return result.low, result.high

    assert found({}) == pytest.approx(expected(default))
    assert found({kept: 0.03}) == pytest.approx(expected(0.03))
    assert found({kept: {route: 0.04}}) == pytest.approx(expected(0.04))
    assert found({kept: {route: 0.04}}, f"{printed} ±0.01") == pytest.approx(expected(0.01))


# (criterion, part, datum, printed, whether the value falls as the datum grows)
CARRIED = [
    ("pressure", "barrel", "injection_pressure", "160 MPa", True),
    ("rate", "barrel", "injection_rate", "150 cm3/s", True),
    ("rate", "job", "fill_time", "2 s", True),
    ("rate", "job", "required_rate", "90 cm3/s", False),
    ("power", "unit", "injection_power", "30 kW", True),
    ("ring_share", "barrel", "ring_travel", "2 mm", False),
    ("repeatability", "unit", "position_scatter", "0.1 mm", False),
    ("screw_speed", "barrel", "plasticising_speed", "120 rev/min", False),
]


@pytest.mark.parametrize(("key", "part", "datum", "printed", "falls"), CARRIED)
def test_a_datum_without_a_usual_half_width_may_carry_one(judged, key, part, datum, printed, falls):
    """Nothing is uncertain by itself; the half-width of the one datum goes straight through."""
    exactly = {
        "job": {"cooling_time": "20 s ±0"},
        "resin": {"output_factors": {"own": "1 g/cm3 ±0"}},
    }
    plain = judged(key, **{**exactly, part: {**exactly.get(part, {}), datum: printed}})
    assert plain.low == pytest.approx(plain.value)
    assert plain.high == pytest.approx(plain.value)
    carrying = {**exactly, part: {**exactly.get(part, {}), datum: f"{printed} ±0.1"}}
    result = judged(key, **carrying)
    ends = (1 / 1.1, 1 / 0.9) if falls else (0.9, 1.1)
    assert (result.low, result.high) == pytest.approx(tuple(plain.value * end for end in ends))


def test_half_widths_beyond_the_whole_value_never_turn_an_interval_over(judged):
    """Twice 50 % of the diameter and 50 % of the stroke: any volume, down to none."""
    barrel = {"screw_diameter": "50 mm ±0.5", "stroke": "200 mm ±0.5"}
    result = judged("utilisation", barrel=barrel)
    assert (result.state, result.reasons) == ("near_edge", ("uncertainty",))
    assert result.low == pytest.approx(160.0 / VOLUME / 2.5, rel=0.06)
    assert result.high is None
    oil = {"pressure_kind": "oil", "intensification_ratio": "10.0 1 ±0.7"}
    pressure = judged("pressure", barrel={"injection_pressure": "16 MPa ±0.7", **oil})
    assert (pressure.state, pressure.high) == ("near_edge", None)


def test_an_oil_pressure_carries_what_its_ratio_carries(judged):
    barrel = {
        "injection_pressure": "16 MPa ±0.02",
        "pressure_kind": "oil",
        "intensification_ratio": "10.0 1 ±0.03",
    }
    result = judged("pressure", barrel=barrel)
    assert (result.low, result.high) == pytest.approx((0.625 / 1.05, 0.625 / 0.95))


@pytest.mark.parametrize(
    ("key", "datum", "at"),
    [
        # Own arithmetic: 160 cm3 on 50 mm is 81.4873 mm, of 200 mm.
        ("capacity", "cushion", lambda share: (81.4873 + 10 * share + 2.5) / 200),
        ("capacity", "decompression", lambda share: (81.4873 * 1.05 + 10 * share) / 200),
        ("residence", "cushion", lambda share: (500 + 19.63495 * share) / 160 * 30),
    ],
)
def test_a_given_stroke_of_the_job_carries_its_half_width(judged, key, datum, at):
    result = judged(key, job={datum: "10 mm ±0.1"})
    assert (result.value, result.low, result.high) == pytest.approx(
        (at(1.0), at(0.9), at(1.1)), rel=1e-6
    )


def test_a_hot_runner_carries_its_half_width(judged):
    """160 g leave a cushion of 8 cm3 beside 500 cm3 in the screw."""
    result = judged("residence", job={"hot_runner_volume": "100 cm3 ±0.2"})
    held = [(508 + volume) / 160 * 30 for volume in (100, 80, 120)]
    assert (result.value, result.low, result.high) == pytest.approx(tuple(held))


def test_a_converted_rate_is_less_certain_than_one_in_the_same_resin(judged):
    """Plasticising rate: same resin 10 %, converted 20 %."""
    barrel = {"plasticising_rate": "20 g/s", "plasticising_resin": "ps"}
    more = [{"id": "ps", "melt_density": "1 g/cm3", "enthalpy": "500 kJ/kg"}]
    result = judged("recovery", barrel=barrel, more_resins=more)
    assert (result.low, result.high) == pytest.approx((0.4 / 1.2, 0.4 / 0.8))
    other = {"plasticising_rate": {"converted": 0.3}}
    wider = judged("recovery", barrel=barrel, more_resins=more, uncertainty=other)
    assert (wider.low, wider.high) == pytest.approx((0.4 / 1.3, 0.4 / 0.7))


@pytest.mark.parametrize(
    ("more", "route", "width"),
    [
        ({}, "diameter_rule", 0.35),
        (
            {
                "zones": {"feed": 0.5, "compression": 0.25, "metering": 0.25},
                "feed_depth": "7 mm",
                "metering_depth": "3 mm",
            },
            "geometry",
            0.25,
        ),
    ],
)
def test_an_inventory_is_as_uncertain_as_its_route(judged, more, route, width):
    """Inventory: quoted 15, geometry 25, D3 35 %; the cushion holds 8 cm3 exactly."""
    barrel = {"melt_inventory": None, "length_ratio": "20 1", **more}

    def inventory(time: float) -> float:
        return time * 160.0 / 30.0 - 8.0

    for entered, share in (({}, width), ({route: 0.5}, 0.5), (0.1, 0.1)):
        uncertainty = {"melt_inventory": entered} if entered else {}
        result = judged("residence", barrel=barrel, uncertainty=uncertainty)
        nominal = inventory(result.value)
        assert inventory(result.low) == pytest.approx(nominal * (1 - share))
        assert inventory(result.high) == pytest.approx(nominal * (1 + share))


def test_capacity_moves_with_every_uncertain_input(judged):
    result = judged(
        "capacity",
        job={"shot_mass": "160 g ±0.1"},
        resin={"output_factors": {"own": "1 g/cm3 ±0.05"}},
        barrel={"screw_diameter": "50.0 mm", "stroke": "200.0 mm"},
    )

    def share(mass: float, factor: float, diameter: float, stroke: float) -> float:
        shot_stroke = mass / factor / (pi / 4 * diameter**2)
        return (shot_stroke + max(0.05 * shot_stroke, 0.3) + 0.25) / stroke

    assert result.low == pytest.approx(share(144.0, 1.05, 5.005, 20.005))
    assert result.high == pytest.approx(share(176.0, 0.95, 4.995, 19.995))


def test_ring_share_and_repeatability_fall_as_the_shot_grows(judged):
    for key, distance in (("ring_share", 0.2), ("repeatability", 0.01)):
        result = judged(key, job={"shot_mass": "160 g ±0.1"})
        assert (result.low, result.high) == pytest.approx(
            (distance * AREA / 176.0, distance * AREA / 144.0)
        )


# A volume that comes from a rated mass alone.

RATED = {
    "screw_diameter": None,
    "stroke": None,
    "swept_volume": None,
    "rated_shot_mass": "200 g",
    "reference_resin": "ps",
}
PS = {
    "id": "ps",
    "resin_class": "general",
    "output_factor_route": "trade_table",
    "output_factors": {"trade_table": "0.91 g/cm3"},
}


def test_150_g_of_ps_on_a_barrel_rated_200_g_of_ps(judged):
    """0.75 with 0.73-0.87: near edge; the basis is 0.86-1.02 of m/f, the factor cancels."""
    result = judged(
        "utilisation",
        barrel=RATED,
        more_resins=[PS],
        job={"resin": "ps", "shot_mass": "150 g ±0"},
    )
    assert result.value == pytest.approx(0.75)
    assert result.low == pytest.approx(0.73, abs=0.006)
    assert result.high == pytest.approx(0.87, abs=0.006)
    # By hand 0.75/1.02 and 0.75/0.86, less and more by half a gram in 200 g at most.
    assert (result.low, result.high) == pytest.approx((0.75 / 1.02, 0.75 / 0.86), rel=0.0026)
    assert (result.state, result.reasons) == ("near_edge", ("uncertainty",))


def test_in_another_resin_both_factors_count(judged):
    """Rated in PS at 0.91 +-4 %, run in a resin of 1 g/cm3 exactly."""
    result = judged("utilisation", barrel=RATED, more_resins=[PS])
    volume = 200.0 / 0.91
    assert result.value == pytest.approx(160.0 / volume)
    assert (result.low, result.high) == pytest.approx(
        (160.0 / (1.02 * volume) * 0.96, 160.0 / (0.86 * volume) * 1.04), rel=0.0026
    )


def test_a_quoted_factor_leaves_the_printed_precision_only(judged):
    barrel = {**RATED, "reference_factor": "0.910 g/cm3"}
    result = judged("utilisation", barrel=barrel, more_resins=[PS])
    precision = 0.5 / 200.0 + 0.0005 / 0.910
    volume = 200.0 / 0.91
    assert (result.low, result.high) == pytest.approx(
        (160.0 / (volume * (1 + precision)), 160.0 / (volume * (1 - precision)))
    )


def test_the_factors_width_cancels_in_the_share_of_volume_only(judged):
    """The stroke in diameters stands on the factor alone, so it keeps its 4 %."""
    result = judged(
        "stroke",
        barrel={**RATED, "screw_diameter": "50.0000000000000 mm"},
        more_resins=[PS],
        job={"resin": "ps", "shot_mass": "150 g ±0"},
    )
    nominal = 150.0 / 0.91 / (AREA * 5.0)
    assert (result.low, result.high) == pytest.approx((nominal / 1.04, nominal / 0.96))
