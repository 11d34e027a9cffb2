"""A barrel's swept volume: which route gives it, how sure it is, and how else it may be read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import log

import numpy as np

from evenbarrel.appraisal.inputs.intervals import around
from evenbarrel.appraisal.inputs.plausible import is_plausible_size
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.appraisal.results import (
    Bound,
    Claim,
    Reading,
    ResinResult,
    SweptVolume,
    VolumeRoute,
)
from evenbarrel.trade.filling import shot_mass, shot_volume
from evenbarrel.trade.geometry import diameter_from_volume, stroke_from_volume, swept_volume

ROUTES: tuple[VolumeRoute, ...] = ("geometry", "quoted", "rated_mass")
"""In the order in which they give the nominal volume."""

BASIS_LOW, BASIS_HIGH = 0.86, 1.02
"""Swept volume as a share of rated mass / output factor where nobody says what a mass was rated
on: from solid density to a little below the output factor; common practice, no source."""

LENGTH_SLIPS: Mapping[str, tuple[tuple[str, float], ...]] = {
    "radius_as_diameter": (("screw_diameter", 2.0),),
    "diameter_as_radius": (("screw_diameter", 0.5),),
    "in_as_mm": (("screw_diameter", 25.4), ("stroke", 25.4)),
    "mm_as_in": (("screw_diameter", 1 / 25.4), ("stroke", 1 / 25.4)),
    "decimal_shift": (
        ("screw_diameter", 10.0),
        ("screw_diameter", 0.1),
        ("stroke", 10.0),
        ("stroke", 0.1),
    ),
}
"""What a slip of a length may have changed, each with the factor that mends it."""


@dataclass(frozen=True, slots=True)
class BarrelVolume:
    """A barrel's volume with its readings.

    Where the volume comes from a rated mass without a quoted factor, `reference_resin` is the
    resin it was rated in and `volume_same_resin` the volume for jobs in that very resin, in which
    the factor's own half-width cancels.
    """

    swept: SweptVolume
    reference_resin: str | None = None
    volume_same_resin: Bound | None = None


@dataclass(frozen=True, slots=True)
class RoutedVolume:
    """A swept volume [m3] by one route; `precision` is the printed one, a share, without floor."""

    route: VolumeRoute
    bound: Bound
    precision: float
    reference_resin: str | None = None
    same_resin: Bound | None = None


@dataclass(frozen=True, slots=True)
class Sizes:
    """The three stated numbers of a barrel's size, any two of which give the third."""

    diameter: StatedNumber
    stroke: StatedNumber
    volume: StatedNumber

    def as_printed(self, key: str = "as_printed") -> Reading:
        """Return diameter and stroke as printed, and the volume from them."""
        geometry = _by_geometry(self.diameter, self.stroke)
        return _reading(key, "geometry", _size(self.diameter), _size(self.stroke), geometry.bound)

    def implied_diameter(self) -> Reading:
        """Return the diameter that the quoted volume implies, the stroke kept."""
        value = diameter_from_volume(self.volume.value, self.stroke.value)
        width = (self.volume.relative() + self.stroke.relative()) / 2
        return self._quoted("diameter", around(value, width), _size(self.stroke))

    def implied_stroke(self) -> Reading:
        """Return the stroke that the quoted volume implies, the diameter kept."""
        value = stroke_from_volume(self.volume.value, self.diameter.value)
        width = self.volume.relative() + 2 * self.diameter.relative()
        return self._quoted("stroke", _size(self.diameter), around(value, width))

    def mended(self, slip: str) -> Reading:
        """Return the sizes with one length corrected; of several, the one with the least gap."""
        tried = (self._with(name, factor) for name, factor in LENGTH_SLIPS[slip])
        best = min(tried, key=Sizes._gap)
        return self._quoted(slip, _size(best.diameter), _size(best.stroke))

    def _with(self, name: str, factor: float) -> Sizes:
        if name == "stroke":
            return replace(self, stroke=self.stroke.times(factor))
        return replace(self, diameter=self.diameter.times(factor))

    def _gap(self) -> float:
        derived = swept_volume(self.diameter.value, self.stroke.value)
        return abs(log(self.volume.value / derived))

    def _quoted(self, key: str, diameter: Bound, stroke: Bound) -> Reading:
        return _reading(key, "quoted", diameter, stroke, _size(self.volume))


