"""What is looked through and not taken yet, as it is kept aside: written, and read again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_args

from pydantic import ConfigDict, JsonValue, TypeAdapter, ValidationError
from pydantic_core import PydanticSerializationError, to_json

from evenbarrel.entry.shapes import shapes_of
from evenbarrel.intake.extract import Extract, Finding, FoundAt, Line
from evenbarrel.intake.in_words import owner_of
from evenbarrel.intake.keys import MODELS, DatumKey, Owner
from evenbarrel.intake.sent import Printed, Sent
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum_path import (
    BidPath,
    ProgrammePath,
    ResinPath,
    ThingPath,
    UnitPath,
    thing_at,
)
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import Document
from evenbarrel.model.quantity import Standing
from evenbarrel.model.resin import Resin
from evenbarrel.storage.autosave import KeptOpen
from evenbarrel.storage.file_errors import Fault, FileRefused
from evenbarrel.storage.parsing import parse_json
from evenbarrel.wording.sentences.asking import collecting as words
from evenbarrel.wording.sentences.asking.extracts import FINDINGS

_BY_PART = ("scope", "guarantees")


class _Data(Frozen):
    # A cell of a table may hold more than a datum may; the whole file is bounded.
    model_config = ConfigDict(str_max_length=16 * 1024 * 1024)


class Draft(_Data):
    """What was typed as the value of a line, by its place, and not taken."""

    line: int
    owner: Owner
    field: str
    text: str
    standing: Standing | None = None

    @property
    def key(self) -> DatumKey:
        """What it was typed for."""
        return DatumKey(self.owner, self.field)


class GivenBeside(_Data):
    """A particular of the offer that was typed: what was taken of it, and what could not be."""

    thing: tuple[str, ...]
    field: str
    taken: bool
    refused: str | None = None

    @property
    def bid_or_unit(self) -> BidPath | UnitPath:
        """Whose particular it is; raises ValueError where it is of something else."""
        thing = thing_at(self.thing)
        if not isinstance(thing, BidPath | UnitPath):
            raise ValueError("no particular of an offer")
        return thing


class Chosen(_Data):
    """What a person did to what was read, and how they looked at it."""

    ticked: tuple[int, ...]
    touched: bool
    fixed: bool
    """Whether it can be for no other offer."""
    noted: bool
    """Whether what was not read is to go into the notes."""
    shown: int
    """Which lines are shown, by the place of the choice."""
    line: int | None
    """The line in focus."""
    in_front: bool
    drafts: tuple[Draft, ...] = ()
    beside: tuple[GivenBeside, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftOpen:
    """What was read and stands open, what it was read from, and what waits to be read after it."""

    extract: Extract
    chosen: Chosen
    sent: Sent
    waiting: tuple[Sent, ...] = ()


class _Line(_Data):
    place: FoundAt
    label: str
    text: str
    thing: tuple[str, ...] | None
    field: str
    part: str
    value: JsonValue
    findings: tuple[Finding, ...]
    beside: str


class _Sent(_Data):
    name: str
    path: str | None = None
    text: str = ""
    printed: Printed | None = None


class _Kept(_Data):
    version: Literal[1] = 1
    bid: str
    name: str
    is_returned: bool
    document: Document | None
    lines: tuple[_Line, ...]
    chosen: Chosen
    sent: _Sent
    waiting: tuple[_Sent, ...]


def kept_of(left: LeftOpen) -> KeptOpen:
    """Return what stands open as data; raises `FileRefused` where it cannot be written."""
    extract = left.extract
    try:
        kept = _Kept(
            bid=extract.bid.bid,
            name=extract.name,
            is_returned=extract.is_returned,
            document=extract.document,
            lines=tuple(_line_data(line) for line in extract.lines),
            chosen=left.chosen,
            sent=_sent_data(left.sent),
            waiting=tuple(map(_sent_data, left.waiting)),
        )
        return KeptOpen(to_json(kept), left.sent.data)
    except (ValidationError, PydanticSerializationError) as error:
        raise FileRefused(extract.name, "", words.NOT_KEPT) from error


def left_open(kept: KeptOpen) -> LeftOpen:
    """Return what stood open; raises `FileRefused` where that is damaged.

    What stands where a line goes is not kept: whoever opens it again looks it up.
    """
    try:
        parse_json(kept.data)
        read = _Kept.model_validate_json(kept.data)
        lines = tuple(_line_of(line, read.bid) for line in read.lines)
        _refuse_strays(read.chosen, len(lines))
    except (Fault, ValidationError, LookupError, ValueError) as error:
        raise FileRefused(words.LEFT_OPEN, "", words.DAMAGED) from error
    extract = Extract(BidPath(read.bid), lines, read.document, read.name, read.is_returned)
    sent = replace(_sent_of(read.sent), data=kept.sent)
    return LeftOpen(extract, read.chosen, sent, tuple(map(_sent_of, read.waiting)))


def _line_data(line: Line) -> _Line:
    kind = None if line.value is None else _kind(_whose(line.thing), line.field)
    return _Line(
        place=line.place,
        label=line.label,
        text=line.text,
        thing=None if line.thing is None else line.thing.path,
        field=line.field,
        part=line.part,
        value=None if kind is None else kind.dump_python(line.value, mode="json", by_alias=True),
        findings=line.findings,
        beside=line.beside,
    )


def _line_of(kept: _Line, bid: str) -> Line:
    thing = None if kept.thing is None else thing_at(kept.thing)
    if owner_of(thing) is not None and kept.thing is not None and kept.thing[1] != bid:
        raise ValueError("a line goes to another bid")
    if any(one.code not in FINDINGS for one in kept.findings):
        raise ValueError("a finding has no words")
    value = kept.value
    if value is not None:
        value = _kind(_whose(thing), kept.field).validate_json(to_json(value))
    return Line(
        kept.place,
        kept.label,
        kept.text,
        thing,
        kept.field,
        kept.part,
        value,
        kept.findings,
        beside=kept.beside,
    )


def _refuse_strays(chosen: Chosen, count: int) -> None:
    places = [*chosen.ticked, *(one.line for one in chosen.drafts)]
    places += [] if chosen.line is None else [chosen.line]
    if any(not 0 <= place < count for place in places):
        raise ValueError("a line that is not there is chosen")
    for one in chosen.drafts:
        _ = one.key.shape
    for given in chosen.beside:
        _ = shapes_of(MODELS[owner_of(given.bid_or_unit) or "bid"])[given.field]


def _sent_data(sent: Sent) -> _Sent:
    path = None if sent.path is None else str(sent.path.absolute())
    # As whoever reads it does with half of a character.
    text = sent.text.encode("utf-8", "replace").decode()
    return _Sent(name=sent.name, path=path, text=text, printed=sent.printed)


def _sent_of(kept: _Sent) -> Sent:
    path = None if kept.path is None else Path(kept.path)
    return Sent(kept.name, path, kept.text, printed=kept.printed)


def _whose(thing: ThingPath | None) -> str:
    """Return what kind of thing a line goes to, "" where nobody knows."""
    if isinstance(thing, ResinPath):
        return "resin"
    return "programme" if isinstance(thing, ProgrammePath) else owner_of(thing) or ""


@cache
def _kind(whose: str, field: str) -> TypeAdapter[Any]:
    """Return what the value of a line is; raises KeyError where there is no such datum."""
    if whose == "resin":
        return TypeAdapter(Resin)
    model = next(_models_with(whose, field))
    wanted = model.model_fields[field].annotation
    if model is Evaluation or field in _BY_PART:
        # A line is of one entry of such a list.
        wanted = get_args(wanted)[0]
    return TypeAdapter(wanted)


def _models_with(whose: str, field: str) -> Iterator[Any]:
    models: list[Any] = [Evaluation] if whose == "programme" else []
    models = models or [model for owner, model in MODELS.items() if whose in (owner, "")]
    yield from (model for model in models if field in model.model_fields)
    raise KeyError(field)
