"""Every barrel against every job: rows, columns and what the criteria read over them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import pairwise
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.criteria.definition import Flags
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
    SHOTS,
    Interval,
    along,
    exact,
    fields_of,
    own_half_width,
    widened,
)
from evenbarrel.appraisal.inputs.job_inputs import JobInputs
from evenbarrel.appraisal.results import ResinResult
from evenbarrel.appraisal.verdicts.states import BIT
from evenbarrel.model.limits import Uncertainty
from evenbarrel.trade import recovery
from evenbarrel.trade.formula import Array

Scalar = TypeVar("Scalar", bound=np.generic)


class _Melt(NamedTuple):
    """A resin by its id, None where none is named, with what its rate is converted by."""

    name: str | None = None
    density: float | None = None
    enthalpy: float | None = None


def conversion(
    rows: Sequence[Row], columns: Sequence[Column], resins: Mapping[str, ResinResult]
) -> tuple[Array, NDArray[np.bool_]]:
    """Return the plasticising rate in the job's resin for a rate of 1, and where that is the same.

    Both over (readings, shots). Another resin is bounded by melt density and enthalpy; nan where
    these are not known, 1 where no resin is named.
    """
    rated, of_row = _places(rated_resin(row.stated.barrel) for row in rows)
    run, of_shot = _places(column.result.id if column.result else None for column in columns)
    melts: dict[str | None, _Melt] = {None: _Melt()}
    melts |= {name: _Melt(name, of.melt_density, of.enthalpy) for name, of in resins.items()}
    share, same = _converted(tuple(melts[n] for n in rated), tuple(melts[n] for n in run))
    at = np.ix_(of_row, of_shot)
    return share[at], same[at]


@lru_cache(maxsize=4)
def _converted(rated: tuple[_Melt, ...], run: tuple[_Melt, ...]) -> tuple[Array, NDArray[np.bool_]]:
    """Return what `conversion` does, over (resins rated in, resins run): few move by an edit."""
    own, enthalpy = (along(SHOTS, of) for of in _numbers(run))
    reference, its_enthalpy = (along(READINGS, of) for of in _numbers(rated))
    shape = len(rated), len(run)
    same = np.array([[a.name == b.name for b in run] for a in rated], dtype=np.bool_)
    unnamed = np.array([[None in (a.name, b.name) for b in run] for a in rated], dtype=np.bool_)
    share = recovery.converted_rate(np.ones((1, 1)), own, reference, enthalpy, its_enthalpy)
    same = same.reshape(shape)
    return np.where(same | unnamed.reshape(shape), 1.0, share), same


def _numbers(melts: Sequence[_Melt]) -> tuple[list[float | None], list[float | None]]:
    return [melt.density for melt in melts], [melt.enthalpy for melt in melts]


def _places(names: Iterable[str | None]) -> tuple[Sequence[str | None], NDArray[np.intp]]:
    """Return each name once, and for each place which of them stands there."""
    place: dict[str | None, int] = {}
    found = [place.setdefault(name, len(place)) for name in names]
    return list(place), np.array(found, dtype=np.intp)


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
    own = along(READINGS, (own_half_width(r.stated.barrel, "plasticising_rate") for r in rows))
    named = along(READINGS, (1.0 if rated_resin(r.stated.barrel) else None for r in rows))
    return widened(rate.nominal * share * named, np.where(np.isnan(own), route_width, own))


def rate_share(rated: str | None, run: str | None, resins: Mapping[str, ResinResult]) -> float:
    """Return the plasticising rate in the resin that is run, for a rate of 1 in the rated one."""
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
class Several:
    """The barrels whose size may be read in several ways, and where their readings stand.

    `rows` are the table's rows of all their readings, a barrel's own beside each other and its
    first one first. `barrels` are these barrels; `joined` gives for each of them the places in
    `rows` of the readings that count, filled up with the first; `doubt` the reason, a bit, that
    is said where they differ, of shape (barrels, 1).
    """

    rows: NDArray[np.intp]
    barrels: NDArray[np.intp]
    joined: NDArray[np.intp]
    doubt: NDArray[np.uint8]

    def __bool__(self) -> bool:
        """Whether there is any such barrel."""
        return bool(len(self.barrels))

    def of(self, barrel: int) -> range:
        """Return the places in `rows` of a barrel's readings; empty where it has but one."""
        return self._of_barrel.get(barrel, range(0))

    @cached_property
    def _of_barrel(self) -> Mapping[int, range]:
        starts = [*self.joined[:, 0].tolist(), len(self.rows)]
        own = (range(first, end) for first, end in pairwise(starts))
        return dict(zip(self.barrels.tolist(), own, strict=True))


def several_of(rows: Sequence[Row], barrels: int) -> Several:
    """Return the barrels that are read in several ways; the first rows are one for each barrel."""
    of_barrel: dict[int, list[int]] = {}
    for place, row in enumerate(rows[barrels:], start=barrels):
        of_barrel.setdefault(row.barrel, [row.barrel]).append(place)
    places = [place for own in of_barrel.values() for place in own]
    most = max((len(own) for own in of_barrel.values()), default=1)
    joined, start = [], 0
    for own in of_barrel.values():
        counts = [start + number for number, place in enumerate(own) if _counts(rows, place)]
        joined.append(counts + [start] * (most - len(counts)))
        start += len(own)
    doubts = (BIT[rows[barrel].settled.swept.doubt or "unsettled"] for barrel in of_barrel)
    return Several(
        np.array(places, dtype=np.intp),
        np.array(list(of_barrel), dtype=np.intp),
        np.array(joined, dtype=np.intp).reshape(len(of_barrel), most),
        np.array(list(doubts), dtype=np.uint8).reshape(-1, 1),
    )


