"""Every criterion of the rules' table: its value, its edges, and what it says where data lack."""

from __future__ import annotations

from math import inf, pi

import pytest

from evenbarrel.appraisal.appraise import appraise

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
    # 120 rev/min give 20 g/s; 160 g in 20 s take 8 g/s, so 48 rev/min of 50 mm.
    "screw_speed": pi * 0.05 * 0.8,
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
    # Ring closing is not in the scatter: within the tolerance it says nothing.
    state = "not_stated" if key == "repeatability" else "inside"
    assert (result.state, result.missing, result.reasons) == (state, (), ())


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
        lambda x: {"resin": {"peripheral_speed_limit": f"{pi * 0.04 / x:.15f} m/s"}},
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
    in_ = ("not_stated",) if key == "repeatability" else ("inside", "near_edge")
    assert judged(key, **changes(within)).state in in_
    assert judged(key, **changes(1.0)).state in in_
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
        # 48 rev/min of 50 mm, the greatest speed above the limit.
        (
            "screw_speed",
            lambda x: {"resin": {"peripheral_speed_limit": f"{pi * 0.04 / x:.15f} m/s"}},
            0.80,
            0.800001,
        ),
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
        "screw_geometry": "resin",
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
        "screw_geometry": (None, None, None, None),
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
def test_any_two_of_diameter_stroke_and_volume_give_the_third(judged, unknown):
    barrel = {unknown: None, "swept_volume": f"{VOLUME:.12f} cm3"}
    for key in ("capacity", "utilisation", "stroke"):
        result = judged(key, barrel=barrel)
        assert (result.state, result.missing) == ("inside", ())
        assert result.value == pytest.approx(VALUES[key], rel=1e-9)


def test_an_implied_size_carries_both_half_widths(judged):
    """D from V and s: (u_V + u_s) / 2; s from V and D: u_V + 2 u_D."""
    exact = {"screw_diameter": "50.0000000000000 mm", "stroke": "200.000000000000 mm"}
    barrel = {**exact, "screw_diameter": None, "swept_volume": "392.7 cm3 ±0.03"}
    diameter = (4 * 392.7 / 20.0 / pi) ** 0.5

    def strokes(size: float) -> float:
        return 160.0 / (pi / 4 * size**3)

    result = judged("stroke", barrel=barrel)
    assert (result.value, result.low, result.high) == pytest.approx(
        (strokes(diameter), strokes(1.015 * diameter), strokes(0.985 * diameter)), rel=1e-9
    )
    barrel = {"stroke": None, "screw_diameter": "50.0 mm", "swept_volume": "392.7 cm3 ±0.03"}
    result = judged("capacity", barrel=barrel, job={"cushion": "10 mm", "decompression": "2 mm"})
    width = 0.03 + 2 * 0.05 / 50.0

    def used(d: float, share: float) -> float:
        return (1600.0 / (pi / 4 * d**2) + 12.0) / (3927.0 / (pi / 4 * 25.0) * share)

    assert (result.value, result.low, result.high) == pytest.approx(
        (used(5.0, 1.0), used(5.005, 1 + width), used(4.995, 1 - width)), rel=1e-9
    )


def test_a_volume_alone_takes_a_stroke_of_4_d_and_is_soft(judged):
    """1.05 V_shot / V + 0.02, common practice, no source; the stroke is assumed."""
    barrel = {"screw_diameter": None, "stroke": None, "swept_volume": "400.000000000 cm3"}
    result = judged("capacity", barrel=barrel, **shot(160.0))
    assert result.value == pytest.approx(1.05 * 0.4 + 0.02)
    assert (result.state, result.missing) == ("inside", ())
    assert result.shot_volume_high == pytest.approx(400e-6 * 0.98 / 1.05)
    beyond = judged("capacity", barrel=barrel, **shot(395.0))
    assert (beyond.state, beyond.reasons, beyond.unconfirmed) == ("near_edge", ("soft",), True)
    # A shot larger than the volume fits no stroke: that stands on no assumption.
    assert judged("capacity", barrel=barrel, **shot(401.0)).state == "outside"
    nothing = judged("capacity", barrel={**barrel, "swept_volume": None})
    assert (nothing.state, nothing.missing) == ("not_stated", ("screw_diameter", "stroke"))


def test_a_hot_runner_lets_off_into_the_stroke(judged):
    """0.04 of its volume / A, let off from some 50 MPa; assumed."""
    job = {"runner_kind": "hot", "hot_runner_volume": "100 cm3"}
    result = judged("capacity", job=job)
    assert result.value == pytest.approx(VALUES["capacity"] + 0.04 * 100.0 / AREA / 20.0)
    unknown = judged("capacity", job={"runner_kind": "hot"})
    assert unknown.value == pytest.approx(VALUES["capacity"])


