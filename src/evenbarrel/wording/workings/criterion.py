"""How a criterion's number came about, in one cell of the fit grid."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isnan
from typing import Literal

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.criteria.definition import Criterion
from evenbarrel.appraisal.inputs.barrel_inputs import rated_resin
from evenbarrel.appraisal.inputs.confirmed import holds
from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.appraisal.inputs.shots import hot_runner_open
from evenbarrel.appraisal.references import CriterionRef, FactorRef, Reference, ShotRef, VolumeRef
from evenbarrel.appraisal.results import Bound, CriterionResult
from evenbarrel.appraisal.verdicts.assessment import Assessment
from evenbarrel.model.base import Frozen
from evenbarrel.model.bid import Barrel, InjectionUnit
from evenbarrel.model.datum_path import Path
from evenbarrel.model.job import Job
from evenbarrel.model.limits import limit_origin, limit_value
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Resin
from evenbarrel.wording.sentences.cells import (
    criterion_sentence,
    date_text,
    interval_text,
    limit_text,
    listed,
)
from evenbarrel.wording.sentences.deciding.decision import in_diameters, limit_label
from evenbarrel.wording.sentences.resins import tait_line
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.inputs import CAPACITY_BY_VOLUME, INPUTS, Input, Owner
from evenbarrel.wording.words.names import barrel_name, job_name
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    percent,
    printed,
    rounded,
    with_unit,
)
from evenbarrel.wording.workings.alongside import BESIDE, NOTES, Place
from evenbarrel.wording.workings.line import (
    Line,
    Working,
    bound_text,
    literature,
    stated,
    where_stated,
)

DENSITY_REMARKS: Mapping[str, str] = {
    "other_pressure": "entered for another pressure than the back pressure",
    "filled": "mixed with the fillers by the reciprocal mass rule",
}
"""What a reader should know of a melt density."""


@dataclass(frozen=True, slots=True)
class _Cell:
    """Everything a criterion's working looks things up in."""

    appraisal: Appraisal
    unit: InjectionUnit
    barrel: Barrel
    job: Job
    resin: Resin | None

    @property
    def units(self) -> DisplayUnits:
        return self.appraisal.evaluation.display_units


def _cell(appraisal: Appraisal, barrel: str, job: str) -> _Cell:
    evaluation = appraisal.evaluation
    _, unit, entered = evaluation.place(barrel)
    planned = evaluation.job(job)
    return _Cell(appraisal, unit, entered, planned, evaluation.resin(planned.resin))


def _owner(cell: _Cell, what: Input) -> Frozen | None:
    owners: dict[str, Frozen | None] = {
        "barrel": cell.barrel,
        "unit": cell.unit,
        "job": cell.job,
        "resin": cell.resin,
    }
    return owners.get(what.owner)


def _path(cell: _Cell, owner: Owner, field: str) -> Path:
    """Return where a person enters a datum; () where nobody does."""
    barrel = cell.appraisal.evaluation.barrel_path(cell.barrel.id)
    homes: dict[str, Path] = {"barrel": barrel, "unit": barrel[:4], "job": ("jobs", cell.job.id)}
    if cell.resin is not None:
        homes["resin"] = ("resins", cell.resin.id)
    return (*homes[owner], field) if owner in homes else ()


def _entered_at(cell: _Cell, what: Input) -> Path:
    """Return the path of the field that states an input, else of the first that could."""
    owner = _owner(cell, what)
    field = next((f for f in what.fields if stated(owner, f)), next(iter(what.fields), ""))
    return _path(cell, what.owner, field)


def _reference(cell: _Cell, name: str) -> Reference | None:
    if name == "shot_mass":
        return ShotRef(cell.job.id)
    if name in ("output_factor", "factor_of_volume") and cell.resin is not None:
        return FactorRef(cell.resin.id)
    return VolumeRef(cell.barrel.id) if name == "swept_volume" else None


def _is_stated(cell: _Cell, what: Input) -> bool:
    return any(stated(_owner(cell, what), field) for field in what.fields)


