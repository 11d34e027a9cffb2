"""Whether a signature still stands under what it was given for, and what changed since."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import CriterionResult
from evenbarrel.decision.standing_by.changed import Changed, changed_fields
from evenbarrel.model.record.decision import Role, SignedCell, SignOff
from evenbarrel.model.states.digest import SCHEME, signed_state, signs

DIGITS = 9
"""Significant digits by which a margin that was signed is held against the one now."""

Holding = Literal["holds", "changed", "computed_otherwise"]

ANSWERS_FOR: Mapping[Role, tuple[str, ...]] = {
    "purchase": ("bids", "cost", "proposal", "scope_items", "currency", "measures"),
    "process_engineering": (
        *("resins", "jobs", "limits", "uncertainty", "deviations", "confirmed_limits"),
        *("answers", "assignment", "cover_options", "proposal"),
    ),
    "maintenance": ("bids", "deviations", "proposal"),
    "safety": ("resins", "jobs", "assignment", "deviations", "proposal"),
}
"""What each role answers for, by the first field of a path: what changed there it reads first."""


@dataclass(frozen=True, slots=True)
class ChangedCell:
    """A cell whose result differs from the one signed; None where there is none."""

    barrel: str
    job: str
    signed: SignedCell | None
    now: SignedCell | None


@dataclass(frozen=True, slots=True)
class SignatureState:
    """Whether a signature holds; else which fields changed, or which cells are computed otherwise.

    `kept` is whether what was signed was kept: without it nobody can say what changed. Fields
    that the role answers for come first.
    """

    holding: Holding
    kept: bool
    fields: tuple[Changed, ...] = ()
    cells: tuple[ChangedCell, ...] = ()


def signed_cells(appraisal: Appraisal) -> tuple[SignedCell, ...]:
    """Return the result of every cell, as a signature keeps it."""
    return tuple(
        SignedCell(
            barrel=barrel.id,
            job=job.id,
            state=(fit := appraisal.fit(barrel.id, job.id)).state,
            binding=fit.binding,
            margin=_margin(fit.bound_by),
        )
        for barrel in appraisal.barrels
        for job in appraisal.jobs
    )


def _margin(bound_by: CriterionResult | None) -> float | None:
    margin = None if bound_by is None else bound_by.margin
    return None if margin is None else float(f"{margin:.{DIGITS}g}")


def signature_state(one: SignOff, appraisal: Appraisal, results_digest: str) -> SignatureState:
    """Return whether a signature still holds under an appraisal with that digest of results."""
    evaluation = appraisal.evaluation
    digest = (one.carried or one).digest
    state = next((s for s in evaluation.signed_states if s.digest == digest), None)
    if not signs(one, evaluation):
        if state is None:
            return SignatureState("changed", kept=False)
        now = signed_state(evaluation).evaluation
        fields = changed_fields(state.evaluation, now)
        first = ANSWERS_FOR[one.role]
        ordered = sorted(fields, key=lambda field: field.path[0] not in first)
        return SignatureState("changed", kept=True, fields=tuple(ordered))
    # Results of an older scheme were computed by other rules: they are not compared.
    if one.scheme != SCHEME or not one.results_digest or one.results_digest == results_digest:
        return SignatureState("holds", kept=state is not None)
    if state is None or not state.cells:
        return SignatureState("computed_otherwise", kept=False)
    cells = tuple(_other_cells(state.cells, signed_cells(appraisal)))
    return SignatureState("computed_otherwise", kept=True, cells=cells)


def _other_cells(
    signed: tuple[SignedCell, ...], now: tuple[SignedCell, ...]
) -> Iterator[ChangedCell]:
    before = {(cell.barrel, cell.job): cell for cell in signed}
    after = {(cell.barrel, cell.job): cell for cell in now}
    for place in dict.fromkeys((*after, *before)):
        if before.get(place) != after.get(place):
            yield ChangedCell(*place, before.get(place), after.get(place))
