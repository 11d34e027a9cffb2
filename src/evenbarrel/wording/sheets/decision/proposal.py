"""A proposal in words: what it comes to, what stands in its way, and who stands by it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import Gate, ProgrammeGate
from evenbarrel.appraisal.references import GateRef, Reference, WayOut
from evenbarrel.decision.cover.covers import Cover
from evenbarrel.decision.decide import Decision, ProposalResult
from evenbarrel.decision.life_cost import LifeCost
from evenbarrel.model.base import LONGEST_TEXT
from evenbarrel.model.changes import proposal_of
from evenbarrel.wording.pictures.label_layout import fitted
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.choice import basis_line, money_text, over_life
from evenbarrel.wording.sentences.deciding.gate import gate_words
from evenbarrel.wording.sentences.deciding.steps import NOT_PROPOSED, REPLACED
from evenbarrel.wording.sheets.decision.cells import NEEDED, amount_cell, missing_list
from evenbarrel.wording.sheets.decision.cover import machines_of, of_machines
from evenbarrel.wording.sheets.gates.ways_out import ways_out_sheet
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, count_cell
from evenbarrel.wording.standing_by.masking import prices_masked
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT

_LONGEST_NAME = 80
MOST_NAMED = 3
"""Machines of a proposal that are named where there is little room."""

JobsOf = Mapping[str, Sequence[str]]
"""The jobs that each barrel runs."""

BOUGHT = (
    "Prices are for the machines bought; the plant's own count in the cost over life at "
    "resale value."
)
OWNED = "The plant's own machine: not bought"


def proposal_line(decision: Decision, most: int | None = None) -> str:
    """Return the proposal in a few sentences: by whom, what, its gate, its price and cost.

    Of more than `most` machines the others are counted.
    """
    result = decision.proposal
    head = proposal_head(decision, most)
    return head if result is None else f"{head} {money_line(decision, result)}"


def proposal_head(decision: Decision, most: int | None = None) -> str:
    """Return the proposal without what it costs: by whom, what, its gate.

    Of more than `most` machines the others are counted; names are cut then, never the gate.
    """
    result = decision.proposal
    if result is None:
        return NOT_PROPOSED
    proposal = result.proposal
    who = fitted(proposal.person or "an unnamed person", _longest(most), len)
    day = "" if proposal.date is None else f", {date_text(proposal.date)}"
    gate = gate_text(result.gate, len(decision.appraisal.jobs))
    return f"Proposed by {who}{day}: {chosen_text(decision, result, most)}. Its gate: {gate}."


def _longest(most: int | None) -> int:
    return LONGEST_TEXT if most is None else _LONGEST_NAME


def chosen_text(decision: Decision, result: ProposalResult, most: int | None = None) -> str:
    """Return what is to be bought and what is kept, each with how many jobs it runs.

    Of more than `most` machines of a kind the others are counted.
    """
    bought: list[str] = []
    kept: list[str] = []
    for cost in result.costs:
        runs = f"{len(cost.jobs)} of {len(decision.appraisal.jobs)} jobs"
        called = fitted(full_name(decision.appraisal, cost.barrel), _longest(most), len)
        name = f"{called}, for {runs}"
        owned = decision.offer(cost.barrel).owned
        (kept if owned else bought).append(f"{cost.copies} × {name}" if cost.copies > 1 else name)
    gone = [full_name(decision.appraisal, name) for name in result.replaced]
    groups = (("buy", bought), ("keep", kept), ("no longer offered:", gone))
    parts = (f"{what} {_joined(names, most)}" for what, names in groups if names)
    return "; ".join(parts) or "nothing"


def _joined(names: Sequence[str], most: int | None) -> str:
    if most is None or len(names) <= most:
        return " and ".join(names)
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def money_line(decision: Decision, result: ProposalResult) -> str:
    """Return what is not stated of a proposal's cost, then its price and cost over life."""
    if prices_masked(decision.appraisal):
        return "Price and cost over life are masked."
    price, cost = money_text(decision, result.price), over_life(decision, result)
    lacks = missing_list(result.missing)
    unknown = f"Not stated: {lacks}. " if lacks else ""
    return f"{unknown}Price {price}, {cost}."


def gate_text(gate: ProgrammeGate, jobs: int) -> str:
    """Return the gate of a proposal, with what nobody runs."""
    text = labels.GATES[gate.state]
    if gate.uncovered:
        return f"{text}, for {len(gate.uncovered)} of {jobs} jobs are not assigned"
    return text


