"""From values and edges to states and margins, over whole arrays at once."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria.definition import Edges, Flags
from evenbarrel.appraisal.inputs.intervals import Interval
from evenbarrel.appraisal.results import SEVERITY, Reason
from evenbarrel.trade.formula import Array, silently

States = NDArray[np.int8]
Reasons = NDArray[np.uint8]
OUTSIDE, NEAR_EDGE, NOT_STATED, INSIDE = (np.int8(SEVERITY.index(state)) for state in SEVERITY)

REASONS: tuple[Reason, ...] = (
    "comfort",
    "uncertainty",
    "soft",
    "beyond_unconfirmed",
    "unsettled",
    "readings",
    "disputed",
)
BIT: Mapping[Reason, np.uint8] = {
    reason: np.uint8(1 << place) for place, reason in enumerate(REASONS)
}
"""Each reason is a bit, in their order."""

TOUCH = 1e-9
"""Touching an edge counts as in: how far rounding may carry a value past one, as a share."""


def reasons_in(bits: int) -> tuple[Reason, ...]:
    """Return the reasons that bits stand for, in their order."""
    return tuple(reason for reason, bit in BIT.items() if bits & bit)


def _above(value: Array, edge: Array | None) -> Flags:
    return np.zeros(value.shape, np.bool_) if edge is None else value > edge * (1.0 + TOUCH)


def _below(value: Array, edge: Array | None) -> Flags:
    return np.zeros(value.shape, np.bool_) if edge is None else value < edge * (1.0 - TOUCH)


def _not_within(low: Array, high: Array, lowest: Array | None, highest: Array | None) -> Flags:
    return _above(high, highest) | _below(low, lowest)


def margin_to(value: Array, lowest: Array | None, highest: Array | None) -> Array:
    """Return min(high / value, value / low) - 1 over the edges that exist; nan without any."""
    with silently():
        factors = [None if highest is None else highest / value]
        factors.append(None if lowest is None else value / lowest)
        stated = [factor for factor in factors if factor is not None]
        if not stated:
            return np.full(value.shape, np.nan)
        margin = stated[0] if len(stated) == 1 else np.fmin(*stated)
        margin -= 1.0
        margin[~np.isfinite(margin)] = np.nan
        return margin


def comfort_edges(edges: Edges) -> tuple[Array | None, Array | None]:
    """Return the comfort edges, the hard edge where there is none or it is the narrower."""
    low, high = edges.allowed_low, edges.allowed_high
    if low is not None and edges.comfort_low is not None:
        low = np.fmax(low, edges.comfort_low)
    if high is not None and edges.comfort_high is not None:
        high = np.fmin(high, edges.comfort_high)
    return low, high


def states_of(interval: Interval, edges: Edges, unstated: Flags) -> tuple[States, Reasons]:
    """Return the state of each value with its interval, and why it is near the edge (bits).

    `unstated` says where a hard edge is not known.
    """
    above, below = (
        _above(interval.low, edges.allowed_high),
        _below(interval.high, edges.allowed_low),
    )
    outside = above | below
    unconfirmed = (above & edges.unconfirmed_high) | (below & edges.unconfirmed_low)
    lowest, highest = comfort_edges(edges)
    uneasy = _not_within(interval.low, interval.high, lowest, highest)
    state = np.where(
        outside & ~(unconfirmed | edges.estimated),
        OUTSIDE,
        np.where(uneasy, NEAR_EDGE, INSIDE),
    )
    state = np.where(edges.only_outside & ~outside, NOT_STATED, state)
    unknown = np.isnan(interval.nominal) | edges.value_only | unstated
    state = np.where(unknown, NOT_STATED, state).astype(np.int8)

    value = interval.nominal
    beyond = _not_within(value, value, edges.allowed_low, edges.allowed_high)
    in_between = _not_within(value, value, lowest, highest) & ~beyond
    crossing = (beyond & ~outside) | (
        ~beyond
        & (
            _not_within(interval.low, interval.high, edges.allowed_low, edges.allowed_high)
            | (~in_between & uneasy)
        )
    )
    reasons = (
        in_between * BIT["comfort"]
        | crossing * BIT["uncertainty"]
        | (outside & ~unconfirmed) * BIT["soft"]
        | unconfirmed * BIT["beyond_unconfirmed"]
    )
    reasons = np.where(state == NEAR_EDGE, reasons, 0).astype(np.uint8)
    return state, reasons
