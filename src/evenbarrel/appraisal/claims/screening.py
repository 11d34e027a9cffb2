"""Units all of whose claims hold, found on arrays over every barrel at once.

The screen is careful: what it passes agrees or is not stated in every claim; what it leaves may
still hold and is judged claim by claim.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.claims.agreement import FLOOR
from evenbarrel.appraisal.claims.checks.drive import (
    HIGHEST_MELT_PRESSURE,
    LEAST_MELT_PRESSURE,
    LEAST_UNSTATED_PRESSURE,
    SIZE_NUMBER_AGREEMENT,
)
from evenbarrel.appraisal.claims.checks.operation import (
    LENGTH_RATIO_HIGH,
    LENGTH_RATIO_LOW,
    MOST_OVERLOAD,
    SPEED_HIGH,
    SPEED_LOW,
)
from evenbarrel.appraisal.claims.checks.plasticising import (
    HIGHEST_PERIPHERAL_SPEED,
    LEAST_IN_LB_H,
    LIKE_OUTPUT,
    MELT_DENSITIES,
    OUTPUT_HIGH,
    OUTPUT_LOW,
    OUTPUT_LOW_AT_OTHER_SPEED,
    USUAL_OUTPUT_HIGH,
)
from evenbarrel.appraisal.claims.checks.shared_force import SAME_PRESSURE
from evenbarrel.appraisal.claims.checks.volume import (
    HEAVIEST,
    LEAST_VOLUME_TOLERANCE,
    LIGHTEST,
)
from evenbarrel.appraisal.inputs.barrel_inputs import RATED_SPEEDS, rated_resin
from evenbarrel.appraisal.inputs.plausible import STROKE_HIGH, STROKE_LOW
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit
from evenbarrel.appraisal.results import ResinResult
from evenbarrel.model.limits import Limits, limit_value
from evenbarrel.trade import geometry, recovery
from evenbarrel.trade.formula import Array, silently

Flags = NDArray[np.bool_]

SAFE = 1 - 1e-9
"""The screen keeps this much inside every edge: rounding never passes what would fail."""


class _Columns:
    """The stated numbers of every barrel and of its unit, nan where not stated."""

    def __init__(self, units: Sequence[StatedUnit], resins: Mapping[str, ResinResult]) -> None:
        self._resins = resins
        self.units = units
        self.barrels = [barrel for unit in units for barrel in unit.barrels]
        self.unit_of = np.repeat(np.arange(len(units)), [len(unit.barrels) for unit in units])
        self._kept: dict[str, tuple[Array, Array]] = {}

    def _read(self, name: str) -> tuple[Array, Array]:
        if name not in self._kept:
            numbers = [barrel.numbers.get(name) for barrel in self.barrels]
            pairs = ((n.value, n.precision) if n else (np.nan, np.nan) for n in numbers)
            read = np.array(list(pairs), dtype=np.float64).reshape(-1, 2)
            self._kept[name] = read[:, 0], read[:, 1] / np.abs(read[:, 0])
        return self._kept[name]

    def value(self, name: str) -> Array:
        return self._read(name)[0]

    def precision(self, name: str) -> Array:
        """The printed precision of a datum as a share of it."""
        return self._read(name)[1]

    def of_unit(self, name: str) -> Array:
        values = [np.nan if (n := unit.value(name)) is None else n for unit in self.units]
        return np.array(values, dtype=np.float64)[self.unit_of]

    def of_resin(
        self,
        resin: Callable[[StatedBarrel], str | None],
        number: Callable[[ResinResult], float | None],
    ) -> Array:
        """A number of the resin that each barrel names, nan where there is none."""
        known = {name: number(result) for name, result in self._resins.items()}
        known_as = {name: np.nan if value is None else value for name, value in known.items()}
        names = (resin(barrel) or "" for barrel in self.barrels)
        return np.array([known_as.get(name, np.nan) for name in names], dtype=np.float64)

    def flag(self, holds: Callable[[StatedBarrel], bool]) -> Flags:
        return np.array([holds(barrel) for barrel in self.barrels], dtype=np.bool_)

    def most(self, values: Array) -> Array:
        """The greatest number of each barrel's unit, nan where none is stated."""
        return self._of_group(np.fmax, values)

    def least(self, values: Array) -> Array:
        """The least number of each barrel's unit, nan where none is stated."""
        return self._of_group(np.fmin, values)

    def count(self, counted: Flags) -> Array:
        """How many barrels of each barrel's unit are counted."""
        counts = np.bincount(self.unit_of, counted, len(self.units))
        return counts.astype(np.float64)[self.unit_of]

    def _of_group(self, reduce: np.ufunc, values: Array) -> Array:
        found = np.full(len(self.units), np.nan)
        reduce.at(found, self.unit_of, values)
        return found[self.unit_of]

    @cached_property
    def area(self) -> Array:
        return geometry.screw_area(self.value("screw_diameter"))

    @cached_property
    def by_volume(self) -> Flags:
        """Where no injection rate is printed by mass."""
        rates = [barrel.numbers.get("injection_rate") for barrel in self.barrels]
        kinds = (rate is None or rate.kind == "volume_rate" for rate in rates)
        return np.array(list(kinds), dtype=np.bool_)


