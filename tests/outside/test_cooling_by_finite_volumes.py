"""Cooling times against conduction solved by finite volumes and an integrator of scipy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from evenbarrel.trade.mould import cooling

CELLS = 160


def cooled_at(size: float, diffusivity: float, ratio: float, shape: str, target: str) -> float:
    """Return when the part has cooled to a share of its first temperature above the mould [s].

    Half a plate or a whole cylinder in cells of one width, insulated in the middle, the surface
    at the mould's temperature from the start; nothing of the series is used.
    """
    half = size / 2
    faces = np.linspace(0.0, half, CELLS + 1)
    width = half / CELLS
    area = faces if shape == "cylinder" else np.ones_like(faces)
    volume = np.diff(faces**2) / 2 if shape == "cylinder" else np.full(CELLS, width)

    def rate(_: float, warm: np.ndarray) -> np.ndarray:
        flow = np.zeros(CELLS + 1)
        flow[1:-1] = -area[1:-1] * np.diff(warm) / width
        flow[-1] = area[-1] * warm[-1] / (width / 2)
        return -diffusivity * np.diff(flow) / volume

    def left(_: float, warm: np.ndarray) -> float:
        centre = (9 * warm[0] - warm[1]) / 8
        found = centre if target == "centre" else float(warm @ volume) / volume.sum()
        return float(found - ratio)

    left.terminal = True
    ends = (0.0, 4.0 * half**2 / diffusivity)
    # Not BDF: scipy begins it on memory that nobody set, of which it may warn.
    solved = solve_ivp(rate, ends, np.ones(CELLS), "Radau", events=left, rtol=1e-7, atol=1e-9)
    return float(solved.t_events[0][0])


@pytest.mark.parametrize("shape", ["plate", "cylinder"])
@pytest.mark.parametrize("target", ["centre", "mean"])
@pytest.mark.parametrize(
    ("size", "diffusivity", "temperatures"),
    [
        # Melt, mould, ejection [degC]; diffusivities from the shipped table [m2/s].
        (2.5e-3, 0.06e-6, (220.0, 35.0, 70.0)),
        (3.0e-3, 0.147e-6, (300.0, 87.0, 130.0)),
        (6.0e-3, 0.09e-6, (230.0, 60.0, 88.0)),
    ],
)
def test_one_term_of_the_series_is_the_solved_conduction(
    size, diffusivity, temperatures, shape, target
):
    melt, mould, ejection = (t + 273.15 for t in temperatures)
    time = cooling.cooling_time(size, diffusivity, melt, mould, ejection, shape, target)
    ratio = (ejection - mould) / (melt - mould)
    assert time == pytest.approx(cooled_at(size, diffusivity, ratio, shape, target), rel=2e-3)


def test_below_a_fourier_number_of_02_one_term_is_wrong_and_nothing_is_said():
    """Ejected hot, the mean of a plate has fallen to 0.8 before one term of its series serves."""
    solved = cooled_at(3e-3, 1e-7, 0.8, "plate", "mean")
    assert 1e-7 * solved / (3e-3 / 2) ** 2 < 0.2
    assert np.isnan(cooling.cooling_time(3e-3, 1e-7, 500.0, 300.0, 460.0, "plate", "mean"))
