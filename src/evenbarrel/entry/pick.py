"""What a pick-list offers for the letters typed so far, the exact match first."""

from __future__ import annotations

import re
from collections.abc import Sequence

Offer = tuple[str, str]
"""A key and its word."""

_EXACT, _KEY_FAMILY, _KEY_BEGINS, _WORD_BEGINS, _PART_BEGINS, _WITHIN, _NO_MATCH = range(7)


def ranked(text: str, offers: Sequence[Offer]) -> tuple[Offer, ...]:
    """Return the offers that fit `text`, best first: "pp" is pp before all that begin so.

    What fits alike keeps its order. All fit an empty text.
    """
    said = " ".join(text.split()).casefold()
    fits = [(_fit(said, offer), place, offer) for place, offer in enumerate(offers)]
    return tuple(offer for fit, _, offer in sorted(fits) if fit != _NO_MATCH)


def _fit(said: str, offer: Offer) -> int:
    key, word = (part.casefold() for part in offer)
    if said in (key, word):
        return _EXACT
    # "pe" is pe_ld before it is pes.
    if key.split("_")[0] == said:
        return _KEY_FAMILY
    if key.startswith(said):
        return _KEY_BEGINS
    if word.startswith(said):
        return _WORD_BEGINS
    if any(part.startswith(said) for part in re.split(r"[^0-9a-z]+", word)):
        return _PART_BEGINS
    return _WITHIN if said in word or said in key else _NO_MATCH
