"""A barrel's swept volume: which route gives it, how sure it is, and how else it may be read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.appraisal.results import Bound, Claim, ResinResult, SweptVolume, VolumeRoute
from evenbarrel.trade.filling import shot_volume
from evenbarrel.trade.geometry import diameter_from_volume, stroke_from_volume, swept_volume

ROUTES: tuple[VolumeRoute, ...] = ("geometry", "quoted", "rated_mass")
"""In the order in which they give the nominal volume."""

BASIS_LOW, BASIS_HIGH = 0.86, 1.02
"""Swept volume as a share of rated mass / output factor where nobody says what a mass was rated
on: from solid density to a little below the output factor; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One consistent set of diameter [m], stroke [m] and swept volume [m3] of a barrel.

    `melt_pressure` [Pa] is set where the printed injection pressure is read otherwise.
    """

    diameter: Bound | None
    stroke: Bound | None
    volume: Bound | None
    melt_pressure: float | None = None


@dataclass(frozen=True, slots=True)
class SettledBarrel:
    """A barrel's volume and its readings.

    `readings[0]` is as printed. In an unsettled barrel the intervals of all readings are spanned;
    with `instead` set, its interval counts instead of the printed one (one slip explains the
    gap). Where the volume comes from a rated mass without a quoted factor, `reference_resin` is
    the resin it was rated in and `volume_same_resin` the volume for jobs in that very resin, in
    which the factor's own half-width cancels.
    """

    swept: SweptVolume
    readings: tuple[Reading, ...]
    instead: Reading | None = None
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


def with_other_pressure(settled: SettledBarrel, pressure_claim: Claim) -> SettledBarrel:
    """Return the barrel with one more reading where one slip explains its `pressure_kind`.

    As with a volume that two routes contradict, what depends on the choice then shows near the
    edge until a person decides; the printed pressure stays the nominal one.
    """
    claim = pressure_claim
    if claim.cause is None or claim.cause_datum != "injection_pressure":
        return settled
    base = settled.instead or settled.readings[0]
    other = replace(base, melt_pressure=claim.cause_value)
    return replace(settled, readings=(*settled.readings, other))


def settle(
    barrel: StatedBarrel, volume_claim: Claim, resins: Mapping[str, ResinResult]
) -> SettledBarrel:
    """Settle a barrel's swept volume; `volume_claim` is its volume_geometry with its cause.

    While geometry and quoted volume contradict and nobody decided, the nominal volume stays and
    its interval spans both routes, or is the agreeing route's where one slip explains the gap.
    """
    chosen = nominal_volume(barrel, resins)
    if chosen is None:
        return SettledBarrel(SweptVolume(None, None), (_as_printed(barrel, None),))
    printed = _as_printed(barrel, chosen.bound)
    if volume_claim.state == "contradicts" and _decided(barrel, resins) is None:
        return _unsettled(barrel, volume_claim, chosen, printed)
    swept = SweptVolume(chosen.route, chosen.bound, chosen.precision)
    return SettledBarrel(
        swept,
        (printed,),
        reference_resin=chosen.reference_resin,
        volume_same_resin=chosen.same_resin,
    )


def nominal_volume(barrel: StatedBarrel, resins: Mapping[str, ResinResult]) -> RoutedVolume | None:
    """Return the volume by the decided route, else by the first route that has its data."""
    decided = _decided(barrel, resins)
    if decided is not None:
        return decided
    routed = (volume_by(route, barrel, resins) for route in ROUTES)
    return next((volume for volume in routed if volume is not None), None)


def volume_by(
    route: VolumeRoute, barrel: StatedBarrel, resins: Mapping[str, ResinResult]
) -> RoutedVolume | None:
    """Return the swept volume by one route, or None where its data are not stated."""
    if route == "geometry":
        return _by_geometry(barrel.numbers.get("screw_diameter"), barrel.numbers.get("stroke"))
    if route == "quoted":
        volume = barrel.numbers.get("swept_volume")
        return None if volume is None else _routed("quoted", volume.value, volume.relative())
    return _by_rated_mass(barrel, resins)


def _decided(barrel: StatedBarrel, resins: Mapping[str, ResinResult]) -> RoutedVolume | None:
    settled = barrel.barrel.settled
    return None if settled is None else volume_by(settled.route, barrel, resins)


def _by_geometry(diameter: StatedNumber | None, stroke: StatedNumber | None) -> RoutedVolume | None:
    if diameter is None or stroke is None:
        return None
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
    return RoutedVolume(route, _bound(value, precision), precision)


def _bound(value: float, relative: float) -> Bound:
    # Half-widths that add up to more than the value leave nothing below it, never less.
    return Bound(value, value * max(0.0, 1 - relative), value * (1 + relative))


def _size(number: StatedNumber | None) -> Bound | None:
    return None if number is None else _bound(number.value, number.relative())


def _as_printed(barrel: StatedBarrel, volume: Bound | None) -> Reading:
    given = barrel.numbers
    return Reading(_size(given.get("screw_diameter")), _size(given.get("stroke")), volume)


def _unsettled(
    barrel: StatedBarrel, claim: Claim, chosen: RoutedVolume, printed: Reading
) -> SettledBarrel:
    given = barrel.numbers
    diameter, stroke, volume = given["screw_diameter"], given["stroke"], given["swept_volume"]
    implied = _implied_readings(diameter, stroke, volume)
    instead = _instead(barrel, claim, printed)
    readings = (printed, *implied) if instead is None else (printed,)
    volumes = [printed.volume, implied[0].volume] if instead is None else [instead.volume]
    bounds = [bound for bound in volumes if bound is not None]
    bound = Bound(
        chosen.bound.nominal,
        min(bound.low for bound in bounds),
        max(bound.high for bound in bounds),
    )
    read_as = None if instead is None else claim.cause
    swept = SweptVolume(chosen.route, bound, chosen.precision, unsettled=True, read_as=read_as)
    return SettledBarrel(swept, readings, instead)


def _implied_readings(
    diameter: StatedNumber, stroke: StatedNumber, volume: StatedNumber
) -> tuple[Reading, Reading]:
    """Return what the quoted volume makes of the diameter, stroke kept, and of the stroke."""
    quoted = _size(volume)
    other_diameter = _bound(
        diameter_from_volume(volume.value, stroke.value),
        (volume.relative() + stroke.relative()) / 2,
    )
    other_stroke = _bound(
        stroke_from_volume(volume.value, diameter.value),
        volume.relative() + 2 * diameter.relative(),
    )
    return (
        Reading(other_diameter, _size(stroke), quoted),
        Reading(_size(diameter), other_stroke, quoted),
    )


def _instead(barrel: StatedBarrel, claim: Claim, printed: Reading) -> Reading | None:
    """Return the reading that the one slip which explains the gap leads to."""
    datum, value = claim.cause_datum, claim.cause_value
    if claim.cause is None or datum is None:
        return None
    if datum == "swept_volume":
        return printed
    if value is None:
        return None
    number = barrel.numbers[datum]
    corrected = barrel.with_number(datum, number.times(value / number.value))
    diameter, stroke = corrected.numbers["screw_diameter"], corrected.numbers["stroke"]
    volume = _by_geometry(diameter, stroke)
    return Reading(_size(diameter), _size(stroke), None if volume is None else volume.bound)
