"""Every barrel against every job: the criteria judged on arrays, cells read out of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria import ALL
from evenbarrel.appraisal.criteria.definition import Criterion, Flags
from evenbarrel.appraisal.inputs.barrel_inputs import (
    BarrelInputs,
    Row,
    rated_resin,
    same_resin_volume,
)
from evenbarrel.appraisal.inputs.columns import Column
from evenbarrel.appraisal.inputs.criterion_inputs import CriterionInputs
from evenbarrel.appraisal.inputs.intervals import (
    READINGS,
    Interval,
    along,
    bounded,
    exact,
    fields_of,
    own_half_width,
    widened,
)
from evenbarrel.appraisal.inputs.job_inputs import JobInputs
from evenbarrel.appraisal.results import ResinResult
from evenbarrel.appraisal.verdicts.states import (
    NEAR_EDGE,
    NOT_STATED,
    OUTSIDE,
    UNSETTLED,
    Assessment,
    States,
    beyond_physics,
    margin_to,
    states_of,
)
from evenbarrel.model.limits import Uncertainty
from evenbarrel.trade import recovery
from evenbarrel.trade.formula import Array

Scalar = TypeVar("Scalar", bound=np.generic)


def conversion(
    rows: Sequence[Row], columns: Sequence[Column], resins: Mapping[str, ResinResult]
) -> tuple[Array, NDArray[np.bool_]]:
    """Return the plasticising rate in the job's resin for a rate of 1, and where that is the same.

    Both over (readings, shots). Another resin is bounded by melt density and enthalpy; nan where
    these are not known, 1 where no resin is named.
    """
    names: list[str | None] = [None, *resins]
    share = np.array([[_rate_share(rated, run, resins) for run in names] for rated in names])
    place = {name: position for position, name in enumerate(names)}
    rated = np.array([place[rated_resin(r.facts.barrel)] for r in rows], dtype=np.intp)[:, None]
    run = np.array([place[c.result.id if c.result else None] for c in columns], dtype=np.intp)
    return share[rated, run[None, :]], rated == run[None, :]


def rate_in_resin(
    rows: Sequence[Row],
    rate: Interval,
    share: Array,
    same: NDArray[np.bool_],
    uncertainty: Uncertainty,
) -> Interval:
    """Return the plasticising rate in each job's resin [kg/s], over (readings, shots)."""
    route_width = np.where(
        same,
        uncertainty.half_width("plasticising_rate", "same_resin"),
        uncertainty.half_width("plasticising_rate", "converted"),
    )
    own = along(READINGS, (own_half_width(r.facts.barrel, "plasticising_rate") for r in rows))
    named = along(READINGS, (1.0 if rated_resin(r.facts.barrel) else None for r in rows))
    return widened(rate.nominal * share * named, np.where(np.isnan(own), route_width, own))


def _rate_share(rated: str | None, run: str | None, resins: Mapping[str, ResinResult]) -> float:
    if rated is None or run is None or rated == run:
        return 1.0
    of = (resins[run], resins[rated])
    density, reference, enthalpy, reference_enthalpy = (
        np.nan if x is None else x
        for x in (of[0].melt_density, of[1].melt_density, of[0].enthalpy, of[1].enthalpy)
    )
    return recovery.converted_rate(1.0, density, reference, enthalpy, reference_enthalpy)


def unconverted(
    rated: str | None, run: str | None, resins: Mapping[str, ResinResult]
) -> tuple[str, ...]:
    """Return the resin data that a plasticising rate cannot be converted without."""
    if rated is None or run is None or rated == run:
        return ()
    both = (resins[rated], resins[run])
    return tuple(
        name for name in ("melt_density", "enthalpy") if any(getattr(r, name) is None for r in both)
    )


@dataclass(frozen=True)
class Table:
    """Rows, columns and all inputs over them."""

    rows: tuple[Row, ...]
    columns: tuple[Column, ...]
    barrels: int
    jobs: int
    inputs: CriterionInputs
    applies: Flags
    """Per barrel, of shape (barrels, 1): whether the method applies to its unit."""
    resins: Mapping[str, ResinResult]

    @cached_property
    def unsettled(self) -> NDArray[np.intp]:
        """The barrels that may be read in more ways than as printed."""
        found = dict.fromkeys(row.barrel for row in self.rows[self.barrels :])
        return np.array(list(found), dtype=np.intp)

    def lacking(
        self, name: str, data: tuple[str, ...], row: Row, column: Column
    ) -> tuple[str, ...]:
        """Return what to ask for where input `name`, which needs `data`, is not to be had."""
        if name == "rate_conversion":
            run = None if column.result is None else column.result.id
            return unconverted(rated_resin(row.facts.barrel), run, self.resins)
        return column.missing.get(name, row.missing.get(name, data))

    def asked_of_job(self, name: str, data: tuple[str, ...], column: Column) -> tuple[str, ...]:
        """Return what a job or its resin lacks for input `name` on any barrel."""
        if name != "rate_conversion":
            return column.missing.get(name, data)
        run = None if column.result is None else column.result.id
        lacking = (unconverted(rated, run, self.resins) for rated in self.rated_resins)
        return tuple(dict.fromkeys(datum for data in lacking for datum in data))

    @cached_property
    def rated_resins(self) -> tuple[str | None, ...]:
        """Every resin that a plasticising rate is stated in."""
        return tuple(dict.fromkeys(rated_resin(row.facts.barrel) for row in self.rows))


