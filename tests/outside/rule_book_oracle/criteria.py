"""The criteria of a barrel in one reading against a job at one end: values and edges."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, pi

from .quantities import MASS_RATES, Filed, Span, corners, si
from .resins import (
    limit,
    melt_density,
    output_factor,
    residence_limit,
    unconfirmed,
)
from .shots import Window, hot_runner_volume
from .sizes import Size, disc
from .states import Measured


@dataclass(frozen=True)
class Pair:
    """One reading of a barrel, one end of a job."""

    evaluation: Filed
    unit: Filed
    barrel: Filed
    size: Size
    job: Filed
    resin: Filed | None
    mass: Span | None
    factor: Span | None
    missing_of_shot: tuple[str, ...]
    window: Window | None

    def lacking(self, **data: object) -> tuple[str, ...]:
        return tuple(key for key, value in data.items() if value is None)

    def limit(self, name: str) -> tuple[float, bool]:
        return limit(self.evaluation, name)


def named(evaluation: Filed, resin: str | None) -> Filed | None:
    return next((each for each in evaluation["resins"] if each["id"] == resin), None)


def missing_of_volume(pair: Pair) -> tuple[str, ...]:
    """What the shot's volume lacks: mass, resin, output factor."""
    found = list(pair.missing_of_shot)
    if pair.resin is None:
        found.append("resin")
    elif pair.factor is None:
        found.append("output_factors")
    return tuple(found)


def cushion(pair: Pair, shot_stroke: float) -> float:
    """5 % of the shot stroke, at least 3 mm, unless the job says."""
    stated = si(pair.job.get("cushion"))
    return max(0.05 * shot_stroke, 0.003) if stated is None else stated


def decompression(pair: Pair) -> float:
    """0.05 D of the nominal diameter, unless the job says."""
    stated = si(pair.job.get("decompression"))
    if stated is not None:
        return stated
    return 0.05 * pair.size.diameter.value if pair.size.diameter is not None else 0.0


def capacity(pair: Pair) -> Measured:
    """(shot stroke + cushion + decompression + hot-runner relief) / s <= 1.

    With V alone 1.05 V_shot/V + 0.02, a stroke of 4 D assumed, soft; but a shot that is larger
    than V fits no stroke.
    """
    key, basis, edges = "capacity", "physical", (None, 1.0)
    missing = missing_of_volume(pair)
    d, s, mass, factor = pair.size.diameter, pair.size.stroke, pair.mass, pair.factor
    if d is not None and s is not None:
        if mass is None or factor is None:
            return Measured(key, basis, missing=missing, allowed=edges)
        # 0.04 of the hot runner's volume, melt let off from some 50 MPa; unknown: not counted.
        relief = 0.04 * (hot_runner_volume(pair.job) or 0.0)

        def share(m: float, f: float, diameter: float, stroke: float) -> float:
            shot = m / f / disc(diameter)
            drawn = shot + cushion(pair, shot) + decompression(pair) + relief / disc(diameter)
            return drawn / stroke

        return Measured(key, basis, corners(share, mass, factor, d, s), allowed=edges)
    if pair.size.volume is None:
        missing += pair.lacking(screw_diameter=d, stroke=s)
    if mass is None or factor is None or pair.size.volume is None:
        return Measured(key, basis, missing=missing, allowed=edges)
    shared = pair.size.share(pair.job.get("resin"), factor)
    assert shared is not None
    span = corners(lambda m, f, v: 1.05 * m / f / v + 0.02, mass, *shared)
    fits_none = span is not None and (span.low - 0.02) / 1.05 > 1.0 + 1e-12
    return Measured(key, basis, span, allowed=edges, assumed=not fits_none)


def utilisation(pair: Pair) -> Measured:
    """V_shot / V, without cushion; a resin's window only if a person entered it."""
    key, basis = "utilisation", "practice"
    missing = missing_of_volume(pair) + pair.lacking(swept_volume=pair.size.volume)
    edges: list[float | None] = [None, None]
    memory = [False, False]
    resin = pair.resin or {}
    for place, end in enumerate(("low", "high")):
        own = si(resin.get(f"utilisation_{end}"))
        if own is not None:
            edges[place], memory[place] = (
                own,
                unconfirmed(pair.evaluation, resin, f"utilisation_{end}"),
            )
        elif resin.get("resin_class") is not None:
            edges[place], memory[place] = pair.limit(f"{resin['resin_class']}_{end}")
    if pair.resin is not None and None in edges:
        missing += ("resin_class",)
    span = None
    shared = None if pair.factor is None else pair.size.share(pair.job.get("resin"), pair.factor)
    if pair.mass is not None and shared is not None:
        span = corners(lambda m, f, v: m / f / v, pair.mass, *shared)
    return Measured(
        key, basis, span, missing, (edges[0], edges[1]), unconfirmed=(memory[0], memory[1])
    )


