"""Random small programmes as numbers, and the best cover of each by trying everything."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations_with_replacement, product
from math import inf

import numpy as np

from evenbarrel.decision.cover.problem import BAND, CoverProblem


def programme(seed: int, barrels: int = 4, jobs: int = 4, **more: object) -> CoverProblem:
    """Draw a programme: some cells shut, some jobs long, now and then a machine of the plant."""
    draw = np.random.default_rng(seed)
    hours = draw.uniform(200.0, 5500.0, jobs)
    units = draw.integers(0, max(1, barrels - 1), barrels)
    unit = np.sort(units)
    bid = unit // 2
    own = {int(unit[-1]): int(draw.integers(1, 3))} if draw.random() < 0.4 else {}
    owned = np.array([int(u) in own for u in unit])
    limit = np.full(barrels, 6000.0 if draw.random() < 0.9 else inf)
    slower = hours * draw.uniform(1.0, 1.3, (barrels, jobs))
    pairs = ((0, 1),) if jobs > 1 and draw.random() < 0.4 else ()
    running = draw.random((3, jobs)) < 0.8
    running[0] |= ~running.any(axis=0)
    moulds = draw.integers(1, 3, jobs).astype(float)
    allowed = draw.random((barrels, jobs)) < 0.7
    allowed &= slower <= moulds * limit[:, None]
    priced = {
        "price": draw.uniform(1e5, 3e5, barrels) * ~owned,
        "unpriced": (draw.random(barrels) < 0.1) & ~owned,
        "cost": draw.uniform(1e3, 9e4, (barrels, jobs)),
        "once": {int(b): 5000.0 for b in set(bid.tolist())},
    }
    return CoverProblem(
        **{
            "hours": slower,
            "planned": hours,
            "allowed": allowed,
            "running": running,
            "limit": limit,
            "moulds": moulds,
            "unit": unit,
            "bid": bid,
            "owned": own,
            "pairs": pairs,
            **priced,
            **more,
        }
    )


def sets_of(problem: CoverProblem, most: int) -> Iterator[tuple[int, ...]]:
    """Yield every number of copies of each barrel: bought ones and the plant's own."""
    bought = [b for b in range(problem.barrels) if problem.bought[b]]
    own = [b for b in range(problem.barrels) if not problem.bought[b]]
    ranges = [range(problem.owned[int(problem.unit[b])] + 1) for b in own]
    for size in range(most + 1):
        for chosen in combinations_with_replacement(bought, size):
            for kept in product(*ranges):
                copies = [chosen.count(b) for b in range(problem.barrels)]
                for barrel, count in zip(own, kept, strict=True):
                    copies[barrel] = count
                used: dict[int, int] = {}
                for barrel in own:
                    unit = int(problem.unit[barrel])
                    used[unit] = used.get(unit, 0) + copies[barrel]
                if all(count <= problem.owned[unit] for unit, count in used.items()):
                    yield tuple(copies)


def fits(problem: CoverProblem, barrel: int, jobs: list[int], copies: int) -> bool:
    """Say whether the jobs fit on so many copies, trying every way; long jobs by first fit."""
    if not jobs:
        return True
    packing = problem.packing(barrel, jobs)
    limit = problem.limit[barrel]
    if any(problem.hours[barrel, job] > limit for job in jobs):
        return packing is not None and packing[0] <= copies
    for on in product(range(copies), repeat=len(jobs)):
        pairs = any(
            one in jobs and other in jobs and on[jobs.index(one)] == on[jobs.index(other)]
            for one, other in problem.pairs
        )
        load = np.zeros((copies, len(problem.running)))
        for job, copy in zip(jobs, on, strict=True):
            load[copy] += problem.hours[barrel, job] * problem.running[:, job]
        if not pairs and (load <= limit * (1 + 1e-9)).all():
            return True
    return False


def by_trying_everything(problem: CoverProblem, most: int) -> tuple[float, int, int, float]:
    """Return hours and jobs covered, machines without a price, and cost of the best set."""
    every = []
    for copies in sets_of(problem, most):
        used = [b for b in range(problem.barrels) if copies[b]]
        silent = sum(copies[b] for b in used if problem.unpriced[b] and problem.bought[b])
        bids = {int(problem.bid[b]) for b in used if problem.bought[b]}
        price = sum(copies[b] * problem.price[b] for b in used)
        price += sum(problem.once.get(bid, 0.0) for bid in bids)
        choices = [
            [None, *(b for b in used if problem.allowed[b, job])] for job in range(problem.jobs)
        ]
        for on in product(*choices):
            jobs = [job for job, barrel in enumerate(on) if barrel is not None]
            weight = float(problem.weight[jobs].sum())
            cost = price + sum(problem.cost[on[job], job] for job in jobs)
            every.append((weight, len(jobs), silent, cost, copies, on))
    top, ranked = 0.0, sorted(every, key=lambda e: -e[0])
    for weight, *_, copies, on in ranked:
        if _possible(problem, copies, on):
            top = weight
            break
    band = [e for e in every if e[0] >= top * (1 - BAND) - 1e-9]
    for weight, jobs, silent, cost, copies, on in sorted(band, key=lambda e: (-e[1], e[2], e[3])):
        if _possible(problem, copies, on):
            return weight, jobs, silent, cost
    raise AssertionError("nothing covers nothing")


def _possible(problem: CoverProblem, copies, on) -> bool:
    return all(
        fits(problem, b, [j for j, own in enumerate(on) if own == b], copies[b])
        for b in range(problem.barrels)
        if copies[b]
    )
