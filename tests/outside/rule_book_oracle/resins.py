"""What a resin says: densities, output factor, limits and whether a person stands by them."""

from __future__ import annotations

from itertools import pairwise
from math import exp, log
from typing import Any

from .quantities import Filed, Span, precision, si

# "output factor air_shot 1 %, own 3, data_sheet 2 or its digits, melt_density 5, trade_table 4"
FACTOR_HALF_WIDTHS = {
    "air_shot": 0.01,
    "own": 0.03,
    "data_sheet": 0.02,
    "melt_density": 0.05,
    "trade_table": 0.04,
}
LEAK_SHARE, BACK_PRESSURE = 0.05, 10e6


def half_width(evaluation: Filed, quantity: str, route: str, usual: float) -> float:
    """`uncertainty.<quantity>` is a number for all routes or {route: number}."""
    given = (evaluation.get("uncertainty") or {}).get(quantity)
    if isinstance(given, dict):
        given = given.get(route)
    return usual if given is None else float(given)


def own_half_width(datum: Filed | None) -> float | None:
    """A datum may carry `half_width`."""
    return None if datum is None else datum.get("half_width")


def tait_density(tait: Filed, kelvin: float, pressure: float) -> float:
    """V(p,T) = V(0,T){1 - 0.0894 ln[1 + p/B(T)]}, T in Celsius; extrapolated where it must be."""
    celsius, c = kelvin - 273.15, tait["coefficients"]
    if tait["form"] == "polynomial":
        volume = c[0] + c[1] * celsius + c[2] * celsius**2
        bulk = c[3] * exp(-c[4] * celsius)
    elif tait["form"] == "exponential":
        volume = c[0] * exp(c[1] * celsius)
        bulk = c[2] * exp(-c[3] * celsius)
    else:
        raise ValueError(f"the rule book does not say the form {tait['form']}")
    return 1 / float(volume * (1 - 0.0894 * log(1 + pressure / bulk)))


def melt_density(resin: Filed) -> float | None:
    """As entered; else Tait at its melt temperature and back pressure, fillers mixed in."""
    entered = si(resin.get("melt_density"))
    if entered is not None:
        return entered
    kelvin, tait = si(resin.get("melt_temperature")), resin.get("tait")
    if kelvin is None or tait is None:
        return None
    pressure = si(resin.get("back_pressure"))
    matrix = tait_density(tait, kelvin, BACK_PRESSURE if pressure is None else pressure)
    # "Filled: 1/rho = sum(w/rho), matrix at melt density."
    fillers = resin.get("fillers") or []
    filled = sum(filler["mass_share"] for filler in fillers)
    volume: float = (1 - filled) / matrix
    volume += sum(filler["mass_share"] / (si(filler["density"]) or 0) for filler in fillers)
    return 1 / volume


def output_factor(evaluation: Filed, resin: Filed) -> Span | None:
    """The factor of the chosen route, kg delivered per m3 swept, with its route's half-width."""
    route = resin.get("output_factor_route")
    if route is None:
        return None
    leak = resin.get("leak_share")
    kept = 1 - (LEAK_SHARE if leak is None else leak)
    entered = (resin.get("output_factors") or {}).get(route)
    value, digits = si(entered), precision(entered)
    if value is None and route == "melt_density":
        density = melt_density(resin)
        value = None if density is None else density * float(kept)
    if value is None and route == "data_sheet":
        mass, volume = si(resin.get("mfr")), si(resin.get("mvr"))
        if mass is not None and volume is not None:
            value = mass / volume * kept
            digits = precision(resin.get("mfr")) + precision(resin.get("mvr"))
    if value is None:
        return None
    half = own_half_width(entered)
    if half is None:
        half = half_width(evaluation, "output_factor", route, FACTOR_HALF_WIDTHS[route])
        half = max(half, digits) if route == "data_sheet" else half
    return Span.around(value, half)


def same(left: Any, right: Any) -> bool:
    """Whether two filed values say the same, what is null left out."""

    def stated(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: stated(item) for key, item in value.items() if item not in (None, "")}
        return [stated(item) for item in value] if isinstance(value, list) else value

    return bool(stated(left) == stated(right))


def confirmed(evaluation: Filed, resin: str | None, field: str, value: Any) -> bool:
    """A `confirmed_limits` entry "holds only while the limit equals `value`"."""
    return any(
        entry.get("resin") == resin and entry["field"] == field and same(entry["value"], value)
        for entry in evaluation.get("confirmed_limits") or []
    )


def from_memory(resin: Filed, field: str) -> bool:
    return (resin.get("origins") or {}).get(field) == "from_memory"


def unconfirmed(evaluation: Filed, resin: Filed, field: str) -> bool:
    """Whether a resin's limit is from memory and nobody stands by it."""
    return from_memory(resin, field) and not confirmed(
        evaluation, resin["id"], field, resin.get(field)
    )


def residence_limit(resin: Filed, kelvin: float) -> float | None:
    """Log-linear between the points; below the lowest its time; up to 5 K above the highest."""
    points = sorted(
        (si(point["temperature"]) or 0, si(point["time"]) or 0)
        for point in resin.get("residence_limits") or []
    )
    if not points:
        return None
    if kelvin <= points[0][0]:
        return points[0][1]
    for (cold, long), (hot, short) in pairwise(points):
        if kelvin <= hot:
            return float(exp(log(long) + (log(short) - log(long)) * (kelvin - cold) / (hot - cold)))
    return points[-1][1] if kelvin <= points[-1][0] + 5 + 1e-9 else None


# "a number (read as own) or {value origin note}"; the defaults are common practice.
LIMITS = {
    "general_low": 0.20,
    "general_high": 0.80,
    "engineering_low": 0.30,
    "engineering_high": 0.50,
    "stroke_low": 0.5,
    "stroke_comfort_low": 1.0,
    "stroke_comfort_high": 3.0,
    "stroke_high": 4.0,
    "ring_share": 0.10,
    "recovery_share": 0.80,
    "pressure_share": 0.85,
    "rate_share": 0.90,
    "rated_basis": 0.02,
    "force_agreement": 0.02,
}


def limit(evaluation: Filed, name: str) -> tuple[float, bool]:
    """Return a limit of the evaluation and whether it is from memory and nobody confirmed it."""
    entry = (evaluation.get("limits") or {}).get(name)
    if entry is None:
        return LIMITS[name], False
    if not isinstance(entry, dict):
        return float(entry), False
    memory = entry.get("origin") == "from_memory"
    value = float(entry["value"])
    return value, memory and not confirmed(evaluation, None, name, entry["value"])
