"""Every shot of every job as columns of inputs: what the mould and its resin ask."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import isnan

from evenbarrel.appraisal.inputs.barrel_inputs import RING_BITS
from evenbarrel.appraisal.inputs.intervals import (
    SHOTS,
    Interval,
    along,
    around,
    carried_along,
    exact,
    intervals_along,
    own_half_width,
)
from evenbarrel.appraisal.inputs.shots import hot_runner_open
from evenbarrel.appraisal.inputs.window import cycle_time, either
from evenbarrel.appraisal.results import (
    Bound,
    JobResult,
    RecoveryWindow,
    ResinResult,
    ShotResult,
)
from evenbarrel.model.datum import si_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limit, Limits, Uncertainty, limit_origin, limit_value
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.trade import filling, flow, residence
from evenbarrel.trade.wear_corrosion import Degree, degree_of


@dataclass(frozen=True, slots=True)
class Column:
    """One end of one job's shots; the first columns are the jobs' nominal ones."""

    job: int
    entered: Job
    resin: Resin | None
    result: ResinResult | None
    shot: ShotResult | None
    window: RecoveryWindow | None
    missing: Mapping[str, tuple[str, ...]]
    """What to ask for where an input is not to be had; () where this job does not need it."""


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
        missing |= dict.fromkeys(_not_wanted(resin), ())
        if resin is None:
            missing |= dict.fromkeys(
                ("utilisation_low", "utilisation_high", "screw_wishes"), ("resin",)
            )
        of_job = (index, job, resin, of_resin)
        nominal.append(Column(*of_job, result.nominal, result.window, missing))
        others += [
            Column(*of_job, shot, result.window, missing)
            for shot in result.shots
            if shot.end != "nominal"
        ]
    return (*nominal, *others)


def _not_wanted(resin: Resin | None) -> Iterator[str]:
    """Yield what the resin does not care about of a screw's geometry."""
    if resin is None or resin.length_ratio_low is None:
        yield "length_ratio"
    if resin is None or (resin.compression_low is None and resin.compression_high is None):
        yield "compression_ratio"
    if resin is None or not resin.unsuited_rings:
        yield "ring_kind"


def is_soft(resin: Resin | None, name: str, quantity: Quantity | None = None) -> bool:
    """Say whether a resin's limit was recalled from memory and no person confirmed it."""
    if resin is None or resin.origins.get(name) != "from_memory":
        return False
    return quantity is None or quantity.standing != "confirmed"


def _unlimited(job: Job, resin: Resin | None) -> tuple[str, ...]:
    """Return what to ask for where a resin's longest stay is not known."""
    if resin is None:
        return ("resin",)
    temperature = either(job, resin, "melt_temperature")
    limits = ("residence_limits",)
    if temperature is not None:
        return limits
    return ("melt_temperature",) if resin.residence_limits else (*limits, "melt_temperature")


def _window_known(column: Column) -> float | None:
    """Return 1 where a route gives the window, None where the cycle alone bounds it, if that."""
    taken = None if column.window is None else column.window.taken
    return None if taken in (None, "cap") else 1.0


def filling_rate(column: Column) -> Bound | None:
    """Return the injection rate a shot asks for [m3/s]: as required, else volume / fill time."""
    required = si_of(column.entered, "required_rate")
    if required is not None:
        return around(required, own_half_width(column.entered, "required_rate") or 0.0)
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
    temperature = either(job, resin, "melt_temperature")
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
    return around(pressure, width)


def residence_limit(job: Job, resin: Resin | None) -> float | None:
    """Return the longest stay at the job's melt temperature [s], or None."""
    temperature = either(job, resin, "melt_temperature")
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


def _degree(resin: Resin | None, name: str) -> float:
    degree: Degree | None = None if resin is None else getattr(resin, name)
    return degree_of(degree)


def _factor(column: Column) -> Bound | None:
    result = column.result
    if result is None or result.factor is None:
        return None
    return around(result.factor, result.half_width)


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
        "hot_runner_volume": asked.carried("hot_runner_volume", absent=0.0),
        "decompression": asked.carried("decompression"),
        "utilisation_low": asked.number(lambda c: utilisation_window(c.resin, limits)[0]),
        "utilisation_high": asked.number(lambda c: utilisation_window(c.resin, limits)[1]),
        "utilisation_soft": asked.flag(lambda column: _window_soft(column.resin, limits)),
        "shot_mass_tolerance": asked.job("shot_mass_tolerance"),
    }


def _plasticising_inputs(asked: _Asked, uncertainty: Uncertainty) -> dict[str, Interval]:
    return {
        "cycle_time": asked.bound(lambda column: cycle_time(column.entered, uncertainty)),
        "hot_runner_known": asked.number(lambda c: None if hot_runner_open(c.entered) else 1.0),
        "melt_density": asked.number(lambda c: c.result.melt_density if c.result else None),
        "residence_limit": asked.number(lambda c: residence_limit(c.entered, c.resin)),
        "residence_soft": asked.flag(lambda column: _residence_soft(column.resin)),
        "cooling_window": asked.bound(lambda c: c.window.bound if c.window else None),
        "window_route": asked.number(_window_known),
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


def _unsuited_rings(resin: Resin | None) -> float | None:
    return None if resin is None else float(sum(RING_BITS[ring] for ring in resin.unsuited_rings))


def _wishes(resin: Resin | None) -> float | None:
    """Return 1 where the resin wants anything of a screw's geometry, else None."""
    return None if len(tuple(_not_wanted(resin))) == 3 else 1.0


def _compression_soft(resin: Resin | None) -> bool:
    return any(is_soft(resin, f"compression_{end}") for end in ("low", "high"))


def _geometry_inputs(asked: _Asked) -> dict[str, Interval]:
    return {
        "length_ratio_low": asked.resin("length_ratio_low"),
        "compression_low": asked.resin("compression_low"),
        "compression_high": asked.resin("compression_high"),
        "unsuited_rings": asked.number(lambda column: _unsuited_rings(column.resin)),
        "screw_wishes": asked.number(lambda column: _wishes(column.resin)),
        "length_ratio_soft": asked.flag(lambda c: is_soft(c.resin, "length_ratio_low")),
        "compression_soft": asked.flag(lambda c: _compression_soft(c.resin)),
        "rings_soft": asked.flag(lambda c: is_soft(c.resin, "unsuited_rings")),
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
        **_geometry_inputs(asked),
        **_limit_inputs(limits),
    }
