"""The jobs over the years: shots, when each runs, the hours it takes on each barrel."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.gate_results import GATES
from evenbarrel.appraisal.verdicts.states import NOT_STATED
from evenbarrel.appraisal.verdicts.stops import STOP
from evenbarrel.decision.basis import HOUR, Basis
from evenbarrel.model.datum import si_of
from evenbarrel.model.job import Job
from evenbarrel.model.limits import CRITERIA
from evenbarrel.trade import recovery
from evenbarrel.trade.formula import Array
from evenbarrel.trade.ownership import hours

Flags = NDArray[np.bool_]
_RECOVERY = CRITERIA.index("recovery")
_NO_OBJECTION = GATES.index("no_objection")


def _numbers(values: Iterator[float | None]) -> Array:
    return np.array([np.nan if v is None else float(v) for v in values], dtype=np.float64)


class Programme:
    """What the planned jobs take; arrays are over (jobs) or (candidates, jobs), nan: not stated."""

    def __init__(self, basis: Basis) -> None:
        """Take what the hours are computed from."""
        self.basis = basis
        self.jobs = basis.evaluation.jobs
        self.rows = np.array([c.row for c in basis.candidates], dtype=np.intp)

    def _of_jobs(self, name: str) -> Array:
        return _numbers(si_of(job, name) for job in self.jobs)

    @cached_property
    def cycle(self) -> Array:
        """Planned cycle [s]."""
        return self._of_jobs("cycle_time")

    @cached_property
    def cavities(self) -> Array:
        """Parts of a shot; 1 where only the whole shot's mass is stated."""
        return _numbers(
            1 if job.cavities is None and job.shot_mass is not None else job.cavities
            for job in self.jobs
        )

    @cached_property
    def batches(self) -> Array:
        """How often a job is set up in a year."""
        return _numbers(job.batches_per_year for job in self.jobs)

    @cached_property
    def moulds(self) -> Array:
        """Moulds of a job: it runs on no more machines at a time."""
        return _numbers(job.moulds or 1 for job in self.jobs)

    @cached_property
    def change_time(self) -> float:
        """Changeover time [s], nan if not stated."""
        stated = si_of(self.basis.evaluation.cost, "change_time")
        return np.nan if stated is None else stated

    @cached_property
    def by_quantity(self) -> Flags:
        """Jobs whose shots and hours follow from parts a year."""
        quantity = _numbers(job.annual_quantity for job in self.jobs)
        return np.asarray(~np.isnan(hours.shots_a_year(quantity, self.cavities)))

    @cached_property
    def hours_stated(self) -> Array:
        """Hours a year as a person states them, stops included [h]."""
        return self._of_jobs("hours_per_year") / HOUR

    @cached_property
    def shots(self) -> Array:
        """Shots in a year."""
        quantity = _numbers(job.annual_quantity for job in self.jobs)
        by_quantity = hours.shots_a_year(quantity, self.cavities)
        by_hours = hours.shots_in_hours(
            self.hours_stated, np.full(len(self.jobs), self.basis.oee), self.cycle
        )
        return np.where(self.by_quantity, by_quantity, by_hours)

    @cached_property
    def shot_mass(self) -> Array:
        """Mass of the nominal shot [kg]."""
        nominal = (job.nominal for job in self.basis.appraisal.jobs)
        return _numbers(None if shot is None else shot.mass.nominal for shot in nominal)

    @cached_property
    def hot_runner(self) -> Array:
        """Melt in each job's hot runner [m3]."""
        inputs = self.basis.appraisal.grid.table.inputs
        return np.asarray(inputs.hot_runner_volume.nominal[0, : len(self.jobs)])

    @cached_property
    def melt_held(self) -> Array:
        """Melt in each candidate's barrel [m3], over (candidates)."""
        inputs = self.basis.appraisal.grid.table.inputs
        return np.asarray(inputs.melt_inventory.nominal[self.rows, 0])

    @cached_property
    def stated_seconds_lost(self) -> Array:
        """What each cycle is longer for slow recovery [s], nan where recovery is not stated."""
        grid = self.basis.appraisal.grid
        inputs = grid.table.inputs
        jobs = len(self.jobs)
        rate = inputs.rate_in_resin.nominal[self.rows, :jobs]
        windows = (job.window for job in self.basis.appraisal.jobs)
        longest = _numbers(None if window is None else window.longest for window in windows)
        time = recovery.recovery_time(self.shot_mass[None, :], rate)
        stated = grid.verdicts[_RECOVERY].state[self.rows] != NOT_STATED
        lost = recovery.seconds_lost(time, np.broadcast_to(longest, time.shape))
        return np.where(stated & np.isfinite(lost), lost, np.nan)

    @cached_property
    def worst_seconds_lost(self) -> Array:
        """The most that a barrel which may run the job states [s], nan where none does."""
        worst = np.where(self.not_outside, self.stated_seconds_lost, np.nan)
        known = ~np.isnan(worst)
        most = np.max(np.where(known, worst, -np.inf), axis=0, initial=-np.inf)
        return np.where(known.any(axis=0), most, np.nan)

    @cached_property
    def lost_is_ours(self) -> Flags:
        """Where the seconds lost are the worst of others, because the barrel's are not stated."""
        return np.asarray(np.isnan(self.stated_seconds_lost) & ~np.isnan(self.worst_seconds_lost))

    @cached_property
    def seconds_lost(self) -> Array:
        """What each cycle is longer [s]: as stated, else the worst of others, else 0."""
        stated = self.stated_seconds_lost
        return np.nan_to_num(np.where(np.isnan(stated), self.worst_seconds_lost, stated))

    @cached_property
    def hours(self) -> Array:
        """Hours that each job takes in a year on each barrel, nan where not stated."""
        return self._hours(self.seconds_lost)

    @cached_property
    def planned_hours(self) -> Array:
        """Hours that each job takes in a year at its planned cycle, over (jobs)."""
        planned: Array = self._hours(np.zeros((1, len(self.jobs))))[0]
        return planned

    def _hours(self, lost: Array) -> Array:
        oee = np.full_like(lost, self.basis.oee)
        changes = np.nan_to_num(self.batches * self.change_time)
        by_quantity = hours.hours_a_year(
            self.shots, self.cycle, lost, oee, changes, np.ones_like(changes)
        )
        cycle = np.where(np.isnan(self.cycle), np.inf, self.cycle)
        stretched = hours.stretched_hours(self.hours_stated, cycle, lost)
        by_hours = np.where(np.isinf(cycle), self.hours_stated, stretched)
        from_quantity = self.by_quantity & ~np.isnan(self.cycle)
        return np.where(from_quantity, by_quantity, by_hours)

    @cached_property
    def unlimited(self) -> Flags:
        """Jobs whose hours nobody can tell: they count as none, and are named."""
        return np.isnan(self.planned_hours)

    def same_cells(self, before: Programme) -> Flags:
        """Return the cells in which a job takes what it took before, over (candidates, jobs).

        On a basis that is as before, and of as many jobs.
        """
        pairs = zip(self.jobs, before.jobs, strict=True)
        same = np.array([one == other for one, other in pairs], dtype=np.bool_)
        for now, then in (
            (self.shot_mass, before.shot_mass),
            (self.hot_runner, before.hot_runner),
            (self.melt_held[:, None], before.melt_held[:, None]),
            (self.seconds_lost, before.seconds_lost),
            (self.stated_seconds_lost, before.stated_seconds_lost),
            (self.hours, before.hours),
        ):
            same = same & ((now == then) | (np.isnan(now) & np.isnan(then)))
        return np.asarray(same & (self.lost_is_ours == before.lost_is_ours))

    # When each job runs ------------------------------------------------------------------------

    @cached_property
    def first(self) -> Array:
        """The first year in which each job runs, counted from `as_of`, 1 at least."""
        return np.maximum(self._counted("start_year", 1.0), 1.0)

    @cached_property
    def last(self) -> Array:
        """The last year in which each job runs, counted from `as_of`, the horizon at most."""
        horizon = float(self.basis.years or 1)
        return np.minimum(self._counted("end_year", horizon), horizon)

    def _counted(self, name: str, otherwise: float) -> Array:
        as_of = self.basis.evaluation.as_of
        years = (getattr(job, name) for job in self.jobs)
        return _numbers(
            otherwise if year is None or as_of is None else year - as_of.year for year in years
        )

    @property
    def undated(self) -> bool:
        """Whether jobs start or end in years that cannot be counted for want of `as_of`."""
        return self.basis.evaluation.as_of is None and any(
            job.start_year is not None or job.end_year is not None for job in self.jobs
        )

    @cached_property
    def running(self) -> Flags:
        """Which job runs in which year of the horizon, over (years, jobs); one year without it."""
        years = np.arange(1, (self.basis.years or 1) + 1)[:, None]
        return np.asarray((years >= self.first) & (years <= self.last))

    def calendar_year(self, place: int) -> int | None:
        """Return the calendar year at a place of the horizon, None without `as_of`."""
        as_of = self.basis.evaluation.as_of
        return None if as_of is None else as_of.year + place + 1

    def row_of(self, barrel: str) -> int:
        """Return the row of a candidate; raises KeyError."""
        return self._rows[barrel]

    @cached_property
    def _rows(self) -> Mapping[str, int]:
        return {candidate.id: row for row, candidate in enumerate(self.basis.candidates)}

    def by_year(self, row: int, shares: Iterable[tuple[int, float]]) -> Array:
        """Return the hours that shares of jobs take on a candidate, over (years).

        A job whose hours are not stated counts as none.
        """
        year = np.zeros(len(self.running))
        for job, share in shares:
            year += share * np.nan_to_num(self.hours[row, job]) * self.running[:, job]
        return year

    # Which job may run where -------------------------------------------------------------------

    @cached_property
    def stop_bits(self) -> NDArray[np.uint8]:
        """What stops each cell, as bits of `verdicts.stops`."""
        whole = np.bitwise_or.reduce(self.basis.appraisal.gates.stops)
        return np.asarray(whole[self.rows])

    @cached_property
    def not_outside(self) -> Flags:
        """Cells that are not outside, or whose deviation a person has accepted."""
        outside = STOP["outside"] | STOP["refused"] | STOP["rule"]
        applies = self.basis.appraisal.grid.table.applies[self.rows]
        return np.asarray(((self.stop_bits & outside) == 0) & applies)

    @cached_property
    def without_objection(self) -> Flags:
        """Cells that are known to run: nothing stands against them, nor is anything waited for."""
        applies = self.basis.appraisal.grid.table.applies[self.rows]
        return np.asarray((self.basis.appraisal.gates.cells[self.rows] >= _NO_OBJECTION) & applies)

    @cached_property
    def undecided(self) -> Flags:
        """Cells that are not outside and yet wait for something: whether they fit is undecided."""
        return np.asarray(self.not_outside & ~self.without_objection)

    @cached_property
    def in_set(self) -> Flags:
        """Cells of jobs that no pin gives to other barrels alone."""
        return np.asarray(self.basis.appraisal.gates.in_set[self.rows])

    def beyond_moulds(self, row: int) -> Flags:
        """Return the jobs that need more moulds than there are to run on a candidate."""
        limit = self.basis.hours_available(self.basis.candidates[row].unit)
        if limit is None:
            return np.zeros(len(self.jobs), dtype=np.bool_)
        hours = np.nan_to_num(self.hours[row])
        return np.asarray(hours > self.moulds * limit * (1.0 + 1e-9))

    def job(self, column: int) -> Job:
        """Return a job as it was entered."""
        return self.jobs[column]
