"""Cover: which machines run the programme between them, with what hours, at what cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import isfinite
from time import monotonic
from typing import Literal

import numpy as np

from evenbarrel.appraisal.gate_results import GATES, GateState
from evenbarrel.decision.amount import Amount, total
from evenbarrel.decision.cover.copies import copies_needed, packed
from evenbarrel.decision.cover.problem import CoverProblem, Found
from evenbarrel.decision.cover.search import CoverSearch
from evenbarrel.decision.life_cost import LifeCost, LifeCosts
from evenbarrel.decision.offers import ONCE
from evenbarrel.decision.programme import Flags
from evenbarrel.model.datum import si_of

SHUT = GATES.index("shut")
SHOWN = (0, 1, 2, 3)
"""How many bought machines stand side by side: none is doing nothing."""
MOST = 8
"""The most machines that are looked for where fewer do not cover all."""
SECONDS = 1.0
"""Time for one number of machines; then the best so far is shown with its gap."""

Why = Literal[
    "outside",
    "waits",
    "clamp_force",
    "forbidden",
    "pinned",
    "moulds",
    "machines",
    "incompatible",
    "hours",
]
"""Why nobody runs a job: outside on every barrel, or it waits for somebody on all that are not;
the clamp force; a person forbids it, or pins it where it cannot run; it needs more moulds; no
machine of the set may run it; those that may run what it must never meet; their hours are used."""


@dataclass(frozen=True, slots=True)
class Run:
    """The share of a job that one copy of a barrel runs, copies counted from 1."""

    job: str
    barrel: str
    copy: int
    share: float


@dataclass(frozen=True)
class Cover:
    """One set of machines: who runs what, what nobody runs, what it costs.

    At most `machines` are bought, `bought` are; the plant's own come on top. `hours` are those of
    each copy in its busiest year. `first_broken_year` is the first in which a job is not covered.
    `proven` only where every datum is there and no better set is left unlooked at; `gap` tells how
    much better one might be, None where that is not known.
    """

    machines: int
    bought: int
    gate: GateState | None
    barrels: tuple[tuple[str, int], ...]
    costs: tuple[LifeCost, ...]
    present: Amount
    yearly: Amount
    runs: tuple[Run, ...]
    hours: tuple[tuple[str, int, float], ...]
    uncovered: tuple[tuple[str, Why], ...]
    first_broken_year: int | None
    proven: bool
    gap: float | None
    missing: tuple[str, ...]
    runner_up: Cover | None = None
    fully_priced: Cover | None = None

    def same_machines(self, other: Cover) -> bool:
        """Say whether two sets are the same machines."""
        return self.barrels == other.barrels


class Covers:
    """Sets of machines side by side."""

    def __init__(self, costs: LifeCosts) -> None:
        """Take what costs and hours are computed from."""
        self.costs, self.basis, self.programme = costs, costs.basis, costs.programme

    @cached_property
    def lines(self) -> tuple[Cover, ...]:
        """The best set of none, one, two and three machines, and of as few as cover all."""
        return tuple(self.largest_first())[::-1]

    def largest_first(self) -> Iterator[Cover]:
        """Yield the same sets, each found when it is asked for: that of the most machines first."""
        needed = self._fewest
        if needed is not None and needed > SHOWN[-1]:
            yield self.best(needed)
        yield from map(self.best, reversed(SHOWN))

    @cached_property
    def needs_at_least(self) -> int | None:
        """The fewest bought machines that cover every job; None where no 8 do."""
        for machines in SHOWN:
            if not self.best(machines).uncovered:
                return machines
        return self._fewest

    @cached_property
    def _fewest(self) -> int | None:
        """How many machines cover every job, where those side by side do not; None if none do."""
        if not self.best(SHOWN[-1]).uncovered:
            return None
        return CoverSearch(self.problem, monotonic() + SECONDS).needed(MOST)

    def best(self, machines: int) -> Cover:
        """Return the best set of at most so many bought machines."""
        if machines not in self._known:
            self._known[machines] = self._best(machines)
        return self._known[machines]

    @cached_property
    def _known(self) -> dict[int, Cover]:
        return {}

    def _best(self, machines: int) -> Cover:
        search = CoverSearch(self.problem, monotonic() + SECONDS)
        found = search.best(machines)
        other = None if found.runner_up is None else self._cover(machines, found.runner_up)
        priced = None
        if any(n and self.problem.unpriced[b] for b, n in enumerate(found.best.copies)):
            one = search.best(machines, priced_only=True).best
            priced = self._cover(machines, one) if any(one.copies) else None
        return self._cover(machines, found.best, other, priced)

    # The numbers -------------------------------------------------------------------------------

    @cached_property
    def allowed(self) -> Flags:
        """Where jobs may run, over (candidates, jobs)."""
        allowed = self._fitting & self._clamped & self._permitted & self.programme.in_set
        for row in range(len(self.basis.candidates)):
            allowed[row] &= ~self.programme.beyond_moulds(row)
        return np.asarray(allowed)

    @cached_property
    def _not_shut(self) -> Flags:
        rows = self.programme.rows
        applies = self.basis.appraisal.grid.table.applies[rows]
        return np.asarray((self.basis.appraisal.gates.cells[rows] > SHUT) & applies)

    @cached_property
    def _fitting(self) -> Flags:
        if self.basis.evaluation.cover_options.waiting_fits:
            return self._not_shut
        return self.programme.without_objection

    @cached_property
    def _clamped(self) -> Flags:
        needed = np.array([self._or_nan(j, "clamp_force_needed") for j in self.programme.jobs])
        units = [candidate.unit for candidate in self.basis.candidates]
        there = np.array([self._or_nan(unit, "clamp_force") for unit in units])
        return np.asarray(~(there[:, None] < needed[None, :] * (1 - 1e-9)))

    def _or_nan(self, thing: object, name: str) -> float:
        value = si_of(thing, name)  # type: ignore[arg-type]
        return np.nan if value is None else value

    @cached_property
    def _permitted(self) -> Flags:
        flags = np.ones((len(self.basis.candidates), len(self.programme.jobs)), dtype=np.bool_)
        row_of = {c.id: row for row, c in enumerate(self.basis.candidates)}
        for one in self.basis.evaluation.cover_options.forbidden:
            if one.barrel in row_of:
                flags[row_of[one.barrel], self.basis.appraisal.grid.column(one.job)] = False
        return flags

    @cached_property
    def problem(self) -> CoverProblem:
        """The cover as numbers: rows are the candidates, columns the jobs."""
        candidates, basis = self.basis.candidates, self.basis
        places = {c.unit.id: at for at, c in enumerate(candidates)}
        bids = {c.bid.id: at for at, c in enumerate(candidates)}
        offers = [self.costs.offers.of[c.id] for c in candidates]
        limits = [basis.hours_available(c.unit) for c in candidates]
        column = basis.appraisal.grid.column
        row_of = {c.id: row for row, c in enumerate(candidates)}
        return CoverProblem(
            hours=np.nan_to_num(self.programme.hours),
            planned=np.nan_to_num(self.programme.planned_hours),
            allowed=self.allowed,
            running=self.programme.running,
            limit=np.array([np.inf if x is None else x for x in limits], dtype=np.float64),
            moulds=self.programme.moulds,
            price=np.array([self._machine(row) for row in range(len(candidates))]),
            unpriced=np.array([o.price.value is None and not o.owned for o in offers], bool),
            cost=self.costs.running.present,
            unit=np.array([places[c.unit.id] for c in candidates], dtype=np.intp),
            bid=np.array([bids[c.bid.id] for c in candidates], dtype=np.intp),
            once={
                bids[c.bid.id]: o.once
                for c, o in zip(candidates, offers, strict=True)
                if not o.owned
            },
            owned={places[c.unit.id]: c.unit.owned_copies or 0 for c in candidates if c.owned},
            pairs=tuple((column(a), column(b)) for a, b in basis.appraisal.incompatible_pairs),
            pins={
                (column(pin.job), row_of[pin.barrel]): pin.copy_number
                for pin in basis.evaluation.assignment
                if pin.barrel in row_of
            },
        )

    def _machine(self, row: int) -> float:
        """Return what one machine costs with its own lines, less what is left of it."""
        candidate = self.basis.candidates[row]
        cost = self.costs.of(candidate.id, (), 1)
        once = sum(p.counted for p in cost.parts["price"].parts if p.of in ONCE)
        parts = [part.counted for name, part in cost.parts.items() if name != "price"]
        price = sum(p.counted for p in cost.parts["price"].parts)
        return float(price - once + sum(parts))

    # What is told of a set ---------------------------------------------------------------------

    def _cover(
        self,
        machines: int,
        found: Found,
        runner_up: Cover | None = None,
        fully_priced: Cover | None = None,
    ) -> Cover:
        rows = [row for row, copies in enumerate(found.copies) if copies]
        runs = [run for row in rows for run in self._runs(row, found.jobs_of(row))]
        costs = tuple(
            self.costs.of(self.basis.candidates[row].id, found.jobs_of(row), found.copies[row])
            for row in rows
        )
        present = self.joined(costs)
        uncovered = tuple(self._uncovered(found))
        missing = [*present.missing, *(name for cost in costs for name in cost.missing)]
        missing += self._unchecked
        bought = self.problem.bought
        return Cover(
            machines,
            sum(found.copies[row] for row in rows if bought[row]),
            self._gate(found, rows),
            tuple((self.basis.candidates[row].id, found.copies[row]) for row in rows),
            costs,
            present,
            self.costs.yearly(present),
            tuple(runs),
            tuple(self._hours(runs)),
            uncovered,
            self._first_broken([job for job, _ in uncovered]),
            found.gap == 0.0 and not self._unchecked,
            found.gap if isfinite(found.gap) else None,
            tuple(dict.fromkeys(missing)),
            runner_up,
            fully_priced,
        )

    def joined(self, costs: Sequence[LifeCost]) -> Amount:
        """Return the present cost of several machines: what a bid charges once is counted once."""
        known = all(cost.present.value is not None for cost in costs) and self.basis.dated
        parts, paid = [], set()
        for cost in costs:
            offer = self.costs.offers.one(cost.barrel)
            parts.append(cost.present)
            if offer.bid in paid and not offer.owned:
                parts.append(Amount("paid_once", -offer.once))
            paid.add(offer.bid)
        return total("present_cost", parts, known)

    def _runs(self, row: int, jobs: Sequence[int]) -> Iterator[Run]:
        packing = packed(self.costs.load(row, jobs))
        name = self.basis.candidates[row].id
        for job, copy, share in () if packing is None else packing[1]:
            yield Run(self.programme.jobs[jobs[job]].id, name, copy, share)

    def _hours(self, runs: Sequence[Run]) -> Iterator[tuple[str, int, float]]:
        column = self.basis.appraisal.grid.column
        for barrel, copy in dict.fromkeys((run.barrel, run.copy) for run in runs):
            own = [run for run in runs if (run.barrel, run.copy) == (barrel, copy)]
            shares = [(column(run.job), run.share) for run in own]
            year = self.programme.by_year(self.programme.row_of(barrel), shares)
            yield barrel, copy, float(year.max(initial=0.0))

    def _gate(self, found: Found, rows: Sequence[int]) -> GateState | None:
        jobs_of = {
            self.basis.candidates[row].id: [
                self.programme.jobs[job].id for job in found.jobs_of(row)
            ]
            for row in rows
        }
        return self.basis.appraisal.gates.programme(jobs_of).state

    def _uncovered(self, found: Found) -> Iterator[tuple[str, Why]]:
        used = np.array(found.copies) > 0
        for column, barrel in enumerate(found.barrel_of):
            if barrel < 0:
                yield self.programme.jobs[column].id, self._why(column, used, found)

    def _why(self, column: int, used: Flags, found: Found) -> Why:
        """Return what keeps a job from running: the last of the checks that leaves no barrel."""
        checks: tuple[tuple[Why, Flags], ...] = (
            ("outside", self._not_shut[:, column]),
            ("waits", self._fitting[:, column]),
            ("clamp_force", self._clamped[:, column]),
            ("forbidden", self._permitted[:, column]),
            ("pinned", self.programme.in_set[:, column]),
            ("moulds", self.allowed[:, column]),
            ("machines", used),
        )
        left = np.ones(len(self.basis.candidates), dtype=np.bool_)
        for why, passed in checks:
            left = left & passed
            if not left.any():
                return why
        apart = (self._kept_apart(row, column, found) for row in np.flatnonzero(left).tolist())
        return "incompatible" if any(apart) else "hours"

    def _kept_apart(self, row: int, column: int, found: Found) -> bool:
        """Say whether the copies of a barrel have the hours for one more job, but what it meets."""
        load = self.costs.load(row, sorted([*found.jobs_of(row), column]))
        together = copies_needed(replace(load, pairs=())) if load.pairs else None
        return together is not None and together <= found.copies[row]

    def _first_broken(self, jobs: Sequence[str]) -> int | None:
        columns = [self.basis.appraisal.grid.column(job) for job in jobs]
        broken = np.flatnonzero(self.programme.running[:, columns].any(axis=1))
        return None if len(broken) == 0 else self.programme.calendar_year(int(broken[0]))

    @cached_property
    def _unchecked(self) -> tuple[str, ...]:
        """What is not stated, so that no set is proven the best."""
        missing = []
        fits = self._fitting & self._permitted & self.programme.in_set
        jobs, candidates = self.programme.jobs, self.basis.candidates
        if any(fits[:, at].any() and j.clamp_force_needed is None for at, j in enumerate(jobs)):
            missing.append("clamp_force_needed")
        if any(fits[row].any() and c.unit.clamp_force is None for row, c in enumerate(candidates)):
            missing.append("clamp_force")
        if self.programme.unlimited.any():
            missing.append("annual_quantity")
        if any(self.basis.hours_available(c.unit) is None for c in candidates):
            missing.append("hours_available")
        if self.programme.undated:
            missing.append("as_of")
        return tuple(missing)
