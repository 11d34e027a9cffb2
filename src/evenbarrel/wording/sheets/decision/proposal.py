"""A proposal in words: what it comes to, what stands in its way, and who stands by it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import Gate, ProgrammeGate
from evenbarrel.appraisal.references import GateRef, Place, Reference
from evenbarrel.decision.cover.covers import Cover
from evenbarrel.decision.decide import Decision, ProposalResult
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.model.base import LONGEST_TEXT
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.choice import over_life
from evenbarrel.wording.sentences.deciding.gate import gate_words
from evenbarrel.wording.sentences.deciding.told import NO_PROPOSAL, REPLACED
from evenbarrel.wording.sheets.decision.cells import amount_cell, count_cell
from evenbarrel.wording.sheets.decision.cover import of_machines
from evenbarrel.wording.sheets.gates.ways_out import ways_out_sheet
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT

_LONGEST_NAME = 80

JobsOf = Mapping[str, Sequence[str]]
"""The jobs that each barrel runs."""


def proposal_line(decision: Decision, most: int | None = None) -> str:
    """Return the proposal in a sentence or two: what, its gate, its cost, by whom.

    Of more than `most` barrels the others are counted; names are cut then, never the gate.
    """
    result = decision.proposal
    if result is None:
        return NO_PROPOSAL
    appraisal, proposal = decision.appraisal, result.proposal
    longest = LONGEST_TEXT if most is None else _LONGEST_NAME
    names_of = (full_name(appraisal, name) for name in proposal.barrels[:most])
    told = [fitted(name, longest, len) for name in names_of]
    if len(told) < len(proposal.barrels):
        told = [", ".join(told), f"{len(proposal.barrels) - len(told)} more"]
    names = " and ".join(told) or "nothing"
    who = fitted(proposal.person or "a person not named", longest, len)
    day = "" if proposal.date is None else f", {date_text(proposal.date)}"
    gate = gate_text(result.gate, len(appraisal.jobs))
    return f"Proposed by {who}{day}: {names}. Its gate: {gate}; {over_life(decision, result)}."


def gate_text(gate: ProgrammeGate, jobs: int) -> str:
    """Return the gate of a proposal, with what nobody runs."""
    words = labels.GATES[gate.state]
    if gate.uncovered:
        return f"{words}, for {len(gate.uncovered)} of {jobs} jobs are given to nobody"
    return words


def proposal_sheet(decision: Decision, result: ProposalResult) -> Sheet:
    """Return each machine of the proposal: its jobs, its gate over them, its cost."""
    appraisal = decision.appraisal
    currency = appraisal.evaluation.currency
    headings = (
        Heading("Machine"),
        Heading("Runs", tip="The jobs that it is given"),
        Heading("Copies", align="right", tip="As many as the hours of its jobs need"),
        Heading("Gate over these jobs"),
        Heading("Today", currency, "right", "Cost over life"),
        Heading("A year", currency, "right"),
    )
    costs = {cost.barrel: cost for cost in result.costs}
    rows = [_machine(decision, gate, costs.get(gate.barrel)) for gate in result.gate.gates]
    if len(result.costs) > 1:
        rows.append(
            (
                Cell("Together"),
                Cell(ABSENT),
                count_cell(sum(cost.copies for cost in result.costs)),
                Cell(gate_text(result.gate, len(appraisal.jobs))),
                amount_cell(result.present, of_machines(result.costs, "present")),
                amount_cell(result.yearly, of_machines(result.costs, "yearly")),
            )
        )
    return Sheet("proposal", "Proposal", headings, tuple(rows), notes=_notes(decision, result))


def _machine(decision: Decision, gate: Gate, cost: LifeCost | None) -> tuple[Cell, ...]:
    """Return the row of one machine; without a cost where it is no longer offered."""
    appraisal = decision.appraisal
    jobs = "; ".join(job_name(appraisal, job) for job in gate.jobs)
    words = REPLACED if cost is None else gate_words(gate, appraisal)
    amounts = [Cell(ABSENT)] * 3
    if cost is not None:
        amounts = [
            count_cell(cost.copies),
            amount_cell(cost.present, of_machines((cost,), "present")),
            amount_cell(cost.yearly, of_machines((cost,), "yearly")),
        ]
    return (
        Cell(full_name(appraisal, gate.barrel)),
        Cell(jobs or "no job", tip=jobs),
        amounts[0],
        Cell(words, tip=words),
        *amounts[1:],
    )


def _notes(decision: Decision, result: ProposalResult) -> tuple[str, ...]:
    appraisal = decision.appraisal
    notes = [f"Reason: {result.proposal.reason}"] if result.proposal.reason else []
    for words, jobs in (
        ("Given to nobody", result.gate.uncovered),
        ("Given to two barrels, the first of them counts", result.twice),
    ):
        if jobs:
            notes.append(f"{words}: {'; '.join(job_name(appraisal, job) for job in jobs)}.")
    return tuple(notes)


def proposal_ways_sheet(appraisal: Appraisal, result: ProposalResult) -> Sheet:
    """Return what stands in the proposal's way, each with where it is answered."""
    rows: list[tuple[Cell, ...]] = []
    references: list[Reference | Place] = []
    headings: tuple[Heading, ...] = ()
    for gate in result.gate.gates:
        sheet = ways_out_sheet(appraisal, gate)
        headings = (Heading("Machine"), *sheet.headings)
        name = full_name(appraisal, gate.barrel)
        rows += [(Cell(name), *row) for row in sheet.rows]
        references += sheet.row_references or [GateRef(gate.barrel)] * len(sheet.rows)
    return Sheet(
        "proposal_ways",
        "What stands in the way of the proposal",
        headings,
        tuple(rows),
        row_references=tuple(references),
    )


def consequence(appraisal: Appraisal, jobs_of: JobsOf) -> str:
    """Return what a proposal would come to: its gate, and what each machine waits for."""
    gate = appraisal.gates.programme(jobs_of)
    lines = [f"Its gate: {gate_text(gate, len(appraisal.jobs))}."]
    lines += [
        f"{full_name(appraisal, one.barrel)}: {gate_words(one, appraisal)}."
        for one in gate.gates
        if one.state != "no_objection" and one.jobs
    ]
    if any(one.state == "shut" for one in gate.gates):
        lines.append(
            "What is shut needs another machine for these jobs or, where no physics shuts it, an "
            "accepted deviation: the ways stand under Proposal once it is recorded."
        )
    return "\n".join(lines)


def jobs_of_order(decision: Decision, barrel: str) -> JobsOf:
    """Return a barrel with the jobs it runs where it is the only one."""
    return {barrel: decision.cost[barrel].jobs}


def jobs_of_cover(cover: Cover) -> JobsOf:
    """Return the machines of a set, each with the jobs it runs."""
    return {cost.barrel: cost.jobs for cost in cover.costs if cost.jobs}


def jobs_of_proposal(decision: Decision) -> JobsOf:
    """Return the machines of the recorded proposal with their jobs; none without one."""
    result = decision.proposal
    return {} if result is None else {gate.barrel: gate.jobs for gate in result.gate.gates}
