"""Properties of every criterion: it moves as declared, and its corners hold what lies between."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.appraisal.criteria import ALL
from evenbarrel.appraisal.inputs.intervals import Interval, bounded, exact
from evenbarrel.model.limits import CRITERIA

# What each input may be, SI: from a small machine to a large one.
RANGES = {
    "shot_mass": (0.005, 5.0),
    "output_factor": (600.0, 1600.0),
    "factor_of_volume": (600.0, 1600.0),
    "diameter": (0.018, 0.15),
    "nominal_diameter": (0.018, 0.15),
    "stroke": (0.05, 0.8),
    "swept_volume": (2e-5, 1e-2),
    "cushion": (0.0, 0.02),
    "decompression": (0.0, 0.02),
    "ring_travel": (0.001, 0.01),
    "melt_inventory": (5e-5, 1e-2),
    "cycle_time": (5.0, 200.0),
    "hot_runner_volume": (0.0, 1e-3),
    "melt_density": (700.0, 1700.0),
    "rate_in_resin": (0.001, 0.2),
    "cooling_window": (1.0, 100.0),
    "rated_speed": (0.5, 6.0),
    "screw_speed_max": (0.5, 6.0),
    "peripheral_speed_limit": (0.1, 1.2),
    "required_pressure": (1e7, 2e8),
    "melt_pressure": (1e8, 3e8),
    "filling_rate": (1e-6, 2e-3),
    "injection_rate": (1e-5, 2e-3),
    "quoted_power": (1e3, 3e5),
    "position_scatter": (1e-5, 1e-3),
    "shot_mass_tolerance": (1e-3, 1e-1),
    "abrasive": (0.0, 2.0),
    "corrosive": (0.0, 2.0),
    "barrel_wear_proof": (0.0, 2.0),
    "screw_wear_proof": (0.0, 2.0),
    "barrel_corrosion_proof": (0.0, 2.0),
    "screw_corrosion_proof": (0.0, 2.0),
}
# The factor of a shot and of its share of volume are one number.
TOGETHER = {"factor_of_volume": "output_factor"}
OPTIONAL = ("cushion", "decompression", "diameter", "stroke")
EFFECTS = [
    (criterion.key, name)
    for criterion in ALL
    for name, way in criterion.monotonic_in.items()
    if way != "none"
]
BY_KEY = {criterion.key: criterion for criterion in ALL}


def drawn(criterion, draw) -> dict[str, float]:
    """Draw one number for each input, without a cushion and the like now and then."""
    inputs = {}
    for name in criterion.monotonic_in:
        low, high = RANGES[name]
        inputs[name] = draw(st.floats(low, high))
        absent = name in OPTIONAL[:2] or (criterion.key == "capacity" and name in OPTIONAL)
        if absent and draw(st.booleans()):
            inputs[name] = float("nan")
    for name, other in TOGETHER.items():
        if name in inputs and other in inputs:
            inputs[name] = inputs[other]
    return inputs


def value(criterion, inputs: dict[str, float]) -> float:
    arrays = {name: np.full((1, 1), number) for name, number in inputs.items()}
    with np.errstate(all="ignore"):
        return float(criterion.value(**arrays)[0, 0])


def test_every_criterion_is_here_in_the_tables_order():
    assert tuple(BY_KEY) == CRITERIA


@pytest.mark.parametrize(("key", "name"), EFFECTS)
@given(data=st.data(), growth=st.floats(1.0, 3.0))
def test_a_value_moves_as_declared_in_every_uncertain_input(key, name, data, growth):
    criterion = BY_KEY[key]
    inputs = drawn(criterion, data.draw)
    before = value(criterion, inputs)
    after = value(criterion, {**inputs, name: inputs[name] * growth})
    slack = 1e-12 * abs(before)
    if criterion.monotonic_in[name] == "up":
        assert not after < before - slack
    else:
        assert not after > before + slack


WIDTHS = {
    "shot_mass": 0.07,
    "output_factor": 0.05,
    "diameter": 0.005,
    "stroke": 0.005,
    "swept_volume": 0.15,
    "melt_inventory": 0.35,
    "cycle_time": 0.05,
    "rate_in_resin": 0.20,
    "cooling_window": 0.40,
    "required_pressure": 0.50,
    "filling_rate": 0.12,
    "melt_pressure": 0.03,
    "injection_rate": 0.03,
    "quoted_power": 0.05,
    "ring_travel": 0.10,
    "position_scatter": 0.20,
    "rated_speed": 0.02,
    "hot_runner_volume": 0.10,
    "cushion": 0.10,
    "decompression": 0.10,
}
SAMPLES = 10_000
UNCAPPED = {"screw_speed_max": np.inf}
"""A value that stands at a cap has no width to show."""


def test_the_corners_enclose_ten_thousand_samples(for_each):
    """Monte Carlo with a seeded generator, every uncertain input even over its interval."""

    @for_each(product([criterion.key for criterion in ALL if criterion.numeric], range(5)))
    def _(key, seed):
        criterion = BY_KEY[key]
        rng = np.random.default_rng(seed)
        intervals, samples = {}, {}
        for name in criterion.monotonic_in:
            nominal = UNCAPPED.get(name, rng.uniform(*RANGES[name]))
            width = WIDTHS.get(name, 0.0)
            low, high = nominal * (1.0 - width), nominal * (1.0 + width)
            intervals[name] = Interval(
                *(np.full((1, 1), number) for number in (nominal, low, high))
            )
            samples[name] = (
                rng.uniform(low, high, (SAMPLES, 1)) if width else intervals[name].nominal
            )
        for name, other in TOGETHER.items():
            if name in intervals and other in intervals:
                intervals[name], samples[name] = intervals[other], samples[other]
            elif name in intervals:
                intervals[name] = exact(intervals[name].nominal)
                samples[name] = intervals[name].nominal
        interval = bounded(criterion.value, criterion.monotonic_in, intervals)
        found = criterion.value(**samples)
        assert found.min() >= interval.low[0, 0] * (1.0 - 1e-12)
        assert found.max() <= interval.high[0, 0] * (1.0 + 1e-12)
        # The bound is not idle: samples come within half of it on either side.
        width = interval.high[0, 0] - interval.low[0, 0]
        assert found.max() - found.min() >= 0.3 * width > 0.0


def test_a_value_without_uncertain_inputs_has_no_width():
    criterion = BY_KEY["utilisation"]
    intervals = {name: exact(np.full((1, 1), RANGES[name][0])) for name in criterion.monotonic_in}
    interval = bounded(criterion.value, criterion.monotonic_in, intervals)
    assert interval.low is interval.nominal
    assert interval.high is interval.nominal


@given(data=st.data())
def test_every_criterion_gives_its_edge_back_at_its_shot_volume(judged, data):
    """The shot volume of a hard edge, put in as a shot, stands exactly on that edge."""
    key = data.draw(st.sampled_from([c.key for c in ALL if c.numeric and c.key != "pressure"]))
    diameter = data.draw(st.integers(20, 120))
    stroke = data.draw(st.integers(3 * diameter, 6 * diameter))
    mass = data.draw(st.integers(1, 900))
    barrel = {
        "screw_diameter": f"{diameter}.0000000000 mm",
        "stroke": f"{stroke}.0000000000 mm",
    }
    cushion = data.draw(st.sampled_from([None, "0 mm", "8 mm"]))
    job = {"shot_mass": f"{mass} g ±0", "cushion": cushion}
    result = judged(key, barrel=barrel, job=job)
    for volume, edges in (
        (result.shot_volume_low, (result.allowed_low, result.allowed_high)),
        (result.shot_volume_high, (result.allowed_low, result.allowed_high)),
    ):
        if not volume:
            continue
        at_edge = {**job, "shot_mass": f"{volume * 1e6:.15f} g ±0"}
        again = judged(key, barrel=barrel, job=at_edge)
        assert min(abs(again.value / edge - 1.0) for edge in edges if edge) < 1e-9
        assert again.state != "outside"
