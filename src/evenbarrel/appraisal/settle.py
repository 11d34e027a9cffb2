"""A barrel's swept volume: which route gives it, how sure it is, and how else it may be read."""

from __future__ import annotations

from dataclasses import dataclass

from evenbarrel.appraisal.results import Bound, SweptVolume


@dataclass(frozen=True, slots=True)
class Reading:
    """One consistent set of diameter [m], stroke [m] and swept volume [m3] of a barrel."""

    diameter: Bound | None
    stroke: Bound | None
    volume: Bound | None


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
