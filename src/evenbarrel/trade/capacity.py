"""How much of the stroke a shot takes: cushion, decompression, relief, and the way back."""

from __future__ import annotations

from evenbarrel.trade.formula import N, formula, larger, smaller
from evenbarrel.trade.geometry import screw_area

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
