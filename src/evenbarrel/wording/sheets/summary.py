"""The table of the first page: barrels that stand alike together, best first."""

from __future__ import annotations

from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import Gate, GateState
from evenbarrel.appraisal.results import BarrelResult
from evenbarrel.wording.paper.first_pages import names_text, range_text, why_text
from evenbarrel.wording.pictures.board import GATE_MARKS
from evenbarrel.wording.sentences.deciding.gate import best_first
from evenbarrel.wording.sheets.gates.gate import gate_sheet
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, count_cell
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import barrel_name, supplier_name

_UNKNOWN = (Heading("Open criteria", align="right"), Heading("Claims in doubt", align="right"))


@dataclass(frozen=True, slots=True)
class GateGroup:
    """Barrels of one gate for the same reasons, in the order of the offers."""

    why: str
    gates: tuple[Gate, ...]


def gate_groups(appraisal: Appraisal) -> tuple[GateGroup, ...]:
    """Return the barrels in groups that stand alike for the same reasons, best gate first."""
    groups: dict[tuple[GateState | None, str], list[Gate]] = {}
    for name in best_first(appraisal):
        gate = appraisal.gate(name)
        groups.setdefault((gate.state, why_text(appraisal, gate)), []).append(gate)
    return tuple(GateGroup(why, tuple(gates)) for (_, why), gates in groups.items())


def gate_groups_sheet(appraisal: Appraisal, groups: tuple[GateGroup, ...]) -> Sheet:
    """Return groups of barrels side by side: gate, barrels, why, what is open and in doubt."""
    headings = (
        Heading("Gate"),
        Heading("Barrels"),
        Heading("Nearest its limit, waits for, or shut by"),
        *_UNKNOWN,
    )
    rows = tuple(_row(appraisal, group) for group in groups)
    return Sheet("standings", "Where each barrel stands", headings, rows)


def printed_gate_sheet(appraisal: Appraisal) -> Sheet:
    """Return the gate of each barrel, best first: how its jobs stand, and why it stands there."""
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        Heading("Gate"),
        *(Heading(word.capitalize(), "jobs", "right") for word in labels.STATES.values()),
        Heading("Nearest its limit, waits for, or shut by"),
        *_UNKNOWN,
    )
    barrels = map(appraisal.barrel, best_first(appraisal))
    rows = tuple(_gate_row(appraisal, barrel) for barrel in barrels)
    notes = gate_sheet(appraisal).notes
    return Sheet("gate", "Gate on fit, barrel by barrel", headings, rows, notes)


def _gate_row(appraisal: Appraisal, barrel: BarrelResult) -> tuple[Cell, ...]:
    gate = appraisal.gate(barrel.id)
    states = [appraisal.fit(barrel.id, job).state for job in gate.jobs]
    return (
        Cell(supplier_name(appraisal, barrel.id)),
        Cell(barrel_name(appraisal, barrel.id)),
        Cell(labels.GATES[gate.state], state=GATE_MARKS[gate.state]),
        *(count_cell(states.count(state)) for state in labels.STATES),
        Cell(why_text(appraisal, gate)),
        *map(count_cell, (len(gate.open_criteria), len(gate.doubts))),
    )


def _row(appraisal: Appraisal, group: GateGroup) -> tuple[Cell, ...]:
    state = group.gates[0].state
    return (
        Cell(labels.GATES[state], state=GATE_MARKS[state]),
        Cell(names_text(appraisal, [gate.barrel for gate in group.gates])),
        Cell(group.why),
        Cell(range_text(len(gate.open_criteria) for gate in group.gates)),
        Cell(range_text(len(gate.doubts) for gate in group.gates)),
    )
