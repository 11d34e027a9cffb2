"""Every shot of every job as columns of inputs: what the mould and its resin ask."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isnan

from evenbarrel.appraisal.inputs.barrel_inputs import own_half_width
from evenbarrel.appraisal.inputs.intervals import (
    SHOTS,
    Interval,
    along,
    carried_along,
    exact,
    intervals_along,
)
from evenbarrel.appraisal.results import Bound, JobResult, ResinResult, ShotResult
from evenbarrel.model.datum import si_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limit, Limits, Uncertainty, limit_origin, limit_value
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.trade import cooling, filling, flow, residence
from evenbarrel.trade.wear_corrosion import DEGREES, Degree


@dataclass(frozen=True, slots=True)
class Column:
    """One end of one job's shots; the first columns are the jobs' nominal ones."""

    job: int
    entered: Job
    resin: Resin | None
    result: ResinResult | None
    shot: ShotResult | None
    missing: Mapping[str, tuple[str, ...]]
    """What to ask for where shot mass or output factor is not to be had."""


def columns_of(
    evaluation: Evaluation, jobs: Sequence[JobResult], resins: Mapping[str, ResinResult]
) -> tuple[Column, ...]:
    """Return a column for each job's nominal shot, then one for each other end of any."""
    nominal, others = [], []
    for index, (job, result) in enumerate(zip(evaluation.jobs, jobs, strict=True)):
        resin = evaluation.resin(job.resin)
        of_resin = None if resin is None else resins[resin.id]
        of_factor = ("resin", "output_factor")
        missing = {
            "shot_mass": tuple(name for name in result.missing if name not in of_factor),
            "output_factor": tuple(name for name in result.missing if name in of_factor),
        }
        missing |= {
            "filling_rate": result.missing + (() if job.fill_time else ("fill_time",)),
            "residence_limit": _unlimited(job, resin),
        }
        if resin is None:
            missing |= dict.fromkeys(("utilisation_low", "utilisation_high"), ("resin",))
        nominal.append(Column(index, job, resin, of_resin, result.nominal, missing))
        others += [
            Column(index, job, resin, of_resin, shot, missing)
            for shot in result.shots
            if shot.end != "nominal"
        ]
    return (*nominal, *others)


def is_soft(resin: Resin | None, name: str, quantity: Quantity | None = None) -> bool:
    """Say whether a resin's limit was recalled from memory and no person confirmed it."""
    if resin is None or resin.origins.get(name) != "from_memory":
        return False
    return quantity is None or quantity.standing != "confirmed"


def _either(job: Job, resin: Resin | None, name: str) -> float | None:
    """Return a temperature of the job, else of its resin [K]."""
    own = si_of(job, name)
    return own if own is not None or resin is None else si_of(resin, name)


def _unlimited(job: Job, resin: Resin | None) -> tuple[str, ...]:
    """Return what to ask for where a resin's longest stay is not known."""
    if resin is None:
        return ("resin",)
    temperature = _either(job, resin, "melt_temperature")
    limits = ("residence_limits",)
    if temperature is not None:
        return limits
    return ("melt_temperature",) if resin.residence_limits else (*limits, "melt_temperature")


def cooling_by_formula(job: Job, resin: Resin | None) -> float | None:
    """Return the time from end of filling to ejection by the plate or cylinder formula [s].

    None where an input is missing, or outside the formula's range.
    """
    if resin is None:
        return None
    size, diffusivity = si_of(job, "wall_thickness"), si_of(resin, "diffusivity")
    melt = si_of(resin, "melt_temperature")
    mould = _either(job, resin, "mould_temperature")
    ejection = _either(job, resin, "ejection_temperature")
    if size is None or diffusivity is None or melt is None or mould is None or ejection is None:
        return None
    shape, target = job.cooling_shape or "plate", job.cooling_target or "centre"
    time = cooling.cooling_time(size, diffusivity, melt, mould, ejection, shape, target)
    return None if isnan(time) else time


