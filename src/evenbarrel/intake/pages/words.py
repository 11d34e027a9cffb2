"""Words of a page with their boxes, and the lines and runs that they stand in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

_APART = 0.9
"""Of a line's height: words further apart stand in different cells of a table."""


class Box(NamedTuple):
    """A part of a page in points: x runs from its left edge, y up from its lower one, as shown."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def height(self) -> float:
        """How high it is [pt]."""
        return self.top - self.bottom

    @property
    def middle(self) -> tuple[float, float]:
        """The point in its middle [pt]."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    def holds(self, x: float, y: float) -> bool:
        """Say whether a point lies in it."""
        return self.left <= x <= self.right and self.bottom <= y <= self.top

    def grown(self, by: float) -> Box:
        """Return the box with a margin all round [pt]."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def rounded(self) -> Box:
        """Return it as a file keeps it: to a tenth of a point."""
        return Box(*(round(edge, 1) for edge in self))


@dataclass(frozen=True, slots=True)
class Word:
    """A word as it is printed, and the box round it."""

    text: str
    box: Box


Run = tuple[Word, ...]
"""Words of one line that follow each other as words of a sentence do: a cell of a table."""


@dataclass(frozen=True, slots=True)
class Page:
    """What one page holds: its number from 1, its size as shown [pt], its words in reading order.

    A page without words is a picture: a scan, or a drawing.
    """

    number: int
    width: float
    height: float
    words: tuple[Word, ...]

    @property
    def is_picture(self) -> bool:
        """Whether there is nothing on it that can be read as text."""
        return not self.words


def around(boxes: Iterable[Box]) -> Box:
    """Return the box round others, of which there is at least one."""
    every = list(boxes)
    return Box(
        min(one.left for one in every),
        min(one.bottom for one in every),
        max(one.right for one in every),
        max(one.top for one in every),
    )


def text_of(words: Iterable[Word]) -> str:
    """Return words as text, a space between them."""
    return " ".join(word.text for word in words)


def lines_of(words: Iterable[Word]) -> list[list[Word]]:
    """Return the words by the lines they stand in, from above; each line from the left."""
    lines: list[tuple[float, float, list[Word]]] = []
    for word in sorted(words, key=lambda one: -one.box.middle[1]):
        middle = word.box.middle[1]
        # The line before is the only one it can be in: they come from above.
        if lines and lines[-1][0] <= middle <= lines[-1][1]:
            bottom, top, members = lines[-1]
            members.append(word)
            tall = word.box.height > top - bottom
            lines[-1] = (word.box.bottom, word.box.top, members) if tall else lines[-1]
        else:
            lines.append((word.box.bottom, word.box.top, [word]))
    return [sorted(members, key=lambda one: one.box.left) for _, _, members in lines]


def runs_of(line: Sequence[Word]) -> list[Run]:
    """Return the words of a line, parted where the gap between them is no space of a sentence."""
    height = max((word.box.height for word in line), default=0.0)
    runs: list[list[Word]] = []
    for word in line:
        if runs and word.box.left - runs[-1][-1].box.right <= _APART * height:
            runs[-1].append(word)
        else:
            runs.append([word])
    return [tuple(run) for run in runs]


def words_within(page: Page, box: Box) -> tuple[Word, ...]:
    """Return the words of a page whose middle lies in a box."""
    return tuple(word for word in page.words if box.holds(*word.box.middle))


def words_between(page: Page, start: int, end: int) -> tuple[Word, ...]:
    """Return the words from one to another in reading order, whichever of them comes first."""
    first, last = sorted((start, end))
    return page.words[first : last + 1]


def word_at(page: Page, x: float, y: float, reach: float = 2.0) -> int | None:
    """Return the place of the word at a point, or within `reach` [pt] of it; None where none is."""
    for index, word in enumerate(page.words):
        if word.box.grown(reach).holds(x, y):
            return index
    return None
