"""The claims of a unit's barrels, each number held against the others; slips come after."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import pi

from .quantities import MASS_RATES, Filed, precision, si
from .resins import limit, melt_density, output_factor

WORSE = ("not_stated", "agrees", "query", "contradicts")
D, S, V, P = "screw_diameter", "stroke", "swept_volume", "injection_pressure"
SUBJECTS = {
    "volume_geometry": V,
    "common_stroke": S,
    "rated_mass_basis": "rated_shot_mass",
    "drive_force": P,
    "size_number": "size_number",
    "injection_speed": "injection_speed",
    "injection_power": "injection_power",
    "pressure_kind": P,
    "output_per_turn": "plasticising_rate",
}
VOLUME_CLAIMS = ("volume_geometry", "rated_mass_basis")


@dataclass(frozen=True)
class Claim:
    """gap = stated/derived - 1, a share; None where the claim is held against a range."""

    state: str
    gap: float | None = None
    tolerance: float | None = None
    subject: str = ""
    cause: str | None = None
    causes: tuple[str, ...] = ()
    basis: str | None = None


NOT_STATED = Claim("not_stated")


def graded(gap: float, tolerance: float, worst: str = "contradicts") -> Claim:
    """Within tolerance agrees; within max(3 x tolerance, 3 %) query; beyond contradicts.

    "Tolerance never tighter than 0.5 %."
    """
    tolerance = max(tolerance, 0.005)
    if abs(gap) <= tolerance:
        return Claim("agrees", gap, tolerance)
    query = abs(gap) <= max(3 * tolerance, 0.03) or worst == "query"
    return Claim("query" if query else "contradicts", gap, tolerance)


def area(barrel: Filed) -> float | None:
    diameter = si(barrel.get(D))
    return None if diameter is None else pi * diameter**2 / 4


def digits(barrel: Filed, *fields: str) -> float:
    """Printed precision, combined linearly; the diameter counts twice where its area does."""
    return sum(precision(barrel.get(field), field) for field in fields)


def volume_geometry(barrel: Filed) -> Claim:
    disc, stroke, volume = area(barrel), si(barrel.get(S)), si(barrel.get(V))
    if disc is None or stroke is None or volume is None:
        return NOT_STATED
    # "A volume may be cut off"; never tighter than 1 %.
    fuzz = digits(barrel, V, V, D, D, S)
    return graded(volume / (disc * stroke) - 1, max(fuzz, 0.01))


def common_stroke(barrel: Filed) -> Claim:
    """Only what contradicts by itself: a stroke of no screw, printed or given by D and V."""
    diameter, stroke = si(barrel.get(D)), stroke_of(barrel)
    if diameter is None or stroke is None or 1 <= stroke / diameter <= 8:
        return NOT_STATED
    return Claim("contradicts")


def swept(barrel: Filed) -> tuple[float | None, float]:
    """Nominal volume by geometry, else quoted; as settled where it is. With its precision."""
    disc, stroke, volume = area(barrel), si(barrel.get(S)), si(barrel.get(V))
    quoted = (barrel.get("settled") or {}).get("route") == "quoted" and volume is not None
    if disc is not None and stroke is not None and not quoted:
        return disc * stroke, digits(barrel, D, D, S)
    return volume, digits(barrel, V)


def bases(evaluation: Filed, resin: Filed) -> dict[str, float]:
    """The reference resin's output factor, melt density and solid density, where known."""
    factor = output_factor(evaluation, resin)
    found = {
        "output_factor": None if factor is None else factor.value,
        "melt_density": melt_density(resin),
        "solid_density": si(resin.get("solid_density")),
    }
    return {key: value for key, value in found.items() if value is not None}


def stroke_of(barrel: Filed) -> float | None:
    """ "Any two of D, s and V give the third"."""
    stroke, disc, volume = si(barrel.get(S)), area(barrel), si(barrel.get(V))
    if stroke is None and disc is not None and volume is not None:
        return volume / disc
    return stroke


