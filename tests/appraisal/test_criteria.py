"""Every criterion of the rules' table: its value, its edges, and what it says where data lack."""

from __future__ import annotations

from math import inf, pi

import pytest

# The exact barrel of the fixtures: 50 mm over 200 mm, a resin of 1 g/cm3; own arithmetic below.
AREA = pi / 4 * 5.0**2
VOLUME = AREA * 20.0


def grams(mass: float) -> str:
    return f"{mass:.15f} g ±0"


# For each criterion: its value at a shot of 160 g, by hand from the words of the table.
VALUES = {
    # Shot stroke 160 / A, cushion 5 % of it (4.1 mm), decompression 0.05 D.
    "capacity": (1.05 * 16.0 / AREA * 10.0 + 0.25) / 20.0,
    "utilisation": 160.0 / VOLUME,
    "stroke": 160.0 / (AREA * 5.0),
    "ring_share": 0.2 / (160.0 / AREA),
    # 500 cm3 and the cushion's volume, 5 % of 160 cm3, at 1 g/cm3, every 30 s 160 g.
    "residence": 508.0 / 160.0 * 30.0,
    # 160 g at 20 g/s in 20 s.
    "recovery": 8.0 / 20.0,
    # 120 rev/min give 20 g/s; 80 % of 20 s take 10 g/s, so 60 rev/min of 50 mm.
    "screw_speed": pi * 0.05 * 1.0,
    "pressure": 100.0 / 160.0,
    # 160 cm3 in 2 s against 150 cm3/s.
    "rate": 80.0 / 150.0,
    # 100 MPa times 80 cm3/s are 8 kW.
    "power": 8.0 / 30.0,
    "repeatability": 0.01 / (160.0 / AREA),
}


@pytest.mark.parametrize("key", VALUES)
def test_value(judged, key):
    result = judged(key)
    assert result.value == pytest.approx(VALUES[key], rel=1e-12)
    assert result.low == pytest.approx(result.value, rel=1e-9)
    assert result.high == pytest.approx(result.value, rel=1e-9)
    assert (result.state, result.missing, result.reasons) == ("inside", (), ())


def shot(mass: float, **more: str) -> dict[str, dict[str, str]]:
    return {"job": {"shot_mass": grams(mass), **more}}


# (criterion, hard edge that exists, changes that bring the value to x times that edge)
EDGES = [
    # The whole stroke, decompression 2.5 mm off, less 5 % cushion.
    ("capacity", "high", lambda x: shot((20.0 * x - 0.25) / 1.05 * AREA)),
    ("utilisation", "low", lambda x: shot(0.20 * x * VOLUME)),
    ("utilisation", "high", lambda x: shot(0.80 * x * VOLUME)),
    ("stroke", "low", lambda x: shot(0.5 * x * AREA * 5.0)),
    ("stroke", "high", lambda x: shot(4.0 * x * AREA * 5.0)),
    ("ring_share", "high", lambda x: shot(0.2 / (0.10 * x) * AREA)),
    (
        "residence",
        "high",
        lambda x: {
            "resin": {
                "residence_limits": [{"temperature": "230 degC", "time": f"{95.25 / x:.12f} s"}]
            }
        },
    ),
    ("recovery", "high", lambda x: shot(400.0 * x)),
    (
        "screw_speed",
        "high",
        lambda x: {"resin": {"peripheral_speed_limit": f"{pi * 0.05 / x:.15f} m/s"}},
    ),
    ("pressure", "high", lambda x: {"job": {"required_pressure": f"{160.0 * x:.12f} MPa ±0"}}),
    ("rate", "high", lambda x: shot(300.0 * x)),
    ("power", "high", lambda x: shot(600.0 * x)),
    (
        "repeatability",
        "high",
        lambda x: {"job": {"shot_mass_tolerance": f"{VALUES['repeatability'] * 100 / x:.15f} %"}},
    ),
]


