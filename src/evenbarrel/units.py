"""Kinds of quantity, the units each is printed in, and conversion to SI and back.

The list is closed: a unit text is looked up here and never parsed. Every factor is pint's, made
from `resources/units.txt` by `tests/unit_factors.py` and kept in `resources/unit_factors.json` as
an exact fraction: pint itself takes longer to load than a whole sample takes to be appraised.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from evenbarrel.resources import read_text

if TYPE_CHECKING:
    import numpy as np
    import pint
    from numpy.typing import NDArray

# A float gives a float, an array an array of the same shape.
Amount = TypeVar("Amount", "float", "NDArray[np.float64]")


class UnitError(ValueError):
    """A unit that is not one of its kind, or a kind that does not exist; the text is a sentence."""


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: its unit texts, the metric default first, and its SI unit text.

    `us` is the unit shown where US units are asked for.
    """

    name: str
    units: tuple[str, ...]
    si: str
    us: str


_PRESSURES = ("bar", "MPa", "psi", "kgf/cm2")

# Kinds of one dimension stay apart: melt and oil pressure, temperature and its difference, a volume
# rate and a melt volume flow, forward and peripheral speed of a screw. `tf` is the tonne-force that
# metric sheets print as t, `tonf` the US short ton-force of 2000 lbf; `hp` is mechanical, `PS`
# metric.
KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        kind.name: kind
        for kind in (
            Kind("length", ("mm", "cm", "in"), "m", "in"),
            Kind("volume", ("cm3", "in3", "l", "fl_oz"), "m3", "in3"),
            Kind("mass", ("g", "kg", "oz", "lb"), "kg", "oz"),
            Kind("density", ("g/cm3", "kg/m3", "oz/in3"), "kg/m3", "oz/in3"),
            Kind("melt_pressure", _PRESSURES, "Pa", "psi"),
            Kind("oil_pressure", _PRESSURES, "Pa", "psi"),
            Kind("volume_rate", ("cm3/s", "in3/s", "l/min", "m3/h"), "m3/s", "in3/s"),
            Kind("mass_rate", ("g/s", "kg/h", "lb/h", "oz/s"), "kg/s", "lb/h"),
            Kind("rotational_speed", ("rev/min", "rev/s"), "rev/s", "rev/min"),
            Kind("injection_speed", ("mm/s", "m/s", "in/s", "ft/min"), "m/s", "in/s"),
            Kind("peripheral_speed", ("m/s", "mm/s", "m/min", "in/s", "ft/min"), "m/s", "ft/min"),
            Kind("time", ("s", "min", "h"), "s", "s"),
            Kind("temperature", ("degC", "degF"), "K", "degF"),
            Kind("temperature_difference", ("K", "delta_degF"), "K", "delta_degF"),
            Kind("power", ("kW", "W", "hp", "PS"), "W", "hp"),
            Kind("force", ("kN", "tf", "tonf"), "N", "tonf"),
            Kind("torque", ("Nm", "daNm", "kgf.m", "lbf.ft"), "Nm", "lbf.ft"),
            Kind("share", ("%", "1"), "1", "%"),
            Kind("ratio", ("1",), "1", "1"),
            Kind("melt_mass_flow", ("g/10min",), "kg/s", "g/10min"),
            Kind("melt_volume_flow", ("cm3/10min",), "m3/s", "cm3/10min"),
            Kind("enthalpy", ("kJ/kg",), "J/kg", "kJ/kg"),
            Kind("diffusivity", ("mm2/s",), "m2/s", "mm2/s"),
            Kind("specific_energy", ("kWh/kg",), "J/kg", "kWh/kg"),
        )
    }
)