def rated_mass_basis(evaluation: Filed, barrel: Filed) -> Claim:
    """Implied factor against output factor, melt and solid density: the nearest within 2 %."""
    mass, (volume, fuzz) = si(barrel.get("rated_shot_mass")), swept(barrel)
    resin = next(
        (each for each in evaluation["resins"] if each["id"] == barrel.get("reference_resin")), None
    )
    quoted = si(barrel.get("reference_factor"))
    if mass is None or volume is None:
        return NOT_STATED
    implied = mass / volume
    fuzz += digits(barrel, "rated_shot_mass")
    allowed = limit(evaluation, "rated_basis")[0] + fuzz

    def apart(other: float) -> float:
        return max(implied, other) / min(implied, other) - 1

    own = None if resin is None else output_factor(evaluation, resin)
    if quoted is not None and own is not None:
        # "Compared first", but where it contradicts the resin it vouches for nothing.
        fuzz = max(digits(barrel, "reference_factor") + own.high / own.value - 1, 0.005)
        if abs(quoted / own.value - 1) > max(3 * fuzz, 0.03):
            quoted = None
    fits = digits(barrel, "reference_factor")
    if quoted is not None and apart(quoted) <= allowed + fits:
        return Claim("agrees", None, allowed, basis="output_factor" if resin else None)
    near = {key: apart(value) for key, value in bases(evaluation, resin or {}).items()}
    if not near and not 500 <= implied <= 2500:
        return Claim("query")
    if not near and quoted is None:
        return NOT_STATED
    # "The output factor within its own half-width", and it comes first.
    known = 0.0 if own is None else own.high / own.value - 1 + fuzz
    if near.get("output_factor", 2.0) <= max(allowed, known):
        return Claim("agrees", None, allowed, basis="output_factor")
    ends = [end for end in ("output_factor", "melt_density") if end in near]
    known_ends = [bases(evaluation, resin or {})[end] for end in ends]
    between = len(ends) == 2 and min(known_ends) < implied < max(known_ends)
    if between and min(near.values()) > allowed:
        # "Between the two: the nearer".
        nearer = min(ends, key=lambda end: near[end])
        state = "agrees" if nearer == "output_factor" else "query"
        return Claim(state, None, allowed, basis=nearer)
    if min(near.values(), default=1.0) > allowed:
        return Claim("query", None, allowed, basis="unexplained" if resin else None)
    best = min(near, key=lambda key: near[key])
    states = {"output_factor": "agrees", "melt_density": "query", "solid_density": "contradicts"}
    return Claim(states[best], None, allowed, basis=best)


def melt_pressure(barrel: Filed) -> float | None:
    pressure = si(barrel.get(P))
    if pressure is None or barrel.get("pressure_kind") != "oil":
        return pressure
    ratio = si(barrel.get("intensification_ratio"))
    return None if ratio is None else pressure * ratio


def force(barrel: Filed) -> float | None:
    """F = p A."""
    pressure, disc = melt_pressure(barrel), area(barrel)
    return None if pressure is None or disc is None else pressure * disc


@dataclass(frozen=True)
class Drive:
    """What the screws say of their one drive: F* [N], its members, the claim of each."""

    common: float | None
    votes: int
    claims: dict[str, Claim]
    members: tuple[str, ...] = ()
    own_caps: bool = False


