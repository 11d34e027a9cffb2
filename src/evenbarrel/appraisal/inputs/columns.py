"""Every shot of every job as a column, with what to ask for where its data are not to be had."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenbarrel.appraisal.inputs.recovery_window import either
from evenbarrel.appraisal.job_results import JobResult, RecoveryWindow, ShotResult
from evenbarrel.appraisal.results import ResinResult
from evenbarrel.model.job import Job
from evenbarrel.model.resin import Resin


@dataclass(frozen=True, slots=True)
class Column:
    """One end of one job's shots; the first columns are the jobs' nominal ones."""

    job: int
    entered: Job
    resin: Resin | None
    result: ResinResult | None
    shot: ShotResult | None
    window: RecoveryWindow | None
    missing: Mapping[str, tuple[str, ...]]
    """What to ask for where an input is not to be had; () where this job does not need it."""


def columns_of(
    entered: Sequence[Job],
    judged_by: Sequence[Resin],
    jobs: Sequence[JobResult],
    resins: Mapping[str, ResinResult],
) -> tuple[Column, ...]:
    """Return a column for each job's nominal shot, then one for each other end of any.

    `judged_by` are the resins as entered, but for what people confirmed of them.
    """
    nominal, others = [], []
    of_id = {resin.id: resin for resin in judged_by}
    for index, (job, result) in enumerate(zip(entered, jobs, strict=True)):
        resin = of_id.get(job.resin or "")
        of_resin = None if resin is None else resins[resin.id]
        of_factor = ("resin", "output_factor")
        missing = {
            "shot_mass": tuple(name for name in result.missing if name not in of_factor),
            "output_factor": tuple(name for name in result.missing if name in of_factor),
        }
        missing |= {
            "filling_rate": result.missing + (() if job.fill_time else ("fill_time",)),
            "residence_limit": _unlimited(job, resin),
        }
        missing |= dict.fromkeys(not_wanted(resin), ())
        if resin is None:
            missing |= dict.fromkeys(
                ("utilisation_low", "utilisation_high", "screw_wishes"), ("resin",)
            )
        of_job = (index, job, resin, of_resin)
        nominal.append(Column(*of_job, result.nominal, result.window, missing))
        others += [
            Column(*of_job, shot, result.window, missing)
            for shot in result.shots
            if shot.end != "nominal"
        ]
    return (*nominal, *others)


def not_wanted(resin: Resin | None) -> Iterator[str]:
    """Yield the data of a screw's geometry that the resin sets no limit for."""
    if resin is None or resin.length_ratio_low is None:
        yield "length_ratio"
    if resin is None or (resin.compression_low is None and resin.compression_high is None):
        yield "compression_ratio"
    if resin is None or not resin.unsuited_rings:
        yield "ring_kind"


def _unlimited(job: Job, resin: Resin | None) -> tuple[str, ...]:
    """Return what to ask for where a resin's longest stay is not known."""
    if resin is None:
        return ("resin",)
    temperature = either(job, resin, "melt_temperature")
    limits = ("residence_limits",)
    if temperature is not None:
        return limits
    return ("melt_temperature",) if resin.residence_limits else (*limits, "melt_temperature")
