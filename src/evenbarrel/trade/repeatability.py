"""How far one shot differs from the next: screw position and check ring."""

from __future__ import annotations

from evenbarrel.trade.formula import N, formula

ASSUMED_RING_TRAVEL_DIAMETERS = 0.05
"""Check-ring travel in screw diameters where none is stated [-]; common practice, no source."""


@formula
def assumed_ring_travel(diameter: N) -> N:
    """0.05 D.

    Parameters
        diameter: screw diameter [m]

    Returns
        check-ring travel where none is stated [m]

    Valid range: an assumption for any diameter.
    Source: common_practice
    """
    return ASSUMED_RING_TRAVEL_DIAMETERS * diameter


@formula
def ring_share(ring_travel: N, shot_stroke: N) -> N:
    """s_ring / s_shot.

    Parameters
        ring_travel: travel of the check ring until it closes [m]
        shot_stroke: stroke that sweeps the shot [m]

    Returns
        share of the shot stroke spent on closing [-]

    Valid range: exact.
    Source: definition
    """
    return ring_travel / shot_stroke


@formula
def scatter_share(position_scatter: N, shot_stroke: N) -> N:
    """Δs / s_shot.

    Parameters
        position_scatter: scatter of the screw position from shot to shot [m]
        shot_stroke: stroke that sweeps the shot [m]

    Returns
        scatter of the swept volume [-]

    Valid range: the position's part only; the ring's closing comes on top.
    Source: definition
    """
    return position_scatter / shot_stroke


@formula
def shot_volume_at_stroke_share(distance: N, share: N, area: N) -> N:
    """V_shot = A x / share.

    Parameters
        distance: ring travel or position scatter [m]
        share: its share of the shot stroke [-]
        area: area of the screw's front [m2]

    Returns
        shot volume at which the distance has that share [m3]

    Valid range: exact; a lower bound for a greatest share.
    Source: definition
    """
    return distance / share * area
