"""How much of the swept volume a shot takes: factor, stroke, rate, and the way back."""

from __future__ import annotations

from evenbarrel.trade.formula import N, formula
from evenbarrel.trade.geometry import screw_area, stroke_in_diameters

DEFAULT_LEAK_SHARE = 0.05
"""Share of the swept melt that slips back past the ring [-]; common practice, no source."""


@formula
def output_factor(melt_density: N, leak_share: N) -> N:
    """f = ρ (1 - x).

    Parameters
        melt_density: density of the melt at back pressure [kg/m3]
        leak_share: share of the swept melt that slips back past the ring [-]

    Returns
        mass delivered per volume swept [kg/m3]

    Valid range: leak share from 0 to 1.
    Source: definition
    """
    return melt_density * (1 - leak_share)


@formula
def implied_leak_share(factor: N, melt_density: N) -> N:
    """x = 1 - f / ρ.

    Parameters
        factor: mass delivered per volume swept [kg/m3]
        melt_density: density of the melt [kg/m3]

    Returns
        share of the swept melt that the factor takes as lost [-]

    Valid range: exact; negative where the factor exceeds the density.
    Source: definition
    """
    return 1 - factor / melt_density


@formula
def implied_factor(mass: N, volume: N) -> N:
    """f = m / V.

    Parameters
        mass: rated shot mass [kg]
        volume: swept volume [m3]

    Returns
        factor the rating was made with [kg/m3]

    Valid range: exact.
    Source: definition
    """
    return mass / volume


@formula
def planned_shot_mass(cavities: N, part_mass: N, runner_mass: N) -> N:
    """m = z m_part + m_runner.

    Parameters
        cavities: number of cavities [-]
        part_mass: mass of one part [kg]
        runner_mass: cold runner ejected each shot [kg]

    Returns
        mass of one shot [kg]

    Valid range: exact.
    Source: definition
    """
    return cavities * part_mass + runner_mass


@formula
def shot_volume(mass: N, factor: N) -> N:
    """V_shot = m / f.

    Parameters
        mass: mass of one shot, or a rated mass [kg]
        factor: mass delivered per volume swept [kg/m3]

    Returns
        volume swept for it [m3]

    Valid range: exact.
    Source: definition
    """
    return mass / factor


@formula
def shot_mass(volume: N, factor: N) -> N:
    """m = V f.

    Parameters
        volume: volume swept [m3]
        factor: mass delivered per volume swept [kg/m3]

    Returns
        mass delivered [kg]

    Valid range: exact.
    Source: definition
    """
    return volume * factor


@formula
def utilisation(shot_volume: N, swept_volume: N) -> N:
    """u = V_shot / V.

    Parameters
        shot_volume: volume swept for one shot, without cushion [m3]
        swept_volume: swept volume of the barrel [m3]

    Returns
        share of the swept volume in use [-]

    Valid range: exact.
    Source: definition
    """
    return shot_volume / swept_volume


@formula
def shot_stroke(shot_volume: N, area: N) -> N:
    """s_shot = V_shot / A.

    Parameters
        shot_volume: volume swept for one shot, without cushion [m3]
        area: area of the screw's front [m2]

    Returns
        stroke that sweeps it [m]

    Valid range: exact.
    Source: definition
    """
    return shot_volume / area


@formula
def shot_stroke_in_diameters(shot_volume: N, diameter: N) -> N:
    """s_shot / D = V_shot / (A D).

    Parameters
        shot_volume: volume swept for one shot, without cushion [m3]
        diameter: screw diameter [m]

    Returns
        shot stroke in screw diameters [-]

    Valid range: exact.
    Source: definition
    """
    return stroke_in_diameters(shot_volume / screw_area(diameter), diameter)


@formula
def shot_volume_at_utilisation(share: N, swept_volume: N) -> N:
    """V_shot = u V.

    Parameters
        share: share of the swept volume in use [-]
        swept_volume: swept volume of the barrel [m3]

    Returns
        shot volume that has that share [m3]

    Valid range: exact.
    Source: definition
    """
    return share * swept_volume


@formula
def shot_volume_at_stroke(diameters: N, diameter: N) -> N:
    """V_shot = k D A.

    Parameters
        diameters: shot stroke in screw diameters [-]
        diameter: screw diameter [m]

    Returns
        shot volume that has that stroke [m3]

    Valid range: exact.
    Source: definition
    """
    return diameters * diameter * screw_area(diameter)


@formula
def filling_rate(shot_volume: N, fill_time: N) -> N:
    """Q = V_shot / t_fill.

    Parameters
        shot_volume: volume swept for one shot, without cushion [m3]
        fill_time: time to fill the cavities [s]

    Returns
        injection rate the shot needs [m3/s]

    Valid range: a mean over the filling.
    Source: definition
    """
    return shot_volume / fill_time


@formula
def shot_volume_at_rate(rate: N, fill_time: N) -> N:
    """V_shot = Q t_fill.

    Parameters
        rate: injection rate [m3/s]
        fill_time: time to fill the cavities [s]

    Returns
        shot volume that needs that rate [m3]

    Valid range: a mean over the filling.
    Source: definition
    """
    return rate * fill_time


@formula
def shot_volume_at_power(power: N, pressure: N, fill_time: N) -> N:
    """V_shot = P t_fill / p.

    Parameters
        power: injection power [W]
        pressure: melt pressure needed, whatever the rate [Pa]
        fill_time: time to fill the cavities [s]

    Returns
        shot volume that needs that power [m3]

    Valid range: pressure and rate acting at once.
    Source: definition
    """
    return power * fill_time / pressure
