"""Which limit stands behind the edge that a criterion's cells are beyond."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np

from evenbarrel.appraisal.criteria.definition import Flags
from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.references import LimitRef
from evenbarrel.appraisal.verdicts.assessments import Verdicts
from evenbarrel.model.resin import Resin

End = Literal["low", "high"]

_DATUM_OF: Mapping[str, str] = {
    "residence": "residence_limits",
    "screw_speed": "peripheral_speed_limit",
    "wear": "abrasive",
    "corrosion": "corrosive",
}
"""The datum of the resin that is the edge of a criterion."""


def limit_behind(criterion: str, resin: Resin | None, end: End) -> LimitRef | None:
    """Return the limit that is a criterion's hard edge at one end, None where nobody sets one.

    A share of volume is the resin's own limit, else the evaluation's for its class.
    """
    name = None if resin is None else resin.id
    if criterion in _DATUM_OF:
        return LimitRef(name, _DATUM_OF[criterion])
    if criterion == "utilisation" and resin is not None:
        if getattr(resin, f"utilisation_{end}") is not None:
            return LimitRef(name, f"utilisation_{end}")
        return LimitRef(None, f"{resin.resin_class}_{end}")
    if criterion == "stroke":
        return LimitRef(None, f"stroke_{end}")
    return LimitRef(None, "ring_share") if criterion == "ring_share" else None


def limits_crossed(
    verdicts: Verdicts, columns: Sequence[Column], cells: Flags
) -> Mapping[LimitRef, Flags]:
    """Return the limits that these cells are beyond, each with which of them, (barrels, jobs)."""
    found: dict[LimitRef, Flags] = {}
    # What is beyond an edge and not below the lower one is above the upper.
    for column in np.flatnonzero(cells.any(axis=0)):
        resin, low = columns[int(column)].resin, verdicts.below[:, column]
        for end, beyond in (("low", low), ("high", ~low)):
            here = cells[:, column] & beyond
            limit = limit_behind(verdicts.criterion.key, resin, "low" if end == "low" else "high")
            if limit is not None and here.any():
                flags = found.setdefault(limit, np.zeros(cells.shape, dtype=np.bool_))
                flags[here, column] = True
    return found
