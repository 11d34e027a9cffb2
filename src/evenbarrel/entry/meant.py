"""The unit that is meant where none is typed."""

from __future__ import annotations

from collections.abc import Iterable

from evenbarrel.model.datum import Datum
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.words.numbers import DisplayUnits, display_unit, in_system


def unit_meant(datum: Datum, units: DisplayUnits) -> str:
    """Return the unit text in which a datum is printed, else its first kind, where it takes it."""
    kind = datum.kinds[0]
    unit = display_unit(kind, units)
    # What US offers print in the same unit as others: hours of a year.
    if datum.unit and unit == display_unit(kind, "metric"):
        return datum.unit
    return unit if unit in datum.units else datum.units[0]


def unit_shared(datum: Datum, stated: Iterable[object], units: DisplayUnits) -> str:
    """Return the unit in which all `stated` quantities of a datum are shown, else the one meant."""
    shown = {
        in_system(one, datum.kind_of(one.unit), units).unit
        for one in stated
        if isinstance(one, Quantity)
    }
    return shown.pop() if len(shown) == 1 else unit_meant(datum, units)
