"""Uncertain inputs as arrays, and the two evaluations that bound a value."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING, Any, Literal, Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.results import Bound
from evenbarrel.model.quantity import Quantity
from evenbarrel.trade.formula import Array

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Scalar = TypeVar("Scalar", bound=np.generic)

Monotonicity = Literal["up", "down", "none"]
"""Which way a value goes when an input grows."""

READINGS, SHOTS = 0, 1
"""Every input is an array over (readings of barrels, shots of jobs), of length 1 where it does
not depend on one of them."""


@dataclass(frozen=True, slots=True)
class Interval:
    """An input with its interval: three arrays of one shape in SI, nan where not stated."""

    nominal: Array
    low: Array
    high: Array

    def where(self, condition: np.ndarray, other: Interval) -> Interval:
        """Return this interval where `condition` holds and `other` elsewhere."""
        return Interval(
            np.where(condition, self.nominal, other.nominal),
            np.where(condition, self.low, other.low),
            np.where(condition, self.high, other.high),
        )

    def of_rows(self, rows: slice | NDArray[np.intp]) -> Interval:
        """Return some rows; the printed readings come first, one for each barrel."""
        return self.at(rows)

    def at(self, places: Any) -> Interval:
        """Return what stands at some places of its arrays."""
        nominal = self.nominal[places]
        if self.low is self.nominal and self.high is self.nominal:
            return exact(nominal)
        return Interval(nominal, self.low[places], self.high[places])

    def with_shots(self, places: list[int], other: Interval) -> Interval:
        """Return this interval with those of `other` at the places of some shots."""

        def put(mine: Array, new: Array) -> Array:
            together = mine.copy()
            together[:, places] = new
            return together

        nominal = put(self.nominal, other.nominal)
        if all(one.low is one.nominal and one.high is one.nominal for one in (self, other)):
            return exact(nominal)
        return Interval(nominal, put(self.low, other.low), put(self.high, other.high))


class Named(Protocol):
    """Inputs that are had by name."""

    def __getitem__(self, name: str, /) -> Interval:
        """Return the input of that name."""
        ...


def fields_of(part: DataclassInstance) -> dict[str, Interval]:
    """Return the inputs that a group of them holds, by name."""
    return {field.name: getattr(part, field.name) for field in fields(part)}


def rows_of_fields(part: DataclassInstance, rows: slice | NDArray[np.intp]) -> dict[str, Interval]:
    """Return some rows of the inputs of a group; one that is the same for all stays as it is."""
    return {
        name: interval if len(interval.nominal) == 1 else interval.of_rows(rows)
        for name, interval in fields_of(part).items()
    }


def stacked(parts: Sequence[NDArray[Scalar]], shape: tuple[int, ...]) -> NDArray[Scalar]:
    """Return arrays, each of which broadcasts to `shape`, as one over a further first axis.

    One array alone is not copied, and stays as small as it is.
    """
    if len(parts) == 1:
        return parts[0][np.newaxis]
    together = np.empty((len(parts), *shape), dtype=parts[0].dtype)
    for place, part in enumerate(parts):
        together[place] = part
    return together


def exact(values: Array) -> Interval:
    """Return an interval without width."""
    return Interval(values, values, values)


def widened(values: Array, half_width: Array | float) -> Interval:
    """Return an interval about `values` by their half-width as a share."""
    return Interval(values, values * (1.0 - half_width), values * (1.0 + half_width))


def around(value: float, half_width: float) -> Bound:
    """Return a value with its half-width, a share; more than the whole leaves nothing below."""
    return Bound(value, value * max(0.0, 1.0 - half_width), value * (1.0 + half_width))


def own_half_width(thing: object, name: str) -> float | None:
    """Return the half-width that a datum itself carries, a share, or None."""
    quantity = getattr(thing, name)
    return quantity.half_width if isinstance(quantity, Quantity) else None


def along(axis: int, numbers: Iterable[float | None]) -> Array:
    """Return numbers as an array along one axis; None becomes nan."""
    values = np.array(list(numbers), dtype=np.float64)
    return values.reshape(-1, 1) if axis == READINGS else values.reshape(1, -1)


def carried_along(
    axis: int, numbers: Iterable[float | None], half_widths: Iterable[float | None]
) -> Interval:
    """Return numbers as intervals along one axis, each with the half-width it carries, if any."""
    values, widths = along(axis, numbers), along(axis, half_widths)
    return exact(values) if np.isnan(widths).all() else widened(values, np.nan_to_num(widths))


def intervals_along(axis: int, bounds: Iterable[Bound | None]) -> Interval:
    """Return bounds as intervals along one axis; None becomes nan."""
    listed = [(b.nominal, b.low, b.high) if b else (np.nan,) * 3 for b in bounds]
    table = np.array(listed, dtype=np.float64).reshape(-1, 3)
    return Interval(*(along(axis, table[:, column]) for column in range(3)))


def bounded(
    value: Callable[..., Array], monotonic_in: Mapping[str, Monotonicity], inputs: Named
) -> Interval:
    """Return a value with its interval: nominal, all inputs to its low side, all to its high.

    `value` takes the inputs named in `monotonic_in` as keywords; it must be monotone in each as
    declared. The interval is a bound, not a confidence interval.
    """
    used = {name: inputs[name] for name in monotonic_in}
    nominal = value(**{name: interval.nominal for name, interval in used.items()})
    if all(
        monotonic_in[name] == "none" or (s.low is s.nominal and s.high is s.nominal)
        for name, s in used.items()
    ):
        return exact(nominal)
    low, high = {}, {}
    for name, interval in used.items():
        ends = {"up": (interval.low, interval.high), "down": (interval.high, interval.low)}
        low[name], high[name] = ends.get(monotonic_in[name], (interval.nominal, interval.nominal))
    return Interval(nominal, value(**low), value(**high))


def at(values: np.ndarray, reading: int, shot: int) -> float:
    """Return one number of an array over (readings, shots), whatever it depends on."""
    rows, columns = values.shape
    return float(values.item(reading if rows > 1 else 0, shot if columns > 1 else 0))
