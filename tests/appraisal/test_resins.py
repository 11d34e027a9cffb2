"""A resin's output factor by every route, side by side."""

from __future__ import annotations

from math import exp, log

import pytest

from evenbarrel.appraisal.appraise import appraise

# Polystyrene and polypropylene, Tait coefficients after Danner and High as polykin 0.8 has them.
PS = (9.3805e-4, 3.3086e-7, 6.6910e-10, 2.5001e8, 4.1815e-3)
PP = (1.2033e-3, 4.8182e-7, 7.7589e-10, 1.4236e8, 4.0184e-3)


def tait_density(coefficients: tuple[float, ...], celsius: float, pascal: float) -> float:
    """V(p,T) = V(0,T){1 - 0.0894 ln[1 + p/B(T)]}, in g/cm3."""
    a0, a1, a2, b0, b1 = coefficients
    at_rest = a0 + a1 * celsius + a2 * celsius**2
    return 1e-3 / (at_rest * (1.0 - 0.0894 * log(1.0 + pascal / (b0 * exp(-b1 * celsius)))))


def tait(coefficients: tuple[float, ...], t_high: str | None = None) -> dict:
    return {"form": "polynomial", "coefficients": list(coefficients), "t_high": t_high}


@pytest.fixture
def routes(planned):
    """Appraise the fixtures' resin with changes; its routes by name."""

    def of(uncertainty: dict | None = None, **resin: object):
        bare = {"output_factors": {}, "melt_density": None, **resin}
        evaluation = planned(resin=bare, uncertainty=uncertainty or {})
        result = appraise(evaluation).resins["r"]
        return result, {route.route: route for route in result.routes}

    return of


def g_cm3(density: float) -> float:
    return density * 1e-3


ROUTES = ("trade_table", "melt_density", "data_sheet", "air_shot", "own")


@pytest.mark.parametrize("route", ROUTES)
def test_an_entered_factor_is_taken_as_it_is(routes, route):
    """Leak share applies to melt_density and data_sheet only where they are computed."""
    result, by_route = routes(output_factors={route: "0.77 g/cm3"}, output_factor_route=route)
    assert g_cm3(result.factor) == pytest.approx(0.77)
    assert by_route[route].notes == ("entered",)
    others = [by_route[other].factor for other in ROUTES if other != route]
    assert others == [None] * 4


@pytest.mark.parametrize(
    ("route", "width"),
    [
        ("air_shot", 0.01),
        ("own", 0.03),
        ("data_sheet", 0.02),
        ("melt_density", 0.05),
        ("trade_table", 0.04),
    ],
)
def test_every_route_has_its_own_half_width(routes, route, width):
    """air_shot 1 %, own 3, data_sheet 2 or its digits, melt_density 5, trade_table 4."""
    factors = {"output_factors": {route: "0.77 g/cm3"}, "output_factor_route": route}
    assert routes(**factors)[0].half_width == width
    for_all = {"output_factor": 0.11}
    assert routes(for_all, **factors)[0].half_width == 0.11
    for_one = {"output_factor": {route: 0.12}}
    assert routes(for_one, **factors)[0].half_width == 0.12
    other = {"output_factor": {"own" if route != "own" else "air_shot": 0.12}}
    assert routes(other, **factors)[0].half_width == width
    own = {"output_factors": {route: "0.77 g/cm3 ±0.015"}, "output_factor_route": route}
    assert routes(for_one, **own)[0].half_width == 0.015


@pytest.mark.parametrize(("leak", "expected"), [(None, 0.95), (0.03, 0.97), (0.0, 1.0)])
def test_melt_density_less_leakage(routes, leak, expected):
    """rho (1 - leak share), 5 % by default."""
    result, by_route = routes(
        melt_density="0.9 g/cm3", leak_share=leak, output_factor_route="melt_density"
    )
    assert g_cm3(result.factor) == pytest.approx(0.9 * expected)
    assert by_route["melt_density"].leak_share == pytest.approx(1.0 - expected)


@pytest.mark.parametrize(
    ("pressure", "megapascals"), [(None, 10.0), ("0 bar", 0.0), ("50 bar", 5.0)]
)
def test_tait_stands_at_melt_temperature_and_back_pressure(routes, pressure, megapascals):
    """back_pressure, default 10 MPa."""
    result, _ = routes(
        tait=tait(PP),
        melt_temperature="230 degC",
        back_pressure=pressure,
        output_factor_route="melt_density",
    )
    expected = tait_density(PP, 230.0, megapascals * 1e6)
    assert g_cm3(result.melt_density) == pytest.approx(expected, rel=1e-12)
    assert g_cm3(result.factor) == pytest.approx(0.95 * expected, rel=1e-12)


def test_polypropylene_at_230_degrees_and_the_default_back_pressure(routes):
    """748.829 kg/m3: polykin 0.8 with Danner and High's parameters."""
    result, _ = routes(tait=tait(PP), melt_temperature="230 degC")
    assert result.melt_density == pytest.approx(748.829, rel=1e-6)


def test_an_entered_melt_density_goes_before_tait(routes):
    result, _ = routes(tait=tait(PP), melt_density="0.8 g/cm3")
    assert g_cm3(result.melt_density) == pytest.approx(0.8)
    assert result.density_notes == ("entered",)


