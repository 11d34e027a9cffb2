"""States, margins, what binds, and what a person may accept: the words of the rules, by hand."""

from __future__ import annotations

import json
from math import pi, sqrt

import pytest

from evenbarrel.appraisal.appraise import appraise

# The exact barrel of the fixtures: 50 mm over 200 mm, a resin of 1 g/cm3.
AREA = pi / 4 * 5.0**2
VOLUME = AREA * 20.0
DIAMETERS = AREA * 5.0


def strokes(diameters: float, half_width: float) -> dict:
    return {"job": {"shot_mass": f"{diameters * DIAMETERS:.12f} g ±{half_width}"}}


@pytest.mark.parametrize(
    ("diameters", "state", "reasons"),
    [
        (0.48, "outside", ()),
        (0.495, "near_edge", ("uncertainty",)),
        (0.505, "near_edge", ("comfort", "uncertainty")),
        (0.8, "near_edge", ("comfort",)),
        (0.99, "near_edge", ("comfort",)),
        (1.01, "near_edge", ("uncertainty",)),
        (1.03, "inside", ()),
        (2.9, "inside", ()),
        (2.95, "near_edge", ("uncertainty",)),
        (3.2, "near_edge", ("comfort",)),
        (3.95, "near_edge", ("comfort", "uncertainty")),
        (4.05, "near_edge", ("uncertainty",)),
        (4.2, "outside", ()),
    ],
)
def test_the_state_of_a_value_with_its_interval(judged, diameters, state, reasons):
    """Stroke, 0.5-4 hard and 1-3 comfort, the shot known within 2 %."""
    result = judged("stroke", **strokes(diameters, 0.02))
    assert (result.low, result.high) == pytest.approx((0.98 * diameters, 1.02 * diameters))
    assert (result.state, result.reasons) == (state, reasons)


@pytest.mark.parametrize("diameters", [0.3, 0.6, 1.4, 1.5, 2.5, 3.5, 6.0])
def test_the_margin_is_the_least_factor_to_a_hard_edge(judged, diameters):
    """min(high/value, value/low) - 1, always on the hard edge; the comfort margin beside it."""
    result = judged("stroke", **strokes(diameters, 0.0))
    assert result.margin == pytest.approx(min(4.0 / diameters, diameters / 0.5) - 1.0)
    assert result.comfort_margin == pytest.approx(min(3.0 / diameters, diameters / 1.0) - 1.0)


def test_comfort_beyond_the_hard_edge_does_not_widen_it(judged):
    result = judged(
        "pressure",
        limits={"pressure_share": 1.2},
        job={"required_pressure": "160 MPa ±0.05"},
    )
    assert (result.state, result.reasons) == ("near_edge", ("uncertainty",))


MEMORY = "from_memory"
SHORT = [{"temperature": "230 degC", "time": "30 s"}]
NARROW = {"utilisation_low": "50 %", "utilisation_high": "60 %"}


def confirmed(field: str, value: object, resin: str | None = "r") -> dict[str, object]:
    return {"resin": resin, "field": field, "value": value, "person": "N. N.", "reason": "tried"}


SLOW = {"peripheral_speed_limit": "0.1 m/s"}
BY_MEMORY = {
    "residence": {"residence_limits": SHORT, "origins": {"residence_limits": MEMORY}},
    "utilisation": {**NARROW, "origins": {"utilisation_low": MEMORY}},
    "screw_speed": {**SLOW, "origins": {"peripheral_speed_limit": MEMORY}},
}


@pytest.mark.parametrize(
    ("key", "resin", "unconfirmed"),
    [
        ("residence", {"residence_limits": SHORT}, False),
        ("residence", BY_MEMORY["residence"], True),
        (
            "residence",
            {"residence_limits": SHORT, "origins": {"residence_limits": "published"}},
            False,
        ),
        ("utilisation", NARROW, False),
        ("utilisation", BY_MEMORY["utilisation"], True),
        # The origin of the edge that is crossed counts, not that of the other.
        ("utilisation", {**NARROW, "origins": {"utilisation_high": MEMORY}}, False),
        ("utilisation", {**NARROW, "origins": {"utilisation_low": "common_practice"}}, False),
        ("screw_speed", SLOW, False),
        ("screw_speed", BY_MEMORY["screw_speed"], True),
    ],
)
def test_beyond_a_limit_from_memory_is_no_worse_than_near_the_edge(judged, key, resin, unconfirmed):
    result = judged(key, resin=resin)
    expected = ("near_edge", ("beyond_unconfirmed",)) if unconfirmed else ("outside", ())
    assert (result.state, result.reasons, result.unconfirmed) == (*expected, unconfirmed)


