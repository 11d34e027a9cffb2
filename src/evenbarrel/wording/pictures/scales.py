"""The scales a picture is read on: from a value to its place along a ruler, and the divisions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10
from typing import Literal

ScaleKey = Literal["volume_log", "volume", "share", "diameters", "mass"]

LINED: tuple[ScaleKey, ...] = ("volume_log", "volume", "mass")
"""Scales on which a planned shot stands at one place for every barrel."""


@dataclass(frozen=True, slots=True)
class Scale:
    """How shots and barrels are laid along the ruler; `resin` is the one grams are read in."""

    key: ScaleKey = "volume_log"
    resin: str | None = None


@dataclass(frozen=True, slots=True)
class Tick:
    """One division of a ruler; `text` is empty for the small ones."""

    value: float
    text: str


_STEPS = (1.0, 2.0, 5.0)
_MOST_SMALL = 120
_STEPS_A_DECADE = 20
"""Of the ends of a logarithmic ruler: 12 % each."""


@dataclass(frozen=True, slots=True)
class Axis:
    """A ruler of a quantity from `low` to `high` in `unit`.

    A value has a position along it: itself, or its decimal logarithm.
    """

    quantity: str
    logarithmic: bool
    low: float
    high: float
    unit: str = ""

    @property
    def title(self) -> str:
        """The quantity, its unit, and whether the ruler is logarithmic."""
        return f"{self.quantity}, {self.remark}"

    @property
    def remark(self) -> str:
        """What stands after the quantity: its unit, and whether the ruler is logarithmic."""
        return f"{self.unit}, logarithmic" if self.logarithmic else self.unit

    def position(self, value: float) -> float:
        """Return where a value lies; on a logarithmic ruler zero lies at its low end."""
        if not self.logarithmic:
            return value
        return log10(value) if value > 0 else log10(self.low)

    def value(self, position: float) -> float:
        """Return the value at a position."""
        return 10.0**position if self.logarithmic else position

    def fraction(self, value: float) -> float:
        """Return the place of a value as a share of the whole ruler, 0 to 1 within it."""
        low, high = self.position(self.low), self.position(self.high)
        return (self.position(value) - low) / (high - low)

    def ticks(
        self, low: float | None = None, high: float | None = None, most: int = 12
    ) -> tuple[Tick, ...]:
        """Return the divisions from `low` to `high` (the whole ruler), at most `most` numbered."""
        low = self.low if low is None else low
        high = self.high if high is None else high
        if not (isfinite(low) and isfinite(high)) or high <= low:
            return ()
        if self.logarithmic and low > 0 and high / low > 5.0:
            return _log_ticks(low, high, most)
        return _even_ticks(low, high, most)


def axis_over(
    quantity: str, unit: str, logarithmic: bool, values: list[float], ends: list[float]
) -> Axis:
    """Return a ruler that holds all `values` and `ends`, with some air at either end.

    A logarithmic one begins and ends at steps, so that it lies still while a shot moves on it.
    """
    everything = [value for value in (*values, *ends) if isfinite(value) and value > 0]
    if not everything:
        return Axis(quantity, logarithmic, 10.0 if logarithmic else 0.0, 1000.0, unit)
    least, most = min(everything), max(everything)
    if not logarithmic:
        return Axis(quantity, False, 0.0, most * 1.06, unit)
    return Axis(quantity, True, _at_step(least / 1.2, floor), _at_step(most * 1.1, ceil), unit)


def _at_step(value: float, whole: Callable[[float], int]) -> float:
    """Return the step of a logarithmic ruler beside a value, on the side that `whole` rounds to."""
    return float(10.0 ** (whole(_STEPS_A_DECADE * log10(value)) / _STEPS_A_DECADE))


def _log_ticks(low: float, high: float, most: int) -> tuple[Tick, ...]:
    decades = range(floor(log10(low)) - 1, ceil(log10(high)) + 1)
    small = [m * 10.0**d for d in decades for m in range(1, 10)]
    for numbered in ((1, 2, 5), (1, 3), (1,)):
        large = {m * 10.0**d for d in decades for m in numbered if low <= m * 10.0**d <= high}
        if len(large) <= most:
            break
    while len(large) > most:
        large = set(sorted(large)[::2])
    within = [value for value in small if low <= value <= high]
    if len(within) > _MOST_SMALL:
        within = sorted(large)
    return tuple(Tick(value, tick_text(value) if value in large else "") for value in within)


def _even_ticks(low: float, high: float, most: int) -> tuple[Tick, ...]:
    step = _step((high - low) / max(most, 1))
    small = _step(step / 5.5)
    of_large = round(step / small)
    first, last = ceil(low / small - 1e-9), floor(high / small + 1e-9)
    places = max(0, -floor(log10(step) + 1e-9))
    return tuple(
        Tick(n * small, tick_text(n * small, places) if n % of_large == 0 else "")
        for n in range(first, last + 1)
    )


def _step(least: float) -> float:
    decade = 10.0 ** floor(log10(least))
    return next((m * decade for m in _STEPS if m * decade >= least * (1 - 1e-9)), 10.0 * decade)


def tick_text(value: float, places: int | None = None) -> str:
    """Return the number of a division, thousands apart, with no digit too many."""
    if places is None:
        places = max(0, -floor(log10(value) + 1e-9)) if value > 0 else 0
    text = f"{value:,.{places}f}".replace(",", "\u202f")
    return "0" if value == 0 else text.replace("-", "−")
