"""One criterion over every barrel and job: the shot that counts, the readings joined."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria.definition import Criterion, Edges, Flags
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.appraisal.inputs.intervals import Interval, bounded, exact, stacked
from evenbarrel.appraisal.verdicts.states import (
    BIT,
    NEAR_EDGE,
    NOT_STATED,
    Reasons,
    States,
    comfort_edges,
    margin_to,
    states_of,
)
from evenbarrel.appraisal.verdicts.table import Several, Table
from evenbarrel.trade.formula import Array, silently

Scalar = TypeVar("Scalar", bound=np.generic)
Places = NDArray[np.int32]
FEW = 5_000
"""Cells of a criterion of which calls cost more than their numbers: bounded in one evaluation."""

Ends = tuple[Array | None, Array | None]
"""The lowest and the highest; None where nothing bounds it."""


@dataclass(frozen=True, slots=True)
class Cells:
    """Criteria over (..., rows, jobs), each cell by the shot that counts in it.

    That is the worst by state, then margin, the nominal one first; `chosen` gives its column.
    """

    state: States
    reasons: Reasons
    margin: Array
    chosen: Places
    interval: Interval

    def of_rows(self, rows: slice | NDArray[np.intp]) -> Cells:
        """Return the same arrays for these rows only."""
        return self._of(np.s_[..., rows, :])

    def of_criterion(self, place: int) -> Cells:
        """Return the cells of one of several criteria."""
        return self._of(place)

    def _of(self, places: Any) -> Cells:
        return Cells(
            self.state[places],
            self.reasons[places],
            self.margin[places],
            self.chosen[places],
            self.interval.at(places),
        )


@dataclass(frozen=True)
class Assessment:
    """One criterion over (barrels, jobs).

    `cells` are joined over the readings of a barrel that has several: the common state, else near
    the edge; margin and shot those of the worst reading; the interval spans all at that shot.
    `readings` are the cells of such barrels' readings, each by itself, in the order of
    `Several.rows`, and `worst` which of them counts, over (barrels with several, jobs). `edges`
    are over (readings, shots). `read` names the inputs that it hangs on: those that value and
    edges were taken from, and those that it needs.
    """

    criterion: Criterion
    table: Table
    edges: Edges
    cells: Cells
    readings: Cells
    worst: NDArray[np.intp]
    read: frozenset[str]

    @property
    def inputs(self) -> CriterionInputs:
        """What the criterion reads, over (readings, shots)."""
        return self.table.inputs

    @property
    def state(self) -> States:
        """State codes: places in SEVERITY."""
        return self.cells.state

    @property
    def reasons(self) -> Reasons:
        """Why a cell is near the edge, in bits."""
        return self.cells.reasons

    @property
    def margin(self) -> Array:
        """Margin to the hard edges; nan where there is no number."""
        return self.cells.margin

    @property
    def chosen(self) -> Places:
        """The column of the shot that counts."""
        return self.cells.chosen

    @property
    def interval(self) -> Interval:
        """Value and interval."""
        return self.cells.interval

    @cached_property
    def comfort_margin(self) -> Array:
        """Margin to the comfort edges."""
        margin = self._comfort_margin(self.interval, slice(len(self.state)))
        several = self.table.several
        if several:
            of_readings = self._comfort_margin(self.readings.interval, several.rows)
            margin[several.barrels] = _at_places(of_readings, self.worst)
        return margin

    def _comfort_margin(self, interval: Interval, rows: slice | NDArray[np.intp]) -> Array:
        jobs = self.state.shape[1]
        ends = comfort_edges(self.edges.of_rows(rows))
        lowest, highest = (None if end is None else end[:, :jobs] for end in ends)
        return margin_to(interval.nominal, lowest, highest)

    @property
    def shot_volumes(self) -> Ends:
        """Lowest and highest shot volume that the hard edges allow [m3]; None: unbounded."""
        return self._volumes[0]

    @property
    def comfort_volumes(self) -> Ends:
        """Lowest and highest shot volume within comfort [m3]; None: unbounded."""
        return self._volumes[1]

    @cached_property
    def _volumes(self) -> tuple[Ends, Ends]:
        return edge_volumes(self.criterion, self._edges, self.table)

    @cached_property
    def _edges(self) -> Edges:
        return self.edges.of_rows(slice(len(self.state)))

    @property
    def below(self) -> Flags:
        """Where the value is below the lower hard edge."""
        edge = self.edges.allowed_low
        if edge is None:
            return np.zeros(self.state.shape, dtype=np.bool_)
        barrels, jobs = self.state.shape
        return np.asarray(self.interval.nominal < edge[:barrels, :jobs])

    @cached_property
    def open(self) -> Flags:
        """Where the criterion could not be assessed: not stated, and data are missing for it.

        A lower bound within its edge says nothing, but with all its data it leaves nothing open.
        """
        not_stated = np.asarray(self.state == NOT_STATED)
        if not self.edges.only_outside.any():
            return not_stated
        bound = self._edges.only_outside
        complete = np.asarray(bound & self.table.applies & ~self._lacking())
        return np.asarray(not_stated & ~np.take_along_axis(complete, self.chosen, axis=1))

    def _lacking(self) -> Flags:
        """Return where an input that the criterion needs is not stated, over (barrels, shots)."""
        barrels = len(self.state)
        lacking = np.zeros((barrels, len(self.table.columns)), dtype=np.bool_)
        for name in self.criterion.needs:
            values = self.inputs[name].nominal
            lacking |= np.isnan(values if len(values) == 1 else values[:barrels])
        return lacking


def edge_volumes(criterion: Criterion, edges: Edges, table: Table) -> tuple[Ends, Ends]:
    """Return the shot volumes that the hard and the comfort edges of barrels stand for [m3].

    Each the lowest and the highest, over (barrels, shots); None where nothing bounds them.
    """
    invert = criterion.shot_volume
    if invert is None:
        return (None, None), (None, None)
    first = table.inputs_as_printed
    found: list[Ends] = []
    for low, high in ((edges.allowed_low, edges.allowed_high), comfort_edges(edges)):
        with silently():
            ends = [None if edge is None else invert(edge, first) for edge in (low, high)]
        found.append((ends[0], ends[1]) if criterion.grows_with_shot else (ends[1], ends[0]))
    return found[0], found[1]


class _Noted:
    """The inputs of a table, which note what is read of them."""

    def __init__(self, inputs: CriterionInputs) -> None:
        self._inputs = inputs
        self.read: set[str] = set()

    def __getitem__(self, name: str) -> Interval:
        self.read.add(name)
        return self._inputs[name]

    def __getattr__(self, name: str) -> Interval:
        return self[name]


def assess(criteria: Sequence[Criterion], table: Table) -> tuple[Assessment, ...]:
    """Return criteria over (barrels, jobs), in their order; they are judged on the same arrays.

    In here every array has a first axis for the criteria, before readings and shots.
    """
    if not criteria:
        return ()
    noted = [_Noted(table.inputs) for _ in criteria]
    pairs = list(zip(criteria, noted, strict=True))
    shape = (len(table.rows), len(table.columns))
    few = shape[0] * shape[1] <= FEW
    with silently():
        values = [bounded(one.value, one.monotonic_in, read, at_once=few) for one, read in pairs]
        raw = _together(values, shape)
        edges = [one.edges(cast(CriterionInputs, read)) for one, read in pairs]
        cells = _cells(criteria, table, raw, edges)
    several = table.several
    readings = cells.of_rows(several.rows)
    joined, worst = _joined(cells.of_rows(slice(table.barrels)), readings, raw, several)
    return tuple(
        Assessment(
            criterion,
            table,
            edges[place],
            joined.of_criterion(place),
            readings.of_criterion(place),
            worst[place],
            frozenset(read.read | criterion.needs.keys()),
        )
        for place, (criterion, read) in enumerate(pairs)
    )


def _together(of_each: Sequence[Interval], shape: tuple[int, int]) -> Interval:
    """Return the values of several criteria over (criteria, *shape)."""
    full = (len(of_each), *shape)

    def end(name: str) -> Array:
        return np.broadcast_to(stacked([getattr(one, name) for one in of_each], shape), full)

    nominal = end("nominal")
    if all(one.is_exact for one in of_each):
        return exact(nominal)
    return Interval(nominal, end("low"), end("high"))


def _cells(
    criteria: Sequence[Criterion], table: Table, raw: Interval, of_each: Sequence[Edges]
) -> Cells:
    """Return each reading by itself, each of its cells by the shot that counts."""
    shape = (len(table.rows), len(table.columns))
    edges = Edges.together(of_each, shape)
    unstated = stacked([one.unstated for one in of_each], shape)
    state, reasons = states_of(raw, edges, unstated)
    applies = table.of_rows(table.applies)
    state = np.where(applies, state, NOT_STATED).astype(np.int8)
    reasons = np.where(applies, reasons, 0).astype(np.uint8)
    margin = margin_to(raw.nominal, edges.allowed_low, edges.allowed_high)
    for place, criterion in enumerate(criteria):
        _dispute(table, criterion.key, state[place], reasons[place])
        if not criterion.numeric:
            margin[place] = np.nan
    chosen = _worst_shot(table, state, margin)
    return Cells(
        _take(table, state, chosen),
        _take(table, reasons, chosen),
        _take(table, margin, chosen),
        chosen,
        _taken(table, raw, chosen),
    )


def _dispute(table: Table, key: str, state: States, reasons: Reasons) -> None:
    """Bring what a claim in doubt decides near the edge, in place; not stated stays so."""
    if key not in table.disputed:
        return
    rows = np.flatnonzero(table.of_rows(table.disputed[key]))
    stated = state[rows] != NOT_STATED
    state[rows] = np.where(stated, NEAR_EDGE, state[rows])
    reasons[rows] |= (stated * BIT["disputed"]).astype(np.uint8)


def _joined(
    first: Cells, readings: Cells, raw: Interval, several: Several
) -> tuple[Cells, NDArray[np.intp]]:
    """Return the cells of the barrels over their readings, and which reading is the worst.

    `first` are those of each barrel's first reading, `raw` the values over (readings, shots).
    """
    if not several:
        return first, np.zeros((len(first.state), 0, first.state.shape[-1]), dtype=np.intp)
    states = readings.state[:, several.joined]
    worst = worst_reading(states, readings.margin[:, several.joined], several.joined)
    common = (states == states[:, :, :1]).all(axis=2)
    state, reasons, margin = first.state.copy(), first.reasons.copy(), first.margin.copy()
    chosen, at = first.chosen.copy(), np.s_[:, several.barrels]
    state[at] = np.where(common, states[:, :, 0], NEAR_EDGE)
    why = np.bitwise_or.reduce(readings.reasons[:, several.joined], axis=2)
    why |= np.where(common, 0, several.doubt).astype(np.uint8)
    reasons[at] = np.where(state[at] == NEAR_EDGE, why, 0)
    margin[at] = _at_places(readings.margin, worst)
    chosen[at] = _at_places(readings.chosen, worst)
    interval = _spanned(first.interval, raw, several, chosen[at])
    return Cells(state, reasons, margin, chosen, interval), worst


def worst_reading(states: States, margins: Array, joined: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the place of each barrel's worst reading by state, then margin, the first one first.

    `states` and `margins` are over (..., barrels, readings that count, jobs), `joined` the places
    of these readings.
    """
    place = np.zeros(states[..., 0, :].shape, dtype=np.intp)
    state, margin = states[..., 0, :].copy(), margins[..., 0, :].copy()
    for number in range(1, states.shape[-2]):
        other, its_margin = states[..., number, :], margins[..., number, :]
        worse = (other < state) | ((other == state) & (its_margin < margin))
        place[worse] = number
        np.copyto(state, other, where=worse)
        np.copyto(margin, its_margin, where=worse)
    barrels = np.arange(len(joined))[:, np.newaxis]
    return joined[barrels, place]


