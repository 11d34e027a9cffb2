"""What each job costs on each barrel over the years, and the cost lines, at present value."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from evenbarrel.appraisal.verdicts.states import NOT_STATED
from evenbarrel.decision.basis import Candidate
from evenbarrel.model.cost import CostLine
from evenbarrel.model.limits import CRITERIA
from evenbarrel.trade.ownership import cost as formulas
from evenbarrel.wording.sheets.live.calculation import case_of
from evenbarrel.wording.sheets.live.formula import (
    NO_RATE,
    Scales,
    by_program,
    calculated,
    known,
    money,
    number,
    pulled,
    whole,
    worth,
)
from evenbarrel.wording.sheets.live.money import Priced
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.names import full_name, job_name
from evenbarrel.wording.words.numbers import ABSENT

YES, NO = "yes", "no"
HORIZON = 60
"""The longest horizon there may be [year]."""


def years_sheet() -> Sheet:
    """Return the years that present values are summed over; formulas call them `years`."""
    headings = (Heading("Year", key="year"), Heading("What it is"))
    rows = tuple(
        (number(year), Cell("now" if year == 0 else "paid at its end"))
        for year in range(HORIZON + 1)
    )
    return Sheet("years", "Years", headings, rows)


def running_sheet(priced: Priced) -> Sheet:
    """Return a row for each barrel and each job, what it costs while the job runs."""
    scales = Scales(priced.decision.appraisal.evaluation.display_units)
    currency = priced.currencies.own
    headings = (
        Heading("No.", key="run"),
        Heading("Barrel no.", key="barrel"),
        Heading("Job no.", key="job"),
        Heading("Barrel"),
        Heading("Job"),
        _keyed(by_program("Counted when the barrel is taken alone"), "counted"),
        _keyed(by_program("Not outside"), "may"),
        _keyed(by_program("Recovery stated"), "stated"),
        Heading("Longer cycle for recovery", "s", key="own_lost"),
        Heading("Longer cycle, else the longest of the others", "s", key="lost"),
        Heading("Hours a year", "h", key="hours"),
        Heading("Energy, present value", currency, key="energy"),
        Heading("Time lost, present value", currency, key="time_lost"),
        Heading("Changeovers, present value", currency, key="changes"),
    )
    jobs = priced.decision.costs.programme.jobs
    alone = [
        frozenset(priced.decision.costs.jobs_alone(row)) for row in range(len(priced.candidates))
    ]
    rows = tuple(
        tuple(_run(priced, (row, column), column in counted, scales))
        for row, counted in enumerate(alone)
        for column in range(len(jobs))
    )
    return Sheet("running", "Running cost", headings, rows)


def _keyed(heading: Heading, key: str) -> Heading:
    return Heading(heading.title, heading.unit, key=key)


def _run(priced: Priced, at: tuple[int, int], counted: bool, scales: Scales) -> Iterator[Cell]:
    (row, column), appraisal = at, priced.decision.appraisal
    costs, one = priced.decision.costs, priced.candidates[row]
    programme, grid = costs.programme, appraisal.grid
    job, count = programme.jobs[column], len(programme.jobs)
    recovery = grid.verdicts[CRITERIA.index("recovery")].state[one.row, column]
    case = case_of(appraisal, one.row, column)
    yield number(row * count + column + 1)
    yield number(one.row + 1)
    yield number(column + 1)
    yield Cell(full_name(appraisal, one.id))
    yield Cell(job_name(appraisal, job.id))
    yield _flag(counted)
    yield _flag(bool(programme.not_outside[row, column]))
    yield _flag(bool(recovery != NOT_STATED))
    yield calculated(float(programme.stated_seconds_lost[row, column]), _own_lost(case))
    yield calculated(float(programme.seconds_lost[row, column]), LOST)
    yield calculated(float(programme.hours[row, column]), HOURS)
    energy, running = _energy(priced, one), costs.running
    yield money(running.cost("energy", row, column).value, _energy_cost(energy, scales))
    yield money(running.cost("time_lost", row, column).value, TIME_LOST)
    changes = changes_formula(_resin(priced, column), scales)
    yield money(running.cost("changes", row, column).value, changes)


def _flag(holds: bool) -> Cell:
    return Cell(YES if holds else NO)


def _own_lost(case: int) -> str:
    time = f"calculation.recovery_time={case}"
    lost = known(f"MAX(0,[{time}]-[jobs.longest])", time, "jobs.longest")
    return f'IF([stated]="{YES}",{lost},"")'


LOST = (
    "IF(COUNT([own_lost])=1,[own_lost],"
    f'_xlfn.MAXIFS([running.own_lost:],[running.job:],[job],[running.may:],"{YES}"))'
)
_STRETCHED = (
    "IF(COUNT([jobs.cycle_time])=1,"
    "[jobs.hours_per_year]*([jobs.cycle_time]+[lost])/[jobs.cycle_time],[jobs.hours_per_year])"
)
_BY_SHOTS = (
    "[jobs.shots_by_quantity]*([jobs.cycle_time]+[lost])/(3600*oee)"
    "+N([jobs.batches_per_year])*N(change_time)"
)
HOURS = (
    "IF(COUNT([jobs.shots_by_quantity],[jobs.cycle_time])=2,"
    f'IFERROR({_BY_SHOTS},""),IF(COUNT([jobs.hours_per_year])=1,{_STRETCHED},""))'
)
TIME_LOST = (
    f'IF([lost]=0,0,IF(machine_hour_rate="{NO_RATE}","{NO_RATE}",'
    + known(
        "[jobs.shots]*[lost]/(3600*oee)*machine_hour_rate*[jobs.worth_rate]",
        "jobs.shots",
        "machine_hour_rate",
        "jobs.worth_rate",
    )
    + "))"
)


def _energy(priced: Priced, one: Candidate) -> str:
    """Return the energy for 1 kg: the supplier's where measured by a named method."""
    if one.unit.energy_per_mass is not None and one.unit.energy_method:
        return f"#U{priced.units[one.bid.id, one.unit.id]} energy"
    return "energy_per_mass"