@pytest.mark.parametrize(("key", "end", "changes"), EDGES, ids=lambda part: str(part)[:12])
def test_touching_a_hard_edge_counts_as_in_and_beyond_is_outside(judged, key, end, changes):
    within, beyond = (0.999999, 1.000001) if end == "high" else (1.000001, 0.999999)
    assert judged(key, **changes(within)).state in ("inside", "near_edge")
    assert judged(key, **changes(1.0)).state in ("inside", "near_edge")
    assert judged(key, **changes(beyond)).state == "outside"


@pytest.mark.parametrize(("key", "end", "changes"), EDGES, ids=lambda part: str(part)[:12])
def test_the_margin_on_the_hard_edge_is_the_factor_that_is_left(judged, key, end, changes):
    factor = 1.25 if end == "high" else 0.8
    assert judged(key, **changes(1.0)).margin == pytest.approx(0.0, abs=1e-9)
    assert judged(key, **changes(factor)).margin == pytest.approx(-0.2)
    result = judged(key, **changes(1 / factor))
    opposite = result.allowed_low if end == "high" else result.allowed_high
    if opposite is None or key == "stroke":
        assert result.margin == pytest.approx(0.25)


@pytest.mark.parametrize(
    ("key", "changes", "easy", "uneasy"),
    [
        ("stroke", lambda x: shot(x * AREA * 5.0), 1.0, 0.999999),
        ("stroke", lambda x: shot(x * AREA * 5.0), 3.0, 3.000001),
        ("recovery", lambda x: shot(400.0 * x), 0.80, 0.800001),
        (
            "pressure",
            lambda x: {"job": {"required_pressure": f"{160.0 * x:.12f} MPa ±0"}},
            0.85,
            0.850001,
        ),
        ("rate", lambda x: shot(300.0 * x), 0.90, 0.900001),
    ],
)
def test_beyond_comfort_is_near_the_edge_and_touching_is_not(judged, key, changes, easy, uneasy):
    assert judged(key, **changes(easy)).state == "inside"
    result = judged(key, **changes(uneasy))
    assert (result.state, result.reasons) == ("near_edge", ("comfort",))
    assert result.comfort_margin == pytest.approx(0.0, abs=1e-5)
    assert result.margin > 0.05


def test_every_basis_and_edge_stands_as_in_the_table(cell):
    basis = {c.key: c.basis for c in cell().criteria}
    assert basis == {
        "capacity": "physical",
        "utilisation": "practice",
        "stroke": "practice",
        "ring_share": "practice",
        "residence": "resin",
        "recovery": "practice",
        "screw_speed": "resin",
        "pressure": "physical",
        "rate": "physical",
        "power": "physical",
        "repeatability": "practice",
        "wear": "resin",
        "corrosion": "resin",
    }
    edges = {
        c.key: (c.allowed_low, c.allowed_high, c.comfort_low, c.comfort_high)
        for c in cell().criteria
        if c.key not in ("residence", "screw_speed", "repeatability")
    }
    assert edges == {
        "capacity": (None, 1.0, None, None),
        "utilisation": (0.20, 0.80, None, None),
        "stroke": (0.5, 4.0, 1.0, 3.0),
        "ring_share": (None, 0.10, None, None),
        "recovery": (None, 1.0, None, 0.80),
        "pressure": (None, 1.0, None, 0.85),
        "rate": (None, 1.0, None, 0.90),
        "power": (None, 1.0, None, None),
        "wear": (None, None, None, None),
        "corrosion": (None, None, None, None),
    }


# Capacity: the cushion is 5 % of the shot stroke, at least 3 mm, so the knee is at 60 mm.


@pytest.mark.parametrize(
    ("stroke_mm", "cushion_mm"),
    [(20.0, 3.0), (59.9, 3.0), (60.0, 3.0), (60.1, 3.005), (160.0, 8.0)],
)
def test_the_cushion_has_its_knee_at_60_mm(judged, stroke_mm, cushion_mm):
    result = judged("capacity", **shot(stroke_mm / 10.0 * AREA))
    assert result.value == pytest.approx((stroke_mm + cushion_mm + 2.5) / 200.0, rel=1e-9)


