"""The criteria of filling and of the screw as built: pressure, rate, power, wear, geometry."""

from __future__ import annotations

from math import exp

from .criteria import Pair, missing_of_volume, quoted_rate
from .quantities import Span, corners, si
from .resins import half_width, own_half_width, unconfirmed
from .states import Measured


def estimated_pressure(pair: Pair) -> float | None:
    """Power-law flow through a slit, K shifted by temperature, plus 0.35 for nozzle and runner."""
    law = (pair.resin or {}).get("power_law")
    wall, length, width = (
        si(pair.job.get(key)) for key in ("flow_wall", "flow_length", "flow_width")
    )
    (required, _), cavities = required_rate(pair), pair.job.get("cavities")
    melt = si(pair.job.get("melt_temperature") or (pair.resin or {}).get("melt_temperature"))
    if not (law and wall and length and width and required and cavities and melt):
        return None
    above = melt - (si(law["temperature"]) or 0.0)
    # "without a coefficient or > 15 K away: not stated"
    if law.get("temperature_coefficient") is None or abs(above) > 15 + 1e-9:
        return None
    k, n = law["k"] * exp(-law["temperature_coefficient"] * above), law["n"]
    flow = required.value / cavities
    shear = (2 * n + 1) / (3 * n) * 6 * flow / (width * wall**2)
    return float(1.35 * 2 * k * shear**n * length / wall)


def required_pressure(pair: Pair) -> tuple[Span | None, bool, tuple[str, ...]]:
    """Given 10 %, estimated 50 %: the estimate is a soft demand."""
    given = pair.job.get("required_pressure")
    value = si(given)
    if value is not None:
        half = own_half_width(given)
        if half is None:
            half = half_width(pair.evaluation, "required_pressure", "given", 0.10)
        return Span.around(value, half), False, ()
    estimate = estimated_pressure(pair)
    if estimate is None:
        return None, False, ("required_pressure",)
    half = half_width(pair.evaluation, "required_pressure", "estimated", 0.50)
    return Span.around(estimate, half), True, ()


def quoted_melt_pressure(pair: Pair) -> tuple[float | None, tuple[str, ...]]:
    """The quoted pressure; an oil pressure times the intensification ratio."""
    pressure = si(pair.barrel.get("injection_pressure"))
    if pressure is None or pair.barrel.get("pressure_kind") != "oil":
        return pressure, pair.lacking(injection_pressure=pressure)
    ratio = si(pair.barrel.get("intensification_ratio"))
    missing = pair.lacking(intensification_ratio=ratio)
    return (None if ratio is None else pressure * ratio), missing


def pressure(pair: Pair) -> Measured:
    """Required / quoted melt pressure <= 1, comfort 0.85."""
    required, estimated, missing = required_pressure(pair)
    quoted, more = quoted_melt_pressure(pair)
    span = None
    if required is not None and quoted is not None:
        span = corners(lambda p: p / quoted, required)
    share, _ = pair.limit("pressure_share")
    edges, comfort = (None, 1.0), (None, share)
    return Measured("pressure", "physical", span, missing + more, edges, comfort, assumed=estimated)


def required_rate(pair: Pair) -> tuple[Span | None, tuple[str, ...]]:
    """V_shot / fill time, unless the job gives a rate."""
    given = si(pair.job.get("required_rate"))
    if given is not None:
        return Span.exact(given), ()
    fill = si(pair.job.get("fill_time"))
    if fill is None or pair.mass is None or pair.factor is None:
        return None, missing_of_volume(pair) + pair.lacking(fill_time=fill)
    return corners(lambda m, f: m / f / fill, pair.mass, pair.factor), ()


def rate(pair: Pair) -> Measured:
    """V_shot / fill time / quoted <= 1, comfort 0.90."""
    required, missing = required_rate(pair)
    quoted = quoted_rate(pair)
    missing += pair.lacking(injection_rate=quoted)
    span = None
    if required is not None and quoted is not None:
        span = corners(lambda q: q / quoted, required)
    share, _ = pair.limit("rate_share")
    return Measured("rate", "physical", span, missing, (None, 1.0), (None, share))


