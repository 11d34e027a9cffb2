"""How long the melt stays in the barrel, and how long a resin stands it.

Every time here is a mean: part of the melt stays much longer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

import numpy as np

from evenbarrel.trade.capacity import CUSHION_LEAST, CUSHION_SHARE
from evenbarrel.trade.formula import N, formula, larger, only_where

FEED_FILL = 0.6
"""Melt volume per channel volume of a feed zone full of pellets [-]; common practice."""

PITCH_DIAMETERS = 1.0
"""Pitch in screw diameters [-]; common practice, no source."""

FLIGHT_WIDTH_DIAMETERS = 0.1
"""Flight width in screw diameters [-]; common practice, no source."""

INVENTORY_PER_CUBE = 4.4
"""Inventory of a screw of 20 D in cubes of its diameter [-]; common practice, no source."""

USUAL_LENGTH_RATIO = 20.0
"""Length in screw diameters where none is stated [-]; common practice, no source."""

LONG_STROKE_DIAMETERS = 4.0
LONG_STROKE_FACTOR = 1.4
SHORT_STROKE_FACTOR = 2.0
"""The factor method's two factors and where they change [-]; common practice, no source."""

LIMIT_REACH = 5.0
"""How far above its highest point a residence limit still holds [K]; common practice."""


@formula
def screw_inventory(
    diameter: N,
    length: N,
    feed_share: N,
    compression_share: N,
    metering_share: N,
    feed_depth: N,
    metering_depth: N,
    pitch: N,
    flight_width: N,
    feed_fill: N,
) -> N:
    """V = (1 - e / pitch) L Σ share x mean of [π h (D - h)], the feed zone times its fill.

    Parameters
        diameter: screw diameter [m]
        length: flighted length of the screw [m]
        feed_share: feed zone's share of the length [-]
        compression_share: compression zone's share of the length [-]
        metering_share: metering zone's share of the length [-]
        feed_depth: channel depth of the feed zone [m]
        metering_depth: channel depth of the metering zone [m]
        pitch: axial advance of the flight in one turn [m]
        flight_width: axial width of the flight [m]
        feed_fill: melt volume per channel volume of the feed zone [-]

    Returns
        volume of melt in the screw channel [m3]

    Valid range: three-zone screws of one flight, depth falling linearly in compression.
    Source: definition
    """
    feed = np.pi * feed_depth * (diameter - feed_depth)
    metering = np.pi * metering_depth * (diameter - metering_depth)
    squares = feed_depth * feed_depth + feed_depth * metering_depth + metering_depth**2
    taper = np.pi * (diameter * (feed_depth + metering_depth) / 2 - squares / 3)
    area = feed_share * feed_fill * feed + compression_share * taper + metering_share * metering
    return (1 - flight_width / pitch) * length * area


@formula
def inventory_from_diameter(diameter: N, length_ratio: N) -> N:
    """V = 4.4 D³ (L/D) / 20.

    Parameters
        diameter: screw diameter [m]
        length_ratio: length in screw diameters [-]

    Returns
        volume of melt in the screw channel [m3]

    Valid range: a rule for three-zone screws; within about a third.
    Source: common_practice
    """
    return INVENTORY_PER_CUBE * diameter**3 * length_ratio / USUAL_LENGTH_RATIO


@formula
def mean_residence_time(
    inventory: N,
    cushion_volume: N,
    hot_runner_volume: N,
    melt_density: N,
    shot_mass: N,
    cycle_time: N,
) -> N:
    """t = (V_inventory + V_cushion + V_hot_runner) ρ / m x t_cycle.

    Parameters
        inventory: volume of melt in the screw channel [m3]
        cushion_volume: volume of melt left ahead of the screw [m3]
        hot_runner_volume: volume of melt in the hot runner [m3]
        melt_density: density of the melt [kg/m3]
        shot_mass: mass of one shot [kg]
        cycle_time: time from shot to shot [s]

    Returns
        mean residence time [s]

    Valid range: steady running; a mean, tails are longer.
    Source: definition
    """
    held = (inventory + cushion_volume + hot_runner_volume) * melt_density
    return held / shot_mass * cycle_time


