"""A working: one number with its formula, inputs, where each was stated, and literature."""

from __future__ import annotations

from dataclasses import dataclass

from evenbarrel.appraisal.references import Reference
from evenbarrel.appraisal.results import Bound
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum_path import Path
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Origin, Resin
from evenbarrel.trade.sources import SOURCES
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    between,
    compared,
    estimated,
    percent,
    printed,
    supported_digits,
)


@dataclass(frozen=True, slots=True)
class Line:
    """One input of a working: its value, where it was stated, and what it opens to.

    `path` is where a person enters it, empty where nobody does; `is_entered` whether somebody
    already did. `source` is its key in the bibliography, where it has one of its own.
    """

    label: str
    value: str
    stated: str = ""
    reference: Reference | None = None
    path: Path = ()
    is_entered: bool = True
    source: str = ""


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


def where_stated(thing: Frozen | None, field: str, origin: Origin | None = None) -> str:
    """Return where and how a quantity was stated: its source, standing, origin, half-width.

    A resin knows the origin of its data; `origin` is that of a part of it.
    """
    quantity = None if thing is None else getattr(thing, field, None)
    if not isinstance(quantity, Quantity):
        return ""
    is_of_resin = isinstance(thing, Resin)
    origin = thing.origins.get(field) if isinstance(thing, Resin) else origin
    parts = [quantity.source]
    # What was shipped with an origin is nobody's assumption.
    if origin is None or quantity.standing != "assumed":
        parts.append(labels.STANDINGS[quantity.standing])
    if (is_of_resin or origin) and labels.ORIGINS_SHORT[origin] not in quantity.source:
        parts.append(labels.ORIGINS[origin])
    if quantity.half_width is not None:
        parts.append(f"± {percent(quantity.half_width)}")
    return ", ".join(part for part in dict.fromkeys(parts) if part)


def entered_line(thing: Frozen, home: Path, field: str) -> Line:
    """Return the line of a datum of the thing at `home`: as printed, and the way to it."""
    value = printed(getattr(thing, field))
    return Line(labels.datum(field), value, where_stated(thing, field), path=(*home, field))


def bound_text(
    bound: Bound | None, kind: str, units: DisplayUnits, *, is_estimate: bool = False
) -> str:
    """Return a value with its interval, in as many digits as the interval's width supports."""
    if bound is None:
        return ABSENT
    # Of two sides the nearer one: a volume that may be another one is no less exact itself.
    sides = (bound.high - bound.nominal, bound.nominal - bound.low)
    width = min((side for side in sides if side > 0.0), default=0.0)
    digits = supported_digits(width / abs(bound.nominal) if bound.nominal else 0.0)
    value, low, high = (
        estimated(end, kind, units) if is_estimate else compared(end, kind, units, digits)
        for end in (bound.nominal, bound.low, bound.high)
    )
    return value if low == high else f"{value} ({between(low, high)})"
