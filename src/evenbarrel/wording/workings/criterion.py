"""How a criterion's number came about, in one cell of the fit grid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import isnan

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.criteria.definition import Criterion
from evenbarrel.appraisal.inputs.barrel_inputs import rated_resin
from evenbarrel.appraisal.inputs.intervals import at
from evenbarrel.appraisal.inputs.shots import hot_runner_open
from evenbarrel.appraisal.references import CriterionRef, FactorRef, Reference, ShotRef, VolumeRef
from evenbarrel.appraisal.results import Bound, CriterionResult
from evenbarrel.appraisal.verdicts.assessment import Assessment
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum_path import Path
from evenbarrel.wording.sentences.cells import (
    criterion_sentence,
    interval_text,
)
from evenbarrel.wording.sentences.resins import tait_line
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.inputs import CAPACITY_BY_VOLUME, INPUTS, Input
from evenbarrel.wording.words.names import barrel_name, job_name, resin_called
from evenbarrel.wording.words.numbers import (
    rounded,
    with_unit,
)
from evenbarrel.wording.workings.alongside import BESIDE, NOTES, Case
from evenbarrel.wording.workings.cell import Cell, cell_of, path_of
from evenbarrel.wording.workings.limit_lines import (
    edge_lines,
    fitting_lines,
    is_recalled,
    limit_given,
)
from evenbarrel.wording.workings.line import (
    Line,
    Working,
    bound_text,
    literature,
    stated,
)

DENSITY_REMARKS: Mapping[str, str] = {
    "other_pressure": "entered for another pressure than the back pressure",
    "filled": "mixed with the fillers by the reciprocal mass rule",
}
"""What a reader should know of a melt density."""


def _owner(cell: Cell, what: Input) -> Frozen | None:
    owners: dict[str, Frozen | None] = {
        "barrel": cell.barrel,
        "unit": cell.unit,
        "job": cell.job,
        "resin": cell.resin,
    }
    return owners.get(what.owner)


def _entered_at(cell: Cell, what: Input) -> Path:
    """Return the path of the field that states an input, else of the first that could."""
    owner = _owner(cell, what)
    field = next((f for f in what.fields if stated(owner, f)), next(iter(what.fields), ""))
    return path_of(cell, what.owner, field)


def _reference(cell: Cell, name: str) -> Reference | None:
    if name == "shot_mass":
        return ShotRef(cell.job.id)
    if name in ("output_factor", "factor_of_volume") and cell.resin is not None:
        return FactorRef(cell.resin.id)
    return VolumeRef(cell.barrel.id) if name == "swept_volume" else None


def _is_stated(cell: Cell, what: Input) -> bool:
    return any(stated(_owner(cell, what), field) for field in what.fields)


def _stated_numbers(cell: Cell, what: Input) -> str:
    if what.owner == "limit":
        return limit_given(cell.appraisal, what.fields[0])
    owner = _owner(cell, what)
    texts = [stated(owner, field) for field in what.fields]
    found = next((text for text in texts if text), "")
    return found or (f"{what.how}: {what.otherwise}" if what.otherwise else "")


def _input_line(cell: Cell, assessment: Assessment, name: str, row: int, shot: int) -> Line | None:
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
            given = f"not stated, nor everything needed for it: {what.otherwise}"
    reference, path = _reference(cell, name), _entered_at(cell, what)
    return Line(what.label, value, given, reference, path, is_entered=bound is not None)


def _given(cell: Cell, what: Input, name: str, known: bool) -> str:
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


def _is_read_differently(result: CriterionResult) -> bool:
    """Say whether the readings of a barrel's size give different values."""
    return len({(one.value, one.low, one.high) for one in result.readings}) > 1


def _reading_lines(cell: Cell, result: CriterionResult) -> list[Line]:
    """Return what each reading of a barrel's size gives, where there are several."""
    if not _is_read_differently(result) or not result.unit:
        return []
    lines = []
    for one in result.readings:
        name = labels.READINGS.get(one.key) or f"if {labels.CAUSES[one.key]}"
        shown = replace(result, value=one.value, low=one.low, high=one.high)
        counted = "" if one.plausible else ", not a plausible size, not included"
        value = interval_text(shown, cell.units)
        lines.append(Line(f"Read {name}", value, f"{labels.STATES[one.state]}{counted}"))
    return lines


