"""Pressure that filling a slit takes, for a power-law or a Newtonian melt.

Isothermal, no slip, width much greater than height: a freezing skin and the pressure's own effect
on viscosity push real values up.
"""

from __future__ import annotations

import numpy as np

from evenbarrel.trade.formula import N, exp, formula, only_where, power

NOZZLE_SHARE = 0.35
"""Pressure lost in nozzle and runner per pressure in the cavity [-]; common practice."""

FURTHEST_SHIFT = 15.0
"""How far the temperature of a power law may be shifted [K]; common practice, no source."""


@formula
def wall_shear_rate(rate: N, width: N, height: N, exponent: N) -> N:
    """γ = 2 (2n + 1) / n x Q / (W H²).

    Parameters
        rate: volume flow [m3/s]
        width: width of the slit [m]
        height: height of the slit [m]
        exponent: n of the power law [-]

    Returns
        shear rate at the wall [1/s]

    Valid range: width much greater than height.
    Source: osswald
    """
    return 2 * (2 * exponent + 1) / exponent * rate / (width * height * height)


@formula
def slit_pressure_drop(rate: N, width: N, height: N, length: N, consistency: N, exponent: N) -> N:
    """Δp = 2 K L / H x [2 (2n + 1) / n x Q / (W H²)]^n.

    Parameters
        rate: volume flow [m3/s]
        width: width of the slit [m]
        height: height of the slit [m]
        length: length of the slit [m]
        consistency: K of the power law at the melt temperature [Pa s^n]
        exponent: n of the power law [-]

    Returns
        pressure drop along the slit [Pa]

    Valid range: width much greater than height; isothermal, no slip.
    Source: osswald
    """
    stress = consistency * power(wall_shear_rate(rate, width, height, exponent), exponent)
    return 2 * length / height * stress


@formula
def shifted_consistency(consistency: N, coefficient: N, temperature: N, fit_temperature: N) -> N:
    """K(T) = K(T0) exp[-b (T - T0)].

    Parameters
        consistency: K of the power law at the temperature of its fit [Pa s^n]
        coefficient: b, nan where not known [1/K]
        temperature: melt temperature [K]
        fit_temperature: T0, temperature of the fit [K]

    Returns
        K of the power law at the melt temperature [Pa s^n]

    Valid range: up to 15 K away; nan beyond, and without a coefficient.
    Source: rao_schumacher
    """
    away = temperature - fit_temperature
    return only_where(np.abs(away) <= FURTHEST_SHIFT, consistency * exp(-coefficient * away))


@formula
def required_pressure(cavity_pressure_drop: N, nozzle_share: N) -> N:
    """p = Δp_cavity (1 + share).

    Parameters
        cavity_pressure_drop: pressure drop along the cavity [Pa]
        nozzle_share: pressure lost in nozzle and runner per that in the cavity, 0.35 [-]

    Returns
        peak melt pressure needed ahead of the screw tip [Pa]

    Valid range: an estimate.
    Source: common_practice
    """
    return cavity_pressure_drop * (1 + nozzle_share)
