"""The claims of an offer: each stated number held against the others and against physics."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.claims.checks import volume
from evenbarrel.appraisal.claims.checks.offer import missing_by_criterion, offer_claims
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.registry import KEYS
from evenbarrel.appraisal.claims.unit_claims import (
    UnitClaims,
    barrel_claims,
    claims_of_units,
    failed_claims,
)
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit
from evenbarrel.appraisal.results import RatedBasis, ResinResult
from evenbarrel.model.limits import Limits

__all__ = [
    "KEYS",
    "UnitClaims",
    "barrel_claims",
    "claims_of_units",
    "failed_claims",
    "missing_by_criterion",
    "offer_claims",
    "rated_basis",
]


def rated_basis(
    barrel: StatedBarrel, unit: StatedUnit, resins: Mapping[str, ResinResult], limits: Limits
) -> tuple[float | None, RatedBasis]:
    """Return a rated mass's implied factor [kg/m3] and the density it was rated on.

    (None, "not_stated") where the swept volume comes from the rated mass alone.
    """
    return volume.rated_basis(barrel, ClaimContext(unit, resins, limits))
