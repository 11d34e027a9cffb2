"""The jobs of the live workbook: their shots by mass and volume, and the time for recovery."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.job_results import RecoveryWindow
from evenbarrel.appraisal.results import Bound
from evenbarrel.decision.programme import Programme
from evenbarrel.model.job import Job
from evenbarrel.trade.ownership.cost import present_value_of_years
from evenbarrel.wording.sheets.live.entered import JOB_DATA
from evenbarrel.wording.sheets.live.formula import (
    EMPTY,
    Scales,
    calculated,
    known,
    number,
    pulled,
    whole,
    worth,
)
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import job_name, resin_called
from evenbarrel.wording.words.numbers import ABSENT

SHOT_MASS = (
    "IF(COUNT([shot_mass_given])=1,[shot_mass_given],"
    'IF(COUNT([cavities],[part_mass])=2,[cavities]*[part_mass]+N([runner_mass]),""))'
)
LEFT = "[cycle_time]-N([fill_time])-N([hold_time])-N([mould_motion_time])"
BY_CYCLE = "COUNT([cycle_time],[fill_time],[hold_time],[mould_motion_time])=4"
BY_FORMULA = "AND(COUNT([cooling_formula],[hold_time])=2,[cooling_formula]>[hold_time])"
"""A wall that is cold before hold ends tells no window."""
TO_OPENING = (
    "IF(COUNT([cooling_time])=1,[cooling_time],"
    f"IF({BY_CYCLE},[left],IF({BY_FORMULA},[cooling_formula]-[hold_time],[left])))"
)
PAST_OPENING = (
    "IF(COUNT([recovery_during_opening])=0,0,MIN([recovery_during_opening],[mould_motion_time]))"
)
AT_MOST = "[cycle_time]-N([fill_time])-N([hold_time])-N([screw_delay])"


def _window(to_opening: str) -> str:
    """Return the formula of a window; MIN passes over what is empty."""
    turning = f"MIN({to_opening},[left])-N([screw_delay])+{PAST_OPENING}"
    return f"MAX(0,IF(COUNT([cycle_time])=1,MIN({turning},{AT_MOST}),{turning}))"


WINDOW = _window("[to_opening]")
LONGEST = _window("IF(AND(COUNT([cooling_time])=0,COUNT([cycle_time])=1),[left],[to_opening])")


def live_jobs_sheet(appraisal: Appraisal, programme: Programme) -> Sheet:
    """Return every job, its shots brought to volume, with the number it carries on the board."""
    scales = Scales(appraisal.evaluation.display_units)
    rows = tuple(
        tuple(_cells(appraisal, programme, place, job, scales))
        for place, job in enumerate(appraisal.evaluation.jobs)
    )
    return Sheet("jobs", "Jobs", _headings(scales), rows)


def _headings(scales: Scales) -> tuple[Heading, ...]:
    def datum(name: str, kind: str) -> Heading:
        key = "shot_mass_given" if name == "shot_mass" else name
        return scales.heading(labels.datum_of(Job, name), kind, key)

    return (
        Heading("No.", key="job"),
        Heading("Mould"),
        Heading("Resin"),
        Heading("Class"),
        scales.heading("Planned shot", "mass", "nominal"),
        scales.heading("Output factor", "density", "factor"),
        scales.heading("Shot volume", "volume", "shot_volume"),
        Heading("Window for recovery", "s", key="window"),
        Heading("Shots a year, from parts", key="shots_by_quantity"),
        Heading("Shots a year", key="shots"),
        Heading("First year", key="first"),
        Heading("Last year", key="last"),
        Heading("Present value of 1 a year, with tariff growth", key="worth_tariff"),
        Heading("Present value of 1 a year, with hour rate growth", key="worth_rate"),
        Heading("Present value of 1 a year, without growth", key="worth_flat"),
        Heading("Parts a year", key="annual_quantity"),
        Heading("Batches per year", key="batches_per_year"),
        Heading("Hours a year", "h", key="hours_per_year"),
        Heading("Cavities", key="cavities"),
        *(datum(name, kind) for name, kind in JOB_DATA.items()),
        Heading("At most, left by the cycle", "s", key="left"),
        Heading("Cooling by formula", "s", key="cooling_formula"),
        Heading("End of hold to opening", "s", key="to_opening"),
        Heading("Recovery before a cycle gets longer", "s", key="longest"),
        scales.heading("Melt density", "density", "density"),
    )


def _cells(
    appraisal: Appraisal, programme: Programme, place: int, job: Job, scales: Scales
) -> Iterator[Cell]:
    result, key = appraisal.jobs[place], f"J{place + 1}"
    resin = appraisal.evaluation.resin(job.resin)
    names = [one.id for one in appraisal.evaluation.resins]
    of_resin = None if resin is None else f"R{names.index(resin.id) + 1}"
    yield number(place + 1)
    yield Cell(job_name(appraisal, job.id))
    yield Cell(ABSENT if resin is None else resin_called(appraisal.evaluation, resin))
    yield Cell(ABSENT if resin is None else resin.resin_class or ABSENT)
    shot, density = result.nominal, None
    mass = None if shot is None else shot.mass.nominal
    volume = None if shot is None or shot.volume is None else shot.volume.nominal
    yield calculated(scales.value(mass, "mass"), SHOT_MASS)
    yield _of_resin(scales.value(result.factor, "density"), of_resin, "factor")
    yield calculated(
        scales.value(volume, "volume"), known("[nominal]/[factor]", "nominal", "factor")
    )
    window = result.window or RecoveryWindow({}, None, None, None, None)
    yield calculated(_nominal(window.bound), known(WINDOW, "to_opening"))
    yield from _years(programme, place, key)
    for name in ("annual_quantity", "batches_per_year"):
        count = getattr(job, name)
        yield pulled(None if count is None else float(count), f"[#{key} {name}]")
    yield pulled(_finite(programme.hours_stated[place]), f"[#{key} hours_per_year]")
    cavities = None if job.cavities is None else float(job.cavities)
    yield pulled(cavities, f"[#{key} cavities]")
    for name, kind in JOB_DATA.items():
        stated = getattr(job, name)
        value = None if stated is None else scales.value(stated.si(kind), kind)
        yield pulled(value, f"[#{key} {name}]")
    yield calculated(_nominal(window.cap), known(LEFT, "cycle_time"))
    yield calculated(_nominal(window.cooling), f"[#{key} cooling_formula]")
    yield calculated(_to_opening(window), TO_OPENING)
    yield calculated(window.longest, known(LONGEST, "to_opening"))
    if resin is not None:
        density = scales.value(appraisal.resins[resin.id].melt_density, "density")
    yield _of_resin(density, of_resin, "density")


def _of_resin(value: float | None, key: str | None, name: str) -> Cell:
    return EMPTY if key is None else calculated(value, f"[#{key} {name}]")


def _nominal(bound: Bound | None) -> float | None:
    return None if bound is None else bound.nominal


def _to_opening(window: RecoveryWindow) -> float | None:
    if window.taken is None:
        return None
    return _nominal(window.cap if window.taken == "cap" else window.routes[window.taken])


BY_QUANTITY = (
    "IF(COUNT([annual_quantity],[cavities])=2,[annual_quantity]/[cavities],"
    'IF(COUNT([annual_quantity],[shot_mass_given])=2,[annual_quantity],""))'
)
BY_HOURS = known("3600*[hours_per_year]*oee/[cycle_time]", "hours_per_year", "cycle_time")
SHOTS = f"IF(COUNT([shots_by_quantity])=1,[shots_by_quantity],{BY_HOURS})"
_HORIZON = "IF(COUNT(horizon_years)=1,horizon_years,1)"


def _years(programme: Programme, place: int, key: str) -> Iterator[Cell]:
    """Yield the shots of a year, the job's years, and what money of these years is worth."""
    by_quantity = programme.by_quantity[place]
    shots, first, last = (
        float(values[place]) for values in (programme.shots, programme.first, programme.last)
    )
    yield whole(shots if by_quantity else None, BY_QUANTITY)
    yield whole(shots, SHOTS)
    start, end = f"[#{key} start_year]", f"[#{key} end_year]"
    begun = f"IF(COUNT({start},as_of_year)=2,MAX(1,{start}-as_of_year),1)"
    ended = f"IF(COUNT({end},as_of_year)=2,MIN({_HORIZON},{end}-as_of_year),{_HORIZON})"
    yield whole(first, begun)
    yield whole(last, ended)
    cost, basis = programme.basis.evaluation.cost, programme.basis
    for name, growth in (
        ("tariff_growth", cost.tariff_growth),
        ("rate_growth", cost.rate_growth),
        ("0", None),
    ):
        value = None
        if basis.dated and basis.discount_rate is not None:
            rate = basis.discount_rate
            value = present_value_of_years(1.0, growth or 0.0, rate, first, last)
        summed = worth(name, "[first]", "[last]")
        yield calculated(value, known(summed, "discount_rate", "horizon_years"))


def _finite(value: float) -> float | None:
    return float(value) if isfinite(value) else None
