"""What a decision would change, before anybody makes it: gates, readings of a size."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.gate_results import Gate, GateState
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.appraisal.results import Basis, Claim, Reading, State
from evenbarrel.appraisal.verdicts.deviations import Deviations
from evenbarrel.model import changes
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.offers.barrel import READINGS_BY_ROUTE, Barrel, Decision, ReadingKey, Settled


@dataclass(frozen=True, slots=True)
class ChangedGate:
    """A barrel whose gate a decision would change."""

    barrel: str
    before: GateState | None
    after: GateState | None


@dataclass(frozen=True, slots=True)
class TriedReading:
    """One way to settle a barrel's size, and the results it would give.

    `readings` are the sizes that are then taken, `states` the verdict for each job, `gate` the
    gate over the jobs that the barrel is judged for now; `taken`: it is settled this way.
    """

    settled: Settled
    readings: tuple[Reading, ...]
    states: Mapping[str, State]
    gate: Gate
    taken: bool


def gates_decided(appraisal: Appraisal, after: Evaluation) -> tuple[ChangedGate, ...]:
    """Return the gates that change where only deviations and pins are others in `after`."""
    grid = replace(
        appraisal.grid, deviations=Deviations(after.deviations, appraisal.evaluation.as_of)
    )
    gates = replace(appraisal.gates, grid=grid, assignment=after.assignment)
    return _changed(appraisal.gates.states, gates.states)


def gates_appraised(appraisal: Appraisal, after: Appraisal) -> tuple[ChangedGate, ...]:
    """Return the gates that change where anything is another in `after`, barrels and jobs apart."""
    return _changed(appraisal.gates.states, after.gates.states)


def outside_of(appraisal: Appraisal, cells: Iterable[CriterionRef]) -> tuple[CriterionRef, ...]:
    """Return those of some criteria of cells that are outside."""
    grid = appraisal.grid
    return tuple(
        one
        for one in cells
        if grid.outside[CRITERIA.index(one.criterion), grid.row(one.barrel), grid.column(one.job)]
    )


def _changed(
    before: Mapping[str, GateState | None], after: Mapping[str, GateState | None]
) -> tuple[ChangedGate, ...]:
    return tuple(
        ChangedGate(barrel, state, after[barrel])
        for barrel, state in before.items()
        if state != after[barrel]
    )


def to_decide(appraisal: Appraisal, criterion: str) -> tuple[CriterionRef, ...]:
    """Return the cells in which a person may accept, or has accepted, a criterion outside.

    In the order of the grid. Never where physics or a hazard stands against it.
    """
    flags = appraisal.grid.acceptable(criterion)
    grid = appraisal.grid
    return tuple(
        CriterionRef(barrel, job, criterion)
        for row, barrel in enumerate(grid.barrel_ids)
        for column, job in enumerate(grid.job_ids)
        if flags[row, column]
    )


def decidable_criteria(appraisal: Appraisal) -> tuple[str, ...]:
    """Return the criteria that have a cell to decide, in table order."""
    return tuple(key for key in CRITERIA if appraisal.grid.acceptable(key).any())


def may_decide(appraisal: Appraisal, cell: CriterionRef) -> bool:
    """Say whether a person may accept that a criterion of one cell is outside; raises KeyError."""
    grid = appraisal.grid
    flags = grid.acceptable(cell.criterion)
    return bool(flags[grid.row(cell.barrel), grid.column(cell.job)])


def basis_of(appraisal: Appraisal, criterion: str) -> Basis:
    """Return the basis of a criterion; only a rule of practice may be refused a waiver."""
    return appraisal.grid.verdicts[CRITERIA.index(criterion)].criterion.basis


def has_readings(appraisal: Appraisal, barrel: str) -> bool:
    """Say whether a barrel's size can be read in several ways; raises KeyError."""
    entered = _entered(appraisal, barrel)
    claim = appraisal.barrel(barrel).claim("volume_geometry")
    stated = (entered.screw_diameter, entered.stroke, entered.swept_volume)
    return None not in stated and (claim.state == "contradicts" or entered.settled is not None)


def tried_readings(appraisal: Appraisal, barrel: str) -> tuple[TriedReading, ...]:
    """Return each way to settle a barrel's size; nothing where its numbers leave no choice.

    Raises KeyError for an unknown barrel.
    """
    if not has_readings(appraisal, barrel):
        return ()
    entered = _entered(appraisal, barrel)
    claim = appraisal.barrel(barrel).claim("volume_geometry")
    jobs = appraisal.gate(barrel).jobs
    alone = changes.only_unit_of(appraisal.evaluation, barrel)
    return tuple(_tried(alone, entered, way, jobs) for way in _ways(claim))


def _entered(appraisal: Appraisal, barrel: str) -> Barrel:
    appraisal.barrel(barrel)
    return appraisal.evaluation.barrel(barrel)


def _ways(claim: Claim) -> Iterator[Settled]:
    """Yield what may be decided: by the slip that explains the gap first, where there is one."""
    offered: tuple[tuple[Decision, tuple[ReadingKey, ...]], ...] = (
        ("geometry", ("as_printed",)),
        ("quoted", ("diameter", "stroke", "unknown")),
    )
    for route, readings in offered:
        of_volume = claim.cause_datum == "swept_volume"
        slips = tuple(
            key
            for key in READINGS_BY_ROUTE[route]
            if key == claim.cause and of_volume == (route == "geometry")
        )
        for key in (*slips, *readings):
            yield Settled(route=route, reading=key)


def _tried(alone: Evaluation, entered: Barrel, way: Settled, jobs: tuple[str, ...]) -> TriedReading:
    then = appraise(changes.settled(alone, entered.id, way))
    row = then.grid.row(entered.id)
    states = {job: then.fit(entered.id, job).state for job in then.grid.job_ids}
    now = entered.settled
    return TriedReading(
        settled=way,
        readings=then.grid.table.rows[row].settled.swept.readings,
        states=states,
        gate=then.gates.over(entered.id, jobs),
        taken=now is not None and _same(now, way),
    )


def _same(now: Settled, way: Settled) -> bool:
    """Say whether a decision is this way; who named the volume alone left the reading open."""
    left_open: ReadingKey = "as_printed" if now.route == "geometry" else "unknown"
    return (now.route, now.reading or left_open) == (way.route, way.reading)
