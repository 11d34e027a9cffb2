"""Bars on one scale, as traces: what stands on them is worded already."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Literal

from evenbarrel.appraisal.references import Reference, WayOut

Filling = Literal["dark", "light", "middle", "pale", "hatched", "open"]
_MOST_TICKS = 6


@dataclass(frozen=True, slots=True)
class Bar:
    """From `low` to `high` on the picture's scale, in the row `y`; `thin` lies on a broad one.

    `reference` is what it opens, or where it leads to; None: nowhere.
    """

    y: float
    low: float
    high: float
    filling: Filling
    tip: str
    reference: Reference | WayOut | None = None
    thin: bool = False


@dataclass(frozen=True, slots=True)
class BarRow:
    """What stands before and behind the bars of one row."""

    y: float
    name: str
    text: str
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Bars:
    """A picture of bars; `joints` are where one row's end is the next row's beginning.

    `low` and `high` end the scale, `ticks` are places on it with their words: where it is
    logarithmic all of them are logarithms. `band` is tinted behind all rows.
    """

    title: str
    unit: str
    low: float
    high: float
    ticks: tuple[tuple[float, str], ...]
    rows: tuple[BarRow, ...]
    bars: tuple[Bar, ...]
    joints: tuple[tuple[float, float], ...] = ()
    key: tuple[tuple[Filling, str], ...] = ()
    band: tuple[float, float] | None = None

    @property
    def height(self) -> float:
        """How many rows there are."""
        return float(len(self.rows))


def round_ticks(low: float, high: float) -> list[float]:
    """Return round numbers from below `low` to above `high`."""
    rough = (high - low) / _MOST_TICKS
    size = 10.0 ** floor(log10(rough))
    step = next(size * by for by in (1.0, 2.0, 5.0, 10.0) if size * by >= rough)
    return [step * n for n in range(floor(low / step), ceil(high / step) + 1)]