def nothing_failed(
    units: Sequence[StatedUnit], resins: Mapping[str, ResinResult], limits: Limits
) -> Flags:
    """Return for each unit whether all its claims surely agree or are not stated."""
    columns = _Columns(units, resins)
    reciprocating = np.array([unit.is_reciprocating for unit in units], dtype=np.bool_)
    if not columns.barrels:
        return reciprocating
    with silently():
        checks = dict.fromkeys(CHECKS.values())
        held = np.logical_and.reduce([check(columns, limits) for check in checks])
    failed = np.bincount(columns.unit_of, ~held, len(units)) > 0
    return reciprocating & ~failed


def _reference(barrel: StatedBarrel) -> str | None:
    return barrel.barrel.reference_resin


def _rated(barrel: StatedBarrel) -> str | None:
    return rated_resin(barrel.barrel)


def _near(stated: Array, derived: Array, tolerance: Array | float) -> Flags:
    """Say where two numbers agree, or where one of them is not stated."""
    gap = np.abs(stated / derived - 1)
    return np.isnan(gap) | (gap <= tolerance * SAFE)


def _most(stated: Array, available: Array | float) -> Flags:
    return np.isnan(stated) | np.isnan(available) | (stated <= available * SAFE)


def _volume(columns: _Columns, limits: Limits) -> Flags:
    by_size = columns.area * columns.value("stroke")
    precise = columns.precision("swept_volume") + columns.precision("stroke")
    precise = precise + 2 * columns.precision("screw_diameter")
    precise = np.fmax(LEAST_VOLUME_TOLERANCE, precise)
    return _near(columns.value("swept_volume"), by_size, precise)


def _rated_mass(columns: _Columns, limits: Limits) -> Flags:
    """Rated on the output factor."""
    mass, quoted = columns.value("rated_shot_mass"), columns.value("swept_volume")
    by_size = columns.area * columns.value("stroke")
    implied = mass / np.where(np.isnan(by_size), quoted, by_size)
    factor = columns.of_resin(_reference, lambda resin: resin.factor)
    distance = np.fmax(implied / factor, factor / implied) - 1
    agreement = limit_value(limits.rated_basis)
    own = np.fmax(agreement, columns.of_resin(_reference, lambda resin: resin.half_width))
    tolerance = own + columns.precision("rated_shot_mass")
    rated = distance <= tolerance * SAFE
    plain = columns.flag(lambda b: b.barrel.settled is None and "reference_factor" not in b.numbers)
    unnamed = columns.flag(lambda b: _reference(b) is None)
    possible = (implied >= LIGHTEST / SAFE) & (implied <= HEAVIEST * SAFE)
    unknown = np.isnan(implied) | (unnamed & possible)
    held: Flags = plain & (unknown | rated)
    return held


def _strokes(columns: _Columns, limits: Limits) -> Flags:
    """One stroke; where it would have to be implied by a volume nothing is cleared."""
    stroke, quoted = columns.value("stroke"), columns.value("swept_volume")
    implied = np.isnan(stroke) & ~np.isnan(quoted * columns.area)
    turns = stroke / columns.value("screw_diameter")
    likely = (turns >= STROKE_LOW / SAFE) & (turns <= STROKE_HIGH * SAFE)
    likely |= np.isnan(turns)
    return ~implied & likely & _near(columns.most(stroke), columns.least(stroke), FLOOR)


