"""Programmes in whole numbers, solved by HiGHS: what to choose so that a sum is least."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING

import numpy as np

from evenbarrel.trade.formula import Array

if TYPE_CHECKING:
    from highspy._core import _Highs as Solver

ROUNDING = 1e-6
"""How far a whole number may be off, and a row be broken."""


@dataclass(frozen=True, slots=True)
class Solution:
    """The values found, their sum, and the least sum that cannot be ruled out (`bound`)."""

    values: Array
    objective: float
    bound: float

    @property
    def gap(self) -> float:
        """How much better there might still be, as a share; 0 where it is proven that none is."""
        apart = abs(self.objective - self.bound)
        return (
            0.0
            if apart <= 1e-6 * max(1.0, abs(self.objective))
            else apart / max(abs(self.objective), 1e-12)
        )


class WholeNumbers:
    """Columns within bounds, all but the `shares` whole numbers, and rows that bind them."""

    def __init__(self, lower: Sequence[float], upper: Sequence[float], shares: int = 0) -> None:
        """Take the bounds of every column; the last `shares` of them need not be whole."""
        # Loaded when a cover is first asked for. The solver's own class: the one around it prints
        # its name to the output when it is made, and results are written there.
        from highspy._core import HighsVarType
        from highspy._core import _Highs as Solver

        self._solver: Solver = Solver()
        for option, value in (
            ("output_flag", False),
            ("threads", 1),
            ("random_seed", 0),
            ("mip_abs_gap", 1e-9),
        ):
            self._solver.setOptionValue(option, value)
        self.columns = len(lower)
        self._solver.addVars(self.columns, np.array(lower, float), np.array(upper, float))
        whole = self.columns - shares
        self._solver.changeColsIntegrality(
            whole,
            np.arange(whole, dtype=np.int32),
            np.full(whole, int(HighsVarType.kInteger), dtype=np.uint8),
        )

    def add_row(self, low: float, terms: Mapping[int, float], high: float) -> None:
        """Demand that a sum of columns lies between two numbers."""
        columns = np.array(list(terms), dtype=np.int32)
        factors = np.array(list(terms.values()), dtype=np.float64)
        self._solver.addRow(low, high, len(columns), columns, factors)

    def least(
        self, factors: Mapping[int, float], until: float, near: float = 0.0
    ) -> Solution | None:
        """Return values that make a sum of columns least; None where no values keep every row.

        `until` is a time of `time.monotonic`: what has been found by then is returned, None where
        nothing has. Within `near`, a share, of the least possible is good enough. The same numbers
        give the same values, unless time runs out.
        """
        costs = np.zeros(self.columns)
        costs[list(factors)] = list(factors.values())
        # In units of its largest factor, so that a tolerance means the same everywhere.
        unit = max(float(np.abs(costs).max(initial=0.0)), 1e-300)
        self._solver.changeColsCost(
            self.columns, np.arange(self.columns, dtype=np.int32), costs / unit
        )
        self._solver.setOptionValue("mip_rel_gap", near)
        self._solver.setOptionValue("time_limit", max(0.01, until - monotonic()))
        self._solver.run()
        info = self._solver.getInfo()
        # 2: a point that keeps every row was found.
        if info.primal_solution_status != 2:
            return None
        values = np.array(self._solver.getSolution().col_value)
        objective, bound = info.objective_function_value * unit, info.mip_dual_bound * unit
        return Solution(values, objective, bound if np.isfinite(bound) else -np.inf)
