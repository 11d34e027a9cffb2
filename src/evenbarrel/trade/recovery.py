"""Plasticising: the rate in another resin, the time it takes, the speed it needs, the power."""

from __future__ import annotations

import numpy as np

from evenbarrel.trade.formula import N, formula, larger, smaller


@formula
def converted_rate(
    rate: N, density: N, reference_density: N, enthalpy: N, reference_enthalpy: N
) -> N:
    """r = r_ref min(1, ρ / ρ_ref, h_ref / h).

    Parameters
        rate: plasticising rate in the reference resin [kg/s]
        density: melt density of the resin run [kg/m3]
        reference_density: melt density of the reference resin [kg/m3]
        enthalpy: enthalpy from cold to melt of the resin run [J/kg]
        reference_enthalpy: the same of the reference resin [J/kg]

    Returns
        plasticising rate in the resin run at the same screw speed [kg/s]

    Valid range: a cautious bound, never above the quoted rate; not capped by screw speed.
    Source: common_practice
    """
    limit = smaller(density / reference_density, reference_enthalpy / enthalpy)
    return rate * smaller(limit, 1.0)


@formula
def rate_at_speed(rate: N, rated_speed: N, speed: N) -> N:
    """r = r_rated n / n_rated.

    Parameters
        rate: plasticising rate at the rated speed [kg/s]
        rated_speed: screw speed at which the rate holds [rev/s]
        speed: screw speed in use, or a limit [rev/s]

    Returns
        plasticising rate at that speed [kg/s]

    Valid range: drag flow, no slip; best close to the rated speed.
    Source: common_practice
    """
    return rate * speed / rated_speed


@formula
def recovery_time(shot_mass: N, rate: N) -> N:
    """t = m / r.

    Parameters
        shot_mass: mass of one shot [kg]
        rate: plasticising rate in the resin run [kg/s]

    Returns
        time the screw turns for one shot [s]

    Valid range: exact for a rate that holds over the stroke.
    Source: definition
    """
    return shot_mass / rate


@formula
def recovery_share(recovery_time: N, window: N) -> N:
    """t_recovery / t_window.

    Parameters
        recovery_time: time the screw turns for one shot [s]
        window: time it may turn in [s]

    Returns
        share of the window in use [-]

    Valid range: infinite where no window is left.
    Source: definition
    """
    return recovery_time / window


@formula
def shot_mass_at_recovery(share: N, rate: N, window: N) -> N:
    """m = share x t_window x r.

    Parameters
        share: share of the window in use [-]
        rate: plasticising rate in the resin run [kg/s]
        window: time the screw may turn in [s]

    Returns
        shot mass that takes that share [kg]

    Valid range: exact for a rate that holds over the stroke.
    Source: definition
    """
    return share * window * rate


@formula
def needed_screw_speed(rated_speed: N, shot_mass: N, rate: N, window: N) -> N:
    """n = n_rated m / (t_window r).

    Parameters
        rated_speed: screw speed at which the rate holds [rev/s]
        shot_mass: mass of one shot [kg]
        rate: plasticising rate in the resin run at the rated speed [kg/s]
        window: time the screw may turn in [s]

    Returns
        screw speed that recovers the shot in the whole window [rev/s]

    Valid range: rate in proportion to speed.
    Source: common_practice
    """
    return rated_speed * shot_mass / (window * rate)


@formula
def shot_mass_at_screw_speed(speed: N, rated_speed: N, rate: N, window: N) -> N:
    """m = n / n_rated x t_window x r.

    Parameters
        speed: screw speed, usually a limit [rev/s]
        rated_speed: screw speed at which the rate holds [rev/s]
        rate: plasticising rate in the resin run at the rated speed [kg/s]
        window: time the screw may turn in [s]

    Returns
        shot mass that needs that speed [kg]

    Valid range: rate in proportion to speed.
    Source: common_practice
    """
    return speed / rated_speed * window * rate


@formula
def seconds_lost(recovery_time: N, window: N) -> N:
    """t_lost = max(0, t_recovery - t_window).

    Parameters
        recovery_time: time the screw turns for one shot [s]
        window: time it may turn in [s]

    Returns
        time the cycle grows by [s]

    Valid range: none lost where the window suffices.
    Source: definition
    """
    return larger(recovery_time - window, 0.0)


@formula
def melting_power(rate: N, enthalpy: N) -> N:
    """P = r h.

    Parameters
        rate: plasticising rate [kg/s]
        enthalpy: enthalpy from cold to melt [J/kg]

    Returns
        power that goes into the melt [W]

    Valid range: exact; losses left out.
    Source: definition
    """
    return rate * enthalpy


@formula
def output_per_turn(rate: N, density: N, rotational_speed: N, diameter: N) -> N:
    """r / (ρ n D³).

    Parameters
        rate: plasticising rate [kg/s]
        density: melt density of the resin it holds in [kg/m3]
        rotational_speed: screw speed at that rate [rev/s]
        diameter: screw diameter [m]

    Returns
        volume of melt that one turn delivers, in cubed diameters [-]

    Valid range: 0.04 to 0.075 is usual, 0.027 to 0.11 possible.
    Source: common_practice
    """
    return rate / (density * rotational_speed * diameter**3)


@formula
def helix_angle(pitch: N, diameter: N) -> N:
    """φ = atan[pitch / (π D)].

    Parameters
        pitch: axial advance of the flight in one turn [m]
        diameter: screw diameter [m]

    Returns
        angle of the flight at the screw's diameter [rad]

    Valid range: exact.
    Source: definition
    """
    angle: N = np.arctan(pitch / (np.pi * diameter))
    return angle


@formula
def drag_flow(diameter: N, rotational_speed: N, depth: N, helix_angle: N) -> N:
    """Q = π² D² n h sin φ cos φ / 2.

    Parameters
        diameter: screw diameter [m]
        rotational_speed: turns in unit time [rev/s]
        depth: channel depth of the metering zone [m]
        helix_angle: angle of the flight [rad]

    Returns
        volume dragged forward in unit time [m3/s]

    Valid range: shallow full channel, Newtonian melt, flight width left out.
    Source: groover
    """
    turning = np.sin(helix_angle) * np.cos(helix_angle)
    flow: N = 0.5 * np.pi**2 * diameter * diameter * rotational_speed * depth * turning
    return flow