def test_cushion_and_decompression_of_the_job_stand_instead_of_the_assumed_ones(judged):
    result = judged("capacity", **shot(10.0 * AREA, cushion="7 mm", decompression="12 mm"))
    assert result.value == pytest.approx((100.0 + 7.0 + 12.0) / 200.0, rel=1e-9)
    none = judged("capacity", **shot(10.0 * AREA, cushion="0 mm", decompression="0 mm"))
    assert none.value == pytest.approx(0.5, rel=1e-9)


@pytest.mark.parametrize("unknown", ["screw_diameter", "stroke"])
def test_without_diameter_or_stroke_the_share_of_volume_is_a_lower_bound(judged, unknown):
    barrel = {unknown: None, "swept_volume": "400.000000000 cm3"}
    above = judged("capacity", barrel=barrel, **shot(400.001))
    assert (above.state, above.value) == ("outside", pytest.approx(1.0000025))
    below = judged("capacity", barrel=barrel, **shot(399.0))
    assert (below.state, below.missing) == ("not_stated", (unknown,))
    assert below.value == pytest.approx(399.0 / 400.0)
    assert below.shot_volume_high == pytest.approx(400e-6)


# Utilisation: the window of the class, or the resin's own where a person entered it.


@pytest.mark.parametrize(
    ("resin", "window"),
    [
        ({"resin_class": "general"}, (0.20, 0.80)),
        ({"resin_class": "engineering"}, (0.30, 0.50)),
        ({"utilisation_low": "30 %", "utilisation_high": "65 %"}, (0.30, 0.65)),
        ({"resin_class": "engineering", "utilisation_high": "0.65 1"}, (0.30, 0.65)),
        (
            {"resin_class": None, "utilisation_low": "25 %", "utilisation_high": "65 %"},
            (0.25, 0.65),
        ),
    ],
)
def test_the_window_of_utilisation(judged, resin, window):
    result = judged("utilisation", resin=resin)
    assert (result.allowed_low, result.allowed_high) == pytest.approx(window)


def test_a_resin_of_no_class_has_no_window(judged):
    result = judged("utilisation", resin={"resin_class": None})
    assert (result.state, result.missing) == ("not_stated", ("resin_class",))
    assert result.value == pytest.approx(VALUES["utilisation"])
    assert result.margin is None


def test_limits_of_ones_own_replace_the_usual_ones(judged):
    limits = {"general_low": 0.45, "general_high": 0.9}
    result = judged("utilisation", limits=limits)
    assert (result.state, result.allowed_low, result.allowed_high) == ("outside", 0.45, 0.9)


# Ring travel: assumed, it shows a value and says nothing.


def test_an_assumed_ring_travel_shows_a_value_without_a_state(judged):
    result = judged("ring_share", barrel={"ring_travel": None}, **shot(2.0 * AREA))
    assert (result.state, result.missing) == ("not_stated", ("ring_travel",))
    # 0.05 D of 50 mm against 20 mm.
    assert result.value == pytest.approx(0.125)


@pytest.mark.parametrize(
    ("key", "changes", "missing"),
    [
        ("capacity", {"job": {"shot_mass": None}}, ("part_mass", "cavities")),
        ("utilisation", {"job": {"resin": None}}, ("resin",)),
        ("rate", {"job": {"fill_time": None}}, ("fill_time",)),
        ("rate", {"job": {"shot_mass": None, "part_mass": "9 g"}}, ("cavities",)),
        ("rate", {"barrel": {"injection_rate": None}}, ("injection_rate",)),
        ("power", {"unit": {"injection_power": None}}, ("injection_power",)),
        ("power", {"job": {"required_pressure": None}}, ("required_pressure",)),
        ("repeatability", {"unit": {"position_scatter": None}}, ("position_scatter",)),
        ("repeatability", {"job": {"shot_mass_tolerance": None}}, ("shot_mass_tolerance",)),
        ("stroke", {"barrel": {"screw_diameter": None}}, ("screw_diameter",)),
        ("wear", {"barrel": {"screw_package": None}}, ("screw_package",)),
        ("wear", {"barrel": {"screw_package": "unknown"}}, ("screw_package",)),
        ("wear", {"resin": {"abrasive": None}}, ("abrasive",)),
        ("corrosion", {"resin": {"corrosive": None}}, ("corrosive",)),
    ],
)
def test_a_missing_datum_is_not_stated_and_named(judged, key, changes, missing):
    result = judged(key, **changes)
    assert (result.state, result.missing) == ("not_stated", missing)


