"""How what is asked for came about: a criterion of a job read backwards, or several together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isnan

import numpy as np

from evenbarrel.appraisal.references import AskRef, ShotRef
from evenbarrel.appraisal.verdicts.table import rate_share
from evenbarrel.decision.asking.ask import Ask, Asked
from evenbarrel.trade.formula import Array
from evenbarrel.wording.sentences.cells import missing_words
from evenbarrel.wording.sentences.deciding.decision import limit_label
from evenbarrel.wording.standing_by.ask import (
    LEAST,
    LENGTH_RATIO,
    RANGES,
    chosen_name,
    heading_of,
    range_text,
)
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import job_name
from evenbarrel.wording.words.numbers import ABSENT, percent, rounded, with_unit
from evenbarrel.wording.workings.limit_lines import limit_given
from evenbarrel.wording.workings.line import Line, Working, entered_line, literature, where_stated

_ENDS: Mapping[str, tuple[tuple[str, str], tuple[str, str]]] = {
    "volume_inside": (("most", "share_high"), ("least", "share_low")),
    "volume_not_outside": (("least", "share_high"), ("most", "share_low")),
    "diameter_not_outside": (("least", "stroke_high"), ("most", "stroke_low")),
}
"""The shot and the limit that the lower end of a range comes from, and those of the upper one."""

_LIMITS: Mapping[str, str] = {
    "share_low": "Smallest share of volume",
    "share_high": "Largest share of volume",
    "stroke_low": "Shortest stroke, not outside",
    "stroke_high": "Longest stroke, not outside",
}
_BETWEEN = "from shot volume / largest share of volume to shot volume / smallest share of volume: "
_FORMULAS: Mapping[str, str] = {
    "volume_inside": f"{_BETWEEN}the largest shot at its most, the smallest at its least",
    "volume_not_outside": f"{_BETWEEN}the largest shot at its least, the smallest at its most",
    "diameter_not_outside": "(4 × shot volume / (π × stroke in diameters))^(1/3), "
    "with the longest stroke and with the shortest",
    "pressure": "most pressure that filling takes / largest share of the quoted pressure",
    "rate": "most rate that filling takes / largest share of the quoted rate",
    "plasticising": "largest shot mass / (window for recovery × largest share of it)",
    "plasticising_as_rated": "rate in the resin that is run / its share of the rate in the "
    "resin that is rated in",
    "length_ratio": "as the resin wishes at least",
}


def ask_working(ask: Ask, reference: AskRef) -> Working:
    """Return how what some jobs ask came about; raises KeyError where one is no longer there."""
    asked = ask.of(reference.jobs).asked
    name, alone = reference.name, len(reference.jobs) == 1
    of = job_name(ask.appraisal, reference.jobs[0]) if alone else chosen_name(ask, asked)
    title = " ".join(_heading(ask, name).split())
    together = (
        "what suits every one of the jobs"
        if name in RANGES
        else "the highest that one of the jobs asks"
    )
    notes = []
    if alone and asked.missing:
        notes.append(f"Not stated for this job: {missing_words(asked.missing)}.")
    lacking = [job for job in reference.jobs if getattr(ask.jobs[job], name) is None]
    if not alone and lacking:
        names = "; ".join(job_name(ask.appraisal, job) for job in lacking)
        notes.append(f"Not known, and not included: {names}.")
    if not alone and name == "plasticising" and asked.plasticising is None:
        notes.append("The jobs run unlike resins: there is no one rate.")
    return Working(
        title=f"{title}: {of}",
        result=_asked_text(ask, asked, name),
        formula=_FORMULAS[name] if alone else together,
        lines=tuple(_of_job(ask, asked, name) if alone else _of_each(ask, reference)),
        notes=tuple(notes),
        literature=(literature("definition"),),
    )


def _heading(ask: Ask, name: str) -> str:
    if name in RANGES:
        return RANGES[name][0]
    if name == "plasticising_as_rated":
        rated = heading_of(ask, name)
        return f"{LEAST['plasticising'][0]}, {rated[:1].lower()}{rated[1:]}"
    return heading_of(ask, name) if name in LEAST else LENGTH_RATIO


def _asked_text(ask: Ask, asked: Asked, name: str) -> str:
    """Return what is asked, with its unit."""
    value, units = getattr(asked, name), ask.appraisal.evaluation.display_units
    if name in RANGES:
        return range_text(value, RANGES[name][1], units)
    if value is None:
        return ABSENT
    return with_unit(value, LEAST[name][1], units) if name in LEAST else rounded(value, 2)


def _of_each(ask: Ask, reference: AskRef) -> Iterator[Line]:
    for job in reference.jobs:
        text = _asked_text(ask, ask.jobs[job], reference.name)
        yield Line(job_name(ask.appraisal, job), text, "", AskRef((job,), reference.name))


def _of_job(ask: Ask, asked: Asked, name: str) -> Iterator[Line]:
    job = asked.jobs[0]
    match name:
        case "length_ratio":
            yield from _of_resin(ask, job)
        case "plasticising_as_rated":
            yield from _as_rated(ask, asked)
        case "plasticising":
            yield from _plasticising(ask, job)
        case "pressure":
            needs = ask.needs(job)
            yield _most(ask, job, needs.pressure, "required_pressure", "melt_pressure")
            yield _limit(ask, "pressure_share", needs.pressure_share)
        case "rate":
            needs = ask.needs(job)
            yield _most(ask, job, needs.rate, "required_rate", "volume_rate")
            yield _limit(ask, "rate_share", needs.rate_share)
        case _:
            yield from _ends(ask, asked, name)


def _ends(ask: Ask, asked: Asked, name: str) -> Iterator[Line]:
    """Yield the shot and the limit that decide each end of a range, and the end itself."""
    needs, units, job = ask.needs(asked.jobs[0]), ask.appraisal.evaluation.display_units, asked.jobs
    found, kind = getattr(asked, name), RANGES[name][1]
    ends = zip(("Lower", "Upper"), (found.low, found.high), _ENDS[name], strict=True)
    for which, end, (shot, limit) in ends:
        shots, limits = getattr(needs, shot), getattr(needs, limit)
        ratio = np.broadcast_to(shots / limits, shots.shape)
        place = _place(ratio if which == "Lower" else -ratio)
        volume = None if place is None else float(shots[place])
        width = "at the most" if shot == "most" else "at the least"
        title = f"Shot volume for the {which.lower()} end"
        value = with_unit(volume, "volume", units)
        yield Line(title, value, f"{width} within its half-width", ShotRef(job[0]))
        yield _edge(ask, job[0], limit, float(np.broadcast_to(limits, shots.shape)[place or 0]))
        yield Line(f"{which} end", with_unit(end, kind, units))


def _place(values: Array) -> int | None:
    """Return the place of the highest, None where none is a number."""
    return None if np.isnan(values).all() else int(np.nanargmax(values))


def _edge(ask: Ask, job: str, name: str, value: float) -> Line:
    """Return a limit of share or stroke, with where it comes from."""
    label = _LIMITS[name]
    if name.startswith("stroke"):
        given = limit_given(ask.appraisal, name)
        return Line(label, f"{rounded(value)} D", given.partition(": ")[2], path=("limits", name))
    if isnan(value):
        return Line(label, "not stated")
    resin = ask.appraisal.evaluation.resin(ask.appraisal.evaluation.job(job).resin)
    field = name.replace("share", "utilisation")
    if resin is not None and getattr(resin, field) is not None:
        path = ("resins", resin.id, field)
        return Line(label, percent(value), where_stated(resin, field), path=path)
    if resin is None or resin.resin_class is None:
        return Line(label, percent(value), "not stated: no shot is larger than what is swept")
    field = name.replace("share", resin.resin_class)
    given = limit_given(ask.appraisal, field).partition(": ")[2]
    return Line(label, percent(value), f"{limit_label(field)}: {given}", path=("limits", field))


def _limit(ask: Ask, field: str, value: float) -> Line:
    given = limit_given(ask.appraisal, field).partition(": ")[2]
    return Line(limit_label(field), percent(value), given, path=("limits", field))


def _most(ask: Ask, job: str, values: Array, field: str, kind: str) -> Line:
    """Return the most of what filling takes; where nobody entered it, it is estimated or absent."""
    entered, home = ask.appraisal.evaluation.job(job), ("jobs", job)
    place, units = _place(values), ask.appraisal.evaluation.display_units
    value = None if place is None else float(values[place])
    is_entered = getattr(entered, field) is not None
    said = where_stated(entered, field) if is_entered else "from the other data of the job"
    return Line(
        f"{labels.datum(field)}, at the most",
        with_unit(value, kind, units) if value is not None else "not stated",
        said if value is not None else "",
        path=(*home, field),
        is_entered=is_entered,
    )


def _plasticising(ask: Ask, job: str) -> Iterator[Line]:
    needs, units = ask.needs(job), ask.appraisal.evaluation.display_units
    place = _place(needs.plasticising)
    mass, window = (None if place is None else float(x[place]) for x in (needs.mass, needs.window))
    entered = ask.appraisal.evaluation.job(job)
    yield Line("Shot mass", with_unit(mass, "mass", units), "at the most", ShotRef(job))
    yield Line(
        "Window for recovery",
        with_unit(window, "time", units),
        "at the least",
        path=("jobs", job, "cooling_time"),
        is_entered=entered.cooling_time is not None,
    )
    yield _limit(ask, "recovery_share", needs.recovery_share)


def _as_rated(ask: Ask, asked: Asked) -> Iterator[Line]:
    job, evaluation = asked.jobs[0], ask.appraisal.evaluation
    reference = AskRef(asked.jobs, "plasticising")
    yield Line("Plasticising", _asked_text(ask, asked, "plasticising"), "", reference)
    rated, run = evaluation.cost.common_resin, evaluation.job(job).resin
    share = rate_share(rated, run, ask.appraisal.resins) if rated and run else float("nan")
    said = "from melt density and enthalpy of the two resins"
    value = "not stated" if isnan(share) else percent(share, 3)
    path = ("cost", "common_resin")
    yield Line("Share of the rate as rated", value, said, path=path, is_entered=rated is not None)


def _of_resin(ask: Ask, job: str) -> Iterator[Line]:
    evaluation = ask.appraisal.evaluation
    resin = evaluation.resin(evaluation.job(job).resin)
    if resin is None:
        yield Line("Resin", "not stated", path=("jobs", job, "resin"), is_entered=False)
    elif resin.length_ratio_low is None:
        path = ("resins", resin.id, "length_ratio_low")
        yield Line(labels.datum(path[-1]), "not stated", path=path, is_entered=False)
    else:
        yield entered_line(resin, ("resins", resin.id), "length_ratio_low")
