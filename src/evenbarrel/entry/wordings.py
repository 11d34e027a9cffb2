"""How wordings are compared, and what resins and months are called."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any
from unicodedata import combining, normalize

from evenbarrel.resources import read_text


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a label as they are compared: no case, accent or punctuation."""
    text = text.replace("Ø", " diameter ").replace("ø", " diameter ").replace("⌀", " diameter ")
    plain = "".join(c for c in normalize("NFKD", text.casefold()) if not combining(c))
    plain = re.sub(r"i[zs](ing|ation|ed)\b", r"is\1", plain)
    plain = plain.replace("plasticating", "plasticising").replace("mold", "mould")
    return tuple(re.findall(r"[^\W_]+", plain))


# Names of a table are held against each other, each many times.
@lru_cache(maxsize=16384)
def squeezed(text: str) -> str:
    """Return the words of a text set together, so that compounds may be written apart."""
    return "".join(words_of(text))


@cache
def short_names() -> Mapping[str, tuple[str, ...]]:
    """Return the short names of resins by the shipped table's keys, the one to show first."""
    return {key: tuple(names) for key, names in _shipped()["resins"].items()}


@cache
def resins_by_name() -> Mapping[str, str]:
    """Return the keys of the shipped table's resins by their short names, squeezed."""
    return {squeezed(name): key for key, names in short_names().items() for name in names}


def resin_named(text: str, resins: Mapping[str, str]) -> str | None:
    """Return the key of the one resin among `resins`, names by key, that a text names in short."""
    said = squeezed(text)
    found = {key for key, name in resins.items() if said and said in map(squeezed, (key, name))}
    short = resins_by_name().get(said)
    found = found or ({short} & resins.keys() if short else set())
    return found.pop() if len(found) == 1 else None


@cache
def fields_called() -> Mapping[str, frozenset[str]]:
    """Return which fields of screws and their units suppliers call so, by the squeezed wording."""
    found: dict[str, set[str]] = {}
    for key, languages in _shipped()["labels"].items():
        owner, field, *_ = key.split(".")
        for word in (word for words in languages.values() for word in words):
            if owner != "bid":
                found.setdefault(squeezed(word), set()).add(field)
    return {word: frozenset(fields) for word, fields in found.items()}


def abbreviation(key: str) -> str:
    """Return how a resin of the shipped table is abbreviated, "" for any other."""
    return short_names().get(key, ("",))[0]


def month_named(name: str) -> int | None:
    """Return the number of a month by its name, in whole or by its first letters; or None."""
    wanted, months = squeezed(name), _months()
    found = {number for month, number in months.items() if month.startswith(wanted)}
    return months.get(wanted) or (found.pop() if len(found) == 1 and len(wanted) > 2 else None)


@cache
def _months() -> Mapping[str, int]:
    languages = enumerate(_shipped()["months"]["names"], 1)
    return {squeezed(name): number for number, names in languages for name in names}


def money_words() -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the parts of words, and the whole words, by which a sentence speaks of money."""
    shipped = _shipped()["money"]
    return tuple(shipped["parts"]), tuple(shipped["words"])


def _shipped() -> Mapping[str, Any]:
    return tomllib.loads(read_text("synonyms.toml"))
