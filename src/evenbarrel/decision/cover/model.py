"""One cover as a programme in whole numbers: which machines are used, and which runs a job."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from math import inf, isinf

import numpy as np

from evenbarrel.decision.cover.problem import BAND, CoverProblem, Found, found
from evenbarrel.decision.cover.whole_numbers import ROUNDING, Solution, WholeNumbers

Machine = tuple[int, int]
"""A barrel and which copy of it, counted from 1."""


class CoverModel:
    """A cover with some of the barrels; `fixed` gives the copies of each, else they are chosen.

    Columns: whether each machine is used, whether each job runs on it, what is paid once for a
    bid, and for a job too long for one machine the share of it that runs on each.
    """

    def __init__(
        self,
        problem: CoverProblem,
        barrels: Sequence[int],
        most_bought: int,
        fixed: Sequence[int] | None = None,
    ) -> None:
        """Take the barrels to choose among."""
        self.problem, self.fixed = problem, fixed is not None
        self.machines: list[Machine] = [
            (barrel, copy)
            for at, barrel in enumerate(barrels)
            for copy in range(1, (self._most(barrel, most_bought) if not fixed else fixed[at]) + 1)
        ]
        self._on = {m: at for at, m in enumerate(self.machines)}
        cells = [c for c in product(self.machines, range(problem.jobs)) if self._may(*c)]
        self._run = {cell: len(self.machines) + at for at, cell in enumerate(cells)}
        bids = sorted(bid for bid, amount in problem.once.items() if amount and not self.fixed)
        width = len(self.machines) + len(cells)
        self._paid = {bid: width + at for at, bid in enumerate(bids)}
        width += len(bids)
        long = [cell for cell in cells if self._long(*cell)]
        self._whole = {
            key: width + at
            for at, key in enumerate(dict.fromkeys((machine[0], job) for machine, job in long))
        }
        width += len(self._whole)
        self._share = {cell: width + at for at, cell in enumerate(long)}
        used = [1.0 if self.fixed else 0.0] * len(self.machines)
        width += len(long)
        self.program = WholeNumbers(
            [*used, *[0.0] * (width - len(used))], [1.0] * width, shares=len(long)
        )
        self._rows(most_bought)

    def _most(self, barrel: int, most_bought: int) -> int:
        own = self.problem.owned.get(int(self.problem.unit[barrel]))
        return most_bought if own is None else own

    def _may(self, machine: Machine, job: int) -> bool:
        barrel, copy = machine
        pin = self.problem.pins.get((job, barrel), 0)
        return bool(self.problem.allowed[barrel, job]) and pin in (0, copy)

    def _long(self, machine: Machine, job: int) -> bool:
        barrel, limit = machine[0], float(self.problem.limit[machine[0]])
        return bool(self.problem.hours[barrel, job] > limit * (1.0 + 1e-9))

    def _rows(self, most_bought: int) -> None:
        problem, row = self.problem, self.program.add_row
        if not self.fixed:
            bought = {at: 1.0 for (b, _), at in self._on.items() if problem.bought[b]}
            row(0.0, bought, float(most_bought))
            for unit, copies in problem.owned.items():
                own = {at: 1.0 for (b, _), at in self._on.items() if problem.unit[b] == unit}
                row(0.0, own, float(copies))
            for (barrel, copy), at in self._on.items():
                if copy > 1:
                    row(-inf, {at: 1.0, self._on[barrel, copy - 1]: -1.0}, 0.0)
        for job in range(problem.jobs):
            row(0.0, dict(self._covering(job)), 1.0)
        for cell, column in self._run.items():
            row(-inf, {column: 1.0, self._on[cell[0]]: -1.0}, 0.0)
        for (barrel, job), whole in self._whole.items():
            self._share_out(barrel, job, whole)
        for machine in self.machines:
            self._capacity(machine)
        for bid, column in self._paid.items():
            for (b, _), at in self._on.items():
                if problem.bid[b] == bid and problem.bought[b]:
                    row(-inf, {at: 1.0, column: -1.0}, 0.0)

    def _covering(self, job: int) -> Iterator[tuple[int, float]]:
        """Yield the columns one of which is 1 where a job is covered."""
        for cell, column in self._run.items():
            if cell[1] == job and cell not in self._share:
                yield column, 1.0
        for (_, long), column in self._whole.items():
            if long == job:
                yield column, 1.0

    def _share_out(self, barrel: int, job: int, whole: int) -> None:
        cells = [cell for cell in self._share if cell[0][0] == barrel and cell[1] == job]
        shares = {self._share[cell]: 1.0 for cell in cells}
        self.program.add_row(0.0, shares | {whole: -1.0}, 0.0)
        moulds = float(self.problem.moulds[job])
        self.program.add_row(0.0, {self._run[cell]: 1.0 for cell in cells}, moulds)
        for cell in cells:
            self.program.add_row(-inf, {self._share[cell]: 1.0, self._run[cell]: -1.0}, 0.0)

    def _capacity(self, machine: Machine) -> None:
        problem, barrel = self.problem, machine[0]
        limit = float(problem.limit[barrel])
        for years in np.unique(problem.running, axis=0):
            terms = {
                self._share.get((machine, j), self._run[machine, j]): problem.hours[barrel, j]
                for j in np.flatnonzero(years).tolist()
                if (machine, j) in self._run
            }
            if terms and not isinf(limit):
                # In shares of the hours there are, so that a tolerance means the same everywhere.
                shares = {column: float(hours) / limit for column, hours in terms.items()}
                self.program.add_row(-inf, shares | {self._on[machine]: -1.0}, ROUNDING)
        for one, other in problem.pairs:
            both = {self._run[machine, j]: 1.0 for j in (one, other) if (machine, j) in self._run}
            if len(both) == 2:
                self.program.add_row(-inf, both | {self._on[machine]: -1.0}, 0.0)

    def _jobs(self) -> Iterator[tuple[int, int, int]]:
        """Yield each column that covers a job, with its barrel and the job."""
        for cell, column in self._run.items():
            if cell not in self._share:
                yield column, cell[0][0], cell[1]
        for (barrel, job), column in self._whole.items():
            yield column, barrel, job

    def fullest(self, until: float) -> tuple[Found | None, float]:
        """Return the set that covers the most hours and with them the most jobs, and its gap.

        None where time runs out before one is found.
        """
        weight = self.problem.weight
        unit = max(float(weight.max(initial=0.0)), 1e-300)
        hours = {column: -float(weight[job]) / unit for column, _, job in self._jobs()}
        best = self._least(hours, until, BAND / 2.0)
        if best is None:
            return None, inf
        self.at_least(best[0].weight * (1.0 - BAND), 0)
        fuller = self._least({c: -1.0 + 1e-4 * h for c, h in hours.items()}, until)
        if fuller is None:
            return best[0], best[1].gap
        return fuller[0], max(0.0 if best[1].gap <= BAND else best[1].gap, fuller[1].gap)

    def at_least(self, weight: float, jobs: int) -> None:
        """Demand that so many hours, and so many jobs, are covered."""
        unit = max(float(self.problem.weight.max(initial=0.0)), 1e-300)
        hours = {column: float(self.problem.weight[j]) / unit for column, _, j in self._jobs()}
        if hours:
            self.program.add_row(weight / unit - 1e-9, hours, inf)
            self.program.add_row(float(jobs), dict.fromkeys(hours, 1.0), inf)

    def fewest(self, until: float) -> Found | None:
        """Return a set of the fewest bought machines; None where none keeps every row."""
        bought = {at: 1.0 for (b, _), at in self._on.items() if self.problem.bought[b]}
        best = self._least(bought, until)
        return None if best is None else best[0]

    def cheapest(self, until: float) -> Found | None:
        """Return the set of least cost, with its gap; None where none keeps every row."""
        problem = self.problem
        costs = {at: float(problem.price[b]) for (b, _), at in self._on.items()}
        costs |= {column: float(problem.cost[b, j]) for column, b, j in self._jobs()}
        costs |= {column: problem.once[bid] for bid, column in self._paid.items()}
        best = self._least(costs, until)
        if best is None:
            return None
        one, solution = best
        return found(problem, one.copies, one.barrel_of, solution.gap)

    def _least(
        self, factors: Mapping[int, float], until: float, near: float = 0.0
    ) -> tuple[Found, Solution] | None:
        solution = self.program.least(factors, until, near)
        if solution is None:
            return None
        copies, barrel_of = [0] * self.problem.barrels, [-1] * self.problem.jobs
        for (barrel, _), at in self._on.items():
            copies[barrel] += round(solution.values[at])
        for column, barrel, job in self._jobs():
            if solution.values[column] > 0.5:
                barrel_of[job] = barrel
        return found(self.problem, copies, barrel_of, solution.gap), solution
