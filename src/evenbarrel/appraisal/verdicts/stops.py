"""What stops a cell: why its barrel may not run the job yet, or at all, over whole arrays."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.gate_results import GateKind
from evenbarrel.appraisal.verdicts.grid import Grid
from evenbarrel.appraisal.verdicts.states import BIT
from evenbarrel.model.limits import CRITERIA

Stop = Literal["outside", "refused", "rule", "open", "beyond_unconfirmed", "disputed"]

STOP: Mapping[Stop, np.uint8] = {
    "outside": np.uint8(1),
    "refused": np.uint8(2),
    "rule": np.uint8(4),
    "open": np.uint8(8),
    "beyond_unconfirmed": np.uint8(16),
    "disputed": np.uint8(32),
}
"""Each is a bit: outside by physics or a resin's limit; a rule that a person will not waive; a
rule that waits for a person; a required criterion that is open; beyond a limit that nobody
confirmed; hanging on a datum in doubt."""

SHUTS = STOP["outside"] | STOP["refused"]
WAITS = STOP["rule"] | STOP["open"] | STOP["beyond_unconfirmed"] | STOP["disputed"]

KINDS: Mapping[Stop, GateKind] = {
    "outside": "outside",
    "refused": "rule",
    "rule": "rule",
    "open": "open",
    "beyond_unconfirmed": "beyond_unconfirmed",
    "disputed": "disputed",
}
"""How each is called among the reasons of a gate."""

SAID: tuple[Literal["beyond_unconfirmed", "disputed"], ...] = ("beyond_unconfirmed", "disputed")
"""What stops a cell that is near the edge for that reason."""

Stops = NDArray[np.uint8]
"""Bits; over all criteria their axis is the first."""


@cache
def stops_in(bits: int) -> tuple[Stop, ...]:
    """Return the reasons for a stop that these bits stand for, in their order."""
    return tuple(stop for stop, bit in STOP.items() if bits & int(bit))


def stops_of(grid: Grid) -> Stops:
    """Return what stops each cell (bits), over (criteria, barrels, jobs)."""
    outside = grid.outside
    if grid.accepted:
        outside = outside.copy()
        for key, accepted in grid.accepted.items():
            outside[CRITERIA.index(key)] &= ~accepted
    stop = np.where(grid.on("practice"), STOP["rule"], STOP["outside"])
    bits = outside * stop.astype(np.uint8)[:, np.newaxis, np.newaxis]
    for key, refused in grid.refused.items():
        bits[CRITERIA.index(key)][refused & outside[CRITERIA.index(key)]] = STOP["refused"]
    required = [CRITERIA.index(key) for key in grid.required]
    bits[required] |= grid.opens[required] * STOP["open"]
    for reason in SAID:
        bits |= ((grid.why & BIT[reason]) > 0) * STOP[reason]
    return bits