def _stated_numbers(cell: _Cell, what: Input) -> str:
    if what.owner == "limit":
        return _limit_given(cell.appraisal, what.fields[0])
    owner = _owner(cell, what)
    texts = [stated(owner, field) for field in what.fields]
    found = next((text for text in texts if text), "")
    return found or (f"{what.how}: {what.otherwise}" if what.otherwise else "")


def _input_line(cell: _Cell, assessment: Assessment, name: str, row: int, shot: int) -> Line | None:
    what = INPUTS.get(name)
    if what is None:
        return None
    interval = assessment.inputs[name]
    nominal, low, high = (at(a, row, shot) for a in (interval.nominal, interval.low, interval.high))
    bound = None if isnan(nominal) else Bound(nominal, low, high)
    if name == "hot_runner_volume" and cell.job.hot_runner_volume is None:
        # None is there, or nobody knows how large it is: never nothing.
        if not hot_runner_open(cell.job):
            return None
        bound = None
    given = _given(cell, what, name, bound is not None)
    is_estimate = what.how == "estimated" and not _is_stated(cell, what)
    value = bound_text(bound, what.kind, cell.units, is_estimate=is_estimate)
    if bound is None and what.otherwise and not _is_stated(cell, what):
        if what.how == "assumed":
            # The formula itself takes it.
            value, given = "assumed", what.otherwise
        else:
            given = f"not stated, nor all that this takes: {what.otherwise}"
    reference, path = _reference(cell, name), _entered_at(cell, what)
    return Line(what.label, value, given, reference, path, is_entered=bound is not None)


def _given(cell: _Cell, what: Input, name: str, known: bool) -> str:
    """Return where an input was stated, or what stood in for it."""
    given = _stated_numbers(cell, what)
    if name in ("diameter", "stroke") and known and not given:
        return "from the quoted volume and the other of diameter and stroke"
    if name == "rated_speed" and known and cell.barrel.plasticising_speed is None:
        return f"assumed: {given}, taken as the speed of the rate"
    if name == "melt_density" and cell.resin is not None:
        result = cell.appraisal.resins[cell.resin.id]
        remarks = [DENSITY_REMARKS[n] for n in result.density_notes if n in DENSITY_REMARKS]
        beyond = tait_line(cell.resin, result, cell.units)
        return "; ".join(filter(None, (given, *remarks, beyond)))
    return given


def _limit_given(appraisal: Appraisal, field: str) -> str:
    limit = getattr(appraisal.evaluation.limits, field)
    value = limit_value(limit)
    shown = f"{rounded(value)} D" if in_diameters(field) else percent(value)
    return f"{shown}: {labels.ORIGINS[limit_origin(limit)]}"


def _edge_lines(cell: _Cell, result: CriterionResult) -> list[Line]:
    lines = []
    if result.unit:
        lines.append(Line("Limit", limit_text(result, cell.units)))
    limits = list(CRITERION_WORDS[result.key].limits)
    if result.key == "utilisation" and cell.resin is not None:
        own = [f for f in ("utilisation_low", "utilisation_high") if getattr(cell.resin, f)]
        lines += [_resin_limit(cell, f) for f in own]
        if len(own) < 2 and cell.resin.resin_class is not None:
            limits += [f"{cell.resin.resin_class}_{end}" for end in ("low", "high")]
    for field in limits:
        lines.append(Line(limit_label(field), "", _limit_given(cell.appraisal, field)))
    if result.unit and cell.resin is not None:
        lines += [_resin_limit(cell, field) for field in CRITERION_WORDS[result.key].of_resin]
    return lines


def _confirmed(cell: _Cell, field: str) -> str:
    """Return who stands by a resin's limit, when and why; empty where nobody does."""
    evaluation = cell.appraisal.evaluation
    for one in evaluation.confirmed_limits:
        is_it = cell.resin is not None and (one.resin, one.field) == (cell.resin.id, field)
        if is_it and holds(evaluation, one):
            day = f" on {date_text(one.date)}" if one.date else ""
            reason = f": {one.reason}" if one.reason else ""
            return f"confirmed by {one.person or 'a person not named'}{day}{reason}"
    return ""


