"""The second picture: what each criterion allows one barrel to shoot of one job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.job_results import JobResult
from evenbarrel.appraisal.references import CriterionRef, Reference, ShotRef
from evenbarrel.appraisal.results import CriterionResult, Fit, State
from evenbarrel.units import from_si
from evenbarrel.wording.pictures.ruler_tips import barrel_label
from evenbarrel.wording.pictures.scales import Axis, axis_over
from evenbarrel.wording.pictures.traces import ShotLine
from evenbarrel.wording.sentences.cells import (
    binding_words,
    criterion_sentence,
    fit_word,
    interval_text,
    limit_text,
    misfit_names,
    missing_words,
    unconfirmed_text,
    wish_text,
)
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import job_name
from evenbarrel.wording.words.numbers import DisplayUnits, display_unit, unit_text

Ends = tuple[float | None, float | None]
"""From and to; None at an end where nothing bounds it."""

OF_THE_SHOT = frozenset({"shot_mass", "part_mass", "cavities", "output_factor", "resin"})
"""Data that a planned shot lacks; without them a criterion's lane still stands."""


@dataclass(frozen=True, slots=True)
class CriterionLane:
    """The shot volumes one criterion allows, in display units; the foot has the key "all".

    `hard` and `comfort` are None where no shot at all would do. Not `stated`: drawn dotted, as far
    as it is known. `value` is where the planned shot that counts stands, None without one.
    """

    key: str
    label: str
    y: float
    stated: bool
    hard: Ends | None
    comfort: Ends | None
    state: State
    value: float | None
    text: str
    more: str
    binding: bool
    tip: str
    reference: Reference


@dataclass(frozen=True, slots=True)
class LanesPicture:
    """Everything to draw; `shots` are the planned shot and its ends, the nominal one first."""

    barrel: str
    job: str
    title: str
    verdict: str
    axis: Axis
    shots: tuple[ShotLine, ...]
    lanes: tuple[CriterionLane, ...]
    foot: CriterionLane
    height: float


def lanes(
    appraisal: Appraisal,
    barrel: str,
    job: str,
    units: DisplayUnits = "metric",
    logarithmic: bool = True,
) -> LanesPicture:
    """Return the picture of one barrel and one job; raises KeyError for an unknown one."""
    fit, of_job = appraisal.fit(barrel, job), appraisal.job(job)
    entered = appraisal.evaluation.barrel(barrel)
    name = job_name(appraisal, job)
    one = from_si(1.0, display_unit("volume", units), "volume")
    rows = tuple(
        _lane(fit, criterion, of_job, one, units, place + 0.5)
        for place, criterion in enumerate(fit.criteria)
    )
    foot = _foot(fit, rows, of_job, one)
    shots = _shots(of_job, one)
    swept = appraisal.barrel(barrel).swept.bound
    ends = [] if swept is None else [swept.nominal * one]
    return LanesPicture(
        barrel=barrel,
        job=job,
        title=f"{barrel_label(appraisal, entered)} × {name}",
        verdict=_verdict(fit),
        axis=axis_over(
            "Shot volume",
            unit_text(display_unit("volume", units)),
            logarithmic,
            [value for shot in shots for value in (shot.low, shot.high)]
            + [value for row in rows for value in _edges(row)],
            ends,
        ),
        shots=shots,
        lanes=rows,
        foot=foot,
        height=foot.y + 0.5,
    )


def _lane(
    fit: Fit,
    criterion: CriterionResult,
    job: JobResult,
    one: float,
    units: DisplayUnits,
    y: float,
) -> CriterionLane:
    stated = criterion.state != "not_stated" or (
        set(criterion.missing) <= OF_THE_SHOT and _has_edge(criterion)
    )
    hard = _ends(criterion.shot_volume_low, criterion.shot_volume_high, one)
    comfort = _ends(criterion.comfort_volume_low, criterion.comfort_volume_high, one)
    if criterion.shot_volume_empty or hard is None:
        hard = comfort = None
    elif hard == (None, None) and criterion.state == "near_edge":
        # No shot volume changes it: near the edge whatever is shot.
        comfort = None
    text, more = _lane_texts(criterion, stated, hard, units)
    return CriterionLane(
        key=criterion.key,
        label=CRITERION_WORDS[criterion.key].label,
        y=y,
        stated=stated,
        hard=hard,
        comfort=comfort,
        state=criterion.state,
        value=_shot_value(job, criterion.at, one),
        text=text,
        more=more,
        binding=criterion.key == fit.binding,
        tip=criterion_sentence(criterion, units),
        reference=CriterionRef(fit.barrel, fit.job, criterion.key),
    )


