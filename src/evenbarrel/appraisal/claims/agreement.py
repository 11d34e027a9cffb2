"""What every claim has in common: its gap, its tolerance and its state."""

from __future__ import annotations

from collections.abc import Iterable

from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit
from evenbarrel.appraisal.results import Claim, ClaimState

FLOOR = 0.005
"""No tolerance is tighter, however many digits are printed; common practice, no source."""

QUERY_TOLERANCES = 3.0
QUERY_LEAST = 0.03
"""A gap within so many tolerances, or within so much, is a query; common practice, no source."""

UNLIKELY = "unlikely"
"""Note of a claim that fails by itself: no machine has such a number, whatever is not stated."""

_ROUNDING = 1 + 1e-9


def within(share: float, edge: float) -> bool:
    """Say whether a share lies within an edge; touching it counts as in."""
    return share <= edge * _ROUNDING


def tolerance_of(*precisions: float, least: float = FLOOR) -> float:
    """Combine relative precisions linearly, never tighter than `least`."""
    return max(least, sum(precisions))


def state_of(excess: float, tolerance: float) -> ClaimState:
    """Return the state of a gap whose size is `excess`, both shares."""
    if within(excess, tolerance):
        return "agrees"
    return "query" if within(excess, widest_query(tolerance)) else "contradicts"


def widest_query(tolerance: float) -> float:
    """Return the gap beyond which a claim contradicts, a share."""
    return max(QUERY_TOLERANCES * tolerance, QUERY_LEAST)


def compare(
    claim: Claim, stated: float, derived: float, tolerance: float, *, mild: bool = False
) -> Claim:
    """Judge a claim by its gap, either way; `mild` claims never go beyond query.

    `claim` brings key, subject, kind and note; `stated` and `derived` are SI values.
    """
    gap = stated / derived - 1
    state = state_of(abs(gap), tolerance)
    return judged(claim, _softened(state, mild), stated, derived, tolerance)


def at_most(
    claim: Claim, stated: float, available: float, tolerance: float, *, mild: bool = False
) -> Claim:
    """Judge a claim that only exceeding `available` questions."""
    state = state_of(stated / available - 1, tolerance)
    return judged(claim, _softened(state, mild), stated, available, tolerance)


def judged(
    claim: Claim,
    state: ClaimState,
    stated: float,
    derived: float | None = None,
    tolerance: float | None = None,
) -> Claim:
    """Return the claim with its state and numbers."""
    gap = None if derived is None else stated / derived - 1
    return Claim(
        claim.key,
        state,
        claim.subject,
        claim.kind,
        stated,
        derived,
        tolerance,
        gap,
        note=claim.note,
    )


def open_claim(key: str, subject: str, kind: str, note: str | None = None) -> Claim:
    """Return a claim not judged yet."""
    return Claim(key, "not_stated", subject, kind, note=note)


def not_stated(claim: Claim, missing: Iterable[str]) -> Claim:
    """Return the claim as one that cannot be judged, naming each datum it lacks once."""
    names = tuple(dict.fromkeys(missing))
    return Claim(claim.key, "not_stated", claim.subject, claim.kind, note=claim.note, missing=names)


def absent(thing: StatedBarrel | StatedUnit, *names: str) -> tuple[str, ...]:
    """Return which of the data are not stated."""
    return tuple(name for name in names if name not in thing.numbers)


def _softened(state: ClaimState, mild: bool) -> ClaimState:
    return "query" if mild and state == "contradicts" else state