def cooling_window(job: Job, resin: Resin | None, uncertainty: Uncertainty) -> Bound | None:
    """Return the time the screw may turn in [s]: cooling as given, or computed less hold.

    Screw delay shortens it, recovery past mould opening lengthens it; never below zero.
    """
    time, hold = si_of(job, "cooling_time"), 0.0
    route = "given" if time is not None else "computed"
    if time is None:
        time = cooling_by_formula(job, resin)
        stated_hold = si_of(job, "hold_time")
        if time is None or stated_hold is None:
            return None
        hold = stated_hold
    width = own_half_width(job, "cooling_time")
    if width is None:
        width = uncertainty.half_width("cooling_window", route)
    less = hold + (si_of(job, "screw_delay") or 0.0)
    less -= si_of(job, "recovery_during_opening") or 0.0
    nominal, low, high = (
        cooling.window_after_hold(t, less)
        for t in (time, time * (1.0 - width), time * (1.0 + width))
    )
    return Bound(nominal, low, high)


def filling_rate(column: Column) -> Bound | None:
    """Return the injection rate a shot asks for [m3/s]: as required, else volume / fill time."""
    required = si_of(column.entered, "required_rate")
    if required is not None:
        width = own_half_width(column.entered, "required_rate") or 0.0
        return Bound(required, required * (1.0 - width), required * (1.0 + width))
    time = si_of(column.entered, "fill_time")
    volume = None if column.shot is None else column.shot.volume
    if time is None or volume is None:
        return None
    width = own_half_width(column.entered, "fill_time") or 0.0
    return Bound(
        filling.filling_rate(volume.nominal, time),
        filling.filling_rate(volume.low, time * (1.0 + width)),
        filling.filling_rate(volume.high, time * (1.0 - width)),
    )


def estimated_pressure(column: Column) -> float | None:
    """Return the melt pressure by power-law flow through a slit [Pa], or None.

    One cavity's share of the rate, the flow path's wall, K shifted to the melt temperature; then
    flow.NOZZLE_SHARE of it for nozzle and runner.
    """
    job, resin, rate = column.entered, column.resin, filling_rate(column)
    law = None if resin is None else resin.power_law
    length, width = si_of(job, "flow_length"), si_of(job, "flow_width")
    wall = si_of(job, "flow_wall") or si_of(job, "wall_thickness")
    temperature = _either(job, resin, "melt_temperature")
    if law is None or rate is None or length is None or width is None or wall is None:
        return None
    if temperature is None or law.temperature_coefficient is None:
        return None
    fitted = law.temperature.si("temperature")
    consistency = flow.shifted_consistency(law.k, law.temperature_coefficient, temperature, fitted)
    through_one = rate.nominal / (job.cavities or 1)
    drop = flow.slit_pressure_drop(through_one, width, wall, length, consistency, law.n)
    pressure = flow.required_pressure(drop, flow.NOZZLE_SHARE)
    return None if isnan(pressure) else pressure


def required_pressure(column: Column, uncertainty: Uncertainty) -> Bound | None:
    """Return the peak melt pressure ahead of the screw tip [Pa]: given, else estimated."""
    pressure, route = si_of(column.entered, "required_pressure"), "given"
    if pressure is None:
        pressure, route = estimated_pressure(column), "estimated"
    if pressure is None:
        return None
    width = own_half_width(column.entered, "required_pressure")
    if width is None:
        width = uncertainty.half_width("required_pressure", route)
    return Bound(pressure, pressure * (1.0 - width), pressure * (1.0 + width))


def residence_limit(job: Job, resin: Resin | None) -> float | None:
    """Return the longest stay at the job's melt temperature [s], or None."""
    temperature = _either(job, resin, "melt_temperature")
    if resin is None or temperature is None or not resin.residence_limits:
        return None
    points = resin.residence_limits
    stay = residence.residence_limit(
        temperature,
        [point.temperature.si("temperature") for point in points],
        [point.time.si("time") for point in points],
    )
    return None if isnan(stay) else stay


