"""Ordinary offers, printed as brochures print them: nobody is asked, and no machine is accused.

Each is sound; what is odd about it is a habit of the trade. Numbers by own arithmetic.
"""

from __future__ import annotations

from math import pi
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.appraisal.claims.doubt import is_asked

from .catalogue import sound_offer
from .habits import HABITS, as_the_trade_prints_it
from .outcomes import asked_about

Fields = dict[str, Any]


def asked(judge, *screws: Fields, **unit: Any) -> set[str]:
    return {key for own in judge(*screws, **unit) for key, one in own.items() if is_asked(one)}


def pushing(diameter: int, pressure: int) -> Fields:
    return {"screw_diameter": f"{diameter} mm", "injection_pressure": f"{pressure} bar"}


# 28, 32 and 36 mm: 172, 209 and 214 kN. Each barrel has its own limit, the largest the drive's.
OWN_CAPS = (pushing(28, 2800), pushing(32, 2600), pushing(36, 2100))


def test_barrels_with_limits_of_their_own_share_a_drive(judge):
    found = judge(*OWN_CAPS)
    assert [own["drive_force"].state for own in found] == ["agrees"] * 3
    assert [own["drive_force"].note for own in found] == ["pressure_cap", "pressure_cap", None]


def test_two_small_barrels_may_each_be_limited_below_a_shared_force(judge):
    # 42 and 48 mm: 486 and 546 kN; 52 and 58 mm: 590 kN both.
    screws = [pushing(42, 3510), pushing(48, 3020), pushing(52, 2777), pushing(58, 2232)]
    found = judge(*screws)
    assert [own["drive_force"].state for own in found] == ["agrees"] * 4
    assert [own["drive_force"].note for own in found][:2] == ["pressure_cap"] * 2
    # With less pressure than the next larger one it is not held back.
    found = judge(pushing(42, 2900), *screws[1:])
    assert [own["drive_force"].state for own in found] == ["query"] + ["agrees"] * 3


@pytest.mark.parametrize("place", range(3))
@pytest.mark.parametrize("times", [10, 0.1])
def test_a_slip_among_such_limits_is_still_seen(judge, place, times):
    screws = [dict(screw) for screw in OWN_CAPS]
    pressure = float(screws[place]["injection_pressure"].split()[0])
    screws[place]["injection_pressure"] = f"{pressure * times:.0f} bar"
    found = judge(*screws)
    assert found[place]["pressure_kind"].state != "agrees"
    assert found[place]["drive_force"].state == "query"


def test_a_copied_pressure_is_no_limit_of_its_own(judge):
    # The pressure of the smallest at the largest: 285 kN, where the middle one has 209.
    found = judge(OWN_CAPS[1], {**OWN_CAPS[2], "injection_pressure": "2800 bar"})
    assert [own["drive_force"].state for own in found] == ["query"] * 2


@pytest.mark.parametrize("number", ["785 1", "790 1", "800 1", "762 1"])
def test_a_unit_is_called_by_a_round_number(judge, three_screws, number):
    assert not asked(judge, *three_screws("pressure"), size_number=number)


def test_a_size_number_may_be_made_of_a_capped_screw(judge):
    # 2500 bar x 200 mm x 12.57 cm2 / 1000 = 628; the drive's 393 kN would be 785.
    stroke = {"stroke": "200 mm"}
    screws = [pushing(40, 2500), pushing(45, 2469), pushing(50, 2000)]
    assert not asked(judge, *(screw | stroke for screw in screws), size_number="628 1")
    assert asked(judge, *(screw | stroke for screw in screws), size_number="1150 1")


def test_one_column_of_pressures_does_not_doubt_the_size_number(judge, three_screws):
    screws = three_screws(every={"injection_pressure": "2000 bar"})
    # One pressure for all is asked about; the number is that of 50 mm.
    assert asked(judge, *screws, size_number="785 1") == {"drive_force"}


@pytest.mark.parametrize("factor", [0.88, 0.90, 0.92, 0.93, 0.95, 0.97])
def test_masses_are_rated_a_little_otherwise_from_maker_to_maker(judge, factor):
    mass = f"{392.7 * factor:.0f} g"
    sizes = {"screw_diameter": "50 mm", "stroke": "200 mm"}
    assert not asked(judge, {**sizes, "rated_shot_mass": mass, "reference_resin": "ps"})


def test_a_coarse_mass_is_not_accused_of_the_solid_density(judge):
    # 0.3 oz on 7.9 cm3 may be 0.9 to 1.26 g/cm3.
    barrel = {"screw_diameter": "14 mm", "stroke": "51 mm", "reference_resin": "ps"}
    assert not asked(judge, {**barrel, "rated_shot_mass": "0.3 oz"})


