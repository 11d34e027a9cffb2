"""The worked examples that the rules print, run through the whole appraisal."""

from __future__ import annotations

import json
from typing import Any

import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.evaluation import Evaluation


def quantity(text: str) -> dict[str, str]:
    magnitude, unit = text.split()
    return {"magnitude": magnitude, "unit": unit}


def appraised(resins: list, jobs: list, barrel: dict[str, Any]) -> Appraisal:
    bid = {"id": "bid", "units": [{"id": "u", "barrels": [{"id": "b", **barrel}]}]}
    filed = {"resins": resins, "jobs": jobs, "bids": [bid]}
    return appraise(Evaluation.model_validate_json(json.dumps(filed)))


def resin(name: str, route: str, factor: str | None = None, **more: Any) -> dict[str, Any]:
    factors = {} if factor is None else {route: quantity(factor)}
    return {
        "id": name,
        "resin_class": "general",
        "output_factor_route": route,
        "output_factors": factors,
        **more,
    }


# Tait coefficients after Danner and High, Handbook of Polymer Solution Thermodynamics (1993), as
# the library polykin 0.8 has them.
TAIT_PS = [9.3805e-4, 3.3086e-7, 6.6910e-10, 2.5001e8, 4.1815e-3]
TAIT_PP = [1.2033e-3, 4.8182e-7, 7.7589e-10, 1.4236e8, 4.0184e-3]


def melted(name: str, coefficients: list[float], celsius: int) -> dict[str, Any]:
    return resin(
        name,
        "melt_density",
        tait={"form": "polynomial", "coefficients": coefficients},
        melt_temperature=quantity(f"{celsius} degC"),
        back_pressure=quantity("0.1 MPa"),
    )


@pytest.mark.parametrize(
    ("resins", "grams", "within"),
    [
        # Solid densities 1.05 and 0.905 g/cm3: common practice, no source.
        ([resin("ps", "own", "1.05 g/cm3"), resin("pp", "own", "0.905 g/cm3")], 431.0, 0.1),
        # Trade factors: common practice, no source.
        (
            [resin("ps", "trade_table", "0.91 g/cm3"), resin("pp", "trade_table", "0.73 g/cm3")],
            401.1,
            0.05,
        ),
        # Melt densities at 200 and 230 degC and 0.1 MPa: polykin 0.8 gives 380.42 g.
        ([melted("ps", TAIT_PS, 200), melted("pp", TAIT_PP, 230)], 380.42, 0.05),
    ],
    ids=["solid density", "trade factors", "Tait"],
)
def test_500_g_of_ps_in_pp_by_three_routes(resins, grams, within):
    """A barrel of the volume that 500 g of PS take delivers so much PP by the same route."""
    barrel = {"rated_shot_mass": quantity("500 g"), "reference_resin": "ps"}
    masses = dict(appraised(resins, [], barrel).barrel("b").shot_masses)
    assert masses["ps"] == pytest.approx(0.500)
    assert masses["pp"] * 1e3 == pytest.approx(grams, abs=within)


def test_a_rated_mass_loses_198_percent_from_ps_to_pp():
    """0.73 / 0.91: common practice, no source."""
    resins = [resin("ps", "trade_table", "0.91 g/cm3"), resin("pp", "trade_table", "0.73 g/cm3")]
    barrel = {"rated_shot_mass": quantity("100 g"), "reference_resin": "ps"}
    masses = dict(appraised(resins, [], barrel).barrel("b").shot_masses)
    assert 1.0 - masses["pp"] / masses["ps"] == pytest.approx(0.198, abs=5e-4)