@pytest.mark.parametrize("kind", ["hot", "mixed"])
def test_a_hot_runner_of_unknown_volume_is_asked_for_never_nothing(planned, judged, kind):
    job = {"runner_kind": kind}
    result = judged("residence", job=job)
    assert (result.state, result.missing) == ("not_stated", ("hot_runner_volume",))
    assert result.value == pytest.approx(VALUES["residence"])
    # Beyond the limit without it, all the more with it.
    short = {"residence_limits": [{"temperature": "230 degC", "time": "80 s"}]}
    assert judged("residence", job=job, resin=short).state == "outside"
    appraisal = appraise(planned(job=job))
    assert appraisal.job("j").notes == ("hot_runner_not_stated",)
    assert "us.hot_runner_volume" in {question.id for question in appraisal.questions}
    for other in ("cold", "none"):
        appraisal = appraise(planned(job={"runner_kind": other}))
        assert "hot_runner_not_stated" not in appraisal.job("j").notes
        assert appraisal.fit("b", "j").criterion("residence").state == "inside"


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


WORN = {"resin": {"abrasive": "yes"}}


def test_a_smear_tip_has_no_ring_to_close(planned, judged):
    for travel in ("2 mm", None):
        barrel = {"ring_kind": "smear_tip", "ring_travel": travel}
        result = judged("ring_share", barrel=barrel)
        assert (result.state, result.value, result.missing) == ("not_stated", None, ())
    asked = {question.datum for question in appraise(planned(barrel=barrel)).questions}
    assert "ring_travel" not in asked


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
        ("wear", {**WORN, "barrel": {"screw_package": None}}, ("screw_package",)),
        ("wear", {**WORN, "barrel": {"screw_package": "unknown"}}, ("screw_package",)),
        (
            "wear",
            {**WORN, "barrel": {"screw_package": None, "barrel_package": None}},
            ("barrel_package", "screw_package"),
        ),
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
        ("slightly", "nitrided", "inside", "near_edge"),
        ("no", "nitrided", "inside", "inside"),
        ("yes", "bimetallic_iron", "inside", "outside"),
        ("slightly", "bimetallic_iron", "inside", "near_edge"),
        ("yes", "bimetallic_nickel", "outside", "inside"),
        ("yes", "bimetallic_carbide", "inside", "inside"),
        ("slightly", "stainless", "near_edge", "inside"),
        ("yes", "chrome", "outside", "inside"),
        ("slightly", "coated", "inside", "near_edge"),
        ("no", "unknown", "inside", "inside"),
        ("slightly", "unknown", "not_stated", "not_stated"),
    ],
)
def test_barrel_and_screw_must_both_stand_the_attack(judged, attack, screw, wear, corrosion):
    resin = {"abrasive": attack, "corrosive": attack}
    for place in ("screw_package", "barrel_package"):
        changes = {"resin": resin, "barrel": {place: screw}}
        for key, state in (("wear", wear), ("corrosion", corrosion)):
            result = judged(key, **changes)
            assert (result.state, result.value, result.margin) == (state, None, None)
            assert result.reasons == (("comfort",) if state == "near_edge" else ())
            assert result.shot_volume_empty is (state == "outside")


@pytest.mark.parametrize(
    ("attack", "state"), [("yes", "outside"), ("slightly", "near_edge"), ("no", "inside")]
)
@pytest.mark.parametrize("known", ["screw_package", "barrel_package"])
@pytest.mark.parametrize("other", [None, "unknown"])
def test_one_part_known_to_be_unsuited_is_enough(judged, attack, state, known, other):
    """Rigid PVC on a nitrided screw, the barrel not stated."""
    packages = {"screw_package": other, "barrel_package": other, known: "nitrided"}
    result = judged("corrosion", resin={"corrosive": attack}, barrel=packages)
    assert (result.state, result.missing) == (state, ())


def test_filled_polyamide_on_an_iron_based_lining_is_usual_practice(judged):
    """Abrasive, and it corrodes slightly: worn not at all, corroded near the edge."""
    resin = {"abrasive": "yes", "corrosive": "slightly"}
    barrel = dict.fromkeys(("barrel_package", "screw_package"), "bimetallic_iron")
    assert judged("wear", resin=resin, barrel=barrel).state == "inside"
    result = judged("corrosion", resin=resin, barrel=barrel)
    assert (result.state, result.reasons) == ("near_edge", ("comfort",))


# Screw geometry: what the resin wants of length, compression and ring.

WANTS = {"length_ratio_low": "20 1", "unsuited_rings": ["sliding", "ball"]}
HAS = {"length_ratio": "20 1", "ring_kind": "smear_tip"}