def stroke(pair: Pair) -> Measured:
    """V_shot / (A D), without cushion: hard 0.5-4, comfort 1-3."""
    key, basis, d = "stroke", "practice", pair.size.diameter
    low, high = pair.limit("stroke_low"), pair.limit("stroke_high")
    comfort = (pair.limit("stroke_comfort_low")[0], pair.limit("stroke_comfort_high")[0])
    missing = missing_of_volume(pair) + pair.lacking(screw_diameter=d)
    span = None
    if d is not None and pair.mass is not None and pair.factor is not None:
        span = corners(lambda m, f, d: m / f / (disc(d) * d), pair.mass, pair.factor, d)
    return Measured(
        key, basis, span, missing, (low[0], high[0]), comfort, unconfirmed=(low[1], high[1])
    )


def over_shot_stroke(pair: Pair, length: float) -> Span | None:
    if pair.size.diameter is None or pair.mass is None or pair.factor is None:
        return None
    return corners(
        lambda m, f, d: length / (m / f / disc(d)), pair.mass, pair.factor, pair.size.diameter
    )


def ring_share(pair: Pair) -> Measured:
    """Check-ring travel / shot stroke; with assumed travel 0.05 D: value shown, not stated."""
    key, basis = "ring_share", "practice"
    edge, memory = pair.limit("ring_share")
    missing = missing_of_volume(pair) + pair.lacking(screw_diameter=pair.size.diameter)
    stated, span = si(pair.barrel.get("ring_travel")), None
    if pair.barrel.get("ring_kind") == "smear_tip":
        return Measured(key, basis, state="not_stated", allowed=(None, edge))
    if pair.size.diameter is not None:
        travel = 0.05 * pair.size.diameter.value if stated is None else stated
        span = over_shot_stroke(pair, travel)
    missing += () if stated is not None else ("ring_travel",)
    return Measured(key, basis, span, missing, (None, edge), unconfirmed=(False, memory))


def repeatability(pair: Pair) -> Measured:
    """Position scatter / shot stroke against the shot-mass tolerance: a lower bound."""
    scatter = si(pair.unit.get("position_scatter"))
    tolerance = si(pair.job.get("shot_mass_tolerance"))
    missing = missing_of_volume(pair) + pair.lacking(
        screw_diameter=pair.size.diameter, position_scatter=scatter, shot_mass_tolerance=tolerance
    )
    span = None if scatter is None else over_shot_stroke(pair, scatter)
    return Measured(
        "repeatability",
        "practice",
        span,
        missing,
        (None, tolerance),
        lower_bound=span is not None and tolerance is not None,
    )


def rated_rate(pair: Pair) -> tuple[Span | None, tuple[str, ...]]:
    """The rate in the job's resin: quoted x min(1, melt-density ratio, inverse enthalpy ratio)."""
    rated_in = pair.barrel.get("plasticising_resin") or pair.barrel.get("reference_resin")
    rate, rated = si(pair.barrel.get("plasticising_rate")), named(pair.evaluation, rated_in)
    missing = pair.lacking(plasticising_rate=rate, plasticising_resin=rated)
    if rated is None or pair.resin is None:
        return None, missing
    own = (pair.barrel.get("plasticising_rate") or {}).get("half_width")
    given = (pair.evaluation.get("uncertainty") or {}).get("plasticising_rate")

    def half(route: str, usual: float) -> float:
        if own is not None:
            return float(own)
        asked = given.get(route) if isinstance(given, dict) else given
        return usual if asked is None else float(asked)

    if rated["id"] == pair.resin["id"]:
        if rate is None:
            return None, missing
        return Span.around(rate, half("same_resin", 0.10)), ()
    here, there = melt_density(pair.resin), melt_density(rated)
    heat_here, heat_there = si(pair.resin.get("enthalpy")), si(rated.get("enthalpy"))
    missing += ("melt_density",) if here is None or there is None else ()
    missing += ("enthalpy",) if heat_here is None or heat_there is None else ()
    if missing or rate is None or not (here and there and heat_here and heat_there):
        return None, missing
    ratio = min(1.0, here / there, heat_there / heat_here)
    return Span.around(rate * ratio, half("converted", 0.20)), ()


