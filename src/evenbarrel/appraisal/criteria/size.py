"""Criteria of size: how much of the stroke and of the swept volume a shot takes."""

from __future__ import annotations

import numpy as np

from evenbarrel.appraisal.criteria.definition import Criterion, Edges, Flags
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.trade import capacity, filling, repeatability
from evenbarrel.trade.formula import Array
from evenbarrel.trade.geometry import screw_area

MASS = {"shot_mass": ("shot_mass",)}
SHOT = MASS | {"output_factor": ("output_factor",)}
VOLUME = {"swept_volume": ("swept_volume",)}
DIAMETER = {"diameter": ("screw_diameter",)}

OF_VOLUME = (
    ("swept_volume",),
    ("screw_diameter", "stroke"),
    ("rated_shot_mass", "reference_factor"),
    ("rated_shot_mass", "reference_resin"),
)
TWO_OF_THREE = (
    ("screw_diameter", "stroke"),
    ("swept_volume", "stroke"),
    ("swept_volume", "screw_diameter"),
)
OF_DIAMETER = (("screw_diameter",), ("swept_volume", "stroke"))
"""What a supplier may state for the swept volume, for a whole barrel, and for the diameter."""


def cushion_or_default(cushion: Array, shot_stroke: Array) -> Array:
    """Return the given cushion, or the assumed one where none is given [m]."""
    return np.where(np.isnan(cushion), capacity.default_cushion(shot_stroke), cushion)


def decompression_or_default(decompression: Array, nominal_diameter: Array) -> Array:
    """Return the given decompression, or the assumed one where none is given [m]."""
    assumed = capacity.default_decompression(nominal_diameter)
    return np.where(np.isnan(decompression), assumed, decompression)


def _capacity(
    shot_mass: Array,
    output_factor: Array,
    factor_of_volume: Array,
    diameter: Array,
    stroke: Array,
    swept_volume: Array,
    cushion: Array,
    decompression: Array,
    hot_runner_volume: Array,
    nominal_diameter: Array,
) -> Array:
    area = screw_area(diameter)
    shot_stroke = filling.shot_stroke(filling.shot_volume(shot_mass, output_factor), area)
    share = capacity.capacity_share(
        shot_stroke,
        cushion_or_default(cushion, shot_stroke),
        decompression_or_default(decompression, nominal_diameter),
        capacity.hot_runner_relief(hot_runner_volume, area),
        stroke,
    )
    if not np.isnan(share).any():
        return share
    shot_volume = filling.shot_volume(shot_mass, factor_of_volume)
    by_volume = capacity.capacity_share_by_volume(shot_volume, swept_volume)
    return np.where(np.isnan(share), by_volume, share)


def _volume_alone(inputs: CriterionInputs) -> Flags:
    return np.isnan(inputs.diameter.nominal) | np.isnan(inputs.stroke.nominal)


def _is_assumed(inputs: CriterionInputs) -> Flags:
    """Where the stroke is assumed and it matters: a shot larger than the swept volume fits none."""
    least_volume = filling.shot_volume(inputs.shot_mass.low, inputs.factor_of_volume.high)
    too_large = least_volume > inputs.swept_volume.high * (1.0 + 1e-12)
    return np.asarray(_volume_alone(inputs) & ~too_large)


def _capacity_volume(share: Array, inputs: CriterionInputs) -> Array:
    diameter, stroke = inputs.diameter.nominal, inputs.stroke.nominal
    cushion = inputs.cushion.nominal
    drawn_back = decompression_or_default(
        inputs.decompression.nominal, inputs.nominal_diameter.nominal
    ) + capacity.hot_runner_relief(inputs.hot_runner_volume.nominal, screw_area(diameter))
    assumed = capacity.shot_volume_at_capacity_default_cushion(share, stroke, drawn_back, diameter)
    given = capacity.shot_volume_at_capacity(share, stroke, cushion, drawn_back, diameter)
    volume = np.where(np.isnan(cushion), assumed, given)
    swept = inputs.swept_volume.nominal
    by_volume = capacity.shot_volume_at_capacity_by_volume(share, swept)
    return np.where(np.isnan(volume), by_volume, volume)


CAPACITY = Criterion(
    key="capacity",
    basis="physical",
    unit="1",
    monotonic_in={
        "shot_mass": "up",
        "output_factor": "down",
        "factor_of_volume": "down",
        "diameter": "down",
        "stroke": "down",
        "swept_volume": "down",
        "cushion": "up",
        "decompression": "up",
        "hot_runner_volume": "up",
        "nominal_diameter": "none",
    },
    value=_capacity,
    edges=lambda inputs: Edges(allowed_high=np.ones((1, 1)), estimated=_is_assumed(inputs)),
    # Asked for although a volume alone gives it: then the stroke is assumed.
    needs=SHOT | DIAMETER | {"stroke": ("stroke",)},
    supplier=(TWO_OF_THREE,),
    shot_volume=_capacity_volume,
)


