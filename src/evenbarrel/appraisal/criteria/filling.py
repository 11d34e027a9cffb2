"""Criteria of filling: pressure, rate and power that a job asks of the drive."""

from __future__ import annotations

import numpy as np

from evenbarrel.appraisal.criteria.definition import Criterion, Edges
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.trade import filling
from evenbarrel.trade.formula import Array
from evenbarrel.trade.geometry import injection_power

ONE = np.ones((1, 1))


def _pressure_edges(inputs: CriterionInputs) -> Edges:
    return Edges(
        allowed_high=ONE,
        comfort_high=inputs.pressure_share_limit.nominal,
        estimated=inputs.required_pressure_estimated.nominal > 0,
    )


def _volume_of_estimate(
    share: Array, inputs: CriterionInputs, value: Array, exponent: Array
) -> Array:
    """Return the shot volume at which `value`, a power of it by `exponent`, is `share` [m3]."""
    volume = filling.shot_volume(inputs.shot_mass.nominal, inputs.output_factor.nominal)
    return np.asarray(volume * (share / value) ** (1.0 / exponent), dtype=np.float64)


def _pressure_volume(share: Array, inputs: CriterionInputs) -> Array:
    value = inputs.required_pressure.nominal / inputs.melt_pressure.nominal
    return _volume_of_estimate(share, inputs, value, inputs.estimate_exponent.nominal)


PRESSURE = Criterion(
    key="pressure",
    basis="physical",
    unit="1",
    monotonic_in={"required_pressure": "up", "melt_pressure": "down"},
    value=lambda required_pressure, melt_pressure: required_pressure / melt_pressure,
    edges=_pressure_edges,
    needs={
        "required_pressure": ("required_pressure",),
        "melt_pressure": ("injection_pressure",),
    },
    supplier=((("injection_pressure",),),),
    shot_volume=_pressure_volume,
)


def _rate_volume(share: Array, inputs: CriterionInputs) -> Array:
    """Return the shot volume that takes `share` of the quoted rate in the job's fill time [m3]."""
    volume = filling.shot_volume_at_rate(
        share * inputs.injection_rate.nominal, inputs.fill_time.nominal
    )
    demanded = inputs.rate_demanded.nominal > 0
    return np.where(demanded, np.nan, volume)


RATE = Criterion(
    key="rate",
    basis="physical",
    unit="1",
    monotonic_in={"filling_rate": "up", "injection_rate": "down"},
    value=lambda filling_rate, injection_rate: filling_rate / injection_rate,
    edges=lambda inputs: Edges(allowed_high=ONE, comfort_high=inputs.rate_share_limit.nominal),
    needs={"filling_rate": ("fill_time",), "injection_rate": ("injection_rate",)},
    supplier=((("injection_rate",),),),
    shot_volume=_rate_volume,
)


def _power(required_pressure: Array, filling_rate: Array, quoted_power: Array) -> Array:
    return injection_power(required_pressure, filling_rate) / quoted_power


def _power_volume(share: Array, inputs: CriterionInputs) -> Array:
    pressure, quoted = inputs.required_pressure.nominal, inputs.quoted_power.nominal
    given = filling.shot_volume_at_power(share * quoted, pressure, inputs.fill_time.nominal)
    value = _power(pressure, inputs.filling_rate.nominal, quoted)
    # Rate and estimated pressure both grow with the shot.
    exponent = inputs.estimate_exponent.nominal
    estimated = _volume_of_estimate(share, inputs, value, 1.0 + exponent)
    volume = np.where(np.isnan(exponent), given, estimated)
    demanded = inputs.rate_demanded.nominal > 0
    return np.where(demanded, np.nan, volume)


POWER = Criterion(
    key="power",
    basis="physical",
    unit="1",
    monotonic_in={"required_pressure": "up", "filling_rate": "up", "quoted_power": "down"},
    value=_power,
    edges=lambda inputs: Edges(
        allowed_high=ONE, estimated=inputs.required_pressure_estimated.nominal > 0
    ),
    needs={
        "required_pressure": ("required_pressure",),
        "filling_rate": ("fill_time",),
        "quoted_power": ("injection_power",),
    },
    supplier=((("injection_power",),),),
    shot_volume=_power_volume,
)
