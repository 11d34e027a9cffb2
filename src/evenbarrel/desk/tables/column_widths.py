"""How wide the columns of a table are, and which are left out where they have no room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenbarrel.desk.style.theme import GRID

_NARROWED, _NARROWEST, _SCROLLED = 200, 104, 240
"""How far a column of words gives way before others are left out, how far before all are scrolled,
and how far where they have to be all the same; but its heading stays whole [px]."""


@dataclass(frozen=True, slots=True)
class Wants:
    """What one column takes: its contents, its heading on one line and on two [px].

    Of the columns that yield the highest number is left out first.
    """

    contents: int
    heading: int
    in_two: int
    yields: int = 0
    is_words: bool = False

    def whole(self, *, tight: bool) -> int:
        """Return what it takes [px], `tight` with its heading on two lines."""
        return max(self.contents, self.in_two if tight else self.heading)

    def given(self, widest: int, *, tight: bool) -> int:
        """Return what it is given where no column may be wider than `widest` [px]."""
        head = self.in_two if tight else self.heading
        return max(head, min(self.contents, widest))


@dataclass(frozen=True, slots=True)
class Shared:
    """The widths of the columns that are shown, by their place [px]."""

    widths: Mapping[int, int]
    in_two: frozenset[int]
    """The columns whose heading stands on two lines."""


def share_out(
    wants: Mapping[int, Wants],
    room: int,
    seen: int,
    *,
    may_break: bool = True,
    alike: bool = False,
) -> Shared:
    """Give each column what it wants of the room [px]; what is left of all `seen` goes to words.

    With `alike` all columns get as much of what is left.

    Where that is too much the wide ones give way alike. Where that is not enough, headings go on in
    a second line, and then columns that yield are left out, all of one number together: before
    words give way at all where their lines may not break.
    """
    tight = sum(one.given(_NARROWED, tight=False) for one in wants.values()) > room
    least = _NARROWED if may_break else room

    def taken(columns: Mapping[int, Wants], widest: int) -> int:
        return sum(one.given(widest, tight=tight) for one in columns.values())

    shown = dict(wants)
    for first in sorted({one.yields for one in wants.values()} - {0}, reverse=True):
        if taken(shown, least) <= room:
            break
        shown = {place: one for place, one in shown.items() if one.yields != first}
    wanted = max((one.whole(tight=tight) for one in shown.values()), default=0)
    widest = max(_NARROWEST, min(room, wanted))
    while widest > _NARROWEST and taken(shown, widest) > room:
        widest = max(_NARROWEST, widest - GRID)
    if taken(shown, widest) > room:
        widest = _SCROLLED
    widths = {place: one.given(widest, tight=tight) for place, one in shown.items()}
    if widths and alike:
        more = max(0, seen - sum(widths.values())) // len(widths)
        widths = {place: width + more for place, width in widths.items()}
    if widths:
        words = [place for place, one in shown.items() if one.is_words]
        widths[(words or [*widths])[-1]] += max(0, seen - sum(widths.values()))
    in_two = (place for place, one in shown.items() if tight and one.heading > one.contents)
    return Shared(widths, frozenset(in_two))


def in_two(title: str) -> str:
    """Return a title of several words in two lines, as alike in length as they go."""
    words = title.split(" ")
    if len(words) == 1 or "\n" in title:
        return title
    halves = ((" ".join(words[:n]), " ".join(words[n:])) for n in range(1, len(words)))
    return "\n".join(min(halves, key=lambda both: max(map(len, both))))
