"""Every criterion, in the order of the rules' table."""

from __future__ import annotations

from evenbarrel.appraisal.criteria import (
    filling,
    plasticising,
    screw_geometry,
    size,
    wear_corrosion,
)
from evenbarrel.appraisal.criteria.definition import Criterion

ALL: tuple[Criterion, ...] = (
    size.CAPACITY,
    size.UTILISATION,
    size.STROKE,
    size.RING_SHARE,
    plasticising.RESIDENCE,
    plasticising.RECOVERY,
    plasticising.SCREW_SPEED,
    filling.PRESSURE,
    filling.RATE,
    filling.POWER,
    size.REPEATABILITY,
    wear_corrosion.WEAR,
    wear_corrosion.CORROSION,
    screw_geometry.SCREW_GEOMETRY,
)
