"""Whether sizes could be those of a barrel: else they are shown and decide nothing."""

from __future__ import annotations

DIAMETER_LOW, DIAMETER_HIGH = 0.012, 0.25
"""[m]"""
STROKE_LOW, STROKE_HIGH = 1.0, 8.0
"""In diameters."""
VOLUME_LOW, VOLUME_HIGH = 2e-6, 0.1
"""[m3]. All of these are common practice, no source."""

TOUCH = 1e-9
"""Touching an end counts as in: how far rounding may carry a size past one, as a share."""


def is_plausible_size(diameter: float | None, stroke: float | None, volume: float | None) -> bool:
    """Say whether diameter [m], stroke [m] and swept volume [m3] are those of a barrel.

    What is None is not looked at; a stroke is held against its diameter.
    """
    return (
        _lies(diameter, DIAMETER_LOW, DIAMETER_HIGH)
        and is_plausible_stroke(diameter, stroke)
        and _lies(volume, VOLUME_LOW, VOLUME_HIGH)
    )


def is_plausible_stroke(diameter: float | None, stroke: float | None) -> bool:
    """Say whether a stroke could be that of a screw of its diameter, both in m."""
    in_diameters = None if diameter is None or stroke is None else stroke / diameter
    return _lies(in_diameters, STROKE_LOW, STROKE_HIGH)


def _lies(value: float | None, low: float, high: float) -> bool:
    return value is None or low * (1.0 - TOUCH) <= value <= high * (1.0 + TOUCH)
