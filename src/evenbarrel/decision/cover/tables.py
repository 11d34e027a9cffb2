"""Covers of few jobs: what each set of machines makes of every choice of jobs, all of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import comb

import numpy as np
from numpy.typing import NDArray

from evenbarrel.decision.cover.problem import CoverProblem, Found, Whole, found
from evenbarrel.decision.programme import Flags
from evenbarrel.trade.formula import Array

MOST_JOBS = 9
"""Of more jobs there are too many choices to look at each."""
MOST_NUMBERS = 4_000_000
"""So many numbers, sets times choices of jobs, are kept at most."""

Machines = tuple[int, ...]
"""The barrels of a set, one for each machine, the plant's own first."""


@dataclass(frozen=True)
class SetTable:
    """Sets of machines and the least running cost of each choice of jobs, infinite: impossible.

    `least` is over (sets, choices); a choice is a number whose bits are the jobs.
    """

    machines: tuple[Machines, ...]
    least: Array


class CoverTables:
    """Every choice of jobs on every set of machines of one problem."""

    def __init__(self, problem: CoverProblem) -> None:
        """Take a problem that `serve` says can be looked at whole."""
        self.problem = problem

    @staticmethod
    def serve(problem: CoverProblem) -> bool:
        """Say whether a problem is small, and no job needs two machines or a certain copy."""
        long = problem.allowed & (problem.hours > problem.limit[:, None] * (1.0 + 1e-9))
        return problem.jobs <= MOST_JOBS and not long.any() and not problem.pins

    @cached_property
    def members(self) -> Flags:
        """Which jobs are in which choice, over (choices, jobs)."""
        choices = np.arange(1 << self.problem.jobs)[:, None]
        return np.asarray((choices >> np.arange(self.problem.jobs)) & 1, dtype=np.bool_)

    @cached_property
    def weight(self) -> Array:
        """The hours of each choice."""
        return np.asarray(self.members @ self.problem.weight, dtype=np.float64)

    @cached_property
    def count(self) -> Whole:
        """The jobs of each choice."""
        return np.asarray(self.members.sum(axis=1), dtype=np.intp)

    @cached_property
    def alone(self) -> Array:
        """The running cost of each choice on one machine, over (barrels, choices)."""
        problem, members = self.problem, self.members
        may = ~((~problem.allowed)[:, None, :] & members).any(axis=2)
        for one, other in problem.pairs:
            may &= ~(members[:, one] & members[:, other])
        for years in np.unique(problem.running, axis=0):
            hours = (problem.hours * years) @ members.T
            may &= hours <= problem.limit[:, None] * (1.0 + 1e-9)
        return np.where(may, problem.cost @ members.T, np.inf)

    @cached_property
    def _splits(self) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]:
        """Every choice split in two: the one part, the other, and where each choice begins."""
        parts: list[int] = []
        starts = []
        whole = []
        for choice in range(1 << self.problem.jobs):
            starts.append(len(parts))
            part = choice
            while True:
                parts.append(part)
                whole.append(choice)
                if part == 0:
                    break
                part = (part - 1) & choice
        one = np.array(parts, dtype=np.intp)
        return one, np.array(whole, dtype=np.intp) ^ one, np.array(starts, dtype=np.intp)

    def _with(self, least: Array, barrels: Sequence[int]) -> Array:
        """Return the tables of a set with one more machine, for each of some barrels."""
        one, other, starts = self._splits
        both = least[other] + self.alone[list(barrels)][:, one]
        return np.minimum.reduceat(both, starts, axis=1)

    def sets(self, bought: Sequence[int], own: Sequence[Machines], most: int) -> SetTable | None:
        """Return every set of at most so many bought machines beside some of the plant's own.

        None where there are too many.
        """
        count = comb(len(bought) + most, most) * len(own)
        if count << self.problem.jobs > MOST_NUMBERS:
            return None
        nothing = np.where(np.arange(1 << self.problem.jobs) == 0, 0.0, np.inf)
        level: list[tuple[Machines, int, Array]] = []
        for kept in own:
            table = nothing
            for barrel in kept:
                table = self._with(table, [barrel])[0]
            level.append((kept, 0, table))
        every = list(level)
        for _ in range(most):
            level = [
                ((*machines, bought[first + at]), first + at, table)
                for machines, first, before in level
                for at, table in enumerate(self._with(before, bought[first:]) if bought else [])
            ]
            every += level
        return SetTable(tuple(m for m, _, _ in every), np.array([t for _, _, t in every]))

    def fewest(self, bought: Sequence[int], own: Sequence[Machines], most: int) -> int | None:
        """Return the fewest bought machines that run every job; None where `most` do not."""
        nothing = np.where(np.arange(1 << self.problem.jobs) == 0, 0.0, np.inf)
        possible = np.where(np.isfinite(self.alone), 0.0, np.inf)
        one, other, starts = self._splits
        reached = nothing
        for kept in own:
            table = nothing
            for barrel in kept:
                table = np.minimum.reduceat(table[other] + possible[barrel][one], starts)
            reached = np.minimum(reached, table)
        any_bought = possible[list(bought)].min(axis=0, initial=np.inf)
        for machines in range(most + 1):
            if reached[-1] == 0.0:
                return machines
            reached = np.minimum.reduceat(reached[other] + any_bought[one], starts)
        return None

    def found(self, machines: Machines, choice: int) -> Found:
        """Return a set that runs a choice of jobs for least, each job on its earliest machine."""
        barrel_of = [-1] * self.problem.jobs
        for place in range(len(machines) - 1, -1, -1):
            part = self._part(machines[: place + 1], choice)
            for job in self._jobs(part):
                barrel_of[job] = machines[place]
            choice ^= part
        copies = np.bincount(machines, minlength=self.problem.barrels).tolist()
        return found(self.problem, copies, barrel_of)

    def _part(self, machines: Machines, choice: int) -> int:
        """Return what the last of some machines runs of a choice: as little as costs no more."""
        before = np.where(np.arange(1 << self.problem.jobs) == 0, 0.0, np.inf)
        for barrel in machines[:-1]:
            before = self._with(before, [barrel])[0]
        one, other, starts = self._splits
        end = starts[choice + 1] if choice + 1 < len(starts) else len(one)
        here = slice(int(starts[choice]), int(end))
        costs = self.alone[machines[-1]][one[here]] + before[other[here]]
        best = costs.min()
        near = np.flatnonzero(costs <= best + 1e-9 * abs(best))
        return int(one[here][near[-1]])

    def _jobs(self, choice: int) -> Iterator[int]:
        return (job for job in range(self.problem.jobs) if choice >> job & 1)
