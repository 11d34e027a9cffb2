"""What a job and its resin ask of a barrel: pressure, rate, stay, share of volume."""

from __future__ import annotations

from math import isnan
from typing import Literal

from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.inputs.intervals import around, own_half_width
from evenbarrel.appraisal.inputs.recovery_window import either
from evenbarrel.appraisal.results import Bound
from evenbarrel.model.datum import si_of
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limits, Uncertainty, limit_origin, limit_value
from evenbarrel.model.resin import Resin
from evenbarrel.trade import filling, residence
from evenbarrel.trade.mould import flow


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


def is_too_hot(job: Job, resin: Resin | None) -> bool:
    """Say whether the melt is hotter than any temperature for which the resin's stay is known."""
    known = resin is not None and either(job, resin, "melt_temperature") is not None
    limits = () if resin is None else resin.residence_limits
    return known and bool(limits) and residence_limit(job, resin) is None


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


def is_soft(resin: Resin | None, name: str) -> bool:
    """Say whether a resin's limit was recalled from memory; a confirmed one has no origin."""
    return resin is not None and resin.origins.get(name) == "from_memory"


def share_soft(resin: Resin | None, limits: Limits, end: Literal["low", "high"]) -> bool:
    """Say whether an end of a resin's share of volume was recalled from memory."""
    if resin is None:
        return False
    if getattr(resin, f"utilisation_{end}") is not None:
        return is_soft(resin, f"utilisation_{end}")
    if resin.resin_class is None:
        return False
    return limit_origin(getattr(limits, f"{resin.resin_class}_{end}")) == "from_memory"
