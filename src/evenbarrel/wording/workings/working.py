"""How any number came about: the one way from a reference to its working."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.references import (
    AmountRef,
    AskRef,
    ClaimRef,
    CountRef,
    CriterionRef,
    FactorRef,
    GatesRef,
    HoursRef,
    JobHoursRef,
    LevelledRef,
    Reference,
    RunsRef,
    SeriesRef,
    ShareRef,
    ShotRef,
    SizeRef,
    VolumeRef,
)
from evenbarrel.appraisal.results import FactorRouteResult, Reading, ResinResult
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum_path import Path
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.trade.filling import DEFAULT_LEAK_SHARE
from evenbarrel.wording.sentences.asking.questions import question_text
from evenbarrel.wording.sentences.cells import missing_words
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.sentences.deciding.consequences import reading_sizes
from evenbarrel.wording.sentences.pages import route_note
from evenbarrel.wording.sentences.resins import tait_line
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.names import barrel_name, bid_called, job_name, resin_called
from evenbarrel.wording.words.numbers import ABSENT, DisplayUnits, percent, printed, with_unit
from evenbarrel.wording.workings.amounts import amount_working
from evenbarrel.wording.workings.ask import ask_working
from evenbarrel.wording.workings.counts import (
    count_working,
    gates_working,
    runs_working,
    size_working,
)
from evenbarrel.wording.workings.criterion import criterion_working
from evenbarrel.wording.workings.hours import hours_working, job_hours_working
from evenbarrel.wording.workings.line import (
    Line,
    Working,
    bound_text,
    entered_line,
    literature,
    where_stated,
)
from evenbarrel.wording.workings.order import levelled_working
from evenbarrel.wording.workings.series import series_working
from evenbarrel.wording.workings.share import share_working


def _shot_working(appraisal: Appraisal, job: str) -> Working:
    evaluation, result = appraisal.evaluation, appraisal.job(job)
    units = evaluation.display_units
    entered = evaluation.job(job)
    lines = [
        entered_line(entered, ("jobs", job), field)
        for field in ("part_mass", "runner_mass", "shot_mass")
        if getattr(entered, field) is not None
    ]
    if entered.shot_mass is None:
        cavities, path = str(entered.cavities or ABSENT), ("jobs", job, "cavities")
        lines.insert(0, Line("Cavities", cavities, path=path, is_entered=bool(entered.cavities)))
    resin = evaluation.resin(entered.resin)
    if resin is not None:
        factor = with_unit(result.factor, "density", units)
        reference = FactorRef(resin.id)
        lines.append(Line("Output factor", factor, resin.name, reference))
    for shot in result.shots:
        lines.append(
            Line(
                labels.ENDS[shot.end].capitalize(),
                bound_text(shot.volume, "volume", units),
                bound_text(shot.mass, "mass", units),
            )
        )
    volume = None if result.nominal is None else result.nominal.volume
    return Working(
        title=f"Planned shot: {job_name(appraisal, job)}",
        result=bound_text(volume, "volume", units),
        formula="shot volume = shot mass / output factor; "
        "shot mass = cavities × part mass + runner mass",
        lines=tuple(lines),
        literature=(literature("definition"),),
    )


_BEHIND_A_FACTOR = ("melt_temperature", "back_pressure", "leak_share", "mfr", "mvr")
"""What the routes of an output factor are computed from, besides the Tait equation."""


def _route_line(resin: Resin, route: FactorRouteResult, units: DisplayUnits) -> Line:
    width = f"± {percent(route.half_width)}" if route.factor is not None else ""
    origin = resin.origins.get("output_factors")
    source = where_stated(resin.output_factors, route.route, origin)
    # A density that was entered is no factor that was.
    notes = route.notes if source else tuple(n for n in route.notes if n != "entered")
    note = route_note(route.leak_share, notes, is_shipped=origin is not None)
    parts = (width, note, source)
    given = ", ".join(part for part in parts if part)
    return Line(
        labels.ROUTES[route.route],
        with_unit(route.factor, "density", units),
        given,
        path=("resins", resin.id, "output_factors", route.route),
        is_entered=bool(source),
    )


def _density_line(resin: Resin, result: ResinResult, units: DisplayUnits) -> Line:
    density = with_unit(result.melt_density, "density", units)
    beyond = tait_line(resin, result, units)
    return Line("Melt density", density, beyond or route_note(None, result.density_notes))


def _printed_or_share(value: Quantity | float) -> str:
    return printed(value) if isinstance(value, Quantity) else percent(value)


def _factor_working(appraisal: Appraisal, name: str) -> Working:
    units = appraisal.evaluation.display_units
    resin, result = appraisal.evaluation.resin(name), appraisal.resins[name]
    if resin is None:
        raise KeyError(name)
    lines = [_route_line(resin, route, units) for route in result.routes]
    lines.append(_density_line(resin, result, units))
    lines += [
        Line(
            labels.datum(field),
            _printed_or_share(value),
            where_stated(resin, field),
            path=("resins", name, field),
        )
        for field in _BEHIND_A_FACTOR
        if (value := getattr(resin, field)) is not None
    ]
    lines.append(
        Line(
            "Solid density",
            with_unit(result.solid_density, "density", units),
            "for comparison only",
        )
    )
    used = labels.ROUTES.get(result.route or "", "no route chosen")
    return Working(
        title=f"Output factor: {resin_called(appraisal.evaluation, resin)}",
        result=f"{with_unit(result.factor, 'density', units)}, {used}",
        formula="melt density × (1 − leak share), or as the route gives it; "
        f"leak share {percent(DEFAULT_LEAK_SHARE)} where none is stated",
        lines=tuple(lines),
        notes=(
            "Grams delivered for each cm³ the screw sweeps; leakage past the check ring is "
            "already deducted.",
        ),
        literature=(
            literature("common_practice"),
            literature("crc_wohlfarth"),
            literature("iso_1133"),
        ),
    )


_SPANNED: Mapping[str, str] = {
    "unsettled": "Unsettled: the interval spans every plausible reading until a person decides.",
    "readings": "The interval spans every plausible reading: the quoted volume was used, and it "
    "is not known which printed size is wrong.",
}


def _reading_line(reading: Reading, units: DisplayUnits) -> Line:
    """Return what one reading of a barrel's size makes of diameter, stroke and volume."""
    name = labels.READINGS.get(reading.key) or f"if {labels.CAUSES[reading.key]}"
    volume = bound_text(reading.volume, "volume", units)
    return Line(f"Read {name}", volume, reading_sizes(reading, units))