def _utilisation(shot_mass: Array, factor_of_volume: Array, swept_volume: Array) -> Array:
    return filling.utilisation(filling.shot_volume(shot_mass, factor_of_volume), swept_volume)


def _utilisation_edges(inputs: CriterionInputs) -> Edges:
    return Edges(
        allowed_low=inputs.utilisation_low.nominal,
        allowed_high=inputs.utilisation_high.nominal,
        unconfirmed_low=inputs.utilisation_low_soft.nominal > 0,
        unconfirmed_high=inputs.utilisation_high_soft.nominal > 0,
    )


UTILISATION = Criterion(
    key="utilisation",
    basis="practice",
    unit="1",
    monotonic_in={"shot_mass": "up", "factor_of_volume": "down", "swept_volume": "down"},
    value=_utilisation,
    edges=_utilisation_edges,
    needs=SHOT
    | VOLUME
    | {"utilisation_low": ("resin_class",), "utilisation_high": ("resin_class",)},
    supplier=(OF_VOLUME,),
    any_unit=True,
    shot_volume=lambda share, inputs: filling.shot_volume_at_utilisation(
        share, inputs.swept_volume.nominal
    ),
    source="common_practice",
)


def _stroke(shot_mass: Array, output_factor: Array, diameter: Array) -> Array:
    volume = filling.shot_volume(shot_mass, output_factor)
    return filling.shot_stroke_in_diameters(volume, diameter)


def _stroke_edges(inputs: CriterionInputs) -> Edges:
    return Edges(
        allowed_low=inputs.stroke_low.nominal,
        allowed_high=inputs.stroke_high.nominal,
        comfort_low=inputs.stroke_comfort_low.nominal,
        comfort_high=inputs.stroke_comfort_high.nominal,
        unconfirmed_low=inputs.stroke_low_soft.nominal > 0,
        unconfirmed_high=inputs.stroke_high_soft.nominal > 0,
    )


STROKE = Criterion(
    key="stroke",
    basis="practice",
    unit="D",
    monotonic_in={"shot_mass": "up", "output_factor": "down", "diameter": "down"},
    value=_stroke,
    edges=_stroke_edges,
    needs=SHOT | DIAMETER,
    supplier=(OF_DIAMETER,),
    shot_volume=lambda diameters, inputs: filling.shot_volume_at_stroke(
        diameters, inputs.diameter.nominal
    ),
    source="common_practice",
)


def _shot_stroke(shot_mass: Array, output_factor: Array, diameter: Array) -> Array:
    volume = filling.shot_volume(shot_mass, output_factor)
    return filling.shot_stroke(volume, screw_area(diameter))


def _ring_share(
    ring_travel: Array, shot_mass: Array, output_factor: Array, diameter: Array
) -> Array:
    return repeatability.ring_share(ring_travel, _shot_stroke(shot_mass, output_factor, diameter))


def _ring_share_edges(inputs: CriterionInputs) -> Edges:
    return Edges(
        allowed_high=inputs.ring_share_limit.nominal,
        unconfirmed_high=inputs.ring_share_soft.nominal > 0,
        value_only=inputs.ring_travel_assumed.nominal > 0,
    )


RING_SHARE = Criterion(
    key="ring_share",
    basis="practice",
    unit="1",
    monotonic_in={
        "ring_travel": "up",
        "shot_mass": "down",
        "output_factor": "up",
        "diameter": "up",
    },
    value=_ring_share,
    edges=_ring_share_edges,
    needs=SHOT | DIAMETER | {"ring_travel_stated": ("ring_travel",)},
    supplier=((("ring_travel",),),),
    shot_volume=lambda share, inputs: repeatability.shot_volume_at_stroke_share(
        inputs.ring_travel.nominal, share, screw_area(inputs.diameter.nominal)
    ),
    grows_with_shot=False,
    source="common_practice",
)


def _repeatability(
    position_scatter: Array, shot_mass: Array, output_factor: Array, diameter: Array
) -> Array:
    shot_stroke = _shot_stroke(shot_mass, output_factor, diameter)
    return repeatability.scatter_share(position_scatter, shot_stroke)


REPEATABILITY = Criterion(
    key="repeatability",
    basis="practice",
    unit="1",
    monotonic_in={
        "position_scatter": "up",
        "shot_mass": "down",
        "output_factor": "up",
        "diameter": "up",
    },
    value=_repeatability,
    # The closing of the ring is not in it, so it is a lower bound.
    edges=lambda inputs: Edges(
        allowed_high=inputs.shot_mass_tolerance.nominal, only_outside=np.ones((1, 1)) > 0
    ),
    needs=SHOT
    | DIAMETER
    | {
        "position_scatter": ("position_scatter",),
        "shot_mass_tolerance": ("shot_mass_tolerance",),
    },
    supplier=((("position_scatter",),),),
    shot_volume=lambda share, inputs: repeatability.shot_volume_at_stroke_share(
        inputs.position_scatter.nominal, share, screw_area(inputs.diameter.nominal)
    ),
    grows_with_shot=False,
)
