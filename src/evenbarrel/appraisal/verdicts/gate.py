"""The gate of a barrel over a set of jobs: shut, waiting, or no objection, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria.definition import Flags
from evenbarrel.appraisal.gate_results import (
    GATES,
    Gate,
    GateReason,
    GateState,
    ProgrammeGate,
    SoleStop,
)
from evenbarrel.appraisal.verdicts.crossed import limits_crossed
from evenbarrel.appraisal.verdicts.disputes import Disputes
from evenbarrel.appraisal.verdicts.grid import Grid
from evenbarrel.appraisal.verdicts.stops import (
    KINDS,
    SHUTS,
    STOP,
    WAITS,
    Stops,
    stops_in,
    stops_of,
)
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.record.decision import Assignment

SHUT, WAIT, FREE = (np.int8(GATES.index(state)) for state in GATES)

Pair = tuple[str, str]

_MOST_KEPT = 512
"""Gates that are kept: of those in sight and of proposals."""


@dataclass(frozen=True)
class Gates:
    """The gates of all barrels; arrays are over (barrels, jobs).

    `disputes` gives for each barrel the claims that dispute a criterion, `doubts` its claims that
    failed and still hold; `incompatible` are the pairs of jobs that must never share a machine.
    """

    grid: Grid
    disputes: Sequence[Disputes]
    doubts: Sequence[tuple[str, ...]]
    assignment: Sequence[Assignment]
    incompatible: Sequence[Pair]

    @cached_property
    def pins(self) -> tuple[Assignment, ...]:
        """The pins that hold: to a barrel of a bid that was revised or withdrawn none does.

        Until a person carries it over, its job counts for every barrel: it is never forgotten.
        """
        judged = set(self.grid.barrel_ids)
        return tuple(pin for pin in self.assignment if pin.barrel in judged)

    def of(self, barrel: str) -> Gate:
        """Return a barrel's gate over every job not pinned to another; raises KeyError."""
        row = self.grid.row(barrel)
        if row not in self._known:
            self._known[row] = self._gate(row, np.flatnonzero(self.in_set[row]))
        return self._known[row]

    @cached_property
    def _known(self) -> dict[int, Gate]:
        """Gates read so far: several views read each of them."""
        return {}

    def over(self, barrel: str, jobs: Sequence[str]) -> Gate:
        """Return a barrel's gate over these jobs, whatever is pinned where; raises KeyError."""
        columns = sorted(self.grid.column(job) for job in jobs)
        return self._gate(self.grid.row(barrel), np.array(columns, dtype=np.intp))

    def state_over(self, barrel: str, jobs: Sequence[str]) -> GateState | None:
        """Return the state of `over` without looking for its reasons; raises KeyError."""
        grid, row = self.grid, self.grid.row(barrel)
        if not jobs or not self._applies[row]:
            return None
        bits = self.stops[:, row, [grid.column(job) for job in jobs]]
        if (bits & SHUTS).any():
            return "shut"
        waits = (bits & WAITS).any() or grid.unsettled[row, 0]
        meeting = waits or any(self._meeting(barrel, set(jobs)))
        return "waits" if meeting else "no_objection"

    def programme(self, jobs_of: Mapping[str, Sequence[str]]) -> ProgrammeGate:
        """Return the gate of a proposal, which gives each of its barrels some jobs.

        The worst of its barrels over their jobs; shut where a job is given to none. None without
        jobs, or where one of them is given to a kind of unit that the method does not know and
        nothing else shuts it. Raises KeyError for an unknown barrel or job.
        """
        gates = tuple(self.over(barrel, jobs) for barrel, jobs in jobs_of.items())
        given = {job for jobs in jobs_of.values() for job in jobs}
        uncovered = tuple(job for job in self.grid.job_ids if job not in given)
        states = {gate.state for gate in gates if gate.jobs}
        if uncovered or "shut" in states:
            return ProgrammeGate("shut", gates, uncovered)
        known = [state for state in states if state is not None]
        worst = min(known, key=GATES.index, default=None) if len(known) == len(states) else None
        return ProgrammeGate(worst, gates, uncovered)

    def cell(self, barrel: str, job: str) -> GateState | None:
        """Return the gate of one job alone; raises KeyError."""
        row, column = self.grid.row(barrel), self.grid.column(job)
        if not self._applies[row]:
            return None
        return _gate_of(self.cells[row, column])

    def counts_of(self, job: str) -> Mapping[GateState | None, int]:
        """Return how many barrels stand where for one job alone; None counts what is not judged."""
        codes = self.cells[self._applies, self.grid.column(job)]
        counts: dict[GateState | None, int] = {
            state: int((codes == place).sum()) for place, state in enumerate(GATES)
        }
        return counts | {None: len(self._applies) - len(codes)}

    @cached_property
    def states(self) -> Mapping[str, GateState | None]:
        """The gate of each barrel, without its reasons."""
        known = self._named(self.codes(self.stops))
        return {barrel: known.get(barrel) for barrel in self.grid.barrel_ids}

    @cached_property
    def cells(self) -> NDArray[np.int8]:
        """The gate of each job alone: places in GATES, whatever the kind of unit."""
        bits = np.bitwise_or.reduce(self.stops)
        waits = ((bits & WAITS) > 0) | self.grid.unsettled
        return np.where((bits & SHUTS) > 0, SHUT, np.where(waits, WAIT, FREE)).astype(np.int8)

    @cached_property
    def in_set(self) -> Flags:
        """The jobs that each barrel is judged over: all that no pin gives to others alone."""
        flags = np.ones((len(self.grid.barrel_ids), len(self.grid.job_ids)), dtype=np.bool_)
        pinned = {pin.job for pin in self.pins}
        for job in pinned:
            flags[:, self.grid.column(job)] = False
        for pin in self.pins:
            flags[self.grid.row(pin.barrel), self.grid.column(pin.job)] = True
        return flags

    @cached_property
    def sole_stops(self) -> tuple[SoleStop, ...]:
        """The criteria each of which stops every barrel, with what would remain without it.

        Only those without which a barrel would stand better than the best does now.
        """
        if not self.judged.any():
            return ()
        now, found, grid = self.codes(self.stops), [], self.grid
        stopped = np.asarray((self.stops > 0) & self.in_set)
        every = np.asarray(stopped[:, self.judged].any(axis=2)).all(axis=1)
        for place in np.flatnonzero(every).tolist():
            verdicts, without = grid.verdicts[place], self.codes(np.delete(self.stops, place, 0))
            if without[self.judged].max() > now[self.judged].max():
                limits = tuple(limits_crossed(verdicts, grid.table.columns, stopped[place]))
                found.append(SoleStop(verdicts.criterion.key, limits, self._named(without)))
        return tuple(found)

    @cached_property
    def stops(self) -> Stops:
        """What stops each cell (bits), over (criteria, barrels, jobs)."""
        return stops_of(self.grid)

    @cached_property
    def judged(self) -> Flags:
        """Barrels that have a gate: of a kind the method knows, with a job, over (barrels)."""
        return np.asarray(self._applies & self.in_set.any(axis=1))

    def codes(self, stops: Stops) -> NDArray[np.int8]:
        """Return the gate of each barrel if these were the stops: places in GATES."""
        bits = np.where(self.in_set, np.bitwise_or.reduce(stops), np.uint8(0))
        shut = ((bits & SHUTS) > 0).any(axis=1)
        waits = ((bits & WAITS) > 0).any(axis=1) | self.grid.unsettled[:, 0] | self._together
        return np.where(shut, SHUT, np.where(waits, WAIT, FREE)).astype(np.int8)

    def _named(self, codes: NDArray[np.int8]) -> Mapping[str, GateState]:
        """Return these gates by barrel, those that have one."""
        gates = zip(self.grid.barrel_ids, codes, self.judged, strict=True)
        return {barrel: _gate_of(code) for barrel, code, judged in gates if judged}

    @cached_property
    def _applies(self) -> Flags:
        return np.asarray(self.grid.table.applies[:, 0])

    @cached_property
    def _together(self) -> Flags:
        """Barrels on one copy of which two jobs are pinned that must never meet."""
        flags = np.zeros(len(self.grid.barrel_ids), dtype=np.bool_)
        for barrel in {pin.barrel for pin in self.pins}:
            jobs = {pin.job for pin in self.pins if pin.barrel == barrel}
            flags[self.grid.row(barrel)] = any(self._meeting(barrel, jobs))
        return flags

    def _meeting(self, barrel: str, jobs: set[str]) -> Iterator[Pair]:
        """Yield the pairs among these jobs that are pinned to one copy and must never meet."""
        copies = [(p.job, p.copy_number) for p in self.pins if p.barrel == barrel]
        together = {
            frozenset((one, other))
            for (one, copy), (other, its) in combinations(copies, 2)
            if copy == its and one in jobs and other in jobs
        }
        return (pair for pair in self.incompatible if frozenset(pair) in together)

    def _gate(self, row: int, columns: NDArray[np.intp]) -> Gate:
        grid, barrel = self.grid, self.grid.barrel_ids[row]
        jobs = tuple(grid.job_ids[column] for column in columns.tolist())
        judged = bool(jobs) and bool(self._applies[row])
        return _gate_over(
            barrel,
            jobs,
            self.stops[:, row, columns].tobytes() if judged else None,
            self.grid.opens[:, row, columns].tobytes(),
            bool(grid.unsettled[row, 0]),
            tuple(self._meeting(barrel, set(jobs))),
            tuple(self.disputes[row].items()),
            self.doubts[row],
        )


