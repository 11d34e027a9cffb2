"""A barrel whose printed sizes contradict: no guess decides, and a person's decision leaves one."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.results import SEVERITY

# A radius printed as the diameter: 25 mm for 50 mm, over 200 mm. Own arithmetic.
RADIUS = {
    "screw_diameter": "25.0 mm",
    "stroke": "200.0 mm",
    "swept_volume": "393 cm3",
    "ring_travel": None,
    "melt_inventory": None,
    "length_ratio": "20 1",
}
JOB = {"shot_mass": "120 g ±0"}
AREA = pi / 4 * 2.5**2
AS_PRINTED = AREA * 20.0

DECISION = {"reason": "drawing", "person": "N. N.", "date": "2026-03-02"}


def settled(route: str, reading: str | None) -> dict:
    return {**RADIUS, "settled": {**DECISION, "route": route, "reading": reading}}


def test_no_guess_decides_and_each_reading_is_told(cell):
    """As printed 120 g are 122 %, outside; read as a radius 31 %, inside."""
    fit = cell(barrel=RADIUS, job=JOB)
    share = fit.criterion("utilisation")
    assert (share.state, share.reasons) == ("near_edge", ("unsettled",))
    told = {reading.key: (reading.state, reading.value) for reading in share.readings}
    assert told == {
        "as_printed": ("outside", pytest.approx(120.0 / AS_PRINTED)),
        "radius_as_diameter": ("inside", pytest.approx(120.0 / 393.0)),
        "diameter": ("inside", pytest.approx(120.0 / 393.0)),
        "stroke": ("inside", pytest.approx(120.0 / 393.0)),
    }
    # The stroke would be 32 D: it is shown, and spans nothing.
    shown = {reading.key: reading.plausible for reading in share.readings}
    assert shown == {
        "as_printed": True,
        "radius_as_diameter": True,
        "diameter": True,
        "stroke": False,
    }
    assert share.value == pytest.approx(120.0 / AS_PRINTED)
    assert share.low <= share.value <= share.high
    assert (fit.state, fit.gate) == ("near_edge", "waits")


def test_margin_and_binding_are_those_of_the_worst_reading(cell):
    fit = cell(barrel=RADIUS, job=JOB)
    share = fit.criterion("utilisation")
    assert share.margin == pytest.approx(0.8 / (120.0 / AS_PRINTED) - 1.0)
    printed, *others = fit.readings
    assert (printed.key, printed.state) == ("as_printed", "outside")
    # Near the edge: while the diameter is in doubt so is the output of a turn.
    assert {other.state for other in others if other.plausible} == {"near_edge"}
    # Physics binds first in the reading that is outside.
    assert fit.binding == printed.binding == "capacity"


def test_settling_for_the_quoted_volume_leaves_one_barrel(cell):
    """Share and capacity never speak of different barrels."""
    for reading in ("radius_as_diameter", "diameter"):
        fit = cell(barrel=settled("quoted", reading), job=JOB)
        assert fit.criterion("utilisation").value == pytest.approx(120.0 / 393.0)
        assert fit.criterion("capacity").value == pytest.approx(
            (1.05 * 120.0 / (pi / 4 * 25.0) + 0.25) / 20.0, rel=2e-3
        )
        assert fit.criterion("stroke").value == pytest.approx(120.0 / (pi / 4 * 125.0), rel=2e-3)
        assert fit.state == "inside"
        assert fit.readings == ()


def test_settling_for_the_geometry_takes_what_is_printed(cell):
    fit = cell(barrel=settled("geometry", "as_printed"), job=JOB)
    assert fit.criterion("utilisation").value == pytest.approx(120.0 / AS_PRINTED)
    assert (fit.state, fit.gate) == ("outside", "shut")


def test_a_volume_taken_without_knowing_what_is_wrong_says_readings(planned):
    barrel = {"swept_volume": "450.0 cm3", "settled": {**DECISION, "route": "quoted"}}
    appraisal = appraise(planned(barrel=barrel, job={"shot_mass": "340 g ±0", "fill_time": "4 s"}))
    fit = appraisal.fit("b", "j")
    assert not appraisal.barrel("b").swept.unsettled
    assert {reading.key for reading in fit.readings} == {"diameter", "stroke"}
    stroke = fit.criterion("stroke")
    # Nominal is the implied diameter's; with the diameter kept the stroke is longer.
    implied = 5.0 * (450.0 / (pi / 4 * 500.0)) ** 0.5
    assert stroke.value == pytest.approx(340.0 / (pi / 4 * implied**3))
    assert stroke.high >= 340.0 / (pi / 4 * 125.0)
    assert "unsettled" not in {reason for c in fit.criteria for reason in c.reasons}
    assert fit.criterion("utilisation").state == "inside"
    assert all(reason.kind != "unsettled" for reason in appraisal.gate("b").reasons)


def test_what_differs_between_readings_says_readings(cell):
    """3.1 D with the diameter implied, 3.4 D with it kept: the comfort edge is between."""
    limits = {"stroke_comfort_high": 3.25}
    barrel = {"swept_volume": "450.0 cm3", "settled": {**DECISION, "route": "quoted"}}
    job = {"shot_mass": "340 g ±0", "fill_time": "4 s"}
    stroke = cell(barrel=barrel, job=job, limits=limits).criterion("stroke")
    assert [reading.state for reading in stroke.readings] == ["inside", "near_edge"]
    assert (stroke.state, stroke.reasons) == ("near_edge", ("comfort", "readings"))


def test_a_reading_takes_its_own_worst_end(judged):
    """At its smallest shot one reading is too low, at its largest the other too high."""
    job = {
        "shot_mass": "200 g ±0",
        "smallest_shot_mass": "85 g ±0",
        "largest_shot_mass": "330 g ±0",
    }
    share = judged("utilisation", barrel={"swept_volume": "450.0 cm3"}, job=job)
    printed, diameter, _ = share.readings
    assert (printed.state, printed.value) == ("outside", pytest.approx(330.0 / (pi / 4 * 500.0)))
    assert (diameter.state, diameter.value) == ("outside", pytest.approx(85.0 / 450.0))
    # All agree that it is outside; the worst is the least margin, and its end is told.
    assert (share.state, share.at) == ("outside", "smallest")
    assert share.margin == pytest.approx(85.0 / 450.0 / 0.2 - 1.0)
    assert share.value == pytest.approx(85.0 / (pi / 4 * 500.0))


@given(
    diameter=st.integers(20, 90),
    turns=st.floats(2.0, 6.0),
    error=st.sampled_from([0.3, 0.7, 1.12, 1.6, 3.0]),
    mass=st.integers(5, 2000),
    ends=st.booleans(),
)
def test_a_value_lies_in_its_interval_and_a_state_is_what_all_readings_say(
    planned, diameter, turns, error, mass, ends
):
    stroke = diameter * turns
    volume = pi / 4 * (diameter / 10) ** 2 * stroke / 10 * error
    barrel = {
        "screw_diameter": f"{diameter}.0 mm",
        "stroke": f"{stroke:.1f} mm",
        "swept_volume": f"{volume:.1f} cm3",
        "melt_inventory": None,
    }
    job = {"shot_mass": f"{mass} g ±0.03"}
    if ends:
        job |= {"smallest_shot_mass": f"{mass * 0.6:.3f} g", "largest_shot_mass": f"{mass * 2} g"}
    appraisal = appraise(planned(barrel=barrel, job=job))
    assert appraisal.barrel("b").swept.unsettled
    fit = appraisal.fit("b", "j")
    for criterion in fit.criteria:
        states = {reading.state for reading in criterion.readings if reading.plausible}
        states |= {criterion.readings[0].state}
        assert criterion.state == (states.pop() if len(states) == 1 else "near_edge")
        if criterion.value is not None and criterion.low is not None:
            assert criterion.low <= criterion.value * (1 + 1e-9)
        if criterion.value is not None and criterion.high is not None:
            assert criterion.value <= criterion.high * (1 + 1e-9)
    verdicts = [fit.readings[0], *(r for r in fit.readings[1:] if r.plausible)]
    assert fit.binding == min(verdicts, key=lambda one: SEVERITY.index(one.state)).binding or (
        len([one for one in verdicts if one.state == verdicts[0].state]) > 1
    )
    assert fit.gate in ("shut", "waits")
