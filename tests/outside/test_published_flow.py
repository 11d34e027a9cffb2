"""Slit flow against numerical integration, the Newtonian limit and a handbook example."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from evenbarrel.trade.mould import flow

RATE, WIDTH, HEIGHT, LENGTH = 50e-6, 0.1, 0.002, 0.15
# Osswald and Hernandez-Ortiz, from memory: K [Pa s^n], n; pressure drops [MPa] derived.
POWER_LAWS = [
    ("PP, 200 degC", 7500, 0.38, 16.419),
    ("PS, 170 degC", 28000, 0.28, 31.8818),
    ("HDPE, 180 degC", 20000, 0.41, 53.1697),
    ("LDPE, 160 degC", 6000, 0.39, 14.0148),
    ("PA66, 300 degC", 600, 0.66, 7.89234),
    ("PC, 300 degC", 600, 0.98, 59.5234),
]


@pytest.mark.parametrize(("resin", "k", "n", "expected"), POWER_LAWS)
def test_pressure_drop(resin, k, n, expected):
    drop = flow.slit_pressure_drop(RATE, WIDTH, HEIGHT, LENGTH, k, n)
    assert drop / 1e6 == pytest.approx(expected, rel=1e-5), resin


@pytest.mark.parametrize(("resin", "k", "n", "expected"), POWER_LAWS)
def test_integrated_velocity_profile_carries_the_flow(resin, k, n, expected):
    """Momentum balance: stress Δp y / L, shear rate (stress / K)^(1/n), integrated by scipy."""
    drop = flow.slit_pressure_drop(RATE, WIDTH, HEIGHT, LENGTH, k, n)

    def shear_rate(height: float) -> float:
        return (drop * height / (LENGTH * k)) ** (1 / n)

    # Flow by parts: W x 2 x integral of y times shear rate over the half height.
    half, _ = quad(lambda y: y * shear_rate(y), 0.0, HEIGHT / 2, epsabs=0.0, epsrel=1e-11)
    assert 2 * WIDTH * half == pytest.approx(RATE, rel=1e-9), resin
    wall = flow.wall_shear_rate(RATE, WIDTH, HEIGHT, n)
    assert wall == pytest.approx(shear_rate(HEIGHT / 2), rel=1e-9)


def test_newtonian_limit():
    """12 η L Q / (W H³): 22.5 MPa for 200 Pa s."""
    newtonian = 12 * 200.0 * LENGTH * RATE / (WIDTH * HEIGHT**3)
    assert newtonian == pytest.approx(22.5e6, rel=1e-12)
    power_law = flow.slit_pressure_drop(RATE, WIDTH, HEIGHT, LENGTH, 200.0, 1.0)
    assert power_law == pytest.approx(newtonian, rel=1e-12)


def test_shear_rates_at_the_wall():
    """6 Q / (W H²), and with n = 0.38."""
    assert flow.wall_shear_rate(RATE, WIDTH, HEIGHT, 1.0) == pytest.approx(750, rel=1e-12)
    assert flow.wall_shear_rate(RATE, WIDTH, HEIGHT, 0.38) == pytest.approx(1157.89, rel=1e-5)


def test_viscosity_of_low_density_polyethylene():
    """Rao and Schumacher, section 1.3.7.2: 200 degC, 500 1/s, printed as 373.1 Pa s."""
    at_190 = 135990 * np.exp(-0.00863 * 190)
    at_200 = flow.shifted_consistency(at_190, 0.00863, 473.15, 463.15)
    assert at_200 * 500.0 ** (0.3286 - 1) == pytest.approx(373.1, abs=0.05)
