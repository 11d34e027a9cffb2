"""Which machines cover a programme best: numbers in, sets of machines out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from evenbarrel.decision.cover.copies import Load, Part, fits_at_once, packed, pairs_among
from evenbarrel.decision.programme import Flags
from evenbarrel.trade.formula import Array

BAND = 1e-3
"""Hours covered count as different from a thousandth of them on."""
Whole = NDArray[np.intp]


@dataclass(frozen=True)
class CoverProblem:
    """What may run where, how long it takes and what it costs.

    Arrays are over (barrels, jobs) but `planned`, `moulds` over (jobs), `running` over (years,
    jobs), and `limit`, `price`, `unpriced`, `unit`, `bid` over (barrels). `hours` are those on
    each barrel and `planned` those at the planned cycle [h/year]; `limit` is infinite where nobody
    states one. `price` is a machine's with its own lines, `once` what is paid once for all of a
    bid, `cost` what a job costs on a barrel. `owned` gives the copies the plant has of a unit.
    """

    hours: Array
    planned: Array
    allowed: Flags
    running: Flags
    limit: Array
    moulds: Array
    price: Array
    unpriced: Flags
    cost: Array
    unit: Whole
    bid: Whole
    once: Mapping[int, float] = field(default_factory=dict)
    owned: Mapping[int, int] = field(default_factory=dict)
    pairs: tuple[tuple[int, int], ...] = ()
    pins: Mapping[tuple[int, int], int] = field(default_factory=dict)

    @property
    def barrels(self) -> int:
        """How many barrels there are."""
        return len(self.price)

    @property
    def jobs(self) -> int:
        """How many jobs there are."""
        return len(self.planned)

    @cached_property
    def bought(self) -> Flags:
        """Barrels that are bought with their machines, over (barrels)."""
        return np.array([int(u) not in self.owned for u in self.unit], dtype=np.bool_)

    @cached_property
    def weight(self) -> Array:
        """What covering each job counts: its planned hours; the same for all where none has any."""
        return self.planned if self.planned.sum() > 0 else np.ones(self.jobs)

    def packing(self, barrel: int, jobs: Sequence[int]) -> tuple[int, tuple[Part, ...]] | None:
        """Return the fewest copies of a barrel that run some jobs, and which runs what.

        Jobs are named by their places among `jobs`. None where no number of copies does.
        """
        return packed(self._load(barrel, sorted(jobs)))

    def fits_at_once(self, barrel: int, jobs: Sequence[int], copies: int) -> bool:
        """Say whether so many copies of a barrel take some jobs without any search."""
        return fits_at_once(self._load(barrel, sorted(jobs)), copies)

    @cached_property
    def years_apart(self) -> int:
        """Of how many years each job runs in one: so many times the hours there are, at most."""
        left, years = np.ones(self.jobs, dtype=np.bool_), 0
        while left.any() and years < len(self.running):
            counts = (self.running & left).sum(axis=1)
            left = left & ~self.running[int(counts.argmax())]
            years += 1
        return max(years, 1)

    def _load(self, barrel: int, jobs: list[int]) -> Load:
        return Load(
            self.hours[barrel, jobs],
            self.running[:, jobs],
            float(self.limit[barrel]),
            self.moulds[jobs],
            pairs_among(jobs, self.pairs),
            [self.pins.get((job, barrel), 0) for job in jobs],
        )


@dataclass(frozen=True)
class Found:
    """One set of machines: copies of each barrel, each job's barrel (-1: none), what it costs.

    `gap` tells how much cheaper, or how much fuller, a set might still be that was not looked at;
    0 where there is none.
    """

    copies: tuple[int, ...]
    barrel_of: tuple[int, ...]
    weight: float
    cost: float
    gap: float = 0.0

    @property
    def covered(self) -> int:
        """How many jobs run."""
        return sum(barrel >= 0 for barrel in self.barrel_of)

    def jobs_of(self, barrel: int) -> list[int]:
        """Return the jobs that a barrel runs."""
        return [job for job, own in enumerate(self.barrel_of) if own == barrel]


def found(
    problem: CoverProblem, copies: Sequence[int], barrel_of: Sequence[int], gap: float = 0.0
) -> Found:
    """Return a set of machines with what it covers and costs."""
    jobs = [job for job, barrel in enumerate(barrel_of) if barrel >= 0]
    bids = {int(problem.bid[b]) for b, n in enumerate(copies) if n and problem.bought[b]}
    cost = float(np.dot(copies, problem.price)) + sum(problem.once.get(b, 0.0) for b in bids)
    cost += sum(float(problem.cost[barrel_of[job], job]) for job in jobs)
    return Found(
        tuple(int(n) for n in copies),
        tuple(int(b) for b in barrel_of),
        float(problem.weight[jobs].sum()),
        cost,
        gap,
    )