@lru_cache(maxsize=_MOST_KEPT)
def _gate_over(
    barrel: str,
    jobs: tuple[str, ...],
    stops: bytes | None,
    opens: bytes,
    unsettled: bool,
    meeting: tuple[Pair, ...],
    disputes: tuple[tuple[str, tuple[str, ...]], ...],
    doubts: tuple[str, ...],
) -> Gate:
    """Return the gate that these make: after an edit most are as they were.

    `stops` are the bits over (criteria, jobs), None where the barrel is not judged; `opens` is
    where nothing is assessed, alike.
    """
    reasons: tuple[GateReason, ...] = ()
    if stops is not None:
        bits = np.frombuffer(stops, dtype=np.uint8).reshape(len(CRITERIA), len(jobs)).T
        reasons = tuple(_reasons(jobs, bits, unsettled, meeting, dict(disputes)))
    open_ = np.frombuffer(opens, dtype=np.bool_).reshape(len(CRITERIA), len(jobs))
    return Gate(
        barrel=barrel,
        state=None if stops is None else _state(reasons),
        jobs=jobs,
        reasons=reasons,
        open_criteria=tuple(CRITERIA[at] for at in np.flatnonzero(open_.any(axis=1))),
        open_cells=int(open_.any(axis=0).sum()),
        not_assessed=int(open_.sum()),
        doubts=doubts,
    )