def _energy_cost(energy: str, scales: Scales) -> str:
    mass = f"[jobs.shots]*[jobs.nominal]{scales.kilograms}"
    cost = known(
        f"{mass}*[{energy}]*tariff*[jobs.worth_tariff]",
        "jobs.shots",
        "jobs.nominal",
        energy,
        "tariff",
        "jobs.worth_tariff",
    )
    return f'IF(tariff="{NO_RATE}","{NO_RATE}",{cost})'


def _resin(priced: Priced, column: int) -> str | None:
    evaluation = priced.decision.appraisal.evaluation
    resin = evaluation.jobs[column].resin
    names = [one.id for one in evaluation.resins]
    return f"#R{names.index(resin) + 1}" if resin in names else None


def changes_formula(resin: str | None, scales: Scales) -> str:
    """Return what changes of job cost over the years: resin wasted, and the machine held up."""
    batches = "[jobs.batches_per_year]"
    none = f"IF(AND(COUNT({batches})=1,N({batches})=0),0"
    if resin is None:
        return f'{none},IF(machine_hour_rate="{NO_RATE}","{NO_RATE}",""))'
    price = f"{resin} price"
    held = "([barrels.inventory]+N([jobs.hot_runner_volume]))*[jobs.density]"
    wasted = f"turnovers*{held}{scales.kilograms}*[{price}]*[jobs.worth_flat]"
    held_up = "change_time*machine_hour_rate*[jobs.worth_rate]"
    both = known(
        f"{batches}*({wasted}+{held_up})",
        "jobs.batches_per_year",
        "turnovers",
        "barrels.inventory",
        "jobs.density",
        price,
        "change_time",
        "machine_hour_rate",
        "jobs.worth_rate",
    )
    unconverted = f'OR(machine_hour_rate="{NO_RATE}",[{price}]="{NO_RATE}")'
    return f'{none},IF({unconverted},"{NO_RATE}",{both}))'


# Cost lines ---------------------------------------------------------------------------------------


def lines_sheet(priced: Priced) -> Sheet:
    """Return every cost line of every barrel: once, by the year, or by the hours of a job."""
    currency = priced.currencies.own
    headings = (
        Heading("No.", key="line"),
        Heading("Barrel no.", key="barrel"),
        Heading("Barrel"),
        Heading("What for"),
        Heading("Job"),
        Heading("Amount", currency, key="amount"),
        Heading("Growth", "a year", key="growth"),
        Heading("First year", key="first"),
        Heading("Last year", key="last"),
        Heading("Times", key="times"),
        Heading("Present value", currency, key="present"),
    )
    found = [cells for row in range(len(priced.candidates)) for cells in _lines(priced, row)]
    rows = tuple((number(place), *cells) for place, cells in enumerate(found, 1))
    return Sheet("lines", "Cost lines", headings, rows)


