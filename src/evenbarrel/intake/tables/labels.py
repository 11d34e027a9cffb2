"""A printed label, read as the datum it may name and the unit that stands in it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from evenbarrel.entry.amount import NO_CURRENCY
from evenbarrel.entry.number import read_unit
from evenbarrel.intake.keys import DESIGNATION, LABEL, DatumKey
from evenbarrel.intake.tables.synonyms import squeezed, synonyms, words_of
from evenbarrel.intake.tables.values import ALL_UNITS, begins_a_value

LONGEST, LONGEST_NAME = 120, 40
"""Characters of a label, and of a name; a longer one is a sentence."""
_SHORTEST_FOR_UNIT = 9


@dataclass(frozen=True, slots=True)
class LabelReading:
    """What a label may name, the most likely first, and what stands in it besides.

    `unit` is the unit's text in it, "" where none is; `beside` are words that nobody knows;
    `likely` says that the wording is not a known one but nearly, `bare` that it says too little.
    """

    keys: tuple[DatumKey, ...]
    unit: str = ""
    beside: str = ""
    likely: bool = False
    bare: bool = False

    @property
    def exact(self) -> bool:
        """Whether it is a known wording and nothing else."""
        return bool(self.keys) and not (self.likely or self.bare or self.beside)


_UNKNOWN = LabelReading(())
# A mark that leads to a note below the table; a unit behind the label is gone before.
_FOOTNOTE = re.compile(r"\s*(?:[⁰¹²³⁴-⁹]+[)⁾]?|\*+\)?|[†‡]|(?<=\s)\(?[0-9][)⁾])$")
# The number of a paragraph before a label, as `2.1` or `3)`; and no number with its unit.
_NUMBERED = re.compile(r"^[0-9]{1,2}(?:\.[0-9]{1,2})*[.)]?\s+(?=[^\W\d_]{4})")
_WORD_FOR_SCREW = re.compile(
    r"^(?:screw|barrel|schnecke|zylinder|vis|vite|husillo|option|version)\b[ .:#-]*", re.IGNORECASE
)
_SPEED = DatumKey("barrel", "screw_speed")
_HIGHEST_SPEED = DatumKey("barrel", "screw_speed_max")
_HIGHEST = ("max", "mass", "máx")
"""How the words begin that make a screw's speed its highest."""
_GOES_ON = re.compile(r"\W*\b(?:continued|cont|fortsetzung|suite|segue|continuación)\b.*", re.I)
_BRACKETS = re.compile(r"[(\[{](?P<inside>[^()\[\]{}]*)[)\]}]")


@lru_cache(maxsize=16384)
def read_label(text: str) -> LabelReading:
    """Return what a label may name; no keys where nobody knows. Never raises."""
    text = " ".join(text.split())
    if not text or len(text) > LONGEST:
        return _UNKNOWN
    bare = text.rstrip(" :.=").strip()
    whole = synonyms().keys_of(squeezed(bare))
    if whole:
        return LabelReading(whole)
    numbered = _NUMBERED.match(bare)
    if numbered is not None:
        return read_label(bare[numbered.end() :])
    unit, inside, outside = _out_of_brackets(bare)
    before, named = _unit_behind(outside)
    if before and unit and named:
        # `Stroke, mm (in)`: each number stands in both, the second in brackets.
        unit, outside = f"{before} ({unit})", named
    elif not unit:
        unit, outside = before, named
    outside = _FOOTNOTE.sub("", outside)
    if not unit:
        unit, outside = _unit_behind(outside)
    if not unit:
        unit, outside = _currency_behind(outside)
    return _with_horsepower(_read_words(outside, unit, inside) or _UNKNOWN)


def _with_horsepower(reading: LabelReading) -> LabelReading:
    """Return a reading of a power whose unit PS was taken for the resin."""
    is_power = bool(reading.keys) and "power" in reading.keys[0].shape.datum.kinds
    if is_power and not reading.unit and reading.beside.casefold() == "ps":
        return replace(reading, unit="PS", beside="")
    return reading


def _out_of_brackets(text: str) -> tuple[str, list[str], str]:
    """Return the unit in a label's brackets, what else they hold, and the label without."""
    unit, inside = "", []
    for found in _BRACKETS.finditer(text):
        part = found["inside"].strip()
        if not unit and is_unit(part):
            unit = part
        elif part:
            inside.append(part)
    return unit, inside, " ".join(_BRACKETS.sub(" ", text).split())


def names_a_screw(text: str) -> bool:
    """Say whether a text begins with the word for a screw, as `Screw A` does."""
    return _WORD_FOR_SCREW.match(text) is not None


def is_like_a_name(text: str) -> bool:
    """Say whether a title is like the name of a machine or a unit: short, and with a number."""
    return (
        0 < len(text) <= LONGEST_NAME
        and any(c.isdigit() for c in text)
        and any(c.isalpha() for c in text)
        and not names_a_screw(text)
        and not begins_a_value(text)
        and not read_label(text).keys
    )


def bare_name(text: str) -> str:
    """Return the letter of a screw without the word for it: `Screw A` is A."""
    text = " ".join(text.split())[:80]
    return _WORD_FOR_SCREW.sub("", text) or text


def once(title: str) -> str:
    """Return a title or a head without the word that it goes on, as `continued` does."""
    return _GOES_ON.sub("", title)


@lru_cache(maxsize=4096)
def unit_named(text: str) -> str:
    """Return the name behind the word for an injection unit: `430` of `Injection unit 430`, or "".

    A short word, as `Model`, may be of anything and names none.
    """
    words = once(text).split()
    for count in range(len(words) - 1, 0, -1):
        begun, name = squeezed(" ".join(words[:count])), " ".join(words[count:])
        if DESIGNATION in synonyms().keys_of(begun) and len(begun) >= _SHORTEST_FOR_UNIT:
            return name if len(name) <= 20 and any(c.isdigit() for c in name) else ""
    return ""


