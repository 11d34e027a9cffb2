"""Prices that sentences and rows of an offer name: `The price of the machine is EUR 182,500`."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from evenbarrel.intake.sentences.scope import AMOUNT, LONGEST, item_in
from evenbarrel.intake.tables.synonyms import squeezed, synonyms, words_of

_BARE = re.compile(r"(?<=[:,] )(?:[0-9]{1,3}(?:[.,' ][0-9]{3})+|[0-9]{4,})(?:[.,][0-9]{2})?$")
"""The number at the end of a row: without its currency it is one of hundreds at least."""
_LONGEST_CLAUSE = 90


@dataclass(frozen=True, slots=True)
class Priced:
    """What an amount is the price of: `machine`, `second_barrel`, or the scope's `item`."""

    what: str
    amount: str
    item: str = ""


def priced_in(sentence: str, items: tuple[str, ...]) -> Iterator[Priced]:
    """Yield the prices of a sentence whose words say clearly what each is of, in its order.

    The words of an amount are those before it, as far as the amount before. `items` are those of
    the scope that the evaluation asks about.
    """
    if len(sentence) > LONGEST:
        return
    found = list(AMOUNT.finditer(sentence))
    if not found and not set(words_of(sentence)) & _known()["measured"].keys():
        found = list(_BARE.finditer(sentence))
    begun = 0
    for amount in found:
        clause = sentence[begun : amount.start()].strip(" ,:;-–+(")
        begun = amount.end()
        what, item = _thing_in(clause, items)
        if what:
            yield Priced(what, amount[0].strip(), item)


def _thing_in(clause: str, items: tuple[str, ...]) -> tuple[str, str]:
    """Return what a clause is of, and the item's name; "" where that is not clear."""
    words, known = set(words_of(clause)), _known()
    if not words or len(clause) > _LONGEST_CLAUSE:
        return "", ""
    whole = squeezed(clause)
    spare = next((name for one, name in known["spare"].items() if one in whole), "")
    if spare:
        return "item", spare
    if any(one in whole for one in known["second_barrel"]):
        return "second_barrel", ""
    if words & known["other"].keys():
        return "", ""
    item = item_in(clause, items)
    if item is not None:
        return "item", item
    is_machine = whole in known["alone"] or bool(words & known["machine"].keys())
    return ("machine", "") if is_machine else ("", "")


@cache
def _known() -> Mapping[str, Mapping[str, str]]:
    """Return the words of each kind by how they are squeezed."""
    return {
        kind: {squeezed(word): word for word in words} for kind, words in synonyms().prices.items()
    }
