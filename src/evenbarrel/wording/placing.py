"""Where words go beside a picture so that none lies on another: the same on screen and paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

Measure = Callable[[str], float]
"""How wide a text is, in whatever length the picture is drawn in."""

ELLIPSIS = "…"


@dataclass(frozen=True, slots=True)
class Flag:
    """A label flown from a line: the row it stands in, counted from the top, and its left end."""

    row: int
    left: float


def fitted(text: str, room: float, measure: Measure) -> str:
    """Return as much of a text as `room` holds, ending in … where it was cut."""
    text = " ".join(text.split())
    if measure(text) <= room:
        return text
    kept, over = 0, len(text)
    while over - kept > 1:
        middle = (kept + over) // 2
        if measure(text[:middle].rstrip() + ELLIPSIS) <= room:
            kept = middle
        else:
            over = middle
    return text[:kept].rstrip() + ELLIPSIS


def fly_flags(
    places: Sequence[float], widths: Sequence[float], room: float, stairs: int = 6
) -> tuple[Flag, ...]:
    """Return a place for each label so that no two overlap, in the order given.

    Each label begins at its line, or ends there where the picture (from 0 to `room`) ends. Rows go
    down like stairs, so that no line runs through another's label, as long as `stairs` rows do;
    beyond that the first row with room is taken.
    """
    rows: list[list[tuple[float, float]]] = []
    flags: dict[int, Flag] = {}
    for index in sorted(range(len(places)), key=lambda i: (places[i], i)):
        left = places[index]
        if left + widths[index] > room:
            left = max(0.0, places[index] - widths[index])
        taken = (left, left + widths[index])
        row = _stair(rows, taken)
        if row >= stairs:
            row = next((r for r, own in enumerate(rows) if _free(own, taken)), len(rows))
        if row == len(rows):
            rows.append([])
        rows[row].append(taken)
        flags[index] = Flag(row, left)
    return tuple(flags[index] for index in range(len(places)))


def _stair(rows: list[list[tuple[float, float]]], taken: tuple[float, float]) -> int:
    row = len(rows)
    while row > 0 and _free(rows[row - 1], taken):
        row -= 1
    return row


def _free(own: list[tuple[float, float]], taken: tuple[float, float]) -> bool:
    return all(taken[1] <= left or right <= taken[0] for left, right in own)


def stand_below(
    places: Sequence[float], widths: Sequence[float], apart: float
) -> tuple[float | None, ...]:
    """Return the left end of a word below each of `places`, None where there is no room.

    A word stands in the middle below its mark, else from it to the right, else to the left, else
    not at all; any two are at least `apart` from each other.
    """
    taken: list[tuple[float, float]] = []
    below: list[float | None] = []
    for place, width in zip(places, widths, strict=True):
        for left in (place - width / 2, place, place - width):
            span = (left, left + width + apart)
            if _free(taken, span):
                taken.append(span)
                below.append(left)
                break
        else:
            below.append(None)
    return tuple(below)
