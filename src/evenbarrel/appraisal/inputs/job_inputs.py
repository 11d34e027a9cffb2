"""What the jobs' shots ask, as arrays over the shots."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace

from evenbarrel.appraisal.inputs.barrel_inputs import RING_BITS
from evenbarrel.appraisal.inputs.columns import Column, not_wanted
from evenbarrel.appraisal.inputs.demands import (
    filling_rate,
    is_soft,
    required_pressure,
    residence_limit,
    share_soft,
    utilisation_window,
)
from evenbarrel.appraisal.inputs.intervals import (
    SHOTS,
    Ends,
    Interval,
    around,
    carried,
    ends_of,
    intervals_along,
    own_half_width,
    with_places,
)
from evenbarrel.appraisal.inputs.recovery_window import cycle_time
from evenbarrel.appraisal.inputs.shots import hot_runner_open
from evenbarrel.appraisal.results import Bound
from evenbarrel.model.datum import si_of
from evenbarrel.model.limits import Limits, Uncertainty, limit_origin, limit_value
from evenbarrel.model.resin import Resin
from evenbarrel.trade.packages import Degree
from evenbarrel.trade.wear_corrosion import degree_of


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class SizeInputs:
    """How much of the barrel a shot takes, and the window of its share."""

    shot_mass: Interval
    output_factor: Interval
    cushion: Interval
    hot_runner_volume: Interval
    decompression: Interval
    utilisation_low: Interval
    utilisation_high: Interval
    utilisation_low_soft: Interval
    utilisation_high_soft: Interval
    shot_mass_tolerance: Interval


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class PlasticisingInputs:
    """How long the melt stays, and how soon it must be ready."""

    cycle_time: Interval
    hot_runner_known: Interval
    melt_density: Interval
    residence_limit: Interval
    residence_soft: Interval
    cooling_window: Interval
    window_route: Interval
    peripheral_speed_limit: Interval
    peripheral_speed_soft: Interval


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class FillingInputs:
    """The pressure and rate that filling asks for."""

    fill_time: Interval
    filling_rate: Interval
    rate_demanded: Interval
    required_pressure: Interval
    required_pressure_estimated: Interval
    estimate_exponent: Interval


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class AttackInputs:
    """The degrees by which the resin wears and corrodes."""

    abrasive: Interval
    abrasive_soft: Interval
    corrosive: Interval
    corrosive_soft: Interval


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class GeometryInputs:
    """What the resin wants of a screw."""

    length_ratio_low: Interval
    compression_low: Interval
    compression_high: Interval
    unsuited_rings: Interval
    screw_wishes: Interval
    length_ratio_soft: Interval
    compression_soft: Interval
    rings_soft: Interval


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class LimitInputs:
    """The evaluation's own limits, one for all shots."""

    stroke_low: Interval
    stroke_comfort_low: Interval
    stroke_comfort_high: Interval
    stroke_high: Interval
    ring_share_limit: Interval
    recovery_share_limit: Interval
    pressure_share_limit: Interval
    rate_share_limit: Interval
    stroke_low_soft: Interval
    stroke_high_soft: Interval
    ring_share_soft: Interval


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class JobInputs(
    SizeInputs, PlasticisingInputs, FillingInputs, AttackInputs, GeometryInputs, LimitInputs
):
    """All that depends on the job, each an array of shape (1, shots)."""

    def with_shots(self, places: Sequence[int], others: JobInputs) -> JobInputs:
        """Return the inputs with `others`, which are judged by the same limits, at some places.

        An input that is the same there stays the very same object.
        """
        mine, new = ({name: getattr(of, name) for name in _ASKED} for of in (self, others))
        return replace(self, **with_places(mine, SHOTS, places, new))

    def judged_by(self, columns: Sequence[Column], limits: Limits) -> JobInputs:
        """Return what the same shots ask, judged by other limits."""
        shares = intervals_along(SHOTS, _shares(_Asked(columns), limits))
        return replace(self, **shares, **_limit_inputs(limits))


