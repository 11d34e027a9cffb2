"""Usual sizes of screws tried on the planned jobs: which of them would do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import pi

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.results import SEVERITY, State
from evenbarrel.decision.asking.ask import Ask
from evenbarrel.model.changes import without_barrels
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity

DIAMETERS = (
    *(14, 16, 18, 20, 22, 25, 28, 30, 32, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 90, 100),
    *(110, 120, 130, 145, 160, 180, 200, 220, 250),
)
"""Screw diameters that are on offer [mm]; common practice, no source."""
STROKES = (3.0, 3.5, 4.0, 4.5, 5.0)
"""Strokes that screws are built with [D]; common practice, no source."""
BY_SIZE = ("capacity", "utilisation", "stroke", "residence")
"""The criteria that a diameter and a stroke decide."""


@dataclass(frozen=True, slots=True)
class Size:
    """A diameter and a stroke [m] with the volume they sweep [m3], and what each job makes of it.

    A state is the worst that capacity, share of volume, stroke and residence come to; residence
    by the usual screw of that diameter.
    """

    diameter: float
    stroke: float
    volume: float
    states: Mapping[str, State]


def usual_sizes(ask: Ask) -> tuple[Size, ...]:
    """Return the usual sizes that are outside for no job of the programme, smallest first.

    Where there is none, those that suit at least one job.
    """
    tried = tuple(_tried(ask))
    suited = tuple(size for size in tried if "outside" not in size.states.values())
    return suited or tuple(size for size in tried if set(size.states.values()) - {"outside"})


def size_tried(ask: Ask, diameter: float, stroke: float) -> Appraisal:
    """Return the jobs appraised on one screw of a diameter and a stroke [m] alone."""
    return _appraised(ask.appraisal, [(diameter, stroke)])


def _tried(ask: Ask) -> Iterator[Size]:
    ranges = [one.volume_not_outside for one in ask.jobs.values()]
    sizes = [
        (0.001 * d, 0.001 * d * k)
        for d in DIAMETERS
        for k in STROKES
        if any(r.low is not None and r.holds(pi / 4e9 * d**3 * k) for r in ranges)
    ]
    appraisal = _appraised(ask.appraisal, sizes)
    places = [CRITERIA.index(key) for key in BY_SIZE]
    worst = {state: place for place, state in enumerate(SEVERITY)}
    for row, (diameter, stroke) in enumerate(sizes):
        states = {
            job: min(
                (
                    SEVERITY[appraisal.grid.assessments.verdicts[p].state[row, column]]
                    for p in places
                ),
                key=worst.__getitem__,
            )
            for column, job in enumerate(appraisal.grid.job_ids)
        }
        yield Size(diameter, stroke, pi / 4.0 * diameter**2 * stroke, states)


def _appraised(appraisal: Appraisal, sizes: list[tuple[float, float]]) -> Appraisal:
    """Return the jobs appraised on screws of these sizes, of which nothing else is known."""
    evaluation = appraisal.evaluation
    # Each on a unit of its own: screws of one unit are held against each other at length.
    bid = Bid(id="sizes", units=tuple(_unit(f"size{n}", *size) for n, size in enumerate(sizes)))
    bare = without_barrels(evaluation, {barrel.id for _, _, barrel in evaluation.barrels()})
    return appraise(bare.replace(bids=(bid,), answers=()))


def _unit(name: str, diameter: float, stroke: float) -> InjectionUnit:
    barrel = Barrel(id=name, screw_diameter=_length(diameter), stroke=_length(stroke))
    return InjectionUnit(id=f"{name}_u", barrels=(barrel,))


def _length(metres: float) -> Quantity:
    return Quantity(magnitude=f"{metres * 1e3:.4f}", unit="mm", half_width=0.0)
