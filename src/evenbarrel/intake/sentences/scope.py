"""What sentences of an offer say of its scope: `without transport`, `Lieferumfang: …`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from evenbarrel.entry.amount import INCOTERMS
from evenbarrel.intake.tables.labels import read_label
from evenbarrel.intake.tables.synonyms import squeezed, synonyms

LONGEST = 400
"""Characters of a sentence that is looked at."""
_ENDS = re.compile(
    r"(?:(?<=[^\W\d_])|(?<=[€£$%)]))[.!]\s+(?=[^\W\d_])|(?<=[0-9])\.\s+(?=[^\W\d_]{4})|;\s*|[.!]$"
)
_APART = re.compile(
    r"\s*(?:(?<![0-9]),|,(?![0-9])|[/&+]|\b(?:and|as well as|plus|und|sowie|et|ed|e|y)\b)\s*",
    re.IGNORECASE,
)
_BEFORE = re.compile(
    r"^(?:the|a|an|all|any|one set of|der|die|das|des|eine?|le|la|les|l'|un|une|il|lo|i|gli|el|los)"
    r"\s+|^(?:costs? of|kosten für|frais de)\s+",
    re.IGNORECASE,
)
_IS = re.compile(r"\s*\b(?:is|are|will be|ist|sind|werden|est|sont|è|sono|es|son|está)$", re.I)
_NOT = re.compile(r"\b(?:not|nicht|kein\w*|non|no|ne|pas|n')(?!\w)", re.IGNORECASE)
# A row of numbers without a currency is gone through once, not again from each of its digits.
AMOUNT = re.compile(
    r"(?:[A-Z]{3}|[€£$]) ?[0-9][0-9.,' ]*[0-9]"
    r"|(?<![0-9])[0-9](?=[.,' ]*[0-9])[0-9.,' ]*+(?:(?<=[0-9])|(?<=[0-9] ))(?:[A-Z]{3}\b|[€£$])"
)
_BARE_AMOUNT = re.compile(r"[:,] ?[+-]?[0-9](?:[0-9.,']*[0-9])?(?=,? |$)")
"""What stands in the column of a price: without its currency it is no amount yet."""
_AT = re.compile(r"\s+(?:at|for|of|zu|mit|à|a|de|di|per|por)$", re.IGNORECASE)
"""What led to an amount that was taken off the end of a sentence."""
_NUMBERED = re.compile(r"^[0-9]{1,3}[.)]?\s+")
_MOST_WORDS, _LONGEST_ITEM = 4, 40


@dataclass(frozen=True, slots=True)
class InScope:
    """What is said of one item: its state, the amount's text, "" for none, and the sentence."""

    item: str
    state: str
    amount: str
    sentence: str


def sentences_in(text: str) -> list[str]:
    """Return the sentences of a text, without what ends them."""
    parts = (part.strip(" .") for part in _ENDS.split(text) if part)
    return [part for part in parts if part]


def said_in(sentence: str, items: Iterable[str]) -> tuple[InScope, ...]:
    """Return what a sentence says of the scope, nothing where it says nothing that is understood.

    `items` are those that the evaluation asks about; others are named as the sentence does, where
    it lists them outright.
    """
    if len(sentence) > LONGEST:
        return ()
    clauses = sentence.split(", ")
    if len(clauses) > 1 and all(next(_readings(clause), None) for clause in clauses):
        # `Packing is included, insurance extra`: each is said of its own.
        return tuple(said for clause in clauses for said in said_in(clause, items))
    amounts = AMOUNT.findall(sentence)
    bare = _NUMBERED.sub("", _BARE_AMOUNT.sub("", AMOUNT.sub(" ", sentence)))
    bare = _AT.sub("", " ".join(bare.split()).strip(" ,:-–+"))
    for state, subject, outright in _readings(bare):
        if _NOT.search(subject):
            if state != "included":
                continue
            state = "missing"
        named = list(dict.fromkeys(_items_of(subject, tuple(items), outright)))
        whole = _BEFORE.sub("", subject.strip(" .:-–()+"))
        if len(amounts) == 1 and len(named) > 1 and _could_be_one(whole) and "," not in whole:
            # One amount is of one thing: `bimetallic screw and barrel set`.
            named = [whole]
        if named:
            amount = amounts[0] if len(amounts) == len(named) == 1 and state == "extra" else ""
            return tuple(InScope(item, state, amount, sentence) for item in named)
    if len(amounts) == 1 and ":" in sentence:
        # `Freight: EUR 2,800`: what has an amount of its own is not in the price.
        item = _known(tuple(items)).get(squeezed(bare))
        return () if item is None else (InScope(item, "extra", amounts[0], sentence),)
    return ()


