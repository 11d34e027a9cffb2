"""Residence time and inventory against the trade's rules and plain geometry."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from evenbarrel.trade import residence


@pytest.mark.parametrize(
    ("largest", "shot", "diameters", "cycle", "expected"),
    [
        # Common practice, no source: 200 g, 100 g, 15 s; factor 1.4 from 4 D, 2 below.
        (200, 100, 4.0, 15, 42.0),
        (200, 100, 3.9, 15, 60.0),
        # The same with volumes: 392.7 cm3 barrel, 120 cm3 shot.
        (392.7, 120, 4.0, 30, 137.445),
    ],
)
def test_factor_method(largest, shot, diameters, cycle, expected):
    time = residence.residence_by_factor(largest, shot, diameters, cycle)
    assert time == pytest.approx(expected, rel=1e-9)


# Channel depths: Johannaber, from memory. 20 D, zones 60/20/20 %, pitch 1 D, flight 0.1 D.
SCREWS = [
    (0.040, 0.0054, 0.0026, 362.412, 5.66269),
    (0.060, 0.0075, 0.0034, 1132.95, 5.24516),
    (0.100, 0.0107, 0.0043, 4488.13, 4.48813),
]


def _inventory(diameter, feed, metering, fill):
    return residence.screw_inventory(
        diameter, 20 * diameter, 0.6, 0.2, 0.2, feed, metering, diameter, 0.1 * diameter, fill
    )


@pytest.mark.parametrize(("diameter", "feed", "metering", "cm3", "cubes"), SCREWS)
def test_inventory_of_a_three_zone_screw(diameter, feed, metering, cm3, cubes):
    inventory = _inventory(diameter, feed, metering, 1.0)
    assert inventory * 1e6 == pytest.approx(cm3, rel=1e-5)
    assert inventory / diameter**3 == pytest.approx(cubes, rel=1e-5)


@pytest.mark.parametrize(("diameter", "feed", "metering", "cm3", "cubes"), SCREWS)
def test_inventory_is_the_integral_of_the_channel(diameter, feed, metering, cm3, cubes):
    """Geometry, integrated by scipy with the feed zone 0.6 full."""

    def area(position: float) -> float:
        depth = np.interp(position, [0.6, 0.8], [feed, metering])
        return np.pi * depth * (diameter - depth) * (0.6 if position < 0.6 else 1.0)

    integral, _ = quad(area, 0.0, 1.0, points=[0.6, 0.8], epsabs=0.0, epsrel=1e-11)
    expected = 0.9 * 20 * diameter * integral
    assert _inventory(diameter, feed, metering, 0.6) == pytest.approx(expected, rel=1e-9)


def test_rule_of_cubes_is_the_factor_method():
    """Common practice, no source: 1.4 at 4 D is 4.40 D3, 2.0 at 3 D is 4.71 D3."""
    long = residence.LONG_STROKE_FACTOR * np.pi / 4 * 4
    short = residence.SHORT_STROKE_FACTOR * np.pi / 4 * 3
    assert long == pytest.approx(4.39823, abs=1e-5)
    assert short == pytest.approx(4.71239, abs=1e-5)
    assert residence.inventory_from_diameter(0.05, 20) == pytest.approx(long * 0.05**3, rel=1e-3)


@pytest.mark.parametrize(
    ("celsius", "minutes"), [(180, 60), (200, 60), (210, 30), (230, 10), (235, 10), (205, 42.43)]
)
def test_how_long_acetal_stands_its_melt_temperature(celsius, minutes):
    """60, 30 and 10 min at 200, 210 and 230 degC: common practice, no source."""
    limit = residence.residence_limit(
        celsius + 273.15, (473.15, 483.15, 503.15), (3600.0, 1800.0, 600.0)
    )
    assert limit / 60 == pytest.approx(minutes, rel=1e-3)