def _residence_soft(resin: Resin | None) -> bool:
    confirmed = resin is not None and all(
        point.time.standing == "confirmed" for point in resin.residence_limits
    )
    return is_soft(resin, "residence_limits") and not confirmed


def utilisation_window(resin: Resin | None, limits: Limits) -> tuple[float | None, float | None]:
    """Return the lowest and highest share of volume for a resin: its own window, else its class's.

    A resin's own end counts only because a person entered or accepted it in the evaluation.
    """
    if resin is None:
        return None, None
    own = si_of(resin, "utilisation_low"), si_of(resin, "utilisation_high")
    by_class: tuple[float | None, float | None] = (None, None)
    if resin.resin_class is not None:
        low, high = (getattr(limits, f"{resin.resin_class}_{end}") for end in ("low", "high"))
        by_class = limit_value(low), limit_value(high)
    return (
        own[0] if own[0] is not None else by_class[0],
        own[1] if own[1] is not None else by_class[1],
    )


def _window_soft(resin: Resin | None, limits: Limits) -> bool:
    if resin is None:
        return False
    own = (resin.utilisation_low, resin.utilisation_high)
    if any(
        is_soft(resin, f"utilisation_{n}", q)
        for n, q in zip(("low", "high"), own, strict=True)
        if q
    ):
        return True
    if all(own) or resin.resin_class is None:
        return False
    edges = (getattr(limits, f"{resin.resin_class}_{end}") for end in ("low", "high"))
    return any(limit_origin(edge) == "from_memory" for edge in edges)


def _remembered(*limits: Limit) -> Interval:
    """Return a flag: whether any of these limits was recalled from memory."""
    return exact(along(SHOTS, [float(any(limit_origin(e) == "from_memory" for e in limits))]))


def _estimate_exponent(column: Column) -> float | None:
    """Return by which power of the shot an estimated pressure grows; None where it does not."""
    job, law = column.entered, None if column.resin is None else column.resin.power_law
    if law is None or job.required_pressure is not None or job.required_rate is not None:
        return None
    return law.n


def _peripheral_speed_soft(resin: Resin | None) -> bool:
    name = "peripheral_speed_limit"
    return resin is not None and is_soft(resin, name, resin.peripheral_speed_limit)


def _degree(resin: Resin | None, name: str) -> float | None:
    degree: Degree | None = None if resin is None else getattr(resin, name)
    return None if degree is None else float(DEGREES.index(degree))


def _cycle(job: Job, uncertainty: Uncertainty) -> Bound | None:
    time = si_of(job, "cycle_time")
    if time is None:
        return None
    width = own_half_width(job, "cycle_time")
    if width is None:
        width = uncertainty.half_width("cycle_time", "given")
    return Bound(time, time * (1.0 - width), time * (1.0 + width))


def _factor(column: Column) -> Bound | None:
    result = column.result
    if result is None or result.factor is None:
        return None
    low, high = (result.factor * (1.0 + sign * result.half_width) for sign in (-1.0, 1.0))
    return Bound(result.factor, low, high)


def _limit_inputs(limits: Limits) -> dict[str, Interval]:
    named = {
        "stroke_low": limits.stroke_low,
        "stroke_comfort_low": limits.stroke_comfort_low,
        "stroke_comfort_high": limits.stroke_comfort_high,
        "stroke_high": limits.stroke_high,
        "ring_share_limit": limits.ring_share,
        "recovery_share_limit": limits.recovery_share,
        "pressure_share_limit": limits.pressure_share,
        "rate_share_limit": limits.rate_share,
    }
    values = {name: exact(along(SHOTS, [limit_value(limit)])) for name, limit in named.items()}
    return values | {
        "stroke_soft": _remembered(limits.stroke_low, limits.stroke_high),
        "ring_share_soft": _remembered(limits.ring_share),
    }