def _counts(rows: Sequence[Row], place: int) -> bool:
    """Say whether a reading counts: the first of its barrel, or one that is plausible."""
    return place == rows[place].barrel or rows[place].reading.plausible


@dataclass(frozen=True)
class Table:
    """Rows, columns and what each of them gives; the inputs over both are had when they are read.

    The first rows are one for each barrel; `disputed` are the criteria that a claim disputes, each
    with where, over (barrels, 1).
    """

    rows: tuple[Row, ...]
    columns: tuple[Column, ...]
    of_barrels: BarrelInputs
    of_jobs: JobInputs
    resins: Mapping[str, ResinResult]
    uncertainty: Uncertainty
    disputed: Mapping[str, Flags]

    @cached_property
    def barrels(self) -> int:
        """How many barrels there are."""
        return 1 + max((row.barrel for row in self.rows), default=-1)

    @cached_property
    def jobs(self) -> int:
        """How many jobs there are; their nominal shots come first."""
        return 1 + max((column.job for column in self.columns), default=-1)

    @cached_property
    def other_shots(self) -> tuple[tuple[NDArray[np.int32], NDArray[np.int32]], ...]:
        """The columns of the smallest and largest shots with the jobs they are of, in steps.

        No job stands twice in a step.
        """
        steps: list[list[tuple[int, int]]] = []
        seen: Counter[int] = Counter()
        for position, column in enumerate(self.columns[self.jobs :], start=self.jobs):
            if seen[column.job] == len(steps):
                steps.append([])
            steps[seen[column.job]].append((position, column.job))
            seen[column.job] += 1
        of_steps = (np.array(step, dtype=np.int32) for step in steps)
        return tuple((step[:, 0], step[:, 1]) for step in of_steps)

    @cached_property
    def inputs(self) -> CriterionInputs:
        """Every input of the criteria, over (readings, shots)."""
        share, same_resin = conversion(self.rows, self.columns, self.resins)
        rate = self.of_barrels.plasticising_rate
        resin_of_shot = [column.result.id if column.result else None for column in self.columns]
        factor, volume = self.of_jobs.output_factor, self.of_barrels.swept_volume
        same = same_resin_volume(self.rows, resin_of_shot, volume)
        if same is not None:
            factor, volume = exact(factor.nominal).where(same[0], factor), same[1]
        return CriterionInputs(
            **fields_of(replace(self.of_barrels, swept_volume=volume)),
            **fields_of(self.of_jobs),
            rate_conversion=exact(share),
            rate_in_resin=rate_in_resin(self.rows, rate, share, same_resin, self.uncertainty),
            factor_of_volume=factor,
        )

    @cached_property
    def inputs_as_printed(self) -> CriterionInputs:
        """The inputs of each barrel's first reading alone, over (barrels, shots)."""
        rows = slice(self.barrels)
        return self.inputs if self.barrels == len(self.rows) else self.inputs.of_rows(rows)

    @cached_property
    def layout(self) -> tuple[object, ...]:
        """How readings and shots stand to barrels and jobs, and which of them count.

        Beside it and what is disputed, a verdict hangs on the inputs alone.
        """
        several = self.several
        return (
            tuple(row.barrel for row in self.rows),
            tuple(column.job for column in self.columns),
            self.applies.tobytes(),
            several.joined.tobytes(),
            several.doubt.tobytes(),
        )

    def part(self, barrels: range) -> Table:
        """Return the table of these barrels alone, with all their readings."""
        others = (place for barrel in barrels for place in self._other_readings.get(barrel, ()))
        places = [*barrels, *others]
        if len(places) == len(self.rows):
            return self
        rows = (self.rows[place] for place in places)
        return replace(
            self,
            rows=tuple(replace(row, barrel=row.barrel - barrels.start) for row in rows),
            of_barrels=self.of_barrels.of_rows(np.array(places, dtype=np.intp)),
            disputed={
                key: flags[barrels.start : barrels.stop] for key, flags in self.disputed.items()
            },
        )

    @cached_property
    def _other_readings(self) -> Mapping[int, list[int]]:
        """The rows of a barrel's other readings, for each barrel that has any."""
        found: dict[int, list[int]] = {}
        for place, row in enumerate(self.rows[self.barrels :], start=self.barrels):
            found.setdefault(row.barrel, []).append(place)
        return found

    @cached_property
    def applies(self) -> Flags:
        """Whether the method applies to each barrel's unit, of shape (barrels, 1)."""
        apply = [row.unit.is_reciprocating for row in self.rows[: self.barrels]]
        return np.array(apply, dtype=np.bool_).reshape(-1, 1)

    @cached_property
    def several(self) -> Several:
        """The barrels that are read in several ways."""
        return several_of(self.rows, self.barrels)

    def of_rows(self, of_barrels: NDArray[Scalar]) -> NDArray[Scalar]:
        """Return values that are given per barrel repeated for each of its rows."""
        return of_barrels[self._barrel_of_row]

    @cached_property
    def _barrel_of_row(self) -> NDArray[np.intp]:
        return np.array([row.barrel for row in self.rows], dtype=np.intp)

    def lacking(
        self, name: str, data: tuple[str, ...], row: Row, column: Column
    ) -> tuple[str, ...]:
        """Return what to ask for where input `name`, which needs `data`, is not to be had."""
        if name == "rate_conversion":
            run = None if column.result is None else column.result.id
            return unconverted(rated_resin(row.stated.barrel), run, self.resins)
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
        return tuple(dict.fromkeys(rated_resin(row.stated.barrel) for row in self.rows))
