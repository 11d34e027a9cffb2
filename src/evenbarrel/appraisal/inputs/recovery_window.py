"""The time a screw may turn in: three routes to it, and what the planned cycle leaves at most."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import product
from math import inf, isnan

from evenbarrel.appraisal.inputs.intervals import around, own_half_width
from evenbarrel.appraisal.job_results import RecoveryWindow, WindowRoute
from evenbarrel.appraisal.results import Bound
from evenbarrel.model.datum import si_of
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Uncertainty
from evenbarrel.model.resin import Resin
from evenbarrel.trade.mould import cooling

TARGETS: tuple[cooling.Target, ...] = ("centre", "mean")

NOTHING = Bound(0.0, 0.0, 0.0)

TOUCH = 1e-9
"""How far rounding may carry a time past what the cycle leaves, as a share."""


def either(job: Job, resin: Resin | None, name: str) -> float | None:
    """Return a temperature of the job, else of its resin [K]; None if neither states it."""
    own = si_of(job, name)
    return own if own is not None or resin is None else si_of(resin, name)


def cycle_time(job: Job, uncertainty: Uncertainty) -> Bound | None:
    """Return the planned time from shot to shot [s]."""
    return _timed(job, "cycle_time", uncertainty, "cycle_time", "given")


def recovery_window(job: Job, resin: Resin | None, uncertainty: Uncertainty) -> RecoveryWindow:
    """Return the window of a job's shots by each route, and the one that counts."""
    cooling_bound = cooling_by_formula(job, resin, uncertainty)
    hold, cap = si_of(job, "hold_time"), _cap(job, uncertainty)
    routes: dict[WindowRoute, Bound] = {}
    given = _timed(job, "cooling_time", uncertainty, "cooling_window", "given")
    if given is not None:
        routes["given"] = given
    parts = ("fill_time", "hold_time", "mould_motion_time")
    if cap is not None and all(si_of(job, part) is not None for part in parts):
        routes["cycle"] = cap
    if cooling_bound is not None and hold is not None:
        routes["formula"] = _shifted(cooling_bound, -hold)
    taken = _taken(routes, cap)
    time = cap if taken == "cap" else None if taken is None else routes[taken]
    if time is not None and cap is not None and taken == "formula":
        # A part that is cold enough may wait in the mould as long as the planned cycle lets it.
        time = replace(time, high=max(time.high, cap.high))
    bound = None if time is None else _window(job, time, cap, uncertainty)
    in_cycle = bound if given is not None or cap is None else _window(job, cap, cap, uncertainty)
    return RecoveryWindow(
        routes=routes,
        cooling=cooling_bound,
        cap=cap,
        taken=taken,
        bound=bound,
        beyond_cycle=_beyond_cycle(given, cooling_bound, hold or 0.0, cap),
        longest=None if in_cycle is None else in_cycle.nominal,
    )


def _taken(routes: Mapping[WindowRoute, Bound], cap: Bound | None) -> WindowRoute | None:
    """Return the route that counts; a wall that is cold before hold ends tells no window."""
    for route, time in routes.items():
        if route != "formula" or time.nominal > 0.0:
            return route
    return None if cap is None else "cap"


def cooling_by_formula(job: Job, resin: Resin | None, uncertainty: Uncertainty) -> Bound | None:
    """Return the time from end of filling to ejection by the plate or cylinder formula [s].

    Its interval spans the effective and the literature diffusivity, centre and mean; where only
    one diffusivity is known, the nominal time's half-width. None where an input is missing, or
    outside the formula's range.
    """
    if resin is None:
        return None
    known = (si_of(resin, "diffusivity"), si_of(resin, "diffusivity_literature"))
    diffusivities = [value for value in known if value is not None]
    target = job.cooling_target or "centre"
    nominal = _cooling(job, resin, diffusivities[0], target) if diffusivities else None
    if nominal is None:
        return None
    if len(diffusivities) == 1:
        return around(nominal, uncertainty.half_width("cooling_window", "computed"))
    spanned = (_cooling(job, resin, a, t) for a, t in product(diffusivities, TARGETS))
    times = [time for time in spanned if time is not None]
    return Bound(nominal, min(times), max(times))


