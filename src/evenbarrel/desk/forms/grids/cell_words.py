"""What a cell of entered data says of itself."""

from __future__ import annotations

from PySide6.QtCore import Qt

from evenbarrel.desk.forms.grids.computed import RIGHT, Computed
from evenbarrel.entry.shapes import Shape
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import DisplayUnits, in_system, printed

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
_NUMERIC = frozenset({"quantity", "integer", "share", "change", "number", "money"})


def tip_of(shape: Shape, value: object, units: DisplayUnits) -> str:
    """Return a number's standing, source and what is unusual of it, else what the datum is."""
    if not isinstance(value, Quantity):
        return shape.datum.help
    standing = labels.STANDINGS[value.standing]
    if in_system(value, shape.datum.kind_of(value.unit), units) != value:
        standing = f"{standing} as {printed(value)}"
    warning = pages.unusual(shape.datum, value.magnitude, value.unit)
    return "; ".join(part for part in (standing, value.source, warning) if part)


def on_one_line(text: str) -> str:
    """Return a heading of several lines on one."""
    return " ".join(text.split())


def lies(column: Shape | Computed) -> Qt.AlignmentFlag:
    """Return how the cells of a column lie."""
    return RIGHT if isinstance(column, Computed) or column.kind in _NUMERIC else _LEFT


def title_of(column: Shape | Computed) -> str:
    """Return what a column of entered or computed cells is called."""
    return column.title if isinstance(column, Computed) else column.datum.label
