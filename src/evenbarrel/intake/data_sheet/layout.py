"""The data sheet as it is sent: its columns, its rows, and what stands in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from evenbarrel.entry.shapes import shapes_of
from evenbarrel.intake.keys import (
    DESIGNATION,
    LABEL,
    MODELS,
    REFERENCE,
    SUPPLIER,
    ZONES,
    DatumKey,
)
from evenbarrel.model.offers.terms import OWN_AMOUNT
from evenbarrel.wording.sentences.asking import data_sheet as words
from evenbarrel.wording.words import labels

DATA, TERMS, LISTS = "Data", "Terms", "Lists"
"""Titles of the worksheets; the last one is hidden and holds the words of each list."""

MARKER = "evenbarrel data sheet"
VERSION = "1"
WORDS_ALONE = "text"
"""In the column of keys: a row that the program wrote and that holds no datum."""

_MARK = re.compile(rf"{MARKER} (?P<version>\S+)(?: (?P<bid>\S+))?")

_OURS = frozenset(
    {
        DatumKey("bid", "notes"),
        DatumKey("unit", "owned_copies"),
        DatumKey("unit", "resale_value"),
        DatumKey("unit", "hours_available"),
        DatumKey("barrel", "feed_fill"),
    }
)
"""What a buyer notes of an offer: never sent, never asked."""


_NAMES = frozenset({SUPPLIER, REFERENCE, DESIGNATION, LABEL})
"""What tells which offer and which screw a sheet is of: on every one."""


def marker(bid: str) -> str:
    """Return what the corner of a data sheet holds; "" is a sheet for a new bid."""
    return f"{MARKER} {VERSION} {bid}".strip()


def read_marker(text: str) -> tuple[str, str] | None:
    """Return version and bid id of a data sheet's corner, None for any other text."""
    found = _MARK.fullmatch(text.strip())
    return None if found is None else (found["version"], found["bid"] or "")


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row of the data sheet: its key, None for a heading, and its label."""

    key: DatumKey | None
    label: str


def sheet_rows(scope_items: Iterable[str], only: frozenset[str] | None) -> Iterator[SheetRow]:
    """Yield the rows in the order of the Bids page.

    `only` are the fields, and the items of the scope, that are asked for; None is all. What tells
    which offer it is of is always among them.
    """
    for owner, model in MODELS.items():
        group, shapes = "", shapes_of(model)
        groups = list(dict.fromkeys(shape.datum.group for shape in shapes.values()))
        for field, shape in sorted(
            shapes.items(), key=lambda item: groups.index(item[1].datum.group)
        ):
            key = DatumKey(owner, field)
            if key in _OURS or (only is not None and field not in only and key not in _NAMES):
                continue
            if shape.datum.group != group:
                group = shape.datum.group
                yield SheetRow(None, labels.GROUPS.get(group, group))
            parts = ZONES if field == "zones" else ("",)
            for one in (DatumKey(owner, field, part) for part in parts):
                yield SheetRow(one, label_of(one))
        if owner == "bid":
            yield from _scope_rows(one for one in scope_items if only is None or one in only)


def _scope_rows(items: Iterable[str]) -> Iterator[SheetRow]:
    for item in items:
        asked = ("state",) if item in OWN_AMOUNT else ("state", "amount")
        for key in (DatumKey("bid", "scope", f"{item}.{what}") for what in asked):
            yield SheetRow(key, label_of(key))


def label_of(key: DatumKey) -> str:
    """Return the label that the row of a key is sent with."""
    if key.field == "zones":
        return words.ZONE_LABEL.format(zone=key.part)
    if key.field == "scope":
        item, _, what = key.part.rpartition(".")
        said = words.SCOPE_STATE if what == "state" else words.SCOPE_AMOUNT
        return said.format(item=item[:1].upper() + item[1:])
    return key.shape.datum.label


def column_names(screws: int) -> tuple[str, ...]:
    """Return what the hidden first row calls the columns behind the one of keys."""
    return ("label", "unit", *["screw"] * screws, "place", "question", "remark")


SCOPE_STATES: Mapping[str, str] = {
    state: labels.choice(state) for state in ("included", "extra", "missing", "not_stated")
}
"""The words for the states of an item of the scope."""
