"""Acceptance series as they leave the program, each with its verdicts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date as Date

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.acceptance import Held, Measured, Series, series_of
from evenbarrel.report.results_base import Published
from evenbarrel.trade.acceptance import COVERAGE

_UNITS: Mapping[str, tuple[str, float]] = {
    "air_shot": ("g", 1e3),
    "plasticising": ("g/s", 1e3),
    "repeatability": ("%", 1e2),
}
"""Unit of what a series is about, and how many of it make up the SI unit."""


class PublishedHeld(Published):
    """What a series is held against, with the edges it must keep, in the series' `unit`.

    `against` is claim, guarantee or job_tolerance, `verdict` accept, reject or within_uncertainty.
    """

    against: str
    job: str | None
    value: float
    low: float | None
    high: float | None
    verdict: str


class PublishedSeries(Published):
    """One series of weighed shots; a null cannot be had, `missing` names what it lacks.

    `value` in `unit` is what it is about: the mass of a full stroke, a plasticising rate, half the
    spread. Uncertainties are expanded, U = 2 u. `factor_used_g_cm3` is the resin's own now.
    """

    barrel: str
    date: Date | None
    kind: str
    resin: str | None
    claim: str | None
    shots: int
    mean_g: float | None
    scatter_g: float | None
    spread_percent: float | None
    drift_percent: float | None
    factor_g_cm3: float | None
    factor_uncertainty_g_cm3: float | None
    factor_used_g_cm3: float | None
    unit: str
    value: float | None
    uncertainty: float | None
    uncertainty_parts_percent: Mapping[str, float]
    held: tuple[PublishedHeld, ...]
    notes: tuple[str, ...]
    missing: tuple[str, ...]


def published_series(appraisal: Appraisal) -> tuple[PublishedSeries, ...]:
    """Return every series that was weighed, in the order of the file."""
    return tuple(_series(appraisal, one) for one in series_of(appraisal))


def _series(appraisal: Appraisal, series: Series) -> PublishedSeries:
    unit, size = _UNITS[series.kind]
    factor, result = series.factor, series.result
    return PublishedSeries(
        barrel=series.barrel,
        date=appraisal.evaluation.acceptance[series.acceptance].date,
        kind=series.kind,
        resin=series.resin,
        claim=series.claim,
        shots=series.count,
        mean_g=_times(series.mean, 1e3),
        scatter_g=_times(series.scatter, 1e3),
        spread_percent=_times(series.spread, 1e2),
        drift_percent=_times(series.drift, 1e2),
        factor_g_cm3=_times(None if factor is None else factor.value, 1e-3),
        factor_uncertainty_g_cm3=_expanded(factor, 1e-3),
        factor_used_g_cm3=_times(series.factor_used, 1e-3),
        unit=unit,
        value=_times(None if result is None else result.value, size),
        uncertainty=_expanded(result, size),
        uncertainty_parts_percent={}
        if result is None
        else {name: part * 1e2 for name, part in result.parts.items()},
        held=tuple(_held(one, size) for one in series.held),
        notes=series.notes,
        missing=series.missing,
    )


def _held(held: Held, size: float) -> PublishedHeld:
    return PublishedHeld(
        against=held.against,
        job=held.job,
        value=held.value * size,
        low=_times(held.low, size),
        high=_times(held.high, size),
        verdict=held.verdict,
    )


def _times(value: float | None, size: float) -> float | None:
    return None if value is None else value * size


def _expanded(measured: Measured | None, size: float) -> float | None:
    return None if measured is None else COVERAGE * measured.standard * size
