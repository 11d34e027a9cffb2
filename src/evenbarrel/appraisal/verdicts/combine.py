"""From the criteria of a cell to the cell: its state and what binds it, over whole arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria.definition import Criterion, Flags
from evenbarrel.appraisal.results import Basis
from evenbarrel.appraisal.verdicts.states import (
    BIT,
    INSIDE,
    NEAR_EDGE,
    NOT_STATED,
    OUTSIDE,
    TOUCH,
    Reasons,
    States,
)
from evenbarrel.trade.formula import Array

NONE_BINDING = -1

CELLS_AT_ONCE = 20_000
"""Cells of which all criteria are compared together: as many as stay near the processor."""

Binding = NDArray[np.int8]
"""Places in the table of criteria; -1 where nothing binds."""


@dataclass(frozen=True, slots=True)
class Judged:
    """Every criterion over the cells of rows and jobs, in the order of the table.

    State codes, why a cell is near the edge (bits) and where nothing could be assessed are over
    (criteria, rows, jobs); the margins to the hard edges, nan where there is no number, over
    (rows, jobs) for each criterion.
    """

    criteria: tuple[Criterion, ...]
    states: States
    reasons: Reasons
    opens: Flags
    margins: Sequence[Array]


BASES: tuple[Basis, ...] = ("physical", "resin", "practice")
"""What binds first in a cell that is outside."""


def combined_state(judged: Judged, required: Sequence[str]) -> States:
    """Return outside if any criterion is, else near the edge, else not stated, else inside."""
    counted = np.array([criterion.key in required for criterion in judged.criteria])
    needed, others = (judged.states[of].min(axis=0, initial=INSIDE) for of in (counted, ~counted))
    # Of those that need not be stated the least is so only where none of them is worse.
    return np.asarray(np.minimum(needed, np.where(others == NOT_STATED, INSIDE, others)))


def binding_of(judged: Judged, state: States, required: Sequence[str]) -> tuple[Binding, Array]:
    """Return what binds in cells of these states, with its margin.

    In an outside cell physics before resin before practice, then the least margin; elsewhere the
    least margin among the criteria with the cell's state, near an edge first of what is beyond a
    limit that nobody confirmed, for the barrel waits for that; in a cell that is not stated the
    first required one that is open. What has no number comes last in inside cells, first elsewhere.
    """
    binding, least = np.empty(state.shape, dtype=np.int8), np.empty(state.shape)
    at_once = max(1, CELLS_AT_ONCE // max(1, state.shape[1]))
    for start in range(0, len(state), at_once):
        rows = slice(start, start + at_once)
        binding[rows], least[rows] = _binding_in(rows, judged, state[rows], required)
    return binding, least


def _binding_in(
    rows: slice, judged: Judged, state: States, required: Sequence[str]
) -> tuple[Binding, Array]:
    states, unknown = judged.states[:, rows], state == NOT_STATED
    may_bind = _may_bind(judged.criteria, states, judged.reasons[:, rows], state, required)
    margins = np.stack([of_one[rows] for of_one in judged.margins])
    unnumbered = np.where(state == INSIDE, np.inf, -np.inf)
    margins = np.where(np.isnan(margins), unnumbered, margins)
    if unknown.any():
        margins = np.where(unknown, np.where(judged.opens[:, rows], -np.inf, 0.0), margins)
    # Two edges may be one by arithmetic, as 80 % of 5 D and 4 D: rounding decides nothing.
    room = 1.0 + margins
    touched = room * (1.0 - TOUCH)
    binding, nearest = np.full(state.shape, NONE_BINDING, dtype=np.int8), np.empty(state.shape)
    for place in np.flatnonzero(may_bind.any(axis=(1, 2))).tolist():
        closer = may_bind[place] & ((room[place] < nearest) | (binding == NONE_BINDING))
        np.copyto(binding, np.int8(place), where=closer)
        np.copyto(nearest, touched[place], where=closer)
    least = np.take_along_axis(margins, np.maximum(binding, 0)[np.newaxis], axis=0)[0]
    least[binding == NONE_BINDING] = np.inf
    stated = (states != NOT_STATED).any(axis=0)
    return np.where(stated, binding, np.int8(NONE_BINDING)), least


def _may_bind(
    criteria: Sequence[Criterion],
    states: States,
    reasons: Reasons,
    state: States,
    required: Sequence[str],
) -> Flags:
    """Return which criteria have their cells' state, and come first among those that have it.

    In outside cells these are the ones of the first basis, near an edge those that are beyond a
    limit that nobody confirmed, where there are any.
    """
    found = np.asarray(states == state)
    unknown, outside, near = state == NOT_STATED, state == OUTSIDE, state == NEAR_EDGE
    if near.any():
        waits = found & near & ((reasons & BIT["beyond_unconfirmed"]) > 0)
        found &= waits | ~waits.any(axis=0)
    if unknown.any():
        found[[criterion.key not in required for criterion in criteria]] &= ~unknown
    if outside.any():
        ranks = np.array([BASES.index(criterion.basis) for criterion in criteria], dtype=np.int8)
        rank = np.where(found, ranks[:, None, None], np.int8(len(BASES)))
        found &= ~outside | (rank == rank.min(axis=0))
    return found
