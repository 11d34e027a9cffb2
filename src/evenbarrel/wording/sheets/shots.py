"""The planned jobs brought to volume."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.job_results import JobResult
from evenbarrel.appraisal.references import (
    ShotRef,
)
from evenbarrel.appraisal.results import ShotEnd
from evenbarrel.model.job import Job
from evenbarrel.wording.sheets.number_cells import factor_reference, number_cell, unit_heading
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.names import job_name, resin_called
from evenbarrel.wording.words.numbers import (
    ABSENT,
)

ENDS: tuple[ShotEnd, ...] = ("nominal", "smallest", "largest")


def shots_sheet(appraisal: Appraisal) -> Sheet:
    """Return the planned jobs brought to volume."""
    units = appraisal.evaluation.display_units
    headings = (
        Heading("Mould"),
        Heading("Resin"),
        Heading("Class"),
        Heading("Cavities", "", "right"),
        Heading("Shot mass", unit_heading("mass", units), "right"),
        Heading("Output factor", unit_heading("density", units), "right"),
        Heading("Shot volume", unit_heading("volume", units), "right"),
        Heading("Smallest", unit_heading("volume", units), "right"),
        Heading("Largest", unit_heading("volume", units), "right"),
        Heading("Cycle", "s", "right"),
    )
    rows = tuple(
        _shot_row(appraisal, job, result)
        for job, result in zip(appraisal.evaluation.jobs, appraisal.jobs, strict=True)
    )
    return Sheet("shots", "Planned shots", headings, rows)


def _shot_row(appraisal: Appraisal, job: Job, result: JobResult) -> tuple[Cell, ...]:
    units, resin = appraisal.evaluation.display_units, appraisal.evaluation.resin(job.resin)
    volumes = {shot.end: shot.volume.nominal for shot in result.shots if shot.volume}
    mass = None if result.nominal is None else result.nominal.mass.nominal
    shot = ShotRef(job.id)
    cavities = None if job.cavities is None else float(job.cavities)
    return (
        Cell(job_name(appraisal, job.id)),
        Cell(ABSENT if resin is None else resin_called(appraisal.evaluation, resin)),
        Cell(ABSENT if resin is None else resin.resin_class or ABSENT),
        Cell(ABSENT if job.cavities is None else str(job.cavities), cavities),
        number_cell(mass, "mass", units, 4, shot),
        number_cell(result.factor, "density", units, 3, factor_reference(resin)),
        *(number_cell(volumes.get(end), "volume", units, 4, shot) for end in ENDS),
        number_cell(None if job.cycle_time is None else job.cycle_time.si("time"), "time", units),
    )
