"""Criteria of attack: whether barrel and screw are made for what the resin does to them."""

from __future__ import annotations

import numpy as np

from evenbarrel.appraisal.criteria.definition import Criterion, Edges
from evenbarrel.trade.formula import Array

_NEVER_BEYOND = np.zeros((1, 1))


def _beyond(attack: Array, made_for: Array) -> Array:
    """Return 1 where the attack is greater than what the packages are made for, else 0, or nan."""
    return np.where(np.isnan(attack + made_for), np.nan, np.greater(attack, made_for))


def _attack(key: str, attack: str, made_for: str) -> Criterion:
    return Criterion(
        key=key,
        basis="resin",
        unit="",
        monotonic_in={attack: "none", made_for: "none"},
        value=lambda **inputs: _beyond(inputs[attack], inputs[made_for]),
        edges=lambda inputs: Edges(
            allowed_high=_NEVER_BEYOND, unconfirmed=inputs[f"{attack}_soft"].nominal > 0
        ),
        needs={attack: (attack,), made_for: ("barrel_package", "screw_package")},
        numeric=False,
        source="common_practice",
    )


WEAR = _attack("wear", "abrasive", "made_for_wear")
CORROSION = _attack("corrosion", "corrosive", "made_for_corrosion")