def _is_recalled(cell: _Cell, key: str) -> bool:
    """Say whether a limit of the resin that a criterion uses is from memory, unconfirmed."""
    if cell.resin is None:
        return False
    origins = cell.resin.origins
    fields = (f for f in CRITERION_WORDS[key].of_resin if origins.get(f) == "from_memory")
    return any(not _confirmed(cell, field) for field in fields)


def _resin_limit(cell: _Cell, field: str) -> Line:
    """Return the line of a resin's datum that a criterion is judged by, with its origin."""
    said = _limit_said(cell, field)
    entered = None if cell.resin is None else getattr(cell.resin, field)
    value = printed(entered) if isinstance(entered, Quantity) else ""
    return Line(labels.datum(field), value, said, path=_path(cell, "resin", field))


def _limit_said(cell: _Cell, field: str) -> str:
    """Return where a resin's limit is from, or who stands by it."""
    if cell.resin is None or not getattr(cell.resin, field):
        return ""
    origin = labels.ORIGINS[cell.resin.origins.get(field)]
    return _confirmed(cell, field) or where_stated(cell.resin, field) or origin


def _is_read_differently(result: CriterionResult) -> bool:
    """Say whether the readings of a barrel's size give different values."""
    return len({(one.value, one.low, one.high) for one in result.readings}) > 1


def _reading_lines(cell: _Cell, result: CriterionResult) -> list[Line]:
    """Return what each reading of a barrel's size gives, where there are several."""
    if not _is_read_differently(result) or not result.unit:
        return []
    lines = []
    for one in result.readings:
        name = labels.READINGS.get(one.key) or f"if {labels.CAUSES[one.key]}"
        shown = replace(result, value=one.value, low=one.low, high=one.high)
        counted = "" if one.plausible else ", no machine's size: not counted"
        value = interval_text(shown, cell.units)
        lines.append(Line(f"Read {name}", value, f"{labels.STATES[one.state]}{counted}"))
    return lines


def _criterion_notes(result: CriterionResult, cell: _Cell) -> tuple[str, ...]:
    units = cell.units
    notes = [f"What it is: {CRITERION_WORDS[result.key].meaning}."]
    notes.append(f"Basis: {labels.BASES[result.basis]}.")
    if result.margin is not None:
        notes.append(_margin_note(result))
    if result.unit and (result.shot_volume_low or result.shot_volume_high):
        low = with_unit(result.shot_volume_low or 0.0, "volume", units)
        high = _highest_shot(result, cell)
        notes.append(f"Shot volumes it allows on this barrel: from {low} {high}.")
    if result.unconfirmed:
        notes.append(_unconfirmed_note(result, cell))
    notes += NOTES.get(result.key, ())
    if result.low != result.high:
        notes.append(
            "The interval takes all inputs to their unfavourable and favourable ends: a "
            "bound, not a confidence interval."
        )
    return tuple(notes)


def _highest_shot(result: CriterionResult, cell: _Cell) -> str:
    """Return up to which shot volume a criterion allows, no number beyond what is swept."""
    swept = cell.appraisal.barrel(cell.barrel.id).swept.bound
    high = result.shot_volume_high
    if high is None:
        return "without an upper end"
    if swept is not None and high > swept.high:
        return "to more than it sweeps"
    return f"to {with_unit(high, 'volume', cell.units)}"


def _margin_note(result: CriterionResult) -> str:
    """Say by what factor a value may change, or would have to, to stand at the hard edge."""
    factor = rounded(1.0 + (result.margin or 0.0))
    worst = ", in the worst reading of the barrel's size" if _is_read_differently(result) else ""
    if (result.margin or 0.0) < 0.0:
        return (
            f"Beyond the hard edge: the value would have to change by a factor of {factor} to "
            f"come back to it{worst}."
        )
    return f"Margin to the hard edge: the value may change by a factor of {factor}{worst}."