def _volume_working(appraisal: Appraisal, barrel: str) -> Working:
    units = appraisal.evaluation.display_units
    entered = appraisal.evaluation.barrel(barrel)
    result = appraisal.barrel(barrel)
    swept = result.swept
    fields = ("screw_diameter", "stroke", "swept_volume", "rated_shot_mass", "reference_factor")
    lines = [
        entered_line(entered, appraisal.evaluation.barrel_path(barrel), field)
        for field in fields
        if getattr(entered, field) is not None
    ]
    if len(swept.readings) > 1:
        lines += [_reading_line(reading, units) for reading in swept.readings]
    claim = result.claim("volume_geometry")
    notes = [claim_sentence(claim, units)]
    if claim.state == "not_stated" and swept.bound is not None:
        notes = [f"Not checked against a second number: {missing_words(claim.missing)} not stated."]
    if swept.doubt is not None:
        notes.append(_SPANNED[swept.doubt])
    settled = entered.settled
    if settled is not None:
        route = labels.ROUTES[settled.route]
        notes.append(f"Decided {route} by {settled.person or 'a person'}: {settled.reason}")
    way = labels.ROUTES.get(swept.route or "", "")
    volume = bound_text(swept.bound, "volume", units)
    return Working(
        title=f"Swept volume: {barrel_name(appraisal, barrel)}",
        result=f"{volume}, {way}" if swept.bound else "Not stated",
        formula="π / 4 × diameter² × stroke; else as quoted; else rated mass / reference factor",
        lines=tuple(lines),
        notes=tuple(notes),
        literature=(literature("definition"),),
    )


