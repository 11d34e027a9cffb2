"""A working: one number with its formula, inputs, where each was stated, and literature."""

from __future__ import annotations

from dataclasses import dataclass

from evenbarrel.appraisal.references import Reference
from evenbarrel.appraisal.results import Bound
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum_path import Path
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.trade.sources import SOURCES
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import ABSENT, DisplayUnits, compared, percent, printed


@dataclass(frozen=True, slots=True)
class Line:
    """One input of a working: its value, where it was stated, and what it opens to.

    `path` is where a person enters it, empty where nobody does; `is_entered` whether somebody
    already did.
    """

    label: str
    value: str
    stated: str = ""
    reference: Reference | None = None
    path: Path = ()
    is_entered: bool = True


@dataclass(frozen=True, slots=True)
class Working:
    """How one number came about, ready to be read."""

    title: str
    result: str
    formula: str = ""
    lines: tuple[Line, ...] = ()
    notes: tuple[str, ...] = ()
    literature: tuple[str, ...] = ()


def literature(key: str) -> str:
    """Return a source of the bibliography as it is cited, honest about how it was seen."""
    source = SOURCES[key]
    parts = [part for part in (source.title, source.edition, source.where) if part]
    recalled = "from memory" if source.status == "from_memory" else ""
    if source.kind in ("definition", "common_practice") or recalled in source.where:
        recalled = ""
    return "; ".join([*parts, recalled] if recalled else parts)


def stated(thing: Frozen | None, field: str) -> str:
    """Return a quantity as printed, with where and how it was stated; "" where it is not."""
    quantity = None if thing is None else getattr(thing, field, None)
    if not isinstance(quantity, Quantity):
        return ""
    return ", ".join((printed(quantity), where_stated(thing, field)))


def where_stated(thing: Frozen | None, field: str) -> str:
    """Return where and how a quantity was stated: its source, standing, origin, half-width."""
    quantity = None if thing is None else getattr(thing, field, None)
    if not isinstance(quantity, Quantity):
        return ""
    parts = [quantity.source, labels.STANDINGS[quantity.standing]]
    if isinstance(thing, Resin):
        parts.append(labels.ORIGINS[thing.origins.get(field)])
    if quantity.half_width is not None:
        parts.append(f"± {percent(quantity.half_width)}")
    return ", ".join(part for part in dict.fromkeys(parts) if part)


def entered_line(thing: Frozen, home: Path, field: str) -> Line:
    """Return the line of a datum of the thing at `home`: as printed, and the way to it."""
    value = printed(getattr(thing, field))
    return Line(labels.datum(field), value, where_stated(thing, field), path=(*home, field))


def bound_text(bound: Bound | None, kind: str, units: DisplayUnits) -> str:
    """Return a value with its interval."""
    if bound is None:
        return ABSENT
    value = compared(bound.nominal, kind, units)
    low, high = (compared(end, kind, units) for end in (bound.low, bound.high))
    return value if low == high else f"{value} ({low} to {high})"