def recovery(pair: Pair) -> Measured:
    """m_shot / rate / window <= 1; comfort up to the recovery share."""
    key, basis = "recovery", "practice"
    share, _ = pair.limit("recovery_share")
    rate, missing = rated_rate(pair)
    missing = pair.missing_of_shot + (("resin",) if pair.resin is None else ()) + missing
    missing += () if pair.window is not None else ("cooling_time",)
    span = None
    if pair.mass is not None and rate is not None and pair.window is not None:
        span = corners(
            lambda m, r, w: m / (r * w) if w > 0 else inf, pair.mass, rate, pair.window.span
        )
    # "Where only the cap is known, only the cap counts: outside if outside at the cap."
    cap = pair.window is not None and pair.window.only_cap
    if cap:
        missing += ("cooling_time",)
    bound = cap and span is not None
    return Measured(key, basis, span, missing, (None, 1.0), (None, share), lower_bound=bound)


def rated_speed(pair: Pair) -> tuple[float | None, bool]:
    """`plasticising_speed`; else `screw_speed`; else `screw_speed_max`: assumed, soft."""
    for field in ("plasticising_speed", "screw_speed", "screw_speed_max"):
        speed = si(pair.barrel.get(field))
        if speed is not None:
            return speed, field != "plasticising_speed"
    return None, False


def screw_speed(pair: Pair) -> Measured:
    """pi D min(n_full, n_max); inside whatever the window if pi D n_max is within the limit."""
    key, basis = "screw_speed", "resin"
    d, highest = pair.size.diameter, si(pair.barrel.get("screw_speed_max"))
    resin = pair.resin or {}
    edge = si(resin.get("peripheral_speed_limit"))
    share, _ = pair.limit("recovery_share")
    comfort = (None, None if edge is None else edge * share)
    memory = (False, bool(resin) and unconfirmed(pair.evaluation, resin, "peripheral_speed_limit"))
    rate, missing = rated_rate(pair)
    rated, assumed = rated_speed(pair)
    missing = pair.missing_of_shot + (("resin",) if pair.resin is None else ()) + missing
    missing += pair.lacking(
        cooling_time=pair.window, screw_diameter=d, plasticising_speed=rated
    ) + (("peripheral_speed_limit",) if resin and edge is None else ())
    span = None
    if pair.mass and rate and pair.window and d and rated:
        at, speed = d.value, rated

        def peripheral(m: float, r: float, w: float) -> float:
            full = speed * m / (w * r) if w > 0 else inf
            return pi * at * (full if highest is None else min(full, highest))

        span = corners(peripheral, pair.mass, rate, pair.window.span)
    cap = pair.window is not None and pair.window.only_cap
    if cap:
        missing += ("cooling_time",)
    edges, soft = (None, edge), assumed
    if d is not None and highest is not None and edge is not None:
        slow = pi * d.value * highest
        if slow <= edge:
            shown = Span.exact(slow) if span is None else span
            return Measured(
                key, basis, shown, (), edges, edges, memory, assumed=soft, state="inside"
            )
    return Measured(
        key, basis, span, missing, edges, comfort, memory, soft, cap and span is not None
    )


# "inventory: quoted 15, geometry 25, D3 35"
INVENTORY_HALF_WIDTHS = {"quoted": 0.15, "geometry": 0.25, "diameter_rule": 0.35}