def power(pair: Pair) -> Measured:
    """Required p x Q / quoted injection power <= 1."""
    needed, estimated, missing = required_pressure(pair)
    flow, more = required_rate(pair)
    quoted = si(pair.unit.get("injection_power"))
    missing = tuple(dict.fromkeys(missing + more + pair.lacking(injection_power=quoted)))
    span = None
    if needed is not None and flow is not None and quoted is not None:
        span = corners(lambda p, q: p * q / quoted, needed, flow)
    return Measured("power", "physical", span, missing, (None, 1.0), assumed=estimated)


PROOF = {
    ("wear", "slightly"): {
        *("nitrided", "chrome", "coated", "bimetallic_nickel"),
        *("bimetallic_iron", "bimetallic_carbide"),
    },
    ("wear", "yes"): {"bimetallic_iron", "bimetallic_carbide"},
    ("corrosion", "slightly"): {"bimetallic_nickel", "bimetallic_carbide", "stainless", "chrome"},
    ("corrosion", "yes"): {"bimetallic_nickel", "bimetallic_carbide", "stainless", "chrome"},
}


def attack_on_packages(pair: Pair, key: str, field: str) -> Measured:
    """Attack `no`: inside. One known part unsuited is enough; both must be suited for inside."""
    attack = (pair.resin or {}).get(field)
    if pair.resin is None or attack is None:
        return Measured(
            key, "resin", missing=(field if pair.resin else "resin",), state="not_stated"
        )
    if attack == "no":
        return Measured(key, "resin", state="inside")
    parts = {part: pair.barrel.get(part) for part in ("barrel_package", "screw_package")}
    known = [package for package in parts.values() if package not in (None, "unknown")]
    if any(package not in PROOF[key, attack] for package in known):
        if attack == "slightly":
            return Measured(key, "resin", state="near_edge", because=("comfort",))
        if unconfirmed(pair.evaluation, pair.resin, field):
            return Measured(
                key, "resin", state="near_edge", because=("beyond_unconfirmed",),
                unconfirmed=(False, True),
            )  # fmt: skip
        return Measured(key, "resin", state="outside")
    if len(known) == 2:
        return Measured(key, "resin", state="inside")
    unknown = tuple(part for part, package in parts.items() if package in (None, "unknown"))
    return Measured(key, "resin", missing=unknown, state="not_stated")


def screw_geometry(pair: Pair) -> Measured:
    """L/D, compression ratio and ring kind against what the resin wants.

    "While the window is from memory a caution: near edge at most, nothing waits for it."
    """
    key, resin = "screw_geometry", pair.resin
    if resin is None:
        return Measured(key, "resin", missing=("resin",), state="not_stated")
    ratio, compression = (
        si(pair.barrel.get(field)) for field in ("length_ratio", "compression_ratio")
    )
    ring = pair.barrel.get("ring_kind")
    ring = None if ring == "unknown" else ring
    low, inner, outer = (
        si(resin.get(field))
        for field in ("length_ratio_low", "compression_low", "compression_high")
    )
    unsuited = resin.get("unsuited_rings") or []
    wanted: dict[str, tuple[object, bool]] = {}
    if low is not None:
        wanted["length_ratio_low"] = ratio, ratio is not None and ratio < low
    if inner is not None:
        wanted["compression_low"] = compression, compression is not None and compression < inner
    if outer is not None:
        wanted["compression_high"] = compression, compression is not None and compression > outer
    if unsuited:
        wanted["unsuited_rings"] = ring, ring in unsuited
    failed = [field for field, (_, fails) in wanted.items() if fails]
    if any(not unconfirmed(pair.evaluation, resin, field) for field in failed):
        return Measured(key, "resin", state="outside")
    if failed:
        return Measured(
            key, "resin", state="near_edge", because=("soft",), unconfirmed=(False, True)
        )
    data = {
        "length_ratio_low": "length_ratio",
        "compression_low": "compression_ratio",
        "compression_high": "compression_ratio",
        "unsuited_rings": "ring_kind",
    }
    missing = tuple(
        dict.fromkeys(data[field] for field, (datum, _) in wanted.items() if datum is None)
    )
    if not wanted:
        missing = ("length_ratio_low",)
    return Measured(key, "resin", missing=missing, state="not_stated" if missing else "inside")