def drive(evaluation: Filed, unit: Filed) -> Drive:
    agreement = limit(evaluation, "force_agreement")[0]
    screws = {b["id"]: b for b in unit["barrels"] if force(b) is not None}
    forces = {key: force(b) or 0.0 for key, b in screws.items()}
    pressures = {key: melt_pressure(b) or 0.0 for key, b in screws.items()}
    blank = {b["id"]: NOT_STATED for b in unit["barrels"]}
    if not screws:
        return Drive(None, 0, blank)
    highest = max(pressures.values())
    capped = [key for key in screws if pressures[key] >= highest * (1 - 0.005)]
    rest = [key for key in screws if key not in capped]
    # "First try a pressure cap."
    if len(capped) >= 2 and rest:
        least, most = min(forces[k] for k in rest), max(forces[k] for k in rest)
        mean = sum(forces[k] for k in rest) / len(rest)
        low_enough = all(forces[k] <= mean * (1 + agreement) for k in capped)
        if most <= least * (1 + agreement) and low_enough:
            found = {k: Claim("agrees", forces[k] / mean - 1, agreement) for k in screws}
            found |= copied(screws, forces, mean, agreement, tuple(rest), unit)
            return Drive(mean, len(rest), {**blank, **found}, tuple(rest))
    number = si(unit.get("size_number"))
    if len(screws) == 1 and number is None:
        return Drive(None, 0, blank)
    printed = {(b[P]["magnitude"], b[P]["unit"]) for b in screws.values()}
    if len(screws) > 1 and len(printed) == 1 and len({si(b[D]) for b in screws.values()}) > 1:
        found = {k: Claim("query", None, agreement) for k in screws}
        return Drive(None, 0, {**blank, **found})
    members = largest_group(screws, forces, number, precision(unit.get("size_number")), agreement)
    if len(members) < 2 and held_back(screws, forces, pressures, agreement):
        # "Each has its own cap": the largest screw shows the drive.
        most = max(screws, key=lambda k: si(screws[k][D]) or 0.0)
        found = {k: Claim("agrees", forces[k] / forces[most] - 1, agreement) for k in screws}
        return Drive(forces[most], len(screws), {**blank, **found}, tuple(screws), own_caps=True)
    if not members:
        found = {k: Claim("query", None, agreement) for k in screws}
        return Drive(None, 0, {**blank, **found})
    mean = sum(forces[key] for key in members) / len(members)
    found = {}
    for key, barrel in screws.items():
        gap, fuzz = forces[key] / mean - 1, max(agreement, force_digits(barrel))
        if abs(gap) <= fuzz:
            state = "agrees"
        elif gap > 0:
            state = "query" if gap <= max(3 * fuzz, 0.03) else "contradicts"
        else:
            own, least = si(barrel[D]) or 0.0, min(si(screws[m][D]) or 0.0 for m in members)
            up = {k: b for k, b in screws.items() if own <= (si(b[D]) or 0.0) <= least}
            limited = own < least and held_back(up, forces, pressures, agreement)
            state = "agrees" if limited else "query"
        found[key] = Claim(state, gap, agreement)
    found |= copied(screws, forces, mean, agreement, tuple(members), unit)
    return Drive(mean, len(members), {**blank, **found}, tuple(members))


def copied(
    screws: dict[str, Filed],
    forces: dict[str, float],
    common: float,
    agreement: float,
    members: tuple[str, ...],
    unit: Filed,
) -> dict[str, Claim]:
    """Query a screw with the very pressure of a larger one that bears all, unless it is round."""
    found = {}
    for key, screw in screws.items():
        if is_round(screw[P]) or abs(forces[key] / common - 1) <= agreement:
            continue
        for other, larger in screws.items():
            same = (screw[P]["magnitude"], screw[P]["unit"]) == (
                larger[P]["magnitude"],
                larger[P]["unit"],
            )
            known = size_speaks(unit, screws, forces, members) or set(members) - {other}
            smaller = (si(screw[D]) or 0.0) < (si(larger[D]) or 0.0)
            if same and smaller and abs(forces[other] / common - 1) <= 0.01 and known:
                gap = forces[key] / common - 1
                found[key] = Claim("query", gap, agreement, basis="copied")
    return found


def size_speaks(
    unit: Filed, screws: dict[str, Filed], forces: dict[str, float], members: tuple[str, ...]
) -> bool:
    """The size number's F = 100 N/s meets the members' mean within 5 %."""
    number = si(unit.get("size_number"))
    if number is None:
        return False
    mean, fuzz = sum(forces[k] for k in members) / len(members), precision(unit["size_number"])
    return any(
        (stroke := stroke_of(screws[k])) is not None
        and abs(mean * stroke / 100 / number - 1) <= 0.05 + fuzz + stroke_digits(screws[k])
        for k in members
    )


