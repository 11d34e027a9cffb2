"""What the planned jobs ask of a barrel's volume, as bars on a logarithmic scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, floor, log10

from evenbarrel.decision.asking.ask import Ask, Asked
from evenbarrel.decision.asking.ranges import Range
from evenbarrel.wording.pictures.bars import Bar, BarRow, Bars, Filling
from evenbarrel.wording.standing_by.ask import chosen_name, range_text
from evenbarrel.wording.words.names import job_name
from evenbarrel.wording.words.numbers import display_unit, in_units, rounded, unit_text

TITLE = "Swept volume that each job requires"
_KEY: tuple[tuple[Filling, str], ...] = (("pale", "not outside"), ("dark", "inside"))
_MARKS = (1.0, 2.0, 5.0)
_AIR = 0.04
"""Room beside the outermost ends, in decades."""


def ask_bars(ask: Ask, together: Asked | None) -> Bars:
    """Return the range of volume of each job, and below them their common part.

    A range without an end runs to the edge of the picture. Where jobs have nothing in common the
    last row is empty; else it is tinted behind all.
    """
    shown = list(ask.jobs.values())
    if together is not None and len(together.jobs) > 1:
        shown.append(together)
    known = [one.volume_not_outside for one in shown]
    ends = [log10(end) for end in _ends(ask, known)]
    if not ends:
        return Bars(TITLE, "", 0.0, 1.0, (), (), ())
    low, high = min(ends) - _AIR, max(ends) + _AIR
    ticks = _ticks(low, high)
    low, high = min(low, ticks[0][0]), max(high, ticks[-1][0])
    units = ask.appraisal.evaluation.display_units
    rows, bars = [], []
    for place, one in enumerate(shown):
        y, own = place + 0.5, one is not together
        name = job_name(ask.appraisal, one.jobs[0]) if own else chosen_name(ask, one)
        text = range_text(one.volume_not_outside, "volume", units)
        rows.append(BarRow(y, name, text, strong=not own))
        bars += list(_bars(ask, one, y, (low, high), name))
    common = None if together is None else together.volume_not_outside
    band = None
    if common is not None and not common.empty and len(shown) > 1:
        band = _span(ask, common, (low, high))
    unit = unit_text(display_unit("volume", units))
    return Bars(TITLE, unit, low, high, ticks, tuple(rows), tuple(bars), (), _KEY, band)


def _ends(ask: Ask, ranges: Sequence[Range]) -> Iterator[float]:
    units = ask.appraisal.evaluation.display_units
    for one in ranges:
        for end in (one.low, one.high):
            shown = in_units(end, "volume", units)
            if shown is not None and shown > 0.0:
                yield shown


def _span(ask: Ask, one: Range, scale: tuple[float, float]) -> tuple[float, float]:
    units = ask.appraisal.evaluation.display_units
    low, high = (in_units(end, "volume", units) for end in (one.low, one.high))
    return (
        scale[0] if low is None or low <= 0.0 else log10(low),
        scale[1] if high is None else log10(high),
    )


def _bars(ask: Ask, one: Asked, y: float, scale: tuple[float, float], name: str) -> Iterator[Bar]:
    units = ask.appraisal.evaluation.display_units
    ranges = (one.volume_not_outside, one.volume_inside)
    for part, (filling, what) in zip(ranges, _KEY, strict=True):
        if part.empty or (part.low is None and part.high is None):
            continue
        tip = f"{name}\n{what}: {range_text(part, 'volume', units)}"
        yield Bar(y, *_span(ask, part, scale), filling, tip, thin=part is one.volume_inside)


def _ticks(low: float, high: float) -> tuple[tuple[float, str], ...]:
    """Return the round numbers between two ends; where there are not two, with those beside."""
    decades = range(floor(low) - 1, ceil(high) + 1)
    marks = [mark * 10.0**decade for decade in decades for mark in _MARKS]
    within = [mark for mark in marks if low <= log10(mark) <= high]
    if len(within) < 2:
        below = max(mark for mark in marks if log10(mark) < low)
        above = min(mark for mark in marks if log10(mark) > high)
        within = [below, *within, above]
    return tuple((log10(mark), rounded(mark, 3)) for mark in within)
