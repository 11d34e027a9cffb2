"""What barrels and screws are made of, and how far a resin attacks them: the closed lists."""

from __future__ import annotations

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