def is_round(pressure: Filed) -> bool:
    """A limit is a multiple of 50 bar or kgf/cm2, of 5 MPa, of 500 psi."""
    steps = {"bar": (50.0,), "kgf/cm2": (50.0,), "psi": (500.0,), "MPa": (5.0, 4.903325)}
    number = float(pressure["magnitude"])
    half = precision(pressure) * number
    return any(abs(number - round(number / s) * s) <= half for s in steps[pressure["unit"]])


def held_back(
    screws: dict[str, Filed],
    forces: dict[str, float],
    pressures: dict[str, float],
    agreement: float,
) -> bool:
    """From screw to larger screw the pressure never rises and the force never falls."""
    rising = sorted(screws, key=lambda key: si(screws[key][D]) or 0.0)
    pairs = list(pairwise(rising))
    return bool(pairs) and all(
        pressures[large] <= pressures[small] * 1.005
        and forces[small] <= forces[large] * (1 + agreement)
        for small, large in pairs
    )


def largest_group(
    screws: dict[str, Filed],
    forces: dict[str, float],
    number: float | None,
    fuzz: float,
    agreement: float,
) -> list[str]:
    """The largest group with at least two votes, a size number's F = 100 N/s within 5 %."""
    best: tuple[int, float] = (1, 0.0)
    chosen: list[str] = []
    for smallest in forces.values():
        group = [k for k in forces if smallest <= forces[k] <= smallest * (1 + agreement)]
        mean = sum(forces[k] for k in group) / len(group)
        votes = len(group) + any(
            number is not None
            and (stroke := stroke_of(screws[k])) is not None
            and abs(mean * stroke / 100 / number - 1) <= 0.05 + fuzz + stroke_digits(screws[k])
            for k in group
        )
        rank = (votes, max(si(screws[k][D]) or 0.0 for k in group))
        if votes >= 2 and rank > best:
            best, chosen = rank, group
    return chosen


def size_number(unit: Filed, barrel: Filed, common: float | None) -> Claim:
    """N against F* s / 100, else that of the nearest screw, within 5 % and the printed digits.

    A screw without a force of its own is never in doubt.
    """
    number, stroke = si(unit.get("size_number")), stroke_of(barrel)
    own = force(barrel) if common is None else common
    if number is None or stroke is None or own is None:
        return NOT_STATED
    fuzz = 0.05 + precision(unit["size_number"]) + stroke_digits(barrel)

    def held(against: float, more: float) -> Claim:
        gap = number / (against * stroke / 100) - 1
        return Claim("agrees" if abs(gap) <= fuzz + more else "query", gap, fuzz + more)

    found = [held(own, force_digits(barrel))]
    for each in unit["barrels"]:
        pushed = force(each)
        if pushed is not None:
            found.append(held(pushed, force_digits(each)))
    if found[0].state == "agrees":
        return found[0]
    return NOT_STATED if force(barrel) is None else min(found, key=lambda c: abs(c.gap or 0))


def force_digits(barrel: Filed) -> float:
    return 0.0 if force(barrel) is None else digits(barrel, P, D, D)


def stroke_digits(barrel: Filed) -> float:
    return digits(barrel, S) if barrel.get(S) is not None else digits(barrel, V, V, D, D)


def injection_speed(barrel: Filed) -> Claim:
    speed, disc, rate = (
        si(barrel.get("injection_speed")),
        area(barrel),
        si(barrel.get("injection_rate")),
    )
    if disc is None or rate is None or barrel["injection_rate"]["unit"] in MASS_RATES:
        return NOT_STATED
    if speed is None:
        # "A rate without a speed: 15 to 1500 mm/s".
        return NOT_STATED if 0.015 <= rate / disc <= 1.5 else Claim("query")
    return graded(
        speed / (rate / disc) - 1, digits(barrel, "injection_speed", "injection_rate", D, D)
    )


