"""Which route gives a barrel's swept volume, and how sure it is."""

from __future__ import annotations

from math import pi

import pytest
from pydantic import ValidationError

from evenbarrel.appraisal.claims import barrel_claims
from evenbarrel.appraisal.inputs.swept_volume import barrel_volume
from evenbarrel.model.limits import Limits
from evenbarrel.model.offers.bid import Settled

# Swept volume of 50 mm over 200 mm: geometry, own arithmetic.
VOLUME = pi / 4 * 0.05**2 * 0.2
GEOMETRY = {"screw_diameter": "50 mm", "stroke": "200 mm"}
# 0.1 mm of 50 counts twice, half a mm of 200 once.
PRECISION = 2 * 0.1 / 50 + 0.5 / 200


@pytest.fixture(scope="module")
def settled(make_unit, resins):
    """Settle the first of a unit's barrels."""

    def first(*barrels, **unit):
        facts = make_unit(*barrels, **unit)
        claims = barrel_claims(facts, resins, Limits())
        return barrel_volume(facts.barrels[0], claims[0][0], resins)

    return first


def numbers(bound):
    return bound.nominal, bound.low, bound.high


def around(value, precision):
    return pytest.approx((value, value * (1 - precision), value * (1 + precision)), rel=1e-9)


def test_geometry_comes_first(settled):
    found = settled({**GEOMETRY, "swept_volume": "394 cm3", "rated_shot_mass": "300 g"})
    assert found.swept.route == "geometry"
    assert numbers(found.swept.bound) == around(VOLUME, PRECISION)
    assert found.swept.precision == pytest.approx(PRECISION)
    assert not found.swept.unsettled
    assert len(found.swept.readings) == 1
    assert numbers(found.swept.readings[0].diameter) == around(0.05, 0.1 / 50)
    assert numbers(found.swept.readings[0].stroke) == around(0.2, 0.5 / 200)
    assert found.swept.readings[0].volume == found.swept.bound


def test_a_nominal_size_in_inches_hides_less(settled):
    found = settled({"screw_diameter": "2 in", "stroke": "8 in"})
    assert found.swept.precision == pytest.approx(2 * 0.005 / 2 + 0.02 / 8)


def test_the_quoted_volume_comes_next(settled):
    found = settled({"screw_diameter": "50 mm", "swept_volume": "394 cm3"})
    assert found.swept.route == "quoted"
    # No floor of half a per cent: what was rounded away is half a cm3.
    assert numbers(found.swept.bound) == around(394e-6, 0.5 / 394)
    assert found.swept.readings[0].stroke is None


def test_nothing_stated_settles_nothing(settled):
    found = settled({"screw_diameter": "50 mm"})
    assert found.swept.route is None
    assert found.swept.bound is None
    assert found.swept.readings[0].diameter is not None


def test_a_rated_mass_with_its_factor(settled):
    found = settled({"rated_shot_mass": "182 g", "reference_factor": "0.91 g/cm3"})
    assert found.swept.route == "rated_mass"
    assert numbers(found.swept.bound) == around(200e-6, 0.5 / 182 + 0.005 / 0.91)
    assert found.reference_resin is None
    assert found.volume_same_resin is None


def test_a_rated_mass_on_an_unknown_basis(settled):
    found = settled({"rated_shot_mass": "182 g", "reference_resin": "ps"})
    assert found.reference_resin == "ps"
    assert numbers(found.volume_same_resin) == pytest.approx((200e-6, 172e-6, 204e-6))
    # In another resin the 4 % of polystyrene's factor comes on top.
    assert numbers(found.swept.bound) == pytest.approx((200e-6, 172e-6 / 1.04, 204e-6 / 0.96))


def test_150_g_on_200_g_of_one_resin(settled):
    # 0.75, from 0.73 to 0.87: whatever the factor.
    found = settled({"rated_shot_mass": "200 g", "reference_resin": "ps"})
    same, shot = found.volume_same_resin, 0.150 / 910
    uses = [shot / volume for volume in (same.nominal, same.high, same.low)]
    assert uses == pytest.approx([0.75, 0.735, 0.872], abs=5e-4)


def test_a_mass_in_nobodys_resin_is_not_converted(settled):
    found = settled({"rated_shot_mass": "182 g"})
    assert found.swept.bound is None
    assert found.swept.route is None


def reading(found, key):
    return next(one for one in found.swept.readings if one.key == key)


def test_routes_that_contradict_are_both_spanned(settled):
    found = settled({**GEOMETRY, "swept_volume": "450 cm3"})
    assert found.swept.doubt == "unsettled"
    assert found.swept.unsettled
    assert found.swept.route == "geometry"
    assert numbers(found.swept.bound) == pytest.approx((VOLUME, VOLUME * (1 - PRECISION), 450.5e-6))
    assert [one.key for one in found.swept.readings] == ["as_printed", "diameter", "stroke"]
    printed, diameter, stroke = found.swept.readings
    assert numbers(printed.volume) == around(VOLUME, PRECISION)
    # Half-widths: of an implied diameter half those of volume and stroke, of an implied stroke
    # that of the volume and twice the diameter's.
    volume_width, diameter_width, stroke_width = 0.5 / 450, 0.1 / 50, 0.5 / 200
    implied = 0.05 * (450e-6 / VOLUME) ** 0.5
    assert numbers(diameter.diameter) == around(implied, (volume_width + stroke_width) / 2)
    assert numbers(diameter.stroke) == around(0.2, stroke_width)
    implied = 0.2 * 450e-6 / VOLUME
    assert numbers(stroke.stroke) == around(implied, volume_width + 2 * diameter_width)
    assert numbers(stroke.diameter) == around(0.05, diameter_width)
    for one in (diameter, stroke):
        area = pi / 4 * one.diameter.nominal**2
        assert area * one.stroke.nominal == pytest.approx(450e-6)
        assert numbers(one.volume) == around(450e-6, volume_width)
        assert (one.route, one.plausible) == ("quoted", True)