@lru_cache(maxsize=16384)
def is_unit(text: str) -> bool:
    """Say whether a text without digits in front spells a unit of any kind.

    PS in a label is the resin, whatever a power is printed in.
    """
    bare = text.strip("[]() ")
    is_resin = squeezed(bare) in synonyms().resins
    return bool(bare) and not is_resin and read_unit(bare, ALL_UNITS) is not None


def is_currency(text: str) -> bool:
    """Say whether a text is written as a currency is, by its code or its sign."""
    return re.fullmatch(r"[A-Z]{3}|[€£$]", text) is not None and text not in NO_CURRENCY


def is_measured(key: DatumKey) -> bool:
    """Say whether a datum is a number with a unit, or an amount of money."""
    return key.shape.kind in ("quantity", "money")


def is_money(key: DatumKey | None) -> bool:
    """Say whether a datum is an amount of money."""
    return key is not None and key.shape.kind == "money"


def unit_in(text: str) -> str:
    """Return a unit's text without its brackets."""
    return text.strip("[]() ")


def _unit_behind(text: str) -> tuple[str, str]:
    """Return the unit a label ends with, `Stroke, mm` or `Hub in mm`, and the label without."""
    words = text.replace(",", " ").replace(";", " ").split()
    for count in (1, 2):
        if len(words) > count and is_unit(" ".join(words[-count:])):
            name = words[:-count]
            if name[-1] == "in" and len(name) > 1:
                name = name[:-1]
            if len(words[-1]) == 1 and names_a_screw(" ".join(words)) and len(name) == 1:
                # `Screw C` is called so, and measured in nothing.
                continue
            # `Screw in` ends in a word, `Screw min` in nothing that anybody measures screws by.
            return " ".join(words[-count:]), " ".join(name)
    return "", text


def _currency_behind(text: str) -> tuple[str, str]:
    """Return the currency a price's label ends with, as `Price USD`, and the label without."""
    name, _, last = text.rpartition(" ")
    name = name.rstrip(" ,;")
    is_price = name and is_currency(last) and any(map(is_money, read_label(name).keys))
    return (last, name) if is_price else ("", text)


def _read_words(outside: str, unit: str, inside: list[str]) -> LabelReading | None:
    known = synonyms()
    words, beside = words_of(outside), [p for p in inside if is_currency(p) or not _is_harmless(p)]
    squeezed_words = "".join(words)
    if inside:
        keys = known.keys_of(squeezed_words + "".join(map(squeezed, inside)))
        if keys:
            return LabelReading(keys, unit)
    keys = known.keys_of(squeezed_words)
    if not keys:
        kept = [word for word in words if word not in known.harmless]
        keys = known.keys_of("".join(kept))
    if keys == (_SPEED,) and any(word.startswith(_HIGHEST) for word in (*words, *inside)):
        keys = (_HIGHEST_SPEED,)
    if keys:
        # A price's brackets hold its currency, as another label's may hold the resin ABS.
        currency = next((part for part in beside if is_money(keys[0]) and is_currency(part)), "")
        rest = [part for part in beside if part != currency]
        return LabelReading(keys, unit or currency, ", ".join(rest))
    return _begun(words, unit, beside)


def _begun(words: tuple[str, ...], unit: str, beside: list[str]) -> LabelReading | None:
    """Return what the greater part of a label names, with the words that go on."""
    known, letters = synonyms(), len("".join(words))
    for count in range(len(words) - 1, 0, -1):
        said = [word for word in words[:count] if word not in known.harmless]
        begun = "".join(words[:count])
        found = known.keys_of(begun) or known.keys_of("".join(said))
        keys = tuple(key for key in found if key not in (LABEL, DESIGNATION))
        is_delivered = words[count].upper() in NO_CURRENCY and any(map(is_money, keys))
        if keys and (2 * len(begun) > letters or is_delivered):
            rest = " ".join(word for word in words[count:] if word not in known.harmless)
            return LabelReading(keys, unit, ", ".join([*([rest] if rest else []), *beside]))
    return None


def bare_label(text: str) -> LabelReading:
    """Return what a head may be of that says too little by itself, as `Volume`; no keys if none."""
    if not text or len(text) > LONGEST_NAME:
        return _UNKNOWN
    unit, inside, outside = _out_of_brackets(" ".join(text.rstrip(" :.=").split()))
    if not unit:
        unit, outside = _unit_behind(outside)
    words = [word for word in words_of(outside) if not _is_said_besides(word)]
    keys = synonyms().bare.get("".join(words), ()) or synonyms().bare.get(squeezed(outside), ())
    resins = [word for word in (*words_of(outside), *inside) if synonyms().is_resin(word, {})]
    return LabelReading(keys, unit, ", ".join(resins), bare=True) if keys else _UNKNOWN


def _is_said_besides(word: str) -> bool:
    known = synonyms()
    return known.is_resin(word, {}) or (word in known.harmless and len(word) > 1)


def nearly(text: str) -> LabelReading:
    """Return what a label that nobody knows is nearly the wording of; no keys where of nothing."""
    if not text or len(text) > LONGEST:
        return _UNKNOWN
    unit, _, outside = _out_of_brackets(" ".join(text.split()))
    if not unit:
        unit, outside = _unit_behind(outside)
    likest = synonyms().likest(squeezed(outside))
    if likest is None:
        return _UNKNOWN
    return LabelReading(synonyms().keys_of(likest), unit, likely=True)


def _is_harmless(text: str) -> bool:
    return all(word in synonyms().harmless for word in words_of(text))
