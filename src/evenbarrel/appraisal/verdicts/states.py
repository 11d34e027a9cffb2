"""From values and edges to states, margins and shot volumes, over whole arrays at once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria.definition import Criterion, Edges, Flags
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.appraisal.inputs.intervals import Interval
from evenbarrel.appraisal.results import SEVERITY, Reason
from evenbarrel.trade.formula import Array

States = NDArray[np.int8]
OUTSIDE, NEAR_EDGE, NOT_STATED, INSIDE = (np.int8(SEVERITY.index(state)) for state in SEVERITY)

REASONS: tuple[Reason, ...] = ("comfort", "uncertainty", "soft", "unsettled")
"""Each a bit, in this order."""
COMFORT, UNCERTAINTY, UNCONFIRMED, UNSETTLED = (np.uint8(1 << bit) for bit in range(len(REASONS)))

TOUCH = 1e-9
"""Touching an edge counts as in: how far rounding may carry a value past one, as a share."""


def _above(value: Array, edge: Array) -> Flags:
    return value > edge * (1.0 + TOUCH)


def _below(value: Array, edge: Array) -> Flags:
    return value < edge * (1.0 - TOUCH)


def _wholly_beyond(interval: Interval, edges: Edges) -> Flags:
    beyond = np.zeros(interval.nominal.shape, dtype=np.bool_)
    if edges.allowed_high is not None:
        beyond |= _above(interval.low, edges.allowed_high)
    if edges.allowed_low is not None:
        beyond |= _below(interval.high, edges.allowed_low)
    return beyond


def beyond_physics(interval: Interval, edges: Edges) -> Flags:
    """Say where an interval is wholly beyond an edge of physics beside the criterion's own."""
    if edges.physical_high is None:
        return np.zeros(interval.nominal.shape, dtype=np.bool_)
    return _above(interval.low, edges.physical_high)


def _not_within(low: Array, high: Array, lowest: Array | None, highest: Array | None) -> Flags:
    beyond = np.zeros(low.shape, dtype=np.bool_)
    if highest is not None:
        beyond |= _above(high, highest)
    if lowest is not None:
        beyond |= _below(low, lowest)
    return beyond


def margin_to(value: Array, lowest: Array | None, highest: Array | None) -> Array:
    """Return min(high / value, value / low) - 1 over the edges that exist; nan without any."""
    with np.errstate(all="ignore"):
        factors = [None if highest is None else highest / value]
        factors.append(None if lowest is None else value / lowest)
        stated = [factor for factor in factors if factor is not None]
        if not stated:
            return np.full(value.shape, np.nan)
        margin = stated[0] if len(stated) == 1 else np.fmin(*stated)
        margin -= 1.0
        margin[~np.isfinite(margin)] = np.nan
        return margin


def _comfort(edges: Edges) -> tuple[Array | None, Array | None]:
    """Return the comfort edges, the hard edge where there is none or it is the narrower."""
    low, high = edges.allowed_low, edges.allowed_high
    if low is not None and edges.comfort_low is not None:
        low = np.fmax(low, edges.comfort_low)
    if high is not None and edges.comfort_high is not None:
        high = np.fmin(high, edges.comfort_high)
    return low, high


def _unknown(interval: Interval, edges: Edges) -> Flags:
    unknown = np.isnan(interval.nominal) | edges.value_only
    for edge in (edges.allowed_low, edges.allowed_high):
        if edge is not None:
            unknown = unknown | np.isnan(edge)
    return unknown


def states_of(interval: Interval, edges: Edges) -> tuple[States, NDArray[np.uint8]]:
    """Return the state of each value with its interval, and why it is near the edge (bits)."""
    physical = beyond_physics(interval, edges)
    outside = _wholly_beyond(interval, edges) | physical
    lowest, highest = _comfort(edges)
    uneasy = _not_within(interval.low, interval.high, lowest, highest)
    state = np.where(
        outside & (physical | ~(edges.unconfirmed | edges.estimated)),
        OUTSIDE,
        np.where(uneasy, NEAR_EDGE, INSIDE),
    )
    state = np.where(edges.only_outside & ~outside, NOT_STATED, state)
    state = np.where(_unknown(interval, edges), NOT_STATED, state).astype(np.int8)

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
        in_between * COMFORT
        | crossing * UNCERTAINTY
        | (outside & (edges.unconfirmed | edges.estimated)) * UNCONFIRMED
    )
    reasons = np.where(state == NEAR_EDGE, reasons, 0).astype(np.uint8)
    return state, reasons


@dataclass(frozen=True)
class Assessment:
    """One criterion over (barrels, jobs).

    `interval`, `state`, `reasons`, `physical` (outside by physics) and `margin` are those of the
    shot that counts in each cell, whose column `chosen` gives: the worst by state, then margin, the
    nominal one first. `edges` are over (barrels, shots), `inputs` over (readings, shots).
    """

    criterion: Criterion
    inputs: CriterionInputs
    edges: Edges
    interval: Interval
    state: States
    reasons: NDArray[np.uint8]
    physical: Flags
    margin: Array
    chosen: NDArray[np.int32]

    @cached_property
    def comfort_margin(self) -> Array:
        """Margin to the comfort edges, over (barrels, jobs)."""
        jobs = self.state.shape[1]
        lowest, highest = (None if e is None else e[:, :jobs] for e in _comfort(self.edges))
        return margin_to(self.interval.nominal, lowest, highest)

    @cached_property
    def shot_volumes(self) -> tuple[Array | None, Array | None]:
        """Lowest and highest shot volume that the hard edges allow [m3]; None: unbounded."""
        return self._volumes(self.edges.allowed_low, self.edges.allowed_high)

    @cached_property
    def comfort_volumes(self) -> tuple[Array | None, Array | None]:
        """Lowest and highest shot volume within comfort [m3]; None: unbounded."""
        return self._volumes(*_comfort(self.edges))

    def _volumes(self, low: Array | None, high: Array | None) -> tuple[Array | None, Array | None]:
        invert = self.criterion.shot_volume
        if invert is None:
            return None, None
        barrels = self.state.shape[0]
        printed = self.inputs.of_rows(slice(barrels))
        with np.errstate(all="ignore"):
            ends = [None if edge is None else invert(edge, printed) for edge in (low, high)]
        return (ends[0], ends[1]) if self.criterion.grows_with_shot else (ends[1], ends[0])
