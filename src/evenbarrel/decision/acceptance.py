"""What was measured on a machine, held against what was claimed and what is guaranteed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot, sqrt
from typing import Literal

import numpy as np

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.inputs.stated import printed_precision
from evenbarrel.model.datum import data_of, si_of
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.terms import Guarantee
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.acceptance import Acceptance, AcceptanceTest
from evenbarrel.trade import acceptance as formulas
from evenbarrel.trade import recovery
from evenbarrel.trade.geometry import screw_area

LEAST_SHOTS = 10
"""Fewer say little of the scatter; common practice, no source."""
ASSUMED_DIAMETER_TOLERANCE = 1e-4
"""Where nobody states it [m]; common practice, no source."""
DRIFT = 2.0
"""A drift so many times its own standard uncertainty is told; common practice, no source."""

Verdict = Literal["accept", "reject", "within_uncertainty"]
Against = Literal["claim", "guarantee", "job_tolerance"]
Note = Literal[
    "few_shots",
    "tolerance_assumed",
    "converted",
    "drifts",
    "upper_bound",
    "time_exact",
    "resolution_not_stated",
]
_LINE = 2
"""Through so many points every line goes: nothing is left to judge it by."""
_CLAIMS: Mapping[str, str] = {"air_shot": "rated_shot_mass", "plasticising": "plasticising_rate"}


@dataclass(frozen=True, slots=True)
class Measured:
    """A measured number [SI] with its standard uncertainty; `parts` are the shares that make it.

    Each part is a relative standard uncertainty; they add up as squares.
    """

    value: float
    parts: Mapping[str, float]

    @property
    def relative(self) -> float:
        """Standard uncertainty as a share of the value."""
        return sqrt(sum(part**2 for part in self.parts.values()))

    @property
    def standard(self) -> float:
        """Standard uncertainty [SI]."""
        return abs(self.value) * self.relative

    @property
    def expanded(self) -> float:
        """U = 2 u [SI]."""
        return formulas.COVERAGE * self.standard


@dataclass(frozen=True, slots=True)
class Held:
    """What a measured number is held against: `value` with the edges it must keep [SI].

    Accepted where value and expanded uncertainty lie wholly within the edges, rejected where they
    lie wholly beyond one; else within uncertainty: undecided.
    """

    against: Against
    value: float
    low: float | None
    high: float | None
    verdict: Verdict
    job: str | None = None


@dataclass(frozen=True)
class Series:
    """The results of one series of weighed shots; None where one cannot be had, `missing` says why.

    `mean` and `scatter` (standard deviation of one shot) [kg]; `spread` is heaviest less lightest
    and `drift` what the line through the series gains over it, both as shares of the mean.
    `factor` [kg/m3] of air shots beside `factor_used`, the resin's own now. `result` is what the
    series is about: mass of a full stroke [kg], plasticising rate [kg/s], or half the spread as a
    share.
    """

    barrel: str
    acceptance: int
    test: int
    kind: Literal["air_shot", "plasticising", "repeatability"]
    resin: str | None
    count: int
    mean: float | None
    scatter: float | None
    spread: float | None
    drift: float | None
    factor: Measured | None
    factor_used: float | None
    result: Measured | None
    claim: str | None
    held: tuple[Held, ...]
    notes: tuple[Note, ...]
    missing: tuple[str, ...]


def verdict_of(measured: Measured, low: float | None, high: float | None) -> Verdict:
    """Return whether a number keeps its edges, as far as its uncertainty lets anybody say.

    Guarded by U on both sides of each edge.

    Source: jcgm_106
    """
    least, most = measured.value - measured.expanded, measured.value + measured.expanded
    if (low is None or least >= low) and (high is None or most <= high):
        return "accept"
    if (low is not None and most < low) or (high is not None and least > high):
        return "reject"
    return "within_uncertainty"


def series_of(appraisal: Appraisal) -> tuple[Series, ...]:
    """Return every series that was weighed, in the order of the file."""
    return tuple(
        _Weighed(appraisal, one, test, (place, number)).series
        for place, one in enumerate(appraisal.evaluation.acceptance)
        for number, test in enumerate(one.tests)
    )


class _Weighed:
    """One series with the barrel, the resin and the resolutions that it was weighed by."""

    def __init__(
        self,
        appraisal: Appraisal,
        session: Acceptance,
        test: AcceptanceTest,
        place: tuple[int, int],
    ) -> None:
        self.appraisal, self.session, self.test, self.place = appraisal, session, test, place
        self.bid, _, self.barrel = appraisal.evaluation.place(session.barrel)
        self.masses = np.array([mass.si("mass") for mass in test.masses], dtype=np.float64)
        self.claim = test.claim or _CLAIMS.get(test.kind)
        self.notes: list[Note] = []
        self.missing: list[str] = []

    @property
    def series(self) -> Series:
        count = len(self.masses)
        if count < LEAST_SHOTS:
            self.notes.append("few_shots")
        enough = count > 1
        mean = float(self.masses.mean()) if count else None
        scatter = float(self.masses.std(ddof=1)) if enough else None
        if not enough:
            self.missing.append("masses")
        drift = self._drift() if enough else None
        factor, result = self._measured(mean, scatter) if mean and enough else (None, None)
        held = () if result is None else tuple(self._held(result))
        return Series(
            self.barrel.id,
            *self.place,
            kind=self.test.kind,
            resin=self.test.resin,
            count=count,
            mean=mean,
            scatter=scatter,
            spread=float(np.ptp(self.masses)) / mean if mean and enough else None,
            drift=drift,
            factor=factor,
            factor_used=self._factor_of(self.test.resin),
            result=result,
            claim=self.claim,
            held=held,
            notes=tuple(dict.fromkeys(self.notes)),
            missing=tuple(dict.fromkeys(self.missing)),
        )

    def _drift(self) -> float:
        """Return what a line through the series gains over it, a share; noted where it is clear."""
        count = len(self.masses)
        at = np.arange(count) - 0.5 * (count - 1)
        slope = float(at @ self.masses / (at @ at))
        left = self.masses - self.masses.mean() - slope * at
        if count > _LINE:
            error = sqrt(float(left @ left) / (count - 2) / float(at @ at))
            if abs(slope) > DRIFT * error:
                self.notes.append("drifts")
        return slope * (count - 1) / float(self.masses.mean())

    def _measured(
        self, mean: float, scatter: float | None
    ) -> tuple[Measured | None, Measured | None]:
        """Return the factor, for air shots, and what the series is about."""
        parts = self._of_mean(mean, scatter or 0.0)
        if self.test.kind == "air_shot":
            return self._of_air_shots(mean, parts)
        if self.test.kind == "plasticising":
            return None, self._of_plasticising(mean, parts)
        return None, self._of_repeatability(mean, scatter or 0.0)

    def _of_mean(self, mean: float, scatter: float) -> dict[str, float]:
        count = len(self.masses)
        student = formulas.student_factor(count - 1)
        of_scatter = formulas.mean_uncertainty(scatter, float(count), student)
        step = self._resolution("scale_resolution")
        return {"scatter": of_scatter / mean, "scale_resolution": step / mean}

    def _resolution(self, name: str) -> float:
        stated = si_of(self.session, name)
        if stated is None:
            self.notes.append("resolution_not_stated")
            return 0.0
        return formulas.resolution_uncertainty(stated)

    def _of_air_shots(
        self, mean: float, parts: dict[str, float]
    ) -> tuple[Measured | None, Measured | None]:
        diameter, stroke = si_of(self.barrel, "screw_diameter"), si_of(self.test, "stroke")
        self.notes.append("upper_bound")
        if diameter is None or stroke is None:
            named = {"screw_diameter": diameter, "stroke_travelled": stroke}
            self.missing += [name for name, value in named.items() if value is None]
            return None, None
        parts = {**parts, "stroke_resolution": self._resolution("stroke_resolution") / stroke}
        tolerance = si_of(self.session, "diameter_tolerance")
        if tolerance is None:
            self.notes.append("tolerance_assumed")
            tolerance = ASSUMED_DIAMETER_TOLERANCE
        of_area = 2.0 * formulas.rectangular_uncertainty(tolerance) / diameter
        factor = Measured(
            formulas.factor_of_shots(mean, diameter, stroke),
            {**parts, "diameter_tolerance": of_area},
        )
        full = si_of(self.barrel, "stroke")
        if full is None:
            self.missing.append("stroke")
            return factor, None
        # The same screw sweeps a full stroke: its diameter does not count.
        swept = Measured(factor.value * screw_area(diameter) * full, parts)
        return factor, self._as_rated(swept, self.barrel.reference_resin)

    def _as_rated(self, measured: Measured, rated: str | None) -> Measured | None:
        """Return a mass as it would be in the resin it is rated in."""
        run = self.test.resin
        if rated is None or run == rated:
            return measured
        own, other = self._factor_of(run), self._factor_of(rated)
        if own is None or other is None:
            self.missing.append("output_factor")
            return None
        self.notes.append("converted")
        widths = [self.appraisal.resins[name].half_width for name in (run or "", rated)]
        of_both = hypot(*(formulas.rectangular_uncertainty(width) for width in widths))
        return Measured(measured.value * other / own, {**measured.parts, "conversion": of_both})

    def _factor_of(self, resin: str | None) -> float | None:
        result = None if resin is None else self.appraisal.resins.get(resin)
        return None if result is None else result.factor

    def _of_plasticising(self, mean: float, parts: dict[str, float]) -> Measured | None:
        time = si_of(self.test, "time")
        if time is None:
            self.missing.append("time")
            return None
        self.notes.append("time_exact")
        rated = self.barrel.plasticising_resin or self.barrel.reference_resin
        share = self._rate_share(rated)
        if share is None:
            self.missing.append("melt_density")
            return None
        return Measured(mean / time / share, parts)

    def _rate_share(self, rated: str | None) -> float | None:
        """Return the rate in the resin of the series for a rate of 1 in the one it is rated in."""
        run = self.test.resin
        if rated is None or run is None or run == rated:
            return 1.0
        of, reference = self.appraisal.resins[run], self.appraisal.resins[rated]
        data = (of.melt_density, reference.melt_density, of.enthalpy, reference.enthalpy)
        if None in data:
            return None
        self.notes.append("converted")
        return recovery.converted_rate(1.0, *(value or 0.0 for value in data))

    def _of_repeatability(self, mean: float, scatter: float) -> Measured:
        """Return half the spread as a share, as uncertain as the scatter is."""
        half = 0.5 * float(np.ptp(self.masses)) / mean
        of_scatter = formulas.scatter_uncertainty(scatter, float(len(self.masses))) / mean
        step = self._resolution("scale_resolution") / mean
        relative = hypot(of_scatter * (half * mean / scatter if scatter else 1.0), step)
        return Measured(half, {"scatter": relative / half if half else 0.0})

    # Against what ------------------------------------------------------------------------------

    def _held(self, result: Measured) -> Iterator[Held]:
        if self.test.kind == "repeatability":
            yield from self._against_jobs(result)
            return
        if self.claim is None or self.claim not in _CLAIMS.values():
            return
        claimed = getattr(self.barrel, self.claim)
        if claimed is not None:
            kind = data_of(Barrel)[self.claim].kind_of(claimed.unit)
            value = claimed.si(kind)
            low = value - printed_precision(self.claim, claimed, kind, value)
            yield Held("claim", value, low, None, verdict_of(result, low, None))
        for one in self.bid.guarantees:
            if (one.barrel, one.datum) == (self.barrel.id, self.claim):
                value, low_edge, high = edges_of(one)
                verdict = verdict_of(result, low_edge, high)
                yield Held("guarantee", value, low_edge, high, verdict)

    def _against_jobs(self, result: Measured) -> Iterator[Held]:
        for job in self.appraisal.evaluation.jobs:
            allowed = si_of(job, "shot_mass_tolerance")
            if allowed is not None and job.resin == self.test.resin:
                verdict = verdict_of(result, None, allowed)
                yield Held("job_tolerance", allowed, None, allowed, verdict, job.id)


def edges_of(guarantee: Guarantee) -> tuple[float, float | None, float | None]:
    """Return a guaranteed value and the edges that its tolerance leaves [SI].

    Where no side is named a mass, a rate or a pressure is at least so much.
    """
    datum = data_of(Barrel)[guarantee.datum]
    kind = datum.kind_of(guarantee.value.unit)
    value, tolerance = guarantee.value.si(kind), 0.0
    if guarantee.tolerance is not None:
        of = guarantee.tolerance
        share = of.unit not in datum.units
        tolerance = of.si("share") * value if share else of.si(kind)
    side = guarantee.side or "at_least"
    low = None if side == "at_most" else value - tolerance
    high = None if side == "at_least" else value + tolerance
    return value, low, high


def worst(held: Sequence[Held]) -> Verdict | None:
    """Return the gravest verdict of some, None of none."""
    order: tuple[Verdict, ...] = ("reject", "within_uncertainty", "accept")
    found = {one.verdict for one in held}
    return next((verdict for verdict in order if verdict in found), None)


def factor_to_take(series: Series, source: str) -> Quantity | None:
    """Return the factor of a series of air shots as a resin's datum, None where there is none.

    Its half-width is the expanded uncertainty; `source` tells where it was weighed.
    """
    if series.factor is None:
        return None
    half_width = min(1.0, formulas.COVERAGE * series.factor.relative)
    return Quantity(
        magnitude=f"{series.factor.value / 1000.0:.4f}",
        unit="g/cm3",
        source=source,
        standing="measured",
        half_width=float(f"{half_width:.4g}"),
    )
