"""Two evaluations side by side: which entered data differ, and which results."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.doubt import is_failed
from evenbarrel.appraisal.results import Claim
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.standing_by.changed import Changed, changed_fields
from evenbarrel.decision.standing_by.signatures import ChangedCell, signed_cells
from evenbarrel.model.states.digest import stated_data

Of = Literal["gate", "price", "present_cost", "rank"]


@dataclass(frozen=True, slots=True)
class ChangedResult:
    """One result of a barrel in both evaluations; None where the barrel or the result is missing.

    `of` is its gate, its landed price or its present cost in the evaluation's currency, its rank.
    """

    barrel: str
    of: Of
    old: Any
    new: Any


@dataclass(frozen=True, slots=True)
class ChangedClaim:
    """A claim whose state differs; one of the two failed."""

    barrel: str
    claim: str
    old: str | None
    new: str | None


@dataclass(frozen=True)
class Comparison:
    """Everything that differs; `old_data` and `new_data` are what was entered, for its names."""

    old: Decision
    new: Decision
    old_data: Mapping[str, Any]
    new_data: Mapping[str, Any]
    fields: tuple[Changed, ...]
    results: tuple[ChangedResult, ...]
    cells: tuple[ChangedCell, ...]
    claims: tuple[ChangedClaim, ...]

    def results_of(self, of: Of) -> tuple[ChangedResult, ...]:
        """Return the results of one kind."""
        return tuple(one for one in self.results if one.of == of)


def compare(old: Decision, new: Decision) -> Comparison:
    """Return what differs between two evaluations that were decided on."""
    old_data, new_data = (stated_data(one.appraisal.evaluation) for one in (old, new))
    return Comparison(
        old,
        new,
        old_data,
        new_data,
        changed_fields(old_data, new_data),
        tuple(_results(old, new)),
        tuple(_cells(old.appraisal, new.appraisal)),
        tuple(_claims(old.appraisal, new.appraisal)),
    )


def _results(old: Decision, new: Decision) -> Iterator[ChangedResult]:
    before, after = _of_barrels(old), _of_barrels(new)
    kinds: tuple[Of, ...] = ("gate", "rank", "price", "present_cost")
    for barrel in dict.fromkeys((*after, *before)):
        for of in kinds:
            one, other = (by.get(barrel, {}).get(of) for by in (before, after))
            if one != other:
                yield ChangedResult(barrel, of, one, other)


def _of_barrels(decision: Decision) -> Mapping[str, Mapping[str, Any]]:
    return {
        line.barrel: {
            "gate": line.gate,
            "rank": line.rank,
            "price": _cents(decision.offers[line.barrel].price.value),
            "present_cost": _cents(line.present_cost),
        }
        for line in decision.order
    }


def _cents(amount: float | None) -> float | None:
    """Return an amount as it is held against another: what rounding leaves is no difference."""
    return None if amount is None else round(amount, 2)


def _cells(old: Appraisal, new: Appraisal) -> Iterator[ChangedCell]:
    before, after = (
        {(cell.barrel, cell.job): cell for cell in signed_cells(one)} for one in (old, new)
    )
    for place in dict.fromkeys((*after, *before)):
        one, other = before.get(place), after.get(place)
        if one is None or other is None or one.state != other.state:
            yield ChangedCell(*place, one, other)


def _claims(old: Appraisal, new: Appraisal) -> Iterator[ChangedClaim]:
    before, after = _claims_of(old), _claims_of(new)
    for place in dict.fromkeys((*after, *before)):
        one, other = before.get(place), after.get(place)
        states = [None if claim is None else claim.state for claim in (one, other)]
        failed = any(claim is not None and is_failed(claim) for claim in (one, other))
        if states[0] != states[1] and failed:
            yield ChangedClaim(*place, *states)


def _claims_of(appraisal: Appraisal) -> Mapping[tuple[str, str], Claim]:
    return {
        (barrel.id, claim.key): claim for barrel in appraisal.barrels for claim in barrel.claims
    }
