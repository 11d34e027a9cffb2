"""What the planned jobs ask of a barrel, in tables and sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from evenbarrel.appraisal.references import AskRef, SizeRef
from evenbarrel.appraisal.results import SEVERITY, State
from evenbarrel.decision.asking.ask import Ask, Asked, Together
from evenbarrel.decision.asking.ranges import Range
from evenbarrel.decision.asking.sizes import Size
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, count_cell
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import job_name, names_of_resins
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    display_unit,
    in_units,
    rounded,
    shown,
    unit_text,
    with_unit,
)

NOTE = (
    "Worked back from the planned jobs, their half-widths and the limits: the edges apply to "
    "a barrel whose own numbers are exact. Pressure and rates are the least that a supplier "
    "would have to quote to be within the comfortable range."
)
SIZES_NOTE = (
    "Usual diameters with strokes of 3 to 5 diameters (common practice, no source), judged by "
    "capacity, share of volume, stroke and residence; residence by the usual screw."
)


def range_text(one: Range, kind: str, units: DisplayUnits) -> str:
    """Return a range with its unit: "303 to 418 cm³", "from 303 cm³", "none" where it is empty."""
    ends = _ends_text(one, kind, units)
    return ends if ends == ABSENT else f"{ends} {unit_text(display_unit(kind, units))}"


def _ends_text(one: Range, kind: str, units: DisplayUnits) -> str:
    """Return a range without its unit, which stands in the heading."""
    low, high = (shown(end, kind, units) for end in (one.low, one.high))
    if one.empty:
        return f"none: from {low} but to {high}"
    if one.low is None and one.high is None:
        return ABSENT
    if one.high is None:
        return f"from {low}"
    return f"to {high}" if one.low is None else f"{low} to {high}"


def _number(value: float | None, kind: str, units: DisplayUnits) -> Cell:
    return Cell(shown(value, kind, units), in_units(value, kind, units))


RANGES: Mapping[str, tuple[str, str]] = {
    "volume_inside": ("Volume, inside", "volume"),
    "volume_not_outside": ("Volume, not outside", "volume"),
    "diameter_not_outside": ("Diameter, not outside", "length"),
}
LEAST: Mapping[str, tuple[str, str]] = {
    "pressure": ("Pressure", "melt_pressure"),
    "rate": ("Injection rate", "volume_rate"),
    "plasticising": ("Plasticising", "mass_rate"),
    "plasticising_as_rated": ("Rated in {resin}", "mass_rate"),
}
"""What each field of `Asked` is headed, and its kind of number: ranges, and least numbers."""
LENGTH_RATIO = "L/D"
_YIELDING = {"plasticising": 1, "plasticising_as_rated": 3}


def _row(name: str, asked: Asked, units: DisplayUnits) -> tuple[Cell, ...]:
    def opening(cell: Cell, field: str) -> Cell:
        return replace(cell, reference=AskRef(asked.jobs, field))

    ranges = (
        opening(Cell(_ends_text(getattr(asked, field), kind, units)), field)
        for field, (_, kind) in RANGES.items()
    )
    least = (
        opening(_number(getattr(asked, field), kind, units), field)
        for field, (_, kind) in LEAST.items()
    )
    ratio = Cell(rounded(asked.length_ratio, 2), asked.length_ratio)
    return (
        Cell(name),
        *ranges,
        *least,
        opening(ratio, "length_ratio"),
        Cell("; ".join(labels.choice(package) for package in asked.packages) or "none"),
    )


def _headings(ask: Ask) -> tuple[Heading, ...]:
    units = ask.appraisal.evaluation.display_units
    return (
        Heading("Job"),
        *(Heading(title, unit_text(display_unit(kind, units))) for title, kind in RANGES.values()),
        *(
            Heading(
                heading_of(ask, field),
                unit_text(display_unit(kind, units)),
                "right",
                yields=_YIELDING.get(field, 0),
            )
            for field, (_, kind) in LEAST.items()
        ),
        Heading(LENGTH_RATIO, align="right", yields=2),
        Heading("Suitable packages", yields=4),
    )


def heading_of(ask: Ask, field: str) -> str:
    """Return what a least number that is asked for is headed."""
    return LEAST[field][0].format(resin=_rated_in(ask))


def ask_sheet(ask: Ask) -> Sheet:
    """Return what each job asks, and all of them together in the last row."""
    appraisal = ask.appraisal
    units = appraisal.evaluation.display_units
    rows = [_row(job_name(appraisal, job), asked, units) for job, asked in ask.jobs.items()]
    if len(rows) > 1:
        rows.append(_row("All jobs", ask.programme.asked, units))
    notes = (NOTE, *conflict_lines(ask, ask.programme))
    return Sheet("ask", "What to ask for", _headings(ask), tuple(rows), notes=notes)


def chosen_sheet(ask: Ask, together: Together) -> Sheet:
    """Return what some jobs alone ask of one barrel, and which of them no one volume suits."""
    units, jobs = ask.appraisal.evaluation.display_units, together.asked.jobs
    row = _row(chosen_name(ask, together.asked), together.asked, units)
    notes = tuple(conflict_lines(ask, together))
    title = ", ".join(job_name(ask.appraisal, job) for job in jobs)
    return Sheet("ask.chosen", title, _headings(ask), (row,), notes=notes)


def chosen_name(ask: Ask, asked: Asked) -> str:
    """Return what several jobs together are called."""
    count = len(asked.jobs)
    return "All jobs" if count == len(ask.jobs) else f"The {count} chosen"


def _rated_in(ask: Ask) -> str:
    resin = ask.appraisal.evaluation.cost.common_resin
    return "the common resin" if resin is None else names_of_resins(ask.appraisal.evaluation)[resin]


def conflict_lines(ask: Ask, together: Together) -> Iterator[str]:
    """Yield which jobs no one volume suits, and how few barrels it takes."""
    names = [job_name(ask.appraisal, job) for job in together.conflict]
    state = "not outside" if together.even_outside else "inside"
    if len(names) == 1:
        yield f"No volume at all makes {names[0]} {state}."
    elif names:
        yield f"No single volume makes both {names[0]} and {names[1]} {state}."
    if together.fewest is not None and together.fewest > 1:
        yield f"At least {together.fewest} barrel sizes are needed for no job to be outside."


def sizes_sheet(ask: Ask, sizes: tuple[Size, ...]) -> Sheet:
    """Return usual sizes with how many jobs each has inside, near an edge, outside."""
    units = ask.appraisal.evaluation.display_units
    rows = []
    for size in sizes:
        states = list(size.states.values())
        worst = next((s for s in SEVERITY if s in states), None)
        opens = SizeRef(size.diameter, size.stroke)
        cells = (
            _number(size.diameter, "length", units),
            _number(size.stroke, "length", units),
            _number(size.volume, "volume", units),
            *(count_cell(states.count(state)) for state in _STATES),
            Cell(ABSENT if worst is None else labels.STATES[worst], state=worst),
        )
        rows.append(tuple(replace(cell, reference=opens) for cell in cells))
    headings = (
        Heading("Diameter", unit_text(display_unit("length", units)), "right"),
        Heading("Stroke", unit_text(display_unit("length", units)), "right"),
        Heading("Swept volume", unit_text(display_unit("volume", units)), "right"),
        *(Heading(labels.STATES[state].capitalize(), align="right") for state in _STATES),
        Heading("Worst"),
    )
    return Sheet("sizes", "Usual sizes that would fit", headings, tuple(rows), notes=(SIZES_NOTE,))


_STATES: tuple[State, ...] = ("inside", "near_edge", "not_stated", "outside")


def wanted_of(ask: Ask) -> tuple[str, ...]:
    """Return what a supplier is told that is wanted: sizes and least numbers, no job's name."""
    units = ask.appraisal.evaluation.display_units
    together = ask.programme
    asked = together.asked
    lines = []
    if together.conflict and together.fewest is not None and together.fewest > 1:
        lines.append(
            f"No single barrel suits them all: at least {together.fewest} sizes are needed."
        )
    elif not asked.volume_not_outside.empty and asked.volume_not_outside.low is not None:
        one = asked.volume_inside if not asked.volume_inside.empty else asked.volume_not_outside
        lines.append(f"Swept volume required: {range_text(one, 'volume', units)}.")
    least = [
        f"{name} {with_unit(value, kind, units)}"
        for name, value, kind in (
            ("melt pressure", asked.pressure, "melt_pressure"),
            ("injection rate", asked.rate, "volume_rate"),
            (f"plasticising rate in {_rated_in(ask)}", asked.plasticising_as_rated, "mass_rate"),
        )
        if value is not None
    ]
    if least:
        lines.append(f"At least: {', '.join(least)}.")
    return tuple(lines)
