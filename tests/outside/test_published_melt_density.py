"""Melt densities against an outside library, standards and handbooks."""

from __future__ import annotations

import warnings
from functools import cache
from typing import Any

import numpy as np
import pytest

from evenbarrel.trade import melt
from evenbarrel.trade.melt import TaitSet

ATMOSPHERE = 101325.0
GAS_CONSTANT = 8.314462618
# The databank's PA is a polyarylate and its POM is 12 % below acetal: both left out.
DATABANK = ("PS", "i-PP", "HDPE", "LDPE", "LLDPE", "PMMA", "PC", "PMP")


def _celsius(temperature: float) -> float:
    return temperature + 273.15


@cache
def _from_databank(polymer: str) -> Any:
    # It takes seconds to load, and every worker loads this file.
    from polykin.properties.pvt import Tait

    # The library reads its table in a way that newer pandas call deprecated: not our concern.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        return Tait.from_database(polymer)


def _ours(theirs: Any) -> TaitSet:
    return TaitSet(
        "polynomial",
        (theirs.A0, theirs.A1, theirs.A2, theirs.B0, theirs.B1),
        t_low=theirs.Trange[0],
        t_high=theirs.Trange[1],
        p_high=theirs.Prange[1],
    )


@pytest.mark.parametrize("polymer", DATABANK)
def test_tait_equals_the_library_over_its_whole_range(polymer):
    """polykin 0.8; its parameters after Danner and High."""
    theirs = _from_databank(polymer)
    ours = _ours(theirs)
    temperatures, pressures = np.meshgrid(
        np.linspace(*theirs.Trange, 41), np.linspace(*theirs.Prange, 41)
    )
    assert np.all(ours.in_range(temperatures, pressures))
    density = melt.tait_density(ours, temperatures, pressures)
    np.testing.assert_allclose(density, 1 / theirs.eval(temperatures, pressures), rtol=1e-9)


def test_melt_density(for_each):
    @for_each(
        [
            # polykin 0.8 with Danner and High's parameters.
            ("PS", 180, 0.1, 981.156),
            ("PS", 180, 10, 988.281),
            ("PS", 180, 50, 1013.13),
            ("i-PP", 230, 0.1, 738.035),
            ("i-PP", 230, 10, 748.829),
            ("i-PP", 230, 50, 782.253),
            ("HDPE", 190, 0.1, 759.473),
            ("HDPE", 190, 10, 768.219),
            ("HDPE", 190, 50, 796.615),
            ("LDPE", 190, 0.1, 757.595),
            ("LDPE", 190, 10, 766.355),
            ("LDPE", 190, 50, 794.773),
            ("PC", 300, 0.1, 1052.76),
            ("PC", 300, 10, 1062.16),
            ("PC", 300, 50, 1094.03),
            ("PMMA", 159, 0.1, 1123.43),
            ("PMMA", 159, 50, 1153.27),
            ("PMMA", 159, 200, 1216.08),
        ]
    )
    def _(polymer, celsius, megapascals, expected):
        ours = _ours(_from_databank(polymer))
        density = melt.tait_density(ours, _celsius(celsius), megapascals * 1e6)
        assert density == pytest.approx(expected, abs=0.01)


def test_compressibility_of_polystyrene_without_pressure():
    """CRC Handbook, Wohlfarth, equation 2, with Danner and High's parameters; 200 degC."""
    ours = _ours(_from_databank("PS"))
    loose, dense = (melt.tait_density(ours, _celsius(200), pressure) for pressure in (0.0, 10.0))
    kappa = (dense / loose - 1) / 10.0
    assert kappa * 1e6 == pytest.approx(8.25241e-4, rel=1e-5)


@pytest.mark.parametrize(
    ("form", "coefficients", "celsius", "densities"),
    [
        # Rodgers 1993 and CRC Handbook, from memory; densities at 0.1, 10 and 50 MPa.
        ("exponential", (1.1606e-3, 6.700e-4, 149.1e6, 4.177e-3), 230, (738.7, 749.4, 782.6)),
        ("exponential", (0.9287e-3, 5.131e-4, 216.9e6, 3.319e-3), 200, (971.8, 979.3, 1005.0)),
        (
            "exponential_kelvin",
            (0.9172e-3, 7.806e-4, 176.7e6, 4.661e-3),
            190,
            (759.6, 768.3, 796.7),
        ),
        ("power_kelvin", (0.73565e-3, 1.859e-5, 310.0e6, 4.078e-3), 300, (1053.4, 1063.2, 1096.1)),
        # Polymer Handbook, 4th ed., p. VI-591, the PMMA row.
        (
            "polynomial",
            (0.8254e-3, 2.8383e-7, 7.792e-10, 287.5e6, 4.146e-3),
            240,
            (1065.7, 1074.3, 1103.7),
        ),
    ],
)
def test_every_form_of_the_isobar(form, coefficients, celsius, densities):
    pressures = np.array([0.1e6, 10e6, 50e6])
    computed = melt.tait_density(TaitSet(form, coefficients), _celsius(celsius), pressures)
    np.testing.assert_allclose(computed, densities, rtol=2e-4)


