"""Where a text is broken into lines: a list between its parts, where that takes no line more.

No line ends between a number and its unit, between a currency and its amount, or after a ±.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import cache, lru_cache

from evenbarrel.units import KINDS
from evenbarrel.wording.words.numbers import unit_text

NO_BREAK = "\N{NO-BREAK SPACE}"
_MOST_KEPT = 4096
"""Texts that are kept as they are broken: after an edit most stand where they stood."""
_BETWEEN, _SENTENCES = re.compile("(?<=[,;]) "), re.compile("[.?!] ")


@lru_cache(maxsize=_MOST_KEPT)
def with_units_kept(text: str, joint: str = "") -> str:
    """Return a text that holds no place to break between a number and its unit.

    `joint` stands behind each stroke within a unit, where lines may be broken behind strokes.
    """
    return _units().sub(lambda found: _kept(found[0], joint), text)


def _kept(found: str, joint: str) -> str:
    return found.replace(" ", NO_BREAK).replace("/", f"/{joint}")


@cache
def _units() -> re.Pattern[str]:
    """Return what finds a unit, with the space before it, and the space behind a ± or a currency.

    A unit without a stroke counts behind a number alone: "in" may be a word.
    """
    texts = {unit_text(unit) for kind in KINDS.values() for unit in kind.units} - {""}
    longest = sorted(texts, key=len, reverse=True)
    unit = "|".join(re.escape(text) for text in longest)
    return re.compile(
        rf"(?:(?<=\d) |(?<![\w/])(?=\w+/))(?:{unit})(?![\w/])"
        r"|(?<=±) (?=\d)|(?<=\b[A-Z]{3}) (?=−?\d)"
    )


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
