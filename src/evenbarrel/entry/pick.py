"""What a pick-list offers for the letters typed so far, the exact match first."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from evenbarrel.entry.wordings import squeezed

Offer = tuple[str, str]
"""A key and its word."""

_NONE: Mapping[str, tuple[str, ...]] = MappingProxyType({})
_EXACT, _KEY_FAMILY, _KEY_BEGINS, _WORD_BEGINS, _PART_BEGINS, _WITHIN, _NO_MATCH = range(7)


def ranked(
    text: str, offers: Sequence[Offer], short: Mapping[str, tuple[str, ...]] = _NONE
) -> tuple[Offer, ...]:
    """Return the offers that fit `text`, best first: "pp" is pp before all that begin so.

    `short` are other names by key. Hyphens, spaces and case make no difference: PA66-GF30 is
    pa66_gf30. What fits alike keeps its order. All fit an empty text.
    """
    said = " ".join(text.split()).casefold()
    fits = [(_fit(said, offer, short), place, offer) for place, offer in enumerate(offers)]
    return tuple(offer for fit, _, offer in sorted(fits) if fit != _NO_MATCH)


def is_named(text: str, offers: Sequence[Offer], short: Mapping[str, tuple[str, ...]]) -> bool:
    """Say whether a text is the name of one of the offers, in full or in short."""
    said = " ".join(text.split()).casefold()
    return any(_fit(said, offer, short) == _EXACT for offer in offers)


def _fit(said: str, offer: Offer, short: Mapping[str, tuple[str, ...]]) -> int:
    key, word = (part.casefold() for part in offer)
    if said in (key, word):
        return _EXACT
    close, names = squeezed(said), [squeezed(name) for name in (key, *short.get(offer[0], ()))]
    if close and close in names:
        return _EXACT
    # "pe" is pe_ld before it is pes.
    if key.split("_")[0] == said:
        return _KEY_FAMILY
    if close and any(name.startswith(close) for name in names):
        return _KEY_BEGINS
    if word.startswith(said):
        return _WORD_BEGINS
    if any(part.startswith(said) for part in re.split(r"[^0-9a-z]+", word)):
        return _PART_BEGINS
    return _WITHIN if said in word or said in key else _NO_MATCH
