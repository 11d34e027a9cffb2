"""The order of the barrels: gate, jobs known to run, levelled cost; silence is levelled."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import nlargest
from math import inf
from typing import NamedTuple

import numpy as np

from evenbarrel.appraisal.gate_results import GATES, GateState
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.basis import Candidate
from evenbarrel.decision.life_cost import LifeCost, LifeCosts, Work
from evenbarrel.decision.offers import ONCE
from evenbarrel.model.limits import CRITERIA

RUNNING = ("energy", "time_lost", "changes")


class Level(NamedTuple):
    """What is counted of a part that a barrel is silent on, and the barrel that states it."""

    value: float
    barrel: str


Levels = Mapping[str, Level]
"""By the name of the part."""


@dataclass(frozen=True)
class OrderLine:
    """One barrel in the order.

    `rank` is 1 more than the number of barrels that are better by what the order goes by; None for
    the plant's own machines, which are kept and not bought. `levelled` is the present cost with
    `filled` added: what the barrel is silent on, at the highest amount that a barrel it is compared
    with states, one that can still lead before any other; `filled_by` says which barrel that is. A
    part of the price, but the machine's own, that none of these states is filled by any offer's.
    The rank goes by what those that can still lead state, so that a hopeless one changes nothing.
    `unfilled` names what none states, and `may_grow` by how much that may cost before the order
    changes, None where nothing follows.

    `jobs_run` are known to run: nothing stands against them and nothing is waited for.
    `jobs_undecided` wait for something, as a volume that is not stated: they count for no barrel
    and against none, but are in its cost, so that silence is not cheap. Costs are compared only
    among barrels of one gate that run, and leave undecided, the same jobs, and run at least one.
    `nearest` is the criterion that has the least margin.
    """

    barrel: str
    rank: int | None
    gate: GateState | None
    jobs_run: tuple[str, ...]
    jobs_undecided: tuple[str, ...]
    jobs_not_run: tuple[str, ...]
    present_cost: float | None
    levelled: float | None
    levelled_price: float | None
    filled: Mapping[str, float]
    filled_by: Mapping[str, str]
    unfilled: tuple[str, ...]
    may_grow: float | None
    least_margin: float | None
    nearest: CriterionRef | None
    not_assessed: int
    queries: int
    delivery: str
    warranty: str

    @property
    def work(self) -> Work:
        """What its cost is for."""
        return self.jobs_run, self.jobs_undecided


@dataclass(frozen=True)
class _Row:
    """A barrel before it is ranked, with what it states of each part of its cost.

    `stated` holds present values of what its offer, or we, state; `silent` what it does not.
    """

    candidate: Candidate
    cost: LifeCost
    work: Work
    gate: GateState | None
    stated: Mapping[str, float]
    silent: tuple[str, ...]
    once: frozenset[str]
    assumed: Mapping[str, float]
    """What is counted of a part that it is silent on."""

    @property
    def worth(self) -> tuple[int, int]:
        """What goes before cost, the better one less: the gate, then the jobs known to run."""
        return place_of_gate(self.gate), -len(self.work[0])

    @property
    def known(self) -> float:
        """What is known of its cost: the least that it can be."""
        others = (part.counted for name, part in self.cost.parts.items() if name != "price")
        return self.price + sum(others)

    @property
    def price(self) -> float:
        """What is known of its price, the machine's own or not."""
        return sum(part.counted for part in self.cost.parts["price"].parts)


def place_of_gate(gate: GateState | None) -> int:
    """Return the place of a gate, the best first; what the method does not know comes last."""
    order: tuple[GateState | None, ...] = (*reversed(GATES), None)
    return order.index(gate)