def item_in(text: str, items: Iterable[str]) -> str | None:
    """Return the item of the scope that a text names first, as one of `items` or by its code."""
    known = _known(tuple(items))
    parts = (_BEFORE.sub("", part.strip(" .:-–()")) for part in _APART.split(text))
    return next((found for part in parts if (found := _known_in(part, known))), None)


def state_of(text: str) -> str | None:
    """Return the state of the scope that a text stands for by itself, or None."""
    return _states().get(squeezed(text))


def _readings(text: str) -> Iterator[tuple[str, str, bool]]:
    """Yield the ways to read a sentence: a state, what it is said of, and whether outright."""
    head, colon, rest = (part.strip() for part in text.partition(":"))
    if colon:
        lead = _leads().get(squeezed(head)) or state_of(head)
        if lead is not None:
            yield lead, rest, True
        found = _patterns().at_start.match(rest)
        if found is not None:
            yield _states()[squeezed(found[0])], head, True
    found = _patterns().at_end.search(text)
    if found is not None:
        yield _states()[squeezed(found["words"])], _IS.sub("", text[: found.start()]), False
        return
    found = _patterns().leading.search(text)
    if found is not None:
        state = _leads()[squeezed(found[0])]
        yield state, text[found.end() :].strip(" :"), state == "included"


@dataclass(frozen=True, slots=True)
class _Patterns:
    """Wordings of a state at the start of a text, at its end, and of what leads to items."""

    at_start: re.Pattern[str]
    at_end: re.Pattern[str]
    leading: re.Pattern[str]


@cache
def _patterns() -> _Patterns:
    states, leads = (_any_of(one) for one in (synonyms().scope_states, synonyms().scope_leads))
    return _Patterns(
        re.compile(rf"{states}(?!\w)", re.IGNORECASE),
        re.compile(rf"[\s,(](?P<words>{states})\)?$", re.IGNORECASE),
        re.compile(rf"(?<!\w){leads}(?!\w)", re.IGNORECASE),
    )


def _any_of(words: Mapping[str, tuple[str, ...]]) -> str:
    """Return an expression for any of the wordings, the longest first: `not included` too."""
    every = (wording for wordings in words.values() for wording in wordings)
    return "(?:" + "|".join(map(re.escape, sorted(every, key=len, reverse=True))) + ")"


@cache
def _states() -> Mapping[str, str]:
    return _by_wording(synonyms().scope_states)


@cache
def _leads() -> Mapping[str, str]:
    return _by_wording(synonyms().scope_leads)


def _by_wording(words: Mapping[str, tuple[str, ...]]) -> Mapping[str, str]:
    return {squeezed(one): code for code, wordings in words.items() for one in wordings}


def _items_of(text: str, items: tuple[str, ...], outright: bool) -> Iterator[str]:
    known = _known(items)
    for part in _APART.split(text):
        name = _BEFORE.sub("", part.strip(" .:-–()"))
        found = _known_in(name, known)
        if found is not None:
            yield found
        elif outright and _could_be_one(name) and name.split()[0].upper() not in INCOTERMS:
            yield name


@cache
def _known(items: tuple[str, ...]) -> Mapping[str, str]:
    """Return what items are called, squeezed, and the name that the evaluation has for each."""
    words = synonyms().scope_items
    own = {squeezed(item): item for item in items}
    named: dict[str, str] = {}
    for code, wordings in words.items():
        wanted = {squeezed(code), *map(squeezed, wordings)}
        name = next((own[one] for one in wanted if one in own), code)
        named |= dict.fromkeys(wanted, name)
    return named | own


def _known_in(name: str, known: Mapping[str, str]) -> str | None:
    """Return the item that a text names in whole, or with its first or its last words."""
    words = name.split()
    for count in range(len(words), 0, -1):
        for part in (words[:count], words[-count:]):
            found = known.get(squeezed(" ".join(part)))
            if found is not None:
                return found
    return None


def _could_be_one(name: str) -> bool:
    """Say whether a text may be an item: a few words, and no label of a table."""
    is_short = len(name) <= _LONGEST_ITEM and len(name.split()) <= _MOST_WORDS and ":" not in name
    return name[:1].isalpha() and is_short and not read_label(name).keys
