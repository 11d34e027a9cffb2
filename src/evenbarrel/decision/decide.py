"""The decision's numbers from an appraisal: the one way in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from weakref import WeakValueDictionary

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.asked import ENDED
from evenbarrel.appraisal.gate_results import ProgrammeGate
from evenbarrel.appraisal.progress import Report
from evenbarrel.appraisal.references import AmountRef, MachineRef
from evenbarrel.appraisal.results import Question
from evenbarrel.decision.amount import Amount, total
from evenbarrel.decision.asking.ask import Ask
from evenbarrel.decision.basis import Basis
from evenbarrel.decision.cover.covers import SHOWN, Cover, Covers
from evenbarrel.decision.life_cost import LifeCost, LifeCosts
from evenbarrel.decision.offers import Offer, Offers
from evenbarrel.decision.programme import Programme
from evenbarrel.decision.ranking import OrderLine, Ranking
from evenbarrel.decision.weighting import Shares, shares_of
from evenbarrel.model.record.decision import Proposal


@dataclass(frozen=True)
class ProposalResult:
    """The results of a proposal: its gate over the jobs it assigns, its price and its cost.

    `price` is of the machines that are bought: the plant's own are not paid for again. `twice` are
    jobs that it gives to two barrels: the first of them runs it. `replaced` are barrels of an
    offer that was withdrawn or revised since.
    """

    proposal: Proposal
    gate: ProgrammeGate
    costs: tuple[LifeCost, ...]
    price: Amount
    present: Amount
    yearly: Amount
    twice: tuple[str, ...]
    replaced: tuple[str, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """What price and cost lack, a kind of cost that only others state included."""
        of_each = (name for cost in self.costs for name in cost.missing)
        return tuple(dict.fromkeys((*self.price.missing, *of_each)))


class Decision:
    """Everything a choice needs; each part is computed when it is first asked for."""

    def __init__(self, appraisal: Appraisal, before: Decision | None = None) -> None:
        """Take the appraisal it is based on, and what is unchanged since an earlier decision."""
        self.appraisal = appraisal
        self.basis = Basis(appraisal)
        known = before if before is not None and self.basis.is_as(before.basis) else None
        self._offers: Offers = Offers(self.basis, None if known is None else known._offers)
        self.costs: LifeCosts = LifeCosts(
            self.basis,
            Programme(self.basis),
            self._offers,
            None if known is None else known.costs,
        )
        self._covers = Covers(self.costs)

    @property
    def offers(self) -> Mapping[str, Offer]:
        """What each barrel costs, landed, in the order of the file."""
        return self._offers.of

    def offer(self, barrel: str) -> Offer:
        """Return what one barrel costs, landed; raises KeyError."""
        return self._offers.one(barrel)

    @property
    def cost(self) -> Mapping[str, LifeCost]:
        """What each barrel costs over its life where it is the only one."""
        return self.costs.alone

    @property
    def cover(self) -> tuple[Cover, ...]:
        """The best set of none, one, two and three machines, and of as few as cover all."""
        return self._covers.lines

    def covers_from_largest(self) -> Iterator[Cover]:
        """Yield the same sets, that of the most machines first, each found when it is asked for."""
        return self._covers.largest_first()

    @property
    def needs_at_least(self) -> int | None:
        """The fewest bought machines that cover every job; None where no 8 do."""
        return self._covers.needs_at_least

    def find_cover(self, report: Report) -> tuple[Cover, ...]:
        """Return the cover, telling the share done; what `report` raises stops the work."""
        for done, machines in enumerate(SHOWN):
            report(done / (len(SHOWN) + 1))
            self._covers.best(machines)
        report(len(SHOWN) / (len(SHOWN) + 1))
        return self._covers.lines

    @property
    def is_costed(self) -> bool:
        """Whether costs, order and shares are computed already."""
        return "shares" in self.__dict__

    def find_costs(self, report: Report) -> None:
        """Compute costs, order and shares; what `report` raises stops the work in between."""
        for done, part in enumerate(("cost", "order", "shares")):
            report(done / 3)
            getattr(self, part)

    def joined(self, costs: Sequence[LifeCost]) -> Amount:
        """Return the present cost of several machines: what a bid charges once is counted once."""
        return self._covers.joined(costs)

    def price_of(self, costs: Sequence[LifeCost]) -> Amount:
        """Return what several machines cost to buy: nothing for the plant's own."""
        bought = [cost for cost in costs if not self.offer(cost.barrel).owned]
        prices = [cost.parts["price"] for cost in bought]
        once = [part for part in self.joined(bought).parts if part.of == "paid_once"]
        known = not bought or any(price.value for price in prices)
        return total("bought", [*prices, *once], known)

    def amount(self, reference: AmountRef) -> Amount:
        """Return an amount; raises KeyError where it is no longer there."""
        if reference.of == "offer":
            offer = self.offer(reference.machines[0].barrel)
            amount = offer.named[reference.name]
        else:
            costs = [self._cost_of(machine) for machine in reference.machines]
            one = costs[0] if len(costs) == 1 else None
            present = self.joined(costs) if one is None else one.present
            parts = {} if one is None else one.parts
            if reference.name == "bought":
                amount = self.price_of(costs)
            else:
                named = {**parts, "present": present, "yearly": self.costs.yearly(present)}
                amount = named[reference.name]
        for step in reference.steps:
            if step >= len(amount.parts):
                raise KeyError(step)
            amount = amount.parts[step]
        return amount

    def _cost_of(self, machine: MachineRef) -> LifeCost:
        if machine.jobs is None:
            # Of one machine alone, where those of all are not there yet.
            one = self.costs.of_alone
            return self.cost[machine.barrel] if self.is_costed else one(machine.barrel)
        if machine.barrel not in self.basis.by_id:
            raise KeyError(machine.barrel)
        column = self.appraisal.grid.column
        jobs = sorted(column(job) for job in machine.jobs)
        return self.costs.of(machine.barrel, jobs, machine.copies)

    @cached_property
    def order(self) -> tuple[OrderLine, ...]:
        """The barrels by gate, jobs known to run and levelled cost."""
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
        """The results of the recorded proposal; None where nobody has made one."""
        proposal = self.appraisal.evaluation.proposal
        return None if proposal is None else self.result_of(proposal)

    def result_of(self, proposal: Proposal) -> ProposalResult:
        """Return the results of a proposal, recorded or not."""
        jobs_of, twice = self._given(proposal)
        column = self.appraisal.grid.column
        counting = {name: jobs for name, jobs in jobs_of.items() if self._counts(name)}
        costs = tuple(
            self.costs.of(barrel, sorted(column(job) for job in jobs))
            for barrel, jobs in counting.items()
        )
        present = self._covers.joined(costs)
        return ProposalResult(
            proposal,
            self.appraisal.gates.programme(counting),
            costs,
            self.price_of(costs),
            present,
            self.costs.yearly(present),
            twice,
            tuple(name for name in jobs_of if name not in counting),
        )

    def open_questions(self, result: ProposalResult) -> tuple[Question, ...]:
        """Return the questions, not yet answered or accepted, that a proposal depends on."""
        barrels = {cost.barrel for cost in result.costs}
        bids = {self.offer(barrel).bid for barrel in barrels}
        jobs = {job for gate in result.gate.gates for job in gate.jobs}

        def is_of(question: Question) -> bool:
            if question.barrels:
                return not barrels.isdisjoint(question.barrels)
            if question.bid is not None:
                return question.bid in bids
            return not question.jobs or not jobs.isdisjoint(question.jobs)

        waiting = (one for one in self.appraisal.questions if one.state not in ENDED)
        return tuple(filter(is_of, waiting))

    def _counts(self, barrel: str) -> bool:
        return barrel in self.basis.by_id

    def _given(self, proposal: Proposal) -> tuple[Mapping[str, list[str]], tuple[str, ...]]:
        """Return the jobs that a proposal gives each of its barrels, and those it gives twice.

        One barrel without jobs named runs all that no pin gives to another.
        """
        barrels = list(dict.fromkeys(proposal.barrels))
        if not proposal.jobs and len(barrels) == 1 and self._counts(barrels[0]):
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


_HELD: WeakValueDictionary[int, Decision] = WeakValueDictionary()
"""Decisions that somebody holds, by the identity of their appraisal, which they keep alive."""


def decide(appraisal: Appraisal, before: Decision | None = None) -> Decision:
    """Return what a choice needs; pure but for the time that the cover may take.

    As long as somebody holds the decision of an appraisal, that one is returned: what the screen
    shows is what is written.
    `before` may be the decision of an earlier state: offers and costs that cannot have changed are
    taken from it. The result is the same without it, only later.
    """
    found = _HELD.get(id(appraisal))
    if found is None:
        found = _HELD[id(appraisal)] = Decision(appraisal, before)
    return found
