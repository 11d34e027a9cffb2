"""Ranges of a number that some jobs ask for, their common part, and who stands in its way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Range:
    """From `low` to `high` [SI], None where there is no such end; empty where low is above high."""

    low: float | None
    high: float | None

    @property
    def empty(self) -> bool:
        """Whether nothing lies in it."""
        return self.low is not None and self.high is not None and self.low > self.high

    def holds(self, value: float) -> bool:
        """Say whether a value lies in it; touching an end counts as in."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


WHOLE = Range(None, None)


def common(ranges: Sequence[Range]) -> Range:
    """Return what lies in all of some ranges; where nothing does, low stands above high."""
    lows = [one.low for one in ranges if one.low is not None]
    highs = [one.high for one in ranges if one.high is not None]
    return Range(max(lows, default=None), min(highs, default=None))


def conflict(ranges: Mapping[str, Range]) -> tuple[str, ...]:
    """Return the fewest jobs whose ranges have nothing in common; none where all have.

    One whose own range is empty; else the one with the highest low end and the one with the
    lowest high end: on a line two suffice.
    """
    alone = next((name for name, one in ranges.items() if one.empty), None)
    if alone is not None:
        return (alone,)
    if not common(list(ranges.values())).empty:
        return ()
    lows = {name: one.low for name, one in ranges.items() if one.low is not None}
    highs = {name: one.high for name, one in ranges.items() if one.high is not None}
    return max(lows, key=lambda name: lows[name]), min(highs, key=lambda name: highs[name])


def fewest(ranges: Mapping[str, Range]) -> int | None:
    """Return how few values it takes to have one in each range; None where a range is empty."""
    if any(one.empty for one in ranges.values()):
        return None
    count, last = 0, None
    ends = sorted(ranges.values(), key=lambda r: float("inf") if r.high is None else r.high)
    for one in ends:
        if last is None or (one.low is not None and one.low > last):
            count, last = count + 1, float("inf") if one.high is None else one.high
    return count