@dataclass(frozen=True, slots=True)
class _Asked:
    """Turns what each column asks into an input of shape (1, shots)."""

    columns: Sequence[Column]

    def number(self, function: Callable[[Column], float | None]) -> Interval:
        return exact(along(SHOTS, map(function, self.columns)))

    def bound(self, function: Callable[[Column], Bound | None]) -> Interval:
        return intervals_along(SHOTS, map(function, self.columns))

    def flag(self, function: Callable[[Column], bool]) -> Interval:
        return self.number(lambda column: float(function(column)))

    def job(self, name: str) -> Interval:
        return self.number(lambda column: si_of(column.entered, name))

    def carried(self, name: str, absent: float | None = None) -> Interval:
        """A job's number with the half-width it carries, `absent` where it is not stated."""
        stated = (si_of(column.entered, name) for column in self.columns)
        numbers = (absent if number is None else number for number in stated)
        widths = (own_half_width(column.entered, name) for column in self.columns)
        return carried_along(SHOTS, numbers, widths)

    def resin(self, name: str) -> Interval:
        return self.number(lambda c: None if c.resin is None else si_of(c.resin, name))


def _size_inputs(asked: _Asked, limits: Limits) -> dict[str, Interval]:
    return {
        "shot_mass": asked.bound(lambda column: column.shot.mass if column.shot else None),
        "output_factor": asked.bound(_factor),
        "cushion": asked.carried("cushion"),
        "decompression": asked.carried("decompression"),
        "utilisation_low": asked.number(lambda c: utilisation_window(c.resin, limits)[0]),
        "utilisation_high": asked.number(lambda c: utilisation_window(c.resin, limits)[1]),
        "utilisation_soft": asked.flag(lambda column: _window_soft(column.resin, limits)),
        "shot_mass_tolerance": asked.job("shot_mass_tolerance"),
    }


def _plasticising_inputs(asked: _Asked, uncertainty: Uncertainty) -> dict[str, Interval]:
    return {
        "cycle_time": asked.bound(lambda column: _cycle(column.entered, uncertainty)),
        "hot_runner_volume": asked.carried("hot_runner_volume", absent=0.0),
        "melt_density": asked.number(lambda c: c.result.melt_density if c.result else None),
        "residence_limit": asked.number(lambda c: residence_limit(c.entered, c.resin)),
        "residence_soft": asked.flag(lambda column: _residence_soft(column.resin)),
        "cooling_window": asked.bound(lambda c: cooling_window(c.entered, c.resin, uncertainty)),
        "peripheral_speed_limit": asked.resin("peripheral_speed_limit"),
        "peripheral_speed_soft": asked.flag(lambda column: _peripheral_speed_soft(column.resin)),
    }


def _filling_inputs(asked: _Asked, uncertainty: Uncertainty) -> dict[str, Interval]:
    return {
        "fill_time": asked.job("fill_time"),
        "filling_rate": asked.bound(filling_rate),
        "rate_demanded": asked.flag(lambda column: column.entered.required_rate is not None),
        "required_pressure": asked.bound(lambda column: required_pressure(column, uncertainty)),
        "required_pressure_estimated": asked.flag(lambda c: c.entered.required_pressure is None),
        "estimate_exponent": asked.number(_estimate_exponent),
    }


def _attack_inputs(asked: _Asked) -> dict[str, Interval]:
    return {
        "abrasive": asked.number(lambda column: _degree(column.resin, "abrasive")),
        "abrasive_soft": asked.flag(lambda column: is_soft(column.resin, "abrasive")),
        "corrosive": asked.number(lambda column: _degree(column.resin, "corrosive")),
        "corrosive_soft": asked.flag(lambda column: is_soft(column.resin, "corrosive")),
    }


def job_inputs(
    columns: Sequence[Column], limits: Limits, uncertainty: Uncertainty
) -> dict[str, Interval]:
    """Return the inputs that depend on the job, each an array of shape (1, shots), and limits."""
    asked = _Asked(columns)
    return {
        **_size_inputs(asked, limits),
        **_plasticising_inputs(asked, uncertainty),
        **_filling_inputs(asked, uncertainty),
        **_attack_inputs(asked),
        **_limit_inputs(limits),
    }
