"""Which criterion, which claim, which limit: small identities."""

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
class LimitRef:
    """Which limit: a resin's datum, or with `resin` None the evaluation's own."""

    resin: str | None
    field: str