def test_150_g_of_ps_on_a_barrel_rated_200_g_is_near_the_edge():
    """0.75 with 0.73-0.87; the window 20-80 % is ISO 294-1's, from memory."""
    resins = [resin("ps", "trade_table", "0.91 g/cm3")]
    jobs = [{"id": "j", "resin": "ps", "shot_mass": {**quantity("150 g"), "half_width": 0.0}}]
    barrel = {"rated_shot_mass": quantity("200 g"), "reference_resin": "ps"}
    appraisal = appraised(resins, jobs, barrel)
    utilisation = appraisal.fit("b", "j").criteria[1]
    assert (utilisation.key, utilisation.state) == ("utilisation", "near_edge")
    assert utilisation.value == pytest.approx(0.75)
    assert utilisation.low == pytest.approx(0.73, abs=0.006)
    assert utilisation.high == pytest.approx(0.87, abs=0.006)
    result = appraisal.barrel("b")
    assert (result.implied_factor, result.rated_basis) == (None, "not_stated")
    assert "bid.swept_volume" in {question.id for question in appraisal.questions}


def test_56_percent_in_an_engineering_resin_is_outside_by_rule_and_inside_30_to_65():
    """56 %; rule 30-50 %; with 30-65 %: inside. The windows: common practice, no source."""
    jobs = [{"id": "j", "resin": "pa", "shot_mass": {**quantity("56 g"), "half_width": 0.0}}]
    barrel = {"swept_volume": quantity("100.0 cm3")}
    pa = resin("pa", "own", resin_class="engineering") | {
        "output_factors": {"own": {**quantity("1 g/cm3"), "half_width": 0.0}}
    }
    strict = appraised([pa], jobs, barrel).fit("b", "j")
    assert (strict.state, strict.by_rule) == ("outside", True)
    assert strict.criteria[1].value == pytest.approx(0.56)
    own = {"utilisation_low": quantity("30 %"), "utilisation_high": quantity("65 %")}
    accepted = appraised([pa | own], jobs, barrel).fit("b", "j")
    assert accepted.criteria[1].state == "inside"


def test_polycarbonate_needs_51_s_and_0475_m_s_by_the_rules_share_of_the_window():
    """120 g, window 12 s, 30 g/s of PS at 0.9 m/s; own arithmetic on the printed example.

    Melt densities and enthalpies are chosen for a rate of 23.7 g/s, so 5.06 s; at 80 % of the
    window the screw needs 0.9 x 5.06 / 9.6 = 0.475 m/s.
    """
    ps = resin("ps", "trade_table", "0.91 g/cm3", enthalpy=quantity("370 kJ/kg"))
    pc = resin("pc", "own", "1 g/cm3", enthalpy=quantity("468.35 kJ/kg"))
    ps["melt_density"] = pc["melt_density"] = quantity("1 g/cm3")
    pc["peripheral_speed_limit"] = quantity("0.5 m/s")
    job = {
        "id": "j",
        "resin": "pc",
        "shot_mass": quantity("120 g"),
        "cooling_time": quantity("12 s"),
    }
    # 0.9 m/s on a screw of 50 mm.
    barrel = {
        "screw_diameter": quantity("50 mm"),
        "plasticising_rate": quantity("30 g/s"),
        "plasticising_resin": "ps",
        "plasticising_speed": quantity("343.7747 rev/min"),
    }
    criteria = {c.key: c for c in appraised([ps, pc], [job], barrel).fit("b", "j").criteria}
    assert criteria["recovery"].value * 12.0 == pytest.approx(5.06, abs=0.01)
    assert criteria["screw_speed"].value == pytest.approx(0.475, abs=0.001)
    assert criteria["screw_speed"].margin == pytest.approx(0.5 / 0.475 - 1.0, abs=0.005)


@pytest.mark.parametrize(
    ("celsius", "minutes"), [(200, 60.0), (210, 30.0), (230, 10.0), (220, 17.32)]
)
def test_the_published_stays_of_acetal(celsius, minutes):
    """60, 30 and 10 min at 200, 210 and 230 degC are published; between them log-linear."""
    points = [
        {"temperature": quantity(f"{t} degC"), "time": quantity(f"{m} min")}
        for t, m in ((200, 60), (210, 30), (230, 10))
    ]
    pom = resin("pom", "own", "1.15 g/cm3", residence_limits=points)
    job = {"id": "j", "resin": "pom", "melt_temperature": quantity(f"{celsius} degC")}
    residence = appraised([pom], [job], {}).fit("b", "j").criteria[4]
    assert residence.key == "residence"
    assert residence.allowed_high == pytest.approx(minutes * 60.0, rel=1e-3)
