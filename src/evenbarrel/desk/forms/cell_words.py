"""What a cell of entered data says of itself."""

from __future__ import annotations

from evenbarrel.entry.shapes import Shape
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import DisplayUnits, in_system, printed


def tip_of(shape: Shape, value: object, units: DisplayUnits) -> str:
    """Return a number's standing, source and what is unusual of it, else what the datum is."""
    if not isinstance(value, Quantity):
        return shape.datum.help
    standing = labels.STANDINGS[value.standing]
    if in_system(value, units) != value:
        standing = f"{standing} as {printed(value)}"
    warning = pages.unusual(shape.datum, value.magnitude, value.unit)
    return "; ".join(part for part in (standing, value.source, warning) if part)


def on_one_line(text: str) -> str:
    """Return a heading of several lines on one."""
    return " ".join(text.split())
