"""Every barrel with every shot, worked out step by step: a row a case, a step a column."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from evenbarrel.appraisal import criteria
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.criteria.size import cushion_or_default, decompression_or_default
from evenbarrel.appraisal.inputs.barrel_inputs import rated_resin
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.trade import capacity, filling, recovery
from evenbarrel.trade.formula import Array
from evenbarrel.trade.geometry import screw_area
from evenbarrel.wording.sheets.live.barrels import DOUBT, doubt_cell
from evenbarrel.wording.sheets.live.formula import Scales, calculated, known, number
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import full_name, job_name

CALCULATED = ("capacity", "utilisation", "stroke", "residence", "recovery")
"""The criteria that a workbook calculates anew; the columns have their keys."""

MASS_COLUMNS = {
    "nominal": "nominal",
    "smallest": "smallest_shot_mass",
    "largest": "largest_shot_mass",
}

_AREA = "PI()/4*[diameter]^2"
_HOT = "N([jobs.hot_runner_volume])"


@dataclass(frozen=True, slots=True)
class Step:
    """One column: what it is, in which kind of unit, and how it comes about.

    `kind` is one of `units.KINDS`, or the unit itself. A formula of "" differs from row to row.
    """

    key: str
    title: str
    kind: str
    formula: str


def steps(scales: Scales) -> tuple[Step, ...]:
    """Return the columns from what is taken to what comes out."""
    return (*_TAKEN, *_of_stroke(scales), *_of_time(scales), *_criteria_steps(scales))


_TAKEN = (
    Step("diameter", "Screw diameter", "length", "[barrels.diameter]"),
    Step("screw_stroke", "Stroke", "length", "[barrels.stroke]"),
    Step("volume", "Swept volume", "volume", "[barrels.volume]"),
    Step("inventory", "Melt inventory", "volume", "[barrels.inventory]"),
    Step("mass", "Shot mass", "mass", ""),
    Step("factor", "Output factor", "density", "[jobs.factor]"),
    Step("density", "Melt density", "density", "[jobs.density]"),
    Step("cycle", "Cycle", "s", "[jobs.cycle_time]"),
    Step("window", "Window", "s", "[jobs.window]"),
)


def _of_stroke(scales: Scales) -> tuple[Step, ...]:
    """Return what the shot takes of the stroke, as a length each."""
    length = scales.length
    swept = known(f"[shot_volume]{length}/({_AREA})", "shot_volume", "diameter")
    cushion = known("MAX(cushion_share*[shot_stroke],cushion_least)", "shot_stroke")
    drawn = known("decompression_share*[diameter]", "diameter")
    relief = known(f"relief_share*{_HOT}{length}/({_AREA})", "diameter")
    return (
        Step("shot_volume", "Shot volume", "volume", known("[mass]/[factor]", "mass", "factor")),
        Step("shot_stroke", "Shot stroke", "length", swept),
        Step("cushion", "Cushion", "length", _stated_or("jobs.cushion", cushion)),
        Step("decompression", "Decompression", "length", _stated_or("jobs.decompression", drawn)),
        Step("relief", "Hot-runner relief", "length", relief),
    )


def _stated_or(place: str, otherwise: str) -> str:
    return f"IF(COUNT([{place}])=1,[{place}],{otherwise})"


def _of_time(scales: Scales) -> tuple[Step, ...]:
    """Return how long the screw turns for the shot."""
    time = known(f"[mass]/[rate]{scales.recovery}", "mass", "rate")
    return (
        Step("rate", "Plasticising rate in the resin", "mass_rate", ""),
        Step("recovery_time", "Recovery", "s", time),
    )


def _criteria_steps(scales: Scales) -> tuple[Step, ...]:
    """Return the criteria, in the order of `CALCULATED`."""
    in_stroke = "([shot_stroke]+[cushion]+[decompression]+[relief])/[screw_stroke]*100"
    by_volume = "(volume_cushion*[shot_volume]/[volume]+volume_decompression)*100"
    alone = known(by_volume, "shot_volume", "volume")
    capacity = f'IF(COUNT([shot_stroke],[screw_stroke])=2,IFERROR({in_stroke},""),{alone})'
    held = f"([inventory]+[cushion]*{_AREA}{scales.volume}+{_HOT})*[density]"
    stays = ("inventory", "cushion", "density", "mass", "cycle")
    share = known("[shot_volume]/[volume]*100", "shot_volume", "volume")
    diameters = known("[shot_stroke]/[diameter]", "shot_stroke", "diameter")
    recovered = known("[recovery_time]/[window]*100", "recovery_time", "window")
    return (
        Step("capacity", _label("capacity"), "%", capacity),
        Step("utilisation", _label("utilisation"), "%", share),
        Step("stroke", _label("stroke"), "D", diameters),
        Step("residence", _label("residence"), "s", known(f"{held}/[mass]*[cycle]", *stays)),
        Step("recovery", _label("recovery"), "%", recovered),
    )


def _label(key: str) -> str:
    return CRITERION_WORDS[key].label


def calculation_sheet(appraisal: Appraisal) -> Sheet:
    """Return a row for each barrel and each shot of each job."""
    scales = Scales(appraisal.evaluation.display_units)
    columns = steps(scales)
    values = _values(appraisal)
    headings = (
        Heading("No.", key="case"),
        Heading("Barrel no.", key="barrel"),
        Heading("Job no.", key="job"),
        Heading("Barrel"),
        Heading("Job"),
        Heading("Shot"),
        DOUBT,
        *(_heading(step, scales) for step in columns),
    )
    rows = []
    table = appraisal.grid.table
    for row in range(len(appraisal.barrels)):
        name = full_name(appraisal, appraisal.barrels[row].id)
        for place, column in enumerate(table.columns):
            end = "nominal" if column.shot is None else column.shot.end
            own = {"mass": _mass(end), "rate": _rate(appraisal, row, place, scales)}
            rows.append(
                (
                    number(case_of(appraisal, row, place)),
                    number(row + 1),
                    number(column.job + 1),
                    Cell(name),
                    Cell(job_name(appraisal, column.entered.id)),
                    Cell(labels.ENDS[end]),
                    doubt_cell(appraisal.barrels[row]),
                    *_worked_out(columns, own, values, (row, place), scales),
                )
            )
    return Sheet("calculation", "Calculation", headings, tuple(rows))


def case_of(appraisal: Appraisal, row: int, column: int) -> int:
    """Return the number of the case of a barrel and a shot."""
    return row * len(appraisal.grid.table.columns) + column + 1


def _heading(step: Step, scales: Scales) -> Heading:
    if step.kind in ("s", "%", "D"):
        return Heading(step.title, step.kind, key=step.key)
    return scales.heading(step.title, step.kind, step.key)


def _worked_out(
    columns: tuple[Step, ...],
    own: Mapping[str, str],
    values: Mapping[str, Array],
    at: tuple[int, int],
    scales: Scales,
) -> Iterator[Cell]:
    for step in columns:
        value: float | None = float(values[step.key][at])
        if step.kind == "%":
            value = 100.0 * float(values[step.key][at])
        elif step.kind not in ("s", "D"):
            value = scales.value(value, step.kind)
        yield calculated(value, step.formula or own[step.key])


def _mass(end: str) -> str:
    return f"[jobs.{MASS_COLUMNS[end]}]"


def _rate(appraisal: Appraisal, row: int, column: int, scales: Scales) -> str:
    """Return how the plasticising rate comes about in the resin of a shot."""
    table = appraisal.grid.table
    rated = rated_resin(table.rows[row].stated.barrel)
    result = table.columns[column].result
    run = None if result is None else result.id
    if rated is None:
        return '""'
    if run is None or rated == run:
        return "[barrels.plasticising_rate]"
    names = [resin.id for resin in appraisal.evaluation.resins]
    of, reference = (f"#R{names.index(name) + 1}" for name in (run, rated))
    limit = f"MIN(1,[{of} density]/[{reference} density],[{reference} enthalpy]/[{of} enthalpy])"
    data = (f"{resin} {name}" for resin in (of, reference) for name in ("density", "enthalpy"))
    return known(f"[barrels.plasticising_rate]*{limit}", "barrels.plasticising_rate", *data)


def _values(appraisal: Appraisal) -> Mapping[str, Array]:
    """Return what the program has for every step, over (barrels, shots), SI."""
    inputs = appraisal.grid.table.inputs.of_rows(slice(len(appraisal.barrels)))
    shape = (len(appraisal.barrels), len(appraisal.grid.table.columns))
    with np.errstate(all="ignore"):
        found = _sizes(inputs) | _times(inputs)
    return {key: np.broadcast_to(value, shape) for key, value in found.items()}


def _sizes(inputs: CriterionInputs) -> dict[str, Array]:
    diameter, stroke = inputs.diameter.nominal, inputs.stroke.nominal
    mass, factor = inputs.shot_mass.nominal, inputs.output_factor.nominal
    area = screw_area(diameter)
    shot = filling.shot_volume(mass, factor)
    shot_stroke = filling.shot_stroke(shot, area)
    return {
        "diameter": diameter,
        "screw_stroke": stroke,
        "volume": inputs.swept_volume.nominal,
        "mass": mass,
        "factor": factor,
        "shot_volume": shot,
        "shot_stroke": shot_stroke,
        "cushion": cushion_or_default(inputs.cushion.nominal, shot_stroke),
        "decompression": decompression_or_default(inputs.decompression.nominal, diameter),
        "relief": capacity.hot_runner_relief(inputs.hot_runner_volume.nominal, area),
    }


def _times(inputs: CriterionInputs) -> dict[str, Array]:
    rate = inputs.rate_in_resin.nominal
    return {
        "inventory": inputs.melt_inventory.nominal,
        "density": inputs.melt_density.nominal,
        "cycle": inputs.cycle_time.nominal,
        "window": inputs.cooling_window.nominal,
        "rate": rate,
        "recovery_time": recovery.recovery_time(inputs.shot_mass.nominal, rate),
        **_criteria(inputs),
    }


def _criteria(inputs: CriterionInputs) -> dict[str, Array]:
    given = {one.key: one for one in criteria.ALL if one.key in CALCULATED}
    return {
        key: one.value(**{name: inputs[name].nominal for name in one.monotonic_in})
        for key, one in given.items()
    }