@pytest.mark.parametrize("mass", ["12.6 g", "10.1 kg", "3570 g"])
def test_a_mass_of_no_resin_is_asked_about_whatever_it_is_rated_in(judge, mass):
    sizes = {"screw_diameter": "50 mm", "stroke": "200 mm"}
    (claims,) = judge({**sizes, "rated_shot_mass": mass})
    assert (claims["rated_mass_basis"].state, claims["rated_mass_basis"].note) == (
        "query",
        "unlikely",
    )
    assert not asked(judge, {**sizes, "rated_shot_mass": "357 g"})


@pytest.mark.parametrize("volume", ["390 cm3", "392 cm3", "393 cm3", "395 cm3"])
def test_volumes_are_cut_off_and_rounded(judge, volume):
    sizes = {"screw_diameter": "50 mm", "stroke": "200 mm"}
    assert not asked(judge, {**sizes, "swept_volume": volume})


def test_the_smallest_screw_may_have_less_of_the_stroke(judge):
    # Its own volume, 23.6 cm3, says the same; where nothing does, it is asked.
    large = [{"screw_diameter": f"{d} mm", "stroke": "95 mm"} for d in (26, 28)]
    small = {"screw_diameter": "20 mm", "stroke": "75 mm"}
    assert not asked(judge, {**small, "swept_volume": "23.6 cm3"}, *large)
    assert asked(judge, small, *large) == {"common_stroke"}
    (claims, *_) = judge({**small, "swept_volume": "29.8 cm3"}, *large)
    assert claims["common_stroke"].state == "query"


@pytest.mark.parametrize(
    ("sizes", "factor", "codes"),
    [
        # 392.7 cm3 on 25 mm would be a stroke of 32 D; 23.96 cm3 on 50 mm one of 0.24 D.
        ({"screw_diameter": "25 mm", "swept_volume": "392.7 cm3"}, 32.0, "radius_as_diameter"),
        ({"screw_diameter": "50 mm", "swept_volume": "23.96 cm3"}, 0.244, "in3_as_cm3"),
        ({"screw_diameter": "50 mm", "stroke": "7.87 mm"}, 0.157, "in_as_mm"),
    ],
)
def test_a_stroke_of_no_screw_is_seen_where_nothing_else_is_printed(judge, sizes, factor, codes):
    (claims,) = judge(sizes)
    claim = claims["common_stroke"]
    diameter = float(sizes["screw_diameter"].split()[0]) / 1000
    assert (claim.state, claim.note) == ("contradicts", "unlikely")
    assert claim.stated / diameter == pytest.approx(factor, rel=0.01)
    assert codes in {cause.code for cause in claim.causes}


def test_a_stroke_of_no_screw_accuses_no_other(judge):
    radius = {"screw_diameter": "25 mm", "swept_volume": "392.7 cm3"}
    found = judge(radius, {"screw_diameter": "55 mm", "swept_volume": "475 cm3"})
    assert [own["common_stroke"].state for own in found] == ["contradicts", "not_stated"]
    assert found[0]["common_stroke"].sole_cause.code == "radius_as_diameter"


@pytest.mark.parametrize("diameters", [1.01, 3.0, 7.99])
def test_any_stroke_of_a_screw_is_let_be(judge, diameters):
    assert not asked(judge, {"screw_diameter": "50.00 mm", "stroke": f"{50 * diameters:.1f} mm"})


@pytest.mark.parametrize(
    ("rate", "is_asked_about"),
    [("196 cm3/s", False), ("30 cm3/s", False), ("12.0 cm3/s", True), ("3200 cm3/s", True)],
)
def test_a_rate_without_a_speed_moves_a_screw_as_screws_move(judge, rate, is_asked_about):
    # 19.63 cm2: 100, 15.3, 6 and 1630 mm/s; 196 cm3/s are 12 in3/s.
    found = asked(judge, {"screw_diameter": "50 mm", "injection_rate": rate})
    assert found == ({"injection_speed"} if is_asked_about else set())


@pytest.mark.parametrize("factor", [0.91, 0.95, 1.0, 1.05])
def test_a_rate_by_mass_is_by_some_factor(judge, factor):
    mass = f"{196.35 * factor:.0f} g/s"
    barrel = {"screw_diameter": "50 mm", "injection_speed": "100 mm/s", "reference_resin": "ps"}
    assert not asked(judge, {**barrel, "injection_rate": mass})


@pytest.mark.parametrize(
    ("kind", "drive"),
    [("hydraulic", "22 kW"), ("electric", "8 kW"), ("accumulator", "4.5 kW"), (None, "4.5 kW")],
)
def test_drives_give_more_than_their_power_for_a_stroke(judge, kind, drive):
    # 2000 bar x 196 cm3/s are 39 kW.
    screw = {**pushing(50, 2000), "injection_rate": "196 cm3/s"}
    assert not asked(judge, screw, drive_power=drive, drive_kind=kind)


