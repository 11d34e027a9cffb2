"""Whether a corrected number is plausible for a machine: otherwise no slip is suggested."""

from __future__ import annotations

from evenbarrel.appraisal.inputs.implied import melt_pressure
from evenbarrel.appraisal.inputs.plausible import is_plausible_size
from evenbarrel.appraisal.inputs.stated import StatedBarrel, StatedNumber
from evenbarrel.model.datum import data_of
from evenbarrel.model.offers.bid import Barrel

PRESSURE_LOW, PRESSURE_HIGH = 400e5, 4000e5
"""Of the melt [Pa]; common practice, no source."""

WATER = 1000.0
"""[kg/m3]"""


def is_plausible(barrel: StatedBarrel, datum: str) -> bool:
    """Say whether one number of a barrel, already corrected, is plausible beside its others."""
    if datum in ("screw_diameter", "stroke"):
        return is_plausible_size(barrel.value("screw_diameter"), barrel.value("stroke"), None)
    if datum == "swept_volume":
        return is_plausible_size(None, None, barrel.value(datum))
    if datum == "injection_pressure" and barrel.barrel.pressure_kind != "oil":
        pressure = melt_pressure(barrel)
        return pressure is not None and PRESSURE_LOW <= pressure.value <= PRESSURE_HIGH
    return _is_usual(datum, barrel.numbers[datum])


def _is_usual(datum: str, number: StatedNumber) -> bool:
    """Say whether a number lies in its datum's usual range.

    The range is in the datum's first kind: a mass rate is held against that of a volume rate as if
    the melt had the density of water.
    """
    described = data_of(Barrel)[datum]
    by_volume = number.kind == "mass_rate" and described.kinds[0] == "volume_rate"
    return described.is_usual(number.value / WATER if by_volume else number.value)
