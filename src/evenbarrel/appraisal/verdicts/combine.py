"""From the criteria of a cell to the cell: its state and what binds it, over whole arrays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

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

Binding = NDArray[np.int8]
"""Places in the table of criteria; -1 where nothing binds."""


class Stated(Protocol):
    """A criterion's cells, of barrels or of their readings."""

    @property
    def state(self) -> States:
        """State codes."""
        ...

    @property
    def reasons(self) -> Reasons:
        """Why a cell is near the edge, in bits."""
        ...

    @property
    def margin(self) -> Array:
        """Margin to the hard edges; nan where there is no number."""
        ...


Judged = Sequence[tuple[Criterion, Stated]]
"""Every criterion in the order of the table, with its cells."""

BASES: tuple[Basis, ...] = ("physical", "resin", "practice")
"""What binds first in a cell that is outside."""


def combined_state(judged: Judged, required: Sequence[str]) -> States:
    """Return outside if any criterion is, else near the edge, else not stated, else inside."""
    state = np.full(judged[0][1].state.shape, INSIDE, dtype=np.int8)
    for criterion, cells in judged:
        of_one = cells.state
        if criterion.key not in required:
            of_one = np.where(of_one == NOT_STATED, INSIDE, of_one)
        state = np.minimum(state, of_one)
    return state


def binding_of(
    judged: Judged, state: States, opens: Sequence[Flags], required: Sequence[str]
) -> tuple[Binding, Array]:
    """Return what binds in cells of these states, with its margin.

    In an outside cell physics before resin before practice, then the least margin; elsewhere the
    least margin among the criteria with the cell's state, near an edge first of what is beyond a
    limit that nobody confirmed, for the barrel waits for that; in a cell that is not stated the
    first required one that is open. What has no number comes last in inside cells, first elsewhere.
    """
    least = np.full(state.shape, np.inf)
    binding = np.full(state.shape, NONE_BINDING, dtype=np.int8)
    unnumbered = np.where(state == INSIDE, np.inf, -np.inf)
    states, unknown = np.stack([cells.state for _, cells in judged]), state == NOT_STATED
    may_bind = _may_bind(judged, states, state, required)
    some_unknown = bool(unknown.any())
    for place in np.flatnonzero(may_bind.any(axis=(1, 2))).tolist():
        margin = judged[place][1].margin
        margin = np.where(np.isnan(margin), unnumbered, margin)
        if some_unknown:
            margin = np.where(unknown, np.where(opens[place], -np.inf, 0.0), margin)
        # Two edges may be one by arithmetic, as 80 % of 5 D and 4 D: rounding decides nothing.
        less = 1.0 + margin < (1.0 + least) * (1.0 - TOUCH)
        closer = may_bind[place] & (less | (binding == NONE_BINDING))
        np.copyto(binding, np.int8(place), where=closer)
        np.copyto(least, margin, where=closer)
    stated = (states != NOT_STATED).any(axis=0)
    return np.where(stated, binding, np.int8(NONE_BINDING)), least


def _may_bind(
    judged: Judged, states: NDArray[np.int8], state: States, required: Sequence[str]
) -> Flags:
    """Return which criteria have their cells' state, and come first among those that have it.

    In outside cells these are the ones of the first basis, near an edge those that are beyond a
    limit that nobody confirmed, where there are any.
    """
    found = np.asarray(states == state)
    unknown, outside, near = state == NOT_STATED, state == OUTSIDE, state == NEAR_EDGE
    if near.any():
        unconfirmed = [(cells.reasons & BIT["beyond_unconfirmed"]) > 0 for _, cells in judged]
        waits = found & near & np.stack(unconfirmed)
        found &= waits | ~waits.any(axis=0)
    if unknown.any():
        found[[criterion.key not in required for criterion, _ in judged]] &= ~unknown
    if outside.any():
        ranks = np.array([BASES.index(criterion.basis) for criterion, _ in judged], dtype=np.int8)
        rank = np.where(found, ranks[:, None, None], np.int8(len(BASES)))
        found &= ~outside | (rank == rank.min(axis=0))
    return found
