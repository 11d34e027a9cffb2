"""Every criterion, in the order of the rules' table."""

from __future__ import annotations

from evenbarrel.appraisal.criteria import attack, filling, plasticising, size
from evenbarrel.appraisal.criterion import Criterion

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
    attack.WEAR,
    attack.CORROSION,
)