def inventory(pair: Pair) -> tuple[Span | None, bool]:
    """Quoted; or screw geometry; or 4.4 D3 x (L/D)/20 (L/D null: 20, assumed, soft)."""
    given = (pair.evaluation.get("uncertainty") or {}).get("melt_inventory")

    def around(value: float, route: str) -> Span:
        asked = given.get(route) if isinstance(given, dict) else given
        own = (pair.barrel.get("melt_inventory") or {}).get("half_width")
        asked = own if own is not None and route == "quoted" else asked
        return Span.around(value, INVENTORY_HALF_WIDTHS[route] if asked is None else asked)

    quoted, d = si(pair.barrel.get("melt_inventory")), pair.size.diameter
    if quoted is not None:
        return around(quoted, "quoted"), False
    if d is None:
        return None, False
    ratio = si(pair.barrel.get("length_ratio"))
    channel = None if ratio is None else channel_volume(pair.barrel, d.value, ratio)
    if channel is not None:
        return around(channel, "geometry"), False
    return around(
        4.4 * d.value**3 * (20.0 if ratio is None else ratio) / 20, "diameter_rule"
    ), ratio is None


def channel_volume(barrel: Filed, d: float, ratio: float) -> float | None:
    """Annulus of each zone over its length less the flight; the feed zone 0.6 full."""
    zones = barrel.get("zones")
    feed, metering = si(barrel.get("feed_depth")), si(barrel.get("metering_depth"))
    if zones is None or feed is None or metering is None:
        return None
    pitch, flight = si(barrel.get("pitch")), si(barrel.get("flight_width"))
    open_share = 1 - (0.1 * d if flight is None else flight) / (d if pitch is None else pitch)
    fill = barrel.get("feed_fill")
    # The depth falls evenly over the compression zone: mean of h (D - h).
    mean, square = (feed + metering) / 2, (feed**2 + feed * metering + metering**2) / 3
    area = zones["feed"] * (0.6 if fill is None else fill) * feed * (d - feed)
    area += zones["compression"] * (d * mean - square)
    area += zones["metering"] * metering * (d - metering)
    return float(pi * area * open_share * ratio * d)


def residence(pair: Pair) -> Measured:
    """(V_inv + V_cushion + V_hot_runner) rho / m_shot x cycle <= the resin's limit at T."""
    key, basis, d = "residence", "resin", pair.size.diameter
    resin = pair.resin or {}
    rho = melt_density(resin) if resin else None
    melt = si(pair.job.get("melt_temperature") or resin.get("melt_temperature"))
    edge = residence_limit(resin, melt) if resin and melt is not None else None
    volume, assumed = inventory(pair)
    datum = pair.job.get("cycle_time")
    missing = missing_of_volume(pair) + pair.lacking(cycle_time=datum, screw_diameter=d)
    if d is not None:
        # With a diameter the inventory is had: without one nobody need state it.
        missing += pair.lacking(melt_inventory=volume)
    if resin:
        missing += pair.lacking(melt_density=rho, residence_limits=edge)
    runner = hot_runner_volume(pair.job)
    span = None
    if pair.mass and pair.factor and volume and datum and rho and d:
        area, density, hot = disc(d.value), rho, runner or 0.0
        cycle = around_cycle(pair)

        def time(m: float, f: float, held: float, cycles: float) -> float:
            front = area * cushion(pair, m / f / area)
            return (held + front + hot) * density / m * cycles

        span = corners(time, pair.mass, pair.factor, volume, cycle)
    if runner is None:
        missing += ("hot_runner_volume",)
    bound = runner is None and span is not None and edge is not None
    memory = bool(resin) and unconfirmed(pair.evaluation, resin, "residence_limits")
    return Measured(
        key, basis, span, missing, (None, edge), (None, None), (False, memory), assumed, bound
    )


def around_cycle(pair: Pair) -> Span:
    datum = pair.job["cycle_time"]
    given = (pair.evaluation.get("uncertainty") or {}).get("cycle_time")
    own = datum.get("half_width")
    half = own if own is not None else given if given is not None else 0.05
    return Span.around(si(datum) or 0.0, half)


def quoted_rate(pair: Pair) -> float | None:
    """cm3/s, or a mass rate divided by the reference factor."""
    datum = pair.barrel.get("injection_rate")
    rate = si(datum)
    if datum is None or rate is None or datum["unit"] not in MASS_RATES:
        return rate
    factor = si(pair.barrel.get("reference_factor"))
    reference = named(pair.evaluation, pair.barrel.get("reference_resin"))
    if factor is None and reference is not None:
        found = output_factor(pair.evaluation, reference)
        factor = None if found is None else found.value
    return None if factor is None else rate / factor