_OF_ALL = {field.name for field in fields(LimitInputs)}
_ASKED = tuple(field.name for field in fields(JobInputs) if field.name not in _OF_ALL)
"""The inputs that depend on the shot."""


def job_inputs(columns: Sequence[Column], limits: Limits, uncertainty: Uncertainty) -> JobInputs:
    """Return what every shot requires, and the limits it is judged by."""
    asked = _Asked(columns)
    given = (
        _sizes(asked)
        | _shares(asked, limits)
        | _plasticising(asked, uncertainty)
        | _filling(asked, uncertainty)
        | _attack(asked)
        | _geometry(asked)
    )
    return JobInputs(**intervals_along(SHOTS, given), **_limit_inputs(limits))


@dataclass(frozen=True, slots=True)
class _Asked:
    """Turns what each column asks into numbers over the shots."""

    columns: Sequence[Column]

    def number(self, function: Callable[[Column], float | None]) -> Ends:
        return ([*map(function, self.columns)],)

    def bound(self, function: Callable[[Column], Bound | None]) -> Ends:
        return ends_of(map(function, self.columns))

    def flag(self, function: Callable[[Column], bool]) -> Ends:
        return self.number(lambda column: float(function(column)))

    def job(self, name: str) -> Ends:
        return self.number(lambda column: si_of(column.entered, name))

    def carried(self, name: str, absent: float | None = None) -> Ends:
        """A job's number with the half-width it carries, `absent` where it is not stated."""
        stated = [si_of(column.entered, name) for column in self.columns]
        numbers = [absent if number is None else number for number in stated]
        return carried(numbers, [own_half_width(column.entered, name) for column in self.columns])

    def resin(self, name: str) -> Ends:
        return self.number(lambda c: None if c.resin is None else si_of(c.resin, name))


def _sizes(asked: _Asked) -> dict[str, Ends]:
    return {
        "shot_mass": asked.bound(lambda column: column.shot.mass if column.shot else None),
        "output_factor": asked.bound(_factor),
        "cushion": asked.carried("cushion"),
        "hot_runner_volume": asked.carried("hot_runner_volume", absent=0.0),
        "decompression": asked.carried("decompression"),
        "shot_mass_tolerance": asked.job("shot_mass_tolerance"),
    }


def _shares(asked: _Asked, limits: Limits) -> dict[str, Ends]:
    """The window of a shot's share of volume: the part of what it asks that hangs on limits."""
    return {
        "utilisation_low": asked.number(lambda c: utilisation_window(c.resin, limits)[0]),
        "utilisation_high": asked.number(lambda c: utilisation_window(c.resin, limits)[1]),
        "utilisation_low_soft": asked.flag(lambda c: share_soft(c.resin, limits, "low")),
        "utilisation_high_soft": asked.flag(lambda c: share_soft(c.resin, limits, "high")),
    }


def _plasticising(asked: _Asked, uncertainty: Uncertainty) -> dict[str, Ends]:
    return {
        "cycle_time": asked.bound(lambda column: cycle_time(column.entered, uncertainty)),
        "hot_runner_known": asked.number(lambda c: None if hot_runner_open(c.entered) else 1.0),
        "melt_density": asked.number(lambda c: c.result.melt_density if c.result else None),
        "residence_limit": asked.number(lambda c: residence_limit(c.entered, c.resin)),
        "residence_soft": asked.flag(lambda column: is_soft(column.resin, "residence_limits")),
        "cooling_window": asked.bound(lambda c: c.window.bound if c.window else None),
        "window_route": asked.number(_window_known),
        "peripheral_speed_limit": asked.resin("peripheral_speed_limit"),
        "peripheral_speed_soft": asked.flag(lambda c: is_soft(c.resin, "peripheral_speed_limit")),
    }


