"""Words looked for on every page of a quote."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import accumulate
from unicodedata import normalize

from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.words import Box, Page

MOST_HITS = 1_000


@dataclass(frozen=True, slots=True)
class Hit:
    """Where what is looked for stands: the page, and the boxes of its words."""

    page: int
    boxes: tuple[Box, ...]


def search(
    pages: QuotePages, wanted: str, report: Callable[[float], None] = lambda _: None
) -> tuple[Hit, ...]:
    """Return the places of some words, whatever their case and the spaces between them.

    `report` is told the share of the pages that is done, and may raise to stop. At most
    `MOST_HITS` places are found. Raises `FileRefused` where a page cannot be read.
    """
    needle = _plain(wanted)
    found: list[Hit] = []
    if not needle:
        return ()
    for number in range(1, pages.count + 1):
        report((number - 1) / pages.count)
        # Words with boxes take longer than the text alone, and few pages need them.
        if needle in _plain(pages.text(number)):
            found += _hits(pages.page(number), needle)
            if len(found) >= MOST_HITS:
                return tuple(found[:MOST_HITS])
    return tuple(found)


def _hits(page: Page, needle: str) -> Iterator[Hit]:
    plain = [_plain(word.text) for word in page.words]
    starts = [0, *accumulate(len(word) for word in plain)]
    text = "".join(plain)
    at = text.find(needle)
    while at >= 0:
        first = bisect_right(starts, at) - 1
        last = bisect_right(starts, at + len(needle) - 1) - 1
        yield Hit(page.number, tuple(word.box for word in page.words[first : last + 1]))
        at = text.find(needle, at + len(needle))


def _plain(text: str) -> str:
    """Return a text as it is compared: no case, no spaces, one way to write each letter."""
    return "".join(normalize("NFKC", text).casefold().split())
