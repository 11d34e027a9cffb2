"""A bid file, `*.bid.json`, made into an extract: merged by supplier and reference."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import replace
from typing import Any

from evenbarrel.intake.accepting.taking import value_at
from evenbarrel.intake.extract import Extract, Finding, FoundAt, Line
from evenbarrel.intake.in_words import shape_of
from evenbarrel.intake.screws import Column, ScrewMatch, match_screws
from evenbarrel.intake.tables.synonyms import squeezed
from evenbarrel.model.base import Frozen
from evenbarrel.model.changes import new_bid
from evenbarrel.model.datum_path import BidPath, ResinPath, ThingPath
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.model.offers.bid import InjectionUnit
from evenbarrel.model.offers.terms import Guarantee, ScopeLine
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.sentences.pages import spoken_quantity
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import counted

_ANYWHERE = FoundAt(1, 0)
_STRUCTURE = frozenset(
    {"format_version", "id", "units", "barrels", "resins", "scope", "guarantees", "standard_barrel"}
)
_NAMES_IDS = frozenset({"revises", "withdrawn"})
"""What names ids of another file, or undoes an offer: for a person to say, never taken along."""
_RESINS = ("reference_resin", "plasticising_resin")


def extract_bid(
    evaluation: Evaluation, bid_file: BidFile, bid: str | None = None, name: str = ""
) -> Extract:
    """Return what a bid file holds as an extract for the bid of that id, for a new one with "".

    With None it is for the bid of the same supplier and reference, else for a new one.
    """
    if bid is None:
        bid = _same_offer(evaluation, bid_file)
    path = BidPath(bid or new_bid(evaluation).id)
    return Extract(path, tuple(_numbered(_lines(evaluation, bid_file, path))), name=name)


def bid_file_of(evaluation: Evaluation, bid: str) -> BidFile:
    """Return a bid as it travels on its own, with the resins that it names; raises KeyError."""
    one = evaluation.bid(bid)
    barrels = (barrel for unit in one.units for barrel in unit.barrels)
    named = {getattr(barrel, field) for barrel in barrels for field in _RESINS}
    resins = tuple(resin for resin in evaluation.resins if resin.id in named)
    return BidFile.model_validate(dict(one) | {"resins": resins}, by_name=True)


def _same_offer(evaluation: Evaluation, bid_file: BidFile) -> str:
    wanted = (squeezed(bid_file.supplier), squeezed(bid_file.reference))
    found = [
        bid.id
        for bid in evaluation.bids
        if wanted[0] and (squeezed(bid.supplier), squeezed(bid.reference)) == wanted
    ]
    return found[0] if len(found) == 1 else ""


def _numbered(lines: Iterator[Line]) -> Iterator[Line]:
    """Yield the lines with their number as their place: a file has no rows."""
    for number, line in enumerate(lines, 1):
        yield replace(line, place=FoundAt(number, 0))


def _lines(evaluation: Evaluation, bid_file: BidFile, path: BidPath) -> Iterator[Line]:
    yield from _resin_lines(evaluation, bid_file)
    yield from _fields(evaluation, bid_file, path, ())
    for one in bid_file.scope:
        yield _line(evaluation, path, "scope", one, (), one.item)
    pairs = [(unit, barrel) for unit in bid_file.units for barrel in unit.barrels]
    numbers = _unit_numbers(bid_file.units)
    columns = [
        Column(unit.designation, barrel.label, barrel.screw_diameter, numbers[unit.id])
        for unit, barrel in pairs
    ]
    matches = match_screws(evaluation, path, columns)
    begun: set[str] = set()
    own = {barrel.id for _, barrel in pairs}
    for (unit, barrel), match in zip(pairs, matches, strict=True):
        if unit.id not in begun:
            begun.add(unit.id)
            yield from _fields(evaluation, unit, match.unit, match.findings)
        yield from _fields(evaluation, barrel, match.barrel, match.findings, own)
    for unit in bid_file.units:
        if unit.id not in begun:
            yield Line(_ANYWHERE, "", unit.designation, findings=(Finding("no_screw"),))
    # Last: what names a screw finds it there by then.
    matched = {barrel.id: match for (_, barrel), match in zip(pairs, matches, strict=True)}
    yield from _naming_screws(evaluation, bid_file, path, matched)


def _unit_numbers(units: Sequence[InjectionUnit]) -> Mapping[str, int]:
    """Return a number for each unit, by its id, that tells it from those called alike; else 0."""
    alike: dict[str, list[str]] = {}
    for unit in units:
        alike.setdefault(squeezed(unit.designation), []).append(unit.id)
    return {
        name: number if len(same) > 1 else 0
        for same in alike.values()
        for number, name in enumerate(same, 1)
    }


def _naming_screws(
    evaluation: Evaluation, bid_file: BidFile, path: BidPath, matched: Mapping[str, ScrewMatch]
) -> Iterator[Line]:
    """Yield what is guaranteed of a screw, and which one each machine is priced with."""
    for one in bid_file.guarantees:
        match = matched[one.barrel]
        value = one.replace(barrel=match.barrel.barrel)
        part = f"{value.barrel}.{value.datum}"
        line = _line(evaluation, path, "guarantees", value, match.findings, part)
        yield replace(line, label=labels.datum("guarantees"))
    for barrel, match in ((b, matched[b.id]) for unit in bid_file.units for b in unit.barrels):
        before = matched.get(barrel.revises or "")
        if before is not None:
            name = before.barrel.barrel
            yield _line(evaluation, match.barrel, "revises", name, match.findings)
    for unit in bid_file.units:
        if unit.standard_barrel is not None:
            match = matched[unit.standard_barrel]
            name = match.barrel.barrel
            yield _line(evaluation, match.unit, "standard_barrel", name, match.findings)


def _resin_lines(evaluation: Evaluation, bid_file: BidFile) -> Iterator[Line]:
    for resin in bid_file.resins:
        known = evaluation.resin(resin.id)
        label, text = labels.datum("resin"), resin.name or "resin without a name"
        if known is None:
            new = (Finding("new_resin"),)
            yield Line(_ANYWHERE, label, text, ResinPath(resin.id), value=resin, findings=new)
        elif known != resin:
            differs = (Finding("resin_differs"),)
            yield Line(_ANYWHERE, label, text, ResinPath(resin.id), findings=differs, now=known)


def _fields(
    evaluation: Evaluation,
    thing: Frozen,
    path: ThingPath,
    doubts: tuple[Finding, ...],
    own: Set[str] = frozenset(),
) -> Iterator[Line]:
    """Yield a line for every field of a bid, a unit or a barrel that is stated.

    What names one of the `own` barrels of the file comes last, by itself.
    """
    for field, info in type(thing).model_fields.items():
        value = getattr(thing, field)
        if field in _STRUCTURE or value in (None, "", ()) or value == info.default:
            continue
        if field == "revises" and value in own:
            continue
        if field in _NAMES_IDS:
            ids = (*doubts, Finding("not_described"))
            yield Line(_ANYWHERE, labels.datum(field), _text(value), path, field, findings=ids)
            continue
        unknown = field in _RESINS and evaluation.resin(value) is None
        findings = (*doubts, Finding("unknown_resin", value)) if unknown else doubts
        yield _line(evaluation, path, field, value, findings)


def _line(
    evaluation: Evaluation,
    path: ThingPath,
    field: str,
    value: Any,
    findings: tuple[Finding, ...],
    part: str = "",
) -> Line:
    label = part or labels.datum(field)
    now = value_at(evaluation, path, field, part)
    line = Line(_ANYWHERE, label, _text(value), path, field, part, value, findings, now)
    shape = shape_of(line)
    is_choice = shape is not None and shape.kind == "choice"
    return replace(line, text=labels.choice(value)) if is_choice else line


def _text(value: Any) -> str:
    if isinstance(value, Quantity):
        return spoken_quantity(value)
    if isinstance(value, Money):
        return f"{value.amount} {value.currency}"
    if isinstance(value, ScopeLine):
        return labels.choice(value.state)
    if isinstance(value, Guarantee):
        return f"{labels.datum(value.datum)} {spoken_quantity(value.value)}"
    return counted(len(value), "entry", "entries") if isinstance(value, tuple) else str(value)