def _filling(asked: _Asked, uncertainty: Uncertainty) -> dict[str, Ends]:
    return {
        "fill_time": asked.job("fill_time"),
        "filling_rate": asked.bound(filling_rate),
        "rate_demanded": asked.flag(lambda column: column.entered.required_rate is not None),
        "required_pressure": asked.bound(lambda column: required_pressure(column, uncertainty)),
        "required_pressure_estimated": asked.flag(lambda c: c.entered.required_pressure is None),
        "estimate_exponent": asked.number(_estimate_exponent),
    }


def _attack(asked: _Asked) -> dict[str, Ends]:
    return {
        "abrasive": asked.number(lambda column: _degree(column.resin, "abrasive")),
        "abrasive_soft": asked.flag(lambda column: is_soft(column.resin, "abrasive")),
        "corrosive": asked.number(lambda column: _degree(column.resin, "corrosive")),
        "corrosive_soft": asked.flag(lambda column: is_soft(column.resin, "corrosive")),
    }


def _geometry(asked: _Asked) -> dict[str, Ends]:
    return {
        "length_ratio_low": asked.resin("length_ratio_low"),
        "compression_low": asked.resin("compression_low"),
        "compression_high": asked.resin("compression_high"),
        "unsuited_rings": asked.number(lambda column: _unsuited_rings(column.resin)),
        "screw_wishes": asked.number(lambda column: _wishes(column.resin)),
        "length_ratio_soft": asked.flag(lambda c: is_soft(c.resin, "length_ratio_low")),
        "compression_soft": asked.flag(lambda c: _compression_soft(c.resin)),
        "rings_soft": asked.flag(lambda c: is_soft(c.resin, "unsuited_rings")),
    }


def _limit_inputs(limits: Limits) -> dict[str, Interval]:
    edges = {
        "stroke_low": limits.stroke_low,
        "stroke_comfort_low": limits.stroke_comfort_low,
        "stroke_comfort_high": limits.stroke_comfort_high,
        "stroke_high": limits.stroke_high,
        "ring_share_limit": limits.ring_share,
        "recovery_share_limit": limits.recovery_share,
        "pressure_share_limit": limits.pressure_share,
        "rate_share_limit": limits.rate_share,
    }
    remembered = {
        "stroke_low_soft": limits.stroke_low,
        "stroke_high_soft": limits.stroke_high,
        "ring_share_soft": limits.ring_share,
    }
    given: dict[str, Ends] = {name: ([limit_value(limit)],) for name, limit in edges.items()}
    for name, limit in remembered.items():
        given[name] = ([float(limit_origin(limit) == "from_memory")],)
    return intervals_along(SHOTS, given)


def _window_known(column: Column) -> float | None:
    """Return 1 where a route gives the window, None where the cycle alone bounds it, if that."""
    taken = None if column.window is None else column.window.taken
    return None if taken in (None, "cap") else 1.0


def _estimate_exponent(column: Column) -> float | None:
    """Return by which power of the shot an estimated pressure grows; None where it does not."""
    job, law = column.entered, None if column.resin is None else column.resin.power_law
    if law is None or job.required_pressure is not None or job.required_rate is not None:
        return None
    return law.n


def _degree(resin: Resin | None, name: str) -> float:
    degree: Degree | None = None if resin is None else getattr(resin, name)
    return degree_of(degree)


def _factor(column: Column) -> Bound | None:
    result = column.result
    if result is None or result.factor is None:
        return None
    return around(result.factor, result.half_width)


def _unsuited_rings(resin: Resin | None) -> float | None:
    return None if resin is None else float(sum(RING_BITS[ring] for ring in resin.unsuited_rings))


def _wishes(resin: Resin | None) -> float | None:
    """Return 1 where the resin wants anything of a screw's geometry, else None."""
    return None if len(tuple(not_wanted(resin))) == 3 else 1.0


def _compression_soft(resin: Resin | None) -> bool:
    return any(is_soft(resin, f"compression_{end}") for end in ("low", "high"))
