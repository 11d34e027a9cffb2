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

    @property
    def is_exact(self) -> bool:
        """Whether it has no width."""
        return self.low is self.nominal and self.high is self.nominal

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
        if self.is_exact:
            return exact(nominal)
        return Interval(nominal, self.low[places], self.high[places])


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
    """Return the bound of a value by its half-width, a share; its low end is never below 0."""
    return Bound(value, value * max(0.0, 1.0 - half_width), value * (1.0 + half_width))


def own_half_width(thing: object, name: str) -> float | None:
    """Return the half-width that a datum itself carries, a share, or None."""
    quantity = getattr(thing, name)
    return quantity.half_width if isinstance(quantity, Quantity) else None


def along(axis: int, numbers: Iterable[float | None]) -> Array:
    """Return numbers as an array along one axis; None becomes nan."""
    values = np.array(list(numbers), dtype=np.float64)
    return values.reshape(-1, 1) if axis == READINGS else values.reshape(1, -1)


Ends = tuple[Sequence[float | None], ...]
"""Numbers along one axis: alone where none has a width, else followed by their low and high."""


def carried(numbers: Sequence[float | None], half_widths: Sequence[float | None]) -> Ends:
    """Return numbers each with the half-width it carries, a share, if any."""
    if all(width is None for width in half_widths):
        return (numbers,)
    pairs = [(n, w or 0.0) for n, w in zip(numbers, half_widths, strict=True)]
    low = [None if number is None else number * (1.0 - width) for number, width in pairs]
    high = [None if number is None else number * (1.0 + width) for number, width in pairs]
    return numbers, low, high


def ends_of(bounds: Iterable[Bound | None]) -> Ends:
    """Return bounds as numbers with their low and high."""
    listed = [(None, None, None) if b is None else (b.nominal, b.low, b.high) for b in bounds]
    return tuple(zip(*listed, strict=True)) or ((), (), ())


def intervals_along(axis: int, given: Mapping[str, Ends]) -> dict[str, Interval]:
    """Return numbers as intervals along one axis, by name; None becomes nan."""
    # In one table: numpy is called once, and not for every name.
    table = np.array([numbers for ends in given.values() for numbers in ends], dtype=np.float64)
    columns = table[:, :, np.newaxis] if axis == READINGS else table[:, np.newaxis, :]
    ends = iter(columns)
    return {
        name: exact(next(ends)) if len(of) == 1 else Interval(next(ends), next(ends), next(ends))
        for name, of in given.items()
    }


def with_places(
    mine: Mapping[str, Interval], axis: int, places: Sequence[int], new: Mapping[str, Interval]
) -> dict[str, Interval]:
    """Return intervals along one axis, with those of `new` at some places.

    One that is the same there stays the very same object.
    """
    at = list(places)
    together, there = _table(mine.values()), _table(new[name] for name in mine)
    # By their bits: nan is like nan.
    differ = together[:, :, at].view(np.int64) != there.view(np.int64)
    together[:, :, at] = there
    of_axis = np.s_[..., np.newaxis] if axis == READINGS else np.s_[:, np.newaxis, :]
    changed = dict(zip(mine, differ.any(axis=(1, 2)).tolist(), strict=True))

    def now(name: str, ends: NDArray[np.float64]) -> Interval:
        if mine[name].is_exact and new[name].is_exact:
            return exact(ends[0])
        return Interval(*ends)

    return {
        name: now(name, together[place][of_axis]) if changed[name] else mine[name]
        for place, name in enumerate(mine)
    }


def _table(intervals: Iterable[Interval]) -> Array:
    """Return intervals along one axis as one array of shape (intervals, 3, length)."""
    ends = [end.ravel() for one in intervals for end in (one.nominal, one.low, one.high)]
    return np.concatenate(ends).reshape(len(ends) // 3, 3, -1)


_AT_ONCE = 3
"""Axes of what is evaluated at once: nominal, low and high; readings; shots."""


def bounded(
    value: Callable[..., Array],
    monotonic_in: Mapping[str, Monotonicity],
    inputs: Named,
    *,
    at_once: bool = False,
) -> Interval:
    """Return a value with its interval: nominal, all inputs to its low side, all to its high.

    `value` takes the inputs named in `monotonic_in` as keywords; it must be monotone in each as
    declared. The interval is a bound, not a confidence interval. `at_once` makes the three
    evaluations in one, over a further first axis: of few numbers the calls cost more.
    """
    used = {name: inputs[name] for name in monotonic_in}
    nominal = {name: interval.nominal for name, interval in used.items()}
    if all(monotonic_in[name] == "none" or interval.is_exact for name, interval in used.items()):
        return exact(value(**nominal))
    low, high = {}, {}
    for name, interval in used.items():
        ends = {"up": (interval.low, interval.high), "down": (interval.high, interval.low)}
        low[name], high[name] = ends.get(monotonic_in[name], (interval.nominal, interval.nominal))
    if not at_once:
        return Interval(value(**nominal), value(**low), value(**high))
    moved = (n for n, one in nominal.items() if low[n] is not one or high[n] is not one)
    together = {name: np.array((nominal[name], low[name], high[name])) for name in moved}
    found = value(**nominal | together)
    # Without a first axis none of what moved was looked at.
    return Interval(*found) if found.ndim == _AT_ONCE else exact(found)


def at(values: np.ndarray, reading: int, shot: int) -> float:
    """Return one number of an array over (readings, shots), whatever it depends on."""
    rows, columns = values.shape
    return float(values.item(reading if rows > 1 else 0, shot if columns > 1 else 0))
