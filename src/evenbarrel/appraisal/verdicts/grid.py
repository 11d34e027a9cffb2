"""The fit grid: cells combined from their criteria, and any cell told in full."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.appraisal.results import SEVERITY, CriterionResult, Fit, Reason
from evenbarrel.appraisal.verdicts.states import (
    INSIDE,
    NEAR_EDGE,
    NOT_STATED,
    OUTSIDE,
    REASONS,
    TOUCH,
    Assessment,
    States,
)
from evenbarrel.appraisal.verdicts.table import Table
from evenbarrel.model.decision import Deviation
from evenbarrel.model.limits import CRITERIA, REQUIRED
from evenbarrel.trade.formula import Array

NONE_BINDING = -1


def _number(value: float) -> float | None:
    """Return a finite number, or None for one that cannot be had."""
    return value if isfinite(value) else None


def accepted_criteria(
    deviations: Sequence[Deviation], as_of: date | None
) -> Mapping[tuple[str, str | None], tuple[str, ...]]:
    """Return the criteria a person accepted, by barrel and job (None: every job).

    Not after an end date.
    """
    accepted: dict[tuple[str, str | None], tuple[str, ...]] = {}
    for deviation in deviations:
        if deviation.until is not None and as_of is not None and deviation.until < as_of:
            continue
        place = (deviation.barrel, deviation.job)
        accepted[place] = (*accepted.get(place, ()), deviation.criterion)
    return accepted


@dataclass(frozen=True)
class Grid:
    """Every barrel against every job. Arrays are over (barrels, jobs)."""

    table: Table
    assessments: tuple[Assessment, ...]
    barrel_ids: tuple[str, ...]
    job_ids: tuple[str, ...]
    required: tuple[str, ...]
    accepted: Mapping[tuple[str, str | None], tuple[str, ...]]
    _barrel_at: Mapping[str, int] = field(init=False, repr=False)
    _job_at: Mapping[str, int] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_barrel_at", {n: i for i, n in enumerate(self.barrel_ids)})
        object.__setattr__(self, "_job_at", {n: i for i, n in enumerate(self.job_ids)})

    @cached_property
    def state(self) -> States:
        """State codes: places in SEVERITY."""
        shape = (len(self.barrel_ids), len(self.job_ids))
        state = np.full(shape, INSIDE, dtype=np.int8)
        for assessment in self.assessments:
            judged = assessment.state
            if assessment.criterion.key not in self.required:
                judged = np.where(judged == NOT_STATED, INSIDE, judged)
            state = np.minimum(state, judged)
        return state

    @cached_property
    def binding(self) -> NDArray[np.int8]:
        """Place in CRITERIA of what binds: within the state the least margin; -1 for none."""
        least = np.full(self.state.shape, np.inf)
        binding = np.full(self.state.shape, NONE_BINDING, dtype=np.int8)
        stated = np.zeros(self.state.shape, dtype=np.bool_)
        for place, assessment in enumerate(self.assessments):
            stated |= assessment.state != NOT_STATED
            # What has no number comes first where it stands in the way, last where it does not.
            unnumbered = np.where(self.state == INSIDE, np.inf, -np.inf)
            margin = np.where(np.isnan(assessment.margin), unnumbered, assessment.margin)
            here = assessment.state == self.state
            # Two edges may be one by arithmetic, as 80 % of 5 D and 4 D: rounding decides nothing.
            less = 1.0 + margin < (1.0 + least) * (1.0 - TOUCH)
            closer = here & (less | (binding == NONE_BINDING))
            binding = np.where(closer, np.int8(place), binding)
            least = np.where(closer, margin, least)
        return np.where(stated, binding, np.int8(NONE_BINDING))

    @cached_property
    def by_rule(self) -> NDArray[np.bool_]:
        """Outside by practice alone."""
        other = np.zeros(self.state.shape, dtype=np.bool_)
        for assessment in self.assessments:
            if assessment.criterion.basis != "practice":
                other |= assessment.state == OUTSIDE
        return np.asarray((self.state == OUTSIDE) & ~other)

    @cached_property
    def blocks(self) -> NDArray[np.bool_]:
        """Outside in a criterion that nobody accepted."""
        blocks = np.asarray(self.state == OUTSIDE)
        for barrel, job in self.accepted:
            row = self._barrel_at[barrel]
            for column in range(len(self.job_ids)) if job is None else (self._job_at[job],):
                blocks[row, column] = len(self._accepted(row, column)) < len(
                    self._outside(row, column)
                )
        return blocks

    @cached_property
    def reasons(self) -> NDArray[np.uint8]:
        """Why a cell near the edge is there (bits): what any of its criteria near one says."""
        bits = np.zeros(self.state.shape, dtype=np.uint8)
        for assessment in self.assessments:
            bits |= np.where(assessment.state == NEAR_EDGE, assessment.reasons, 0).astype(np.uint8)
        return np.where(self.state == NEAR_EDGE, bits, 0).astype(np.uint8)

    def _outside(self, row: int, column: int) -> list[Assessment]:
        return [a for a in self.assessments if a.state[row, column] == OUTSIDE]

    def _accepted(self, row: int, column: int) -> tuple[str, ...]:
        """Return what is outside and accepted, for this job or for all.

        Physics never is, nor what overheats a resin that turns dangerous.
        """
        barrel, job = self.barrel_ids[row], self.job_ids[column]
        keys = (*self.accepted.get((barrel, job), ()), *self.accepted.get((barrel, None), ()))
        return tuple(
            a.criterion.key
            for a in self._outside(row, column)
            if a.criterion.key in keys
            and not a.physical[row, column]
            and not is_hazard(self._caution(a, row, column))
        )

    def barrel_state(self) -> States:
        """Programme state of each barrel: the worst over its jobs."""
        if not self.job_ids:
            return np.full(len(self.barrel_ids), NOT_STATED, dtype=np.int8)
        return np.asarray(self.state.min(axis=1), dtype=np.int8)

    def fit(self, barrel: str, job: str) -> Fit:
        """Return one cell in full; raises KeyError for an unknown barrel or job."""
        row, column = self._barrel_at[barrel], self._job_at[job]
        state, binding = SEVERITY[self.state[row, column]], self.binding[row, column]
        reasons = _reasons(int(self.reasons[row, column]))
        return Fit(
            barrel=barrel,
            job=job,
            state=state,
            binding=None if binding == NONE_BINDING else CRITERIA[binding],
            open=tuple(
                a.criterion.key for a in self.assessments if self._not_assessed(a, row, column)
            ),
            unconfirmed="soft" in reasons,
            reasons=reasons,
            by_rule=bool(self.by_rule[row, column]),
            accepted=self._accepted(row, column),
            blocks=bool(self.blocks[row, column]),
            read=lambda: tuple(self._criterion(a, row, column) for a in self.assessments),
        )

    def _criterion(self, assessment: Assessment, row: int, column: int) -> CriterionResult:
        criterion, edges = assessment.criterion, assessment.edges
        shot = int(assessment.chosen[row, column])
        state = SEVERITY[assessment.state[row, column]]
        low, high = (_volume(v, row, column) for v in assessment.shot_volumes)
        comfort_low, comfort_high = (_volume(v, row, column) for v in assessment.comfort_volumes)
        chosen = self.table.columns[shot].shot
        return CriterionResult(
            key=criterion.key,
            state=state,
            basis="physical" if assessment.physical[row, column] else criterion.basis,
            unit=criterion.unit,
            margin=_number(at(assessment.margin, row, column)),
            shot_volume_low=low,
            shot_volume_high=high,
            comfort_volume_low=comfort_low,
            comfort_volume_high=comfort_high,
            shot_volume_empty=_empty(low, high, assessment, row, column),
            at="nominal" if chosen is None else chosen.end,
            unconfirmed=state in ("inside", "near_edge")
            and bool(at(edges.unconfirmed | edges.estimated, row, shot)),
            reasons=_reasons(int(assessment.reasons[row, column])),
            missing=self._missing(assessment, row, shot) if state == "not_stated" else (),
            caution=self._caution(assessment, row, column),
            **(_numbers(assessment, row, column, shot) if criterion.numeric else {}),
        )

    def _not_assessed(self, assessment: Assessment, row: int, column: int) -> bool:
        """Say whether a criterion is open: not stated, though no lower bound with all its data."""
        if assessment.state[row, column] != NOT_STATED:
            return False
        shot = int(assessment.chosen[row, column])
        a_bound = bool(at(assessment.edges.only_outside, row, shot))
        return not a_bound or not self.table.applies[row, 0] or self._lacks(assessment, row, shot)

    def _lacks(self, assessment: Assessment, row: int, shot: int) -> bool:
        needed = (assessment.inputs[name].nominal for name in assessment.criterion.needs)
        return any(np.isnan(at(values, row, shot)) for values in needed)

    def _missing(self, assessment: Assessment, row: int, shot: int) -> tuple[str, ...]:
        if not self.table.applies[row, 0]:
            return ()
        missing: dict[str, None] = {}
        for name, data in assessment.criterion.needs.items():
            if np.isnan(at(assessment.inputs[name].nominal, row, shot)):
                of = (self.table.rows[row], self.table.columns[shot])
                missing |= dict.fromkeys(self.table.lacking(name, data, *of))
        return tuple(missing)

    def _caution(self, assessment: Assessment, row: int, column: int) -> str | None:
        if not self.table.applies[row, 0]:
            return "method_does_not_apply"
        key, value = assessment.criterion.key, float(assessment.interval.nominal[row, column])
        if key == "recovery" and np.isinf(assessment.interval.low[row, column]):
            return "no_window_left"
        if key == "residence" and value < SHORT_STAY:
            return "short_stay"
        if key == "residence" and assessment.state[row, column] in (OUTSIDE, NEAR_EDGE):
            return self._overheating(column)
        return None

    def _overheating(self, column: int) -> str | None:
        resin = self.table.columns[column].resin
        groups = () if resin is None else resin.hazard_groups
        return next((f"overheated_{g}" for g in groups if g in ("acetal", "halogenated")), None)


def is_hazard(caution: str | None) -> bool:
    """Say whether a criterion's caution is one of a danger that nobody may accept."""
    return caution is not None and caution.startswith("overheated_")


SHORT_STAY = 60.0
"""A mean residence below this deserves a note [s]; common practice, no source."""


def _reasons(bits: int) -> tuple[Reason, ...]:
    return tuple(reason for bit, reason in enumerate(REASONS) if bits & (1 << bit))


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
    low: float | None,
    high: float | None,
    assessment: Assessment,
    row: int,
    column: int,
) -> bool:
    """Say whether no shot volume at all would satisfy the hard edge."""
    if low is None and high is None:
        beyond = assessment.margin[row, column] < 0
        unsuited = not assessment.criterion.numeric and assessment.state[row, column] == OUTSIDE
        return bool(beyond or unsuited)
    if high is not None and high <= 0:
        return True
    return low is not None and high is not None and low > high


def required_criteria(more: tuple[str, ...]) -> tuple[str, ...]:
    """Return the criteria a cell must be able to state, in table order."""
    return tuple(key for key in CRITERIA if key in REQUIRED or key in more)
