"""Volumes, forces and rated masses against published definitions and examples."""

from __future__ import annotations

import pytest

from evenbarrel.trade import filling, geometry

BAR = 1e5
CM3 = 1e-6
OUNCE = 0.028349523125


@pytest.mark.parametrize(
    ("quantity", "computed", "expected", "relative"),
    [
        # Solid geometry; 50 mm and 200 mm.
        ("swept volume", geometry.swept_volume(0.05, 0.2) / CM3, 392.699, 1e-6),
        ("stroke in diameters", geometry.stroke_in_diameters(0.2, 0.05), 4.0, 1e-12),
        ("larger screw", geometry.swept_volume(0.055, 0.2) / CM3, 475.166, 1e-6),
        # EUROMAP 1, from memory: p[bar] V[cm3] / 1000.
        ("size number", geometry.size_number(2000 * BAR, 392.699 * CM3), 785.398, 1e-6),
        # p = F / A, one drive: 45, 50 and 55 mm.
        ("force", geometry.axial_force(2000 * BAR, geometry.screw_area(0.05)), 392_699, 1e-6),
        (
            "pressure, smaller screw",
            geometry.pressure_from_force(392_699.08, geometry.screw_area(0.045)) / BAR,
            2469.14,
            1e-5,
        ),
        (
            "pressure, larger screw",
            geometry.pressure_from_force(392_699.08, geometry.screw_area(0.055)) / BAR,
            1652.89,
            1e-5,
        ),
        # p_melt = p_oil x piston area / screw area.
        (
            "melt pressure",
            geometry.melt_pressure_from_oil(196.35 * BAR, 0.02 / geometry.screw_area(0.05)) / BAR,
            2000.0,
            1e-5,
        ),
        ("injection power", geometry.injection_power(2000 * BAR, 200 * CM3), 40_000, 1e-12),
        (
            "forward speed",
            geometry.injection_speed(200 * CM3, geometry.screw_area(0.05)),
            0.101859,
            1e-5,
        ),
        ("peripheral speed", geometry.peripheral_speed(0.05, 200 / 60), 0.523599, 1e-6),
        ("0.3 m/s at 50 mm", 60 * geometry.rotational_speed(0.05, 0.3), 114.592, 1e-5),
        # SPI Plastics Engineering Handbook, 4th ed., from memory, prints 230 rev/min for 150 ft/min
        # on 2 in; its own inputs give 286.
        ("150 ft/min", 60 * geometry.rotational_speed(0.0508, 150 * 0.3048 / 60), 286.479, 1e-5),
        # ASTM D1238, procedure B, from memory: 426 cm2 s from bore and piston foot.
        (
            "constant of procedure B",
            600e4 * (geometry.screw_area(0.0095504) + geometry.screw_area(0.0094742)) / 2,
            426.0,
            1e-3,
        ),
    ],
)
def test_identity(quantity, computed, expected, relative):
    assert computed == pytest.approx(expected, rel=relative), quantity


@pytest.mark.parametrize("diameter", [0.045, 0.05, 0.055])
def test_every_screw_of_one_drive_has_one_size_number(diameter):
    """EUROMAP 1, from memory: p V is the drive's force times its stroke, whatever the screw."""
    pressure = geometry.pressure_from_force(392_699.08, geometry.screw_area(diameter))
    number = geometry.size_number(pressure, geometry.swept_volume(diameter, 0.2))
    assert number == pytest.approx(785.398, rel=1e-6)
    assert geometry.force_from_size_number(number, 0.2) == pytest.approx(392_699.08, rel=1e-9)


def _converted(mass, reference_factor, running_factor):
    """A rated mass brought to the resin run, both factors by one route."""
    return filling.shot_mass(filling.shot_volume(mass, reference_factor), running_factor)


@pytest.mark.parametrize(
    ("route", "polystyrene", "polypropylene", "expected"),
    [
        # Crawford, Plastics Engineering, 3rd ed., table 1.8.
        ("solid density", 1050, 905, 430.952),
        # Common practice, no source.
        ("trade table", 910, 730, 401.099),
        # Danner and High's Tait parameters at 200 and 230 degC, 0.1 MPa.
        ("melt density", 970.0, 738.0, 380.4),
    ],
)
def test_500_g_of_polystyrene_in_polypropylene(route, polystyrene, polypropylene, expected):
    mass = _converted(0.5, polystyrene, polypropylene)
    assert 1000 * mass == pytest.approx(expected, abs=0.1), route


def test_trade_factors_cost_a_polystyrene_rating_a_fifth_in_polypropylene():
    """Factors 0.91 and 0.73: common practice, no source."""
    assert 1 - _converted(1.0, 910, 730) == pytest.approx(0.198, abs=5e-4)


@pytest.mark.parametrize(
    ("resin", "factor", "density", "delivered"),
    [
        # Factors: common practice, no source. Densities: Danner and High; PP ISO 1133, from memory.
        ("PS", 910, 970.0, 0.938144),
        ("PP", 730, 738.6, 0.988356),
        ("PC", 970, 1053.0, 0.921178),
    ],
)
def test_trade_factors_imply_a_leak_share_each(resin, factor, density, delivered):
    assert 1 - filling.implied_leak_share(factor, density) == pytest.approx(delivered, abs=1e-6)


def test_leak_share_of_one_weighed_stroke():
    """Definition: 150 cm3 swept, melt at 1.004 g/cm3, 141 g delivered."""
    factor = filling.implied_factor(0.141, 150 * CM3)
    assert filling.implied_leak_share(factor, 1004) == pytest.approx(0.063745, abs=1e-6)


def test_theoretical_shot_in_polystyrene():
    """Definition, with the trade's 0.91 (common practice, no source)."""
    assert 1000 * filling.shot_mass(392.70 * CM3, 910) == pytest.approx(357.356, abs=0.002)


def test_a_part_at_solid_density():
    """Common practice, no source: 164 g at the solid density 0.90 is 182.2 cm3, 6.16 fl oz."""
    volume = filling.shot_volume(0.164, 900)
    assert volume / CM3 == pytest.approx(182.222, abs=1e-3)
    assert volume / 29.5735295625e-6 == pytest.approx(6.158, abs=0.005)


def test_ounces_and_grams_of_a_rating_convert_alike():
    """Definition: a ratio of factors does not care for the unit of mass."""
    in_grams = _converted(0.5, 910, 730)
    in_ounces = _converted(0.5 / OUNCE, 910, 730) * OUNCE
    assert in_ounces == pytest.approx(in_grams, rel=1e-12)
