"""Every reading of every barrel as columns of inputs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from evenbarrel.appraisal.inputs.implied import ImpliedNumber, melt_pressure, volume_rate
from evenbarrel.appraisal.inputs.intervals import (
    READINGS,
    SHOTS,
    Ends,
    Interval,
    along,
    around,
    carried,
    ends_of,
    fields_of,
    intervals_along,
    own_half_width,
    rows_of_fields,
    with_places,
)
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedUnit
from evenbarrel.appraisal.inputs.swept_volume import BarrelVolume
from evenbarrel.appraisal.results import Bound, Reading, ResinResult
from evenbarrel.model.limits import Uncertainty
from evenbarrel.model.offers.bid import Barrel, Zones
from evenbarrel.trade import repeatability, residence
from evenbarrel.trade.geometry import diameter_from_volume, stroke_from_volume
from evenbarrel.trade.wear_corrosion import Attack, proof_of

RATED_SPEEDS = ("plasticising_speed", "screw_speed", "screw_speed_max")
"""Where the speed of the plasticising rate is taken from; all but the first are an assumption."""

RING_BITS: Mapping[str, int] = {"sliding": 1, "ball": 2, "smear_tip": 4, "other": 8}
"""A bit for each kind of ring, so that a resin's unsuited ones are a sum."""


@dataclass(frozen=True, slots=True)
class Row:
    """One reading of one barrel; the first of each barrel gives its nominal values."""

    barrel: int
    stated: StatedBarrel
    unit: StatedUnit
    settled: BarrelVolume
    reading: Reading

    def gives_what(self, other: Row) -> bool:
        """Say whether another reading gives the same: of the same things, read alike."""
        same_barrel = self.stated.barrel is other.stated.barrel
        same_unit = self.unit.unit is other.unit.unit
        return same_barrel and same_unit and self.reading == other.reading

    @property
    def missing(self) -> Mapping[str, tuple[str, ...]]:
        """The data to ask for by input, where they differ from those the criterion names itself."""
        barrel = self.stated.barrel
        by_oil = barrel.pressure_kind == "oil" and barrel.injection_pressure is not None
        missing: dict[str, tuple[str, ...]] = {
            "melt_pressure": ("intensification_ratio" if by_oil else "injection_pressure",)
        }
        if barrel.ring_kind == "smear_tip":
            missing["ring_travel_stated"] = ()
        if self.reading.diameter is None and barrel.melt_inventory is None:
            # With a diameter the inventory is had: nobody need state it.
            missing["melt_inventory"] = ("screw_diameter",)
        return missing


def rows_of(
    barrels: Sequence[tuple[StatedUnit, StatedBarrel, BarrelVolume]],
) -> tuple[Row, ...]:
    """Return a row for the first reading of each barrel, then one for each other reading of any."""
    first, others = [], []
    for index, (unit, stated, settled) in enumerate(barrels):
        of_barrel = (index, stated, unit, settled)
        reading, *more = settled.swept.readings
        first.append(Row(*of_barrel, completed(reading)))
        others += [Row(*of_barrel, other) for other in more]
    return (*first, *others)


def completed(reading: Reading) -> Reading:
    """Return a reading with the diameter or stroke that the other and a quoted volume imply.

    The implied one carries the half-widths of both.
    """
    diameter, stroke, volume = reading.diameter, reading.stroke, reading.volume
    if volume is None or reading.route != "quoted" or (diameter is None) == (stroke is None):
        return reading
    if stroke is None and diameter is not None:
        length = stroke_from_volume(volume.nominal, diameter.nominal)
        return replace(reading, stroke=around(length, _share(volume) + 2 * _share(diameter)))
    if diameter is None and stroke is not None:
        size = diameter_from_volume(volume.nominal, stroke.nominal)
        return replace(reading, diameter=around(size, (_share(volume) + _share(stroke)) / 2))
    return reading


def _share(bound: Bound) -> float:
    """Return the half-width of a bound as a share of its value."""
    return bound.high / bound.nominal - 1.0


def _value(number: ImpliedNumber | None) -> float | None:
    return None if number is None else number.value


def _nominal(bound: Bound | None) -> float | None:
    return None if bound is None else bound.nominal


def inventory_route(barrel: Barrel) -> str:
    """Return which way the melt inventory of a barrel is had: quoted, geometry, diameter_rule."""
    if barrel.melt_inventory is not None:
        return "quoted"
    depths = (barrel.feed_depth, barrel.metering_depth, barrel.length_ratio, barrel.zones)
    return "geometry" if all(part is not None for part in depths) else "diameter_rule"


def _inventory_assumed(barrel: Barrel) -> bool:
    """Say whether the inventory rests on an assumed L/D."""
    return inventory_route(barrel) == "diameter_rule" and barrel.length_ratio is None