def _cooling(job: Job, resin: Resin, diffusivity: float, target: cooling.Target) -> float | None:
    # A job's own melt temperature acts on residence and pressure alone.
    size, melt = si_of(job, "wall_thickness"), si_of(resin, "melt_temperature")
    mould = either(job, resin, "mould_temperature")
    ejection = either(job, resin, "ejection_temperature")
    if size is None or melt is None or mould is None or ejection is None:
        return None
    shape = job.cooling_shape or "plate"
    time = cooling.cooling_time(size, diffusivity, melt, mould, ejection, shape, target)
    return None if isnan(time) else time


def _timed(
    job: Job, name: str, uncertainty: Uncertainty, quantity: str, route: str
) -> Bound | None:
    """Return a time of the job with the half-width it carries, else that of its route [s]."""
    time, width = si_of(job, name), own_half_width(job, name)
    if time is None:
        return None
    return around(time, uncertainty.half_width(quantity, route) if width is None else width)


def _motion(job: Job, uncertainty: Uncertainty) -> Bound | None:
    return _timed(job, "mould_motion_time", uncertainty, "cooling_window", "motion")


def _cap(job: Job, uncertainty: Uncertainty) -> Bound | None:
    """Return what the cycle leaves of itself from end of hold to opening [s], at most."""
    cycle, motion = cycle_time(job, uncertainty), _motion(job, uncertainty) or NOTHING
    if cycle is None:
        return None
    fill, hold = si_of(job, "fill_time") or 0.0, si_of(job, "hold_time") or 0.0
    return Bound(
        cooling.time_left_in_cycle(cycle.nominal, fill, hold, motion.nominal),
        cooling.time_left_in_cycle(cycle.low, fill, hold, motion.high),
        cooling.time_left_in_cycle(cycle.high, fill, hold, motion.low),
    )


def _window(job: Job, time: Bound, cap: Bound | None, uncertainty: Uncertainty) -> Bound:
    """Return the window that a time from end of hold to opening leaves [s]."""
    delay = si_of(job, "screw_delay") or 0.0
    past_opening = _past_opening(job, uncertainty)
    if cap is not None:
        time = _least(time, cap)
    longest = _longest(job, delay, uncertainty)
    return Bound(
        *(
            cooling.recovery_window(of_time, delay, past, most)
            for of_time, past, most in (
                (time.nominal, past_opening.nominal, longest.nominal),
                (time.low, past_opening.low, longest.low),
                (time.high, past_opening.high, longest.high),
            )
        )
    )


def _past_opening(job: Job, uncertainty: Uncertainty) -> Bound:
    """Return how long the screw turns on past mould opening [s]: no longer than the mould moves."""
    allowed, motion = si_of(job, "recovery_during_opening"), _motion(job, uncertainty)
    if allowed is None:
        return NOTHING
    whole = Bound(allowed, allowed, allowed)
    return whole if motion is None else _least(whole, motion)


def _longest(job: Job, delay: float, uncertainty: Uncertainty) -> Bound:
    """Return the time from screw start to the next shot [s]; infinite without a cycle."""
    cycle = cycle_time(job, uncertainty)
    if cycle is None:
        return Bound(inf, inf, inf)
    fill, hold = si_of(job, "fill_time") or 0.0, si_of(job, "hold_time") or 0.0
    return _shifted(cycle, -(fill + hold + delay))


def _beyond_cycle(
    given: Bound | None, by_formula: Bound | None, hold: float, cap: Bound | None
) -> tuple[WindowRoute, ...]:
    if cap is None:
        return ()
    asked: dict[WindowRoute, float] = {}
    if given is not None:
        asked["given"] = given.nominal
    if by_formula is not None:
        asked["formula"] = by_formula.nominal - hold
    most = cap.nominal + TOUCH * abs(cap.nominal)
    return tuple(route for route, time in asked.items() if time > most)


def _least(first: Bound, second: Bound) -> Bound:
    return Bound(
        min(first.nominal, second.nominal),
        min(first.low, second.low),
        min(first.high, second.high),
    )


def _shifted(bound: Bound, by: float) -> Bound:
    return Bound(bound.nominal + by, bound.low + by, bound.high + by)