def _unconfirmed_note(result: CriterionResult, cell: _Cell) -> str:
    if result.key in ("pressure", "power"):
        return "The demand is estimated: no worse than near the edge until it is stated."
    if _is_recalled(cell, result.key):
        return (
            "The limit is recalled from memory: no worse than near the edge until a named person "
            "confirms or changes it."
        )
    return "An input is assumed: no worse than near the edge until it is stated."


def _volume_alone(assessment: Assessment, row: int, shot: int) -> bool:
    """Say whether the swept volume stands alone, so that the stroke is assumed."""
    sizes = (assessment.inputs.diameter, assessment.inputs.stroke)
    return any(isnan(at(size.nominal, row, shot)) for size in sizes)


def _names(criterion: Criterion, by_volume: bool) -> list[str]:
    """Return the inputs that a criterion's formula uses, the diameter once."""
    names = [name for name in criterion.monotonic_in if name != "nominal_diameter"]
    if len(names) < len(criterion.monotonic_in) and "diameter" not in names:
        names.append("diameter")
    if by_volume:
        return ["shot_mass", "factor_of_volume", "swept_volume"]
    if criterion.key == "capacity":
        return [name for name in names if name not in ("factor_of_volume", "swept_volume")]
    return names


def criterion_working(appraisal: Appraisal, reference: CriterionRef) -> Working:
    """Return how one criterion of one cell came about; raises KeyError for what is gone."""
    barrel, job, key = reference.barrel, reference.job, reference.criterion
    cell = _cell(appraisal, barrel, job)
    column, full = appraisal.grid.column(job), appraisal.grid.in_full(appraisal.grid.row(barrel))
    row, assessment = full.row, full.of(key)
    table = assessment.table
    result = appraisal.fit(barrel, job).criterion(key)
    shot = int(assessment.chosen[row, column])
    criterion = assessment.criterion
    by_volume = key == "capacity" and _volume_alone(assessment, row, shot)
    names = _names(criterion, by_volume)
    used = [_input_line(cell, assessment, name, row, shot) for name in names]
    lines = list(dict.fromkeys(line for line in used if line is not None))
    if not criterion.numeric:
        lines += _fitting_lines(cell, key)
    if key in BESIDE and table.applies[row, 0]:
        rated = appraisal.evaluation.resin(rated_resin(cell.barrel))
        place = Place(
            assessment,
            table.rows[row],
            table.columns[shot],
            row,
            shot,
            cell.units,
            "" if rated is None else rated.name or rated.id,
            result,
        )
        lines += BESIDE[key](place)
    words = CRITERION_WORDS[key]
    title = f"{words.label}: {barrel_name(appraisal, barrel)}, {job_name(appraisal, job)}"
    return Working(
        title=title,
        result=criterion_sentence(result, cell.units),
        formula=f"{words.label} = "
        + (CAPACITY_BY_VOLUME if by_volume else words.formula)
        + (f" = {interval_text(result, cell.units)}" if result.value is not None else ""),
        lines=(*lines, *_reading_lines(cell, result), *_edge_lines(cell, result)),
        notes=_criterion_notes(result, cell),
        literature=(literature(criterion.source),),
    )


def _fitting_lines(cell: _Cell, key: str) -> list[Line]:
    """Return what the resin asks of a part, and what the parts are."""
    return [
        *(
            replace(_entered_word(cell, "resin", field), stated=_limit_said(cell, field))
            for field in CRITERION_WORDS[key].of_resin
        ),
        *(_entered_word(cell, "barrel", field) for field in CRITERION_WORDS[key].of_barrel),
    ]


def _entered_word(cell: _Cell, owner: Literal["resin", "barrel"], field: str) -> Line:
    """Return a line with a datum as entered: a number as printed, a choice in words."""
    thing: Frozen | None = cell.resin if owner == "resin" else cell.barrel
    entered = None if thing is None else getattr(thing, field)
    if isinstance(entered, Quantity):
        value = printed(entered)
    elif isinstance(entered, tuple):
        value = listed([labels.choice(code) for code in entered]) or ABSENT
    else:
        value = labels.choice(entered) if entered else ABSENT
    path = _path(cell, owner, field)
    return Line(labels.datum(field), value, path=path, is_entered=bool(entered))
