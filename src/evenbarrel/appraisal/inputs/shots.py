"""Planned jobs brought to volume: the nominal shot and its smallest and largest end."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.inputs.intervals import around
from evenbarrel.appraisal.inputs.recovery_window import recovery_window
from evenbarrel.appraisal.job_results import JobResult, ShotResult
from evenbarrel.appraisal.results import Bound, ResinResult, ShotEnd
from evenbarrel.model.datum import si_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Uncertainty
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.trade.filling import planned_shot_mass, shot_volume


def _mass_bound(job: Job, name: str, uncertainty: Uncertainty) -> Bound | None:
    mass = si_of(job, name)
    quantity = getattr(job, name)
    if mass is None or not isinstance(quantity, Quantity):
        return None
    share = quantity.half_width
    if share is None:
        share = uncertainty.half_width("part_mass", quantity.standing)
    return around(mass, share)


def _nominal_mass(job: Job, uncertainty: Uncertainty) -> Bound | None:
    given = _mass_bound(job, "shot_mass", uncertainty)
    if given is not None:
        return given
    part = _mass_bound(job, "part_mass", uncertainty)
    if part is None or job.cavities is None:
        return None
    runner = _mass_bound(job, "runner_mass", uncertainty) or Bound(0.0, 0.0, 0.0)
    cavities = float(job.cavities)
    return Bound(
        planned_shot_mass(cavities, part.nominal, runner.nominal),
        planned_shot_mass(cavities, part.low, runner.low),
        planned_shot_mass(cavities, part.high, runner.high),
    )


def _missing(job: Job, resin: ResinResult | None) -> tuple[str, ...]:
    missing = []
    if job.shot_mass is None:
        missing += [name for name in ("part_mass", "cavities") if getattr(job, name) is None]
    if job.resin is None:
        missing.append("resin")
    elif resin is None or resin.factor is None:
        missing.append("output_factor")
    return tuple(missing)


def _ends(
    job: Job, nominal: Bound, uncertainty: Uncertainty
) -> tuple[list[tuple[ShotEnd, Bound]], list[str]]:
    ends: list[tuple[ShotEnd, Bound]] = [("nominal", nominal)]
    notes = []
    smallest = _mass_bound(job, "smallest_shot_mass", uncertainty)
    largest = _mass_bound(job, "largest_shot_mass", uncertainty)
    if smallest is not None and smallest.nominal > nominal.nominal:
        notes.append("smallest_ignored")
    elif smallest is not None and smallest.nominal < nominal.nominal:
        ends.append(("smallest", smallest))
    if largest is not None and largest.nominal < nominal.nominal:
        notes.append("largest_ignored")
    elif largest is not None and largest.nominal > nominal.nominal:
        ends.append(("largest", largest))
    return ends, notes


def _volume(mass: Bound, resin: ResinResult | None) -> Bound | None:
    if resin is None or resin.factor is None:
        return None
    return Bound(
        shot_volume(mass.nominal, resin.factor),
        shot_volume(mass.low, resin.factor * (1.0 + resin.half_width)),
        shot_volume(mass.high, resin.factor * (1.0 - resin.half_width)),
    )


def hot_runner_open(job: Job) -> bool:
    """Say whether a job has a hot runner whose volume nobody stated."""
    return job.runner_kind in ("hot", "mixed") and job.hot_runner_volume is None


def appraise_job(
    job: Job, entered: Resin | None, resins: Mapping[str, ResinResult], uncertainty: Uncertainty
) -> JobResult:
    """Return a job's shots by mass and volume, its window, and what is missing or was ignored.

    `entered` is the job's resin as the evaluation holds it.
    """
    resin = None if job.resin is None else resins.get(job.resin)
    nominal = _nominal_mass(job, uncertainty)
    ends, notes = ([], []) if nominal is None else _ends(job, nominal, uncertainty)
    runner_open = job.shot_mass is None and job.runner_mass is None
    if runner_open and job.runner_kind not in ("none", "hot"):
        notes.append("runner_not_stated")
    if hot_runner_open(job):
        notes.append("hot_runner_not_stated")
    window = recovery_window(job, entered, uncertainty)
    if window.beyond_cycle:
        notes.append("window_beyond_cycle")
    return JobResult(
        id=job.id,
        resin=job.resin,
        factor=None if resin is None else resin.factor,
        shots=tuple(ShotResult(end, mass, _volume(mass, resin)) for end, mass in ends),
        missing=_missing(job, resin),
        notes=tuple(notes),
        window=window,
    )


def appraise_jobs(
    evaluation: Evaluation,
    resins: Mapping[str, ResinResult],
    known: Mapping[int, JobResult] | None = None,
) -> tuple[JobResult, ...]:
    """Return the result of every planned job, in the order of the file.

    `known` are results by the identity of their job, of resins and half-widths that are alike.
    """
    kept = known or {}
    return tuple(
        kept[id(job)]
        if id(job) in kept
        else appraise_job(job, evaluation.resin(job.resin), resins, evaluation.uncertainty)
        for job in evaluation.jobs
    )


def planned_range(jobs: tuple[JobResult, ...]) -> tuple[float, float] | None:
    """Return the smallest and largest nominal shot volume over all ends [m3], or None."""
    volumes = [shot.volume.nominal for job in jobs for shot in job.shots if shot.volume]
    return (min(volumes), max(volumes)) if volumes else None