@pytest.mark.parametrize(
    ("key", "field", "value", "other"),
    [
        (
            "residence",
            "residence_limits",
            [{"temperature": "230 degC", "time": "30 s"}],
            [{"temperature": "230 degC", "time": "40 s"}],
        ),
        ("utilisation", "utilisation_low", "50 %", "45 %"),
        ("screw_speed", "peripheral_speed_limit", "0.1 m/s", "0.2 m/s"),
    ],
)
def test_a_confirmed_limit_is_hard_for_as_long_as_it_stays(judged, key, field, value, other):
    resin = BY_MEMORY[key]
    assert judged(key, resin=resin, confirmed_limits=[confirmed(field, value)]).state == "outside"
    for report_nothing in (confirmed(field, other), confirmed(field, value, resin="another")):
        result = judged(key, resin=resin, confirmed_limits=[report_nothing])
        assert (result.state, result.reasons) == ("near_edge", ("beyond_unconfirmed",))


def test_a_standing_confirms_no_limit(judged):
    """Only who gives a name, a date and a reason does."""
    limit = {"magnitude": "0.1", "unit": "m/s", "standing": "confirmed"}
    resin = {"peripheral_speed_limit": limit, "origins": {"peripheral_speed_limit": MEMORY}}
    assert judged("screw_speed", resin=resin).state == "near_edge"


def test_a_limit_of_the_evaluation_is_confirmed_alike(judged):
    limits = {"general_high": {"value": 0.3, "origin": MEMORY}}
    entry = confirmed("general_high", 0.3, resin=None)
    assert judged("utilisation", limits=limits).reasons == ("beyond_unconfirmed",)
    assert judged("utilisation", limits=limits, confirmed_limits=[entry]).state == "outside"


def test_attack_recalled_from_memory_is_soft(judged):
    barrel = {"screw_package": "nitrided"}
    resin = {"corrosive": "yes"}
    assert judged("corrosion", resin=resin, barrel=barrel).state == "outside"
    remembered = {**resin, "origins": {"corrosive": MEMORY}}
    result = judged("corrosion", resin=remembered, barrel=barrel)
    assert (result.state, result.reasons) == ("near_edge", ("beyond_unconfirmed",))


@pytest.mark.parametrize(
    ("key", "limits"),
    [
        ("utilisation", {"general_high": 0.3}),
        ("stroke", {"stroke_high": 1.5, "stroke_comfort_high": 1.5}),
        ("ring_share", {"ring_share": 0.01}),
    ],
)
def test_a_limit_of_the_evaluation_may_be_soft_too(judged, key, limits):
    assert judged(key, limits=limits).state == "outside"
    remembered = {name: {"value": value, "origin": MEMORY} for name, value in limits.items()}
    result = judged(key, limits=remembered)
    assert (result.state, result.reasons) == ("near_edge", ("beyond_unconfirmed",))


def test_a_soft_limit_that_holds_leaves_the_criterion_inside(judged):
    result = judged("residence", resin={"origins": {"residence_limits": MEMORY}})
    assert (result.state, result.reasons, result.unconfirmed) == ("inside", (), True)


# Cells.


def test_the_exact_barrel_is_inside_and_nothing_is_open(cell):
    fit = cell()
    # A lower bound within its edge says nothing, and nothing is left to ask for it.
    assert fit.criterion("repeatability").state == "not_stated"
    assert (fit.state, fit.open) == ("inside", ())
    assert (fit.unconfirmed, fit.reasons) == (False, ())
    assert (fit.by_rule, fit.gate, fit.accepted) == (False, "no_objection", ())


FAIL_PRACTICE = {"limits": {"general_high": 0.3}}
FAIL_PHYSICS = {"barrel": {"injection_pressure": "90 MPa"}}
NEAR = {"barrel": {"injection_pressure": "110 MPa"}}