def barrel_volume(
    barrel: StatedBarrel, volume_claim: Claim, resins: Mapping[str, ResinResult]
) -> BarrelVolume:
    """Return a barrel's swept volume; `volume_claim` is its volume_geometry with its cause.

    While geometry and quoted volume contradict and nobody decided, the printed geometry stays the
    nominal size and every plausible reading is spanned.
    """
    chosen, sizes = nominal_volume(barrel, resins), _sizes(barrel)
    if chosen is None:
        return BarrelVolume(SweptVolume(None, None, (_as_stated(barrel, None),)))
    decided = decided_route(barrel)
    if sizes is not None and decided == "quoted":
        return BarrelVolume(_by_decision(sizes, barrel, chosen))
    if sizes is not None and decided is None and volume_claim.state == "contradicts":
        return BarrelVolume(_unsettled(sizes, volume_claim, chosen))
    swept = SweptVolume(chosen.route, chosen.bound, (_as_stated(barrel, chosen),), chosen.precision)
    return BarrelVolume(swept, chosen.reference_resin, chosen.same_resin)


def nominal_volume(barrel: StatedBarrel, resins: Mapping[str, ResinResult]) -> RoutedVolume | None:
    """Return the volume by the decided route, else by the first route that has its data."""
    decided = decided_route(barrel)
    routes = ROUTES if decided is None else (decided,)
    routed = (volume_by(route, barrel, resins) for route in routes)
    return next((volume for volume in routed if volume is not None), None)


def decided_route(barrel: StatedBarrel) -> VolumeRoute | None:
    """Return the route that a person decided for, None where nobody did or its data are gone."""
    settled = barrel.barrel.settled
    if settled is None or volume_by(settled.route, barrel, {}) is None:
        return None
    return settled.route


def volume_by(
    route: VolumeRoute, barrel: StatedBarrel, resins: Mapping[str, ResinResult]
) -> RoutedVolume | None:
    """Return the swept volume by one route, or None where its data are not stated."""
    numbers = barrel.numbers
    if route == "geometry":
        diameter, stroke = numbers.get("screw_diameter"), numbers.get("stroke")
        return None if diameter is None or stroke is None else _by_geometry(diameter, stroke)
    if route == "quoted":
        volume = numbers.get("swept_volume")
        return None if volume is None else _routed("quoted", volume.value, volume.relative())
    return _by_rated_mass(barrel, resins)


def _by_geometry(diameter: StatedNumber, stroke: StatedNumber) -> RoutedVolume:
    precision = 2 * diameter.relative() + stroke.relative()
    return _routed("geometry", swept_volume(diameter.value, stroke.value), precision)


def _by_rated_mass(barrel: StatedBarrel, resins: Mapping[str, ResinResult]) -> RoutedVolume | None:
    mass, factor = barrel.numbers.get("rated_shot_mass"), barrel.numbers.get("reference_factor")
    if mass is None:
        return None
    if factor is not None:
        precision = mass.relative() + factor.relative()
        return _routed("rated_mass", shot_volume(mass.value, factor.value), precision)
    name = barrel.barrel.reference_resin
    resin = resins.get(name) if name is not None else None
    if resin is None or resin.factor is None:
        return None
    nominal, half_width = shot_volume(mass.value, resin.factor), resin.half_width
    same = Bound(nominal, BASIS_LOW * nominal, BASIS_HIGH * nominal)
    # A half-width of the whole value leaves no upper bound.
    high = same.high / (1 - half_width) if half_width < 1 else float("inf")
    other = Bound(nominal, same.low / (1 + half_width), high)
    return RoutedVolume("rated_mass", other, mass.relative(), resin.id, same)


