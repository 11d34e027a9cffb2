"""Every factor against pint's own full registry; kinds kept apart; round trips."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.units import (
    KINDS,
    UnitError,
    factors_by_pint,
    from_si,
    kept_factors,
    kind_has,
    metric_unit,
    scale,
    to_si,
    units_in_words,
    us_unit,
)

UNITS_OF_KINDS = [(unit, kind.name) for kind in KINDS.values() for unit in kind.units]

# The kinds and units of the contract, written out again: a unit lost or added must be meant.
CONTRACT = {
    "length": "mm cm in",
    "volume": "cm3 in3 l fl_oz",
    "mass": "g kg oz lb",
    "density": "g/cm3 kg/m3 oz/in3",
    "melt_pressure": "bar MPa psi kgf/cm2",
    "oil_pressure": "bar MPa psi kgf/cm2",
    "volume_rate": "cm3/s in3/s l/min m3/h",
    "mass_rate": "g/s kg/h lb/h oz/s",
    "rotational_speed": "rev/min rev/s",
    "injection_speed": "mm/s m/s in/s ft/min",
    "peripheral_speed": "m/s mm/s m/min in/s ft/min",
    "time": "s min h",
    "temperature": "degC degF",
    "temperature_difference": "K delta_degF",
    "power": "kW W hp PS",
    "force": "kN tf tonf",
    "torque": "Nm daNm kgf.m lbf.ft",
    "share": "% 1",
    "ratio": "1",
    "melt_mass_flow": "g/10min",
    "melt_volume_flow": "cm3/10min",
    "enthalpy": "kJ/kg",
    "diffusivity": "mm2/s",
    "specific_energy": "kWh/kg",
}

# Our text in the words of pint's full registry, where they differ from it.
IN_PINT = {
    "1": "dimensionless",
    "%": "percent",
    "cm3": "cm**3",
    "in3": "inch**3",
    "in": "inch",
    "fl_oz": "US_fluid_ounce",
    "oz": "ounce",
    "g/cm3": "g/cm**3",
    "oz/in3": "ounce/inch**3",
    "kg/m3": "kg/m**3",
    "kgf/cm2": "kilogram_force/cm**2",
    "cm3/s": "cm**3/s",
    "in3/s": "inch**3/s",
    "oz/s": "ounce/s",
    "in/s": "inch/s",
    "ft/min": "foot/minute",
    "kg/h": "kg/hour",
    "lb/h": "pound/hour",
    "min": "minute",
    "h": "hour",
    "degC": "degree_Celsius",
    "degF": "degree_Fahrenheit",
    "delta_degF": "delta_degree_Fahrenheit",
    "K": "kelvin",
    "kW": "kilowatt",
    "hp": "horsepower",
    "PS": "metric_horsepower",
    "tf": "metric_ton * standard_gravity",
    "tonf": "short_ton * standard_gravity",
    "daNm": "decanewton*meter",
    "kgf.m": "kilogram_force*meter",
    "lbf.ft": "pound_force*foot",
    "l/min": "liter/minute",
    "m3/h": "m**3/hour",
    "m/min": "m/minute",
    "Nm": "newton*meter",
    "mm2/s": "mm**2/s",
    "kWh/kg": "kilowatt*hour/kg",
    "m3": "m**3",
    "m3/s": "m**3/s",
    "m2/s": "m**2/s",
}


@cache
def full_registry() -> pint.UnitRegistry:
    return pint.UnitRegistry()


def in_si_by_pint(value: float, unit: str, si: str) -> float:
    registry = full_registry()
    if unit.endswith("/10min"):
        # pint takes no number inside a unit.
        value, unit = value / 10, unit.replace("/10min", "/minute").replace("cm3", "cm**3")
    return registry.Quantity(value, IN_PINT.get(unit, unit)).to(IN_PINT.get(si, si)).magnitude


def test_kinds_and_units_are_those_of_the_contract() -> None:
    assert {name: " ".join(kind.units) for name, kind in KINDS.items()} == CONTRACT


def test_factor_is_that_of_the_full_registry(for_each: Any) -> None:
    @for_each(pair for pair in UNITS_OF_KINDS if not pair[0].startswith("rev/"))
    def _(unit: str, kind: str) -> None:
        for value in (0.0, 1.0, 200.0):
            expected = in_si_by_pint(value, unit, KINDS[kind].si)
            assert to_si(value, unit, kind) == pytest.approx(expected, rel=1e-12, abs=1e-15)


def test_sixty_revolutions_a_minute_are_one_a_second() -> None:
    # The full registry makes 60 rpm 6.283 rad/s; here a revolution is counted.
    assert to_si(60.0, "rev/min", "rotational_speed") == 1.0
    angular = full_registry().Quantity(60.0, "rpm").to("radian/second").magnitude
    assert angular == pytest.approx(2 * np.pi)


# Exact by definition: inch, pound (1959), standard gravity (CGPM 1901), US gallon of 231 in3;
# psi and mechanical horsepower follow from them (NIST SP 811, 2008, appendix B.8).
def test_worked_conversions(for_each: Any) -> None:
    @for_each(
        [
            (2.0, "in", "length", 0.0508),
            (1.0, "in3", "volume", 16.387064e-6),
            (128.0, "fl_oz", "volume", 231 * 16.387064e-6),
            (16.0, "oz", "mass", 0.45359237),
            (1.05, "g/cm3", "density", 1050.0),
            (20_000.0, "psi", "melt_pressure", 137.895_145_863_367_24e6),
            (1.0, "kgf/cm2", "oil_pressure", 98_066.5),
            (36.0, "kg/h", "mass_rate", 0.01),
            (150.0, "ft/min", "peripheral_speed", 0.762),
            (392.0, "degF", "temperature", 473.15),
            (-40.0, "degC", "temperature", 233.15),
            (9.0, "delta_degF", "temperature_difference", 5.0),
            (1.0, "hp", "power", 745.699_871_582_270_22),
            (1.0, "PS", "power", 735.49875),
            (180.0, "tf", "force", 1.765197e6),
            (180.0, "tonf", "force", 1.601_359_781_493_78e6),
            (10.0, "lbf.ft", "torque", 13.558_179_483_314_004),
            (20.0, "%", "share", 0.2),
            (0.2, "1", "share", 0.2),
            (6.0, "g/10min", "melt_mass_flow", 1e-5),
            (6.0, "cm3/10min", "melt_volume_flow", 1e-8),
            (1.0, "kWh/kg", "specific_energy", 3.6e6),
            (0.1, "mm2/s", "diffusivity", 1e-7),
        ]
    )
    def _(value: float, unit: str, kind: str, expected: float) -> None:
        assert to_si(value, unit, kind) == pytest.approx(expected, rel=1e-14)
        assert from_si(expected, unit, kind) == pytest.approx(value, rel=1e-14)


def test_every_factor_is_the_float_nearest_to_the_exact_one() -> None:
    inch, pound, gravity = Fraction("0.0254"), Fraction("0.45359237"), Fraction("9.80665")
    assert scale("psi", "melt_pressure") == float(pound * gravity / inch**2)
    assert scale("hp", "power") == float(550 * 12 * inch * pound * gravity)
    assert scale("lb/h", "mass_rate") == float(pound / 3600)


@given(
    pair=st.sampled_from(UNITS_OF_KINDS),
    value=st.floats(1e-6, 1e9) | st.floats(-1e9, -1e-6) | st.just(0.0),
)
def test_round_trip(pair: tuple[str, str], value: float) -> None:
    back = from_si(to_si(value, *pair), *pair)
    # The offset of a temperature costs digits of a value near zero, hence the absolute 1e-12.
    assert back == pytest.approx(value, rel=1e-12, abs=1e-12)


def test_arrays_convert_as_floats_do(for_each: Any) -> None:
    @for_each(UNITS_OF_KINDS)
    def _(unit: str, kind: str) -> None:
        values = np.array([[0.0, 1.5], [20.0, 300.0]])
        converted = to_si(values, unit, kind)
        assert converted.shape == values.shape
        one_by_one = [[to_si(v, unit, kind) for v in row] for row in values.tolist()]
        assert converted.tolist() == one_by_one
        assert from_si(converted, unit, kind) == pytest.approx(values, rel=1e-12, abs=1e-10)
        assert values.tolist() == [[0.0, 1.5], [20.0, 300.0]]


def test_a_temperature_is_not_a_temperature_difference() -> None:
    assert to_si(5.0, "degC", "temperature") == 278.15
    assert to_si(5.0, "K", "temperature_difference") == 5.0
    assert scale("degF", "temperature") == pytest.approx(5 / 9)
    for unit, kind in (("degC", "temperature_difference"), ("K", "temperature")):
        with pytest.raises(UnitError):
            to_si(5.0, unit, kind)


@pytest.mark.parametrize(
    ("unit", "kind", "sentence"),
    [
        ("oz", "volume", '"oz" is not a unit of volume; it takes cm3, in3, l or fl_oz.'),
        ("fl_oz", "mass", '"fl_oz" is not a unit of mass; it takes g, kg, oz or lb.'),
        (
            "cm3/s",
            "mass_rate",
            '"cm3/s" is not a unit of mass rate; it takes g/s, kg/h, lb/h or oz/s.',
        ),
        ("%", "ratio", '"%" is not a unit of ratio; it takes a plain number.'),
        (
            "rad/s",
            "rotational_speed",
            '"rad/s" is not a unit of rotational speed; it takes rev/min or rev/s.',
        ),
        ("9**9**9 mm", "length", '"9**9**9 mm" is not a unit of length; it takes mm, cm or in.'),
        ("m", "length", '"m" is not a unit of length; it takes mm, cm or in.'),
        ("bar", "pressure", 'There is no kind of quantity called "pressure".'),
    ],
)
def test_refused_in_words(unit: str, kind: str, sentence: str) -> None:
    for refuse in (
        lambda: to_si(1.0, unit, kind),
        lambda: from_si(1.0, unit, kind),
        lambda: scale(unit, kind),
    ):
        with pytest.raises(UnitError) as caught:
            refuse()
        assert str(caught.value) == sentence


def test_kind_has_only_its_own_units() -> None:
    for name, kind in KINDS.items():
        every = {unit for other in KINDS.values() for unit in other.units}
        assert {unit for unit in every if kind_has(name, unit)} == set(kind.units)
    with pytest.raises(UnitError):
        kind_has("pressure", "bar")


def test_display_units() -> None:
    assert all(kind_has(name, us_unit(name)) for name in KINDS)
    assert [metric_unit(name) for name in ("length", "mass", "injection_speed", "power")] == [
        "mm",
        "g",
        "mm/s",
        "kW",
    ]
    assert metric_unit("peripheral_speed") == "m/s"
    assert {name: us_unit(name) for name in KINDS if us_unit(name) != metric_unit(name)} == {
        "length": "in",
        "volume": "in3",
        "mass": "oz",
        "density": "oz/in3",
        "melt_pressure": "psi",
        "oil_pressure": "psi",
        "volume_rate": "in3/s",
        "mass_rate": "lb/h",
        "injection_speed": "in/s",
        "peripheral_speed": "ft/min",
        "temperature": "degF",
        "temperature_difference": "delta_degF",
        "power": "hp",
        "force": "tonf",
        "torque": "lbf.ft",
    }
    for ask in (metric_unit, us_unit):
        with pytest.raises(UnitError):
            ask("pressure")


def test_units_in_words() -> None:
    assert units_in_words(("Nm",)) == "Nm"
    assert units_in_words(("kW", "hp")) == "kW or hp"
    assert units_in_words(("%", "1")) == "% or a plain number"


def test_every_kept_factor_is_pints() -> None:
    # As exact fractions: `tests/unit_factors.py` writes them anew.
    assert kept_factors() == factors_by_pint()


def test_a_unit_of_two_kinds_has_one_si_unit() -> None:
    every = {unit: kind.si for kind in KINDS.values() for unit in kind.units}
    assert [kind for kind in KINDS.values() for unit in kind.units if every[unit] != kind.si] == []


def test_no_conversion_loads_pint() -> None:
    program = (
        "import sys; sys.path[:0] = sys.argv[1:]\n"
        "from evenbarrel.units import KINDS, to_si\n"
        "for kind in KINDS.values():\n"
        "    for unit in kind.units:\n"
        "        to_si(1.0, unit, kind.name)\n"
        "assert 'pint' not in sys.modules\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *sys.path], capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
