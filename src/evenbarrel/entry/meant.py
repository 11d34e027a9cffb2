"""The unit that is meant where none is typed."""

from __future__ import annotations

from evenbarrel.model.datum import Datum
from evenbarrel.wording.words.numbers import DisplayUnits, display_unit


def unit_meant(datum: Datum, units: DisplayUnits) -> str:
    """Return the unit text in which a datum's first kind is shown, where it takes that one."""
    unit = display_unit(datum.kinds[0], units)
    return unit if unit in datum.units else datum.units[0]