def _has_edge(criterion: CriterionResult) -> bool:
    return criterion.shot_volume_low is not None or criterion.shot_volume_high is not None


def _ends(low: float | None, high: float | None, one: float) -> Ends | None:
    if low is not None and high is not None and low >= high:
        return None
    return (None if low is None else low * one, None if high is None else high * one)


def _shot_value(job: JobResult, end: str, one: float) -> float | None:
    for shot in job.shots:
        if shot.end == end and shot.volume is not None:
            return shot.volume.nominal * one
    return None


def _lane_texts(
    criterion: CriterionResult, stated: bool, hard: Ends | None, units: DisplayUnits
) -> tuple[str, str]:
    """Return what stands beside a lane: the value, and below it the limit or what is missing."""
    if criterion.caution == "method_does_not_apply":
        return "not stated", "the method does not apply to this unit"
    if not stated or criterion.state == "not_stated":
        missing = missing_words(criterion.missing)
        return "not stated", f"missing: {missing}" if missing else ""
    if not criterion.unit:
        return _suited_texts(criterion)
    recalled = unconfirmed_text(criterion, units)
    if recalled:
        return interval_text(criterion, units), recalled
    limit = limit_text(criterion, units)
    return interval_text(criterion, units), f"{limit}: no shot fits" if hard is None else limit


def _suited_texts(criterion: CriterionResult) -> tuple[str, str]:
    """Return which part of a barrel is not as the resin asks, and what it asks of a number."""
    if not criterion.misfits:
        return "suited", ""
    wishes = dict.fromkeys(wish_text(misfit) for misfit in criterion.misfits)
    is_attack = criterion.key in ("wear", "corrosion")
    return misfit_names(criterion), "not suited" if is_attack else "; ".join(wishes)


def _edges(row: CriterionLane) -> list[float]:
    found = (*(row.hard or ()), *(row.comfort or ()))
    return [value for value in found if value is not None]


def _foot(fit: Fit, rows: tuple[CriterionLane, ...], job: JobResult, one: float) -> CriterionLane:
    stated = [row for row in rows if row.stated]
    hard = _common(row.hard for row in stated)
    comfort = None if hard is None else _common(row.comfort for row in stated)
    open_count = len(rows) - len(stated)
    binding = next((row for row in rows if row.binding), None)
    return CriterionLane(
        key="all",
        label="All stated together",
        y=len(rows) + 1.0,
        stated=bool(stated),
        hard=hard if stated else None,
        comfort=comfort if stated else None,
        state=fit.state,
        value=_shot_value(job, "nominal", one) if binding is None else binding.value,
        text="no shot volume fits" if stated and hard is None else "",
        more=f"{open_count} not stated, left out" if open_count else "",
        binding=False,
        tip=_verdict(fit),
        reference=CriterionRef(fit.barrel, fit.job, fit.binding or "capacity"),
    )


def _common(ends: Iterable[Ends | None]) -> Ends | None:
    """Return what all leave; None where one leaves nothing or none is left between them."""
    lows, highs = [], []
    for pair in ends:
        if pair is None:
            return None
        lows += [] if pair[0] is None else [pair[0]]
        highs += [] if pair[1] is None else [pair[1]]
    low, high = max(lows, default=None), min(highs, default=None)
    return None if low is not None and high is not None and low >= high else (low, high)


def _shots(job: JobResult, one: float) -> tuple[ShotLine, ...]:
    return tuple(
        ShotLine(
            job.id,
            shot.end,
            shot.volume.nominal * one,
            shot.volume.low * one,
            shot.volume.high * one,
            labels.ENDS[shot.end],
            ShotRef(job.id),
        )
        for shot in job.shots
        if shot.volume is not None
    )


def _lower(word: str) -> str:
    return word[:1].lower() + word[1:]


def _verdict(fit: Fit) -> str:
    text = fit_word(fit)
    if fit.binding is None:
        return text
    return f"{text}, {binding_words(_lower(CRITERION_WORDS[fit.binding].label), fit.state)}"


@dataclass(frozen=True, slots=True)
class Bar:
    """A stretch of one row within the ruler's frame, in display units."""

    low: float
    high: float
    y: float


def bars(rows: Iterable[CriterionLane], axis: Axis, comfort: bool) -> tuple[Bar, ...]:
    """Return what the stated rows allow, or find comfortable; open ends reach the frame."""
    drawn = []
    for row in rows:
        ends = row.comfort if comfort else row.hard
        if not row.stated or ends is None:
            continue
        low = axis.low if ends[0] is None else max(ends[0], axis.low)
        high = axis.high if ends[1] is None else min(ends[1], axis.high)
        if low < high:
            drawn.append(Bar(low, high, row.y))
    return tuple(drawn)