def _reasons(
    jobs: tuple[str, ...],
    stopped: Stops,
    unsettled: bool,
    meeting: tuple[Pair, ...],
    disputes: Disputes,
) -> Iterator[GateReason]:
    """Yield what shuts the gate, job by job; where nothing does, what keeps it waiting."""
    shut = stopped & SHUTS
    if shut.any():
        yield from _stopped(jobs, shut, disputes)
        return
    yield from _stopped(jobs, stopped, disputes)
    if unsettled:
        yield GateReason("unsettled", claim="volume_geometry")
    for one, other in meeting:
        yield GateReason("incompatible", job=one, other_job=other)


def _stopped(jobs: tuple[str, ...], stopped: Stops, disputes: Disputes) -> Iterator[GateReason]:
    """Yield the reasons that bits over (jobs, criteria) stand for."""
    at, places = np.nonzero(stopped)
    of_jobs = (jobs[column] for column in at.tolist())
    keys = (CRITERIA[place] for place in places.tolist())
    for job, key, bits in zip(of_jobs, keys, stopped[at, places].tolist(), strict=True):
        for stop in stops_in(bits):
            shuts = bool(STOP[stop] & SHUTS)
            claims = disputes[key] if stop == "disputed" else (None,)
            for claim in claims:
                yield GateReason(KINDS[stop], key, job, claim, shuts=shuts)


def _state(reasons: Sequence[GateReason]) -> GateState:
    """Return the state that a gate's reasons make."""
    if not reasons:
        return "no_objection"
    return "shut" if reasons[0].shuts else "waits"


def _gate_of(code: np.int8) -> GateState:
    return GATES[int(code)]
