"""The fit grid: cells combined from their criteria, and any cell told in full."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria.definition import Criterion, Flags
from evenbarrel.appraisal.gate_results import GateState
from evenbarrel.appraisal.inputs.demands import is_too_hot
from evenbarrel.appraisal.results import (
    SEVERITY,
    Basis,
    CriterionResult,
    Fit,
    ReadingVerdict,
    State,
)
from evenbarrel.appraisal.verdicts.assessment import Ends, edge_volumes, worst_reading
from evenbarrel.appraisal.verdicts.assessments import Assessments, InFull, Verdicts
from evenbarrel.appraisal.verdicts.cell import HAZARDS, criterion_result, hazard_of
from evenbarrel.appraisal.verdicts.combine import (
    NONE_BINDING,
    Binding,
    Judged,
    binding_of,
    combined_state,
)
from evenbarrel.appraisal.verdicts.deviations import Deviations
from evenbarrel.appraisal.verdicts.states import (
    BIT,
    NEAR_EDGE,
    NOT_STATED,
    OUTSIDE,
    Reasons,
    States,
    reasons_in,
)
from evenbarrel.appraisal.verdicts.table import Table
from evenbarrel.model.limits import CRITERIA, REQUIRED
from evenbarrel.model.record.decision import Deviation
from evenbarrel.trade.formula import Array, silently


@dataclass(frozen=True)
class Grid:
    """Every barrel against every job. Arrays are over (barrels, jobs)."""

    table: Table
    assessments: Assessments
    barrel_ids: tuple[str, ...]
    job_ids: tuple[str, ...]
    required: tuple[str, ...]
    deviations: Deviations
    _barrel_at: Mapping[str, int] = field(init=False, repr=False)
    _job_at: Mapping[str, int] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_barrel_at", {n: i for i, n in enumerate(self.barrel_ids)})
        object.__setattr__(self, "_job_at", {n: i for i, n in enumerate(self.job_ids)})

    def row(self, barrel: str) -> int:
        """Return the place of a barrel; raises KeyError."""
        return self._barrel_at[barrel]

    def column(self, job: str) -> int:
        """Return the place of a job; raises KeyError."""
        return self._job_at[job]

    @property
    def verdicts(self) -> tuple[Verdicts, ...]:
        """Every criterion over (barrels, jobs)."""
        return self.assessments.verdicts

    def in_full(self, row: int) -> InFull:
        """Return every criterion of the barrel in that row in full."""
        return self.assessments.of_barrel(row)

    def edge_volumes(self, key: str) -> tuple[Ends, Ends]:
        """Return the shot volumes that a criterion's hard and comfort edges stand for [m3].

        Each the lowest and the highest, over (barrels, shots); None where nothing bounds them.
        """
        whole = self.assessments.whole_of(key)
        if whole is not None:
            return whole.shot_volumes, whole.comfort_volumes
        if key not in self._edge_volumes:
            criterion, first = self._of(key).criterion, slice(len(self.barrel_ids))
            with silently():
                edges = criterion.edges(self.table.inputs).of_rows(first)
            self._edge_volumes[key] = edge_volumes(criterion, edges, self.table)
        return self._edge_volumes[key]

    def estimated(self, key: str) -> Flags:
        """Return where what a criterion asks is estimated, so never outside; (barrels, jobs)."""
        first, jobs = slice(len(self.barrel_ids)), len(self.job_ids)
        with silently():
            edges = self._of(key).criterion.edges(self.table.inputs).of_rows(first)
        return np.broadcast_to(edges.estimated[:, :jobs], (len(self.barrel_ids), jobs))

    @cached_property
    def _edge_volumes(self) -> dict[str, tuple[Ends, Ends]]:
        """Those read so far."""
        return {}

    @cached_property
    def states(self) -> States:
        """State codes of every criterion, over (criteria, barrels, jobs)."""
        return np.stack([one.state for one in self.verdicts])

    @cached_property
    def opens(self) -> Flags:
        """Where a criterion could not be assessed, over (criteria, barrels, jobs)."""
        return np.stack([one.open for one in self.verdicts])

    @cached_property
    def why(self) -> Reasons:
        """Why a criterion is near its edge (bits), over (criteria, barrels, jobs)."""
        return np.stack([one.reasons for one in self.verdicts])

    @cached_property
    def outside(self) -> Flags:
        """Where a criterion is outside, over (criteria, barrels, jobs)."""
        return np.asarray(self.states == OUTSIDE)

    @cached_property
    def state(self) -> States:
        """State codes: places in SEVERITY; of several readings what they have in common."""
        state = combined_state(self._joined, self.required)
        several = self.table.several
        if several:
            states = self.reading_states[several.joined]
            common = (states == states[:, :1]).all(axis=1)
            state[several.barrels] = np.where(common, states[:, 0], NEAR_EDGE)
        return state

    @cached_property
    def reading_states(self) -> States:
        """State codes of the cells of each reading by itself, over (Several.rows, jobs)."""
        return combined_state(self._of_readings, self.required)

    @cached_property
    def binding(self) -> Binding:
        """Place in CRITERIA of what binds each cell, -1 for none; of several readings the worst."""
        binding, _ = binding_of(self._joined, self.state, self.required)
        several = self.table.several
        if several:
            of_readings, margin = self._reading_binding
            states = self.reading_states[several.joined]
            worst = worst_reading(states, margin[several.joined], several.joined)
            binding[several.barrels] = np.take_along_axis(of_readings, worst, axis=0)
        return binding

    @cached_property
    def _reading_binding(self) -> tuple[Binding, Array]:
        """What binds each reading by itself, with its margin, over (Several.rows, jobs)."""
        return binding_of(self._of_readings, self.reading_states, self.required)

    @property
    def _joined(self) -> Judged:
        margins = [one.margin for one in self.verdicts]
        return Judged(self._criteria, self.states, self.why, self.opens, margins)

    @cached_property
    def _of_readings(self) -> Judged:
        of_each = [one.readings for one in self.verdicts]
        of_barrel = self.table.of_rows(np.arange(self.table.barrels))[self.table.several.rows]
        return Judged(
            self._criteria,
            np.stack([one.state for one in of_each]),
            np.stack([one.reasons for one in of_each]),
            self.opens[:, of_barrel],
            [one.margin for one in of_each],
        )

    @cached_property
    def _criteria(self) -> tuple[Criterion, ...]:
        return tuple(one.criterion for one in self.verdicts)

    def on(self, basis: Basis) -> Flags:
        """Return which criteria stand on that basis."""
        return np.array([criterion.basis == basis for criterion in self._criteria])

    @cached_property
    def by_rule(self) -> Flags:
        """Outside by practice alone."""
        return np.asarray((self.state == OUTSIDE) & ~self.outside[~self.on("practice")].any(axis=0))

    @cached_property
    def by_physics(self) -> Flags:
        """Outside by physics, whatever else is outside as well."""
        return np.asarray((self.state == OUTSIDE) & self.outside[self.on("physical")].any(axis=0))

    @cached_property
    def to_confirm(self) -> Flags:
        """Near an edge because a limit from memory is exceeded that nobody has confirmed."""
        return np.asarray((self.reasons & BIT["beyond_unconfirmed"]) > 0)

    @cached_property
    def open(self) -> Flags:
        """Where any criterion could not be assessed."""
        return np.asarray(self.opens.any(axis=0))

    @cached_property
    def open_count(self) -> NDArray[np.int8]:
        """How many criteria of each cell could not be assessed."""
        return np.asarray(self.opens.sum(axis=0, dtype=np.int8))

    @cached_property
    def all_accepted(self) -> Flags:
        """Where something is outside, and a person accepted all that is."""
        other = self.outside.copy()
        for key, accepted in self.accepted.items():
            other[CRITERIA.index(key)] &= ~accepted
        return np.asarray(self.outside.any(axis=0) & ~other.any(axis=0))

    @cached_property
    def least_margin(self) -> Array:
        """The least margin of each barrel over jobs and criteria; minus infinity for none."""
        least = np.full(len(self.barrel_ids), np.inf)
        for verdicts in self.verdicts:
            least = np.fmin(least, np.fmin.reduce(verdicts.margin, axis=1, initial=np.inf))
        return np.where(np.isposinf(least), -np.inf, least)

    def states_of(self, barrel: str, jobs: Sequence[str]) -> tuple[State, ...]:
        """Return the state of a barrel for each of these jobs; raises KeyError."""
        codes = self.state[self.row(barrel)].tolist()
        return tuple(SEVERITY[codes[self.column(job)]] for job in jobs)

    @cached_property
    def reasons(self) -> Reasons:
        """Why a cell near the edge is there (bits): what any of its criteria near one says."""
        said = np.bitwise_or.reduce(np.where(self.states == NEAR_EDGE, self.why, np.uint8(0)))
        return np.where(self.state == NEAR_EDGE, said, np.uint8(0))

    @cached_property
    def accepted(self) -> Mapping[str, Flags]:
        """Where a criterion is outside and accepted, for those that any deviation names."""
        named = self._named(self.deviations.accepted())
        return {key: flags & self.acceptable(key) for key, flags in named.items()}

    @cached_property
    def refused(self) -> Mapping[str, Flags]:
        """Where a rule is outside and a person will not waive it, for those that are named."""
        named = self._named(self.deviations.refused())
        rules = {key: flags for key, flags in named.items() if self._basis(key) == "practice"}
        return {key: flags & (self._of(key).state == OUTSIDE) for key, flags in rules.items()}

    def acceptable(self, key: str) -> Flags:
        """Return where a person may accept that a criterion is outside.

        Never physics, nor what overheats a resin that turns dangerous, nor anything on a barrel
        whose size nobody has settled.
        """
        verdicts = self._of(key)
        if verdicts.criterion.basis == "physical":
            return np.zeros(self.state.shape, dtype=np.bool_)
        safe = [
            hazard_of(key, column) is None for column in self.table.columns[: len(self.job_ids)]
        ]
        outside = np.asarray(verdicts.state == OUTSIDE)
        return outside & np.array(safe, dtype=np.bool_) & ~self.unsettled

    @cached_property
    def overheated(self) -> tuple[str, ...]:
        """Groups of resins that turn dangerous of which any job stays too long, or nearly so.

        A melt hotter than any temperature for which the stay is known counts as one that does.
        """
        key, codes = "residence", (OUTSIDE, NEAR_EDGE)
        applies = self.table.applies[: self.table.barrels]
        long = np.asarray((np.isin(self._of(key).state, codes) & applies).any(axis=0))
        columns = self.table.columns[: len(self.job_ids)]
        found = {
            hazard_of(key, one)
            for one, stays in zip(columns, long, strict=True)
            if stays or (applies.any() and is_too_hot(one.entered, one.resin))
        }
        return tuple(group for group in HAZARDS if group in found)

    @cached_property
    def unsettled(self) -> Flags:
        """Barrels whose size nobody has settled, of shape (barrels, 1)."""
        rows = self.table.rows[: self.table.barrels]
        flags = [row.settled.swept.unsettled for row in rows]
        return np.array(flags, dtype=np.bool_).reshape(-1, 1)

    def _named(self, deviations: Iterable[Deviation]) -> dict[str, Flags]:
        """Return where deviations name a criterion: one cell, or every job of a barrel."""
        named: dict[str, Flags] = {}
        for one in deviations:
            empty = np.zeros((len(self.barrel_ids), len(self.job_ids)), dtype=np.bool_)
            flags = named.setdefault(one.criterion, empty)
            jobs = slice(None) if one.job is None else self.column(one.job)
            # A barrel of a bid that was revised or withdrawn has no row: nothing is judged of it.
            if one.barrel in self._barrel_at:
                flags[self._barrel_at[one.barrel], jobs] = True
        return named

    def _of(self, key: str) -> Verdicts:
        return self.verdicts[CRITERIA.index(key)]

    def _basis(self, key: str) -> str:
        return self._of(key).criterion.basis

    def barrel_state(self) -> States:
        """Programme state of each barrel: the worst over its jobs."""
        if not self.job_ids:
            return np.full(len(self.barrel_ids), NOT_STATED, dtype=np.int8)
        return np.asarray(self.state.min(axis=1), dtype=np.int8)

    def fit(self, barrel: str, job: str, gate: GateState | None) -> Fit:
        """Return one cell in full, `gate` being that of its job alone; raises KeyError."""
        row, column = self.row(barrel), self.column(job)
        reasons = reasons_in(int(self.reasons[row, column]))

        def held(flags: Mapping[str, Flags]) -> tuple[str, ...]:
            return tuple(key for key in CRITERIA if key in flags and flags[key][row, column])

        outside = (a.criterion.key for a in self.verdicts if a.state[row, column] == OUTSIDE)
        return Fit(
            barrel=barrel,
            job=job,
            state=SEVERITY[self.state[row, column]],
            binding=_key(self.binding[row, column]),
            open=tuple(a.criterion.key for a in self.verdicts if a.open[row, column]),
            unconfirmed=not {"soft", "beyond_unconfirmed"}.isdisjoint(reasons),
            reasons=reasons,
            by_rule=bool(self.by_rule[row, column]),
            outside=tuple(outside),
            accepted=held(self.accepted),
            refused=held(self.refused),
            acceptable=held(self._acceptable),
            gate=gate,
            readings=tuple(self._readings(row, column)),
            criterion=lambda key: self._in_full(row, column, key),
        )

    def _in_full(self, row: int, column: int, key: str) -> CriterionResult:
        full = self.in_full(row)
        return criterion_result(full.of(key), full.row, column)

    @cached_property
    def _acceptable(self) -> Mapping[str, Flags]:
        nothing = np.zeros(self.state.shape, dtype=np.bool_)
        return {
            key: self.acceptable(key) & ~self.accepted.get(key, nothing)
            for key in CRITERIA
            if self._basis(key) != "physical"
        }

    def _readings(self, row: int, column: int) -> Iterator[ReadingVerdict]:
        several = self.table.several
        for place in several.of(row):
            reading = self.table.rows[int(several.rows[place])].reading
            state = SEVERITY[self.reading_states[place, column]]
            binding = _key(self._reading_binding[0][place, column])
            yield ReadingVerdict(reading.key, reading.plausible, state, binding)


def _key(place: np.int8) -> str | None:
    return None if place == NONE_BINDING else CRITERIA[place]


def required_criteria(more: tuple[str, ...]) -> tuple[str, ...]:
    """Return the criteria a cell must be able to state, in table order."""
    return tuple(key for key in CRITERIA if key in REQUIRED or key in more)
