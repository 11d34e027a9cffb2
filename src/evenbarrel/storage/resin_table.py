"""The resin table that the program ships, read once."""

from __future__ import annotations

import json
from functools import cache

from pydantic import TypeAdapter

from evenbarrel.model.base import Frozen
from evenbarrel.model.resin import Origin, Resin, Share
from evenbarrel.resources import read_text


class PublishedWindow(Frozen):
    """A share-of-volume window that is published or circulates; shown beside, never applied."""

    low: Share
    high: Share
    applies_to: str
    origin: Origin
    source: str


class TableEntry(Frozen):
    """A resin of the table with the windows printed for it and remarks."""

    resin: Resin
    windows: tuple[PublishedWindow, ...] = ()
    notes: str = ""


@cache
def table() -> tuple[TableEntry, ...]:
    """Return the table's entries in its order."""
    entries = json.dumps(json.loads(read_text("resins.json"))["resins"])
    return TypeAdapter(tuple[TableEntry, ...]).validate_json(entries)


def entry_of(resin: Resin) -> TableEntry | None:
    """Return the entry that a resin was copied from, told by its id, or None."""
    return next((entry for entry in table() if entry.resin.id == resin.id), None)