def _routed(route: VolumeRoute, value: float, precision: float) -> RoutedVolume:
    return RoutedVolume(route, around(value, precision), precision)


def _size(number: StatedNumber) -> Bound:
    return around(number.value, number.relative())


def _sizes(barrel: StatedBarrel) -> Sizes | None:
    """Return the three numbers of a barrel's size, None unless all are stated."""
    diameter, stroke, volume = (
        barrel.numbers.get(name) for name in ("screw_diameter", "stroke", "swept_volume")
    )
    if diameter is None or stroke is None or volume is None:
        return None
    return Sizes(diameter, stroke, volume)


def _reading(
    key: str, route: VolumeRoute, diameter: Bound, stroke: Bound, volume: Bound
) -> Reading:
    plausible = is_plausible_size(diameter.nominal, stroke.nominal, volume.nominal)
    return Reading(key, route, diameter, stroke, volume, plausible)


def _as_stated(barrel: StatedBarrel, chosen: RoutedVolume | None) -> Reading:
    """Return what is stated of a barrel's size, with the volume by the route that gives it."""
    diameter, stroke = barrel.numbers.get("screw_diameter"), barrel.numbers.get("stroke")
    return Reading(
        "as_printed",
        None if chosen is None else chosen.route,
        None if diameter is None else _size(diameter),
        None if stroke is None else _size(stroke),
        None if chosen is None else chosen.bound,
    )


def _by_decision(sizes: Sizes, barrel: StatedBarrel, chosen: RoutedVolume) -> SweptVolume:
    """Return the quoted volume with the size a person decided for, both where nobody knows."""
    settled = barrel.barrel.settled
    key = None if settled is None else settled.reading
    if key is None or key == "unknown":
        both = (sizes.implied_diameter(), sizes.implied_stroke())
        return SweptVolume("quoted", chosen.bound, both, chosen.precision, "readings")
    implied = {"diameter": sizes.implied_diameter, "stroke": sizes.implied_stroke}
    reading = implied[key]() if key in implied else sizes.mended(key)
    return SweptVolume("quoted", chosen.bound, (reading,), chosen.precision)


def _unsettled(sizes: Sizes, claim: Claim, chosen: RoutedVolume) -> SweptVolume:
    slip: tuple[Reading, ...] = ()
    if claim.cause is not None:
        of_volume = claim.cause_datum == "swept_volume"
        mended = sizes.as_printed if of_volume else sizes.mended
        slip = (mended(claim.cause),)
    readings = (sizes.as_printed(), *slip, sizes.implied_diameter(), sizes.implied_stroke())
    volumes = [r.volume for r in spanned(readings) if r.volume is not None]
    bound = Bound(
        chosen.bound.nominal,
        min(volume.low for volume in volumes),
        max(volume.high for volume in volumes),
    )
    return SweptVolume(chosen.route, bound, readings, chosen.precision, "unsettled")


def spanned(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Return the readings that count: the first, which gives the nominal, and the plausible."""
    return (readings[0], *(reading for reading in readings[1:] if reading.plausible))


def shot_masses(
    swept: SweptVolume, resins: Mapping[str, ResinResult]
) -> tuple[tuple[str, float | None], ...]:
    """Return the mass of one full swept volume in each resin [kg]."""
    factors = {name: resin.factor for name, resin in resins.items() if resin.factor is not None}
    if swept.bound is None or not factors:
        return tuple((name, None) for name in resins)
    masses = shot_mass(np.array(swept.bound.nominal), np.array(list(factors.values()))).tolist()
    known = dict(zip(factors, masses, strict=True))
    return tuple((name, known.get(name)) for name in resins)
