"""The resin table that the program ships, read once."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import cache

from pydantic import TypeAdapter

from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.resin import AlternativeWindow, Resin
from evenbarrel.resources import read_text


class TableEntry(Frozen):
    """A resin of the table with the windows printed for it and remarks."""

    resin: Resin
    windows: tuple[AlternativeWindow, ...] = ()
    notes: str = ""


@cache
def table() -> tuple[TableEntry, ...]:
    """Return the table's entries in its order."""
    entries = json.dumps(json.loads(read_text("resins.json"))["resins"])
    return TypeAdapter(tuple[TableEntry, ...]).validate_json(entries)


def entry_of(resin: Resin) -> TableEntry | None:
    """Return the entry that a resin was copied from, told by its id, or None."""
    return next((entry for entry in table() if entry.resin.id == resin.id), None)


def with_resins_of_table(evaluation: Evaluation, names: Iterable[str]) -> Evaluation:
    """Return the evaluation with those of the named resins that the table has and it has not."""
    known = {resin.id for resin in evaluation.resins}
    wanted = set(names) - known
    more = tuple(entry.resin for entry in table() if entry.resin.id in wanted)
    return evaluation.replace(resins=(*evaluation.resins, *more)) if more else evaluation


@cache
def names() -> Mapping[str, str]:
    """Return what each resin of the table is called, by its id."""
    return {entry.resin.id: entry.resin.name or entry.resin.id for entry in table()}