def _claim_working(appraisal: Appraisal, reference: ClaimRef) -> Working:
    units = appraisal.evaluation.display_units
    claim = appraisal.claim(reference)
    owner, key = reference.owner, reference.key
    named = next((b for b in appraisal.barrels if b.id == owner), None)
    lines = [] if named is None else _claim_lines(appraisal, reference)
    question = appraisal.question_of(reference)
    notes = () if question is None else (f"Question: {question_text(question, appraisal)}",)
    where = barrel_name(appraisal, owner) if named is not None else _supplier(appraisal, owner)
    return Working(
        title=f"{CLAIM_WORDS[key].label}: {where}",
        result=claim_sentence(claim, units)
        if claim.state == "not_stated" and claim.missing
        else f"{labels.CLAIM_STATES[claim.state].capitalize()}. {claim_sentence(claim, units)}",
        formula=CLAIM_WORDS[key].formula,
        lines=tuple(lines),
        notes=notes,
        literature=tuple(literature(source) for source in CLAIM_WORDS[key].sources),
    )


def _claim_lines(appraisal: Appraisal, reference: ClaimRef) -> list[Line]:
    """Return the data that a claim is computed from, as far as they are stated."""
    evaluation, words = appraisal.evaluation, CLAIM_WORDS[reference.key]
    _, unit, barrel = evaluation.place(reference.owner)
    path = evaluation.barrel_path(reference.owner)
    places: list[tuple[Frozen, Path, str]] = [(barrel, path, name) for name in words.of_barrel]
    places += [(unit, path[:4], name) for name in words.of_unit]
    lines = []
    for thing, home, name in places:
        value = getattr(thing, name)
        if isinstance(value, Quantity):
            lines.append(entered_line(thing, home, name))
        elif value is not None:
            resin = evaluation.resin(value)
            called = value if resin is None else resin_called(evaluation, resin)
            opens = None if resin is None else FactorRef(resin.id)
            lines.append(Line(labels.datum(name), called, "", opens, (*home, name)))
    return lines


def _supplier(appraisal: Appraisal, bid: str) -> str:
    return bid_called(appraisal.evaluation, appraisal.evaluation.bid(bid))


def working(
    appraisal: Appraisal, reference: Reference, decision: Decision | None = None
) -> Working:
    """Return how the number behind a reference came about; raises KeyError for an unknown one.

    `decision` is the appraisal's, where there is one already.
    """
    match reference:
        case AmountRef():
            return amount_working(decision or decide(appraisal), reference)
        case SeriesRef():
            return series_working(appraisal, reference)
        case ShareRef():
            return share_working(decision or decide(appraisal), reference)
        case LevelledRef():
            return levelled_working(decision or decide(appraisal), reference)
        case HoursRef():
            return hours_working(decision or decide(appraisal), reference)
        case JobHoursRef():
            return job_hours_working(decision or decide(appraisal), reference)
        case RunsRef():
            return runs_working(decision or decide(appraisal), reference)
        case SizeRef():
            return size_working((decision or decide(appraisal)).ask, reference)
        case CountRef():
            return count_working(appraisal, reference)
        case GatesRef():
            return gates_working(appraisal, reference)
        case AskRef():
            return ask_working((decision or decide(appraisal)).ask, reference)
        case CriterionRef():
            return criterion_working(appraisal, reference)
        case ShotRef(job):
            return _shot_working(appraisal, job)
        case FactorRef(resin):
            return _factor_working(appraisal, resin)
        case VolumeRef(barrel):
            return _volume_working(appraisal, barrel)
        case ClaimRef():
            return _claim_working(appraisal, reference)
