"""What the planned jobs ask of a barrel: volume, diameter, pressure, rates, screw, packages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf, isfinite, pi

import numpy as np

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.inputs.intervals import Interval
from evenbarrel.appraisal.verdicts.table import rate_share
from evenbarrel.decision.asking.needs import Needs
from evenbarrel.decision.asking.ranges import WHOLE, Range, common, conflict, fewest
from evenbarrel.trade.formula import Array
from evenbarrel.trade.packages import Degree, Package
from evenbarrel.trade.wear_corrosion import DEGREES, PROOF, Attack

ATTACKS: Mapping[Attack, str] = {"wear": "abrasive", "corrosion": "corrosive"}
"""Which of a resin's data says how much it attacks."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What one job asks, or several together; None where nothing can be said.

    A barrel whose own numbers have no half-width is inside by share of volume (`volume`) and
    stroke in diameters (`diameter`) in the range `inside`, and not outside in `not_outside`.
    `pressure` [Pa], `rate` [m3/s] and `plasticising` [kg/s] are the least that lie in comfort;
    `plasticising` holds in the job's own resin, None for several of unlike resins, and
    `plasticising_as_rated` in the common resin. `missing` names what is not stated.
    """

    jobs: tuple[str, ...]
    volume_inside: Range
    volume_not_outside: Range
    diameter_inside: Range
    diameter_not_outside: Range
    pressure: float | None
    rate: float | None
    plasticising: float | None
    plasticising_as_rated: float | None
    length_ratio: float | None
    compression: Range
    packages: tuple[Package, ...]
    unsuited_rings: tuple[str, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Together:
    """What several jobs ask of one barrel; `conflict` names the fewest that no volume suits.

    `even_outside`: under any one volume some of them are outside; else it is only that no volume
    has them all inside. `fewest` is how few volumes it takes to have each job not outside.
    """

    asked: Asked
    conflict: tuple[str, ...]
    even_outside: bool
    fewest: int | None


class Ask:
    """What the jobs of an appraisal ask; no barrel need be there."""

    def __init__(self, appraisal: Appraisal) -> None:
        """Take the appraisal whose jobs are asked for."""
        self.appraisal = appraisal
        self._inputs = appraisal.grid.table.inputs
        self._columns = appraisal.grid.table.columns

    @cached_property
    def jobs(self) -> Mapping[str, Asked]:
        """What each job asks, in the order of the file."""
        # Half-widths of the whole leave nothing below: a bound is then infinite, or is not known.
        with np.errstate(all="ignore"):
            return {job.id: self._of_job(place) for place, job in enumerate(self.appraisal.jobs)}

    @cached_property
    def programme(self) -> Together:
        """What all jobs ask of one barrel."""
        return self.of(tuple(self.jobs))

    def of(self, jobs: Sequence[str]) -> Together:
        """Return what some jobs ask of one barrel; raises KeyError for an unknown one."""
        every = [self.jobs[job] for job in jobs]
        outside = {one.jobs[0]: one.volume_not_outside for one in every}
        inside = {one.jobs[0]: one.volume_inside for one in every}
        hard = conflict(outside)
        return Together(
            self._joined(tuple(jobs), every), hard or conflict(inside), bool(hard), fewest(outside)
        )

    # One job -----------------------------------------------------------------------------------

    def needs(self, job: str) -> Needs:
        """Return what the criteria of one job are read backwards from; raises KeyError."""
        with np.errstate(all="ignore"):
            return self._needs(self.appraisal.grid.column(job))

    def _needs(self, place: int) -> Needs:
        at, inputs = self._shots(place), self._inputs
        mass, factor = self._at(inputs.shot_mass, at), self._at(inputs.output_factor, at)
        return Needs(
            # The least and the most that a shot may be, end by end.
            least=mass.low / factor.high,
            most=mass.high / factor.low,
            mass=mass.high,
            share_low=self._at(inputs.utilisation_low, at).nominal,
            # Whatever the window, no shot is larger than what is swept.
            share_high=np.fmin(self._at(inputs.utilisation_high, at).nominal, 1.0),
            stroke_low=self._at(inputs.stroke_low, at).nominal,
            stroke_high=self._at(inputs.stroke_high, at).nominal,
            stroke_comfort_low=self._at(inputs.stroke_comfort_low, at).nominal,
            stroke_comfort_high=self._at(inputs.stroke_comfort_high, at).nominal,
            pressure=self._at(inputs.required_pressure, at).high,
            rate=self._at(inputs.filling_rate, at).high,
            window=self._at(inputs.cooling_window, at).low,
            pressure_share=inputs.pressure_share_limit.nominal.item(0),
            rate_share=inputs.rate_share_limit.nominal.item(0),
            recovery_share=inputs.recovery_share_limit.nominal.item(0),
        )

    def _shots(self, place: int) -> list[int]:
        return [n for n, column in enumerate(self._columns) if column.job == place]

    def _of_job(self, place: int) -> Asked:
        need, resin = self._needs(place), self._columns[self._shots(place)[0]].entered.resin
        plasticising = _most(need.plasticising)
        return Asked(
            (self.appraisal.jobs[place].id,),
            _between(need.most / need.share_high, need.least / need.share_low),
            _between(need.least / need.share_high, need.most / need.share_low),
            _between(
                _diameter(need.most, need.stroke_comfort_high),
                _diameter(need.least, need.stroke_comfort_low),
            ),
            _between(
                _diameter(need.least, need.stroke_high), _diameter(need.most, need.stroke_low)
            ),
            # The least quoted numbers of which the most that is wanted is within comfort.
            _most(need.pressure / need.pressure_share),
            _most(need.rate / need.rate_share),
            plasticising,
            self._as_rated(plasticising, resin),
            *self._of_resin(resin),
            missing=self.appraisal.jobs[place].missing,
        )

    def _at(self, interval: Interval, columns: list[int]) -> Interval:
        def cut(values: Array) -> Array:
            return values[0] if values.shape[1] == 1 else values[0, columns]

        return Interval(cut(interval.nominal), cut(interval.low), cut(interval.high))

    def _as_rated(self, rate: float | None, run: str | None) -> float | None:
        """Return a plasticising rate in a job's resin as it would be rated in the common one."""
        rated = self.appraisal.evaluation.cost.common_resin
        if rate is None or rated is None or run is None:
            return None
        share = rate_share(rated, run, self.appraisal.resins)
        return rate / share if isfinite(share) and share > 0.0 else None

    def _of_resin(
        self, name: str | None
    ) -> tuple[float | None, Range, tuple[Package, ...], tuple[str, ...]]:
        """Return least L/D, range of compression, packages proof against it, unsuited rings."""
        resin = self.appraisal.evaluation.resin(name)
        if resin is None:
            return None, WHOLE, _proof({}), ()
        wished = {
            field: None if quantity is None else quantity.si("ratio")
            for field in ("length_ratio_low", "compression_low", "compression_high")
            for quantity in (getattr(resin, field),)
        }
        attacks = {attack: getattr(resin, field) for attack, field in ATTACKS.items()}
        return (
            wished["length_ratio_low"],
            Range(wished["compression_low"], wished["compression_high"]),
            _proof({attack: degree for attack, degree in attacks.items() if degree is not None}),
            resin.unsuited_rings,
        )

    # Several jobs ------------------------------------------------------------------------------

    def _joined(self, jobs: tuple[str, ...], every: Sequence[Asked]) -> Asked:
        resins = {self.appraisal.job(job).resin for job in jobs}
        packages = [set(one.packages) for one in every]
        shared = set.intersection(*packages) if packages else set(_proof({}))
        return Asked(
            jobs,
            common([one.volume_inside for one in every]),
            common([one.volume_not_outside for one in every]),
            common([one.diameter_inside for one in every]),
            common([one.diameter_not_outside for one in every]),
            _highest(one.pressure for one in every),
            _highest(one.rate for one in every),
            _highest(one.plasticising for one in every) if len(resins) == 1 else None,
            _highest(one.plasticising_as_rated for one in every),
            _highest(one.length_ratio for one in every),
            common([one.compression for one in every]),
            tuple(package for package in _proof({}) if package in shared),
            tuple(dict.fromkeys(ring for one in every for ring in one.unsuited_rings)),
            tuple(dict.fromkeys(name for one in every for name in one.missing)),
        )

    def rated_mass(self, volume: float | None) -> float | None:
        """Return the shot mass [kg] that a volume is rated with in the common resin, or None."""
        common_resin = self.appraisal.evaluation.cost.common_resin
        result = None if common_resin is None else self.appraisal.resins.get(common_resin)
        if volume is None or result is None or result.factor is None:
            return None
        return volume * result.factor


def _proof(attacks: Mapping[Attack, Degree]) -> tuple[Package, ...]:
    """Return the packages that are proof against some attacks, in the order of the list."""
    return tuple(
        package
        for package in PROOF["wear"]
        if all(
            DEGREES.index(PROOF[attack][package]) >= DEGREES.index(degree)
            for attack, degree in attacks.items()
        )
    )


def _diameter(volume: Array, diameters: Array) -> Array:
    """Return the diameter in which a volume is a stroke of so many diameters."""
    return np.asarray((4.0 * volume / (pi * diameters)) ** (1.0 / 3.0))


def _between(lows: Array, highs: Array) -> Range:
    """Return the range above every low end and below every high one; nan is no end."""
    low, high = np.fmax.reduce(lows), np.fmin.reduce(highs)
    return Range(*(float(end) if isfinite(end) else None for end in (low, high)))


def _most(values: Array) -> float | None:
    most = float(np.fmax.reduce(values, initial=-inf))
    return most if isfinite(most) else None


def _highest(values: Iterable[float | None]) -> float | None:
    return max((value for value in values if value is not None), default=None)
