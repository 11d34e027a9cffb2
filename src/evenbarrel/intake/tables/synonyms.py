"""What suppliers call things: the wordings in `resources/synonyms.toml` and the program's own."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from evenbarrel.entry.shapes import shapes_of
from evenbarrel.entry.wordings import resins_by_name
from evenbarrel.entry.wordings import squeezed as squeezed
from evenbarrel.entry.wordings import words_of as words_of
from evenbarrel.intake.keys import MODELS, DatumKey, read_key
from evenbarrel.resources import read_text
from evenbarrel.wording.words import labels

_LIKE_ENOUGH = 90.0
"""Of 100: two letters of a long word may differ, none of a short one."""
_SHORTEST_LIKE = 6
_LONGEST_LIKE = 60


@dataclass(frozen=True)
class Synonyms:
    """Every known wording, squeezed, and what it stands for."""

    keys: Mapping[str, tuple[DatumKey, ...]]
    bare: Mapping[str, tuple[DatumKey, ...]]
    choices: Mapping[str, Mapping[str, str]]
    columns: Mapping[str, frozenset[str]]
    systems: Mapping[str, frozenset[str]]
    vague: frozenset[str]
    elsewhere: frozenset[str]
    harmless: frozenset[str]
    absent: frozenset[str]
    approximate: Mapping[str, tuple[str, ...]]
    resins: Mapping[str, str]
    scope_items: Mapping[str, tuple[str, ...]]
    scope_states: Mapping[str, tuple[str, ...]]
    scope_leads: Mapping[str, tuple[str, ...]]
    sentences: Mapping[str, tuple[str, ...]]
    prices: Mapping[str, tuple[str, ...]]

    def keys_of(self, wording: str) -> tuple[DatumKey, ...]:
        """Return the data that a squeezed wording may stand for; none where it is unknown."""
        return self.keys.get(wording, ())

    def likest(self, wording: str) -> str | None:
        """Return the known wording that a squeezed one is nearly the same as, or None."""
        # Imported here: only a label that nobody knows needs it.
        from rapidfuzz import fuzz, process

        if not _SHORTEST_LIKE <= len(wording) <= _LONGEST_LIKE:
            return None
        found = process.extractOne(
            wording, self.keys.keys(), scorer=fuzz.ratio, score_cutoff=_LIKE_ENOUGH
        )
        return None if found is None else found[0]

    def choice(self, field: str, codes: Iterable[str], text: str) -> str | None:
        """Return which of the codes of a closed list a text stands for, or None."""
        wanted = squeezed(text)
        for code in codes:
            if text == code or wanted in (squeezed(code), squeezed(labels.choice(code))):
                return code
        return self.choices.get(field, {}).get(wanted)

    def resins_of(self, text: str, resins: Mapping[str, str]) -> set[str]:
        """Return the ids among `resins`, names by id, that a text may stand for."""
        wanted = squeezed(text)
        found = {one for one, name in resins.items() if wanted in (squeezed(one), squeezed(name))}
        short = self.resins.get(wanted)
        return found or ({short} & resins.keys() if short else set())

    def is_resin(self, text: str, resins: Mapping[str, str]) -> bool:
        """Say whether a text is the name of a resin, of these or another."""
        return squeezed(text) in self.resins or bool(self.resins_of(text, resins))

    def system_of(self, text: str) -> str:
        """Return the system of units that a text names, `metric` or `us`; "" for none."""
        wanted = squeezed(text)
        return next((name for name, words in self.systems.items() if wanted in words), "")

    def is_absent(self, text: str) -> bool:
        """Say whether a text says that nothing is stated."""
        text = text.strip()
        return not text or not text.strip("-–—−_.… ") or text.casefold() in self.absent

    def without_approximation(self, text: str) -> tuple[str, str]:
        """Return a text without `approx.` or `max.`, and "approximate", "limit" or ""."""
        if text[:1].isdigit() and text[-1:].isdigit():
            return text, ""
        for code, words in self.approximate.items():
            for word in words:
                lower = text.casefold()
                rest = None
                if lower.startswith(word) and not lower[len(word) :][:1].isalpha():
                    rest = text[len(word) :]
                elif lower.endswith(f" {word}"):
                    rest = text[: -len(word)]
                if rest is not None and any(c.isdigit() for c in rest):
                    return rest.strip(" :"), code
        return text, ""


@cache
def synonyms() -> Synonyms:
    """Return the wordings that the program knows, read once."""
    data = tomllib.loads(read_text("synonyms.toml"))
    return Synonyms(
        _keys(data["labels"]),
        _bare_keys(data["bare"]),
        {
            field: {squeezed(word): code for code, words in codes.items() for word in words}
            for field, codes in data["choices"].items()
        },
        {
            column: frozenset(squeezed(word) for word in words)
            for column, words in data["columns"].items()
        },
        {system: frozenset(map(squeezed, words)) for system, words in data["systems"].items()},
        frozenset(squeezed(word) for word in data["vague"]["words"]),
        frozenset(squeezed(word) for word in data["elsewhere"]["words"]),
        frozenset(squeezed(word) for word in data["harmless"]["words"]),
        frozenset(word.casefold() for word in data["absent"]["words"]),
        {
            code: tuple(
                sorted((word.casefold() for word in data["approximate"][name]), key=len)[::-1]
            )
            for code, name in (("approximate", "about"), ("limit", "limit"))
        },
        resins_by_name(),
        _in_tuples(data["scope"]["items"]),
        _in_tuples(data["scope"]["states"]),
        _in_tuples(data["scope"]["leads"]),
        _in_tuples(data["sentences"]),
        _in_tuples(data["prices"]),
    )


def _in_tuples(wordings: Mapping[str, list[str]]) -> Mapping[str, tuple[str, ...]]:
    return {code: tuple(words) for code, words in wordings.items()}


def _bare_keys(wordings: Mapping[str, list[str]]) -> Mapping[str, tuple[DatumKey, ...]]:
    found: dict[str, dict[DatumKey, None]] = {}
    for text, words in wordings.items():
        for wording in words:
            found.setdefault(squeezed(wording), {})[_known_key(text)] = None
    return {wording: tuple(keys) for wording, keys in found.items()}


def _known_key(text: str) -> DatumKey:
    key = read_key(text)
    if key is None:
        raise ValueError(f"synonyms.toml names no datum: {text}")
    return key


def _keys(wordings: Mapping[str, Mapping[str, list[str]]]) -> Mapping[str, tuple[DatumKey, ...]]:
    found: dict[str, dict[DatumKey, None]] = {}
    for text, languages in wordings.items():
        key = _known_key(text)
        for words in languages.values():
            for wording in words:
                found.setdefault(squeezed(wording), {})[key] = None
    for owner, model in MODELS.items():
        for name, shape in shapes_of(model).items():
            wording = squeezed(shape.datum.label)
            found.setdefault(wording, {})[DatumKey(owner, name)] = None
    return {wording: tuple(keys) for wording, keys in found.items()}
