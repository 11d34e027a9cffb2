"""Criteria of attack: whether barrel and screw are made for what the resin does to them."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from evenbarrel.appraisal.criteria.definition import Criterion, Edges
from evenbarrel.appraisal.results import Misfit
from evenbarrel.trade.formula import Array
from evenbarrel.trade.wear_corrosion import Attack, attack_beyond_proof, worst_attack

SUITED, ATTACKED_SLIGHTLY = np.zeros((1, 1)), np.ones((1, 1))
"""The comfort edge and the hard edge: a slight attack is near the edge, never outside."""


def _attack(key: Attack, attack: str) -> Criterion:
    of_barrel, of_screw = f"barrel_{key}_proof", f"screw_{key}_proof"

    def value(**inputs: Array) -> Array:
        degree = inputs[attack]
        return worst_attack(
            attack_beyond_proof(degree, inputs[of_barrel]),
            attack_beyond_proof(degree, inputs[of_screw]),
        )

    def misfits(given: Callable[[str], float]) -> tuple[Misfit, ...]:
        degree, recalled = given(attack), given(f"{attack}_soft") > 0
        proofs = {"barrel_package": given(of_barrel), "screw_package": given(of_screw)}
        return tuple(
            Misfit(package, recalled=recalled)
            for package, proof in proofs.items()
            if attack_beyond_proof(degree, proof) > 0
        )

    return Criterion(
        key=key,
        basis="resin",
        unit="",
        monotonic_in={attack: "none", of_barrel: "none", of_screw: "none"},
        value=value,
        edges=lambda inputs: Edges(
            allowed_high=ATTACKED_SLIGHTLY,
            comfort_high=SUITED,
            unconfirmed_high=inputs[f"{attack}_soft"].nominal > 0,
        ),
        needs={attack: (attack,), of_barrel: ("barrel_package",), of_screw: ("screw_package",)},
        supplier=((("barrel_package",),), (("screw_package",),)),
        numeric=False,
        misfits=misfits,
        source="common_practice",
    )


WEAR = _attack("wear", "abrasive")
CORROSION = _attack("corrosion", "corrosive")
