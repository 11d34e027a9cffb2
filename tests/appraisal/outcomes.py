"""What the claims say of an offer with a planted slip, or of a sound one."""

from __future__ import annotations

from typing import Any

from evenbarrel.appraisal.claims import barrel_claims
from evenbarrel.appraisal.claims.doubt import is_asked, is_failed
from evenbarrel.appraisal.inputs.stated import StatedUnit, stated_units
from evenbarrel.appraisal.results import Cause, Claim, ResinResult
from evenbarrel.model.datum import data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import Limits
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin

from .catalogue import (
    ENTHALPY,
    FACTORS,
    MELT_DENSITY,
    SOLID_DENSITY,
    Fields,
    Offer,
    Planted,
)

OUTCOMES = ("alone", "among several", "wrong sole", "not named", "unseen")
"""Named by a claim as its sole cause; named among the causes of one; another change is named as
the sole cause of any; claims fail and none names it; no claim fails."""

RESINS = {
    "ps": ResinResult(
        "ps", "trade_table", FACTORS["ps"], 0.04, (), SOLID_DENSITY, MELT_DENSITY, ENTHALPY
    ),
    "pp": ResinResult("pp", "trade_table", FACTORS["pp"], 0.04, (), 905.0, 748.8, 580e3),
}


def _entered(model: type[Barrel] | type[InjectionUnit], fields: Fields) -> dict[str, Any]:
    kinds = data_of(model)
    entered: dict[str, Any] = {}
    for name, value in fields.items():
        if name in kinds and kinds[name].kinds and value is not None:
            magnitude, unit = value.rsplit(" ", 1)
            value = Quantity(magnitude=magnitude, unit=unit)
        entered[name] = value
    return entered


def stated(offer: Offer) -> StatedUnit:
    """Return an offer's unit in SI."""
    barrels = tuple(
        Barrel(**{"id": f"b{place}", **_entered(Barrel, screw)})
        for place, screw in enumerate(offer.screws)
    )
    unit = InjectionUnit(id="u", barrels=barrels, **_entered(InjectionUnit, offer.unit))
    resins = tuple(Resin(id=name) for name in RESINS)
    return next(stated_units(Evaluation(resins=resins, bids=(Bid(id="bid", units=(unit,)),))))


def claims_of(offer: Offer) -> tuple[Claim, ...]:
    """Return every claim of every screw of an offer."""
    judged = barrel_claims(stated(offer), RESINS, Limits())
    return tuple(claim for own in judged for claim in own)


def asked_about(offer: Offer) -> tuple[str, ...]:
    """Return the keys of the claims that a supplier would be asked about."""
    return tuple(dict.fromkeys(claim.key for claim in claims_of(offer) if is_asked(claim)))


def outcome_of(slip: Planted) -> str:
    """Return what became of a planted slip, one of OUTCOMES; the wrong is told first."""
    failed = [claim for claim in claims_of(slip.offer) if is_failed(claim)]
    sole = [claim.sole_cause for claim in failed if claim.sole_cause is not None]
    if not all(_is(slip, cause) for cause in sole):
        return "wrong sole"
    if sole:
        return "alone"
    if any(_is(slip, cause) for claim in failed for cause in claim.causes):
        return "among several"
    return "not named" if any(is_asked(claim) for claim in failed) else "unseen"


def _is(slip: Planted, cause: Cause) -> bool:
    """Say whether a cause is the slip; a mark shifted by ten is MPa as bar, number for number."""
    same = {cause.code, slip.code} <= {"decimal_shift", "MPa_as_bar", "bar_as_MPa"}
    return cause.datum == slip.datum and (cause.code == slip.code or same)
