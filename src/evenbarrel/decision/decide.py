"""The decision's numbers from an appraisal: the one way in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import ProgrammeGate
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.asking.ask import Ask
from evenbarrel.decision.basis import Basis
from evenbarrel.decision.cover.covers import Cover, Covers
from evenbarrel.decision.life_cost import LifeCost, LifeCosts
from evenbarrel.decision.offers import Offer, Offers
from evenbarrel.decision.programme import Programme
from evenbarrel.decision.ranking import OrderLine, Ranking
from evenbarrel.decision.weighting import Shares, shares_of
from evenbarrel.model.decision import Proposal


@dataclass(frozen=True)
class ProposalResult:
    """What a recorded proposal comes to: its gate over the jobs it gives, and its cost.

    `twice` are jobs that it gives to two barrels: the first of them runs it. `replaced` are
    barrels of an offer that was withdrawn or revised since.
    """

    proposal: Proposal
    gate: ProgrammeGate
    costs: tuple[LifeCost, ...]
    present: Amount
    yearly: Amount
    twice: tuple[str, ...]
    replaced: tuple[str, ...]


class Decision:
    """Everything a choice needs; each part is computed when it is first asked for."""

    def __init__(self, appraisal: Appraisal) -> None:
        """Take the appraisal that it stands on."""
        self.appraisal = appraisal
        self.basis = Basis(appraisal)
        self._offers = Offers(self.basis)
        self.costs = LifeCosts(self.basis, Programme(self.basis), self._offers)
        self._covers = Covers(self.costs)

    @property
    def offers(self) -> Mapping[str, Offer]:
        """What each barrel costs, landed, in the order of the file."""
        return self._offers.of

    @property
    def cost(self) -> Mapping[str, LifeCost]:
        """What each barrel costs over its life where it is the only one."""
        return self.costs.alone

    @property
    def cover(self) -> tuple[Cover, ...]:
        """The best set of none, one, two and three machines, and of as few as cover all."""
        return self._covers.lines

    @property
    def needs_at_least(self) -> int | None:
        """The fewest bought machines that cover every job; None where no 8 do."""
        return self._covers.needs_at_least

    @cached_property
    def order(self) -> tuple[OrderLine, ...]:
        """The barrels by gate, jobs run and levelled cost."""
        return Ranking(self.costs).order

    @cached_property
    def shares(self) -> Shares:
        """Under which share of all weightings each barrel leads."""
        return shares_of(self.basis, self.order)

    @cached_property
    def ask(self) -> Ask:
        """What the planned jobs ask of a barrel."""
        return Ask(self.appraisal)

    @cached_property
    def proposal(self) -> ProposalResult | None:
        """What the recorded proposal comes to; None where nobody has made one."""
        proposal = self.appraisal.evaluation.proposal
        if proposal is None:
            return None
        jobs_of, twice = self._given(proposal)
        column = self.appraisal.grid.column
        standing = {name: jobs for name, jobs in jobs_of.items() if self._stands(name)}
        costs = tuple(
            self.costs.of(barrel, sorted(column(job) for job in jobs))
            for barrel, jobs in standing.items()
        )
        present = self._covers.joined(costs)
        return ProposalResult(
            proposal,
            self.appraisal.gates.programme(standing),
            costs,
            present,
            self.costs.yearly(present),
            twice,
            tuple(name for name in jobs_of if name not in standing),
        )

    def _stands(self, barrel: str) -> bool:
        return barrel in self.basis.by_id

    def _given(self, proposal: Proposal) -> tuple[Mapping[str, list[str]], tuple[str, ...]]:
        """Return the jobs that a proposal gives each of its barrels, and those it gives twice.

        One barrel without jobs named runs all that no pin gives to another.
        """
        barrels = list(dict.fromkeys(proposal.barrels))
        if not proposal.jobs and len(barrels) == 1 and self._stands(barrels[0]):
            return {barrels[0]: list(self.appraisal.gate(barrels[0]).jobs)}, ()
        jobs_of: dict[str, list[str]] = {barrel: [] for barrel in barrels}
        given: set[str] = set()
        twice = []
        for one in proposal.jobs:
            if one.job in given:
                twice.append(one.job)
                continue
            given.add(one.job)
            jobs_of[one.barrel].append(one.job)
        return jobs_of, tuple(dict.fromkeys(twice))


def decide(appraisal: Appraisal) -> Decision:
    """Return what a choice needs; pure but for the time that the cover may take."""
    return Decision(appraisal)
