"""Where a text is broken into lines: a list between its parts, where that takes no line more."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

NO_BREAK = "\N{NO-BREAK SPACE}"
_BETWEEN, _SENTENCES = re.compile("(?<=[,;]) "), re.compile("[.?!] ")


def with_whole_parts(text: str, room: float, width: Callable[[str], float]) -> str:
    """Return a text whose parts, told apart by commas or semicolons, hold no place to break.

    So "1 × Unit 604 B, 1 × Machine 14 40" is never broken within a machine's name. A text is
    returned as it is where a part alone has no room, where it would take further lines, and where
    it is of several sentences.
    """
    parts = _BETWEEN.split(text)
    if len(parts) == 1 or _SENTENCES.search(text):
        return text
    wide = [width(part) for part in parts]
    space = width(" ")
    if max(wide) > room:
        return text
    by_words = _lines([width(word) for word in text.split(" ")], space, room)
    return text if _lines(wide, space, room) > by_words else _joined(parts)


def _joined(parts: Sequence[str]) -> str:
    return " ".join(part.replace(" ", NO_BREAK) for part in parts)


def _lines(pieces: Sequence[float], space: float, room: float) -> int:
    """Return how many lines pieces of these widths take, as many on each as have room."""
    count, used = 1, -space
    for wide in pieces:
        if used > 0 and used + space + wide > room:
            count, used = count + 1, wide
        else:
            used += space + wide
    return count