def inventory(stated: StatedBarrel, diameter: float | None, route: str) -> float | None:
    """Return the melt held in the screw channel by a route [m3], or None.

    Channels down to the screw's axis and flights as wide as their pitch leave no screw, and so no
    channel: nothing is known then.
    """
    barrel = stated.barrel
    if route == "quoted":
        return stated.value("melt_inventory")
    if diameter is None:
        return None
    ratio = stated.value("length_ratio")
    if route == "diameter_rule":
        return residence.inventory_from_diameter(diameter, ratio or residence.USUAL_LENGTH_RATIO)
    zones, feed, metering = (
        barrel.zones,
        stated.value("feed_depth"),
        stated.value("metering_depth"),
    )
    if not isinstance(zones, Zones) or feed is None or metering is None or ratio is None:
        return None
    pitch = stated.value("pitch") or residence.PITCH_DIAMETERS * diameter
    flight = stated.value("flight_width") or residence.FLIGHT_WIDTH_DIAMETERS * diameter
    if 2.0 * max(feed, metering) >= diameter or flight >= pitch:
        return None
    return residence.screw_inventory(
        diameter,
        ratio * diameter,
        zones.feed,
        zones.compression,
        zones.metering,
        feed,
        metering,
        pitch,
        flight,
        residence.FEED_FILL if barrel.feed_fill is None else barrel.feed_fill,
    )


def _melt_pressures(rows: Sequence[Row]) -> Ends:
    """Return the melt pressures with what they carry, that of an oil pressure's ratio added."""

    def width(barrel: Barrel) -> float | None:
        own = own_half_width(barrel, "injection_pressure")
        ratio = own_half_width(barrel, "intensification_ratio")
        if barrel.pressure_kind != "oil" or ratio is None:
            return own
        return min(1.0, ratio + (own or 0.0))

    pressures = [_value(melt_pressure(row.stated)) for row in rows]
    return carried(pressures, [width(row.stated.barrel) for row in rows])


def _inventory_bound(row: Row, uncertainty: Uncertainty) -> Bound | None:
    route = inventory_route(row.stated.barrel)
    value = inventory(row.stated, _nominal(row.reading.diameter), route)
    if value is None:
        return None
    width = own_half_width(row.stated.barrel, "melt_inventory")
    if width is None:
        width = uncertainty.half_width("melt_inventory", route)
    return around(value, width)


def _ring_bit(barrel: Barrel) -> float | None:
    """Return the bit of a barrel's kind of ring, or None where it is not known."""
    bit = RING_BITS.get(barrel.ring_kind or "")
    return None if bit is None else float(bit)


def _ring_travel(row: Row) -> float | None:
    travel, diameter = row.stated.value("ring_travel"), _nominal(row.reading.diameter)
    if row.stated.barrel.ring_kind == "smear_tip":
        return None
    if travel is not None or diameter is None:
        return travel
    return repeatability.assumed_ring_travel(diameter)


def _ring_travels(rows: Sequence[Row]) -> Ends:
    widths = [own_half_width(row.stated.barrel, "ring_travel") for row in rows]
    return carried([*map(_ring_travel, rows)], widths)


def rated_speed(stated: StatedBarrel) -> float | None:
    """Return the speed at which the plasticising rate holds [rev/s], or None.

    A rate printed beside one speed was hardly measured at another: where nobody says which, it
    is taken to hold at the screw speed, else at the highest one.
    """
    return stated.value(rated_speed_field(stated))


def rated_speed_field(stated: StatedBarrel) -> str:
    """Return the datum that the speed of the plasticising rate is taken from."""
    return next((name for name in RATED_SPEEDS if name in stated.numbers), RATED_SPEEDS[0])


def _injection_rates(rows: Sequence[Row], resins: Mapping[str, ResinResult]) -> Ends:
    rates = [_value(volume_rate(row.stated, resins)) for row in rows]
    return carried(rates, [own_half_width(row.stated.barrel, "injection_rate") for row in rows])


def _rated_speeds(rows: Sequence[Row]) -> Ends:
    speeds = [rated_speed(row.stated) for row in rows]
    widths = [own_half_width(r.stated.barrel, rated_speed_field(r.stated)) for r in rows]
    return carried(speeds, widths)


@dataclass(frozen=True, kw_only=True, eq=False, repr=False)
class BarrelInputs:
    """All that depends on the barrel, each an array of shape (readings, 1)."""

    diameter: Interval
    nominal_diameter: Interval
    stroke: Interval
    swept_volume: Interval
    melt_pressure: Interval
    injection_rate: Interval
    quoted_power: Interval
    position_scatter: Interval
    melt_inventory: Interval
    inventory_assumed: Interval
    ring_travel: Interval
    ring_travel_stated: Interval
    ring_travel_assumed: Interval
    rated_speed: Interval
    rated_speed_assumed: Interval
    screw_speed_max: Interval
    plasticising_rate: Interval
    rated_resin: Interval
    length_ratio: Interval
    compression_ratio: Interval
    ring_kind: Interval
    barrel_wear_proof: Interval
    barrel_corrosion_proof: Interval
    screw_wear_proof: Interval
    screw_corrosion_proof: Interval

    def of_rows(self, rows: slice | NDArray[np.intp]) -> BarrelInputs:
        """Return what these readings give."""
        return BarrelInputs(**rows_of_fields(self, rows))

    def with_readings(self, places: Sequence[int], others: BarrelInputs) -> BarrelInputs:
        """Return the inputs with those of `others` at the places of some readings.

        An input that is the same there stays the very same object.
        """
        mine, new = fields_of(self), fields_of(others)
        return BarrelInputs(**with_places(mine, READINGS, places, new))