@formula
def shot_volume_at_residence(
    residence_time: N,
    inventory: N,
    cushion_volume: N,
    hot_runner_volume: N,
    melt_density: N,
    factor: N,
    cycle_time: N,
) -> N:
    """V_shot = (V_inventory + V_cushion + V_hot_runner) ρ t_cycle / (f t).

    Parameters
        residence_time: mean residence time [s]
        inventory: volume of melt in the screw channel [m3]
        cushion_volume: a cushion that is given, as volume [m3]
        hot_runner_volume: volume of melt in the hot runner [m3]
        melt_density: density of the melt [kg/m3]
        factor: mass delivered per volume swept [kg/m3]
        cycle_time: time from shot to shot [s]

    Returns
        shot volume that has that residence time [m3]

    Valid range: as for the mean residence time.
    Source: definition
    """
    held = (inventory + cushion_volume + hot_runner_volume) * melt_density
    return held * cycle_time / (factor * residence_time)


@formula
def shot_volume_at_residence_default_cushion(
    residence_time: N,
    inventory: N,
    area: N,
    hot_runner_volume: N,
    melt_density: N,
    factor: N,
    cycle_time: N,
) -> N:
    """V_shot = max[(V + A 3 mm) ρ t_cycle / (f t), V ρ t_cycle / (f t - 0.05 ρ t_cycle)].

    Parameters
        residence_time: mean residence time [s]
        inventory: volume of melt in the screw channel [m3]
        area: area of the screw's front [m2]
        hot_runner_volume: volume of melt in the hot runner, in V with the inventory [m3]
        melt_density: density of the melt [kg/m3]
        factor: mass delivered per volume swept [kg/m3]
        cycle_time: time from shot to shot [s]

    Returns
        shot volume that has that residence time with the default cushion [m3]

    Valid range: exact; infinite where the cushion alone, growing with the shot, stays too long.
    Source: common_practice
    """
    passing = factor * residence_time
    turned = melt_density * cycle_time
    least = (inventory + hot_runner_volume + CUSHION_LEAST * area) * turned / passing
    left = larger(passing - CUSHION_SHARE * turned, 0.0)
    return larger(least, (inventory + hot_runner_volume) * turned / left)


@formula
def residence_by_factor(largest_shot: N, shot: N, stroke_in_diameters: N, cycle_time: N) -> N:
    """t = k M / S x t_cycle, k = 2 below 4 D of stroke, 1.4 from there.

    Parameters
        largest_shot: largest shot of the barrel in the resin run [kg]
        shot: shot that is run, or both as volumes [kg]
        stroke_in_diameters: greatest screw stroke in screw diameters [-]
        cycle_time: time from shot to shot [s]

    Returns
        residence time [s]

    Valid range: shown beside the inventory method, never instead.
    Source: common_practice
    """
    # A step function, unlike a comparison, lets nan through.
    is_long: N = np.heaviside(stroke_in_diameters - LONG_STROKE_DIAMETERS, 1.0)
    factor = SHORT_STROKE_FACTOR + (LONG_STROKE_FACTOR - SHORT_STROKE_FACTOR) * is_long
    return factor * largest_shot / shot * cycle_time


@formula
def residence_limit(temperature: N, temperatures: Sequence[float], times: Sequence[float]) -> N:
    """ln t linear in temperature between the points of one resin.

    Parameters
        temperature: melt temperature [K]
        temperatures: temperatures of the points, in any order [K]
        times: longest stay at each of them [s]

    Returns
        longest stay at the temperature [s]

    Valid range: below the lowest point its time; up to 5 K above the highest its time; nan
        beyond, and without points.
    Source: common_practice
    """
    if not temperatures:
        return only_where(False, temperature)
    points = sorted(zip(temperatures, times, strict=True))
    known, logarithms = [point[0] for point in points], [np.log(point[1]) for point in points]
    stay = np.exp(np.interp(cast(Any, temperature), known, logarithms))
    return only_where(temperature <= known[-1] + LIMIT_REACH, cast(N, stay))
