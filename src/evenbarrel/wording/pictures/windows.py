"""Planned windows: which jobs ask the same of a barrel, and what each barrel then allows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isnan

import numpy as np

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.inputs.barrel_inputs import BarrelInputs
from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.wording.words.names import resin_called
from evenbarrel.wording.words.numbers import percent, with_unit

VolumeRange = tuple[float, float]

SIZE_CRITERIA = ("capacity", "utilisation", "stroke")
"""What a lane is the intersection of."""


@dataclass(frozen=True, slots=True)
class Window:
    """The window that `jobs` share, on each barrel by its id: shot volumes [m3].

    None where nothing is allowed, or comfortable. `unknown` are the barrels on which one of its
    limits cannot be had; their interval is what the others leave.
    """

    label: str
    jobs: tuple[str, ...]
    allowed: Mapping[str, VolumeRange | None]
    comfort: Mapping[str, VolumeRange | None]
    unknown: frozenset[str]


@dataclass(frozen=True, slots=True, eq=False)
class Windows:
    """Distinct windows, and what they were made from: by the same the same are made again.

    `barrels` are what the barrels give, which an appraisal keeps as it is where nothing moves it.
    """

    windows: tuple[Window, ...]
    barrels: BarrelInputs
    made_from: tuple[object, ...]


def planned_windows(
    appraisal: Appraisal,
    jobs: Sequence[str],
    *,
    by_rule: bool = False,
    before: Windows | None = None,
) -> Windows:
    """Return the distinct windows that `jobs` ask for, in the order their first job comes.

    With `by_rule` jobs under one rule of share share a window, whatever cushion, decompression
    and hot runner each of them takes besides: what all of them leave. Those `before` are returned
    where they were made from the same.
    """
    columns = {name: column for column, name in enumerate(appraisal.grid.job_ids)}
    asked_of = {job: _asked(appraisal, columns[job]) for job in jobs}
    evaluation, barrels = appraisal.evaluation, appraisal.grid.table.of_barrels
    made_from = (
        by_rule,
        asked_of,
        [_has_place(appraisal, job) for job in jobs],
        [evaluation.job(job).resin for job in jobs],
        evaluation.resins,
        evaluation.display_units,
        appraisal.confirmed.limits,
        [(barrel.id, barrel.applies) for barrel in appraisal.barrels],
    )
    if before is not None and before.barrels is barrels and before.made_from == made_from:
        return before
    return Windows(_made(appraisal, asked_of, columns, by_rule), barrels, made_from)


def _made(
    appraisal: Appraisal,
    asked_of: Mapping[str, tuple[float, ...]],
    columns: Mapping[str, int],
    by_rule: bool,
) -> tuple[Window, ...]:
    together: dict[tuple[float, ...], list[str]] = {}
    for job, asked in asked_of.items():
        together.setdefault(asked[:2] if by_rule else asked, []).append(job)
    # A window without a rule, of jobs that have no place on the ruler either, tells nothing.
    together = {
        key: names
        for key, names in together.items()
        if min(key[:2]) >= 0 or any(_has_place(appraisal, name) for name in names)
    }
    rules = [key[:2] for key in together]
    return tuple(
        _window(
            appraisal,
            tuple(names),
            key,
            tuple({asked_of[n]: columns[n] for n in names}.values()),
            rules.count(key[:2]) > 1,
        )
        for key, names in together.items()
    )


def _has_place(appraisal: Appraisal, job: str) -> bool:
    return any(shot.volume for shot in appraisal.job(job).shots)


def _asked(appraisal: Appraisal, column: int) -> tuple[float, ...]:
    """Return what makes a job's window its own: share, cushion, decompression, hot runner.

    -1 stands where nothing is given. The stroke limits are the evaluation's, alike for all.
    """
    given = appraisal.grid.table.of_jobs
    asked = (
        given.utilisation_low,
        given.utilisation_high,
        given.cushion,
        given.decompression,
        given.hot_runner_volume,
    )
    numbers = (at(one.nominal, 0, column) for one in asked)
    return tuple(-1.0 if isnan(number) else number for number in numbers)


def _window(
    appraisal: Appraisal,
    jobs: tuple[str, ...],
    asked: tuple[float, ...],
    columns: tuple[int, ...],
    with_cushion: bool,
) -> Window:
    """Return one window, from one column of each kind of job that shares it."""
    size = [appraisal.grid.edge_volumes(key) for key in SIZE_CRITERIA]
    names = [barrel.id for barrel in appraisal.barrels]
    applies = np.array([barrel.applies for barrel in appraisal.barrels], dtype=np.bool_)
    allowed, unknown = _common([hard for hard, _ in size], columns, len(names))
    comfort, _ = _common([easy for _, easy in size], columns, len(names))
    lacking = np.flatnonzero(unknown | ~applies)
    return Window(
        _label(appraisal, jobs, asked, with_cushion),
        jobs,
        dict(zip(names, _ranges(*allowed, applies), strict=True)),
        dict(zip(names, _ranges(*comfort, applies), strict=True)),
        frozenset(names[row] for row in lacking),
    )


def _common(
    volumes: Sequence[tuple[np.ndarray | None, np.ndarray | None]],
    columns: tuple[int, ...],
    barrels: int,
) -> tuple[tuple[np.ndarray, np.ndarray], np.ndarray]:
    """Return for each barrel what all criteria leave in these columns, and where one says nothing.

    Lowest and highest volume, 0 and infinity where nothing bounds them.
    """
    lows, highs = (np.full((barrels, len(volumes), len(columns)), np.nan) for _ in range(2))
    for place, ends in enumerate(volumes):
        for into, end in zip((lows, highs), ends, strict=True):
            if end is not None:
                # One row stands for all barrels, one column for all jobs, where it is alike.
                into[:, place] = end if end.shape[1] == 1 else end[:, columns]
    bounded = np.isfinite(lows), np.isfinite(highs)
    unknown = ~(bounded[0] | bounded[1]).all(axis=(1, 2))
    # No volume is below none.
    low = np.max(lows, axis=(1, 2), where=bounded[0], initial=0.0)
    high = np.maximum(np.min(highs, axis=(1, 2), where=bounded[1], initial=np.inf), 0.0)
    return (low, high), unknown


def _ranges(low: np.ndarray, high: np.ndarray, applies: np.ndarray) -> list[VolumeRange | None]:
    """Return the intervals, None where nothing is left or no upper end is known."""
    left = applies & np.isfinite(high) & (low < high)
    pairs = zip(low.tolist(), high.tolist(), left.tolist(), strict=True)
    return [(a, b) if some else None for a, b, some in pairs]


def _label(
    appraisal: Appraisal, jobs: tuple[str, ...], asked: tuple[float, ...], with_cushion: bool
) -> str:
    low, high, *besides = asked
    cushion, decompression, hot_runner = besides or (-1.0, -1.0, -1.0)
    if low < 0 or high < 0:
        label = "share of volume not stated"
    else:
        label = f"{_whose(appraisal, jobs)} {percent(low).removesuffix(' %')}–{percent(high)}"
    units = appraisal.evaluation.display_units
    if with_cushion and cushion >= 0:
        label += f", cushion {with_unit(cushion, 'length', units)}"
    if with_cushion and decompression >= 0:
        label += f", decompression {with_unit(decompression, 'length', units)}"
    if with_cushion and hot_runner > 0:
        label += f", hot runner {with_unit(hot_runner, 'volume', units)}"
    return label


def _whose(appraisal: Appraisal, jobs: tuple[str, ...]) -> str:
    """Return whose window it is: the class's, or that of the resins that have their own."""
    evaluation = appraisal.evaluation
    resins = {job.id: evaluation.resin(job.resin) for job in evaluation.jobs}
    words: dict[str, None] = {}
    for name in jobs:
        resin = resins[name]
        if resin is None:
            continue
        if resin.utilisation_low or resin.utilisation_high or resin.resin_class is None:
            words[resin_called(evaluation, resin)] = None
        else:
            words[resin.resin_class] = None
    return ", ".join(words)
