"""Every criterion over all barrels and jobs: what is kept of each cell, and a barrel's in full."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from evenbarrel.appraisal.criteria import ALL
from evenbarrel.appraisal.criteria.definition import Criterion, Flags
from evenbarrel.appraisal.verdicts.assessment import Assessment, Cells, assess
from evenbarrel.appraisal.verdicts.states import Reasons, States
from evenbarrel.appraisal.verdicts.table import Table
from evenbarrel.model.limits import CRITERIA
from evenbarrel.trade.formula import Array

CELLS_AT_ONCE = 100_000
"""Cells of readings and shots that are computed together and, where these are all, kept in full.

More would need memory by the gigabyte; it makes no difference to any number.
"""

CELLS_TOGETHER = 20_000
"""Cells of all criteria that are judged on the same arrays: of a small table nearly all time goes
into calls, of a large one into its numbers. It makes no difference to any of them either."""

BARRELS_IN_FULL = 64
"""Barrels of a larger table that are kept in full once they were read."""


@dataclass(frozen=True, slots=True)
class OfReadings:
    """A criterion's cells of each reading by itself, over (Several.rows, jobs)."""

    state: States
    reasons: Reasons
    margin: Array

    def put(self, part: Cells, rows: slice) -> None:
        """Take over the cells of some readings, in place."""
        self.state[rows], self.reasons[rows] = part.state, part.reasons
        self.margin[rows] = part.margin


@dataclass(frozen=True, slots=True)
class Verdicts:
    """One criterion over (barrels, jobs): what is kept of every cell.

    State codes, reasons in bits, margin to the hard edges (nan where there is no number), where
    it could not be assessed, and where the value is below the lower hard edge.
    """

    criterion: Criterion
    state: States
    reasons: Reasons
    margin: Array
    open: Flags
    below: Flags
    readings: OfReadings

    def put(self, part: Verdicts, rows: slice) -> None:
        """Take over the cells of some barrels, in place; not those of their readings."""
        self.state[rows], self.reasons[rows] = part.state, part.reasons
        self.margin[rows], self.open[rows], self.below[rows] = part.margin, part.open, part.below


@dataclass(frozen=True, slots=True)
class InFull:
    """Every criterion of a barrel in full: over a table in which the barrel is that `row`."""

    assessments: tuple[Assessment, ...]
    row: int

    def of(self, key: str) -> Assessment:
        """Return a criterion by its key; raises KeyError for another."""
        if key not in CRITERIA:
            raise KeyError(key)
        return self.assessments[CRITERIA.index(key)]


class Assessments:
    """Every criterion over a table; any barrel can be had in full."""

    def __init__(
        self, table: Table, report: Callable[[float], None], before: Assessments | None = None
    ) -> None:
        """Assess everything; `report` is told the share done, 0 to 1.

        A criterion that reads the same as in `before` is taken from there.
        """
        self._table = table
        self._whole: tuple[Assessment, ...] = ()
        self._in_full: dict[int, InFull] = {}
        parts = list(_parts(table))
        if len(parts) == 1:
            known = {} if before is None else before.still_true(table)
            self._whole = _each(table, report, {key: one for key, (one, _) in known.items()})
            self.verdicts = tuple(
                known[one.criterion.key][1] if one.criterion.key in known else _verdicts(one)
                for one in self._whole
            )
            return
        self.verdicts = tuple(_room_for(criterion, table) for criterion in ALL)
        readings = 0
        for place, barrels in enumerate(parts):
            report(place / len(parts))
            part = table.part(barrels)
            end = readings + len(part.several.rows)
            for kept, assessment in zip(self.verdicts, _each(part), strict=True):
                kept.put(_verdicts(assessment), slice(barrels.start, barrels.stop))
                kept.readings.put(assessment.readings, slice(readings, end))
            readings = end

    def still_true(self, table: Table) -> Mapping[str, tuple[Assessment, Verdicts]]:
        """Return by key the criteria that come to the same over another table, as if of it."""
        if not self._whole or table.layout != self._table.layout:
            return {}
        changed = table.inputs.changed_from(self._table.inputs)
        return {
            one.criterion.key: (replace(one, table=table), verdicts)
            for one, verdicts in zip(self._whole, self.verdicts, strict=True)
            if changed.isdisjoint(one.read) and self._disputed_alike(table, one.criterion.key)
        }

    def _disputed_alike(self, table: Table, key: str) -> bool:
        now, then = (one.disputed.get(key) for one in (table, self._table))
        return now is then or (now is not None and then is not None and np.array_equal(now, then))

    def whole_of(self, key: str) -> Assessment | None:
        """Return a criterion in full over all barrels; None where they are too many to be kept."""
        return self._whole[CRITERIA.index(key)] if self._whole else None

    def of_barrel(self, row: int) -> InFull:
        """Return every criterion of the barrel in that row in full."""
        if self._whole:
            return InFull(self._whole, row)
        if row not in self._in_full:
            if len(self._in_full) == BARRELS_IN_FULL:
                self._in_full.clear()
            alone = self._table.part(range(row, row + 1))
            self._in_full[row] = InFull(assess(ALL, alone), 0)
        return self._in_full[row]


def _parts(table: Table) -> Iterator[range]:
    """Yield barrels that are computed together; an empty table is one part."""
    most = max(1, CELLS_AT_ONCE // max(1, len(table.columns)))
    for start in range(0, max(1, table.barrels), most):
        yield range(start, min(start + most, table.barrels))


def _verdicts(assessment: Assessment) -> Verdicts:
    return Verdicts(
        assessment.criterion,
        assessment.state,
        assessment.reasons,
        assessment.margin,
        assessment.open,
        assessment.below,
        OfReadings(
            assessment.readings.state, assessment.readings.reasons, assessment.readings.margin
        ),
    )


def _each(
    table: Table,
    report: Callable[[float], None] = lambda _: None,
    known: Mapping[str, Assessment] = MappingProxyType({}),
) -> tuple[Assessment, ...]:
    """Return every criterion, those that are not known judged together as far as they are small."""
    new = [criterion for criterion in ALL if criterion.key not in known]
    at_once = max(1, CELLS_TOGETHER // max(1, len(table.rows) * len(table.columns)))
    found = dict(known)
    for start in range(0, len(new), at_once):
        report(start / len(new))
        judged = assess(new[start : start + at_once], table)
        found |= {assessment.criterion.key: assessment for assessment in judged}
    return tuple(found[criterion.key] for criterion in ALL)


def _room_for(criterion: Criterion, table: Table) -> Verdicts:
    """Return room for the verdicts of a criterion over all barrels, filled part by part."""
    shape, of_readings = (table.barrels, table.jobs), (len(table.several.rows), table.jobs)
    return Verdicts(
        criterion,
        np.empty(shape, dtype=np.int8),
        np.empty(shape, dtype=np.uint8),
        np.empty(shape),
        np.empty(shape, dtype=np.bool_),
        np.empty(shape, dtype=np.bool_),
        OfReadings(
            np.empty(of_readings, dtype=np.int8),
            np.empty(of_readings, dtype=np.uint8),
            np.empty(of_readings),
        ),
    )