# Attack: the closed list of packages; common practice, from memory.


@pytest.mark.parametrize(
    ("attack", "screw", "wear", "corrosion"),
    [
        ("yes", "nitrided", "outside", "outside"),
        ("slightly", "nitrided", "inside", "outside"),
        ("no", "nitrided", "inside", "inside"),
        ("yes", "bimetallic_iron", "inside", "outside"),
        ("yes", "bimetallic_nickel", "outside", "inside"),
        ("yes", "bimetallic_carbide", "inside", "inside"),
        ("slightly", "stainless", "outside", "inside"),
    ],
)
def test_barrel_and_screw_must_both_stand_the_attack(judged, attack, screw, wear, corrosion):
    resin = {"abrasive": attack, "corrosive": attack}
    for place in ("screw_package", "barrel_package"):
        changes = {"resin": resin, "barrel": {place: screw}}
        for key, state in (("wear", wear), ("corrosion", corrosion)):
            result = judged(key, **changes)
            assert (result.state, result.value, result.margin) == (state, None, None)
            assert result.shot_volume_empty is (state == "outside")


@pytest.mark.parametrize("kind", ["plunger", "vented", "other"])
def test_the_method_does_not_apply_to_other_units(cell, kind):
    fit = cell(unit={"unit_kind": kind})
    assert fit.state == "not_stated"
    for criterion in fit.criteria:
        assert criterion.state == "not_stated"
        assert (criterion.missing, criterion.caution) == ((), "method_does_not_apply")
    assert cell(unit={"unit_kind": "reciprocating"}).state == "inside"


# The way back: the shot volumes at which a criterion stands on its edges.


@pytest.mark.parametrize("mass", [12.0, 60.0, 160.0, 300.0, 700.0])
def test_shot_volumes_put_every_criterion_on_its_edges(cell, mass):
    ends = [
        ("shot_volume_low", "allowed"),
        ("shot_volume_high", "allowed"),
        ("comfort_volume_low", "comfort"),
        ("comfort_volume_high", "comfort"),
    ]
    tried = 0
    for result in cell(**shot(mass)).criteria:
        for name, edge in ends:
            volume = getattr(result, name)
            if volume is None or volume in (0.0, inf):
                continue
            again = next(c for c in cell(**shot(volume * 1e6)).criteria if c.key == result.key)
            edges = [getattr(result, f"{edge}_{end}") for end in ("low", "high")]
            if edge == "comfort":
                hard = (result.allowed_low, result.allowed_high)
                edges = [h if e is None else e for e, h in zip(edges, hard, strict=True)]
            assert any(e is not None and again.value == pytest.approx(e, rel=1e-9) for e in edges)
            tried += 1
    assert tried == 24


def test_a_lower_bound_of_the_shot_has_no_upper_one(judged):
    for key in ("ring_share", "residence", "repeatability"):
        result = judged(key)
        assert result.shot_volume_low > 0.0
        assert result.shot_volume_high is None
    for key in ("capacity", "recovery", "rate", "power", "screw_speed"):
        result = judged(key)
        assert result.shot_volume_low is None
        assert result.shot_volume_high > 0.0


def test_no_shot_fits_where_cushion_and_decompression_take_the_whole_stroke(judged):
    result = judged("capacity", job={"cushion": "150 mm", "decompression": "60 mm"})
    assert (result.shot_volume_high, result.shot_volume_empty) == (0.0, True)
    assert not judged("capacity").shot_volume_empty
