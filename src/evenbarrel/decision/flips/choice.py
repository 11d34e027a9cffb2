"""The two choices that are held against each other, and how they stand to one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import log
from typing import Literal

import numpy as np

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import Gate, GateState
from evenbarrel.decision.basis import Basis
from evenbarrel.decision.cover.covers import Cover, Covers
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.life_cost import LifeCost, LifeCosts, Work
from evenbarrel.decision.offers import Offers
from evenbarrel.decision.programme import Programme
from evenbarrel.decision.ranking import Ranking, place_of_gate
from evenbarrel.model.changes import only_units_of, without_job
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.trade.formula import Array

Precedence = Literal["first", "like", "second"]
"""Which of two choices comes before the other; like: within the resolution, they are not told
apart."""


@dataclass(frozen=True)
class Choice:
    """Barrels to buy with the jobs that each is judged over."""

    jobs_of: Mapping[str, tuple[str, ...]]

    @property
    def barrels(self) -> tuple[str, ...]:
        """The barrels, in the order they were named in."""
        return tuple(self.jobs_of)


def choices_of(decision: Decision) -> tuple[Choice, Choice] | None:
    """Return the proposal and its runner-up; None where there are no two that count.

    Without a proposal the leader of the order and the next. The runner-up of one barrel is the
    first of the order that is not it; of several the best set of as many machines, else of fewer,
    that is not the same.
    """
    proposed = decision.proposal
    ranked = [line.barrel for line in decision.order if line.rank is not None]
    if proposed is None:
        return (_alone(decision, ranked[0]), _alone(decision, ranked[1])) if ranked[1:] else None
    proposed_jobs = {gate.barrel: gate.jobs for gate in proposed.gate.gates}
    own = Choice({b: jobs for b, jobs in proposed_jobs.items() if b not in proposed.replaced})
    if not own.jobs_of:
        return None
    if len(own.barrels) == 1:
        other = next((name for name in ranked if name not in own.jobs_of), None)
        return None if other is None else (own, _alone(decision, other))
    best = _other_set(decision, own)
    return None if best is None else (own, best)


def _alone(decision: Decision, barrel: str) -> Choice:
    return Choice({barrel: decision.appraisal.gate(barrel).jobs})


def _other_set(decision: Decision, own: Choice) -> Choice | None:
    for line in decision.covers_from_largest():
        for cover in (line, line.runner_up):
            if cover is None or cover.bought > len(own.barrels):
                continue
            found = _of_cover(cover)
            if found.barrels and set(found.barrels) != set(own.barrels):
                return found
    return None


def _of_cover(cover: Cover) -> Choice:
    jobs_of: dict[str, list[str]] = {}
    for run in cover.runs:
        jobs = jobs_of.setdefault(run.barrel, [])
        if run.job not in jobs:
            jobs.append(run.job)
    return Choice({barrel: tuple(jobs) for barrel, jobs in jobs_of.items()})


def only_these(evaluation: Evaluation, choices: Sequence[Choice]) -> Evaluation:
    """Return the evaluation with the units of these choices alone, and the jobs they may run.

    A job that is pinned to other barrels is none of theirs.
    """
    barrels = [barrel for choice in choices for barrel in choice.barrels]
    trimmed = only_units_of(evaluation, barrels)
    left = {pin.job for pin in trimmed.assignment}
    for job in {pin.job for pin in evaluation.assignment} - left:
        trimmed = without_job(trimmed, job)
    return trimmed


class Compared:
    """Two choices under one appraisal; each part is computed when it is first asked for."""

    def __init__(self, appraisal: Appraisal, choices: tuple[Choice, Choice]) -> None:
        """Take the appraisal of the evaluation that `only_these` returns, or one like it."""
        self.appraisal, self.choices = appraisal, choices

    @cached_property
    def gates(self) -> Mapping[str, Gate]:
        """The gate of each barrel over the jobs of its choice."""
        over = self.appraisal.gates.over
        return {barrel: over(barrel, jobs) for barrel, jobs in self._judged_over.items()}

    @cached_property
    def states(self) -> Mapping[str, GateState | None]:
        """The state of each gate: quicker had than its reasons."""
        over = self.appraisal.gates.state_over
        return {barrel: over(barrel, jobs) for barrel, jobs in self._judged_over.items()}

    @cached_property
    def _judged_over(self) -> Mapping[str, Sequence[str]]:
        known = set(self.appraisal.grid.job_ids)
        return {
            barrel: [job for job in jobs if job in known]
            for choice in self.choices
            for barrel, jobs in choice.jobs_of.items()
        }

    @cached_property
    def _costs(self) -> LifeCosts:
        barrels = frozenset(barrel for choice in self.choices for barrel in choice.barrels)
        basis = Basis(self.appraisal, barrels)
        return LifeCosts(basis, Programme(basis), Offers(basis))

    @cached_property
    def cost_inputs(self) -> tuple[Array, ...]:
        """Everything by which an appraisal moves the costs of the barrels: alike, they are too.

        Beside it only what is entered of money, hours and energy does.
        """
        programme, inputs = self._costs.programme, self.appraisal.grid.table.inputs
        resins = self.appraisal.resins.values()
        densities = [np.nan if r.melt_density is None else r.melt_density for r in resins]
        return (
            programme.shots,
            programme.shot_mass,
            programme.hours,
            programme.batches,
            programme.stop_bits.astype(np.float64),
            programme.without_objection.astype(np.float64),
            inputs.melt_inventory.nominal,
            inputs.hot_runner_volume.nominal,
            np.array(densities, dtype=np.float64),
        )

    @cached_property
    def _worths(self) -> tuple[tuple[int, int], ...]:
        """What goes before cost, of each choice: the worst gate, then how many jobs it runs."""
        return tuple(
            (
                max(place_of_gate(self.states[barrel]) for barrel in choice.barrels),
                -len(work[0]),
            )
            for choice, work in zip(self.choices, self._works, strict=True)
        )

    @property
    def _alone(self) -> bool:
        """Whether both choices are of one barrel, which the order ranks by itself."""
        return all(len(choice.barrels) == 1 for choice in self.choices)

    @cached_property
    def _works(self) -> tuple[Work, ...]:
        """The jobs that each choice runs, and those that are undecided; a set runs all it has.

        In their order: what is alike is the same work.
        """
        if not self._alone:
            given = (
                {job for jobs in choice.jobs_of.values() for job in jobs} for choice in self.choices
            )
            return tuple((tuple(sorted(jobs)), ()) for jobs in given)
        rows = [candidate.id for candidate in self._costs.basis.candidates]
        places = (rows.index(choice.barrels[0]) for choice in self.choices)
        return tuple(map(self._costs.work_alone, places))

    @cached_property
    def _amounts(self) -> tuple[float | None, ...]:
        """What each choice costs, levelled where the order ranks it."""
        if not self._alone:
            return tuple(map(self._of_set, self.choices))
        lines = {line.barrel: line for line in Ranking(self._costs).order}
        own = (lines[choice.barrels[0]] for choice in self.choices)
        return tuple(line.present_cost if line.rank is None else line.levelled for line in own)

    def _of_set(self, choice: Choice) -> float | None:
        costs = [self._life_cost(barrel, jobs) for barrel, jobs in choice.jobs_of.items()]
        return Covers(self._costs).joined(costs).value

    def _life_cost(self, barrel: str, jobs: tuple[str, ...]) -> LifeCost:
        """Return what a machine costs with its jobs: once, where both choices have it alike."""
        if (barrel, jobs) not in self._known:
            columns = sorted(self.appraisal.grid.column(job) for job in jobs)
            self._known[barrel, jobs] = self._costs.of(barrel, columns)
        return self._known[barrel, jobs]

    @cached_property
    def _known(self) -> dict[tuple[str, tuple[str, ...]], LifeCost]:
        return {}

    @cached_property
    def ratio(self) -> float | None:
        """Logarithm of the first choice's cost over the second's; None where they are unlike."""
        worth, other = self._worths
        work, its_work = self._works
        if worth != other or work != its_work or not work[0]:
            # Costs are not looked at: what goes before them decides, or they are of unlike work,
            # or of none that is known to run.
            return None
        cost, its = self._amounts
        if not cost or not its or cost <= 0 or its <= 0:
            return None
        return log(cost / its)

    @property
    def resolution(self) -> float:
        """From which `ratio` on, up or down, costs count as different."""
        return log(1.0 + self._costs.basis.resolution)

    @cached_property
    def order(self) -> Precedence | None:
        """Which comes first; None where costs decide and cannot be compared."""
        worth, other = self._worths
        if worth != other:
            return "first" if worth < other else "second"
        if self.ratio is None:
            return None
        if abs(self.ratio) <= self.resolution:
            return "like"
        return "first" if self.ratio < 0 else "second"
