"""An offer that replaces an earlier one: what it revises, and what was decided about that."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from evenbarrel.intake.accepting.correcting import screws_of
from evenbarrel.intake.accepting.taking import record_now, value_at
from evenbarrel.intake.extract import Extract, Finding, FoundAt, Line
from evenbarrel.intake.screws import Column, match_screws
from evenbarrel.model import datum_path as edits
from evenbarrel.model.datum_path import BarrelPath, BidPath, ProgrammePath, ThingPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences.asking import carried as words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import job_called

_DECIDED = (Finding("decided_before"),)
_SETTLED_BY_US = ("confirmed", "measured")


def heads(evaluation: Evaluation) -> tuple[Bid, ...]:
    """Return the bids that no other one revises: those that a new offer may replace."""
    revised = {bid.revises for bid in evaluation.bids}
    return tuple(bid for bid in evaluation.bids if bid.id not in revised)


def may_revise(evaluation: Evaluation, bid: str) -> tuple[Bid, ...]:
    """Return the bids that the bid of that id may replace; all heads where it is new."""
    known = next((one for one in evaluation.bids if one.id == bid), None)
    chain = {bid} if known is None else _chain_of(evaluation, known)
    found = tuple(one for one in heads(evaluation) if one.id not in chain)
    if known is not None and known.revises is not None:
        return (evaluation.bid(known.revises), *found)
    return found


def _chain_of(evaluation: Evaluation, bid: Bid) -> set[str]:
    """Return the ids of the whole chain of revisions that a bid is in."""
    earlier = {one.id: one.revises for one in evaluation.bids}
    later = {revised: name for name, revised in earlier.items() if revised is not None}
    chain = {bid.id}
    for step in (earlier, later):
        at: str | None = step.get(bid.id)
        while at is not None:
            chain.add(at)
            at = step.get(at)
    return chain


def revised_by(extract: Extract) -> str | None:
    """Return the id of the bid that an extract says it replaces, None where it says none."""
    wanted = (extract.bid, "revises", "")
    return next((str(one.value) for one in extract.lines if one.goes_to == wanted), None)


def supplier_of(evaluation: Evaluation, extract: Extract) -> str:
    """Return the supplier whose offer an extract holds, "" where nobody says."""
    lines = (one for one in extract.lines if one.field == "supplier" and one.value)
    said = next((str(line.value) for line in lines), "")
    return said or str(value_at(evaluation, extract.bid, "supplier") or "")


def revision_of(evaluation: Evaluation, bid: str, before: str) -> Extract:
    """Return an extract that says of a bid that stands which one it revises; raises KeyError."""
    name = words.offer_name(evaluation, evaluation.bid(bid))
    return with_revision(evaluation, Extract(BidPath(bid), (), name=name), before)


def with_revision(evaluation: Evaluation, extract: Extract, before: str | None) -> Extract:
    """Return the extract with lines that say which bid it revises, and what to carry over.

    With None it revises none: the lines are left out again. What was decided about the bid before
    is never sure: a person says what still holds. Raises KeyError for a bid that is not there.
    """
    own = tuple(line for line in extract.lines if line.place.sheet != words.BEFORE)
    extract = replace(extract, lines=own)
    if before is None:
        return extract
    lines = _lines(evaluation, extract, evaluation.bid(before))
    numbered = (replace(line, place=FoundAt(n, 0, words.BEFORE)) for n, line in enumerate(lines, 1))
    return replace(extract, lines=(*own, *numbered))


def _lines(evaluation: Evaluation, extract: Extract, before: Bid) -> Iterator[Line]:
    pairs = _pairs(evaluation, extract, before)
    yield _line(evaluation, extract.bid, "revises", before.id, words.offer_name(evaluation, before))
    for new, (_, barrel) in pairs.items():
        matched = (Finding("matched"),)
        yield _line(evaluation, new, "revises", barrel.id, words.screw_name(barrel), matched)
    named: set[str] = set()
    for new, (unit, barrel) in pairs.items():
        yield from _numbers(evaluation, new, barrel)
        if unit.id not in named:
            named.add(unit.id)
            yield from _numbers(evaluation, UnitPath(new.bid, new.unit), unit)
        if barrel.settled is not None:
            text = words.settled_words(barrel.settled)
            yield _line(evaluation, new, "settled", barrel.settled, text, _DECIDED)
    names = {barrel.id: new.barrel for new, (_, barrel) in pairs.items()}
    yield from _guarantees(evaluation, extract.bid, before, names)
    yield from _records(evaluation, extract.bid, before, names)


def _pairs(
    evaluation: Evaluation, extract: Extract, before: Bid
) -> Mapping[BarrelPath, tuple[InjectionUnit, Barrel]]:
    """Return each screw of the offer with the one of the earlier bid that it replaces."""
    screws = screws_of(evaluation, extract)
    columns = [_column(evaluation, extract, screw) for screw in screws]
    pairs = {}
    matches = match_screws(evaluation, BidPath(before.id), columns)
    for screw, match in zip(screws, matches, strict=True):
        try:
            barrel = edits.get(evaluation, match.barrel.path)
        except KeyError:
            continue
        if not match.findings:
            pairs[screw] = (edits.get(evaluation, match.unit.path), barrel)
    return pairs


def _column(evaluation: Evaluation, extract: Extract, screw: BarrelPath) -> Column:
    """Return what names a screw: what the extract says of it, else what stands."""

    def said(thing: ThingPath, field: str) -> Any:
        lines = (o for o in extract.lines if o.thing == thing and o.field == field)
        found = next((line.value for line in lines if line.value is not None), None)
        return value_at(evaluation, thing, field) if found is None else found

    size = said(screw, "screw_diameter")
    unit = UnitPath(screw.bid, screw.unit)
    return Column(
        str(said(unit, "designation") or ""),
        str(said(screw, "label") or ""),
        size if isinstance(size, Quantity) else None,
    )


def _numbers(
    evaluation: Evaluation, path: BarrelPath | UnitPath, thing: Barrel | InjectionUnit
) -> Iterator[Line]:
    """Yield the numbers of the thing before that somebody confirmed or measured."""
    for field in type(thing).model_fields:
        value = getattr(thing, field)
        if isinstance(value, Quantity) and value.standing in _SETTLED_BY_US:
            # Its place is in a document of the other bid.
            number = words.number_words(value)
            yield _line(evaluation, path, field, value.replace(place=None), number, _DECIDED)


def _guarantees(
    evaluation: Evaluation, path: BidPath, before: Bid, names: Mapping[str, str]
) -> Iterator[Line]:
    for one in before.guarantees:
        if one.barrel in names:
            value = one.replace(
                barrel=names[one.barrel],
                value=one.value.replace(place=None),
                tolerance=None if one.tolerance is None else one.tolerance.replace(place=None),
            )
            part = f"{value.barrel}.{value.datum}"
            text = words.guarantee_words(one)
            yield _line(evaluation, path, "guarantees", value, text, _DECIDED, part)


def _records(
    evaluation: Evaluation, path: BidPath, before: Bid, names: Mapping[str, str]
) -> Iterator[Line]:
    """Yield deviations, pins and answers of the bid before, as they would be of the new one."""
    called = {barrel: words.screw_name(evaluation.barrel(barrel)) for barrel in names}

    def called_job(job: str) -> str:
        return job_called(evaluation, evaluation.job(job))

    for deviation in evaluation.deviations:
        if deviation.barrel in names:
            job = None if deviation.job is None else called_job(deviation.job)
            text = words.deviation_words(deviation, called[deviation.barrel], job)
            over = deviation.replace(barrel=names[deviation.barrel])
            yield _record(evaluation, "deviations", over, text)
    for pin in evaluation.assignment:
        if pin.barrel in names:
            text = words.pin_words(called_job(pin.job), called[pin.barrel])
            put = pin.replace(barrel=names[pin.barrel])
            yield _record(evaluation, "assignment", put, text, pin.barrel)
    for answer in evaluation.answers:
        head = f"{before.id}."
        if answer.question.startswith(head) and answer.state in ("answered", "accepted_as_is"):
            datum = answer.question.removeprefix(head)
            given = answer.replace(question=f"{path.bid}.{datum}")
            yield _record(evaluation, "answers", given, words.answer_words(answer, datum))


def _record(evaluation: Evaluation, field: str, value: Any, text: str, part: str = "") -> Line:
    now = record_now(evaluation, value)
    label, thing = words.RECORDS[field], ProgrammePath()
    return Line(FoundAt(0, 0), label, text, thing, field, part, value, _DECIDED, now)


def _line(
    evaluation: Evaluation,
    path: ThingPath,
    field: str,
    value: Any,
    text: str,
    findings: tuple[Finding, ...] = (),
    part: str = "",
) -> Line:
    label = words.RECORDS.get(field) or labels.datum(field)
    now = value_at(evaluation, path, field, part)
    return Line(FoundAt(0, 0), label, text, path, field, part, value, findings, now)