def test_isobars_without_pressure():
    """PMMA: Polymer Handbook, 4th ed., p. VI-591. PP: Rodgers 1993, from memory."""
    pmma = TaitSet("polynomial", (0.8254e-3, 2.8383e-7, 7.792e-10, 287.5e6, 4.146e-3))
    assert 1e3 / melt.tait_density(pmma, _celsius(150), 0.0) == pytest.approx(0.885506, abs=1e-6)
    pp = TaitSet("exponential", (1.1606e-3, 6.700e-4, 149.1e6, 4.177e-3))
    assert melt.tait_density(pp, _celsius(230), 0.0) == pytest.approx(738.572, abs=0.001)


@pytest.mark.parametrize(
    ("resin", "mass_flow", "volume_flow", "expected"),
    [
        # ISO 1133 and ASTM D1238, from memory: g and cm3 in 10 min.
        ("PP, 230 degC", 7.386, 10.0, 738.6),
        ("PE, 190 degC", 7.636, 10.0, 763.6),
    ],
)
def test_melt_density_from_both_flow_rates(resin, mass_flow, volume_flow, expected):
    density = melt.melt_density_from_flow(mass_flow * 1e-3 / 600, volume_flow * 1e-6 / 600)
    assert density == pytest.approx(expected, rel=1e-9), resin


@pytest.mark.parametrize(
    ("polymer", "celsius", "standard", "within"),
    [("i-PP", 230, 738.6, 1e-3), ("HDPE", 190, 763.6, 6e-3), ("LDPE", 190, 763.6, 8e-3)],
)
def test_tait_comes_close_to_the_flow_rate_standards(polymer, celsius, standard, within):
    """ISO 1133 and ASTM D1238, from memory, against Danner and High's parameters."""
    ours = _ours(_from_databank(polymer))
    density = melt.tait_density(ours, _celsius(celsius), ATMOSPHERE)
    assert density == pytest.approx(standard, rel=within)


# Rao and O'Brien, table 2.1: W [g/mol], p* [atm], b* [cm3/g]; densities computed from them.
SPENCER_GILMORE = [
    ("LDPE", 190, 28.1, 3240, 0.875, 773.811),
    ("PS", 200, 104, 1840, 0.822, 975.817),
    ("PC", 300, 56.1, 3135, 0.669, 1068.0),
    ("i-PP", 230, 41.0, 1600, 0.62, 800.65),
]


def _spencer_gilmore(celsius, molar_mass, pressure, covolume):
    """(p + p*) (v - b*) = R T / W, ρ = 1 / v [kg/m3]."""
    thermal = GAS_CONSTANT * _celsius(celsius) / (molar_mass / 1e3)
    return 1 / (covolume / 1e3 + thermal / (ATMOSPHERE * (1 + pressure)))


@pytest.mark.parametrize(("polymer", "celsius", "w", "p", "b", "expected"), SPENCER_GILMORE)
def test_spencer_gilmore(polymer, celsius, w, p, b, expected):
    assert _spencer_gilmore(celsius, w, p, b) == pytest.approx(expected, abs=0.1), polymer


@pytest.mark.parametrize(("polymer", "celsius", "w", "p", "b", "expected"), SPENCER_GILMORE[:3])
def test_two_equations_of_state_agree(polymer, celsius, w, p, b, expected):
    """Spencer-Gilmore after Rao and O'Brien against Tait after Danner and High."""
    tait = melt.tait_density(_ours(_from_databank(polymer)), _celsius(celsius), ATMOSPHERE)
    assert _spencer_gilmore(celsius, w, p, b) == pytest.approx(tait, rel=0.025)


def test_spencer_gilmore_is_not_for_polypropylene():
    """Rao and O'Brien's constants lie 8 % above ISO 1133's 738.6 (from memory)."""
    _, celsius, w, p, b, _ = SPENCER_GILMORE[3]
    assert _spencer_gilmore(celsius, w, p, b) / 738.6 - 1 == pytest.approx(0.084, abs=0.002)


@pytest.mark.parametrize(
    ("compound", "shares", "densities", "expected", "within"),
    [
        # Common practice, no source: glass, PTFE and PA66 at solid density; printed as 1.49.
        ("30 glass, 15 PTFE", (0.30, 0.15, 0.55), (2540, 2150, 1140), 1491.79, 0.01),
        ("PP, 40 talc, melt", (0.40, 0.60), (2750, 738.6), 1044.06, 0.01),
        ("PA66, 30 glass, melt", (0.30, 0.70), (2540, 970), 1190.82, 0.01),
        ("PA66, 33 glass, solid", (0.33, 0.67), (2540, 1140), 1393.46, 0.01),
        # Crawford, Plastics Engineering, 3rd ed., table 1.8 lists 1.38 for it.
        ("PA66, 33 glass, table", (0.33, 0.67), (2540, 1140), 1380, 20),
    ],
)
def test_filled_compound(compound, shares, densities, expected, within):
    assert melt.filled_density(shares, densities) == pytest.approx(expected, abs=within), compound


def test_parts_of_a_compound_by_volume():
    """Common practice, no source: 11.81 + 6.98 + 48.25 = 67.04 volumes in 100 of mass."""
    density = melt.filled_density((0.30, 0.15, 0.55), (2540, 2150, 1140))
    assert 100 / (density / 1000) == pytest.approx(67.04, abs=0.01)