def _forces(columns: _Columns, limits: Limits) -> Flags:
    """One force, but for screws whose pressure is capped, and the size number with it."""
    agreement = limit_value(limits.force_agreement)
    force = columns.value("injection_pressure") * columns.area
    pressure = np.where(np.isnan(force), np.nan, columns.value("injection_pressure"))
    diameter = np.where(np.isnan(force), np.nan, columns.value("screw_diameter"))
    at_highest = columns.most(pressure) / pressure - 1 <= SAME_PRESSURE
    capped = at_highest & (force * (1 + agreement) < columns.most(force) * SAFE)
    free = np.where(capped, np.nan, force)
    alike = _near(columns.most(free), columns.least(free), agreement)
    # A cap: the smallest screws, all at one pressure, with two others or more that agree.
    caps, others = columns.count(capped), columns.count(~np.isnan(free))
    below = columns.most(np.where(capped, diameter, np.nan)) < columns.least(
        np.where(capped, np.nan, diameter)
    )
    apart = columns.most(np.where(capped, force, np.nan)) * (1 + agreement) < columns.least(free)
    whole = columns.count(at_highest & ~capped) == 0
    sound = alike & ((caps == 0) | ((others >= 2) & below & apart & whole))
    by_size = columns.of_unit("size_number") * 100 / columns.value("stroke")
    number = _near(by_size, columns.most(free), SIZE_NUMBER_AGREEMENT)
    number &= _near(by_size, columns.least(free), SIZE_NUMBER_AGREEMENT)
    held: Flags = sound & number
    return held


def _pressures(columns: _Columns, limits: Limits) -> Flags:
    pressure = columns.value("injection_pressure")
    product = columns.value("system_pressure") * columns.value("intensification_ratio")
    unstated = columns.flag(lambda barrel: barrel.barrel.pressure_kind is None)
    least = np.where(unstated, LEAST_UNSTATED_PRESSURE, LEAST_MELT_PRESSURE)
    high = np.isnan(pressure) | ((pressure >= least) & (pressure <= HIGHEST_MELT_PRESSURE))
    of_melt = columns.flag(lambda barrel: barrel.barrel.pressure_kind != "oil")
    precise = columns.precision("injection_pressure") + columns.precision("system_pressure")
    precise = np.fmax(FLOOR, precise + columns.precision("intensification_ratio"))
    held: Flags = of_melt & high & _near(pressure, product, precise)
    return held


def _speed(columns: _Columns, limits: Limits) -> Flags:
    speed, rate = columns.value("injection_speed"), columns.value("injection_rate")
    precise = columns.precision("injection_speed") + columns.precision("injection_rate")
    precise = np.fmax(FLOOR, precise + 2 * columns.precision("screw_diameter"))
    held = _near(speed, rate / columns.area, precise)
    implied = rate / columns.area
    likely = (implied >= SPEED_LOW / SAFE) & (implied <= SPEED_HIGH * SAFE)
    held &= likely | ~np.isnan(speed) | np.isnan(implied)
    return np.where(columns.by_volume, held, False)


def _power(columns: _Columns, limits: Limits) -> Flags:
    drive = columns.of_unit("drive_power")
    kinds = [unit.unit.drive_kind for unit in columns.units]
    most = np.array([MOST_OVERLOAD[kind] for kind in kinds])[columns.unit_of]
    quoted = _most(columns.of_unit("injection_power"), drive)
    pressure, rate = columns.value("injection_pressure"), columns.value("injection_rate")
    power = geometry.injection_power(pressure, rate)
    held = _most(power, most * drive)
    return quoted & np.where(columns.by_volume, held, np.isnan(drive))


