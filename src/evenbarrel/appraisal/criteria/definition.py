"""What a criterion is: a value, its edges, and the shot volume that an edge stands for.

Each is declared in the module of its subject (`size`, `plasticising` ...); the room lists them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.appraisal.inputs.intervals import Monotonicity, stacked
from evenbarrel.appraisal.results import Basis, Misfit, ValueUnit
from evenbarrel.trade.formula import Array

Flags = NDArray[np.bool_]

Alternatives = tuple[tuple[str, ...], ...]
"""Sets of a supplier's data, any one of which serves."""

NO = np.zeros((1, 1), dtype=np.bool_)
_NONE = np.full((1, 1), np.nan)
_HARD = {"comfort_low": "allowed_low", "comfort_high": "allowed_high"}
"""The hard edge within which a comfort edge counts."""


@dataclass(frozen=True, slots=True)
class Edges:
    """Hard edges (`allowed`) and comfort edges, SI, over (readings, shots); None: no such edge.

    `unconfirmed_low` and `unconfirmed_high`: that hard edge is recalled from memory and nobody
    confirmed it; no worse than near the edge, and beyond it the barrel waits. `estimated`: the
    value rests on an estimate or an assumption, or the edge on a caution; no worse than near the
    edge either, but nothing waits. `only_outside`: the value is a lower bound, so only being
    beyond the edge says anything. `value_only`: the value is shown, nothing is said.
    """

    allowed_low: Array | None = None
    allowed_high: Array | None = None
    comfort_low: Array | None = None
    comfort_high: Array | None = None
    unconfirmed_low: Flags = field(default_factory=lambda: NO)
    unconfirmed_high: Flags = field(default_factory=lambda: NO)
    estimated: Flags = field(default_factory=lambda: NO)
    only_outside: Flags = field(default_factory=lambda: NO)
    value_only: Flags = field(default_factory=lambda: NO)

    @property
    def soft(self) -> Flags:
        """Where an edge is unconfirmed or the value estimated."""
        return self.unconfirmed_low | self.unconfirmed_high | self.estimated

    def of_rows(self, rows: slice | NDArray[np.intp]) -> Edges:
        """Return the edges of some rows; an edge that is one for all stays so."""
        parts: dict[str, Any] = {f.name: getattr(self, f.name) for f in fields(self)}
        cut: dict[str, Any] = {
            name: part if part is None or len(part) == 1 else part[rows]
            for name, part in parts.items()
        }
        return Edges(**cut)

    @property
    def unstated(self) -> Flags:
        """Where there is a hard edge and nobody knows it."""
        hard = (self.allowed_low, self.allowed_high)
        known = [np.isnan(edge) for edge in hard if edge is not None]
        return known[0] if len(known) == 1 else np.logical_or.reduce(known) if known else NO

    @classmethod
    def together(cls, of_each: Sequence[Edges], shape: tuple[int, int]) -> Edges:
        """Return the edges of several criteria over (criteria, *shape).

        One that a criterion does not have is nan there: nothing is beyond it.
        """
        return cls(**{part.name: _of_all(of_each, part.name, shape) for part in fields(cls)})


def _of_all(of_each: Sequence[Edges], name: str, shape: tuple[int, int]) -> Any:
    """Return one part of the edges of several criteria, as small as it can be."""
    hard = _HARD.get(name, name)
    parts = [None if getattr(one, hard) is None else getattr(one, name) for one in of_each]
    if all(part is None for part in parts):
        return None
    if all(part is NO for part in parts):
        return NO[np.newaxis]
    return stacked([_NONE if part is None else part for part in parts], shape)


@dataclass(frozen=True, slots=True)
class Criterion:
    """One criterion, barrel by job.

    `monotonic_in` names the inputs of `value` and which way each moves it. `needs` names the
    inputs that must be stated, with the data to ask for where one is not. `shot_volume` gives the
    shot volume at which the value stands at an edge (None: the value does not depend on it).
    Without `numeric` the value is a degree of unsuitability, 0 suited, and no number is shown;
    `misfits` then tells, from the nominal inputs of one cell by name, what is unsuited in it.
    `supplier` lists what a supplier must state, each need by one of its alternatives; of a unit
    that is no reciprocating screw only where `any_unit`. `source` is the key of the bibliography.
    """

    key: str
    basis: Basis
    unit: ValueUnit
    monotonic_in: Mapping[str, Monotonicity]
    value: Callable[..., Array]
    edges: Callable[[CriterionInputs], Edges]
    needs: Mapping[str, tuple[str, ...]]
    supplier: tuple[Alternatives, ...] = ()
    shot_volume: Callable[[Array, CriterionInputs], Array] | None = None
    grows_with_shot: bool = True
    numeric: bool = True
    misfits: Callable[[Callable[[str], float]], tuple[Misfit, ...]] = lambda given: ()
    any_unit: bool = False
    source: str = "definition"