def injection_power(unit: Filed, barrel: Filed) -> Claim:
    """A quoted power above the drive: query up to what its kind gives; p Q agrees up to that."""
    drive_power, quoted = si(unit.get("drive_power")), si(unit.get("injection_power"))
    if drive_power is None:
        return NOT_STATED
    found = []
    most = {"hydraulic": 3, "electric": 6}.get(unit.get("drive_kind") or "", 10)
    if quoted is not None:
        gap = quoted / drive_power - 1
        fuzz = precision(unit["injection_power"]) + precision(unit["drive_power"])
        state = (
            "agrees" if gap <= max(fuzz, 0.005) else "query" if gap + 1 <= most else "contradicts"
        )
        found.append(Claim(state, gap))
    pressure, rate = melt_pressure(barrel), si(barrel.get("injection_rate"))
    if pressure and rate and barrel["injection_rate"]["unit"] not in MASS_RATES:
        gap = pressure * rate / drive_power - 1
        found.append(Claim("agrees" if gap + 1 <= most else "query", gap))
    return max(found, key=lambda claim: WORSE.index(claim.state), default=NOT_STATED)


def pressure_kind(barrel: Filed) -> Claim:
    """Query under 400 bar, or 700 with the kind unstated; beyond 50-5000 bar contradicts."""
    pressure, kind = si(barrel.get(P)), barrel.get("pressure_kind")
    if pressure is None:
        return NOT_STATED
    system, ratio = si(barrel.get("system_pressure")), si(barrel.get("intensification_ratio"))
    if kind != "oil":
        if system is not None and ratio is not None:
            fuzz = digits(barrel, P, "system_pressure", "intensification_ratio")
            return graded(pressure / (system * ratio) - 1, fuzz)
        if not 50e5 <= pressure <= 5000e5:
            return Claim("contradicts")
        return Claim("query" if pressure < (400e5 if kind == "melt" else 700e5) else "agrees")
    return Claim("agrees")


def rated_turn(barrel: Filed) -> float | None:
    """The speed at the rate, or the highest one."""
    for field in ("plasticising_speed", "screw_speed", "screw_speed_max"):
        if barrel.get(field) is not None:
            return si(barrel[field])
    return None


def output_per_turn_value(evaluation: Filed, barrel: Filed) -> float | None:
    """rate / (melt density x n x D^3)."""
    rated_in = barrel.get("plasticising_resin") or barrel.get("reference_resin")
    resin = next((each for each in evaluation["resins"] if each["id"] == rated_in), None)
    rate, speed, diameter = (
        si(barrel.get("plasticising_rate")),
        rated_turn(barrel),
        si(barrel.get(D)),
    )
    density = None if resin is None else melt_density(resin)
    if rate is None or speed is None or diameter is None or density is None:
        return None
    return rate / (density * speed * diameter**3)


def output_per_turn(evaluation: Filed, barrel: Filed) -> Claim:
    """0.027-0.11 agrees, from 0.018 where the speed may be another than the rate's; else query."""
    value = output_per_turn_value(evaluation, barrel)
    if value is None:
        return NOT_STATED if likely_rate(evaluation, barrel) else Claim("query")
    least = 0.027 if barrel.get("plasticising_speed") is not None else 0.018
    return Claim("agrees" if least <= value <= 0.11 else "query")


def with_others(evaluation: Filed, unit: Filed, found: dict[str, dict[str, Claim]]) -> None:
    """Query rates that the unit's other screws speak against, or that read as lb/h for kg/h."""
    values = {b["id"]: output_per_turn_value(evaluation, b) for b in unit["barrels"]}
    known = {key: value for key, value in values.items() if value is not None}
    printed = {b["plasticising_rate"]["unit"] for b in unit["barrels"] if b["id"] in known}
    in_kg_h = printed == {"kg/h"}
    if len(known) > 1 and in_kg_h and all(value > 0.085 for value in known.values()):
        for key in known:
            found[key]["output_per_turn"] = Claim("query")
        return
    doubted = [key for key, claims in found.items() if claims["output_per_turn"].state == "query"]
    # A screw in doubt by itself puts no other in doubt.
    sound = {**unit, "barrels": [b for b in unit["barrels"] if b["id"] not in doubted]}
    for barrel in unit["barrels"]:
        if found[barrel["id"]]["output_per_turn"].state != "query":
            derived = rate_by_others(evaluation, sound, barrel)
            if derived is not None:
                claim = Claim(
                    "query", si(barrel["plasticising_rate"]) / derived - 1, basis="beside"
                )
                found[barrel["id"]]["output_per_turn"] = claim


