"""One cell of the fit grid with everything that a working looks things up in."""

from __future__ import annotations

from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.model.datum_path import Path
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, InjectionUnit
from evenbarrel.model.resin import Resin
from evenbarrel.wording.words.inputs import Owner
from evenbarrel.wording.words.numbers import DisplayUnits


@dataclass(frozen=True, slots=True)
class Cell:
    """Everything a criterion's working looks things up in."""

    appraisal: Appraisal
    unit: InjectionUnit
    barrel: Barrel
    job: Job
    resin: Resin | None

    @property
    def units(self) -> DisplayUnits:
        """The units that numbers are shown in."""
        return self.appraisal.evaluation.display_units


def cell_of(appraisal: Appraisal, barrel: str, job: str) -> Cell:
    """Return a barrel with its unit, a job and its resin; raises KeyError for an unknown one."""
    evaluation = appraisal.evaluation
    _, unit, entered = evaluation.place(barrel)
    planned = evaluation.job(job)
    return Cell(appraisal, unit, entered, planned, evaluation.resin(planned.resin))


def path_of(cell: Cell, owner: Owner, field: str) -> Path:
    """Return where a person enters a datum; () where nobody does."""
    barrel = cell.appraisal.evaluation.barrel_path(cell.barrel.id)
    homes: dict[str, Path] = {"barrel": barrel, "unit": barrel[:4], "job": ("jobs", cell.job.id)}
    if cell.resin is not None:
        homes["resin"] = ("resins", cell.resin.id)
    return (*homes[owner], field) if owner in homes else ()