PRESENT = (
    f'IF([amount]="{NO_RATE}","{NO_RATE}",'
    + known(
        f"[amount]*[times]*{worth('[growth]', '[first]', '[last]')}",
        "amount",
        "times",
        "discount_rate",
        "horizon_years",
    )
    + ")"
)


def _lines(priced: Priced, row: int) -> Iterator[tuple[Cell, ...]]:
    costs, one = priced.decision.costs, priced.candidates[row]
    entered = costs.basis.evaluation.cost.lines
    by_hours = {id(line) for line, _ in costs.running.by_hours(one)}
    jobs = costs.jobs_alone(row)
    for line in costs.running.lines(one):
        place = next(n for n, other in enumerate(entered, 1) if other is line)
        if id(line) in by_hours:
            yield from (_by_hours(priced, row, column, line, place) for column in jobs)
        else:
            yield _fixed(priced, row, line, place)


def _begun(priced: Priced, one: Candidate, line: CostLine, job: str) -> tuple[Cell, ...]:
    return (
        number(one.row + 1),
        Cell(full_name(priced.decision.appraisal, one.id)),
        Cell(line.kind),
        Cell(job),
    )


def _taken(priced: Priced, line: CostLine, place: int) -> tuple[Cell, Cell]:
    paid = priced.decision.basis.amount(line.kind, line.amount, lowest=None)
    return (
        pulled(paid.value, f"[#L{place} amount]"),
        pulled(line.growth, f"[#L{place} growth]"),
    )


def _fixed(priced: Priced, row: int, line: CostLine, place: int) -> tuple[Cell, ...]:
    one, years = priced.candidates[row], priced.decision.basis.years
    once = line.year or 0
    first = float((line.year or 1) if line.per_year else once)
    horizon = None if years is None else float(years)
    last = horizon if horizon is None or line.per_year else min(float(once), horizon)
    until = "horizon_years" if line.per_year else f"MIN({once},horizon_years)"
    copies = float(priced.decision.cost[one.id].copies)
    amount, growth = _taken(priced, line, place)
    value = _worth_of(priced, amount, line, (first, last), copies)
    return (
        *_begun(priced, one, line, ABSENT),
        amount,
        growth,
        Cell(f"{first:g}", first),
        whole(last, known(until, "horizon_years")),
        whole(copies, "[life_cost.copies]"),
        money(value, PRESENT),
    )


def _by_hours(
    priced: Priced, row: int, column: int, line: CostLine, place: int
) -> tuple[Cell, ...]:
    one, programme = priced.candidates[row], priced.decision.costs.programme
    hours = float(programme.hours[row, column])
    each = next(h for own, h in priced.decision.costs.running.by_hours(one) if own is line)
    job, run = programme.jobs[column], row * len(programme.jobs) + column + 1
    amount, growth = _taken(priced, line, place)
    span = (float(programme.first[column]), float(programme.last[column]))
    times = None if np.isnan(hours) else hours / each
    value = None if times is None else _worth_of(priced, amount, line, span, times)
    ran, per = f"running.hours={run}", f"#L{place} per_hours"
    return (
        *_begun(priced, one, line, job_name(priced.decision.appraisal, job.id)),
        amount,
        growth,
        whole(span[0], f"[jobs.first={column + 1}]"),
        whole(span[1], f"[jobs.last={column + 1}]"),
        calculated(times, known(f"[{ran}]/[{per}]", ran, per)),
        money(value, PRESENT),
    )


def _worth_of(
    priced: Priced, amount: Cell, line: CostLine, span: tuple[float, float | None], times: float
) -> float | None:
    rate, last = priced.decision.basis.discount_rate, span[1]
    if amount.value is None or rate is None or last is None or not priced.decision.basis.dated:
        return None
    growth = line.growth or 0.0
    if span[0] == 0.0:
        return amount.value * times
    return times * formulas.present_value_of_years(amount.value, growth, rate, span[0], last)
