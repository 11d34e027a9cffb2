"""Which barrel of a bid each column of a table is: found by unit and label, else by diameter."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenbarrel.intake.extract import Finding
from evenbarrel.intake.tables.synonyms import squeezed
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import all_ids
from evenbarrel.model.datum_path import BarrelPath, BidPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity

SAME_DIAMETER = 0.0005
"""Screws whose diameters differ by no more are one screw [m]."""


@dataclass(frozen=True, slots=True)
class Column:
    """A screw as a table has it: its unit's designation, its label and its diameter, if printed.

    `unit_number` tells several units apart that nothing names, from 1; 0 where there is but one.
    """

    designation: str = ""
    label: str = ""
    diameter: Quantity | None = None
    unit_number: int = 0


@dataclass(frozen=True, slots=True)
class ScrewMatch:
    """The barrel that a column is taken to be, new or not, and why that is not sure."""

    barrel: BarrelPath
    findings: tuple[Finding, ...] = ()

    @property
    def unit(self) -> UnitPath:
        """The injection unit of the barrel."""
        return UnitPath(self.barrel.bid, self.barrel.unit)


AMBIGUOUS = Finding("ambiguous_screw")


def doubted(match: ScrewMatch) -> ScrewMatch:
    """Return a match that is not sure."""
    return replace(match, findings=(AMBIGUOUS,))


def match_screws(
    evaluation: Evaluation, bid: BidPath, columns: Sequence[Column]
) -> tuple[ScrewMatch, ...]:
    """Return the barrel of each column; what matches none gets a path that nothing has yet."""
    known = next((one for one in evaluation.bids if one.id == bid.bid), Bid(id=bid.bid))
    matcher = _Matcher(evaluation, known)
    matches = [matcher.match(column) for column in columns]
    return tuple(_without_clashes(matches, columns))


class _Matcher:
    """Gives out ids, so that a unit or a barrel that is new gets one that nothing has."""

    def __init__(self, evaluation: Evaluation, bid: Bid) -> None:
        self._bid = bid
        self._taken = all_ids(evaluation) | {bid.id}
        self._new_units: dict[tuple[str, int], str] = {}

    def match(self, column: Column) -> ScrewMatch:
        """Return the barrel of one column."""
        units = self._units(column)
        found = _by_label(units, column.label) or _by_diameter(units, column.diameter)
        if len(found) == 1:
            unit, barrel = found[0]
            return ScrewMatch(BarrelPath(self._bid.id, unit.id, barrel.id))
        doubtful = bool(found) or len(units) > 1
        home = units[0].id if len(units) == 1 else self._new_unit(column)
        new = BarrelPath(self._bid.id, home, self._free("barrel"))
        return ScrewMatch(new, (AMBIGUOUS,) if doubtful else ())

    def _units(self, column: Column) -> tuple[InjectionUnit, ...]:
        """Return the units of the bid that a column may belong to; none: a new one."""
        units, wanted = self._bid.units, squeezed(column.designation)
        if not wanted:
            return units
        named = tuple(unit for unit in units if squeezed(unit.designation) == wanted)
        if named:
            return named
        return units if len(units) == 1 and not units[0].designation else ()

    def _new_unit(self, column: Column) -> str:
        called = _called(column)
        if called not in self._new_units:
            self._new_units[called] = self._free("unit")
        return self._new_units[called]

    def _free(self, stem: str) -> str:
        fresh = edits.free_id(self._taken, stem)
        self._taken.add(fresh)
        return fresh


_Found = list[tuple[InjectionUnit, Barrel]]


def _by_label(units: Sequence[InjectionUnit], label: str) -> _Found:
    wanted = squeezed(label)
    if not wanted:
        return []
    return [
        (unit, barrel)
        for unit in units
        for barrel in unit.barrels
        if squeezed(barrel.label) == wanted
    ]


def _by_diameter(units: Sequence[InjectionUnit], diameter: Quantity | None) -> _Found:
    if diameter is None:
        return []
    wanted = diameter.si("length")
    return [
        (unit, barrel)
        for unit in units
        for barrel in unit.barrels
        if barrel.screw_diameter is not None
        and abs(barrel.screw_diameter.si("length") - wanted) <= SAME_DIAMETER
    ]


def _without_clashes(matches: Sequence[ScrewMatch], columns: Sequence[Column]) -> list[ScrewMatch]:
    """Return the matches, doubtful where two columns are one barrel or have one name.

    So are those of two units that were matched to one: of which it is, nothing says.
    """
    pairs = list(zip(matches, columns, strict=True))
    barrels = Counter(match.barrel for match in matches)
    names = Counter(_name(match, column) for match, column in pairs)
    units = Counter(unit for unit, _ in {(m.unit, _called(c)) for m, c in pairs})
    return [
        doubted(match)
        if max(barrels[match.barrel], names[_name(match, column)], units[match.unit]) > 1
        else match
        for match, column in pairs
    ]


def _called(column: Column) -> tuple[str, int]:
    """Return what tells the unit of a column from the others."""
    return squeezed(column.designation), column.unit_number


def _name(match: ScrewMatch, column: Column) -> tuple[str, str]:
    """Return what tells a column from the others of its unit: its label, else its diameter."""
    by_size = "" if column.diameter is None else f"{column.diameter.si('length'):.4f}"
    return match.barrel.unit, squeezed(column.label) or by_size