def test_a_smaller_quoted_volume_spans_downwards(settled):
    found = settled({**GEOMETRY, "swept_volume": "350 cm3"})
    assert found.swept.bound.low == pytest.approx(349.5e-6)
    assert found.swept.bound.high == pytest.approx(VOLUME * (1 + PRECISION))


def test_a_query_leaves_the_volume_settled(settled):
    found = settled({**GEOMETRY, "swept_volume": "400 cm3"})
    assert not found.swept.unsettled
    assert numbers(found.swept.bound) == around(VOLUME, PRECISION)


DECISION = {"reason": "seen on the drawing", "person": "A. Person"}
TWICE = {**GEOMETRY, "swept_volume": "450 cm3"}


@pytest.mark.parametrize(
    ("route", "key", "volume"),
    [
        ("geometry", None, VOLUME),
        ("geometry", "as_printed", VOLUME),
        ("geometry", "in3_as_cm3", VOLUME),
        ("quoted", "diameter", 450e-6),
        ("quoted", "stroke", 450e-6),
        ("quoted", "decimal_shift", 450e-6),
    ],
)
def test_a_decision_leaves_one_barrel(settled, route, key, volume):
    found = settled({**TWICE, "settled": {**DECISION, "route": route, "reading": key}})
    assert found.swept.route == route
    assert found.swept.bound.nominal == pytest.approx(volume)
    assert (found.swept.doubt, len(found.swept.readings)) == (None, 1)
    assert found.swept.readings[0].volume == found.swept.bound


@pytest.mark.parametrize("key", [None, "unknown"])
def test_a_quoted_volume_without_knowing_what_is_wrong_keeps_both_readings(settled, key):
    found = settled({**TWICE, "settled": {**DECISION, "route": "quoted", "reading": key}})
    assert [one.key for one in found.swept.readings] == ["diameter", "stroke"]
    assert (found.swept.doubt, found.swept.unsettled) == ("readings", False)
    assert numbers(found.swept.bound) == around(450e-6, 0.5 / 450)


@pytest.mark.parametrize(
    ("route", "key"), [("geometry", "diameter"), ("quoted", "as_printed"), ("quoted", "in3_as_cm3")]
)
def test_a_reading_that_does_not_go_with_its_route_is_refused(route, key):
    with pytest.raises(ValidationError):
        Settled(route=route, reading=key)


def test_a_decision_without_its_data_decides_nothing(settled):
    barrel = {"screw_diameter": "50 mm", "swept_volume": "450 cm3"}
    found = settled({**barrel, "settled": {**DECISION, "route": "geometry"}})
    assert found.swept.route == "quoted"
    assert not found.swept.unsettled


def test_a_slip_in_the_quoted_volume_leaves_diameter_and_stroke(settled):
    found = settled({**GEOMETRY, "swept_volume": "23.96 cm3"})
    assert found.swept.unsettled
    mended, printed = reading(found, "in3_as_cm3"), reading(found, "as_printed")
    assert (mended.diameter, mended.stroke, mended.volume) == (
        printed.diameter,
        printed.stroke,
        printed.volume,
    )
    assert mended.route == "geometry"


def test_a_slip_in_the_diameter_gives_a_corrected_reading(settled):
    found = settled({"screw_diameter": "25 mm", "stroke": "200 mm", "swept_volume": "392.7 cm3"})
    mended = reading(found, "radius_as_diameter")
    assert mended.diameter.nominal == pytest.approx(0.05)
    assert mended.stroke.nominal == pytest.approx(0.2)
    assert mended.volume.nominal == pytest.approx(392.7e-6)
    assert mended.route == "quoted"
    # The nominal value stays as printed, and lies in the interval of all readings.
    bound = found.swept.bound
    assert bound.nominal == pytest.approx(VOLUME / 4)
    assert bound.low <= bound.nominal <= mended.volume.high == bound.high


def test_a_slip_that_fits_two_lengths_mends_the_one_that_leaves_less(settled):
    shifted = {"screw_diameter": "50 mm", "stroke": "20 mm", "swept_volume": "392.7 cm3"}
    decision = {**DECISION, "route": "quoted", "reading": "decimal_shift"}
    (only,) = settled({**shifted, "settled": decision}).swept.readings
    assert (only.diameter.nominal, only.stroke.nominal) == pytest.approx((0.05, 0.2))


def test_what_is_no_size_of_a_machine_is_shown_and_not_spanned(settled):
    # 60 times the geometry: the stroke would be 240 D, the diameter 387 mm.
    found = settled({**GEOMETRY, "swept_volume": "23562 cm3"})
    assert [one.plausible for one in found.swept.readings] == [True, False, False]
    assert numbers(found.swept.bound) == around(VOLUME, PRECISION)