def tabulate(
    rows: tuple[Row, ...],
    columns: tuple[Column, ...],
    of_barrels: BarrelInputs,
    of_jobs: JobInputs,
    resins: Mapping[str, ResinResult],
    uncertainty: Uncertainty,
) -> Table:
    """Return the table, with the inputs that depend on barrel and job together added."""
    barrels = 1 + max((row.barrel for row in rows), default=-1)
    jobs = 1 + max((column.job for column in columns), default=-1)
    share, same_resin = conversion(rows, columns, resins)
    rate = of_barrels.plasticising_rate
    resin_of_shot = [column.result.id if column.result else None for column in columns]
    factor, volume = of_jobs.output_factor, of_barrels.swept_volume
    same = same_resin_volume(rows, resin_of_shot, volume)
    if same is not None:
        factor, volume = exact(factor.nominal).where(same[0], factor), same[1]
    inputs = CriterionInputs(
        **fields_of(replace(of_barrels, swept_volume=volume)),
        **fields_of(of_jobs),
        rate_conversion=exact(share),
        rate_in_resin=rate_in_resin(rows, rate, share, same_resin, uncertainty),
        factor_of_volume=factor,
    )
    apply = np.array([row.unit.is_reciprocating for row in rows[:barrels]], dtype=np.bool_)
    return Table(rows, columns, barrels, jobs, inputs, apply.reshape(-1, 1), resins)


def _full(table: Table, interval: Interval) -> Interval:
    shape = (len(table.rows), len(table.columns))
    nominal = np.broadcast_to(interval.nominal, shape)
    if interval.low is interval.nominal and interval.high is interval.nominal:
        return exact(nominal)
    return Interval(
        nominal, np.broadcast_to(interval.low, shape), np.broadcast_to(interval.high, shape)
    )


def _spanned(table: Table, interval: Interval) -> Interval:
    """Return a value over (barrels, shots), the intervals of a barrel's readings spanned."""
    printed = interval.of_rows(slice(table.barrels))
    others = table.rows[table.barrels :]
    if not others:
        return printed
    low, high = printed.low.copy(), printed.high.copy()
    for position, row in enumerate(others, start=table.barrels):
        if row.instead:
            low[row.barrel], high[row.barrel] = interval.low[position], interval.high[position]
        else:
            low[row.barrel] = np.fmin(low[row.barrel], interval.low[position])
            high[row.barrel] = np.fmax(high[row.barrel], interval.high[position])
    return Interval(printed.nominal, low, high)


def assess(criterion: Criterion, table: Table) -> Assessment:
    """Return one criterion over (barrels, jobs), the worst of each job's shots counting."""
    with np.errstate(all="ignore"):
        raw = _full(table, bounded(criterion.value, criterion.monotonic_in, table.inputs))
        edges = criterion.edges(table.inputs).of_rows(slice(table.barrels))
        interval = _spanned(table, raw)
        state, reasons = states_of(interval, edges)
        if table.unsettled.size:
            as_printed, _ = states_of(raw.of_rows(table.unsettled), edges.of_rows(table.unsettled))
            changed = (state[table.unsettled] == NEAR_EDGE) & (as_printed != NEAR_EDGE)
            reasons[table.unsettled] |= (changed * UNSETTLED).astype(np.uint8)
        state = np.where(table.applies, state, NOT_STATED).astype(np.int8)
        physical = beyond_physics(interval, edges)
        if criterion.basis == "physical":
            physical = state == OUTSIDE
        margin = margin_to(interval.nominal, edges.allowed_low, edges.allowed_high)
    if not criterion.numeric:
        margin = np.full(margin.shape, np.nan)
    chosen = _worst_shot(table, state, margin)
    return Assessment(
        criterion,
        table.inputs,
        edges,
        _taken(table, interval, chosen),
        _take(table, state, chosen),
        _take(table, reasons, chosen),
        _take(table, physical, chosen),
        _take(table, margin, chosen),
        chosen,
    )


def _take(table: Table, values: NDArray[Scalar], chosen: NDArray[np.int32]) -> NDArray[Scalar]:
    """Return the values of the chosen shots, over (barrels, jobs)."""
    others = table.columns[table.jobs :]
    if not others:
        return values
    taken = values[:, : table.jobs].copy()
    for position, column in enumerate(others, start=table.jobs):
        here = chosen[:, column.job] == position
        np.copyto(taken[:, column.job], values[:, position], where=here)
    return taken


def _taken(table: Table, interval: Interval, chosen: NDArray[np.int32]) -> Interval:
    nominal = _take(table, interval.nominal, chosen)
    if interval.low is interval.nominal and interval.high is interval.nominal:
        return exact(nominal)
    return Interval(
        nominal, _take(table, interval.low, chosen), _take(table, interval.high, chosen)
    )


def _worst_shot(table: Table, state: States, margin: Array) -> NDArray[np.int32]:
    """Return the shot column that counts for each barrel and job."""
    chosen = np.broadcast_to(np.arange(table.jobs, dtype=np.int32), (table.barrels, table.jobs))
    others = table.columns[table.jobs :]
    if not others:
        return chosen
    chosen = chosen.copy()
    worst, least = state[:, : table.jobs].copy(), margin[:, : table.jobs].copy()
    for position, column in enumerate(others, start=table.jobs):
        held, closest = worst[:, column.job], least[:, column.job]
        worse = (state[:, position] < held) | (
            (state[:, position] == held) & (margin[:, position] < closest)
        )
        chosen[worse, column.job] = position
        np.copyto(held, state[:, position], where=worse)
        np.copyto(closest, margin[:, position], where=worse)
    return chosen


def assess_all(table: Table) -> tuple[Assessment, ...]:
    """Return every criterion over (barrels, jobs)."""
    return tuple(assess(criterion, table) for criterion in ALL)