@pytest.mark.parametrize(
    ("changes", "state", "by_rule", "gate"),
    [
        (FAIL_PRACTICE, "outside", True, "waits"),
        (FAIL_PHYSICS, "outside", False, "shut"),
        (FAIL_PRACTICE | FAIL_PHYSICS, "outside", False, "shut"),
        (NEAR, "near_edge", False, "no_objection"),
        (FAIL_PRACTICE | NEAR, "outside", True, "waits"),
        ({"resin": {"resin_class": None}}, "not_stated", False, "waits"),
        ({"resin": {"resin_class": None}} | NEAR, "near_edge", False, "waits"),
        ({"resin": {"resin_class": None}} | FAIL_PHYSICS, "outside", False, "shut"),
        ({"resin": {"abrasive": None}}, "inside", False, "no_objection"),
    ],
)
def test_the_state_of_a_cell_and_the_gate_of_its_job_alone(cell, changes, state, by_rule, gate):
    """outside if any stated is; else near_edge; else not_stated if a required one; else inside."""
    fit = cell(**changes)
    assert (fit.state, fit.by_rule, fit.gate) == (state, by_rule, gate)


def test_a_criterion_that_is_not_required_stays_open_until_it_is(cell):
    lacking = {"barrel": {"melt_inventory": None, "screw_package": None}}
    resin = {"melt_density": None, "abrasive": "yes", "corrosive": "yes"}
    open_ = ("residence", "wear", "corrosion")
    fit = cell(resin=resin, **lacking)
    assert (fit.state, fit.open) == ("inside", open_)
    needed = cell(resin=resin, limits={"required": ["residence"]}, **lacking)
    assert (needed.state, needed.open) == ("not_stated", open_)


def test_why_a_cell_is_near_the_edge_is_gathered(cell):
    fit = cell(
        job={"required_pressure": "150 MPa ±0", "shot_mass": "310 g ±0.02"},
        resin={"residence_limits": SHORT, "origins": {"residence_limits": MEMORY}},
        barrel={"injection_rate": "250 cm3/s"},
    )
    assert fit.state == "near_edge"
    assert fit.reasons == ("comfort", "uncertainty", "beyond_unconfirmed")
    assert fit.unconfirmed


NO_ATTACK = {"abrasive": None, "corrosive": None}
WIDE = {"general_low": 0.05, "general_high": 0.95}


def test_what_binds_has_the_least_margin(cell):
    """By hand: pressure 0.6, rate 0.875, utilisation 0.964, capacity 1.27, the rest more."""
    assert cell(resin=NO_ATTACK).binding == "pressure"
    strong = {"injection_pressure": "400 MPa"}
    assert cell(resin=NO_ATTACK, barrel=strong).binding == "rate"
    fast = {**strong, "injection_rate": "400 cm3/s"}
    assert cell(resin=NO_ATTACK, barrel=fast).binding == "utilisation"
    assert cell(resin=NO_ATTACK, barrel=fast, limits=WIDE).binding == "capacity"


def test_ties_go_to_the_first_of_the_table(cell):
    changes = {
        "barrel": {"injection_pressure": "200 MPa", "injection_rate": "120 cm3/s"},
        "job": {"required_rate": "60 cm3/s"},
        "limits": WIDE,
    }
    fit = cell(resin=NO_ATTACK, **changes)
    margins = {c.key: c.margin for c in fit.criteria}
    assert margins["pressure"] == margins["rate"] == 1.0
    assert fit.binding == "pressure"


def test_what_has_no_number_binds_first_where_it_stands_in_the_way(cell):
    assert cell().binding == "pressure"
    unsuited = {"resin": {"corrosive": "yes"}, "barrel": {"screw_package": "nitrided"}}
    assert cell(limits={"general_high": 0.25}, **unsuited).binding == "corrosion"
    assert cell(limits={"general_high": 0.3}).binding == "utilisation"
    assert cell(**NEAR).binding == "pressure"


def test_a_not_stated_cell_is_bound_by_what_is_not_stated(cell):
    assert cell(resin={"resin_class": None}).binding == "utilisation"


@pytest.mark.parametrize("mass", range(400, 500, 7))
def test_rounding_does_not_break_a_tie(cell, mass):
    """80 % of a stroke of 5 D is 4 D: of two margins that are one, the table's first binds."""
    barrel = {"stroke": "250.000000000000 mm", "injection_pressure": "400 MPa"}
    job = {"shot_mass": f"{mass} g ±0", "fill_time": "60 s", "cooling_time": None}
    assert cell(barrel=barrel, job=job).binding != "stroke"


