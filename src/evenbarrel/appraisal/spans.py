"""Uncertain inputs as arrays, and the two evaluations that bound a value."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.results import Bound
from evenbarrel.trade.formula import Array

Effect = Literal["up", "down", "none"]
"""Which way a value goes when an input grows."""

READINGS, SHOTS = 0, 1
"""Every input is an array over (readings of barrels, shots of jobs), of length 1 where it does
not depend on one of them."""


@dataclass(frozen=True, slots=True)
class Span:
    """An input with its interval: three arrays of one shape in SI, nan where not stated."""

    nominal: Array
    low: Array
    high: Array

    def where(self, condition: np.ndarray, other: Span) -> Span:
        """Return this span where `condition` holds and `other` elsewhere."""
        return Span(
            np.where(condition, self.nominal, other.nominal),
            np.where(condition, self.low, other.low),
            np.where(condition, self.high, other.high),
        )

    def of_rows(self, rows: slice | NDArray[np.intp]) -> Span:
        """Return some rows; the printed readings come first, one for each barrel."""
        nominal = self.nominal[rows]
        if self.low is self.nominal and self.high is self.nominal:
            return exact(nominal)
        return Span(nominal, self.low[rows], self.high[rows])


Inputs = Mapping[str, Span]


def exact(values: Array) -> Span:
    """Return a span without width."""
    return Span(values, values, values)


def widened(values: Array, half_width: Array | float) -> Span:
    """Return a span of `values` by their half-width as a share."""
    return Span(values, values * (1.0 - half_width), values * (1.0 + half_width))


def along(axis: int, numbers: Iterable[float | None]) -> Array:
    """Return numbers as an array along one axis; None becomes nan."""
    values = np.array([np.nan if x is None else x for x in numbers], dtype=np.float64)
    return values.reshape(-1, 1) if axis == READINGS else values.reshape(1, -1)


def carried_along(
    axis: int, numbers: Iterable[float | None], half_widths: Iterable[float | None]
) -> Span:
    """Return numbers as a span along one axis, each with the half-width it carries, if any."""
    values, widths = along(axis, numbers), along(axis, half_widths)
    return exact(values) if np.isnan(widths).all() else widened(values, np.nan_to_num(widths))


def spans_along(axis: int, bounds: Iterable[Bound | None]) -> Span:
    """Return bounds as a span along one axis; None becomes nan."""
    listed = [(b.nominal, b.low, b.high) if b else (np.nan,) * 3 for b in bounds]
    table = np.array(listed, dtype=np.float64).reshape(-1, 3)
    return Span(*(along(axis, table[:, column]) for column in range(3)))


def bounded(value: Callable[..., Array], effects: Mapping[str, Effect], inputs: Inputs) -> Span:
    """Return a value with its interval: nominal, all inputs to its low side, all to its high.

    `value` takes the inputs named in `effects` as keywords; it must be monotone in each as
    declared. The interval is a bound, not a confidence interval.
    """
    used = {name: inputs[name] for name in effects}
    nominal = value(**{name: span.nominal for name, span in used.items()})
    if all(
        effects[name] == "none" or (s.low is s.nominal and s.high is s.nominal)
        for name, s in used.items()
    ):
        return exact(nominal)
    low, high = {}, {}
    for name, span in used.items():
        ends = {"up": (span.low, span.high), "down": (span.high, span.low)}
        low[name], high[name] = ends.get(effects[name], (span.nominal, span.nominal))
    return Span(nominal, value(**low), value(**high))


def at(values: np.ndarray, reading: int, shot: int) -> float:
    """Return one number of an array over (readings, shots), whatever it depends on."""
    rows, columns = values.shape
    return float(values.item(reading if rows > 1 else 0, shot if columns > 1 else 0))
