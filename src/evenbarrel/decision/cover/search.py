"""The best set of so many machines: every set is bounded, the promising ones are solved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations_with_replacement, product
from math import comb, inf, prod
from time import monotonic

import numpy as np

from evenbarrel.decision.cover.model import CoverModel
from evenbarrel.decision.cover.problem import BAND, CoverProblem, Found, Whole, found
from evenbarrel.decision.cover.tables import CoverTables, Machines
from evenbarrel.decision.programme import Flags
from evenbarrel.trade.formula import Array

MOST_SETS = 60_000
"""More sets are not listed one by one; the solver then chooses among all of them at once."""
MOST_TRIED = 40
"""So many sets are tried before the solver is asked how full any can be."""
FEW = 8
"""So many jobs of one barrel are packed by search where they do not fit at once."""
ALIKE = 1e-9
"""Costs this near, as a share, are the same."""


@dataclass(frozen=True)
class _Sets:
    """Sets of machines with what bounds each; arrays are over the sets.

    `copies` is over (sets, barrels); `weight` and `jobs` are the most a set can cover, `cost` the
    least it can cost while covering as many jobs, were every hour free.
    """

    copies: Whole
    weight: Array
    jobs: Whole
    unpriced: Whole
    cost: Array
    cheapest: Whole
    """For each set and job the barrel that runs it for least; -1 for none."""

    def some(self, chosen: Flags | Whole) -> _Sets:
        return _Sets(
            self.copies[chosen],
            self.weight[chosen],
            self.jobs[chosen],
            self.unpriced[chosen],
            self.cost[chosen],
            self.cheapest[chosen],
        )


@dataclass(frozen=True)
class Best:
    """What the search found: the best set, the runner-up if any, and whether time ran out."""

    best: Found
    runner_up: Found | None


class CoverSearch:
    """Finds the best sets of at most so many bought machines."""

    def __init__(self, problem: CoverProblem, until: float) -> None:
        """Take the problem and the time by which to stop."""
        self.problem, self.until = problem, until

    @cached_property
    def useful(self) -> list[int]:
        """Barrels that may run any job."""
        return [b for b in range(self.problem.barrels) if self.problem.allowed[b].any()]

    def best(self, most: int, priced_only: bool = False) -> Best:
        """Return the best set of at most `most` bought machines, and its runner-up."""
        barrels = self._open(priced_only)
        if CoverTables.serve(self.problem):
            looked_at = self._looked_at(barrels, most)
            if looked_at is not None:
                return looked_at
        sets = self._sets(barrels, most)
        if sets is None:
            return Best(self._at_once(barrels, most), None)
        fullest, gap = self._fullest(sets, barrels, most)
        weight, jobs = fullest.weight, fullest.covered
        full = sets.some(
            (sets.weight >= weight * (1.0 - BAND) - ALIKE * max(weight, 1.0)) & (sets.jobs >= jobs)
        )
        one = self._cheapest(full, weight, jobs)
        if one is None:
            return Best(replace(fullest, gap=gap if gap > 0.0 else inf), None)
        other = self._cheapest(full.some(self._unlike(full, one)), weight, jobs)
        best = Found(one.copies, one.barrel_of, one.weight, one.cost, max(one.gap, gap))
        return Best(best, other)

    @cached_property
    def tables(self) -> CoverTables:
        """Every choice of jobs on every set, where there are few jobs."""
        return CoverTables(self.problem)

    def _bought_and_kept(self, barrels: Sequence[int]) -> tuple[list[int], list[Machines]]:
        """Return the barrels to buy, and the sets of the plant's own machines to keep."""
        bought = [b for b in barrels if self.problem.bought[b]]
        own = [b for b in barrels if not self.problem.bought[b]]
        kept = self._kept(own)
        return bought, [tuple(np.repeat(np.arange(len(row)), row).tolist()) for row in kept]

    def _looked_at(self, barrels: Sequence[int], most: int) -> Best | None:
        """Return the best set where every choice of jobs on every set can be looked at."""
        bought, kept = self._bought_and_kept(barrels)
        table = self.tables.sets(bought, kept, most)
        if table is None:
            return None
        tables, possible = self.tables, np.isfinite(table.least)
        weight = float(np.where(possible.any(axis=0), tables.weight, 0.0).max())
        full = possible & (tables.weight >= weight * (1.0 - BAND) - ALIKE * max(weight, 1.0))
        jobs = int(np.where(full.any(axis=0), tables.count, 0).max())
        least = np.where(full & (tables.count == jobs), table.least, np.inf)
        copies = np.array(
            [np.bincount(m, minlength=self.problem.barrels) for m in table.machines], dtype=np.intp
        )
        sets = replace(self._bounded(copies), cost=self._prices(copies) + least.min(axis=1))

        def preferred(among: Flags) -> Found | None:
            """Return the set to prefer among some of those that cover so much."""
            places = np.flatnonzero(among & np.isfinite(sets.cost))
            if not len(places):
                return None
            place = int(places[self._in_order(sets.some(places))[0]])
            return tables.found(table.machines[place], int(least[place].argmin()))

        best = preferred(np.ones(len(copies), dtype=np.bool_))
        assert best is not None, "buying nothing and running nothing is a set too"
        return Best(best, preferred(self._unlike(sets, best)))

    def _prices(self, copies: Whole) -> Array:
        """Return the price of each set, what is paid once for a bid once."""
        prices: Array = copies @ self.problem.price
        for bid, amount in self.problem.once.items():
            of_bid = (self.problem.bid == bid) & self.problem.bought
            prices = prices + (copies[:, of_bid] > 0).any(axis=1) * amount
        return prices

    def needed(self, most: int) -> int | None:
        """Return the fewest bought machines that run every job; None where `most` do not."""
        if not self.problem.jobs or not self.problem.allowed.any(axis=0).all():
            return 0 if not self.problem.jobs else None
        if CoverTables.serve(self.problem):
            return self.tables.fewest(*self._bought_and_kept(self.useful), most)
        model = CoverModel(self.problem, self.useful, most)
        model.at_least(0.0, self.problem.jobs)
        best = model.fewest(self.until)
        if best is None:
            return None
        return sum(n for n, own in zip(best.copies, self.problem.bought, strict=True) if own)

    def _open(self, priced_only: bool) -> list[int]:
        silent = self.problem.unpriced
        return [b for b in self.useful if not (priced_only and silent[b])]

    def _sets(self, barrels: Sequence[int], most: int) -> _Sets | None:
        """Return every set with its bounds; None where there are too many to list."""
        bought = [b for b in barrels if self.problem.bought[b]]
        own = [b for b in barrels if not self.problem.bought[b]]
        kept = list(self._kept(own)) if self._few_kept(own) else None
        if kept is None or comb(len(bought) + most, most) * len(kept) > MOST_SETS:
            return None
        width = self.problem.barrels
        rows = []
        for size in range(most + 1):
            for chosen in combinations_with_replacement(bought, size):
                row = np.zeros(width, dtype=np.intp)
                np.add.at(row, list(chosen), 1)
                rows += [row + also for also in kept]
        return self._bounded(np.array(rows, dtype=np.intp).reshape(-1, width))

    def _few_kept(self, own: Sequence[int]) -> bool:
        owned = self.problem.owned
        return prod(owned[int(self.problem.unit[b])] + 1 for b in own) <= MOST_SETS // 100

    def _kept(self, own: Sequence[int]) -> Iterator[Whole]:
        """Yield how many of the plant's own machines are used, with which barrels."""
        counts = [range(self.problem.owned[int(self.problem.unit[b])] + 1) for b in own]
        for chosen in product(*counts):
            row = np.zeros(self.problem.barrels, dtype=np.intp)
            row[list(own)] = chosen
            used: dict[int, int] = {}
            for barrel, copies in zip(own, chosen, strict=True):
                unit = int(self.problem.unit[barrel])
                used[unit] = used.get(unit, 0) + copies
            if all(copies <= self.problem.owned[unit] for unit, copies in used.items()):
                yield row

    def _bounded(self, copies: Whole) -> _Sets:
        problem = self.problem
        used = copies > 0
        count, jobs = len(copies), problem.jobs
        cheapest = np.full((count, jobs), -1, dtype=np.intp)
        least = np.full((count, jobs), np.inf)
        for barrel in range(problem.barrels):
            cost = np.where(problem.allowed[barrel], problem.cost[barrel], np.inf)
            better = used[:, barrel, None] & (cost[None, :] < least)
            least = np.where(better, cost[None, :], least)
            cheapest = np.where(better, barrel, cheapest)
        may = cheapest >= 0
        running = np.where(may, least, 0.0).sum(axis=1)
        silent = (copies * (problem.unpriced & problem.bought)).sum(axis=1)
        return _Sets(
            copies,
            np.minimum(may @ problem.weight, self._hours_there(copies)),
            may.sum(axis=1),
            silent,
            self._prices(copies) + running,
            cheapest,
        )

    def _hours_there(self, copies: Whole) -> Array:
        """Return for each set the hours that it can cover at most, whatever it runs.

        Unlimited where the jobs' planned hours are not what covering them counts.
        """
        if self.problem.weight is not self.problem.planned or np.isinf(self.problem.limit).any():
            return np.full(len(copies), inf)
        hours: Array = copies @ self.problem.limit * self.problem.years_apart * (1.0 + 1e-9)
        return hours

    def _fullest(self, sets: _Sets, barrels: Sequence[int], most: int) -> tuple[Found, float]:
        """Return a set that covers as much as any, and how much fuller one may be."""
        top = float(sets.weight.max(initial=0.0))
        full = sets.weight >= top * (1.0 - BAND)
        jobs = int(sets.jobs[full].max(initial=0))
        fullest = sets.some(full & (sets.jobs == jobs))
        for place in self._in_order(fullest)[:MOST_TRIED]:
            if self._fits(fullest, place):
                return self._put(fullest, place), 0.0
        filled = self._filled(fullest)
        one, gap = CoverModel(self.problem, barrels, most).fullest(self.until)
        if one is None or one.weight < filled.weight:
            one, gap = filled, _emptier(filled, top)
        return one, gap

    def _filled(self, sets: _Sets) -> Found:
        """Return a set that is filled job by job, the longest first, as far as there is room."""
        best = found(self.problem, [0] * self.problem.barrels, [-1] * self.problem.jobs)
        longest = np.argsort(-self.problem.weight, kind="stable").tolist()
        for place in self._in_order(sets)[:MOST_TRIED]:
            barrel_of = [-1] * self.problem.jobs
            for job in longest:
                for barrel in np.flatnonzero(sets.copies[place]).tolist():
                    jobs = [job, *(j for j, b in enumerate(barrel_of) if b == barrel)]
                    copies = int(sets.copies[place, barrel])
                    may = self.problem.allowed[barrel, job]
                    if may and self.problem.fits_at_once(barrel, jobs, copies):
                        barrel_of[job] = barrel
                        break
            one = found(self.problem, sets.copies[place].tolist(), barrel_of)
            best = max(best, one, key=lambda found: found.weight)
        return best

    def _in_order(self, sets: _Sets) -> list[int]:
        """Return the places of sets, the ones to prefer first."""
        machines = sets.copies[:, self.problem.bought].sum(axis=1)
        every = sets.copies.sum(axis=1)
        earliest = [-sets.copies[:, b] for b in range(self.problem.barrels)]
        keys = [*reversed(earliest), every, machines, _rounded(sets.cost), sets.unpriced]
        return [int(place) for place in np.lexsort(keys)]

    def _fits(self, sets: _Sets, place: int) -> bool:
        """Say whether every job fits where it costs least."""
        barrel_of = sets.cheapest[place]
        for barrel in np.unique(barrel_of[barrel_of >= 0]).tolist():
            jobs = np.flatnonzero(barrel_of == barrel).tolist()
            copies = int(sets.copies[place, barrel])
            if self.problem.fits_at_once(barrel, jobs, copies):
                continue
            packing = self.problem.packing(barrel, jobs) if len(jobs) <= FEW else None
            if packing is None or packing[0] > copies:
                return False
        return True

    def _cheapest(self, sets: _Sets, weight: float, jobs: int) -> Found | None:
        """Return the set to prefer among those that cover so much."""
        best: Found | None = None
        silent = 0
        floors = self._floors(sets, jobs)
        for place in self._in_order(replace(sets, cost=floors)):
            floor = float(floors[place])
            if best is not None:
                near = ALIKE * abs(best.cost)
                if sets.unpriced[place] > silent or floor >= best.cost - near:
                    break
            if monotonic() > self.until:
                return None if best is None else self._open_gap(best, floor)
            one = self._solved(sets, place, weight, jobs)
            if one is not None and (best is None or one.cost < best.cost):
                best, silent = one, int(sets.unpriced[place])
        return best

    def _open_gap(self, best: Found, floor: float) -> Found:
        """Return a set with how much cheaper one that was not looked at might be."""
        gap = max(best.gap, (best.cost - floor) / max(abs(best.cost), 1e-12))
        return Found(best.copies, best.barrel_of, best.weight, best.cost, gap)

    def _floors(self, sets: _Sets, jobs: int) -> Array:
        """Return for each set a cost that covering so many jobs with it never falls below."""
        floors = sets.cost.copy()
        for place in np.flatnonzero(sets.jobs > jobs).tolist():
            on = sets.cheapest[place].tolist()
            costs = sorted(self.problem.cost[b, j] for j, b in enumerate(on) if b >= 0)
            floors[place] -= sum(costs[jobs - len(costs) :])
        return floors

    def _solved(self, sets: _Sets, place: int, weight: float, jobs: int) -> Found | None:
        """Return one set with its jobs put on it for least; None where it covers less."""
        if sets.jobs[place] == jobs and self._fits(sets, place):
            return self._put(sets, place)
        barrels = np.flatnonzero(sets.copies[place]).tolist()
        fixed = sets.copies[place, barrels].tolist()
        bought = int(sets.copies[place, self.problem.bought].sum())
        model = CoverModel(self.problem, barrels, bought, fixed)
        model.at_least(weight * (1.0 - BAND), jobs)
        one = model.cheapest(self.until)
        # What is paid once for a bid is no column of a set that is fixed.
        return None if one is None else found(self.problem, one.copies, one.barrel_of, one.gap)

    def _put(self, sets: _Sets, place: int) -> Found:
        """Return a set with every job where it costs least."""
        return found(self.problem, sets.copies[place].tolist(), sets.cheapest[place].tolist())

    def _unlike(self, sets: _Sets, one: Found) -> Flags:
        """Return the sets that buy other machines than one, and not merely more."""
        units = np.unique(self.problem.unit[self.problem.bought])
        fewer = np.zeros(len(sets.copies), dtype=np.bool_)
        for unit in units:
            of_unit = (self.problem.unit == unit) & self.problem.bought
            fewer |= sets.copies[:, of_unit].sum(axis=1) < np.array(one.copies)[of_unit].sum()
        return fewer

    def _at_once(self, barrels: Sequence[int], most: int) -> Found:
        """Return the best set by one programme over all barrels, as far as time allows."""
        problem = self.problem
        nothing = found(problem, [0] * problem.barrels, [-1] * problem.jobs, inf)
        if not barrels:
            return Found(nothing.copies, nothing.barrel_of, 0.0, 0.0)
        model = CoverModel(problem, barrels, most)
        fullest, gap = model.fullest(self.until)
        if fullest is None:
            return nothing
        model.at_least(fullest.weight * (1.0 - BAND), fullest.covered)
        cheapest = model.cheapest(self.until) or Found(
            fullest.copies, fullest.barrel_of, fullest.weight, fullest.cost, inf
        )
        worst = max(cheapest.gap, gap)
        return Found(cheapest.copies, cheapest.barrel_of, cheapest.weight, cheapest.cost, worst)


def _emptier(found: Found, top: float) -> float:
    """Return how much fuller a set might be that covers `top` hours, as a share."""
    return top / found.weight - 1.0 if found.weight > 0 else inf


def _rounded(costs: Array) -> Array:
    """Return costs to twelve digits, so that those that are the same are told apart by no dust."""
    scale = float(np.abs(costs).max(initial=0.0)) or 1.0
    return np.round(costs / scale, 12)