def rate_by_others(evaluation: Filed, unit: Filed, barrel: Filed) -> float | None:
    """The rate by the nearest other screw, where each is more than 1.7 times off; else None.

    In a turn, cubed diameters alike; at highest speeds a smaller screw may be as much further above
    as it is smaller.
    """

    def turn(one: Filed) -> str:
        every = ("plasticising_speed", "screw_speed", "screw_speed_max")
        return next((field for field in every if one.get(field) is not None), "")

    def melt(one: Filed) -> tuple[str | None, float | None]:
        rated_in = one.get("plasticising_resin") or one.get("reference_resin")
        resin = next((each for each in evaluation["resins"] if each["id"] == rated_in), None)
        return rated_in, None if resin is None else melt_density(resin)

    rate, d = si(barrel.get("plasticising_rate")), si(barrel.get(D))
    if rate is None or d is None or not turn(barrel):
        return None
    nearest: list[tuple[float, float]] = []
    for other in unit["barrels"]:
        theirs, size = si(other.get("plasticising_rate")), si(other.get(D))
        if other is barrel or theirs is None or size is None or turn(other) != turn(barrel):
            continue
        (mine, heavy), (named, light) = melt(barrel), melt(other)
        if mine != named and (heavy is None or light is None):
            continue
        share = 1.0 if mine == named else heavy / light
        here = theirs * share * si(barrel[turn(barrel)]) / si(other[turn(other)]) * (d / size) ** 3
        more = 1.0 if turn(barrel) == "plasticising_speed" else size / d
        if 1 / 1.7 * min(1.0, more) <= rate / here <= 1.7 * max(1.0, more):
            return None
        nearest.append((abs(d / size - 1), here))
    return min(nearest)[1] if nearest else None


def likely_rate(evaluation: Filed, barrel: Filed) -> bool:
    """Whether some resin of 0.7-1.6 g/cm3, and some speed up to 1.5 m/s, could give the rate."""
    rate, diameter = si(barrel.get("plasticising_rate")), si(barrel.get(D))
    if rate is None or diameter is None:
        return True
    rated_in = barrel.get("plasticising_resin") or barrel.get("reference_resin")
    resin = next((each for each in evaluation["resins"] if each["id"] == rated_in), None)
    density = None if resin is None else melt_density(resin)
    light, heavy = (700.0, 1600.0) if density is None else (density, density)
    turn = rated_turn(barrel)
    if turn is None:
        return rate / heavy / diameter**2 <= 0.075 * 1.5 / pi
    cubic = rate / turn / diameter**3
    return cubic / heavy <= 0.11 and cubic / light >= 0.018


def claims_of(evaluation: Filed, unit: Filed) -> dict[str, dict[str, Claim]]:
    """Return the claims of each barrel by key, before any slip is looked for."""
    driven = drive(evaluation, unit)
    found = {}
    for barrel in unit["barrels"]:
        found[barrel["id"]] = {
            "volume_geometry": volume_geometry(barrel),
            "rated_mass_basis": rated_mass_basis(evaluation, barrel),
            "drive_force": driven.claims[barrel["id"]],
            "size_number": size_number(unit, barrel, driven.common),
            "injection_speed": injection_speed(barrel),
            "injection_power": injection_power(unit, barrel),
            "pressure_kind": pressure_kind(barrel),
            "output_per_turn": output_per_turn(evaluation, barrel),
        }
        if common_stroke(barrel).state == "contradicts":
            found[barrel["id"]]["common_stroke"] = common_stroke(barrel)
    with_others(evaluation, unit, found)
    if unit.get("unit_kind") not in (None, "reciprocating"):
        # "volume claims yes, the rest `not_stated`"
        for claims in found.values():
            claims.pop("common_stroke", None)
            claims.update({key: NOT_STATED for key in claims if key not in VOLUME_CLAIMS})
    return found