# The only texts pint is ever given, SI units included.
_EXPRESSIONS: Mapping[str, str] = MappingProxyType(
    {
        "1": "",
        "%": "percent",
        "m": "meter",
        "mm": "millimeter",
        "cm": "centimeter",
        "in": "inch",
        "m3": "meter ** 3",
        "cm3": "centimeter ** 3",
        "in3": "inch ** 3",
        "l": "liter",
        "fl_oz": "fluid_ounce",
        "kg": "kilogram",
        "g": "gram",
        "oz": "ounce",
        "lb": "pound",
        "kg/m3": "kilogram / meter ** 3",
        "g/cm3": "gram / centimeter ** 3",
        "oz/in3": "ounce / inch ** 3",
        "Pa": "pascal",
        "bar": "bar",
        "MPa": "megapascal",
        "psi": "psi",
        "kgf/cm2": "kilogram_force / centimeter ** 2",
        "m3/s": "meter ** 3 / second",
        "cm3/s": "centimeter ** 3 / second",
        "in3/s": "inch ** 3 / second",
        "l/min": "liter / minute",
        "m3/h": "meter ** 3 / hour",
        "kg/s": "kilogram / second",
        "g/s": "gram / second",
        "kg/h": "kilogram / hour",
        "lb/h": "pound / hour",
        "oz/s": "ounce / second",
        "rev/s": "revolution / second",
        "rev/min": "revolution / minute",
        "m/s": "meter / second",
        "mm/s": "millimeter / second",
        "m/min": "meter / minute",
        "in/s": "inch / second",
        "ft/min": "foot / minute",
        "s": "second",
        "min": "minute",
        "h": "hour",
        "K": "kelvin",
        "degC": "degree_Celsius",
        "degF": "degree_Fahrenheit",
        "delta_degF": "delta_degree_Fahrenheit",
        "W": "watt",
        "kW": "kilowatt",
        "hp": "horsepower",
        "PS": "metric_horsepower",
        "N": "newton",
        "kN": "kilonewton",
        "tf": "tonne_force",
        "tonf": "short_ton_force",
        "Nm": "newton * meter",
        "daNm": "decanewton * meter",
        "kgf.m": "kilogram_force * meter",
        "lbf.ft": "pound_force * foot",
        "g/10min": "gram / ten_minutes",
        "cm3/10min": "centimeter ** 3 / ten_minutes",
        "J/kg": "joule / kilogram",
        "kJ/kg": "kilojoule / kilogram",
        "m2/s": "meter ** 2 / second",
        "mm2/s": "millimeter ** 2 / second",
        "kWh/kg": "kilowatt * hour / kilogram",
    }
)


def to_si(value: Amount, unit: str, kind: str) -> Amount:
    """Return `value` [`unit`] in the kind's SI unit.

    `value` is a float or an array of any shape. A share becomes the plain share (20 % is 0.2),
    60 rev/min becomes 1 rev/s, a temperature becomes kelvin. Raises `UnitError`.
    """
    factor, offset = _factor_and_offset(unit, kind)
    return value * factor + offset


def from_si(value: Amount, unit: str, kind: str) -> Amount:
    """Return `value` [the kind's SI unit], a float or an array, in `unit`; raises `UnitError`."""
    factor, offset = _factor_and_offset(unit, kind)
    return (value - offset) / factor


def scale(unit: str, kind: str) -> float:
    """Return the size of one `unit` [the kind's SI unit], without an offset.

    For differences and half-widths: one degF of half-width is 5/9 K. Raises `UnitError`.
    """
    return _factor_and_offset(unit, kind)[0]


def kind_has(kind: str, unit: str) -> bool:
    """Say whether `unit` is one of the kind's units. Raises `UnitError` for an unknown kind."""
    return unit in _kind(kind).units


def metric_unit(kind: str) -> str:
    """Return the unit the kind is shown in under metric units. Raises `UnitError`."""
    return _kind(kind).units[0]


def us_unit(kind: str) -> str:
    """Return the unit the kind is shown in under US units. Raises `UnitError`."""
    return _kind(kind).us


def units_in_words(units: tuple[str, ...]) -> str:
    """Return the unit texts as a person lists them: "mm, cm or in"."""
    *most, last = ("a plain number" if unit == "1" else unit for unit in units)
    return f"{', '.join(most)} or {last}" if most else last


def _kind(name: str) -> Kind:
    if name not in KINDS:
        raise UnitError(f'There is no kind of quantity called "{name}".')
    return KINDS[name]


@cache
def kept_factors() -> Mapping[str, tuple[str, str]]:
    """Return factor and offset of each unit to the SI unit of its kind, as exact fractions."""
    kept = json.loads(read_text("unit_factors.json"))
    return MappingProxyType({unit: (factor, offset) for unit, (factor, offset) in kept.items()})


def factors_by_pint() -> dict[str, tuple[str, str]]:
    """Return what `kept_factors` is to hold: loads pint, which everything else does without."""
    made = {}
    for kind in KINDS.values():
        for unit in kind.units:
            zero, one = (_in_si(Fraction(count), unit, kind.si) for count in (0, 1))
            made[unit] = str(one - zero), str(zero)
    return made


@cache
def _factor_and_offset(unit: str, kind: str) -> tuple[float, float]:
    units = _kind(kind).units
    if unit not in units:
        words = kind.replace("_", " ")
        raise UnitError(f'"{unit}" is not a unit of {words}; it takes {units_in_words(units)}.')
    # Exact until it is rounded to a float, once.
    factor, offset = kept_factors()[unit]
    return float(Fraction(factor)), float(Fraction(offset))


def _in_si(value: Fraction, unit: str, si: str) -> Fraction:
    quantity = _registry().Quantity(value, _EXPRESSIONS[unit])
    return Fraction(quantity.to(_EXPRESSIONS[si]).magnitude)


@cache
def _registry() -> pint.UnitRegistry[Fraction]:
    import pint

    # Fractions keep every factor exact. No cache folder: a damaged cache file would stop every
    # later start.
    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions(read_text("units.txt").splitlines())
    return registry
