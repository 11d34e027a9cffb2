"""Density of the melt, from an equation of state, a data sheet or the parts of a compound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evenbarrel.trade.formula import N, Number, exp, formula, log, only_where, square_root

TAIT_CONSTANT = 0.0894
"""C of the Tait equation, common to all polymers [-]."""

CELSIUS_ZERO = 273.15
"""0 degC [K]."""

SHARE_TOLERANCE = 1e-6
"""How far the mass shares of a compound may miss one [-]."""

TaitForm = Literal["polynomial", "exponential", "exponential_kelvin", "power_kelvin"]


@dataclass(frozen=True, slots=True)
class TaitSet:
    """Coefficients of V(p,T) = V(0,T) {1 - 0.0894 ln[1 + p / B(T)]} and the range of their fit.

    With t in degC and T in K, V(0,T) [m3/kg] and the coefficients are, by form:

    polynomial          A0 + A1 t + A2 t²       (A0, A1, A2, B0, B1)
    exponential         A3 exp(A4 t)            (A3, A4, B0, B1)
    exponential_kelvin  A3 exp(A4 T)            (A3, A4, B0, B1)
    power_kelvin        A5 exp(A6 T^1.5)        (A5, A6, B0, B1)

    B(T) = B0 exp(-B1 t) in all of them, B0 in Pa. Bounds None: not stated.
    """

    form: TaitForm
    coefficients: tuple[float, ...]
    t_low: float | None = None
    t_high: float | None = None
    p_high: float | None = None

    def __post_init__(self) -> None:
        needed = 5 if self.form == "polynomial" else 4
        if len(self.coefficients) != needed:
            raise ValueError(f"{self.form} needs {needed} coefficients: {self.coefficients}")

    def in_range(self, temperature: Number, pressure: Number) -> bool | NDArray[np.bool_]:
        """Whether temperature [K] and pressure [Pa] lie within the range of the fit, as stated."""
        coldest = -np.inf if self.t_low is None else self.t_low
        hottest = np.inf if self.t_high is None else self.t_high
        highest = np.inf if self.p_high is None else self.p_high
        warm = (temperature >= coldest) & (temperature <= hottest)
        return warm & (pressure >= 0) & (pressure <= highest)


@formula
def tait_density(tait: TaitSet, temperature: N, pressure: N) -> N:
    """ρ = 1 / (V(0,T) {1 - 0.0894 ln[1 + p / B(T)]}).

    Parameters
        tait: coefficients and their form [SI]
        temperature: melt temperature [K]
        pressure: melt pressure [Pa]

    Returns
        melt density [kg/m3]

    Valid range: extrapolates; `TaitSet.in_range` tells.
    Source: crc_wohlfarth
    """
    compressed = 1 - TAIT_CONSTANT * log(1 + pressure / _tait_pressure(tait, temperature))
    return 1 / (_volume_without_pressure(tait, temperature) * compressed)


def _tait_pressure(tait: TaitSet, temperature: N) -> N:
    start, decay = tait.coefficients[-2:]
    return start * exp(-decay * (temperature - CELSIUS_ZERO))


def _volume_without_pressure(tait: TaitSet, temperature: N) -> N:
    celsius = temperature - CELSIUS_ZERO
    if tait.form == "polynomial":
        constant, linear, square = tait.coefficients[:3]
        return constant + linear * celsius + square * celsius * celsius
    factor, rise = tait.coefficients[:2]
    if tait.form == "exponential":
        return factor * exp(rise * celsius)
    if tait.form == "exponential_kelvin":
        return factor * exp(rise * temperature)
    return factor * exp(rise * temperature * square_root(temperature))


@formula
def filled_density(mass_shares: Sequence[N], densities: Sequence[N]) -> N:
    """1 / ρ = Σ w_i / ρ_i.

    Parameters
        mass_shares: mass share of each part, matrix included, adding up to one [-]
        densities: density of each part, the matrix at melt density for a melt [kg/m3]

    Returns
        density of the compound [kg/m3]

    Valid range: nan where the shares do not add up to one within 1e-6; no voids, fillers
        taken as not expanding.
    Source: common_practice
    """
    total, volume = mass_shares[0], mass_shares[0] / densities[0]
    for share, density in zip(mass_shares[1:], densities[1:], strict=True):
        total, volume = total + share, volume + share / density
    return only_where(np.abs(total - 1) <= SHARE_TOLERANCE, 1 / volume)


@formula
def melt_density_from_flow(mass_flow_rate: N, volume_flow_rate: N) -> N:
    """ρ = MFR / MVR.

    Parameters
        mass_flow_rate: melt mass-flow rate, MFR [kg/s]
        volume_flow_rate: melt volume-flow rate, MVR, at the same condition [m3/s]

    Returns
        melt density at the test temperature and nearly no pressure [kg/m3]

    Valid range: both rates at one temperature and load.
    Source: iso_1133
    """
    return mass_flow_rate / volume_flow_rate
