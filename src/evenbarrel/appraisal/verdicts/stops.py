"""What stops a cell: why its barrel may not run the job yet, or at all, over whole arrays."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.gate_results import GateKind
from evenbarrel.appraisal.verdicts.grid import Grid
from evenbarrel.appraisal.verdicts.states import BIT, OUTSIDE

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

Stops = NDArray[np.uint8]


@cache
def stops_in(bits: int) -> tuple[Stop, ...]:
    """Return the reasons for a stop that these bits stand for, in their order."""
    return tuple(stop for stop, bit in STOP.items() if bits & int(bit))


def stops_of(grid: Grid) -> tuple[Stops, ...]:
    """Return for each criterion what stops each cell (bits), over (barrels, jobs)."""
    found = []
    for verdicts in grid.verdicts:
        key, basis = verdicts.criterion.key, verdicts.criterion.basis
        outside = verdicts.state == OUTSIDE
        if key in grid.accepted:
            outside = outside & ~grid.accepted[key]
        if basis == "practice":
            refused = grid.refused.get(key, np.False_)
            bits = (outside & ~refused) * STOP["rule"] | (outside & refused) * STOP["refused"]
        else:
            bits = outside * STOP["outside"]
        if key in grid.required:
            bits |= verdicts.open * STOP["open"]
        for reason in ("beyond_unconfirmed", "disputed"):
            said = (verdicts.reasons & BIT[reason]) > 0
            bits |= said * STOP[reason]
        found.append(bits.astype(np.uint8))
    return tuple(found)
