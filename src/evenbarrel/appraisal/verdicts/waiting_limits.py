"""Limits that wait for confirmation: what each would shut, or free were it another."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from evenbarrel.appraisal.criteria.definition import Flags
from evenbarrel.appraisal.gate_results import WaitingLimit
from evenbarrel.appraisal.references import CriterionRef, LimitRef
from evenbarrel.appraisal.verdicts.crossed import limits_crossed
from evenbarrel.appraisal.verdicts.gate import FREE, SHUT, Gates
from evenbarrel.appraisal.verdicts.states import BIT
from evenbarrel.appraisal.verdicts.stops import STOP, Stops
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import limit_value
from evenbarrel.model.record.decision import LimitValue

BEYOND = STOP["beyond_unconfirmed"]


def waiting_limits(evaluation: Evaluation, gates: Gates) -> tuple[WaitingLimit, ...]:
    """Return every limit from memory that a cell is beyond and that nobody confirmed."""
    found: dict[LimitRef, dict[int, Flags]] = {}
    grid = gates.grid
    for place, (verdicts, bits) in enumerate(zip(grid.verdicts, gates.stops, strict=True)):
        beyond = (bits & BEYOND) > 0
        for limit, cells in limits_crossed(verdicts, grid.table.columns, beyond).items():
            found.setdefault(limit, {})[place] = cells
    return tuple(_waiting(limit, cells, evaluation, gates) for limit, cells in found.items())


def _waiting(
    limit: LimitRef, cells: dict[int, Flags], evaluation: Evaluation, gates: Gates
) -> WaitingLimit:
    hard = {place: beyond & _alone(gates, place) for place, beyond in cells.items()}
    now = gates.codes(gates.stops)
    confirmed = gates.codes(_with(gates, cells, hard))
    removed = gates.codes(_with(gates, cells, {}))
    barrels = np.array(gates.grid.barrel_ids, dtype=object)
    return WaitingLimit(
        limit=limit,
        value=value_of(limit, evaluation),
        cells=tuple(_references(gates, cells)),
        shuts=tuple(barrels[gates.judged & (confirmed == SHUT) & (now != SHUT)]),
        frees=tuple(barrels[gates.judged & (removed == FREE) & (now != FREE)]),
    )


def _alone(gates: Gates, place: int) -> Flags:
    """Return where nothing but a limit from memory keeps a criterion near its edge."""
    verdicts = gates.grid.verdicts[place]
    other = verdicts.reasons & ~BIT["beyond_unconfirmed"] > 0
    return ~(other | gates.grid.estimated(verdicts.criterion.key))


def _with(gates: Gates, cells: dict[int, Flags], hard: dict[int, Flags]) -> Stops:
    """Return what would stop every cell were nothing beyond a limit, but `hard` ones outside it."""
    stops = gates.stops.copy()
    for place, beyond in cells.items():
        stops[place][beyond] &= ~BEYOND
    for place, beyond in hard.items():
        basis = gates.grid.verdicts[place].criterion.basis
        stops[place][beyond] |= STOP["rule" if basis == "practice" else "outside"]
    return stops


def _references(gates: Gates, cells: dict[int, Flags]) -> Iterator[CriterionRef]:
    grid = gates.grid
    for place, flags in cells.items():
        key = grid.verdicts[place].criterion.key
        for row, column in np.argwhere(flags):
            yield CriterionRef(grid.barrel_ids[row], grid.job_ids[column], key)


def value_of(limit: LimitRef, evaluation: Evaluation) -> LimitValue:
    """Return what a limit stands at, as it would be confirmed."""
    resin = evaluation.resin(limit.resin)
    if resin is None:
        return limit_value(getattr(evaluation.limits, limit.field))
    value: LimitValue = getattr(resin, limit.field)
    return value
