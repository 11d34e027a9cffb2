"""Numbers that follow from a barrel's stated ones and that claims and criteria both need."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.appraisal.results import ResinResult
from evenbarrel.trade.filling import shot_volume
from evenbarrel.trade.geometry import melt_pressure_from_oil


@dataclass(frozen=True, slots=True)
class ImpliedNumber:
    """A value in SI that follows from stated numbers, with their relative precision combined."""

    value: float
    precision: float
    assumed: bool = False


def melt_pressure(barrel: StatedBarrel) -> ImpliedNumber | None:
    """Return the quoted highest pressure as melt pressure [Pa].

    A pressure declared as oil pressure counts through the intensification ratio, or not at all.
    """
    pressure = barrel.numbers.get("injection_pressure")
    if pressure is None:
        return None
    if barrel.barrel.pressure_kind != "oil":
        return ImpliedNumber(pressure.value, pressure.relative())
    ratio = barrel.numbers.get("intensification_ratio")
    if ratio is None:
        return None
    return ImpliedNumber(
        melt_pressure_from_oil(pressure.value, ratio.value), pressure.relative() + ratio.relative()
    )


def missing_melt_pressure(barrel: StatedBarrel) -> tuple[str, ...]:
    """Return the data still needed to know the melt pressure; empty if it is known."""
    if "injection_pressure" not in barrel.numbers:
        return ("injection_pressure",)
    return () if melt_pressure(barrel) is not None else ("intensification_ratio",)


def volume_rate(barrel: StatedBarrel, resins: Mapping[str, ResinResult]) -> ImpliedNumber | None:
    """Return the quoted highest injection rate [m3/s].

    A mass rate is divided by the reference factor, the quoted one or the reference resin's, which
    assumes that the mass rate was meant in that resin.
    """
    rate = barrel.numbers.get("injection_rate")
    if rate is None:
        return None
    if rate.kind == "volume_rate":
        return ImpliedNumber(rate.value, rate.relative())
    factor = reference_factor(barrel, resins)
    if factor is None:
        return None
    precision = rate.relative() + factor.precision
    return ImpliedNumber(shot_volume(rate.value, factor.value), precision, assumed=True)


def missing_volume_rate(barrel: StatedBarrel, resins: Mapping[str, ResinResult]) -> tuple[str, ...]:
    """Return the data still needed to know the rate by volume; empty if it is known."""
    if "injection_rate" not in barrel.numbers:
        return ("injection_rate",)
    return () if volume_rate(barrel, resins) is not None else missing_factor(barrel)


def reference_factor(
    barrel: StatedBarrel, resins: Mapping[str, ResinResult]
) -> ImpliedNumber | None:
    """Return the factor that masses of this barrel are rated with [kg/m3], quoted or its resin's.

    The precision of a resin's factor is its half-width.
    """
    quoted: StatedNumber | None = barrel.numbers.get("reference_factor")
    if quoted is not None:
        return ImpliedNumber(quoted.value, quoted.relative())
    resin = resins.get(barrel.barrel.reference_resin or "")
    if resin is None or resin.factor is None:
        return None
    return ImpliedNumber(resin.factor, resin.half_width)


def missing_factor(barrel: StatedBarrel) -> tuple[str, ...]:
    """Return the datum still needed for a reference factor: the resin, or its output factor."""
    named = barrel.barrel.reference_resin is not None
    return ("output_factors",) if named else ("reference_resin",)
