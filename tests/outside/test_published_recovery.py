"""Plasticising against handbook examples and the trade's rules."""

from __future__ import annotations

import numpy as np
import pytest

from evenbarrel.trade import recovery
from evenbarrel.trade.geometry import peripheral_speed, rotational_speed

GRAM = 1e-3
POUND_PER_HOUR = 0.45359237 / 3600
HORSEPOWER = 745.6998715822702


def test_polycarbonate_on_a_rate_quoted_in_polystyrene():
    """Enthalpies 370 and 470 kJ/kg, densities 961 and 1062 kg/m3: from memory and Danner and High.

    120 g, 12 s, 30 g/s at 0.9 m/s. The factor rounded to 0.79 gives 0.475 m/s at 80 % of the
    window; the whole of it takes 80 % of that speed.
    """
    rate = recovery.converted_rate(30 * GRAM, 1062, 961, 470e3, 370e3)
    assert recovery.recovery_time(120 * GRAM, rate) == pytest.approx(5.1, abs=0.05)
    rated = rotational_speed(0.05, 0.9)
    needed = recovery.needed_screw_speed(rated, 120 * GRAM, rate, 0.80 * 12.0)
    assert peripheral_speed(0.05, needed) == pytest.approx(0.476, abs=5e-4)
    rounded = recovery.needed_screw_speed(rated, 120 * GRAM, 0.79 * 30 * GRAM, 0.80 * 12.0)
    assert peripheral_speed(0.05, rounded) == pytest.approx(0.475, abs=5e-4)


def test_polypropylene_on_a_rate_quoted_in_polystyrene():
    """Enthalpies 370 and 580 kJ/kg from memory; densities after Danner and High."""
    by_enthalpy = recovery.converted_rate(30.0, 970.0, 970.0, 580e3, 370e3)
    by_volume = recovery.converted_rate(30.0, 738.0, 970.0, 370e3, 370e3)
    assert by_enthalpy == pytest.approx(19.1379, abs=1e-4)
    assert by_volume == pytest.approx(22.8247, abs=1e-4)
    assert recovery.converted_rate(30.0, 738.0, 970.0, 580e3, 370e3) == by_enthalpy


def test_recovery_within_the_cooling_time():
    """Definition; 80 % of the cooling time is common practice, no source."""
    assert recovery.recovery_time(200 * GRAM, 30 * GRAM) == pytest.approx(6.66667, abs=1e-5)
    assert recovery.shot_mass_at_recovery(0.80, 1.0, 10.0) == pytest.approx(8.0)


def test_power_to_melt_100_kg_an_hour():
    """Definition: 100 kg/h at 580 kJ/kg."""
    assert recovery.melting_power(100 / 3600, 580e3) == pytest.approx(16_111, abs=1)


def test_metering_channel_of_75_mm():
    """Groover, Fundamentals of Modern Manufacturing, from memory: 53 525 mm3/s."""
    angle = np.radians(20.0)
    dragged = recovery.drag_flow(0.075, 1.0, 0.006, angle)
    assert dragged * 1e9 == pytest.approx(53_525, rel=2e-4)


def test_square_pitched_flight():
    """Geometry: a pitch of 1 D is 17.66 degrees."""
    assert np.degrees(recovery.helix_angle(0.05, 0.05)) == pytest.approx(17.66, abs=0.005)
