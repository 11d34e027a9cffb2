"""Jobs put on copies of one machine: how many it takes, and which job runs on which."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import ceil, inf, isinf
from time import monotonic

import numpy as np

from evenbarrel.decision.cover.whole_numbers import WholeNumbers
from evenbarrel.decision.programme import Flags
from evenbarrel.trade.formula import Array

SLACK = 1e-9
"""How far rounding may carry hours past those that there are, as a share."""
SECONDS = 2.0
"""Time to look for a tighter packing; what is found by then stands."""


@dataclass(frozen=True, slots=True)
class Load:
    """Jobs for copies of one machine.

    `hours` [h/year] and `moulds` are over the jobs, `running` over (years, jobs); a copy has
    `limit` hours in each year, infinite where nobody states them. Jobs of a pair never share a
    copy; `pinned` gives for each job the copy that a person put it on, 0 for none.
    """

    hours: Array
    running: Flags
    limit: float
    moulds: Array
    pairs: Sequence[tuple[int, int]] = ()
    pinned: Sequence[int] = ()

    @property
    def jobs(self) -> int:
        """How many jobs there are."""
        return len(self.hours)

    def pin(self, job: int) -> int:
        """Return the copy that a job is pinned to, 0 for none."""
        return self.pinned[job] if self.pinned else 0


Part = tuple[int, int, float]
"""A job, a copy counted from 1, and the share of the job that runs on it."""


def packed(load: Load) -> tuple[int, tuple[Part, ...]] | None:
    """Return the fewest copies that take the jobs, and who runs what; None where none can.

    A job that one copy can run whole is never split; one that is too long for it is shared out
    over no more copies than it has moulds.
    """
    return _kept(
        load.hours.tobytes(),
        load.running.tobytes(),
        load.limit,
        load.moulds.tobytes(),
        tuple(load.pairs),
        tuple(load.pinned),
    )


@lru_cache(maxsize=10_000)
def _kept(
    hours: bytes,
    running: bytes,
    limit: float,
    moulds: bytes,
    pairs: tuple[tuple[int, int], ...],
    pinned: tuple[int, ...],
) -> tuple[int, tuple[Part, ...]] | None:
    """Return a packing; the same jobs come up on many barrels and in many sets."""
    jobs = np.frombuffer(hours)
    if len(jobs) == 0:
        return 0, ()
    years = np.frombuffer(running, dtype=np.bool_).reshape(-1, len(jobs))
    load = Load(jobs, years, limit, np.frombuffer(moulds), pairs, pinned)
    least, most = _least(load), _most(load)
    for copies in range(least, most + 1):
        parts = _first_fit(load, copies)
        if parts is None and _fits(load, copies) is not False:
            parts = _searched(load, copies)
        if parts is not None:
            return copies, tuple(sorted(parts))
    return None


def copies_needed(load: Load) -> int | None:
    """Return the fewest copies that can run the jobs, None where no number can.

    As `packed` gives them, but faster: no assignment is looked for where it is clear without one.
    """
    if load.jobs == 0:
        return 0
    for copies in range(_least(load), _most(load) + 1):
        if _first_fit(load, copies) is not None:
            return copies
        fits = _fits(load, copies)
        if fits is None:
            break
        if fits:
            return copies
    found = packed(load)
    return None if found is None else found[0]


_LOOKED_AT = 5_000
"""Places tried before a search one by one gives up: some milliseconds."""


def _fits(load: Load, copies: int) -> bool | None:
    """Say whether whole jobs go on so many copies; None where some are shared or it takes long."""
    if any(_pieces(load, job) > 1 for job in range(load.jobs)):
        return None
    order = sorted(range(load.jobs), key=lambda j: (-load.pin(j), -load.hours[j], j))
    taken = np.outer(load.hours, np.ones(len(load.running))) * load.running.T
    room = np.full((copies, len(load.running)), load.limit * (1 + SLACK))
    on: list[set[int]] = [set() for _ in range(copies)]
    left = [_LOOKED_AT]

    def placed(at: int) -> bool:
        if at == len(order):
            return True
        job, seen = order[at], set()
        for copy in _open_to(load, job, on):
            alike = room[copy].tobytes(), frozenset(on[copy] if load.pairs or load.pinned else ())
            left[0] -= 1
            if alike in seen or (taken[job] > room[copy]).any() or left[0] < 0:
                continue
            seen.add(alike)
            room[copy] -= taken[job]
            on[copy].add(job)
            if placed(at + 1):
                return True
            room[copy] += taken[job]
            on[copy].discard(job)
        return False

    found = placed(0)
    return None if left[0] < 0 and not found else found


def fits_at_once(load: Load, copies: int) -> bool:
    """Say whether the longest first, each where there is room, puts the jobs on so many copies.

    Where it does not, another way may.
    """
    return load.jobs == 0 or (_least(load) <= copies and _first_fit(load, copies) is not None)


def _least(load: Load) -> int:
    """Return a number of copies below which nothing can work."""
    by_hours = 1
    if not isinf(load.limit):
        busiest = float((load.running @ load.hours).max(initial=0.0))
        by_hours = ceil(busiest / load.limit - SLACK) if load.limit > 0 else load.jobs
    pins = max((load.pin(job) for job in range(load.jobs)), default=0)
    return max(1, by_hours, pins, 2 if load.pairs else 1)


def _most(load: Load) -> int:
    """Return a number of copies that always suffices if any does."""
    pins = max((load.pin(job) for job in range(load.jobs)), default=0)
    return pins + sum(_pieces(load, job) for job in range(load.jobs))


def _pieces(load: Load, job: int) -> int:
    if isinf(load.limit) or load.hours[job] <= load.limit * (1 + SLACK):
        return 1
    return int(min(ceil(load.hours[job] / load.limit), load.moulds[job]))


def _first_fit(load: Load, copies: int) -> list[Part] | None:
    """Return a packing found by putting the longest job first on the first copy with room."""
    room = np.full((copies, len(load.running)), load.limit * (1 + SLACK))
    on: list[set[int]] = [set() for _ in range(copies)]
    parts: list[Part] = []
    order = sorted(range(load.jobs), key=lambda j: (-load.pin(j), -load.hours[j], j))
    for job in order:
        left, pieces = 1.0, 0
        for copy in _open_to(load, job, on):
            years = load.running[:, job]
            hours = float(load.hours[job])
            free = float(room[copy][years].min(initial=inf))
            share = left if hours * left <= free else free / hours
            whole = _pieces(load, job) == 1
            if (whole and share < 1.0) or share <= SLACK or pieces >= load.moulds[job]:
                continue
            room[copy][years] -= share * hours
            on[copy].add(job)
            parts.append((job, copy + 1, share))
            left, pieces = left - share, pieces + 1
            if left <= SLACK:
                break
        if left > SLACK:
            return None
    return parts


def _open_to(load: Load, job: int, on: Sequence[set[int]]) -> Iterator[int]:
    """Yield the copies that a job may run on beside the jobs that are there."""
    never = {other for pair in load.pairs if job in pair for other in pair} - {job}
    for copy, there in enumerate(on):
        if load.pin(job) in (0, copy + 1) and not never & there:
            yield copy


def _searched(load: Load, copies: int) -> list[Part] | None:
    """Return a packing found by search among all there are, None where there is none."""
    jobs = load.jobs
    place = {(j, k): j * copies + k for j in range(jobs) for k in range(copies)}
    on = len(place)
    upper = [1.0] * (2 * on)
    for job, copy in place:
        if load.pin(job) not in (0, copy + 1):
            upper[place[job, copy]] = 0.0
    program = WholeNumbers([0.0] * (2 * on), upper, shares=on)
    for job in range(jobs):
        program.add_row(1.0, {on + place[job, k]: 1.0 for k in range(copies)}, 1.0)
        program.add_row(0.0, {place[job, k]: 1.0 for k in range(copies)}, float(load.moulds[job]))
        whole = _pieces(load, job) == 1
        for k in range(copies):
            at = place[job, k]
            program.add_row(0.0, {at: 1.0, on + at: -1.0}, 0.0 if whole else 1.0)
    for k in range(copies):
        for years in np.unique(load.running, axis=0):
            terms = {on + place[j, k]: float(load.hours[j]) for j in np.flatnonzero(years).tolist()}
            if terms and not isinf(load.limit):
                program.add_row(0.0, terms, load.limit)
        for one, other in load.pairs:
            program.add_row(0.0, {place[one, k]: 1.0, place[other, k]: 1.0}, 1.0)
    # Jobs on their earliest copies: the copies are alike, and one order is enough.
    found = program.least(
        {place[j, k]: float(k) for j in range(jobs) for k in range(copies)}, monotonic() + SECONDS
    )
    if found is None:
        return None
    shares = found.values[on:]
    return [(j, k + 1, float(shares[at])) for (j, k), at in place.items() if shares[at] > SLACK]


def pairs_among(
    jobs: Sequence[int], pairs: Sequence[tuple[int, int]]
) -> tuple[tuple[int, int], ...]:
    """Return the pairs that are both among some jobs, by their places there."""
    place = {job: at for at, job in enumerate(jobs)}
    both = {frozenset(pair) for pair in pairs}
    return tuple(
        (place[one], place[other])
        for one, other in combinations(jobs, 2)
        if frozenset((one, other)) in both
    )
