"""Where words go beside a picture so that none lies on another: the same on screen and paper."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from evenbarrel.wording.words.visible import visible

Measure = Callable[[str], float]
"""How wide a text is, in whatever length the picture is drawn in."""

ELLIPSIS = "…"

_BREAKING = re.compile(r"[^\S\u00a0\u202f]+")


@dataclass(frozen=True, slots=True)
class Flag:
    """A label beside a line: the row it stands in, counted from the top, and its left end."""

    row: int
    left: float


@dataclass(frozen=True, slots=True)
class Word:
    """A word as it stands: its left end, and which marks it stands for."""

    left: float
    text: str
    marks: tuple[int, ...]


def one_line(text: str) -> str:
    """Return a text as a picture shows it: on one line, nothing hidden in it, no runs of spaces.

    Spaces that must not break stay.
    """
    return _BREAKING.sub(" ", visible(text)).strip()


def fitted(text: str, room: float, measure: Measure) -> str:
    """Return as much of a text as `room` holds, ending in … where it was cut."""
    text = one_line(text)
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


def place_flags(
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
    places: Sequence[float], texts: Sequence[str], measure: Measure, apart: float
) -> tuple[Word, ...]:
    """Return words below the marks at `places`, any two at least `apart` from each other.

    A word stands in the middle below its mark, else from it to the right, else to the left. Where
    none of these is free it joins the word before it, which then stands for both marks.
    """
    words: list[Word] = []
    for index in sorted(range(len(places)), key=lambda i: (places[i], i)):
        place, text, width = places[index], texts[index], measure(texts[index])
        taken = [(word.left, word.left + measure(word.text) + apart) for word in words]
        for left in (place - width / 2, place, place - width):
            if _free(taken, (left, left + width + apart)):
                words.append(Word(left, text, (index,)))
                break
        else:
            # Left to right, so the last word is the one in the way, and may grow.
            last = words.pop()
            known = text in last.text.split(", ")
            joined = last.text if known else f"{last.text}, {text}"
            words.append(Word(last.left, joined, (*last.marks, index)))
    return tuple(words)


def side_by_side(
    places: Sequence[float], width: float, left: float, right: float
) -> tuple[float, ...]:
    """Return middles for labels of one width, each as near its own place as the others let it.

    `places` ascend. Labels stay between `left` and `right` as long as they fit there at all;
    where they do not, they share the room evenly and overlap.
    """
    if not places:
        return ()
    width = min(width, (right - left) / len(places))
    # A label's place is never left of what the labels before it take, nor right of what those
    # after it need; labels that touch lie round the mean of where they want to be.
    count = len(places)
    wanted = [
        min(max(place, left + (n + 0.5) * width), right - (count - n - 0.5) * width) - n * width
        for n, place in enumerate(places)
    ]
    # The nearest places in order, by pooling neighbours that are out of order.
    pools: list[tuple[float, int]] = []
    for place in wanted:
        mean, size = place, 1
        while pools and pools[-1][0] > mean:
            other, more = pools.pop()
            mean, size = (mean * size + other * more) / (size + more), size + more
        pools.append((mean, size))
    flat = [mean for mean, size in pools for _ in range(size)]
    return tuple(place + n * width for n, place in enumerate(flat))