def test_nothing_binds_where_nothing_is_stated(planned):
    evaluation = planned()
    barrel = {"id": "b"}
    filed = {
        "jobs": [{"id": "j"}],
        "bids": [{"id": "x", "units": [{"id": "u", "barrels": [barrel]}]}],
    }
    empty = type(evaluation).model_validate_json(json.dumps(filed))
    appraisal = appraise(empty)
    fit = appraisal.fit("b", "j")
    assert (fit.state, fit.binding, len(fit.open)) == ("not_stated", None, 14)
    assert all(c.missing for c in fit.criteria)
    assert appraisal.planned_range is None


# Every end of a job's shots.


def test_the_worst_end_counts_and_says_which(judged):
    job = {"smallest_shot_mass": "70 g ±0", "largest_shot_mass": "330 g ±0"}
    utilisation = judged("utilisation", job=job)
    # Both ends are outside; 330/392.7 is beyond by a factor of 0.952, 70/392.7 by 0.891.
    assert (utilisation.state, utilisation.at) == ("outside", "smallest")
    assert utilisation.value == pytest.approx(70.0 / VOLUME)
    assert utilisation.margin == pytest.approx(70.0 / VOLUME / 0.2 - 1.0)
    capacity = judged("capacity", job=job)
    assert (capacity.state, capacity.at) == ("inside", "largest")
    recovery = judged("recovery", job=job)
    assert (recovery.at, recovery.value) == ("largest", pytest.approx(16.5 / 20.0))
    residence = judged("residence", job=job)
    assert residence.at == "smallest"
    # 70 g: 35.65 mm of stroke, so 3 mm of cushion.
    assert residence.value == pytest.approx((500.0 + 0.3 * AREA) / 70.0 * 30.0)


def test_state_goes_before_margin_and_the_nominal_shot_first(judged):
    """Near the edge by comfort at 0.9 D, margin 0.8; inside at 2.4 D, margin 0.667."""
    job = {
        "shot_mass": f"{2.4 * DIAMETERS:.9f} g ±0",
        "smallest_shot_mass": f"{0.9 * DIAMETERS:.9f} g ±0",
    }
    result = judged("stroke", job=job)
    assert (result.at, result.state, result.margin) == (
        "smallest",
        "near_edge",
        pytest.approx(0.8),
    )
    same = judged("pressure", job=job)
    assert same.at == "nominal"


# Accepted deviations.


def deviation(criterion: str, **more: str) -> dict:
    return {"barrel": "b", "criterion": criterion, "person": "N. N.", "reason": "tried", **more}


LIMITED = {"resin": {"peripheral_speed_limit": "0.1 m/s"}}


@pytest.mark.parametrize(
    ("changes", "criterion", "more", "taken", "gate"),
    [
        (FAIL_PRACTICE, "utilisation", {}, True, "no_objection"),
        (FAIL_PRACTICE, "utilisation", {"job": "j"}, True, "no_objection"),
        (FAIL_PRACTICE, "stroke", {}, False, "waits"),
        ({"resin": {"residence_limits": SHORT}}, "residence", {}, True, "no_objection"),
        (
            {"resin": {"residence_limits": SHORT, "hazard_groups": ["acetal"]}},
            "residence",
            {},
            False,
            "shut",
        ),
        (FAIL_PHYSICS, "pressure", {}, False, "shut"),
        (FAIL_PRACTICE | FAIL_PHYSICS, "utilisation", {}, True, "shut"),
        (FAIL_PRACTICE, "utilisation", {"until": "2026-03-02"}, True, "no_objection"),
        (FAIL_PRACTICE, "utilisation", {"until": "2026-03-01"}, False, "waits"),
        (LIMITED, "screw_speed", {}, True, "no_objection"),
    ],
)
def test_an_accepted_deviation_stays_outside_and_does_not_gate(
    cell, changes, criterion, more, taken, gate
):
    """Only practice and resin can be accepted, never physical or a hazard; it may end."""
    fit = cell(as_of="2026-03-02", deviations=[deviation(criterion, **more)], **changes)
    assert (fit.state, fit.gate) == ("outside", gate)
    assert fit.accepted == ((criterion,) if taken else ())


