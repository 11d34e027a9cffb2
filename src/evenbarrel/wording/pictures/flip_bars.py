"""What would flip a choice, as bars: how far each number is from its flip, and how far unknown."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.flips.numbers import place_of
from evenbarrel.decision.flips.search import Flip, Flips
from evenbarrel.wording.pictures.bars import Bar, BarRow, Bars, Filling, round_ticks
from evenbarrel.wording.standing_by.flips import flip_line, flip_short, number_name, value_words
from evenbarrel.wording.words.numbers import signed_percent

TITLE = "What would flip the choice: by how much each number must change"
MOST_ROWS = 24
"""How many flips are drawn, the nearest; the table has all."""
_OPEN_KEY: tuple[tuple[Filling, str], ...] = (
    ("open", "change at which it contradicts what is printed beside it"),
)
_PERCENT = 100.0
_LEAST = 1.0
"""Per cent that the scale reaches at the least."""


def flip_bars(flips: Flips, appraisal: Appraisal, most: int = MOST_ROWS) -> Bars:
    """Return the nearest flips as bars of relative change over the half-width of each number.

    A thin bar that ends within its broad one lies within what is not known. An open one would only
    contradict what is printed beside its number.
    """
    shown = flips.flips[:most]
    rows = tuple(
        BarRow(
            place + 0.5,
            number_name(flip.number, appraisal.evaluation),
            _at(flip, appraisal),
            strong=flip.within is True,
        )
        for place, flip in enumerate(shown)
    )
    ends = [_PERCENT * flip.change for flip in shown]
    ticks = round_ticks(min([-_LEAST, *ends]), max([_LEAST, *ends]))
    low, high = ticks[0], ticks[-1]
    bars = tuple(
        bar
        for place, flip in enumerate(shown)
        for bar in _bars(flip, flips, appraisal, (place + 0.5, low, high))
    )
    return Bars(
        TITLE,
        "%",
        low,
        high,
        tuple((value, f"{value:+.4g}".replace("-", "\u2212") if value else "0") for value in ticks),
        rows,
        bars,
        key=(
            ("pale", "half-width: uncertainty of the number"),
            ("dark", "change at which the choice flips"),
            *_OPEN_KEY[: any(flip.contradicts for flip in shown)],
        ),
    )


def _at(flip: Flip, appraisal: Appraisal) -> str:
    """Return where a number flips what: "+2.0 %: 2040 bar, Unit 604 B waits"."""
    at = f"{signed_percent(flip.change)}: {value_words(flip.number, flip.value, 4)}"
    return ", ".join(part for part in (at, flip_short(flip, appraisal)) if part)


def _bars(
    flip: Flip, flips: Flips, appraisal: Appraisal, place: tuple[float, float, float]
) -> Iterator[Bar]:
    y, low, high = place
    tip, width = flip_line(flip, flips, appraisal), flip.number.half_width
    reference = place_of(flip.number, appraisal.evaluation)
    if width is not None:
        wide = _PERCENT * width
        yield Bar(y, max(low, -wide), min(high, wide), "pale", tip, reference)
    end = _PERCENT * flip.change
    filling: Filling = "open" if flip.contradicts else "dark"
    yield Bar(y, min(0.0, end), max(0.0, end), filling, tip, reference, thin=True)