def proposal_sheet(decision: Decision, result: ProposalResult) -> Sheet:
    """Return each machine of the proposal, what is bought first: its jobs, its gate, its cost.

    Without the cost where prices are masked.
    """
    appraisal = decision.appraisal
    currency = appraisal.evaluation.currency
    headings: tuple[Heading, ...] = (
        Heading("Machine"),
        Heading("Runs", tip="The jobs assigned to it"),
        Heading("Machines", "needed", "right", NEEDED, yields=2),
        Heading("Gate", tip="For these jobs only"),
        Heading("Price", currency, "right", BOUGHT, yields=1),
        Heading("Cost over life", currency, "right", words.NAMES["present"]),
        Heading("A year", currency, "right", words.NAMES["yearly"], yields=3),
    )
    costs = {cost.barrel: cost for cost in result.costs}
    gates = sorted(result.gate.gates, key=lambda gate: _is_kept(decision, gate.barrel))
    rows = [_machine(decision, gate, costs.get(gate.barrel)) for gate in gates]
    if len(result.costs) > 1:
        rows.append(
            (
                Cell("Together"),
                Cell(ABSENT),
                count_cell(sum(cost.copies for cost in result.costs), machines_of(result.costs)),
                Cell(gate_text(result.gate, len(appraisal.jobs))),
                amount_cell(result.price, of_machines(result.costs, "bought")),
                amount_cell(result.present, of_machines(result.costs, "present")),
                amount_cell(result.yearly, of_machines(result.costs, "yearly")),
            )
        )
    # The amounts stand last: where prices are masked there is nothing in these columns.
    columns = slice(0, -3 if prices_masked(appraisal) else len(headings))
    return Sheet(
        "proposal",
        "Proposal",
        headings[columns],
        tuple(row[columns] for row in rows),
        notes=_notes(decision, result),
    )


def _is_kept(decision: Decision, barrel: str) -> bool:
    return barrel in decision.offers and decision.offers[barrel].owned


def _machine(decision: Decision, gate: Gate, cost: LifeCost | None) -> tuple[Cell, ...]:
    """Return the row of one machine; without a cost where it is no longer offered."""
    appraisal = decision.appraisal
    jobs = "; ".join(job_name(appraisal, job) for job in gate.jobs)
    gate_line = REPLACED if cost is None else gate_words(gate, appraisal)
    amounts = [Cell(ABSENT)] * 4
    if cost is not None:
        price = amount_cell(cost.parts["price"], of_machines((cost,), "price"))
        amounts = [
            count_cell(cost.copies, machines_of((cost,))),
            Cell(ABSENT, tip=OWNED) if decision.offer(cost.barrel).owned else price,
            amount_cell(cost.present, of_machines((cost,), "present")),
            amount_cell(cost.yearly, of_machines((cost,), "yearly")),
        ]
    return (
        Cell(full_name(appraisal, gate.barrel)),
        Cell(jobs or "no job", tip=jobs),
        amounts[0],
        Cell(gate_line, tip=gate_line),
        *amounts[1:],
    )


def _notes(decision: Decision, result: ProposalResult) -> tuple[str, ...]:
    appraisal = decision.appraisal
    notes = [f"Reason: {result.proposal.reason}"] if result.proposal.reason else []
    if not prices_masked(appraisal):
        notes += [basis_line(decision), words.MARKED, BOUGHT]
    for what, jobs in (
        ("Not assigned", result.gate.uncovered),
        ("Assigned to two barrels, the first of them counts", result.twice),
    ):
        if jobs:
            notes.append(f"{what}: {'; '.join(job_name(appraisal, job) for job in jobs)}.")
    return tuple(notes)


def proposal_ways_sheet(appraisal: Appraisal, result: ProposalResult) -> Sheet:
    """Return what stands in the proposal's way, each with where it is answered."""
    rows: list[tuple[Cell, ...]] = []
    references: list[Reference | WayOut] = []
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


def consequence(decision: Decision, jobs_of: JobsOf) -> str:
    """Return what a proposal would come to: gate, money, and what each machine waits for."""
    appraisal = decision.appraisal
    result = decision.result_of(proposal_of(jobs_of))
    gate = result.gate
    lines = [f"Its gate: {gate_text(gate, len(appraisal.jobs))}."]
    if gate.gates:
        lines.append(money_line(decision, result))
    lines += [
        f"{full_name(appraisal, one.barrel)}: {gate_words(one, appraisal)}."
        for one in gate.gates
        if one.state != "no_objection" and one.jobs
    ]
    if any(one.state == "shut" for one in gate.gates):
        lines.append(
            "A barrel that is shut needs another machine for these jobs or, unless physics "
            "shuts it, an accepted deviation; the ways out are listed under Proposal once it "
            "is recorded."
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
