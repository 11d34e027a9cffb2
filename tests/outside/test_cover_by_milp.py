"""Covers of random programmes against scipy.optimize.milp, by a model of our own beside it."""

from __future__ import annotations

import importlib.util
import os
from pathlib import Path
from time import monotonic

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from evenbarrel.decision.cover.problem import BAND, CoverProblem
from evenbarrel.decision.cover.search import CoverSearch

PROGRAMMES = int(os.environ.get("EVENBARREL_PROGRAMMES", "200"))

_FILE = Path(__file__).parents[1] / "decision" / "programmes.py"
_spec = importlib.util.spec_from_file_location("programmes", _FILE)
programmes = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(programmes)


class Judge:
    """Every machine a column, every job on every machine a column: no share of a job."""

    def __init__(self, problem: CoverProblem, most: int) -> None:
        self.problem = problem
        own = {b: problem.owned.get(int(problem.unit[b]), most) for b in range(problem.barrels)}
        self.machines = [b for b in own for _ in range(own[b])]
        count, jobs = len(self.machines), problem.jobs
        self.bids = sorted(problem.once)
        self.width = count * (1 + jobs) + len(self.bids)
        self.rows: list[tuple[np.ndarray, float, float]] = []
        upper = np.ones(self.width)
        for at, barrel in enumerate(self.machines):
            for job in range(jobs):
                upper[self.on(at, job)] = float(problem.allowed[barrel, job])
                self.row({self.on(at, job): 1.0, at: -1.0}, -np.inf, 0.0)
            for year in problem.running:
                if np.isfinite(problem.limit[barrel]):
                    load = {
                        self.on(at, j): problem.hours[barrel, j] / problem.limit[barrel]
                        for j in np.flatnonzero(year)
                    }
                    self.row(load, -np.inf, 1.0)
            for one, other in problem.pairs:
                self.row({self.on(at, one): 1.0, self.on(at, other): 1.0}, -np.inf, 1.0)
            if problem.bought[barrel]:
                paid = count * (1 + jobs) + self.bids.index(int(problem.bid[barrel]))
                self.row({at: 1.0, paid: -1.0}, -np.inf, 0.0)
        for job in range(jobs):
            self.row({self.on(at, job): 1.0 for at in range(count)}, 0.0, 1.0)
        self.row({m: 1.0 for m, b in enumerate(self.machines) if problem.bought[b]}, 0.0, most)
        for unit, copies in problem.owned.items():
            own_of = {m: 1.0 for m, b in enumerate(self.machines) if problem.unit[b] == unit}
            self.row(own_of, 0.0, copies)
        self.bounds = Bounds(np.zeros(self.width), upper)

    def on(self, machine: int, job: int) -> int:
        return len(self.machines) + machine * self.problem.jobs + job

    def row(self, terms: dict[int, float], low: float, high: float) -> None:
        row = np.zeros(self.width)
        row[list(terms)] = list(terms.values())
        self.rows.append((row, low, high))

    def of_jobs(self, values: np.ndarray) -> np.ndarray:
        costs = np.zeros(self.width)
        for machine in range(len(self.machines)):
            for job in range(self.problem.jobs):
                costs[self.on(machine, job)] = values[job]
        return costs

    def least(self, costs: np.ndarray) -> float:
        matrix, low, high = zip(*self.rows, strict=True)
        unit = max(np.abs(costs).max(), 1e-300)
        found = milp(
            costs / unit,
            integrality=np.ones(self.width),
            bounds=self.bounds,
            constraints=LinearConstraint(np.array(matrix), np.array(low), np.array(high)),
            options={"mip_rel_gap": 0.0},
        )
        assert found.success, found.message
        return float(found.fun) * unit

    def best(self) -> tuple[float, int, float]:
        """Return hours, jobs and cost of the best set of priced machines."""
        problem = self.problem
        hours = self.of_jobs(problem.weight)
        weight = -self.least(-hours)
        self.rows.append(
            (hours / max(weight, 1.0), (weight * (1 - BAND)) / max(weight, 1.0), np.inf)
        )
        jobs = self.of_jobs(np.ones(problem.jobs))
        # All hours are those of all jobs: another programme has nothing left to find.
        whole = weight >= problem.weight.sum() * (1 - 1e-9)
        count = problem.jobs if whole else round(-self.least(-jobs))
        self.rows.append((jobs, count - 0.5, np.inf))
        costs = np.zeros(self.width)
        for at, barrel in enumerate(self.machines):
            costs[at] = problem.price[barrel]
            for job in range(problem.jobs):
                costs[self.on(at, job)] = problem.cost[barrel, job]
        costs[len(self.machines) * (1 + problem.jobs) :] = [problem.once[b] for b in self.bids]
        return weight, count, self.least(costs)


def test_the_best_set_is_that_of_another_model_and_solver_call():
    """Programmes of 5 barrels and 5 jobs, each of which one machine could run whole."""
    for seed in range(PROGRAMMES):
        one = programmes.programme(seed, 5, 5)
        short = one.allowed & (one.hours <= one.limit[:, None])
        problem = programmes.programme(seed, 5, 5, allowed=short, unpriced=np.zeros(5, bool))
        most = 1 + seed % 3
        weight, count, cost = Judge(problem, most).best()
        found = CoverSearch(problem, monotonic() + 60.0).best(most).best
        assert found.weight == pytest.approx(weight, rel=BAND), seed
        assert found.covered == count, seed
        assert found.cost == pytest.approx(cost, rel=1e-5), seed