def _criterion_notes(result: CriterionResult, cell: Cell) -> tuple[str, ...]:
    units = cell.units
    notes = [f"Meaning: {CRITERION_WORDS[result.key].meaning}."]
    notes.append(f"Basis: {labels.BASES[result.basis]}.")
    judged = result.state != "not_stated"
    if judged and result.margin is not None:
        notes.append(_margin_note(result))
    if judged and result.unit and (result.shot_volume_low or result.shot_volume_high):
        low = with_unit(result.shot_volume_low or 0.0, "volume", units)
        high = _highest_shot(result, cell)
        notes.append(f"Shot volumes it allows on this barrel: from {low} {high}.")
    if result.unconfirmed:
        notes.append(_unconfirmed_note(result, cell))
    if result.key != "ring_share" or cell.barrel.ring_travel is None:
        notes += NOTES.get(result.key, ())
    if result.low != result.high:
        notes.append(
            "The interval takes all inputs to their favourable and unfavourable ends: it is "
            "a bound, not a confidence interval."
        )
    return tuple(notes)


def _highest_shot(result: CriterionResult, cell: Cell) -> str:
    """Return up to which shot volume a criterion allows, no number beyond what is swept."""
    swept = cell.appraisal.barrel(cell.barrel.id).swept.bound
    high = result.shot_volume_high
    if high is None:
        return "without an upper limit"
    if swept is not None and high > swept.high:
        return "to more than its swept volume"
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


def _unconfirmed_note(result: CriterionResult, cell: Cell) -> str:
    if result.key in ("pressure", "power"):
        return "The demand is estimated: no worse than near edge until it is stated."
    if is_recalled(cell, result.key):
        return (
            "The limit is from memory: no worse than near edge until a named person "
            "confirms or changes it."
        )
    return "An input is assumed: no worse than near edge until it is stated."


def _volume_alone(assessment: Assessment, row: int, shot: int) -> bool:
    """Say whether the swept volume stands alone, so that the stroke is assumed."""
    inputs = assessment.inputs
    sizes = (inputs.diameter, inputs.stroke)
    unsized = any(isnan(at(size.nominal, row, shot)) for size in sizes)
    return unsized and not isnan(at(inputs.swept_volume.nominal, row, shot))


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
    cell = cell_of(appraisal, barrel, job)
    column, full = appraisal.grid.column(job), appraisal.grid.in_full(appraisal.grid.row(barrel))
    row, assessment = full.row, full.of(key)
    result = appraisal.fit(barrel, job).criterion(key)
    shot = int(assessment.chosen[row, column])
    criterion = assessment.criterion
    by_volume = key == "capacity" and _volume_alone(assessment, row, shot)
    names = _names(criterion, by_volume)
    used = [_input_line(cell, assessment, name, row, shot) for name in names]
    lines = list(dict.fromkeys(line for line in used if line is not None))
    if not criterion.numeric:
        lines += fitting_lines(cell, key)
    beside = _beside(cell, assessment, row, shot, result)
    sources = dict.fromkeys((criterion.source, *(line.source for line in beside if line.source)))
    words = CRITERION_WORDS[key]
    title = f"{words.label}: {barrel_name(appraisal, barrel)} × {job_name(appraisal, job)}"
    return Working(
        title=title,
        result=criterion_sentence(result, cell.units),
        formula=f"{words.label} = "
        + (CAPACITY_BY_VOLUME if by_volume else words.formula)
        + (f" = {interval_text(result, cell.units)}" if result.value is not None else ""),
        lines=(
            *_said_once(lines, beside),
            *_reading_lines(cell, result),
            *edge_lines(cell, result),
        ),
        notes=_criterion_notes(result, cell),
        literature=tuple(map(literature, sources)),
    )


def _beside(
    cell: Cell, assessment: Assessment, row: int, shot: int, result: CriterionResult
) -> tuple[Line, ...]:
    """Return what stands beside a criterion's number: other routes to it, what was taken."""
    table = assessment.table
    if result.key not in BESIDE or not table.applies[row, 0]:
        return ()
    rated = cell.appraisal.evaluation.resin(rated_resin(cell.barrel))
    called = "" if rated is None else resin_called(cell.appraisal.evaluation, rated)
    rows, columns = table.rows[row], table.columns[shot]
    of_rated = None if rated is None else cell.appraisal.resins[rated.id]
    case = Case(assessment, rows, columns, row, shot, cell.units, called, of_rated, result)
    return BESIDE[result.key](case)


def _said_once(inputs: Sequence[Line], beside: Sequence[Line]) -> Iterator[Line]:
    """Yield the inputs, then what stands beside: what was taken for an input stands in its place.

    Its way to the field that would state it stays.
    """
    taken = {line.label: line for line in beside}
    for line in inputs:
        instead = taken.pop(line.label, None)
        if instead is None:
            yield line
        else:
            yield replace(instead, path=line.path, is_entered=False)
    yield from (line for line in beside if line.label in taken)