@dataclass(frozen=True, slots=True)
class _Given:
    """Turns what each reading gives into numbers over the readings."""

    rows: Sequence[Row]

    def number(self, function: Callable[[Row], float | None]) -> Ends:
        return ([*map(function, self.rows)],)

    def bound(self, function: Callable[[Row], Bound | None]) -> Ends:
        return ends_of(map(function, self.rows))

    def flag(self, function: Callable[[Row], bool]) -> Ends:
        return self.number(lambda row: float(function(row)))

    def stated(self, name: str) -> Ends:
        return self.number(lambda row: row.stated.value(name))

    def of_unit(self, name: str) -> Ends:
        widths = [own_half_width(row.unit.unit, name) for row in self.rows]
        return carried([row.unit.value(name) for row in self.rows], widths)

    def proof(self, part: str, attack: Attack) -> Ends:
        return self.number(lambda row: proof_of(getattr(row.stated.barrel, part), attack))


def barrel_inputs(
    rows: Sequence[Row], resins: Mapping[str, ResinResult], uncertainty: Uncertainty
) -> BarrelInputs:
    """Return what every reading of every barrel gives."""
    given = _Given(rows)
    ends = {
        "diameter": given.bound(lambda row: row.reading.diameter),
        "nominal_diameter": given.number(lambda row: _nominal(row.reading.diameter)),
        "stroke": given.bound(lambda row: row.reading.stroke),
        "swept_volume": given.bound(lambda row: row.reading.volume),
        "melt_pressure": _melt_pressures(rows),
        "injection_rate": _injection_rates(rows, resins),
        "quoted_power": given.of_unit("injection_power"),
        "position_scatter": given.of_unit("position_scatter"),
        "melt_inventory": given.bound(lambda row: _inventory_bound(row, uncertainty)),
        "inventory_assumed": given.flag(lambda row: _inventory_assumed(row.stated.barrel)),
        "ring_travel": _ring_travels(rows),
        "ring_travel_stated": given.stated("ring_travel"),
        "ring_travel_assumed": given.flag(lambda row: "ring_travel" not in row.stated.numbers),
        "rated_speed": _rated_speeds(rows),
        "rated_speed_assumed": given.flag(
            lambda row: "plasticising_speed" not in row.stated.numbers
        ),
        "screw_speed_max": given.stated("screw_speed_max"),
        "plasticising_rate": given.stated("plasticising_rate"),
        "rated_resin": given.number(lambda row: 1.0 if rated_resin(row.stated.barrel) else None),
        "length_ratio": given.stated("length_ratio"),
        "compression_ratio": given.stated("compression_ratio"),
        "ring_kind": given.number(lambda row: _ring_bit(row.stated.barrel)),
        "barrel_wear_proof": given.proof("barrel_package", "wear"),
        "barrel_corrosion_proof": given.proof("barrel_package", "corrosion"),
        "screw_wear_proof": given.proof("screw_package", "wear"),
        "screw_corrosion_proof": given.proof("screw_package", "corrosion"),
    }
    return BarrelInputs(**intervals_along(READINGS, ends))


def rated_resin(barrel: Barrel) -> str | None:
    """Return the resin that the plasticising rate holds in, the reference resin if not said."""
    return barrel.plasticising_resin or barrel.reference_resin


def same_resin_volume(
    rows: Sequence[Row], resin_of_shot: Sequence[str | None], volume: Interval
) -> tuple[np.ndarray, Interval] | None:
    """Return where a shot runs in the very resin its barrel's volume was rated in, and the volume.

    There the half-width of the factor cancels between shot and volume. None where no barrel's
    volume comes from a rated mass alone.
    """
    if all(row.settled.volume_same_resin is None for row in rows):
        return None
    rated = [
        None if r.settled.volume_same_resin is None else r.settled.reference_resin for r in rows
    ]
    place = {name: float(number) for number, name in enumerate(dict.fromkeys(rated)) if name}
    # A resin that nothing is rated in has no number, and nan equals nothing.
    same = along(READINGS, (place.get(name or "") for name in rated)) == along(
        SHOTS, (place.get(name or "") for name in resin_of_shot)
    )
    own = ends_of(row.settled.volume_same_resin for row in rows)
    return same, intervals_along(READINGS, {"own": own})["own"].where(same, volume)
