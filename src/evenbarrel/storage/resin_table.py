"""The resin table that the program ships, read once."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

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
    return tuple(map(_entry, _read()))


def entry_of(resin: Resin) -> TableEntry | None:
    """Return the entry that a resin was copied from, told by its id, or None."""
    return _entry(resin.id) if resin.id in _read() else None


def with_resins_of_table(evaluation: Evaluation, names: Iterable[str]) -> Evaluation:
    """Return the evaluation with those of the named resins that the table has and it has not."""
    known = {resin.id for resin in evaluation.resins}
    wanted = set(names) - known
    more = tuple(_entry(name).resin for name in _read() if name in wanted)
    return evaluation.replace(resins=(*evaluation.resins, *more)) if more else evaluation


@cache
def names() -> Mapping[str, str]:
    """Return what each resin of the table is called, by its id."""
    return {name: entry["resin"].get("name") or name for name, entry in _read().items()}


@cache
def _entry(name: str) -> TableEntry:
    return TableEntry.model_validate_json(json.dumps(_read()[name]))


@cache
def _read() -> Mapping[str, dict[str, Any]]:
    """Return the entries as plain data by the ids of their resins: few are wanted in full."""
    return {entry["resin"]["id"]: entry for entry in json.loads(read_text("resins.json"))["resins"]}
