"""Criteria of size: how much of the stroke and of the swept volume a shot takes."""

from __future__ import annotations

import numpy as np

from evenbarrel.appraisal.criteria.definition import Criterion, Edges
from evenbarrel.appraisal.inputs.intervals import Inputs
from evenbarrel.trade import filling, repeatability
from evenbarrel.trade.formula import Array
from evenbarrel.trade.geometry import screw_area

MASS = {"shot_mass": ("shot_mass",)}
SHOT = MASS | {"output_factor": ("output_factor",)}
VOLUME = {"swept_volume": ("swept_volume",)}
DIAMETER = {"diameter": ("screw_diameter",)}


def cushion_or_default(cushion: Array, shot_stroke: Array) -> Array:
    """Return the given cushion, or the assumed one where none is given [m]."""
    return np.where(np.isnan(cushion), filling.default_cushion(shot_stroke), cushion)


def decompression_or_default(decompression: Array, nominal_diameter: Array) -> Array:
    """Return the given decompression, or the assumed one where none is given [m]."""
    assumed = filling.default_decompression(nominal_diameter)
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
    nominal_diameter: Array,
) -> Array:
    volume = filling.shot_volume(shot_mass, output_factor)
    shot_stroke = filling.shot_stroke(volume, screw_area(diameter))
    share = filling.capacity_share(
        shot_stroke,
        cushion_or_default(cushion, shot_stroke),
        decompression_or_default(decompression, nominal_diameter),
        stroke,
    )
    if not np.isnan(share).any():
        return share
    # Without diameter or stroke the plain share of volume is a lower bound of it.
    return np.where(np.isnan(share), _utilisation(shot_mass, factor_of_volume, swept_volume), share)


def _capacity_edges(inputs: Inputs) -> Edges:
    unknown = np.isnan(inputs["diameter"].nominal) | np.isnan(inputs["stroke"].nominal)
    return Edges(allowed_high=np.ones((1, 1)), only_outside=unknown)


def _capacity_volume(share: Array, inputs: Inputs) -> Array:
    diameter, stroke = inputs["diameter"].nominal, inputs["stroke"].nominal
    cushion = inputs["cushion"].nominal
    decompression = decompression_or_default(
        inputs["decompression"].nominal, inputs["nominal_diameter"].nominal
    )
    assumed = filling.shot_volume_at_capacity_default_cushion(
        share, stroke, decompression, diameter
    )
    given = filling.shot_volume_at_capacity(share, stroke, cushion, decompression, diameter)
    # The lower bound of an unknown stroke caps the shot at the swept volume.
    whole = filling.shot_volume_at_utilisation(share, inputs["swept_volume"].nominal)
    volume = np.where(np.isnan(cushion), assumed, given)
    return np.where(np.isnan(volume), whole, volume)


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
        "nominal_diameter": "none",
    },
    value=_capacity,
    edges=_capacity_edges,
    needs=SHOT | DIAMETER | {"stroke": ("stroke",)},
    shot_volume=_capacity_volume,
)


def _utilisation(shot_mass: Array, factor_of_volume: Array, swept_volume: Array) -> Array:
    return filling.utilisation(filling.shot_volume(shot_mass, factor_of_volume), swept_volume)


def _utilisation_edges(inputs: Inputs) -> Edges:
    return Edges(
        allowed_low=inputs["utilisation_low"].nominal,
        allowed_high=inputs["utilisation_high"].nominal,
        unconfirmed=inputs["utilisation_soft"].nominal > 0,
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
    shot_volume=lambda share, inputs: filling.shot_volume_at_utilisation(
        share, inputs["swept_volume"].nominal
    ),
    source="iso_294_1",
)


def _stroke(shot_mass: Array, output_factor: Array, diameter: Array) -> Array:
    volume = filling.shot_volume(shot_mass, output_factor)
    return filling.shot_stroke_in_diameters(volume, diameter)


def _stroke_edges(inputs: Inputs) -> Edges:
    return Edges(
        allowed_low=inputs["stroke_low"].nominal,
        allowed_high=inputs["stroke_high"].nominal,
        comfort_low=inputs["stroke_comfort_low"].nominal,
        comfort_high=inputs["stroke_comfort_high"].nominal,
        unconfirmed=inputs["stroke_soft"].nominal > 0,
    )


STROKE = Criterion(
    key="stroke",
    basis="practice",
    unit="D",
    monotonic_in={"shot_mass": "up", "output_factor": "down", "diameter": "down"},
    value=_stroke,
    edges=_stroke_edges,
    needs=SHOT | DIAMETER,
    shot_volume=lambda diameters, inputs: filling.shot_volume_at_stroke(
        diameters, inputs["diameter"].nominal
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


def _ring_share_edges(inputs: Inputs) -> Edges:
    return Edges(
        allowed_high=inputs["ring_share_limit"].nominal,
        unconfirmed=inputs["ring_share_soft"].nominal > 0,
        value_only=inputs["ring_travel_assumed"].nominal > 0,
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
    shot_volume=lambda share, inputs: repeatability.shot_volume_at_stroke_share(
        inputs["ring_travel"].nominal, share, screw_area(inputs["diameter"].nominal)
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
    edges=lambda inputs: Edges(allowed_high=inputs["shot_mass_tolerance"].nominal),
    needs=SHOT
    | DIAMETER
    | {
        "position_scatter": ("position_scatter",),
        "shot_mass_tolerance": ("shot_mass_tolerance",),
    },
    shot_volume=lambda share, inputs: repeatability.shot_volume_at_stroke_share(
        inputs["position_scatter"].nominal, share, screw_area(inputs["diameter"].nominal)
    ),
    grows_with_shot=False,
)
