"""An extract that is open while the evaluation changes: it still goes where it was meant to."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from evenbarrel.intake.accepting.correcting import ids_of
from evenbarrel.intake.accepting.taking import record_now, value_at
from evenbarrel.intake.extract import Extract, Line
from evenbarrel.intake.in_words import owner_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import all_ids
from evenbarrel.model.datum_path import BarrelPath, BidPath, ProgrammePath, UnitPath
from evenbarrel.model.evaluation import Evaluation


def kept_up(extract: Extract, evaluation: Evaluation, known: frozenset[str]) -> Extract:
    """Return the extract for the evaluation as it is by now.

    `known` are the ids that the evaluation had when the extract was made. What the extract would
    add has an id that nothing had then; where something has it by now, it is given another. What
    stands where each line goes is looked up anew.
    """
    taken = all_ids(evaluation)
    given = (ids_of(extract) - known) & taken
    taken |= ids_of(extract)
    names = {}
    for name in sorted(given):
        names[name] = edits.free_id(taken, name.rstrip("0123456789"))
        taken.add(names[name])
    lines = tuple(_kept_up(line, evaluation, names) for line in extract.lines)
    bid = BidPath(names.get(extract.bid.bid, extract.bid.bid))
    return replace(extract, bid=bid, lines=lines)


def _kept_up(line: Line, evaluation: Evaluation, names: dict[str, str]) -> Line:
    value, thing, part = line.value, line.thing, line.part
    if names:
        thing = _renamed(thing, names)
        barrel = getattr(value, "barrel", None)
        if barrel in names:
            value = value.replace(barrel=names[barrel])
            part = f"{value.barrel}.{value.datum}" if line.field == "guarantees" else part
        if line.field == "standard_barrel":
            value = names.get(value, value)
    now = line.now
    if isinstance(thing, ProgrammePath):
        now = record_now(evaluation, value)
    elif owner_of(thing) is not None and line.field and thing is not None:
        now = value_at(evaluation, thing, line.field, part)
    if (value, thing, part, now) == (line.value, line.thing, line.part, line.now):
        return line
    return replace(line, value=value, thing=thing, part=part, now=now)


def _renamed(thing: Any, names: dict[str, str]) -> Any:
    if not isinstance(thing, BidPath | UnitPath | BarrelPath):
        return thing
    return type(thing)(*(names.get(name, name) for name in thing.path[1::2]))
