"""Which make of barrel and screw stands which attack: trade practice, from memory.

Nitrided steel is for resins that neither abrade nor corrode; iron-based linings stand abrasion;
nickel-based linings, stainless steel and chrome stand corrosion; carbide-bearing linings stand
both. A hard coating is better than bare steel against wear, but does not stop acid.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Literal

Package = Literal[
    "nitrided",
    "bimetallic_iron",
    "bimetallic_nickel",
    "bimetallic_carbide",
    "stainless",
    "chrome",
    "coated",
    "unknown",
]
Degree = Literal["no", "slightly", "yes"]

DEGREES: tuple[Degree, ...] = ("no", "slightly", "yes")
"""Degrees of attack, from none upwards."""

WITHSTANDS: MappingProxyType[Package, tuple[Degree, Degree]] = MappingProxyType(
    {
        "nitrided": ("slightly", "no"),
        "bimetallic_iron": ("yes", "no"),
        "bimetallic_nickel": ("slightly", "yes"),
        "bimetallic_carbide": ("yes", "yes"),
        "stainless": ("no", "yes"),
        "chrome": ("slightly", "yes"),
        "coated": ("slightly", "no"),
    }
)
"""Greatest abrasion and greatest corrosion each package is made for."""


def withstands_abrasion(package: Package, abrasive: Degree) -> bool | None:
    """Whether a package is made for that much wear, None where the package is unknown.

    Parameters
        package: make of barrel or screw [-]
        abrasive: how much the resin wears [-]

    Returns
        suited, not suited, or not known [-]

    Valid range: the closed list of packages; says nothing of a life in hours.
    Source: common_practice
    """
    made_for = WITHSTANDS.get(package)
    return None if made_for is None else _covers(made_for[0], abrasive)


def withstands_corrosion(package: Package, corrosive: Degree) -> bool | None:
    """Whether a package is made for that much corrosion, None where the package is unknown.

    Parameters
        package: make of barrel or screw [-]
        corrosive: how much the resin corrodes [-]

    Returns
        suited, not suited, or not known [-]

    Valid range: the closed list of packages; says nothing of a life in hours.
    Source: common_practice
    """
    made_for = WITHSTANDS.get(package)
    return None if made_for is None else _covers(made_for[1], corrosive)


def _covers(made_for: Degree, attack: Degree) -> bool:
    return DEGREES.index(attack) <= DEGREES.index(made_for)
