"""The two corners that bound a criterion, against the interval arithmetic of mpmath.

Each closed form is written anew so that every uncertain input stands in it once: then interval
arithmetic gives the range itself, no more and no less.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from mpmath import iv

from evenbarrel.appraisal.criteria import ALL
from evenbarrel.appraisal.inputs.intervals import Interval, bounded

iv.dps = 30
QUARTER_PI = iv.pi / 4

Form = Callable[..., Any]

# name: (range it is drawn from, greatest half-width)
INPUTS: dict[str, tuple[float, float, float]] = {
    "shot_mass": (0.005, 5.0, 0.07),
    "output_factor": (600.0, 1600.0, 0.05),
    "diameter": (0.018, 0.15, 0.01),
    "nominal_diameter": (0.018, 0.15, 0.0),
    "stroke": (0.05, 0.8, 0.01),
    "swept_volume": (2e-5, 1e-2, 0.2),
    "cushion": (0.001, 0.02, 0.1),
    "decompression": (0.001, 0.02, 0.1),
    "hot_runner_volume": (0.0, 1e-3, 0.2),
    "ring_travel": (0.001, 0.01, 0.1),
    "position_scatter": (1e-5, 1e-3, 0.2),
    "melt_inventory": (5e-5, 1e-2, 0.35),
    "melt_density": (700.0, 1700.0, 0.0),
    "cycle_time": (5.0, 200.0, 0.05),
    "rate_in_resin": (0.001, 0.2, 0.2),
    "cooling_window": (1.0, 100.0, 0.4),
    "rated_speed": (0.5, 6.0, 0.05),
    "required_pressure": (1e7, 2e8, 0.5),
    "melt_pressure": (1e8, 3e8, 0.03),
    "filling_rate": (1e-6, 2e-3, 0.1),
    "injection_rate": (1e-5, 2e-3, 0.03),
    "quoted_power": (1e3, 3e5, 0.05),
    # As the volume alone has the factor, the share of volume has the shot's.
    "factor_of_volume": (600.0, 1600.0, 0.05),
    # Nothing caps the speed here, and no limit is asked for.
    "screw_speed_max": (np.inf, np.inf, 0.0),
    "peripheral_speed_limit": (1.0, 1.0, 0.0),
}

FORMS: dict[str, Form] = {
    "capacity": lambda x: (
        (
            (x["shot_mass"] / x["output_factor"] + iv.mpf(0.04) * x["hot_runner_volume"])
            / (QUARTER_PI * x["diameter"] ** 2)
            + x["cushion"]
            + x["decompression"]
        )
        / x["stroke"]
    ),
    "utilisation": lambda x: x["shot_mass"] / x["factor_of_volume"] / x["swept_volume"],
    "stroke": lambda x: x["shot_mass"] / x["output_factor"] / (QUARTER_PI * x["diameter"] ** 3),
    "ring_share": lambda x: (
        x["ring_travel"] * QUARTER_PI * x["diameter"] ** 2 * x["output_factor"] / x["shot_mass"]
    ),
    "repeatability": lambda x: (
        x["position_scatter"]
        * QUARTER_PI
        * x["diameter"] ** 2
        * x["output_factor"]
        / x["shot_mass"]
    ),
    "residence": lambda x: (
        (
            x["melt_inventory"]
            + x["hot_runner_volume"]
            + x["cushion"] * QUARTER_PI * x["nominal_diameter"] ** 2
        )
        * x["melt_density"]
        / x["shot_mass"]
        * x["cycle_time"]
    ),
    "recovery": lambda x: x["shot_mass"] / x["rate_in_resin"] / x["cooling_window"],
    "screw_speed": lambda x: (
        iv.pi
        * x["nominal_diameter"]
        * x["rated_speed"]
        * x["shot_mass"]
        / (x["cooling_window"] * x["rate_in_resin"])
    ),
    "pressure": lambda x: x["required_pressure"] / x["melt_pressure"],
    "rate": lambda x: x["filling_rate"] / x["injection_rate"],
    "power": lambda x: x["required_pressure"] * x["filling_rate"] / x["quoted_power"],
}


def test_every_criterion_with_a_number_has_its_closed_form():
    assert set(FORMS) == {criterion.key for criterion in ALL if criterion.numeric}


@pytest.mark.parametrize("criterion", [c for c in ALL if c.numeric], ids=lambda c: c.key)
@given(data=st.data())
def test_the_corners_are_the_range_that_interval_arithmetic_gives(criterion, data):
    intervals, exact = {}, {}
    for name in criterion.monotonic_in:
        least, most, widest = INPUTS[name]
        nominal = data.draw(st.floats(least, most)) if np.isfinite(most) else most
        width = data.draw(st.floats(0.0, widest))
        low, high = nominal * (1.0 - width), nominal * (1.0 + width)
        intervals[name] = Interval(*(np.full((1, 1), end) for end in (nominal, low, high)))
        exact[name] = iv.mpf([low, high]) if np.isfinite(most) else None
    found = bounded(criterion.value, criterion.monotonic_in, intervals)
    whole = FORMS[criterion.key](exact)
    assert found.low.item() == pytest.approx(float(whole.a), rel=1e-12)
    assert found.high.item() == pytest.approx(float(whole.b), rel=1e-12)
    assert found.low.item() <= found.nominal.item() <= found.high.item()
