"""Printed quantities as SI numbers with their printed precision, and intervals by corners."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from typing import Any

Filed = dict[str, Any]

INCH, POUND, GRAVITY = 0.0254, 0.45359237, 9.80665
FACTORS = {
    **{"1": 1.0, "%": 0.01, "K": 1.0, "delta_degF": 5 / 9},
    **{"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": INCH},
    **{"cm3": 1e-6, "in3": INCH**3, "l": 1e-3, "fl_oz": 231 / 128 * INCH**3},
    **{"g": 1e-3, "kg": 1.0, "oz": POUND / 16, "lb": POUND},
    **{"g/cm3": 1e3, "kg/m3": 1.0, "kJ/kg": 1e3, "mm2/s": 1e-6},
    **{"g/10min": 1e-3 / 600, "cm3/10min": 1e-6 / 600},
    **{"bar": 1e5, "MPa": 1e6, "psi": POUND * GRAVITY / INCH**2, "kgf/cm2": GRAVITY * 1e4},
    **{"cm3/s": 1e-6, "in3/s": INCH**3, "l/min": 1e-3 / 60, "m3/h": 1 / 3600},
    **{"g/s": 1e-3, "kg/h": 1 / 3600, "lb/h": POUND / 3600, "oz/s": POUND / 16},
    **{"rev/min": 1 / 60, "rev/s": 1.0, "m/s": 1.0, "mm/s": 1e-3, "m/min": 1 / 60},
    **{"in/s": INCH, "ft/min": 12 * INCH / 60},
    **{"s": 1.0, "min": 60.0, "h": 3600.0},
    **{"kW": 1e3, "W": 1.0, "hp": 550 * 12 * INCH * POUND * GRAVITY, "PS": 75 * GRAVITY},
    **{"kN": 1e3, "tf": GRAVITY * 1e3, "tonf": 2000 * POUND * GRAVITY},
}
ZEROS = {"degC": (1.0, 273.15), "degF": (5 / 9, 459.67 * 5 / 9)}
MASS_RATES = ("g/s", "kg/h", "lb/h", "oz/s")


def si(quantity: Filed | None) -> float | None:
    """Return a printed quantity in SI, a temperature in kelvin; None if it is not stated."""
    if quantity is None:
        return None
    # `times`: what a slip would make of the number; never in a file.
    unit = quantity["unit"]
    printed = float(quantity["magnitude"]) * float(quantity.get("times", 1.0))
    if unit in ZEROS:
        scale, zero = ZEROS[unit]
        return printed * scale + zero
    return printed * FACTORS[unit]


def half_digit(quantity: Filed) -> float:
    """Half of the last printed digit, in the printed unit."""
    decimals = len(quantity["magnitude"].partition(".")[2])
    return 0.5 * 10.0**-decimals


# "D and s are nominal sizes: at most 0.1 mm (0.005 in) for D, 0.5 mm (0.02 in) for s."
NOMINAL = {
    "screw_diameter": {"mm": 0.1, "cm": 0.01, "in": 0.005},
    "stroke": {"mm": 0.5, "cm": 0.05, "in": 0.02},
}


def precision(quantity: Filed | None, field: str = "") -> float:
    """Return the printed precision as a share of the number; `half_width` stands before it."""
    if quantity is None:
        return 0.0
    if quantity.get("half_width") is not None:
        return float(quantity["half_width"])
    printed = abs(float(quantity["magnitude"]))
    half = half_digit(quantity)
    if field in NOMINAL:
        half = min(half, NOMINAL[field][quantity["unit"]])
    return half / printed if printed else 0.0


@dataclass(frozen=True)
class Span:
    """A nominal value and the bounds it lies between."""

    value: float
    low: float
    high: float

    @staticmethod
    def around(value: float, half: float) -> Span:
        return Span(value, value * (1 - half), value * (1 + half))

    @staticmethod
    def exact(value: float) -> Span:
        return Span(value, value, value)


def corners(formula: Callable[..., float], *inputs: Span) -> Span:
    """Evaluate at the nominal point and at every corner of the box: a bound, no direction declared.

    "Two evaluations (all low, all high) bound the value": true where the formula is monotonic in
    each input, and then the corners contain both.
    """
    nominal = formula(*(each.value for each in inputs))
    found = [formula(*point) for point in product(*((each.low, each.high) for each in inputs))]
    return Span(nominal, min(found), max(found))
