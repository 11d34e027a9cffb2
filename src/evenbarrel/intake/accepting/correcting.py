"""An extract put right by a person: another datum, another screw, another value."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from typing import Any

from evenbarrel.intake.accepting.taking import value_at
from evenbarrel.intake.extract import Extract, Finding, FoundAt, Line
from evenbarrel.intake.in_words import is_measured, owner_of
from evenbarrel.intake.keys import DatumKey, Owner
from evenbarrel.intake.sources import Source, context_of
from evenbarrel.intake.tables.values import read_value
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import all_ids
from evenbarrel.model.datum_path import BarrelPath, ResinPath, ThingPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.resin import Resin
from evenbarrel.storage import resin_table
from evenbarrel.wording.sentences.asking.collecting import TYPED

CORRECTED = Finding("corrected")


def screws_of(evaluation: Evaluation, extract: Extract) -> tuple[BarrelPath, ...]:
    """Return the screws of the bid: those that stand, then those that the extract would add."""
    return _things(evaluation, extract, BarrelPath)  # type: ignore[return-value]


def new_screw(evaluation: Evaluation, extract: Extract) -> BarrelPath:
    """Return the path of one more screw of the last unit, or of a new one where there is none."""
    units = _things(evaluation, extract, UnitPath)
    taken = all_ids(evaluation) | ids_of(extract)
    unit = units[-1].path[-1] if units else edits.free_id(taken, "unit")
    return BarrelPath(extract.bid.bid, unit, edits.free_id(taken, "barrel"))


def with_datum(evaluation: Evaluation, extract: Extract, index: int, key: DatumKey) -> Extract:
    """Return the extract in which a line is taken to be another datum; its text is read anew."""
    line = extract.lines[index]
    thing = _owner(evaluation, extract, line, key.owner)
    bid = _bid(evaluation, extract)
    reading = read_value(key.shape, line.text, line.beside, context_of(evaluation, bid))
    value = _sourced(extract, line, reading.value)
    part = _part_of(value)
    changed = replace(
        line,
        thing=thing,
        field=key.field,
        part=part,
        value=value,
        findings=(*reading.findings, CORRECTED),
        now=value_at(evaluation, thing, key.field, part),
    )
    return _with_lines(extract, {index: changed})


def without_datum(extract: Extract, index: int) -> Extract:
    """Return the extract in which a line is of no datum: it is listed, and taken nowhere."""
    line = extract.lines[index]
    aside = replace(
        line, thing=None, field="", part="", value=None, now=None, findings=(Finding("aside"),)
    )
    return _with_lines(extract, {index: aside})


def with_screw(
    evaluation: Evaluation, extract: Extract, indices: Collection[int], screw: BarrelPath
) -> Extract:
    """Return the extract in which lines belong to another screw, or what is its unit's to it."""
    changed = {}
    for index in indices:
        line = extract.lines[index]
        owner = owner_of(line.thing)
        if owner == "bid":
            continue
        thing = UnitPath(screw.bid, screw.unit) if owner == "unit" else screw
        now = value_at(evaluation, thing, line.field, line.part) if line.field else None
        findings = tuple(f for f in line.findings if f.code not in ("ambiguous_screw", "for_all"))
        changed[index] = replace(line, thing=thing, now=now, findings=(*findings, CORRECTED))
    return _with_lines(extract, changed)


def with_value(evaluation: Evaluation, extract: Extract, index: int, value: Any) -> Extract:
    """Return the extract in which a person said what a line's value is.

    A line of the scope is of the item that the value names.
    """
    line = extract.lines[index]
    value = _sourced(extract, line, value)
    changed = replace(line, value=value, findings=(CORRECTED,))
    if isinstance(value, ScopeLine) and line.thing is not None:
        now = value_at(evaluation, line.thing, line.field, value.item)
        changed = replace(changed, part=value.item, now=now)
    return _with_lines(extract, {index: changed})


def with_new_resin(
    evaluation: Evaluation, extract: Extract, index: int, name: str
) -> tuple[Extract, int]:
    """Return the extract in which a line names a resin that nobody has yet, and its line's place.

    It is added with nothing but its name.
    """
    taken = {one.id for one in evaluation.resins}
    taken |= {line.value.id for line in extract.lines if isinstance(line.value, Resin)}
    resin = Resin(id=edits.free_id(taken | resin_table.names().keys(), "resin"), name=name)
    line = extract.lines[index]
    named = replace(line, value=resin.id, findings=(Finding("unknown_resin", name), CORRECTED))
    added = Line(
        line.place,
        line.label,
        name,
        ResinPath(resin.id),
        value=resin,
        findings=(Finding("new_resin"), CORRECTED),
    )
    lines = (*_with_lines(extract, {index: named}).lines, added)
    return replace(extract, lines=lines), len(lines) - 1


