"""Criteria of plasticising: how long the melt stays, and whether it is ready in time."""

from __future__ import annotations

import numpy as np

from evenbarrel.appraisal.criteria.definition import Criterion, Edges, Flags
from evenbarrel.appraisal.criteria.size import DIAMETER, MASS, SHOT, cushion_or_default
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.trade import filling, recovery, residence
from evenbarrel.trade.formula import Array
from evenbarrel.trade.geometry import peripheral_speed, rotational_speed, screw_area

TOUCH = 1e-9
"""Touching the limit counts as in: how far rounding may carry a speed past it, as a share."""


def _residence(
    melt_inventory: Array,
    cycle_time: Array,
    shot_mass: Array,
    output_factor: Array,
    nominal_diameter: Array,
    cushion: Array,
    hot_runner_volume: Array,
    melt_density: Array,
) -> Array:
    area = screw_area(nominal_diameter)
    stroke = filling.shot_stroke(filling.shot_volume(shot_mass, output_factor), area)
    return residence.mean_residence_time(
        melt_inventory,
        cushion_or_default(cushion, stroke) * area,
        hot_runner_volume,
        melt_density,
        shot_mass,
        cycle_time,
    )


def _residence_volume(time: Array, inputs: CriterionInputs) -> Array:
    area = screw_area(inputs.nominal_diameter.nominal)
    cushion = inputs.cushion.nominal
    common = (
        inputs.hot_runner_volume.nominal,
        inputs.melt_density.nominal,
        inputs.output_factor.nominal,
        inputs.cycle_time.nominal,
    )
    inventory = inputs.melt_inventory.nominal
    given = residence.shot_volume_at_residence(time, inventory, cushion * area, *common)
    assumed = residence.shot_volume_at_residence_default_cushion(time, inventory, area, *common)
    return np.where(np.isnan(cushion), assumed, given)


RESIDENCE = Criterion(
    key="residence",
    basis="resin",
    unit="s",
    monotonic_in={
        "melt_inventory": "up",
        "cycle_time": "up",
        "shot_mass": "down",
        "output_factor": "down",
        "nominal_diameter": "none",
        "cushion": "up",
        "hot_runner_volume": "up",
        "melt_density": "none",
    },
    value=_residence,
    edges=lambda inputs: Edges(
        allowed_high=inputs.residence_limit.nominal,
        unconfirmed_high=inputs.residence_soft.nominal > 0,
        estimated=inputs.inventory_assumed.nominal > 0,
        # Without the hot runner's volume it is a lower bound.
        only_outside=np.isnan(inputs.hot_runner_known.nominal),
    ),
    needs=SHOT
    | {
        "melt_inventory": ("melt_inventory",),
        "nominal_diameter": ("screw_diameter",),
        "cycle_time": ("cycle_time",),
        "melt_density": ("melt_density",),
        "residence_limit": ("residence_limits",),
        "hot_runner_known": ("hot_runner_volume",),
    },
    supplier=((("melt_inventory",), ("feed_depth", "metering_depth", "length_ratio", "zones")),),
    shot_volume=_residence_volume,
    grows_with_shot=False,
    source="definition",
)


def _recovery(shot_mass: Array, rate_in_resin: Array, cooling_window: Array) -> Array:
    return recovery.recovery_share(recovery.recovery_time(shot_mass, rate_in_resin), cooling_window)


PLASTICISING = {
    "plasticising_rate": ("plasticising_rate",),
    "rated_resin": ("plasticising_resin",),
    "rate_conversion": ("melt_density", "enthalpy"),
    "window_route": ("cooling_time",),
}

PLASTICISING_RATE = ((("plasticising_rate",),), (("plasticising_resin",), ("reference_resin",)))


def _at_most_the_cycle(inputs: CriterionInputs) -> Flags:
    """Say where only the most that the window can be is known, so that the value is the least."""
    return np.isnan(inputs.window_route.nominal)


