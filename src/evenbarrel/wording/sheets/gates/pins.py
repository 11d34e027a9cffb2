"""Which job runs on which barrels only, and how the barrels' gates stand for each job."""

from __future__ import annotations

from collections.abc import Collection

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.gate_results import GATES, GateState
from evenbarrel.appraisal.references import GatesRef, PinRef
from evenbarrel.model.record.decision import Assignment
from evenbarrel.wording.sentences.deciding.decision import ANY_BARREL
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, count_cell
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name, job_name


def pins_sheet(appraisal: Appraisal) -> Sheet:
    """Return each job with the barrels it is pinned to, and how many barrels could run it."""
    headings = (
        Heading("Job"),
        *(
            Heading(labels.GATES[gate].capitalize(), "barrels", "right", "For this job alone")
            for gate in GATES[::-1]
        ),
        Heading("Only on"),
    )
    rows = []
    for job in appraisal.jobs:
        counts = appraisal.gates.counts_of(job.id)
        names = [pin_name(appraisal, one) for one in pins_of(appraisal, job.id)]
        rows.append(
            (
                Cell(job_name(appraisal, job.id)),
                *(count_cell(counts[gate], GatesRef(job.id, gate)) for gate in GATES[::-1]),
                Cell("; ".join(names) or ANY_BARREL, tip="\n".join(names)),
            )
        )
    return Sheet(
        "pins",
        "Jobs and the barrels they run on",
        headings,
        tuple(rows),
        row_references=tuple(PinRef(job.id) for job in appraisal.jobs),
    )


def pins_of(appraisal: Appraisal, job: str) -> tuple[Assignment, ...]:
    """Return the pins of a job."""
    return tuple(one for one in appraisal.evaluation.assignment if one.job == job)


def pin_name(appraisal: Appraisal, pin: Assignment) -> str:
    """Return the barrel a job is pinned to, with the copy where it is not the first."""
    copy = "" if pin.copy_number == 1 else f", copy {pin.copy_number}"
    return f"{full_name(appraisal, pin.barrel)}{copy}"


def barrel_line(appraisal: Appraisal, barrel: str, jobs: Collection[str]) -> str:
    """Return a barrel with the worst gate it has for any of these jobs alone."""
    states = [appraisal.gates.cell(barrel, job) for job in jobs]
    known: list[GateState] = [state for state in states if state is not None]
    worst = min(known, key=GATES.index, default=None) if len(known) == len(states) else None
    return f"{full_name(appraisal, barrel)}: {labels.GATES[worst]}"


def jobs_name(appraisal: Appraisal, jobs: Collection[str]) -> str:
    """Return which jobs a step is about: one by its name, several by their number."""
    return job_name(appraisal, next(iter(jobs))) if len(jobs) == 1 else f"{len(jobs)} jobs"