def test_deviations_for_one_job_and_for_all_add_up(cell):
    changes = FAIL_PRACTICE | {"resin": {"residence_limits": SHORT}}
    both = [deviation("utilisation"), deviation("residence", job="j")]
    for deviations in (both, both[::-1]):
        fit = cell(deviations=deviations, **changes)
        assert (fit.accepted, fit.gate) == (("utilisation", "residence"), "no_objection")
        assert fit.unaccepted == ()
    one = cell(deviations=both[:1], **changes)
    assert (one.gate, one.unaccepted, one.acceptable) == ("shut", ("residence",), ("residence",))


def test_nothing_is_accepted_on_a_barrel_whose_size_is_not_settled(cell):
    unsettled = {"barrel": {"swept_volume": "450.000000 cm3"}, "limits": {"general_high": 0.25}}
    fit = cell(deviations=[deviation("utilisation")], **unsettled)
    assert (fit.state, fit.accepted, fit.acceptable) == ("outside", (), ())
    settled = {"route": "geometry", "person": "N. N."}
    barrel = {**unsettled["barrel"], "settled": settled}
    assert cell(deviations=[deviation("utilisation")], **unsettled | {"barrel": barrel}).accepted


# An unsettled barrel: what the quoted volume makes of diameter or stroke.

UNSETTLED = {"swept_volume": "450.000000 cm3"}
LARGER = 5.0 * sqrt(450.0 / VOLUME)
LONGER = 20.0 * 450.0 / VOLUME


def test_volume_that_contradicts_leaves_the_barrel_unsettled(planned):
    appraisal = appraise(planned(barrel=UNSETTLED))
    swept = appraisal.barrel("b").swept
    assert (swept.route, swept.unsettled) == ("geometry", True)
    bound = swept.bound
    assert (bound.nominal, bound.low, bound.high) == pytest.approx(
        (VOLUME * 1e-6, VOLUME * 1e-6, 450e-6), rel=1e-6
    )


def test_every_reading_of_an_unsettled_barrel_is_spanned(judged):
    """As printed, with D' (s kept) and with s' (D kept); own arithmetic."""
    barrel = {**UNSETTLED, "melt_inventory": None, "length_ratio": "20 1"}
    intervals = {
        "utilisation": (160.0 / 450.0, 160.0 / VOLUME),
        "stroke": (160.0 / (pi / 4 * LARGER**3), 160.0 / DIAMETERS),
        "ring_share": (0.2 / (160.0 / AREA), 0.2 / (160.0 / (pi / 4 * LARGER**2))),
        "repeatability": (0.01 / (160.0 / AREA), 0.01 / (160.0 / (pi / 4 * LARGER**2))),
        "screw_speed": (pi * 0.04, 0.8 * pi * LARGER / 100.0),
        "residence": (
            (0.65 * 4.4 * 5.0**3 + 8.0) / 160.0 * 30.0,
            (1.35 * 4.4 * LARGER**3 + 8.0) / 160.0 * 30.0,
        ),
    }
    for key, interval in intervals.items():
        result = judged(key, barrel=barrel)
        assert (result.low, result.high) == pytest.approx(interval, rel=1e-6), key
    capacity = judged("capacity", barrel=barrel)
    shares = [
        (1.05 * 160.0 / (pi / 4 * diameter**2) + 0.05 * diameter) / stroke
        for diameter, stroke in ((5.0, 20.0), (LARGER, 20.0), (5.0, LONGER))
    ]
    assert capacity.value == pytest.approx(shares[0])
    assert (capacity.low, capacity.high) == pytest.approx((min(shares), max(shares)), rel=1e-6)


def test_what_depends_on_the_choice_is_near_the_edge_because_unsettled(cell):
    """330 g are 84 % of the printed geometry and 73 % of the quoted volume."""
    job = {"shot_mass": "330 g ±0", "fill_time": "4 s"}
    fit = cell(barrel=UNSETTLED, job=job)
    by_key = {c.key: c for c in fit.criteria}
    assert (by_key["utilisation"].state, fit.state) == ("near_edge", "near_edge")
    assert "unsettled" in by_key["utilisation"].reasons
    assert "unsettled" in fit.reasons
    assert by_key["pressure"].reasons == ()
    decided = {"route": "quoted", "reason": "drawing", "person": "N. N.", "date": "2026-03-02"}
    settled = cell(barrel={**UNSETTLED, "settled": decided}, job=job)
    utilisation = next(c for c in settled.criteria if c.key == "utilisation")
    assert (utilisation.state, utilisation.value) == ("inside", pytest.approx(330.0 / 450.0))
