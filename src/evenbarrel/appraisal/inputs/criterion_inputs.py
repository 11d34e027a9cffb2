"""All inputs of the criteria side by side: of the barrel, of the job, and of both together."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.inputs.barrel_inputs import BarrelInputs
from evenbarrel.appraisal.inputs.intervals import Interval, rows_of_fields
from evenbarrel.appraisal.inputs.job_inputs import JobInputs


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class CriterionInputs(BarrelInputs, JobInputs):
    """Every input over (readings, shots), of length 1 along what it does not depend on."""

    rate_conversion: Interval
    rate_in_resin: Interval
    factor_of_volume: Interval

    def __getitem__(self, name: str) -> Interval:
        """Return the input of that name; raises AttributeError."""
        value: Interval = getattr(self, name)
        return value

    def changed_from(self, earlier: CriterionInputs) -> frozenset[str]:
        """Return the names of the inputs that are not what they were, to the last bit."""
        names = (field.name for field in fields(self))
        return frozenset(name for name in names if not _alike(self[name], earlier[name]))

    def of_rows(self, rows: slice | NDArray[np.intp]) -> CriterionInputs:
        """Return the inputs of these rows only; one that is the same for all stays as it is."""
        return CriterionInputs(**rows_of_fields(self, rows))


def _alike(one: Interval, other: Interval) -> bool:
    if one is other:
        return True
    ends = ((one.nominal, other.nominal), (one.low, other.low), (one.high, other.high))
    # By their bits: quicker than by numbers, and nan is like nan.
    return all(a is b or (a.shape == b.shape and a.tobytes() == b.tobytes()) for a, b in ends)
