"""Cells of numbers, as sheets show them: rounded for people, plain for a workbook."""

from __future__ import annotations

from evenbarrel.appraisal.references import (
    FactorRef,
    Reference,
)
from evenbarrel.model.resin import Resin
from evenbarrel.wording.sheets.sheet import Cell
from evenbarrel.wording.words.numbers import (
    DisplayUnits,
    display_unit,
    in_units,
    shown,
    unit_text,
)


def unit_heading(kind: str, units: DisplayUnits) -> str:
    """Return the unit a column of this kind is headed with."""
    return unit_text(display_unit(kind, units))


def number_cell(
    value: float | None,
    kind: str,
    units: DisplayUnits,
    digits: int = 3,
    reference: Reference | None = None,
    tip: str = "",
) -> Cell:
    """Return the cell of a number in SI units, None where it is not stated."""
    return Cell(
        shown(value, kind, units, digits),
        in_units(value, kind, units),
        tip=tip,
        reference=reference,
    )


def factor_reference(resin: Resin | None) -> Reference | None:
    """Return what the output factor of a resin opens to."""
    return None if resin is None else FactorRef(resin.id)
