"""The window for recovery: its interval holds whatever lies between its inputs' ends."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.inputs.recovery_window import recovery_window
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Uncertainty
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.trade.mould import cooling

TIMES = {
    "cycle_time": (8.0, 60.0),
    "cooling_time": (2.0, 40.0),
    "fill_time": (0.5, 5.0),
    "hold_time": (0.0, 15.0),
    "mould_motion_time": (1.0, 10.0),
    "screw_delay": (0.0, 3.0),
    "recovery_during_opening": (0.0, 6.0),
}
WIDE = {"cycle_time": 0.05, "cooling_time": 0.10, "mould_motion_time": 0.10}


def seconds(time: float) -> Quantity:
    return Quantity(magnitude=f"{time:.6f}", unit="s")


def by_hand(times: dict[str, float], by_formula: float | None) -> float | None:
    """The window for times that are known exactly, from the words of the rules."""
    known = dict.fromkeys(TIMES) | times
    hold, motion = known["hold_time"], known["mould_motion_time"]
    cap = inf
    if known["cycle_time"] is not None:
        off = (known[name] or 0.0 for name in ("fill_time", "hold_time", "mould_motion_time"))
        cap = known["cycle_time"] - sum(off)
    if known["cooling_time"] is not None:
        time = known["cooling_time"]
    elif None not in (known["cycle_time"], known["fill_time"], hold, motion):
        time = cap
    elif by_formula is not None and hold is not None and by_formula > hold:
        time = by_formula - hold
    elif cap < inf:
        time = cap
    else:
        return None
    delay, past = known["screw_delay"] or 0.0, known["recovery_during_opening"] or 0.0
    window = min(time, cap) - delay + (past if motion is None else min(past, motion))
    if known["cycle_time"] is not None:
        most = known["cycle_time"] - (known["fill_time"] or 0.0) - (hold or 0.0) - delay
        window = min(window, most)
    return max(0.0, window)


WALLED = {
    "wall_thickness": Quantity(magnitude="2.5", unit="mm"),
    "mould_temperature": Quantity(magnitude="35", unit="degC"),
    "ejection_temperature": Quantity(magnitude="80", unit="degC"),
}
STYRENE = Resin(
    id="ps",
    melt_temperature=Quantity(magnitude="220", unit="degC"),
    diffusivity=Quantity(magnitude="0.06", unit="mm2/s"),
    diffusivity_literature=Quantity(magnitude="0.117", unit="mm2/s"),
)


def plate(diffusivity: float, target: cooling.Target) -> float:
    return cooling.cooling_time(2.5e-3, diffusivity, 493.15, 308.15, 353.15, "plate", target)


@given(data=st.data(), walled=st.booleans(), seed=st.integers(0, 2**31))
def test_the_window_is_by_hand_and_its_interval_holds_a_hundred_samples(data, walled, seed):
    times = {
        name: round(data.draw(st.floats(*ends)), 6)
        for name, ends in TIMES.items()
        if data.draw(st.booleans())
    }
    entered = {name: seconds(time) for name, time in times.items()} | (WALLED if walled else {})
    found = recovery_window(Job(id="j", **entered), STYRENE, Uncertainty())
    centre = plate(0.06e-6, "centre") if walled else None
    nominal = by_hand(times, centre)
    if nominal is None:
        assert (found.bound, found.taken) == (None, None)
        return
    assert found.bound.nominal == pytest.approx(nominal, abs=1e-9)
    is_planned = "cycle_time" in times and "cooling_time" not in times
    longest = by_hand(times, None) if is_planned else nominal
    assert found.longest == pytest.approx(longest, abs=1e-9)
    rng = np.random.default_rng(seed)
    for _ in range(100):
        sample = {
            name: time * rng.uniform(1 - WIDE.get(name, 0.0), 1 + WIDE.get(name, 0.0))
            for name, time in times.items()
        }
        cooled = plate(rng.uniform(0.06e-6, 0.117e-6), rng.choice(["centre", "mean"]))
        window = by_hand(sample, cooled if walled else None)
        if window is None:
            # Cold before hold ends, and no cycle is planned: the mould opens as hold ends.
            window = by_hand(sample | {"cooling_time": 0.0}, None)
        assert found.bound.low - 1e-9 <= window <= found.bound.high + 1e-9


def test_what_the_cycle_leaves_may_be_less_than_nothing(planned):
    """Fill and hold longer than the cycle: no window, and the question says what is asked."""
    job = {"cycle_time": "6 s", "fill_time": "2 s", "hold_time": "5 s"}
    appraisal = appraise(planned(job=job))
    window = appraisal.job("j").window
    assert (window.bound.low, window.bound.nominal, window.bound.high) == (0.0, 0.0, 0.0)
    result = appraisal.fit("b", "j").criterion("recovery")
    assert (result.state, result.caution, result.value) == ("outside", "no_window_left", None)


def test_no_job_is_asked_about_a_cycle_that_adds_up_exactly(planned):
    job = {
        "cycle_time": "30.1 s",
        "fill_time": "1.1 s",
        "hold_time": "5.3 s",
        "mould_motion_time": "3.5 s",
        "cooling_time": "20.2 s",
    }
    assert appraise(planned(job=job)).job("j").window.beyond_cycle == ()
