"""Where the columns of a printed table lie, found from the horizontal extent of its cells."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

Span = tuple[float, float]
"""From where to where something reaches across: points of a page, or characters of a line."""
_MOST_ACROSS = 5
"""One line in so many may run across columns without making them one."""


def columns_of(lines: Sequence[Sequence[Span]]) -> list[Span]:
    """Return the columns that the cells of some lines have in common, from the left.

    What runs across several columns, as a heading does, joins them only where so many lines do
    that they are one.
    """
    parted = [line for line in lines if len(line) > 1]
    if not parted:
        return _merged([span for line in lines for span in line], 0)[:1]
    every = [span for line in parted for span in line]
    tried = [_with_rest(every, most) for most in range(len(parted) // _MOST_ACROSS + 1)]
    best = min(tried, key=lambda columns: collisions(parted, columns))
    return [column for at, column in enumerate(best) if not _is_between(at, best, parted)]


def _is_between(at: int, columns: Sequence[Span], lines: Sequence[Sequence[Span]]) -> bool:
    """Say whether a column is none: what stands in it belongs to those on either side of it."""
    if not 1 < at < len(columns) - 1:
        return False
    filled = [{nearest(span, columns) for span in line} for line in lines]
    own = [line for line in filled if at in line]
    beside = sum(at - 1 in line and at + 1 in line for line in filled)
    return len(own) < beside and not any({at - 1, at + 1} <= line for line in own)


def _merged(spans: Sequence[Span], most: int) -> list[Span]:
    """Return where more than `most` of the spans lie over each other."""
    ends = sorted([(left, 0) for left, _ in spans] + [(right, 1) for _, right in spans])
    found: list[Span] = []
    depth, begun = 0, 0.0
    for at, is_end in ends:
        if is_end:
            depth -= 1
            if depth == most:
                found.append((begun, at))
        else:
            depth += 1
            if depth == most + 1:
                begun = at
    return found


def _with_rest(spans: Sequence[Span], most: int) -> list[Span]:
    """Return the columns, and one more for whatever lies in none of them."""
    columns = _merged(spans, most)
    rest = [span for span in spans if all(shared(span, column) <= 0 for column in columns)]
    return sorted([*columns, *(_merged(rest, 0) if rest else [])])


def shared(one: Span, other: Span) -> float:
    """Return by how much two overlap, negative where they lie apart."""
    return min(one[1], other[1]) - max(one[0], other[0])


def collisions(lines: Sequence[Sequence[Span]], columns: Sequence[Span]) -> int:
    """Return how often two cells of one line come into one column."""
    count = 0
    for line in lines:
        homes = [nearest(span, columns) for span in line]
        count += len(homes) - len(set(homes))
    return count


def nearest(span: Span, columns: Sequence[Span]) -> int:
    """Return the place of the column that a cell lies in, or nearest to."""
    # Asked of every cell for every way to part a table: written out, it takes half as long.
    (left, right), place, most = span, 0, -inf
    for at, (begin, end) in enumerate(columns):
        over = (right if right < end else end) - (left if left > begin else begin)
        if over > most:
            place, most = at, over
    return place
