"""Which make of barrel and screw stands which attack: trade practice, from memory.

Nitrided steel is for resins that neither abrade nor corrode; iron-based linings stand abrasion;
nickel-based linings, stainless steel and chrome stand corrosion; carbide-bearing linings stand
both. A hard coating is better than bare steel against wear, but does not stop acid.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Literal

import numpy as np

from evenbarrel.trade.formula import N, choose, formula, only_where
from evenbarrel.trade.packages import Degree, Package

Attack = Literal["wear", "corrosion"]

DEGREES: tuple[Degree, ...] = ("no", "slightly", "yes")
"""Degrees of attack, from none upwards; the formulas take their places here, 0, 1 and 2."""

PROOF: MappingProxyType[Attack, MappingProxyType[Package, Degree]] = MappingProxyType(
    {
        "wear": MappingProxyType(
            {
                "nitrided": "slightly",
                "bimetallic_iron": "yes",
                "bimetallic_nickel": "slightly",
                "bimetallic_carbide": "yes",
                "stainless": "no",
                "chrome": "slightly",
                "coated": "slightly",
            }
        ),
        "corrosion": MappingProxyType(
            {
                "nitrided": "no",
                "bimetallic_iron": "no",
                "bimetallic_nickel": "yes",
                "bimetallic_carbide": "yes",
                "stainless": "yes",
                "chrome": "yes",
                "coated": "no",
            }
        ),
    }
)
"""The greatest attack each package is proof against; an unknown one is not in it."""


def degree_of(degree: Degree | None) -> float:
    """Place of a degree of attack, nan where it is not known.

    Parameters
        degree: no, slightly or yes [-]

    Returns
        0, 1 or 2 [-]

    Valid range: the three degrees.
    Source: definition
    """
    return np.nan if degree is None else float(DEGREES.index(degree))


def proof_of(package: Package | None, attack: Attack) -> float:
    """Greatest degree of an attack that a package is proof against, nan where it is unknown.

    Parameters
        package: make of barrel or screw [-]
        attack: wear or corrosion [-]

    Returns
        0, 1 or 2 [-]

    Valid range: the closed list of packages; says nothing of a life in hours.
    Source: common_practice
    """
    return degree_of(None if package is None else PROOF[attack].get(package))


@formula
def attack_beyond_proof(attack: N, proof: N) -> N:
    """The attack where it exceeds what the package is proof against, else 0.

    Parameters
        attack: degree by which the resin wears or corrodes, 0 to 2 [-]
        proof: degree the package is proof against, 0 to 2, nan where it is unknown [-]

    Returns
        0 suited, 1 attacked slightly, 2 not suited [-]

    Valid range: nothing attacks a package where the degree is 0, known or not.
    Source: common_practice
    """
    beyond = only_where(~np.isnan(attack + proof), choose(attack > proof, attack, 0.0))
    return choose(attack == 0.0, 0.0 * attack, beyond)


@formula
def worst_attack(of_barrel: N, of_screw: N) -> N:
    """The greater of two; one part attacked is enough, both known for none.

    Parameters
        of_barrel: attack beyond the barrel's proof, nan where it is unknown [-]
        of_screw: attack beyond the screw's proof, nan where it is unknown [-]

    Returns
        0 suited, 1 attacked slightly, 2 not suited [-]

    Valid range: nan where one part is unknown and the other suited.
    Source: common_practice
    """
    known: N = np.fmax(of_barrel, of_screw)
    return choose(known > 0.0, known, of_barrel + of_screw)