def _plasticising(columns: _Columns, limits: Limits) -> Flags:
    rate = columns.value("plasticising_rate")
    enthalpy = columns.of_resin(_rated, lambda resin: resin.enthalpy)
    density = columns.of_resin(_rated, lambda resin: resin.melt_density)
    heat = np.fmax(columns.of_unit("plasticising_drive_power"), columns.of_unit("heating_power"))
    both = columns.of_unit("plasticising_drive_power") + columns.of_unit("heating_power")
    enough = _most(recovery.melting_power(rate, enthalpy), np.where(np.isnan(both), heat, both))
    turns = np.full(len(columns.barrels), np.nan)
    for name in reversed(RATED_SPEEDS):
        turns = np.where(np.isnan(columns.value(name)), turns, columns.value(name))
    diameter = columns.value("screw_diameter")
    output = recovery.output_per_turn(rate, density, turns, diameter)
    unsaid = np.isnan(columns.value("plasticising_speed"))
    least = np.where(unsaid, OUTPUT_LOW_AT_OTHER_SPEED, OUTPUT_LOW)
    possible = (output >= least / SAFE) & (output <= OUTPUT_HIGH * SAFE)
    possible &= (output <= LEAST_IN_LB_H) | ~columns.flag(_is_in_kg_h)
    held = np.where(np.isnan(output), _likely(rate, diameter, turns, density), possible)
    return enough & held & _alike(columns, rate / (turns * diameter**3))


def _is_in_kg_h(barrel: StatedBarrel) -> bool:
    rate = barrel.numbers.get("plasticising_rate")
    return rate is not None and rate.printed.endswith(" kg/h")


def _alike(columns: _Columns, output: Array) -> Flags:
    """Say where the screws of a unit, their rates in one resin, deliver much the same in a turn."""
    resins = [len({_rated(barrel) for barrel in unit.barrels}) for unit in columns.units]
    spread = columns.most(output) / columns.least(output)
    one_resin = np.array(resins)[columns.unit_of] == 1
    held: Flags = np.isnan(spread) | (spread == 1) | (one_resin & (spread <= LIKE_OUTPUT * SAFE))
    return held


def _likely(rate: Array, diameter: Array, turns: Array, density: Array) -> Flags:
    """Say where a rate may be that of some resin and speed, or cannot be told."""
    unsaid = np.isnan(turns)
    fastest = np.where(
        unsaid, geometry.rotational_speed(diameter, np.array(HIGHEST_PERIPHERAL_SPEED)), turns
    )
    light, heavy = (np.where(np.isnan(density), bound, density) for bound in MELT_DENSITIES)
    least, most = (recovery.output_per_turn(rate, d, fastest, diameter) for d in (heavy, light))
    high = np.where(unsaid, USUAL_OUTPUT_HIGH, OUTPUT_HIGH)
    reached = (least <= high * SAFE) & (unsaid | (most >= OUTPUT_LOW_AT_OTHER_SPEED / SAFE))
    likely: Flags = np.isnan(least) | reached
    return likely


def _peripheral(columns: _Columns, limits: Limits) -> Flags:
    printed, diameter = columns.value("peripheral_speed"), columns.value("screw_diameter")
    gaps = [
        np.abs(printed / geometry.peripheral_speed(diameter, columns.value(name)) - 1)
        for name in RATED_SPEEDS
    ]
    nearest = np.fmin.reduce(gaps)
    precise = columns.precision("peripheral_speed") + columns.precision("screw_diameter")
    held: Flags = np.isnan(nearest) | (nearest <= np.fmax(FLOOR, precise) * SAFE)
    return held


def _lengths(columns: _Columns, limits: Limits) -> Flags:
    """One L/D or one length; two screws are not held against each other."""
    ratio = columns.value("length_ratio")
    length = ratio * columns.value("screw_diameter")
    usual = (ratio >= LENGTH_RATIO_LOW) & (ratio <= LENGTH_RATIO_HIGH)
    one_ratio = _near(columns.most(ratio), columns.least(ratio), FLOOR)
    known = columns.count(~np.isnan(ratio))
    all_sized = columns.count(~np.isnan(length)) == known
    one_length = all_sized & _near(columns.most(length), columns.least(length), FLOOR)
    few = known < 3
    held: Flags = np.isnan(ratio) | (usual & (few | one_ratio | one_length))
    return held


Check = Callable[[_Columns, Limits], Flags]
CHECKS: Mapping[str, Check] = {
    "volume_geometry": _volume,
    "rated_mass_basis": _rated_mass,
    "reference_resin": _rated_mass,
    "common_stroke": _strokes,
    "drive_force": _forces,
    "size_number": _forces,
    "injection_speed": _speed,
    "injection_power": _power,
    "pressure_kind": _pressures,
    "plasticising_energy": _plasticising,
    "output_per_turn": _plasticising,
    "peripheral_speed": _peripheral,
    "length_ratio": _lengths,
}
"""For each claim what says of every barrel whether it surely holds; some hold several at once."""