def test_a_rate_beside_the_highest_speed_was_measured_at_a_lower_one(judge):
    # 20 g/s of 0.97 g/cm3 at 153 rev/min are 0.065 D3 a turn, at 400 rev/min 0.025.
    rated = {"screw_diameter": "50 mm", "plasticising_rate": "20 g/s", "plasticising_resin": "ps"}
    assert not asked(judge, {**rated, "screw_speed_max": "400 rev/min"})
    assert asked(judge, {**rated, "plasticising_speed": "400 rev/min"}) == {"output_per_turn"}
    # 20 g/s printed as kg/h are 0.007.
    assert asked(judge, {**rated, "plasticising_rate": "20 kg/h", "screw_speed": "400 rev/min"})


@pytest.mark.parametrize(
    "known", [{"plasticising_speed": "153 rev/min"}, {"plasticising_resin": "ps"}]
)
def test_a_rate_of_no_screw_is_seen_without_its_resin_or_speed(judge, known):
    # 72 kg/h printed as g/s; of 50 mm at 1.5 m/s, 573 rev/min, 0.062 D3 a turn in the heaviest.
    barrel = {"screw_diameter": "50 mm", **known}
    assert not asked(judge, {**barrel, "plasticising_rate": "20 g/s"})
    assert asked(judge, {**barrel, "plasticising_rate": "99 g/s"}) == {"output_per_turn"}


def test_a_peripheral_speed_is_that_of_the_highest_screw_speed(judge):
    # 0.4 m/s at the rate; 1 m/s is meant at a speed that is not printed.
    barrel = {"screw_diameter": "50 mm", "plasticising_speed": "153 rev/min"}
    (claims,) = judge({**barrel, "peripheral_speed": "1.0 m/s"})
    assert claims["peripheral_speed"].missing == ("screw_speed_max",)
    assert asked(judge, {**barrel, "peripheral_speed": "1.4 m/s"}) == {"peripheral_speed"}
    assert asked(judge, {**barrel, "peripheral_speed": "0.2 m/s"}) == {"peripheral_speed"}


@pytest.mark.parametrize(
    ("ratios", "queried"),
    [
        (("24", "22", "20"), ()),
        (("22", "20", "20"), ()),
        (("20", "20", "18"), ()),
        (("25", "22.2", "20"), ()),
        (("20", "20", "20"), ()),
        (("20", "20", "23"), (2,)),
        (("17", "20", "20"), (0,)),
        (("28", "20", "20"), (0,)),
    ],
)
def test_barrels_are_one_ratio_one_length_or_between(judge, ratios, queried):
    screws = [
        {"screw_diameter": size, "length_ratio": f"{ratio} 1"}
        for size, ratio in zip(("32 mm", "36 mm", "40 mm"), ratios, strict=True)
    ]
    found = [place for place, own in enumerate(judge(*screws)) if is_asked(own["length_ratio"])]
    assert found == list(queried)


def test_the_largest_machine_and_the_smallest_are_ordinary(judge):
    """30,000 kN with 200 mm, 50 kN with 14 mm: printed and rounded as they are."""
    large = {
        "screw_diameter": "200 mm",
        "stroke": "900 mm",
        "swept_volume": "28270 cm3",
        "rated_shot_mass": "25.7 kg",
        "reference_resin": "ps",
        "injection_pressure": "1500 bar",
        "injection_rate": "2200 cm3/s",
        "injection_speed": "70 mm/s",
        "plasticising_rate": "350 g/s",
        "screw_speed_max": "75 rev/min",
        "length_ratio": "22 1",
    }
    small = {
        "screw_diameter": "14 mm",
        "stroke": "56 mm",
        "swept_volume": "8.6 cm3",
        "rated_shot_mass": "7.8 g",
        "reference_resin": "ps",
        "injection_pressure": "250 MPa",
        "injection_rate": "46 cm3/s",
        "injection_speed": "300 mm/s",
        "plasticising_rate": "1.1 g/s",
        "screw_speed_max": "400 rev/min",
        "length_ratio": "20 1",
    }
    force = pi / 4 * 0.2**2 * 1500e5
    assert force * 0.9 / 100 == pytest.approx(42400, rel=2e-3)
    assert not asked(judge, large, size_number="42400 1", drive_power="250 kW")
    assert not asked(judge, small, size_number="22 1", drive_kind="electric", drive_power="4 kW")


@given(seed=st.integers(0, 2**32 - 1))
def test_whatever_the_habits_of_the_trade_nobody_is_asked(seed: int) -> None:
    random = Random(seed)
    assert asked_about(as_the_trade_prints_it(sound_offer(random), random)) == ()


@pytest.mark.parametrize("habit", HABITS, ids=lambda habit: habit.__name__)
def test_a_habit_shows_in_print_and_raises_no_question(habit) -> None:
    changed = 0
    for seed in range(20):
        random = Random(seed)
        sound = sound_offer(random)
        printed = habit(sound, random)
        changed += printed != sound
        assert asked_about(printed) == ()
    assert changed > 0
