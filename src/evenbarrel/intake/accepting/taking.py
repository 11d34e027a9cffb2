"""What stands where a line of an extract would go, and the evaluation with lines taken."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import Any

from evenbarrel.entry.shapes import RESIN_NAMES
from evenbarrel.intake.extract import Extract, Line
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import with_answers, with_deviations
from evenbarrel.model.datum_path import BarrelPath, BidPath, ProgrammePath, ThingPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.record.decision import Answer, Assignment, Deviation
from evenbarrel.model.resin import Resin
from evenbarrel.storage.resin_table import with_resins_of_table

_BY_PART = frozenset({"scope", "guarantees"})
"""Lists of a bid that a line changes one entry of."""


def value_at(evaluation: Evaluation, thing: ThingPath, field: str, part: str = "") -> Any:
    """Return what stands there now; None where the thing is not in the evaluation yet."""
    try:
        found = getattr(edits.get(evaluation, thing.path), field)
    except KeyError:
        return None
    if field not in _BY_PART:
        return found
    return next((one for one in found if _part_of(field, one) == part), None)


def take(
    evaluation: Evaluation,
    extract: Extract,
    accepted: Iterable[int],
    noted: Iterable[int] = (),
) -> Evaluation:
    """Return the evaluation with the accepted lines of an extract in it, as one change.

    `accepted` are places in its `lines`; lines without a value change nothing. Bids, units and
    barrels that they need are added; of resins only new ones are, and those of the shipped table
    that a line names. Lines that are `noted` go as they were found into the notes of the bid.
    Raises pydantic.ValidationError where what was accepted contradicts itself or what stands.
    """
    chosen = [extract.lines[index] for index in accepted]
    resins = [line.value for line in chosen if isinstance(line.value, Resin)]
    fresh = tuple(resin for resin in resins if evaluation.resin(resin.id) is None)
    if fresh:
        evaluation = evaluation.replace(resins=(*evaluation.resins, *fresh))
    evaluation = with_resins_of_table(evaluation, _of_the_table(chosen))
    taken = [line for line in chosen if _can_be_taken(line)]
    notes = noted_text([extract.lines[index] for index in noted])
    if taken or notes:
        evaluation = _with_lines(evaluation, extract, taken, notes)
    for line in chosen:
        if isinstance(line.thing, ProgrammePath) and line.value is not None:
            evaluation = with_record(evaluation, line.value, line.part)
    return evaluation


def _of_the_table(lines: Iterable[Line]) -> Iterator[str]:
    """Yield the resins that lines name and no line brings along."""
    for line in lines:
        brought = any(one.code == "unknown_resin" for one in line.findings)
        if line.field in RESIN_NAMES and line.value is not None and not brought:
            yield line.value


def record_now(evaluation: Evaluation, record: Any) -> Any:
    """Return what is recorded of the same thing as `record` is, None where nothing is."""
    if isinstance(record, Answer):
        return next((one for one in evaluation.answers if one.question == record.question), None)
    if isinstance(record, Assignment):
        return record if record in evaluation.assignment else None
    key = (record.barrel, record.job, record.criterion)
    found = (o for o in evaluation.deviations if (o.barrel, o.job, o.criterion) == key)
    return next(found, None)


def with_record(evaluation: Evaluation, record: Any, before: str = "") -> Evaluation:
    """Return the evaluation with an answer, a deviation or a pin; a pin leaves the barrel `before`.

    Raises pydantic.ValidationError where it names what is not there.
    """
    if isinstance(record, Answer):
        return with_answers(evaluation, (record,))
    if isinstance(record, Deviation):
        return with_deviations(evaluation, (record,))
    left = record.replace(barrel=before) if before else record
    kept = (one for one in evaluation.assignment if one not in (left, record))
    return evaluation.replace(assignment=(*kept, record))


def noted_text(lines: Iterable[Line]) -> str:
    """Return lines as notes of a bid hold them: what was found in one row, on one line."""
    rows: dict[tuple[str, int], list[str]] = {}
    for one in lines:
        texts = rows.setdefault((one.place.sheet, one.place.row), [])
        texts += [text for text in (one.label, one.text) if text and text not in texts[:1]]
    return "\n".join(" | ".join(texts) for texts in rows.values())


def _with_lines(
    evaluation: Evaluation, extract: Extract, taken: Collection[Line], notes: str
) -> Evaluation:
    path = extract.bid.path
    try:
        bid = edits.get(evaluation, path)
    except KeyError:
        bid = None
    changed = Bid(id=extract.bid.bid) if bid is None else bid
    document = extract.document
    if document is not None and all(one.id != document.id for one in changed.documents):
        changed = changed.replace(documents=(*changed.documents, document))
    going_to = {line.thing for line in taken}
    for line in extract.lines:
        # In the order they were found, whichever of their lines are taken.
        if line.thing in going_to:
            changed = _with_thing(changed, line.thing)
    for line in taken:
        changed = _with_line(changed, line)
    if notes:
        changed = changed.replace(notes="\n".join(p for p in (changed.notes, notes) if p))
    if bid is None:
        return edits.append(evaluation, ("bids",), changed)
    return edits.put(evaluation, path, changed)


def _can_be_taken(line: Line) -> bool:
    return line.value is not None and isinstance(line.thing, BidPath | UnitPath | BarrelPath)


def _with_thing(bid: Bid, thing: ThingPath | None) -> Bid:
    """Return the bid with an empty unit or barrel where it has none there yet."""
    if isinstance(thing, UnitPath | BarrelPath):
        if all(unit.id != thing.unit for unit in bid.units):
            bid = edits.append(bid, ("units",), InjectionUnit(id=thing.unit))
        if isinstance(thing, BarrelPath):
            barrels = ("units", thing.unit, "barrels")
            if all(barrel.id != thing.barrel for barrel in edits.get(bid, barrels)):
                bid = edits.append(bid, barrels, Barrel(id=thing.barrel))
    return bid


def _with_line(bid: Bid, line: Line) -> Bid:
    thing = line.thing
    if line.field in _BY_PART:
        kept = tuple(o for o in getattr(bid, line.field) if _part_of(line.field, o) != line.part)
        return bid.replace(**{line.field: (*kept, line.value)})
    assert thing is not None
    # The path of a thing in its bid is its path in the evaluation without ("bids", id).
    return edits.put(bid, (*thing.path[2:], line.field), line.value)


def _part_of(field: str, one: Any) -> str:
    """Return what names an entry: the item of a scope's line, barrel and datum of a guarantee."""
    return one.item if field == "scope" else f"{one.barrel}.{one.datum}"
