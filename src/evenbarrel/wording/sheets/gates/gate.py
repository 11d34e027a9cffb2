"""The gate of each barrel, the best first, after what its jobs come to."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import (
    CountRef,
    GateRef,
    VolumeRef,
)
from evenbarrel.appraisal.results import (
    SEVERITY,
    BarrelResult,
    State,
)
from evenbarrel.wording.on_demand import OnDemand
from evenbarrel.wording.sentences.deciding.gate import best_first, gate_words
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, count_cell
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import barrel_name, supplier_name


def gate_sheet(appraisal: Appraisal) -> Sheet:
    """Return the gate of each barrel, the best first, after what its jobs come to."""
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        Heading("Programme", yields=1),
        Heading("Inside", "jobs", "right"),
        Heading("Near edge", "jobs", "right"),
        Heading("Outside", "jobs", "right"),
        Heading("Not stated", "jobs", "right"),
        Heading("Gate"),
    )
    barrels = [appraisal.barrel(name) for name in best_first(appraisal)]
    return Sheet(
        "gate",
        "Gate on fit",
        headings,
        OnDemand(len(barrels), lambda place: _gate_row(appraisal, barrels[place])),
        notes=(
            "Shut: outside by physics or a resin's limit for at least one job. Waits: for a person "
            "or a supplier. No objection: nothing that was assessed stands against it. Clamp "
            "force, tie bars, mould height and nozzle fit are not judged here.",
        ),
        row_references=tuple(GateRef(barrel.id) for barrel in barrels),
    )


def _gate_row(appraisal: Appraisal, barrel: BarrelResult) -> tuple[Cell, ...]:
    gate = appraisal.gate(barrel.id)
    states = appraisal.grid.states_of(barrel.id, gate.jobs)
    worst: State = min(states, key=SEVERITY.index, default="not_stated")
    return (
        Cell(supplier_name(appraisal, barrel.id)),
        Cell(barrel_name(appraisal, barrel.id), reference=VolumeRef(barrel.id)),
        Cell(labels.STATES[worst], state=worst),
        *(count_cell(states.count(one), CountRef(barrel.id, one)) for one in labels.STATES),
        Cell(gate_words(gate, appraisal)),
    )
