"""Forces, size numbers and pressures of screws that share one drive."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.claims.doubt import is_asked
from evenbarrel.model.limits import Limits


def screw(diameter: float, pressure: float, **more: str) -> dict[str, str]:
    """A screw by diameter [mm] and pressure [bar], printed finely."""
    return {
        "screw_diameter": f"{diameter:.4f} mm",
        "injection_pressure": f"{pressure:.4f} bar",
        **more,
    }


def sharing(force_kn: float, diameter: float, gap: float = 0.0, **more: str) -> dict[str, str]:
    """A screw whose p A is `force_kn` [kN], or off it by `gap`."""
    area_cm2 = 3.141592653589793 / 4 * (diameter / 10) ** 2
    return screw(diameter, force_kn * 100 / area_cm2 * (1 + gap), **more)


def states(found, key="drive_force"):
    return [own[key].state for own in found]


def notes(found):
    return [own["drive_force"].note for own in found]


def test_one_drive_pushes_every_screw_alike(judge, three_screws):
    found = judge(*three_screws("pressure"), size_number="785 1")
    assert states(found) == ["agrees"] * 3
    assert states(found, "size_number") == ["agrees"] * 3
    assert notes(found) == [None] * 3
    # p A of 2000 bar on 50 mm is 392.699 kN and p V 785.398: own arithmetic, rule of EUROMAP 1
    # from memory.
    assert found[1]["drive_force"].stated == pytest.approx(392_699, rel=1e-5)
    assert found[1]["size_number"].derived == pytest.approx(785.4, rel=1e-3)


@pytest.mark.parametrize(
    ("gap", "state"),
    [
        (0.0199, "agrees"),
        (0.0201, "query"),
        (0.0599, "query"),
        (0.0601, "contradicts"),
        (0.2, "contradicts"),
        (-0.0199, "agrees"),
        (-0.0201, "query"),
        (-0.2, "query"),
    ],
)
def test_the_largest_group_judges_the_others(judge, gap, state):
    # Three agree, so that the fourth does not move their mean; it is the largest screw.
    group = [sharing(400, diameter) for diameter in (40, 45, 50)]
    found = judge(*group, sharing(400, 55, gap))
    claim = found[3]["drive_force"]
    assert states(found)[:3] == ["agrees"] * 3
    if state == "agrees":
        assert abs(claim.gap) < 0.02
    else:
        assert claim.gap == pytest.approx(gap, abs=1e-6)
    assert claim.state == state


def test_the_agreement_is_the_evaluations(judge):
    group = [sharing(400, diameter) for diameter in (40, 45, 50)]
    found = judge(*group, sharing(400, 55, 0.03), limits=Limits(force_agreement=0.05))
    assert states(found) == ["agrees"] * 4


def test_a_small_screw_below_the_group_is_capped(judge):
    # 30 mm would need 5659 bar for 400 kN; it is printed with 3200 bar, the unit's highest.
    found = judge(screw(30, 3200), sharing(400, 45), sharing(400, 50))
    assert states(found) == ["agrees"] * 3
    assert notes(found) == ["pressure_cap", None, None]
    assert found[0]["drive_force"].gap < -0.02


def test_a_small_screw_below_the_highest_pressure_is_no_cap(judge):
    found = judge(screw(30, 2000), sharing(400, 45), sharing(400, 50))
    assert states(found) == ["query", "agrees", "agrees"]


def test_a_middle_screw_below_the_group_is_no_cap(judge):
    found = judge(sharing(400, 40), sharing(400, 45, -0.1), sharing(400, 50))
    assert states(found) == ["agrees", "query", "agrees"]


def test_a_printed_pressure_cap_agrees_for_all(judge):
    # 2000 bar on 40 and 45 mm give 251 and 318 kN; the drive's 314 kN shows at 50 mm only.
    found = judge(screw(40, 2000), screw(45, 2000), screw(50, 1600))
    assert states(found) == ["agrees"] * 3
    assert notes(found) == ["pressure_cap", "pressure_cap", None]


def test_a_cap_above_the_drive_is_none(judge):
    # 2000 bar on 47 mm is 347 kN, 10 % above the 314 kN of the 50 mm screw.
    found = judge(screw(40, 2000), screw(47, 2000), screw(50, 1600))
    assert states(found) == ["query"] * 3


@pytest.mark.parametrize(("below", "capped"), [(0.0049, True), (0.0051, False)])
def test_one_cap_holds_within_half_a_per_cent(judge, below, capped):
    found = judge(screw(40, 2000 * (1 - below)), screw(44, 2000), screw(50, 1600))
    assert (notes(found)[0] == "pressure_cap") is capped


def test_one_pressure_printed_for_all_screws(judge, three_screws):
    found = judge(*three_screws(every={"injection_pressure": "2000 bar"}))
    assert states(found) == ["query"] * 3
    assert notes(found) == ["one_pressure_for_all"] * 3


def test_one_pressure_for_all_with_a_size_number(judge, three_screws):
    # The size number stands for the 50 mm screw; a capped drive may still print one pressure.
    screws = three_screws(every={"injection_pressure": "2000 bar"})
    found = judge(*screws, size_number="785 1")
    assert states(found) == ["query"] * 3
    assert notes(found) == ["one_pressure_for_all"] * 3
    assert all(own["drive_force"].causes == () for own in found)


def test_one_pressure_for_screws_of_one_size_is_sound(judge):
    found = judge(screw(50, 2000), screw(50, 2000))
    assert states(found) == ["agrees"] * 2


def test_screws_that_imply_two_forces_carry_both(judge):
    found = judge(screw(50, 2000), screw(60, 29008))
    for own in found:
        assert own["drive_force"].note is None
        assert own["drive_force"].of_each_screw == pytest.approx((392.7e3, 8201.7e3), rel=1e-4)


def test_pressures_no_single_drive_could_give(judge, three_screws):
    pressures = {"A": "2000 bar", "B": "2100 bar", "C": "2200 bar"}
    screws = {name: {"injection_pressure": printed} for name, printed in pressures.items()}
    found = judge(*three_screws(**screws))
    assert states(found) == ["query"] * 3
    assert notes(found) == [None] * 3


def test_equal_groups_go_to_the_largest_screw(judge):
    found = judge(sharing(300, 30), sharing(300, 35), sharing(400, 50), sharing(400, 55))
    assert [own["drive_force"].derived for own in found] == [pytest.approx(400e3)] * 4


@pytest.mark.parametrize(("number", "state"), [("761.8 1", "agrees"), ("879 1", "query")])
def test_a_size_number_stands_for_a_second_screw(judge, three_screws, number, state):
    (claims,) = judge(three_screws("pressure")[1], size_number=number)
    assert claims["drive_force"].state == state


@pytest.mark.parametrize(
    ("gap", "state"),
    [(0.0499, "agrees"), (0.0503, "query"), (-0.0499, "agrees"), (-0.0503, "query"), (9, "query")],
)
def test_size_number_against_force_and_stroke(judge, gap, state):
    # 400 kN over 200 mm: 400e3 * 0.2 / 100 = 800. A unit is called by a round number.
    screws = (sharing(400, d, stroke="200.0000 mm") for d in (45, 50))
    found = judge(*screws, size_number=f"{800 * (1 + gap):.4f} 1")
    assert states(found, "size_number") == [state] * 2
    assert found[0]["size_number"].gap == pytest.approx(gap, abs=1e-6)


def test_a_screw_without_numbers_is_not_asked_about_the_size_number(judge):
    bare = {"stroke": "200 mm"}
    screws = [sharing(392.7, diameter, **bare) for diameter in (50, 55)]
    for number, state in (("785 1", "agrees"), ("1150 1", "query")):
        found = judge(*screws, bare, size_number=number)
        of_bare = "agrees" if state == "agrees" else "not_stated"
        assert states(found, "size_number") == [state, state, of_bare]


def test_size_number_names_what_it_lacks(judge):
    full = sharing(400, 50, stroke="200 mm")
    (claims,) = judge(full)
    assert claims["size_number"].missing == ("size_number",)
    for name in ("screw_diameter", "injection_pressure", "stroke"):
        (claims,) = judge({**full, name: None}, size_number="800 1")
        assert claims["size_number"].state == "not_stated"
        assert name in claims["size_number"].missing


def test_a_single_screw_has_no_drive_to_stand_against(judge):
    (claims,) = judge(screw(50, 2000))
    assert claims["drive_force"].state == "not_stated"
    assert claims["drive_force"].missing == ("second_screw",)


@pytest.mark.parametrize("absent", ["screw_diameter", "injection_pressure"])
def test_drive_force_names_what_it_lacks(judge, absent):
    found = judge({**screw(50, 2000), absent: None}, sharing(400, 45), sharing(400, 55))
    assert found[0]["drive_force"].missing == (absent,)
    assert states(found)[1:] == ["agrees", "agrees"]


@pytest.mark.parametrize(
    ("pressure", "kind", "state"),
    [
        ("399 bar", "melt", "query"),
        ("400 bar", "melt", "agrees"),
        ("699 bar", None, "query"),
        ("700 bar", None, "agrees"),
        ("699 bar", "melt", "agrees"),
        ("5000 bar", "melt", "agrees"),
        ("5001 bar", "melt", "contradicts"),
        ("5001 bar", None, "contradicts"),
        ("50 bar", "melt", "query"),
        ("49.9 bar", "melt", "contradicts"),
        ("49.9 bar", None, "contradicts"),
        ("501 bar", "oil", "query"),
    ],
)
def test_which_pressure_is_meant(judge, pressure, kind, state):
    (claims,) = judge({"injection_pressure": pressure, "pressure_kind": kind})
    assert claims["pressure_kind"].state == state


@pytest.mark.parametrize(
    ("pressure", "state"), [("2009 bar", "agrees"), ("2011 bar", "query"), ("2600 bar", "query")]
)
def test_system_pressure_times_intensification(judge, pressure, state):
    # 200 cm2 of piston on a 50 mm screw turn 196.35 bar of oil into 2000: own arithmetic.
    oil = {"system_pressure": "196.3500 bar", "intensification_ratio": "10.18592 1"}
    (claims,) = judge({"injection_pressure": pressure, **oil})
    assert claims["pressure_kind"].state == state


def test_a_declared_oil_pressure_counts_through_its_ratio(judge):
    oil = {"injection_pressure": "196.35 bar", "pressure_kind": "oil"}
    bare, through = judge(
        {"screw_diameter": "50 mm", **oil},
        {"screw_diameter": "50 mm", "intensification_ratio": "10.186 1", **oil},
        size_number="785.4 1",
    )
    assert bare["pressure_kind"].missing == ("intensification_ratio",)
    assert bare["drive_force"].missing == ("intensification_ratio",)
    assert through["pressure_kind"].state == "agrees"
    assert through["pressure_kind"].stated == pytest.approx(2000e5, rel=1e-4)


def test_pressure_kind_needs_a_pressure(judge):
    (claims,) = judge({})
    assert claims["pressure_kind"].missing == ("injection_pressure",)


@pytest.mark.parametrize(("pressure", "asked"), [("2317 bar", True), ("2300 bar", False)])
def test_the_pressure_of_a_larger_screw_that_bears_all_is_a_limit_if_it_is_round(
    judge, pressure, asked
):
    # 35 and 40 mm bear 223 kN both; the smallest has the pressure of its neighbour.
    third = f"{float(pressure.split()[0]) * 35**2 / 40**2:.0f} bar"
    printed = {30: pressure, 35: pressure, 40: third}
    found = judge(
        *({"screw_diameter": f"{d} mm", "injection_pressure": p} for d, p in printed.items())
    )
    claims = [own["drive_force"] for own in found]
    assert [is_asked(claim) for claim in claims] == [asked, False, False]
    # It may be a limit all the same: nobody is told that it is a slip.
    assert [claim.causes for claim in claims] == [()] * 3