@pytest.mark.parametrize(("celsius", "marked"), [(190, False), (230, True)])
def test_extrapolation_is_marked(routes, celsius, marked):
    result, by_route = routes(
        tait=tait(PS, t_high="195.85 degC"), melt_temperature=f"{celsius} degC"
    )
    assert ("extrapolated" in result.density_notes) is marked
    assert ("extrapolated" in by_route["melt_density"].notes) is marked


def test_without_temperature_or_coefficients_the_density_is_not_stated(routes):
    for lacking in ({"tait": tait(PP), "melt_temperature": None}, {"melt_temperature": "230 degC"}):
        result, by_route = routes(output_factor_route="melt_density", **lacking)
        assert (result.melt_density, result.factor) == (None, None)
        assert by_route["melt_density"].factor is None


def test_a_jobs_melt_temperature_leaves_factor_and_density_alone(planned):
    """A job's melt_temperature acts on the residence limit and the pressure estimate only."""
    resin = {
        "tait": tait(PP),
        "melt_density": None,
        "output_factor_route": "melt_density",
        "output_factors": {},
    }
    cold, hot = (
        appraise(planned(resin=resin, job={"melt_temperature": t})) for t in (None, "250 degC")
    )
    assert cold.job("j").factor == hot.job("j").factor
    assert cold.resins["r"] == hot.resins["r"]


def test_a_trade_factor_shows_the_leak_share_it_implies(routes):
    """1 - f / rho."""
    _, by_route = routes(output_factors={"trade_table": "0.73 g/cm3"}, melt_density="0.75 g/cm3")
    assert by_route["trade_table"].leak_share == pytest.approx(1.0 - 0.73 / 0.75)
    _, unknown = routes(output_factors={"trade_table": "0.73 g/cm3"})
    assert unknown["trade_table"].leak_share is None


@pytest.mark.parametrize(
    ("mfr", "mvr", "half_width"),
    [
        # Half of the last digits: 0.05/12.0 and 0.05/16.2 are together 0.73 %.
        ("12.0 g/10min", "16.2 cm3/10min", 0.02),
        # 0.5/12 and 0.5/16 are together 7.3 %.
        ("12 g/10min", "16 cm3/10min", 0.5 / 12.0 + 0.5 / 16.0),
    ],
)
def test_a_data_sheet_gives_mfr_over_mvr_less_leakage(routes, mfr, mvr, half_width):
    result, by_route = routes(mfr=mfr, mvr=mvr, output_factor_route="data_sheet")
    ratio = float(mfr.split()[0]) / float(mvr.split()[0])
    assert g_cm3(result.factor) == pytest.approx(0.95 * ratio)
    assert result.half_width == pytest.approx(half_width)
    assert by_route["data_sheet"].leak_share == 0.05
    assert routes(mfr=mfr)[1]["data_sheet"].factor is None


def test_solid_density_is_shown_beside_and_never_a_route(routes):
    result, by_route = routes(solid_density="1.05 g/cm3", output_factor_route=None)
    assert g_cm3(result.solid_density) == pytest.approx(1.05)
    assert result.factor is None
    assert set(by_route) == set(ROUTES)


FILLERS = [
    {"name": "glass", "mass_share": 0.30, "density": "2.54 g/cm3"},
    {"name": "lubricant", "mass_share": 0.15, "density": "2.15 g/cm3"},
]


def test_fillers_are_mixed_into_the_melt_by_the_reciprocal_rule(routes):
    """1/rho = sum(w/rho), the matrix at melt density."""
    result, _ = routes(tait=tait(PP), melt_temperature="230 degC", fillers=FILLERS)
    matrix = tait_density(PP, 230.0, 10e6)
    expected = 1.0 / (0.30 / 2.54 + 0.15 / 2.15 + 0.55 / matrix)
    assert g_cm3(result.melt_density) == pytest.approx(expected)
    assert result.density_notes[-1] == "filled"


def test_no_route_chosen_gives_no_factor(routes):
    result, by_route = routes(output_factors={"own": "0.7 g/cm3"}, output_factor_route=None)
    assert (result.factor, result.route) == (None, None)
    assert g_cm3(by_route["own"].factor) == pytest.approx(0.7)


def test_a_barrels_shot_mass_in_each_resin_is_its_volume_times_the_factor(planned):
    """392.7 cm3 at 1 g/cm3 and 0.73 g/cm3; none where the factor is not known."""
    more = [
        {
            "id": "pp",
            "output_factor_route": "trade_table",
            "output_factors": {"trade_table": "0.73 g/cm3"},
        },
        {"id": "open"},
    ]
    masses = dict(appraise(planned(more_resins=more)).barrel("b").shot_masses)
    assert masses["r"] == pytest.approx(0.3926991, rel=1e-6)
    assert masses["pp"] == pytest.approx(0.3926991 * 0.73, rel=1e-6)
    assert masses["open"] is None


def test_where_all_of_the_stroke_leaks_nothing_is_delivered(routes):
    _, by_route = routes(melt_density="0.75 g/cm3", leak_share=1.0)
    assert by_route["melt_density"].factor is None


@pytest.mark.parametrize("coefficients", [(-1.0, 0.0, 0.0, 2.5e8, 0.0), (1e-3, 0.0, 0.0, 0.0, 0.0)])
def test_coefficients_that_give_no_density_leave_it_not_stated(routes, coefficients):
    resin, by_route = routes(tait=tait(coefficients), melt_temperature="230 degC")
    assert resin.melt_density is None
    assert resin.density_notes[-1] == "no_density"
    assert by_route["melt_density"].factor is None
