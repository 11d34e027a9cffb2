"""Which criterion, claim, shot, factor, volume or limit: small identities of what is computed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CriterionRef:
    """Which criterion of which cell."""

    barrel: str
    job: str
    criterion: str


@dataclass(frozen=True, slots=True)
class ClaimRef:
    """Which claim of which barrel, or of which bid."""

    owner: str
    key: str


@dataclass(frozen=True, slots=True)
class ShotRef:
    """The planned shot of which job."""

    job: str


@dataclass(frozen=True, slots=True)
class FactorRef:
    """The output factor of which resin."""

    resin: str


@dataclass(frozen=True, slots=True)
class VolumeRef:
    """The swept volume of which barrel."""

    barrel: str


Reference = CriterionRef | ClaimRef | ShotRef | FactorRef | VolumeRef
"""What a number on screen or paper opens to: how it came about."""


@dataclass(frozen=True, slots=True)
class LimitRef:
    """Which limit: a resin's datum, or with `resin` None the evaluation's own."""

    resin: str | None
    field: str
