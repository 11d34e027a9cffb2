"""The claims of an offer: each stated number held against the others and against physics."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.claims import volume
from evenbarrel.appraisal.claims.case import Case
from evenbarrel.appraisal.claims.offer import missing_by_criterion, offer_claims
from evenbarrel.appraisal.claims.slips import explain
from evenbarrel.appraisal.claims.unit import KEYS, claims_of
from evenbarrel.appraisal.facts import BarrelFacts, UnitFacts
from evenbarrel.appraisal.results import Claim, RatedBasis, ResinResult
from evenbarrel.model.limits import Limits

__all__ = ["KEYS", "barrel_claims", "missing_by_criterion", "offer_claims", "rated_basis"]


def barrel_claims(
    unit: UnitFacts, resins: Mapping[str, ResinResult], limits: Limits
) -> tuple[tuple[Claim, ...], ...]:
    """Return the claims of each barrel of a unit, its own and the unit's, in the order of KEYS.

    A failed claim carries the slips that would explain it.
    """
    case = Case(unit, resins, limits)
    return explain(case, claims_of(case))


def rated_basis(
    barrel: BarrelFacts, unit: UnitFacts, resins: Mapping[str, ResinResult], limits: Limits
) -> tuple[float | None, RatedBasis]:
    """Return a rated mass's implied factor [kg/m3] and the density it was rated on.

    (None, "not_stated") where the swept volume comes from the rated mass alone.
    """
    return volume.rated_basis(barrel, Case(unit, resins, limits))
