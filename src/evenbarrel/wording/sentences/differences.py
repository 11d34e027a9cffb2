"""What differs between two states of an evaluation, and who else works on one, in words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import ABSENT, printed

MOST = 12
"""Differences that are named; of more only their number is said."""

Difference = tuple[str, Any, Any]
"""What it is of, and what stands there in the one and in the other."""


def difference_lines(ours: Evaluation, theirs: Evaluation) -> tuple[str, ...]:
    """Return what differs, one line each: what it is, here, and in the other."""
    found = list(_differences(ours, theirs, ""))
    lines = [f"{what}: here {_words(one)}, there {_words(other)}" for what, one, other in found]
    if len(lines) > MOST:
        lines = [*lines[:MOST], f"and {len(lines) - MOST} more"]
    return tuple(lines)


def holder_words(person: str, machine: str, since: str) -> str:
    """Return who works on a file, where, and since when, as far as it is known."""
    who = person or "another window"
    where = f" on {machine}" if machine else ""
    when = f" since {since.replace('T', ' ').removesuffix('+00:00')} UTC" if since else ""
    return f"{who}{where}{when}"


def _differences(one: Any, other: Any, what: str) -> Iterator[Difference]:
    if one == other:
        return
    if isinstance(one, tuple) and isinstance(other, tuple):
        yield from _of_rows(one, other, what)
    elif isinstance(one, Frozen) and type(one) is type(other) and not isinstance(one, Quantity):
        name = _name(one) or what
        for field in type(one).model_fields:
            label = labels.datum_of(type(one), field)
            inside = f"{name}, {label}" if name else label
            yield from _differences(getattr(one, field), getattr(other, field), inside)
    else:
        yield what, one, other


def _of_rows(one: tuple[Any, ...], other: tuple[Any, ...], what: str) -> Iterator[Difference]:
    ids = [{getattr(item, "id", None): item for item in rows} for rows in (one, other)]
    if any(None in of or len(of) != len(rows) for of, rows in zip(ids, (one, other), strict=True)):
        yield what, one, other
        return
    for name in dict.fromkeys((*ids[0], *ids[1])):
        here, there = ids[0].get(name), ids[1].get(name)
        if here is None or there is None:
            item = here or there
            yield (
                f"{what}: {_name(item) or name}",
                here and "there is one",
                there and "there is one",
            )
        else:
            yield from _differences(here, there, what)


def _name(thing: Any) -> str:
    for field in ("name", "supplier", "designation", "label"):
        text = getattr(thing, field, "")
        if text:
            return str(text)
    return ""


def _words(value: Any) -> str:
    if value is None or value == "" or value == ():
        return ABSENT
    if isinstance(value, Quantity):
        return printed(value)
    if isinstance(value, Frozen | tuple):
        return "other entries"
    return str(value)