def corrected_again(evaluation: Evaluation, extract: Extract, before: Extract) -> Extract:
    """Return an extract that was read anew with what a person put right in the one before.

    Which screw a line belongs to is of the offer it was for, and is told anew.
    """
    # One text may say several things: each is told from the others by its number.
    places = {place: index for index, place in enumerate(_numbered(extract.lines))}
    for line, place in zip(before.lines, _numbered(before.lines), strict=True):
        index = places.get(place)
        owner = owner_of(line.thing)
        if owner == "bid" and line.place.sheet == TYPED:
            typed = replace(line, thing=extract.bid)
            extract = replace(extract, lines=(*extract.lines, typed))
        if index is None or owner is None or CORRECTED not in line.findings:
            continue
        if extract.lines[index].field != line.field:
            extract = with_datum(evaluation, extract, index, DatumKey(owner, line.field))
        if extract.lines[index].value != line.value:
            extract = with_value(evaluation, extract, index, line.value)
    return extract


def _numbered(lines: Iterable[Line]) -> Iterator[tuple[FoundAt, str, int]]:
    """Yield the place and the text of each line, and how many before it have both."""
    seen: Counter[tuple[FoundAt, str]] = Counter()
    for line in lines:
        yield line.place, line.text, seen[line.place, line.text]
        seen[line.place, line.text] += 1


def _part_of(value: Any) -> str:
    return value.item if isinstance(value, ScopeLine) else ""


def ids_of(extract: Extract) -> set[str]:
    """Return every id of bids, units and barrels that the lines go to."""
    paths = [extract.bid.path, *(one.thing.path for one in extract.lines if owner_of(one.thing))]  # type: ignore[union-attr]
    return {name for path in paths for name in path[1::2]}


def _with_lines(extract: Extract, changed: dict[int, Line]) -> Extract:
    lines = (changed.get(index, line) for index, line in enumerate(extract.lines))
    return replace(extract, lines=tuple(lines))


def _bid(evaluation: Evaluation, extract: Extract) -> Bid | None:
    return next((one for one in evaluation.bids if one.id == extract.bid.bid), None)


def _sourced(extract: Extract, line: Line, value: Any) -> Any:
    """Return a value with its source: that of the value before, else where the text was found."""
    if isinstance(value, ScopeLine) and value.amount is not None and not value.amount.source:
        source = Source(extract.name, extract.document)
        return value.replace(amount=source.sourced(value.amount, line.place))
    if getattr(value, "source", "") or (is_measured(line) and line.value == value):
        return value
    before = line.value
    if is_measured(line) and hasattr(value, "source"):
        return value.replace(source=before.source, place=before.place)
    return Source(extract.name, extract.document).sourced(value, line.place)


def _things(
    evaluation: Evaluation, extract: Extract, kind: type[BarrelPath] | type[UnitPath]
) -> tuple[BarrelPath | UnitPath, ...]:
    found: dict[BarrelPath | UnitPath, None] = {}
    bid = _bid(evaluation, extract)
    for unit in () if bid is None else bid.units:
        if kind is UnitPath:
            found[UnitPath(bid.id, unit.id)] = None  # type: ignore[union-attr]
        else:
            found |= {BarrelPath(bid.id, unit.id, one.id): None for one in unit.barrels}  # type: ignore[union-attr]
    for line in extract.lines:
        thing: Any = line.thing
        if kind is UnitPath and isinstance(thing, BarrelPath):
            thing = UnitPath(thing.bid, thing.unit)
        if isinstance(thing, kind):
            found[thing] = None
    return tuple(found)


def _owner(evaluation: Evaluation, extract: Extract, line: Line, owner: Owner) -> ThingPath:
    """Return whose datum a line is once it is one of such an owner."""
    if owner == "bid":
        return extract.bid
    screw = line.thing if isinstance(line.thing, BarrelPath) else None
    if screw is None and isinstance(line.thing, UnitPath):
        if owner == "unit":
            return line.thing
        of_unit = [s for s in screws_of(evaluation, extract) if s.unit == line.thing.unit]
        screw = next(iter(of_unit), None)
    if screw is None:
        beside = _beside(extract, line)
        screws = beside or screws_of(evaluation, extract)
        screw = next(iter(screws), None) or new_screw(evaluation, extract)
    return UnitPath(screw.bid, screw.unit) if owner == "unit" else screw


def _beside(extract: Extract, line: Line) -> tuple[BarrelPath, ...]:
    """Return the screws of other lines in the same column, else in the same row."""
    others = [(o.place, o.thing) for o in extract.lines if isinstance(o.thing, BarrelPath)]
    here = [(place, thing) for place, thing in others if place.sheet == line.place.sheet]
    column = tuple(thing for place, thing in here if place.column == line.place.column)
    return column or tuple(thing for place, thing in here if place.row == line.place.row)
