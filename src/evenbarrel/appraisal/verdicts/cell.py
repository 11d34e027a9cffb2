"""One criterion of one cell in full, read out of the arrays."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import isfinite

import numpy as np

from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.inputs.demands import is_too_hot
from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.appraisal.results import SEVERITY, CriterionResult, Misfit, ReadingResult
from evenbarrel.appraisal.verdicts.assessment import Assessment
from evenbarrel.appraisal.verdicts.states import NEAR_EDGE, OUTSIDE, reasons_in
from evenbarrel.trade.formula import Array

SHORT_STAY = 60.0
"""A mean residence below this deserves a note [s]; common practice, no source."""

BEYOND = ("near_edge", "outside")

HAZARDS = ("acetal", "halogenated")
"""Groups of resins that turn dangerous where they are overheated."""


def criterion_result(assessment: Assessment, row: int, column: int) -> CriterionResult:
    """Return a criterion of the cell in that row and column."""
    criterion, edges, table = assessment.criterion, assessment.edges, assessment.table
    shot = int(assessment.chosen[row, column])
    state = SEVERITY[assessment.state[row, column]]
    low, high = (_volume(v, row, column) for v in assessment.shot_volumes)
    comfort_low, comfort_high = (_volume(v, row, column) for v in assessment.comfort_volumes)
    chosen = table.columns[shot].shot
    return CriterionResult(
        key=criterion.key,
        state=state,
        basis=criterion.basis,
        unit=criterion.unit,
        margin=_number(at(assessment.margin, row, column)),
        shot_volume_low=low,
        shot_volume_high=high,
        comfort_volume_low=comfort_low,
        comfort_volume_high=comfort_high,
        shot_volume_empty=_empty(low, high, assessment, row, column),
        at="nominal" if chosen is None else chosen.end,
        unconfirmed=state in ("inside", "near_edge") and bool(at(edges.soft, row, shot)),
        reasons=reasons_in(int(assessment.reasons[row, column])),
        missing=_missing(assessment, row, shot) if state == "not_stated" else (),
        caution=_caution(assessment, row, column),
        readings=tuple(_readings(assessment, row, column)),
        misfits=tuple(_misfits(assessment, row, shot)) if state in BEYOND else (),
        **(_numbers(assessment, row, column, shot) if criterion.numeric else {}),
    )


def hazard_of(criterion: str, column: Column) -> str | None:
    """Return the group by which a resin that stays too long turns dangerous, or None."""
    resin = column.resin
    if criterion != "residence" or resin is None:
        return None
    return next((group for group in resin.hazard_groups if group in HAZARDS), None)


def _number(value: float) -> float | None:
    """Return a finite number, or None for one that cannot be had."""
    return value if isfinite(value) else None


def _missing(assessment: Assessment, row: int, shot: int) -> tuple[str, ...]:
    table = assessment.table
    if not table.applies[row, 0]:
        return ()
    missing: dict[str, None] = {}
    for name, data in assessment.criterion.needs.items():
        if np.isnan(at(assessment.inputs[name].nominal, row, shot)):
            lacking = table.lacking(name, data, table.rows[row], table.columns[shot])
            missing |= dict.fromkeys(lacking)
    return tuple(missing)


def _caution(assessment: Assessment, row: int, column: int) -> str | None:
    if not assessment.table.applies[row, 0]:
        return "method_does_not_apply"
    key, value = assessment.criterion.key, float(assessment.interval.nominal[row, column])
    if key == "recovery" and np.isinf(assessment.interval.low[row, column]):
        return "no_window_left"
    shot = assessment.table.columns[column]
    hazard = hazard_of(key, shot)
    stays = assessment.state[row, column] in (OUTSIDE, NEAR_EDGE)
    if hazard is not None and (stays or is_too_hot(shot.entered, shot.resin)):
        return f"overheated_{hazard}"
    return "short_stay" if key == "residence" and value < SHORT_STAY else None


def _misfits(assessment: Assessment, row: int, shot: int) -> Iterator[Misfit]:
    """Yield what of the barrel is not as the resin asks, with the barrel's own choice."""
    barrel = assessment.table.rows[row].stated.barrel
    for misfit in assessment.criterion.misfits(
        lambda name: at(assessment.inputs[name].nominal, row, shot)
    ):
        entered = getattr(barrel, misfit.datum)
        yield replace(misfit, choice=entered if isinstance(entered, str) else None)


def _readings(assessment: Assessment, row: int, column: int) -> Iterator[ReadingResult]:
    """Yield what each reading of the barrel makes of the criterion, at its own worst shot."""
    table, cells = assessment.table, assessment.readings
    numeric = assessment.criterion.numeric
    for place in table.several.of(row):
        reading = table.rows[int(table.several.rows[place])].reading
        ends = (cells.interval.nominal, cells.interval.low, cells.interval.high)
        value, low, high = (_number(at(end, place, column)) if numeric else None for end in ends)
        state = SEVERITY[cells.state[place, column]]
        yield ReadingResult(reading.key, reading.plausible, state, value, low, high)


def _volume(values: Array | None, row: int, column: int) -> float | None:
    """Return a shot volume that an edge stands for [m3], None where there is none."""
    number = None if values is None else _number(at(values, row, column))
    return None if number is None else max(number, 0.0)


def _numbers(assessment: Assessment, row: int, column: int, shot: int) -> dict[str, float | None]:
    """Return a criterion's value, interval and edges by their names in its result."""
    interval, edges = assessment.interval, assessment.edges

    def edge(values: Array | None) -> float | None:
        return None if values is None else _number(at(values, row, shot))

    return {
        "value": _number(at(interval.nominal, row, column)),
        "low": _number(at(interval.low, row, column)),
        "high": _number(at(interval.high, row, column)),
        "allowed_low": edge(edges.allowed_low),
        "allowed_high": edge(edges.allowed_high),
        "comfort_low": edge(edges.comfort_low),
        "comfort_high": edge(edges.comfort_high),
        "comfort_margin": _number(at(assessment.comfort_margin, row, column)),
    }


def _empty(
    low: float | None, high: float | None, assessment: Assessment, row: int, column: int
) -> bool:
    """Say whether no shot volume at all would satisfy the hard edge."""
    if low is None and high is None:
        beyond = assessment.margin[row, column] < 0
        unsuited = not assessment.criterion.numeric and assessment.state[row, column] == OUTSIDE
        return bool(beyond or unsuited)
    if high is not None and high <= 0:
        return True
    return low is not None and high is not None and low > high
