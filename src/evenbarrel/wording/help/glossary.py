"""The glossary: what the terms of the trade and of this program mean, in plain words.

Its texts stand in `resources/glossary.toml`. An entry is found by a key: a datum is
`Barrel.stroke`, a criterion `criterion.capacity`; claims, states, gates, marks and places alike.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from types import MappingProxyType

from pydantic import BaseModel

from evenbarrel.appraisal.references import (
    AmountRef,
    AskRef,
    ClaimRef,
    CountRef,
    CriterionRef,
    DatumRef,
    FactorRef,
    GateRef,
    GatesRef,
    HoursRef,
    JobHoursRef,
    LevelledRef,
    LimitRef,
    PinRef,
    Reference,
    RuleRef,
    RunsRef,
    SeriesRef,
    ShareRef,
    ShotRef,
    SizeRef,
    VolumeRef,
    WayOut,
)
from evenbarrel.model.cost import Cost
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.record.acceptance import Acceptance, AcceptanceTest
from evenbarrel.model.resin import OutputFactors, Resin
from evenbarrel.resources import read_text

GLOSSARY = "Glossary"
SEARCH = "Search the terms"
NOTHING_FOUND = "No term contains these words. Try one word, or part of one."
GLOSSARY_KEYS = "Type to search, up and down to choose, Esc to close."
F1 = "F1 explains."
"""What a tip ends with where the glossary has more to say."""

_MODELS: tuple[type[BaseModel], ...] = (
    *(Barrel, InjectionUnit, Bid, Job, Resin, OutputFactors, Evaluation, Cost, Acceptance),
    AcceptanceTest,
)
_OF_REFERENCE: Mapping[type, str] = MappingProxyType(
    {
        ShotRef: "shot",
        FactorRef: "output_factor",
        VolumeRef: "swept_volume",
        GateRef: "place.decision",
        RuleRef: "place.rules",
        LimitRef: "limit",
        PinRef: "pin",
        DatumRef: "place.questions",
        AmountRef: "amount",
        LevelledRef: "levelled",
        ShareRef: "measure",
        AskRef: "ask",
        HoursRef: "hours",
        JobHoursRef: "hours",
        CountRef: "place.decision",
        GatesRef: "place.decision",
        RunsRef: "hours",
        SizeRef: "ask",
        SeriesRef: "place.acceptance",
    }
)


@dataclass(frozen=True)
class Entry:
    """A term, what it means, under which heading it stands, and what else leads to it.

    `data` are the labels of the fields it explains, each with its help: one text a field.
    """

    term: str
    section: str
    text: str
    keys: tuple[str, ...]
    also: tuple[str, ...]
    data: tuple[str, ...]

    @cached_property
    def _sought(self) -> tuple[str, ...]:
        return tuple(text.casefold() for text in (self.term, *self.also, *self.data, self.text))

    def place_of(self, words: str) -> int | None:
        """Return where words are found: 0 in the term, more the less it is about them; or None."""
        wanted = words.casefold().split()
        for place, text in enumerate(self._sought):
            if all(word in text for word in wanted):
                return place
        return None


@dataclass(frozen=True)
class Glossary:
    """Every entry, in the order of the file, and which one explains what."""

    entries: tuple[Entry, ...]
    by_key: Mapping[str, Entry]

    def search(self, words: str) -> tuple[Entry, ...]:
        """Return the entries that hold all the words, those called so first; all for no words."""
        found = [(entry.place_of(words), entry) for entry in self.entries]
        placed = [(place, entry) for place, entry in found if place is not None]
        return tuple(entry for _, entry in sorted(placed, key=lambda one: one[0]))


@cache
def glossary() -> Glossary:
    """Return the glossary that is shipped."""
    entries = tuple(
        Entry(
            term=read["term"],
            section=read["section"],
            text=read["text"].strip(),
            keys=tuple(read["keys"]),
            also=tuple(read.get("also", ())),
            data=tuple(_field_text(key) for key in read["keys"] if key in _data()),
        )
        for read in tomllib.loads(read_text("glossary.toml"))["entry"]
    )
    return Glossary(entries, {key: entry for entry in entries for key in entry.keys})


@cache
def key_of_datum(name: str, datum: Datum) -> str | None:
    """Return the key of a field by its name and description; None where no model has it."""
    ending = f".{name}"
    found = (key for key, one in _data().items() if key.endswith(ending) and one == datum)
    return next(found, None)


def fields_text(entry: Entry) -> str:
    """Return the fields that an entry explains, a line each; "" for none."""
    if not entry.data:
        return ""
    return "\n".join(("Fields:", *(f"–  {text}" for text in entry.data)))


def key_of(reference: Reference | WayOut) -> str:
    """Return the key of what a number on screen opens."""
    match reference:
        case CriterionRef(criterion=name):
            return f"criterion.{name}"
        case ClaimRef(key=name):
            return f"claim.{name}"
    return _OF_REFERENCE[type(reference)]


@cache
def _data() -> Mapping[str, Datum]:
    return {
        f"{model.__name__}.{name}": datum
        for model in _MODELS
        for name, datum in data_of(model).items()
    }


def _field_text(key: str) -> str:
    datum = _data()[key]
    return f"{datum.label}: {datum.help}" if datum.help else datum.label
