"""Claims about an offer as a whole: whether it says enough, and whether it still holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from evenbarrel.appraisal.criteria import ALL as CRITERIA
from evenbarrel.appraisal.criteria.definition import Alternatives
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit
from evenbarrel.appraisal.results import Claim, ClaimState
from evenbarrel.model.limits import REQUIRED
from evenbarrel.model.offers.bid import Bid

DAY = 86400.0

NEEDED: Mapping[str, tuple[Alternatives, ...]] = {c.key: c.supplier for c in CRITERIA}
"""What a supplier must state for each criterion: every need by one of its alternatives."""

OF_ANY_UNIT = frozenset(criterion.key for criterion in CRITERIA if criterion.any_unit)
"""All that is judged of a unit that is no single-stage reciprocating screw."""


def offer_claims(
    bid: Bid,
    units: tuple[StatedUnit, ...],
    as_of: date | None,
    required: Iterable[str] = REQUIRED,
) -> tuple[Claim, ...]:
    """Return an offer's `completeness` and `validity`.

    `units` are the bid's own; `required` the criteria that a cell must be able to state.
    """
    return _completeness(units, frozenset(required)), _validity(bid, as_of)


def missing_by_criterion(units: tuple[StatedUnit, ...]) -> dict[str, tuple[str, ...]]:
    """Return the data each criterion lacks on at least one barrel, without complete criteria."""
    found = {}
    for criterion in NEEDED:
        lacking = dict.fromkeys(
            name
            for unit in units
            if criterion in OF_ANY_UNIT or unit.is_reciprocating
            for barrel in unit.barrels
            for name in _missing(criterion, unit, barrel)
        )
        if lacking:
            found[criterion] = tuple(lacking)
    return found


def _missing(criterion: str, unit: StatedUnit, barrel: StatedBarrel) -> Iterable[str]:
    for alternatives in NEEDED[criterion]:
        lacking = [
            [name for name in names if not _stated(name, unit, barrel)] for names in alternatives
        ]
        if all(lacking):
            yield from lacking[0]


def _stated(name: str, unit: StatedUnit, barrel: StatedBarrel) -> bool:
    if name in barrel.numbers or name in unit.numbers:
        return True
    return getattr(barrel.barrel, name, None) not in (None, "", "unknown")


def _completeness(units: tuple[StatedUnit, ...], required: frozenset[str]) -> Claim:
    """Say what is missing: not stated where a required criterion lacks it, else a query."""
    if not any(unit.barrels for unit in units):
        return Claim("completeness", "not_stated", "barrels", missing=("barrels",))
    lacking = missing_by_criterion(units)
    if not lacking:
        return Claim("completeness", "agrees", "barrels")
    state: ClaimState = "not_stated" if required & lacking.keys() else "query"
    missing = tuple(dict.fromkeys(name for names in lacking.values() for name in names))
    return Claim("completeness", state, missing[0], missing=missing)


def _validity(bid: Bid, as_of: date | None) -> Claim:
    """Hold the day the offer ends against the day it is judged on; that day still counts."""
    if bid.valid_until is None or as_of is None:
        dates = (("valid_until", bid.valid_until), ("as_of", as_of))
        lacking = tuple(name for name, value in dates if value is None)
        return Claim("validity", "not_stated", "valid_until", "time", missing=lacking)
    left = (bid.valid_until - as_of).days * DAY
    if bid.date is not None and bid.valid_until < bid.date:
        return Claim("validity", "contradicts", "valid_until", "time", left, note="ends_first")
    if left < 0:
        return Claim("validity", "contradicts", "valid_until", "time", left, note="expired")
    if bid.date is not None and bid.date > as_of:
        return Claim("validity", "query", "date", "time", left, note="dated_later")
    return Claim("validity", "agrees", "valid_until", "time", left)