RECOVERY = Criterion(
    key="recovery",
    basis="practice",
    unit="1",
    monotonic_in={"shot_mass": "up", "rate_in_resin": "down", "cooling_window": "down"},
    value=_recovery,
    edges=lambda inputs: Edges(
        allowed_high=np.ones((1, 1)),
        comfort_high=inputs.recovery_share_limit.nominal,
        only_outside=_at_most_the_cycle(inputs),
    ),
    needs=MASS | PLASTICISING,
    supplier=PLASTICISING_RATE,
    shot_volume=lambda share, inputs: filling.shot_volume(
        recovery.shot_mass_at_recovery(
            share, inputs.rate_in_resin.nominal, inputs.cooling_window.nominal
        ),
        inputs.output_factor.nominal,
    ),
    source="common_practice",
)


def _fastest(inputs: CriterionInputs) -> Array:
    return peripheral_speed(inputs.nominal_diameter.nominal, inputs.screw_speed_max.nominal)


def _never_too_fast(fastest: Array, limit: Array) -> Flags:
    """Say where a screw at its greatest speed stays within the resin's limit."""
    return fastest <= limit * (1.0 + TOUCH)


def _screw_speed(
    shot_mass: Array,
    rate_in_resin: Array,
    cooling_window: Array,
    rated_speed: Array,
    screw_speed_max: Array,
    nominal_diameter: Array,
    peripheral_speed_limit: Array,
) -> Array:
    needed = peripheral_speed(
        nominal_diameter,
        recovery.needed_screw_speed(rated_speed, shot_mass, rate_in_resin, cooling_window),
    )
    fastest = peripheral_speed(nominal_diameter, screw_speed_max)
    # What the recovery asks beyond the screw's greatest speed is for `recovery` to tell. Where
    # the greatest speed is within the limit nothing need be known of the recovery.
    unknown = np.isnan(needed) & ~_never_too_fast(fastest, peripheral_speed_limit)
    return np.where(unknown, np.nan, np.fmin(needed, fastest))


def _screw_speed_edges(inputs: CriterionInputs) -> Edges:
    limit, comfort = (
        inputs.peripheral_speed_limit.nominal,
        inputs.recovery_share_limit.nominal,
    )
    always = _never_too_fast(_fastest(inputs), limit)
    return Edges(
        allowed_high=limit,
        comfort_high=np.where(always, limit, limit * comfort),
        unconfirmed_high=inputs.peripheral_speed_soft.nominal > 0,
        estimated=inputs.rated_speed_assumed.nominal > 0,
        only_outside=_at_most_the_cycle(inputs) & ~always,
    )


def _screw_speed_volume(speed: Array, inputs: CriterionInputs) -> Array:
    mass = recovery.shot_mass_at_screw_speed(
        rotational_speed(inputs.nominal_diameter.nominal, speed),
        inputs.rated_speed.nominal,
        inputs.rate_in_resin.nominal,
        inputs.cooling_window.nominal,
    )
    volume = filling.shot_volume(mass, inputs.output_factor.nominal)
    return np.where(_never_too_fast(_fastest(inputs), speed), np.inf, volume)


SCREW_SPEED = Criterion(
    key="screw_speed",
    basis="resin",
    unit="m/s",
    monotonic_in={
        "shot_mass": "up",
        "rate_in_resin": "down",
        "cooling_window": "down",
        "rated_speed": "up",
        "screw_speed_max": "none",
        "nominal_diameter": "none",
        "peripheral_speed_limit": "none",
    },
    value=_screw_speed,
    edges=_screw_speed_edges,
    needs=MASS
    | DIAMETER
    | PLASTICISING
    | {
        "rated_speed": ("plasticising_speed",),
        "peripheral_speed_limit": ("peripheral_speed_limit",),
    },
    supplier=((("plasticising_speed",),), (("screw_speed_max",),)),
    shot_volume=_screw_speed_volume,
    source="common_practice",
)
