"""How much of the swept volume a shot takes: factor, stroke, cushion, and the way back."""

from __future__ import annotations

from evenbarrel.trade.formula import N, formula, larger, smaller
from evenbarrel.trade.geometry import screw_area, stroke_in_diameters

DEFAULT_LEAK_SHARE = 0.05
"""Share of the swept melt that slips back past the ring [-]; common practice, no source."""

CUSHION_SHARE = 0.05
"""Cushion as a share of the shot stroke [-]; common practice, no source."""

CUSHION_LEAST = 0.003
"""Least cushion [m]; common practice, no source."""

DECOMPRESSION_DIAMETERS = 0.05
"""Decompression in screw diameters [-]; common practice, no source."""

HOT_RUNNER_RELIEF_SHARE = 0.04
"""What a hot runner's melt expands by when it is let off from some 50 MPa [-]; assumed."""

BY_VOLUME_CUSHION, BY_VOLUME_DECOMPRESSION = 1.05, 0.02
"""What cushion and decompression add where the volume alone is known and the stroke taken as
4 D [-]; common practice, no source."""


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
def convert_rated_mass(mass: N, reference_factor: N, running_factor: N) -> N:
    """m_run = m_ref f_run / f_ref.

    Parameters
        mass: rated shot mass in the reference resin [kg]
        reference_factor: factor of the reference resin [kg/m3]
        running_factor: factor of the resin run, by the same route [kg/m3]

    Returns
        shot mass of the same volume in the resin run [kg]

    Valid range: both factors by one route (trade table, melt density, solid density).
    Source: definition
    """
    return mass * running_factor / reference_factor


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
def default_cushion(shot_stroke: N) -> N:
    """s_cushion = max(0.05 s_shot, 3 mm).

    Parameters
        shot_stroke: stroke that sweeps the shot [m]

    Returns
        cushion where none is given [m]

    Valid range: an assumption for any stroke.
    Source: common_practice
    """
    return larger(CUSHION_SHARE * shot_stroke, CUSHION_LEAST)


@formula
def default_decompression(diameter: N) -> N:
    """s_decompression = 0.05 D.

    Parameters
        diameter: screw diameter [m]

    Returns
        decompression stroke where none is given [m]

    Valid range: an assumption for any diameter.
    Source: common_practice
    """
    return DECOMPRESSION_DIAMETERS * diameter


@formula
def hot_runner_relief(hot_runner_volume: N, area: N) -> N:
    """s_relief = 0.04 V_hot / A.

    Parameters
        hot_runner_volume: volume of melt in the hot runner [m3]
        area: area of the screw's front [m2]

    Returns
        stroke that takes up the melt let off from the hot runner [m]

    Valid range: melt let off from some 50 MPa.
    Source: common_practice
    """
    return HOT_RUNNER_RELIEF_SHARE * hot_runner_volume / area


@formula
def capacity_share(shot_stroke: N, cushion: N, decompression: N, relief: N, stroke: N) -> N:
    """(s_shot + s_cushion + s_decompression + s_relief) / s.

    Parameters
        shot_stroke: stroke that sweeps the shot [m]
        cushion: stroke left ahead of the screw [m]
        decompression: stroke drawn back without turning [m]
        relief: stroke that takes up what a hot runner lets off [m]
        stroke: greatest screw stroke [m]

    Returns
        share of the stroke in use [-]

    Valid range: exact; above one the shot cannot be metered.
    Source: definition
    """
    return (shot_stroke + cushion + decompression + relief) / stroke


@formula
def capacity_share_by_volume(shot_volume: N, swept_volume: N) -> N:
    """1.05 V_shot / V + 0.02.

    Parameters
        shot_volume: volume swept for one shot, without cushion [m3]
        swept_volume: swept volume of the barrel [m3]

    Returns
        share of the stroke in use [-]

    Valid range: where the volume alone is known; takes a stroke of 4 D.
    Source: common_practice
    """
    return BY_VOLUME_CUSHION * shot_volume / swept_volume + BY_VOLUME_DECOMPRESSION


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
def shot_volume_at_capacity(share: N, stroke: N, cushion: N, decompression: N, diameter: N) -> N:
    """V_shot = A (c s - s_cushion - s_decompression).

    Parameters
        share: share of the stroke in use [-]
        stroke: greatest screw stroke [m]
        cushion: a cushion that is given [m]
        decompression: stroke drawn back without turning, a hot runner's relief with it [m]
        diameter: screw diameter [m]

    Returns
        shot volume that has that share [m3]

    Valid range: exact; negative where cushion and decompression alone exceed the share.
    Source: definition
    """
    return screw_area(diameter) * (share * stroke - cushion - decompression)


@formula
def shot_volume_at_capacity_default_cushion(
    share: N, stroke: N, decompression: N, diameter: N
) -> N:
    """V_shot = A min[(c s - s_d) / 1.05, c s - s_d - 3 mm].

    Parameters
        share: share of the stroke in use [-]
        stroke: greatest screw stroke [m]
        decompression: stroke drawn back without turning, a hot runner's relief with it [m]
        diameter: screw diameter [m]

    Returns
        shot volume that has that share with the default cushion [m3]

    Valid range: exact; the cushion is the larger of two, so the shot is the smaller of two.
        Negative where cushion and decompression alone exceed the share.
    Source: common_practice
    """
    left = share * stroke - decompression
    fitting = smaller(left / (1 + CUSHION_SHARE), left - CUSHION_LEAST)
    return screw_area(diameter) * fitting


@formula
def shot_volume_at_capacity_by_volume(share: N, swept_volume: N) -> N:
    """V_shot = (c - 0.02) V / 1.05.

    Parameters
        share: share of the stroke in use [-]
        swept_volume: swept volume of the barrel [m3]

    Returns
        shot volume that has that share where the volume alone is known [m3]

    Valid range: takes a stroke of 4 D.
    Source: common_practice
    """
    return (share - BY_VOLUME_DECOMPRESSION) * swept_volume / BY_VOLUME_CUSHION


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
