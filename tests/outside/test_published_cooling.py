"""Cooling against the full series of an outside library and solutions of the heat equation."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.special import jn_zeros, jv

from evenbarrel.trade.mould import cooling

MM2 = 1e-6


# The library takes seconds to load, and every worker loads this file.
def _centre(fourier):
    from polykin.hmt import profile_constc_sheet

    return 1 - profile_constc_sheet(fourier, 0.0)


def _one_term(fourier, shape, target):
    """(T - Tw) / (Tm - Tw) = k exp(-λ² Fo), which `cooling_time` solves for the time."""
    return cooling.LEAD[shape, target] * np.exp(-cooling.DECAY[shape] * fourier)


def _mean(fourier):
    from polykin.hmt import uptake_constc_sheet

    return 1 - uptake_constc_sheet(fourier)


LIBRARY = {"centre": _centre, "mean": _mean}


def test_one_term_is_enough_from_a_fourier_number_of_0_2(for_each):
    """polykin 0.8, after Crank: the one-term form is off by less than 0.7 %."""

    @for_each(product(["centre", "mean"], np.linspace(0.2, 2.0, 37).tolist()))
    def _(target, fourier):
        assert _one_term(fourier, "plate", target) == pytest.approx(
            LIBRARY[target](fourier), rel=7e-3
        )


@pytest.mark.parametrize(("target", "error"), [("centre", 0.129), ("mean", -0.042)])
def test_one_term_is_not_enough_at_a_fourier_number_of_0_05(target, error):
    """polykin 0.8, after Crank: why the cooling time is not stated below 0.2."""
    ratio = _one_term(0.05, "plate", target) / LIBRARY[target](0.05)
    assert ratio - 1 == pytest.approx(error, abs=1e-3)


def test_cooling_time_against_the_library(for_each):
    """polykin 0.8, after Crank, for 2 mm at 0.1 mm2/s; nothing is stated below Fo = 0.2."""

    @for_each(product(["centre", "mean"], [0.05, 0.1, 0.15, 0.19, 0.21, 0.3, 0.5, 1.0]))
    def _(target, fourier):
        left = LIBRARY[target](fourier)
        time = cooling.cooling_time(
            0.002, 0.1 * MM2, 500.0, 300.0, 300.0 + 200.0 * left, "plate", target
        )
        if fourier < cooling.LEAST_FOURIER_NUMBER:
            assert np.isnan(time)
        else:
            assert time == pytest.approx(fourier * 0.001**2 / (0.1 * MM2), rel=0.012)


# Resin, wall, diffusivity, melt, mould, ejection; the full series of polykin 0.8 gives these
# times to 0.001 s. Diffusivities: Crawford, 3rd ed., table 1.8; temperatures from memory.
PLATES = [
    ("PS", 2, 0.06, 220, 20, 80, 9.76424, 6.71391),
    ("ABS", 3, 0.09, 230, 60, 90, 20.0227, 15.4473),
    ("PP", 2, 0.065, 230, 40, 90, 9.83012, 7.01444),
    ("PC", 3, 0.147, 300, 90, 130, 11.7851, 8.98373),
    ("PA66", 2, 0.101, 285, 80, 160, 4.74523, 2.93316),
]


@pytest.mark.parametrize(("resin", "wall", "a", "tm", "tw", "te", "centre", "mean"), PLATES)
def test_plate(resin, wall, a, tm, tw, te, centre, mean):
    celsius = [value + 273.15 for value in (tm, tw, te)]
    for target, expected in (("centre", centre), ("mean", mean)):
        time = cooling.cooling_time(wall / 1000, a * MM2, *celsius, "plate", target)
        assert time == pytest.approx(expected, abs=1e-4), (resin, target)
        left = LIBRARY[target](a * MM2 * time / (wall / 2000) ** 2)
        assert left == pytest.approx((te - tw) / (tm - tw), abs=5e-4)


@pytest.mark.parametrize(("target", "expected"), [("centre", 38.1423), ("mean", 23.6192)])
def test_cylinder(target, expected):
    """Menges and Mohren, from memory; constants recomputed below."""
    time = cooling.cooling_time(0.006, 0.09 * MM2, 503.15, 333.15, 363.15, "cylinder", target)
    assert time == pytest.approx(expected, abs=1e-3)


def test_constants_of_the_cylinder_are_those_of_the_bessel_functions():
    zero = jn_zeros(0, 1)[0]
    assert cooling.DECAY["cylinder"] == pytest.approx(zero**2, rel=1e-12)
    assert 4 * cooling.DECAY["cylinder"] == pytest.approx(23.133, abs=2e-3)
    assert cooling.LEAD["cylinder", "centre"] == pytest.approx(2 / (zero * jv(1, zero)), rel=1e-12)
    assert cooling.LEAD["cylinder", "mean"] == pytest.approx(4 / zero**2, rel=1e-12)


def _heat_equation(shape: str, fourier: float, cells: int = 200) -> tuple[float, float]:
    """Centre and mean ratio of a plate or cylinder by finite volumes, integrated by scipy."""
    edges = np.linspace(0.0, 1.0, cells + 1)
    around = edges if shape == "cylinder" else np.ones_like(edges)
    size = np.diff(edges**2) / 2 if shape == "cylinder" else np.diff(edges)
    width = 1.0 / cells

    def slope(_: float, ratio: np.ndarray) -> np.ndarray:
        inward = np.diff(ratio) / width
        gradient = np.concatenate([[0.0], inward, [-2 * ratio[-1] / width]])
        return np.diff(around * gradient) / size

    solved = solve_ivp(
        slope,
        (0.0, fourier),
        np.ones(cells),
        method="LSODA",
        lband=1,
        uband=1,
        rtol=1e-8,
        atol=1e-10,
    )
    final = solved.y[:, -1]
    return float(final[0]), float(np.average(final, weights=size))


@pytest.mark.parametrize("shape", ["plate", "cylinder"])
@pytest.mark.parametrize("fourier", [0.2, 0.35, 0.7])
def test_one_term_against_the_heat_equation(shape, fourier):
    """Finite volumes in space, scipy's integrator in time."""
    centre, mean = _heat_equation(shape, fourier)
    assert _one_term(fourier, shape, "centre") == pytest.approx(centre, rel=8e-3)
    assert _one_term(fourier, shape, "mean") == pytest.approx(mean, rel=8e-3)


def test_library_reproduces_the_tables_it_cites():
    """Crank, pp. 47 and 48, as polykin prints them: the yardstick itself."""
    assert LIBRARY["centre"](0.25) == pytest.approx(1 - 0.3145542331, abs=1e-9)
    assert LIBRARY["mean"](0.125) == pytest.approx(1 - 0.3989279899, abs=1e-9)


def test_twice_the_wall_takes_four_times_as_long():
    """Common practice, no source: t rises with the square of the wall."""
    times = cooling.cooling_time(
        np.array([0.002, 0.004]), 0.1 * MM2, 500.0, 310.0, 360.0, "plate", "centre"
    )
    assert times[1] / times[0] == pytest.approx(4.0, rel=1e-12)