@pytest.mark.parametrize(
    ("barrel", "state", "missing"),
    [
        ({}, "inside", ()),
        ({"length_ratio": "19.9 1"}, "outside", ()),
        ({"length_ratio": "24 1"}, "inside", ()),
        ({"compression_ratio": "1.9 1"}, "outside", ()),
        ({"compression_ratio": "2 1"}, "inside", ()),
        ({"compression_ratio": "3.1 1"}, "outside", ()),
        ({"ring_kind": "ball"}, "outside", ()),
        ({"ring_kind": "other"}, "inside", ()),
        ({"ring_kind": "unknown"}, "not_stated", ("ring_kind",)),
        ({"length_ratio": None}, "not_stated", ("length_ratio",)),
        ({"length_ratio": None, "ring_kind": "sliding"}, "outside", ()),
    ],
)
def test_a_screw_must_be_what_the_resin_wants(judged, barrel, state, missing):
    result = judged("screw_geometry", resin=WANTS, barrel={**HAS, **barrel})
    assert (result.state, result.missing) == (state, missing)
    assert (result.value, result.margin, result.unit) == (None, None, "")


def test_a_wish_from_memory_is_a_caution(planned, judged):
    """Near the edge at most, and nothing waits; a wish of one's own beside it still counts."""
    recalled = dict.fromkeys(
        ("length_ratio_low", "compression_low", "compression_high", "unsuited_rings"),
        "from_memory",
    )
    resin = {**WANTS, "origins": recalled}
    for barrel in ({"ring_kind": "ball"}, {"length_ratio": "16 1"}, {"compression_ratio": "4 1"}):
        result = judged("screw_geometry", resin=resin, barrel={**HAS, **barrel})
        assert (result.state, result.reasons) == ("near_edge", ("soft",))
    own = {**WANTS, "origins": {**recalled, "length_ratio_low": "published"}}
    barrel = {**HAS, "ring_kind": "ball", "length_ratio": "16 1"}
    assert judged("screw_geometry", resin=own, barrel=barrel).state == "outside"
    barrel = {**HAS, "ring_kind": "ball"}
    assert judged("screw_geometry", resin=own, barrel=barrel).state == "near_edge"


def test_only_what_the_resin_wants_is_asked_for(planned, judged):
    barrel = {"compression_ratio": None, "length_ratio": None}
    result = judged("screw_geometry", barrel=barrel)
    assert (result.state, result.missing) == ("not_stated", ("compression_ratio",))
    asked = {question.datum for question in appraise(planned(barrel=barrel)).questions}
    assert "compression_ratio" in asked
    assert not asked & {"length_ratio", "ring_kind"}
    nothing = judged("screw_geometry", resin={"compression_low": None, "compression_high": None})
    assert (nothing.state, nothing.missing) == ("not_stated", ("length_ratio_low",))


@pytest.mark.parametrize("kind", ["plunger", "vented", "other"])
def test_the_method_does_not_apply_to_other_units(cell, kind):
    fit = cell(unit={"unit_kind": kind})
    assert fit.state == "not_stated"
    for criterion in fit.criteria:
        assert criterion.state == "not_stated"
        assert (criterion.missing, criterion.caution) == ((), "method_does_not_apply")
    assert cell(unit={"unit_kind": "reciprocating"}).state == "inside"


# The way back: the shot volumes at which a criterion stands on its edges.


TWO_EDGES = {"peripheral_speed_limit": "0.5 m/s"}
"""Below the screw's greatest speed, so that screw speed has its two edges."""


@pytest.mark.parametrize("mass", [12.0, 60.0, 160.0, 300.0, 700.0])
def test_shot_volumes_put_every_criterion_on_its_edges(cell, mass):
    ends = [
        ("shot_volume_low", "allowed"),
        ("shot_volume_high", "allowed"),
        ("comfort_volume_low", "comfort"),
        ("comfort_volume_high", "comfort"),
    ]
    tried = 0
    for result in cell(**shot(mass), resin=TWO_EDGES).criteria:
        for name, edge in ends:
            volume = getattr(result, name)
            if volume is None or volume in (0.0, inf):
                continue
            again = next(
                c
                for c in cell(**shot(volume * 1e6), resin=TWO_EDGES).criteria
                if c.key == result.key
            )
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
    limit = {"peripheral_speed_limit": "0.5 m/s"}
    for key in ("capacity", "recovery", "rate", "power", "screw_speed"):
        result = judged(key, resin=limit)
        assert result.shot_volume_low is None
        assert result.shot_volume_high > 0.0
    # The greatest speed of the screw, 0.785 m/s, is within 0.9 m/s whatever the shot.
    assert judged("screw_speed").shot_volume_high is None


def test_no_shot_fits_where_cushion_and_decompression_take_the_whole_stroke(judged):
    result = judged("capacity", job={"cushion": "150 mm", "decompression": "60 mm"})
    assert (result.shot_volume_high, result.shot_volume_empty) == (0.0, True)
    assert not judged("capacity").shot_volume_empty