def _spanned(first: Interval, raw: Interval, several: Several, chosen: Places) -> Interval:
    """Return value and interval, those of the readings spanned at the shot that counts."""
    criteria = np.arange(len(chosen))[:, np.newaxis, np.newaxis]
    at = (criteria[..., np.newaxis], several.rows[several.joined][..., np.newaxis])
    ends = chosen[:, :, np.newaxis]
    nominal, low, high = first.nominal.copy(), first.low.copy(), first.high.copy()
    barrels = several.barrels
    nominal[:, barrels] = raw.nominal[criteria, barrels[:, np.newaxis], chosen]
    low[:, barrels] = np.fmin.reduce(raw.low[(*at, ends)], axis=2)
    high[:, barrels] = np.fmax.reduce(raw.high[(*at, ends)], axis=2)
    return Interval(nominal, low, high)


def _at_places(values: NDArray[Scalar], places: NDArray[np.intp]) -> NDArray[Scalar]:
    """Return for each place in a column the value there."""
    return np.take_along_axis(values, places, axis=-2)


def _take(table: Table, values: NDArray[Scalar], chosen: Places) -> NDArray[Scalar]:
    """Return the values of the chosen shots, over (..., rows, jobs)."""
    if not table.other_shots:
        return values
    taken = values[..., : table.jobs].copy()
    for positions, jobs in table.other_shots:
        here = chosen[..., jobs] == positions
        taken[..., jobs] = np.where(here, values[..., positions], taken[..., jobs])
    return taken


def _taken(table: Table, interval: Interval, chosen: Places) -> Interval:
    nominal = _take(table, interval.nominal, chosen)
    if interval.is_exact:
        return exact(nominal)
    return Interval(
        nominal, _take(table, interval.low, chosen), _take(table, interval.high, chosen)
    )


def _worst_shot(table: Table, state: States, margin: Array) -> Places:
    """Return the shot column that counts for each row and job."""
    shape = (*state.shape[:-1], table.jobs)
    chosen = np.broadcast_to(np.arange(table.jobs, dtype=np.int32), shape)
    if not table.other_shots:
        return chosen
    chosen = chosen.copy()
    worst, least = state[..., : table.jobs].copy(), margin[..., : table.jobs].copy()
    for positions, jobs in table.other_shots:
        held, closest = worst[..., jobs], least[..., jobs]
        other, its_margin = state[..., positions], margin[..., positions]
        worse = (other < held) | ((other == held) & (its_margin < closest))
        chosen[..., jobs] = np.where(worse, positions, chosen[..., jobs])
        worst[..., jobs] = np.where(worse, other, held)
        least[..., jobs] = np.where(worse, its_margin, closest)
    return chosen