class Ranking:
    """The order of single barrels."""

    def __init__(self, costs: LifeCosts) -> None:
        """Take what the costs are computed from."""
        self.costs, self.basis = costs, costs.basis

    @cached_property
    def order(self) -> tuple[OrderLine, ...]:
        """Every barrel: those to buy by rank, then the plant's own."""
        ranked = [line for line in self._lines if line.rank is not None]
        kept = [line for line in self._lines if line.rank is None]
        ranked.sort(key=lambda line: (line.rank or 0, -_or(line.least_margin, -inf)))
        return (*ranked, *kept)

    @cached_property
    def rows(self) -> tuple[_Row, ...]:
        """What each barrel states, in the order of the file."""
        return tuple(self._row(row, c) for row, c in enumerate(self.basis.candidates))

    @cached_property
    def _lines(self) -> list[OrderLine]:
        offered = [row for row in self.rows if not row.candidate.owned]
        levels: dict[int, Levels] = {}
        shown: dict[int, Levels] = {}
        before: dict[int, int] = {}
        steps_of: dict[int, list[list[_Row]]] = {}
        by_worth = sorted(row.worth for row in offered)
        for like in self._alike(offered):
            rivals = self._rivals(like) if like[0].work[0] else []
            levels |= {id(row): self._level(row, rivals) for row in like}
            shown |= {id(row): self._shown(row, like, levels[id(row)]) for row in like}
            steps = self._steps(like, levels)
            place = bisect_left(by_worth, like[0].worth)
            for step in steps:
                before |= {id(row): place for row in step}
                steps_of |= {id(row): steps for row in step}
                place += len(step)
        return [
            self._line(
                row, shown.get(id(row), {}), before.get(id(row)), self._room(row, steps_of, levels)
            )
            for row in self.rows
        ]

    def _alike(self, offered: Sequence[_Row]) -> list[list[_Row]]:
        """Return the barrels by the gate they have and the work they do."""
        alike: dict[tuple[int, Work], list[_Row]] = {}
        for row in offered:
            alike.setdefault((row.worth[0], row.work), []).append(row)
        return list(alike.values())

    def _row(self, place: int, candidate: Candidate) -> _Row:
        cost = self.costs.alone[candidate.id]
        offer = self.costs.offers.of[candidate.id]
        price = {
            part.of: part.value
            for part in (*offer.items, *offer.filled_in)
            if part.value is not None
        }
        stated: dict[str, float] = {f"price.{name}": value for name, value in price.items()}
        silent = [f"price.{part.of}" for part in offer.items if part.value is None]
        for part, of_job in self._running(cost):
            for_all = part.startswith("energy.") and self._energy_is_assumed(candidate)
            unknown = of_job.value is None or (of_job.standing == "ours" and of_job.missing)
            if unknown or for_all:
                silent.append(part)
            elif of_job.standing != "ours" and of_job.value is not None:
                stated[part] = of_job.value
        lines: dict[str, float] = {}
        for line in cost.parts["lines"].parts:
            kind = f"lines.{line.of}"
            lines[kind] = lines.get(kind, 0.0) + line.counted
            if line.value is None:
                silent.append(kind)
        silent += [f"lines.{kind}" for kind in self.costs.kinds_lacking(candidate)]
        once = frozenset(f"price.{item}" for item in ONCE)
        assumed = {
            part: of_job.value
            for part, of_job in self._running(cost)
            if of_job.value is not None and of_job.standing != "ours" and part in silent
        }
        gate = self.basis.appraisal.gate(candidate.id).state
        every = tuple(dict.fromkeys(silent))
        work = self.costs.work_alone(place)
        return _Row(candidate, cost, work, gate, stated | lines, every, once, assumed)

    def _running(self, cost: LifeCost) -> Iterator[tuple[str, Amount]]:
        """Yield what running each job costs, part by part, as "energy.j1"."""
        for part in RUNNING:
            for of_job in cost.parts[part].parts:
                yield f"{part}.{of_job.of}", of_job

    def _energy_is_assumed(self, candidate: Candidate) -> bool:
        """Say whether the energy is what is assumed for all: no statement of this offer."""
        return self.costs.running.energy_per_mass(candidate)[1] != "stated"

    # Levelling ---------------------------------------------------------------------------------

    def _rivals(self, like: Sequence[_Row]) -> list[_Row]:
        """Return those of some barrels of like work that can still lead, or share the lead.

        One that is dearer at the least it can cost than another at the most, and by more than the
        resolution, is no rival: what rivals state goes before what it states, so that it does not
        change who leads. Within the resolution what it states levels them too: silence never pays.
        """
        pool = list(like)
        while True:
            most = min((self._levelled(r, self._level(r, pool)) for r in pool), default=inf)
            dearest = most + abs(most) * self.basis.resolution
            rivals = [r for r in pool if r.known <= dearest * (1 + 1e-12) + 1e-9]
            if len(rivals) == len(pool):
                return rivals
            pool = rivals

    def _level(self, row: _Row, pool: Sequence[_Row]) -> Levels:
        """Return for each part that a barrel is silent on what it is levelled by."""
        filled: dict[str, Level] = {}
        for part in row.silent:
            stating = [r for r in pool if r is not row and part in r.stated]
            if not stating:
                continue
            dearest = max(stating, key=lambda r: r.stated[part])
            highest = dearest.stated[part]
            if part in row.assumed:
                # What is assumed is in its cost already.
                highest = max(0.0, highest - row.assumed[part])
            elif _of_price(part) and part not in row.once:
                highest *= row.cost.copies
            filled[part] = Level(highest, dearest.candidate.id)
        machine = filled.get("price.machine")
        if machine is not None:
            filled["residual"] = Level(self._residual(machine.value), machine.barrel)
        return filled

    def _shown(self, row: _Row, like: Sequence[_Row], by_rivals: Levels) -> Levels:
        """Return by what a barrel is levelled where it is told.

        What rivals do not state by what others of like work do. What comes on top of a machine's
        price hangs on no work: by what any does.
        """
        of_price = {
            part: level
            for part, level in self._level(row, self._dearest).items()
            if _of_price(part) and part != "price.machine"
        }
        return {**self._level(row, like), **of_price, **by_rivals}

    @cached_property
    def _dearest(self) -> list[_Row]:
        """The barrels that state the two highest amounts of any part of a price.

        Two, as none is levelled by itself.
        """
        offered = [row for row in self.rows if not row.candidate.owned]
        parts = dict.fromkeys(name for row in offered for name in row.stated if _of_price(name))
        found: dict[int, _Row] = {}
        for part in parts:
            stating = (row for row in offered if part in row.stated)
            dearest = nlargest(2, stating, key=lambda row: row.stated[part])
            found |= {id(row): row for row in dearest}
        return list(found.values())

    def _residual(self, price: float) -> float:
        share = self.basis.evaluation.cost.residual_share
        if share is None:
            return 0.0
        left = self.costs.residual(Amount("machine", price), share, 1)
        return left.counted

    def _levelled(self, row: _Row, filled: Levels) -> float:
        return row.known + sum(level.value for level in filled.values())

    def _unfilled(self, row: _Row, filled: Levels) -> tuple[str, ...]:
        return tuple(part for part in row.silent if part not in filled and part not in row.assumed)

    # Ranks -------------------------------------------------------------------------------------

    def _comparable(self, row: _Row, filled: Levels) -> float | None:
        """Return the cost that a barrel is ranked by, None where it cannot be had.

        Without a horizon or a rate, or where nobody it is compared with states a price, there is
        none.
        """
        priced = "price.machine" in row.stated or "price.machine" in filled
        return self._levelled(row, filled) if self.basis.dated and priced else None

    def _line(self, row: _Row, filled: Levels, before: int | None, room: float | None) -> OrderLine:
        gate = self.basis.appraisal.gate(row.candidate.id)
        offered = before is not None
        unfilled = self._unfilled(row, filled) if offered else ()
        named = set(row.cost.jobs)
        return OrderLine(
            row.candidate.id,
            None if before is None else 1 + before,
            row.gate,
            *row.work,
            tuple(job for job in gate.jobs if job not in named),
            row.cost.present.value,
            self._comparable(row, filled) if offered else None,
            self._levelled_price(row, filled) if offered else None,
            {part: level.value for part, level in filled.items()},
            {part: level.barrel for part, level in filled.items()},
            unfilled,
            room if unfilled else None,
            *self._least_margin(row.candidate),
            gate.not_assessed,
            len(gate.doubts),
            row.candidate.bid.delivery,
            row.candidate.bid.warranty,
        )

    def _levelled_price(self, row: _Row, filled: Levels) -> float | None:
        if "price.machine" not in row.stated and "price.machine" not in filled:
            return None
        return row.price + sum(level.value for part, level in filled.items() if _of_price(part))

    def _steps(self, like: Sequence[_Row], levels: Mapping[int, Levels]) -> list[list[_Row]]:
        """Return barrels of like work in steps of like cost, the cheapest first."""
        if not like[0].work[0]:
            # None is known to run a job: what it would cost puts none before another.
            return [list(like)]
        costs = {id(r): _or(self._comparable(r, levels[id(r)]), inf) for r in like}
        steps: list[list[_Row]] = []
        for one in sorted(like, key=lambda r: costs[id(r)]):
            cheapest = costs[id(steps[-1][0])] if steps else None
            width = abs(cheapest or 0.0) * self.basis.resolution
            if cheapest is not None and costs[id(one)] <= cheapest + width:
                steps[-1].append(one)
            else:
                steps.append([one])
        return steps

    def _room(
        self,
        row: _Row,
        steps_of: Mapping[int, Sequence[Sequence[_Row]]],
        levels: Mapping[int, Levels],
    ) -> float | None:
        """Return by how much a cost may grow before it is dearer than the next one's."""
        own = self._comparable(row, levels[id(row)]) if id(row) in levels else None
        if own is None or not row.work[0]:
            return None
        like = (r for step in steps_of[id(row)] for r in step)
        costs = (self._comparable(r, levels[id(r)]) for r in like)
        dearer = [cost for cost in costs if cost is not None and cost > own]
        return min(dearer) * (1.0 + self.basis.resolution) - own if dearer else None

    def _least_margin(self, candidate: Candidate) -> tuple[float | None, CriterionRef | None]:
        """Return the least margin over every stated criterion of the jobs it is judged over."""
        grid = self.basis.appraisal.grid
        jobs = self.basis.appraisal.gate(candidate.id).jobs
        columns = [grid.column(job) for job in jobs]
        margins = np.array([a.margin[candidate.row, columns] for a in grid.verdicts])
        margins = np.where(np.isfinite(margins), margins, inf)
        if not np.isfinite(margins).any():
            return None, None
        key, job = np.unravel_index(margins.argmin(), margins.shape)
        return float(margins[key, job]), CriterionRef(candidate.id, jobs[job], CRITERIA[key])


def _of_price(part: str) -> bool:
    return part.startswith("price.")


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value
