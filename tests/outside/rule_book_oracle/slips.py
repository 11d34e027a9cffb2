"""One change of one datum that would explain a failed claim."""

from __future__ import annotations

from dataclasses import replace

from .claims import (
    SUBJECTS,
    WORSE,
    Claim,
    D,
    P,
    S,
    V,
    claims_of,
    drive,
    output_per_turn_value,
    stroke_of,
)
from .quantities import FACTORS, Filed, si

CUBE, OUNCE, PSI = FACTORS["in3"] / 1e-6, FACTORS["oz"] / 1e-3, FACTORS["psi"] / 1e5
# Slip: the unit it is printed in (None: any), what the printed number is to be multiplied with.
FACTOR_OF = {
    "in3_as_cm3": ("cm3", (CUBE,), (V,)),
    "cm3_as_in3": ("in3", (1 / CUBE,), (V,)),
    "fl_oz_as_cm3": ("cm3", (FACTORS["fl_oz"] / 1e-6,), (V,)),
    "oz_as_g": ("g", (OUNCE,), ("rated_shot_mass",)),
    "g_as_oz": ("oz", (1 / OUNCE,), ("rated_shot_mass",)),
    "psi_as_bar": ("bar", (PSI,), (P,)),
    "bar_as_psi": ("psi", (1 / PSI,), (P,)),
    "MPa_as_bar": ("bar", (10.0,), (P,)),
    "bar_as_MPa": ("MPa", (0.1,), (P,)),
    "radius_as_diameter": (None, (2.0,), (D,)),
    "diameter_as_radius": (None, (0.5,), (D,)),
    "in_as_mm": ("mm", (25.4,), (D, S)),
    "mm_as_in": ("in", (1 / 25.4,), (D, S)),
    "decimal_shift": (None, (10.0, 0.1), (D, S, V, P, "rated_shot_mass", "injection_rate")),
    "kg_h_as_g_s": ("g/s", (1 / 3.6,), ("plasticising_rate",)),
    "g_s_as_kg_h": ("kg/h", (3.6,), ("plasticising_rate",)),
    "lb_h_as_kg_h": ("kg/h", (FACTORS["lb"],), ("plasticising_rate",)),
}
FINE = ("agrees", "not_stated")
# What each two-sided claim compares.
COMPARED = {
    "volume_geometry": (V, D, S),
    "common_stroke": (S, V, D),
    "drive_force": (P, D),
    "injection_speed": ("injection_rate", D),
    "pressure_kind": (P,),
    "size_number": (P, D),
}


def corrections(unit: Filed, barrels: tuple[str, ...], subject: str, slip: str) -> list[Filed]:
    """The unit with one datum of these barrels read otherwise, once for each factor."""
    if slip not in FACTOR_OF:
        return []
    printed_in, factors, subjects = FACTOR_OF[slip]
    if subject not in subjects:
        return []
    found = []
    for factor in factors:
        changed = []
        for barrel in unit["barrels"]:
            datum = barrel.get(subject)
            if barrel["id"] in barrels and datum is not None:
                if printed_in not in (None, datum["unit"]):
                    break
                barrel = {**barrel, subject: {**datum, "times": factor}}
            changed.append(barrel)
        else:
            found.append({**unit, "barrels": changed})
    return found


def plausible(barrel: Filed, subject: str) -> bool:
    """The corrected value: D 12-250 mm, s 1-8 D, V 2 cm3-100 l, p 400-4000 bar of melt."""
    d, s, v, p = si(barrel.get(D)), stroke_of(barrel), si(barrel.get(V)), si(barrel.get(P))
    if subject == D and d is not None and not 0.012 <= d <= 0.250:
        return False
    if subject in (D, S) and d is not None and s is not None and not d <= s <= 8 * d:
        return False
    if subject == V and v is not None and not 2e-6 <= v <= 0.1:
        return False
    melt = barrel.get("pressure_kind") != "oil"
    return not (subject == P and p is not None and melt and not 400e5 <= p <= 4000e5)


def worst(claims: dict[str, dict[str, Claim]]) -> dict[tuple[str, str], int]:
    return {(b, k): WORSE.index(c.state) for b, of in claims.items() for k, c in of.items()}


def explains(
    evaluation: Filed,
    unit: Filed,
    changed: Filed,
    ids: tuple[str, ...],
    subject: str,
    barrel: str,
    key: str,
) -> bool:
    """Remaining gap within precision, at most 3 %; nothing worse; plausible; not self-made."""
    fixed = [each for each in changed["barrels"] if each["id"] in ids]
    if not all(plausible(each, subject) for each in fixed):
        return False
    before, after = claims_of(evaluation, unit), claims_of(evaluation, changed)
    # A stroke that is no longer unlikely is not told.
    now = after[barrel].get(key, Claim("agrees"))
    if now.state != "agrees" or (now.gap is not None and abs(now.gap) > 0.03):
        return False
    if any(rank > worst(before).get(place, 0) for place, rank in worst(after).items()):
        return False
    if key == "common_stroke" and after[barrel]["volume_geometry"].state not in FINE:
        return False
    if subject == P:
        # "judged against the size number, the drive power"
        for each in ids:
            held = (after[each][judge].state for judge in ("size_number", "injection_power"))
            if any(state in ("query", "contradicts") for state in held):
                return False
    if key == "drive_force":
        # "never against a group that the slip itself has made"
        found = drive(evaluation, changed)
        others = [member for member in found.members if member not in ids]
        return len(others) >= 2 or unit.get("size_number") is not None
    return True


def causes(evaluation: Filed, unit: Filed, barrel: str, key: str) -> list[tuple[str, str]]:
    """Every slip and datum that explains a failed claim; a column's before one screw's."""
    pressed = key in ("drive_force", "pressure_kind", "size_number")
    oil = [("oil_pressure", P)] if pressed and oil_for_melt(unit) else []
    if key == "drive_force" and one_pressure(unit):
        return oil
    everyone = tuple(each["id"] for each in unit["barrels"])
    columns = [everyone, (barrel,)] if len(everyone) > 1 else [(barrel,)]
    for ids in columns:
        found = [
            (slip, subject)
            for subject in COMPARED.get(key, ())
            for slip in FACTOR_OF
            for changed in corrections(unit, ids, subject, slip)
            if explains(evaluation, unit, changed, ids, subject, barrel, key)
        ]
        found = alike_once(found)
        if found or oil:
            return list(dict.fromkeys(oil + found))
    if oil:
        return oil
    if key == "volume_geometry" and neighbours_volume(unit, barrel):
        return [("neighbour_barrel", V)]
    return []


def alike_once(found: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """A shift of the decimal mark that is a unit's factor too is that unit's slip."""
    units = {subject for slip, subject in found if slip in ("MPa_as_bar", "bar_as_MPa")}
    return [pair for pair in found if pair[0] != "decimal_shift" or pair[1] not in units]


def one_pressure(unit: Filed) -> bool:
    printed = [each[P] for each in unit["barrels"] if each.get(P) is not None]
    return len(printed) > 1 and len({(p["magnitude"], p["unit"]) for p in printed}) == 1


def oil_for_melt(unit: Filed) -> bool:
    """Every pressure of the unit in 50-350 bar and the drive not electric."""
    pressures = [si(each.get(P)) for each in unit["barrels"] if each.get(P) is not None]
    kinds = {each.get("pressure_kind") for each in unit["barrels"]}
    low = all(p is not None and 50e5 <= p <= 350e5 for p in pressures)
    return bool(pressures) and low and unit.get("drive_kind") != "electric" and "oil" not in kinds


def neighbours_volume(unit: Filed, barrel: str) -> bool:
    """The volume printed is the one of another screw, printed identically there."""
    here = next(each for each in unit["barrels"] if each["id"] == barrel)
    return any(
        each["id"] != barrel
        and each.get(V) is not None
        and here.get(V) is not None
        and (each[V]["magnitude"], each[V]["unit"]) == (here[V]["magnitude"], here[V]["unit"])
        for each in unit["barrels"]
    )


RATE_SLIPS = ("kg_h_as_g_s", "g_s_as_kg_h", "lb_h_as_kg_h")
TWO_SIDED = ("volume_geometry", "drive_force", "injection_speed", "size_number")


def turn_causes(evaluation: Filed, unit: Filed, barrel: str) -> list[tuple[str, str]]:
    """A slip of the rate "if the corrected value lies in 0.04-0.075"; one of D that mends more."""
    found = []
    if claims_of(evaluation, unit)[barrel]["output_per_turn"].basis == "beside":
        return beside_causes(evaluation, unit, barrel)
    for slip in RATE_SLIPS:
        for changed in corrections(unit, (barrel,), "plasticising_rate", slip):
            fixed = next(each for each in changed["barrels"] if each["id"] == barrel)
            value = output_per_turn_value(evaluation, fixed)
            if value is not None and 0.04 <= value <= 0.075:
                found.append((slip, "plasticising_rate"))
    for key in TWO_SIDED:
        if claims_of(evaluation, unit)[barrel][key].state in ("query", "contradicts"):
            for slip, subject in causes(evaluation, unit, barrel, key):
                for changed in corrections(unit, (barrel,), subject, slip) if subject == D else ():
                    now = claims_of(evaluation, changed)[barrel]["output_per_turn"]
                    if now.state == "agrees":
                        found.append((slip, subject))
    return list(dict.fromkeys(found))


def beside_causes(evaluation: Filed, unit: Filed, barrel: str) -> list[tuple[str, str]]:
    """A unit's factor that brings the rate within 1.3 of what the other screws deliver."""
    found = []
    for slip in RATE_SLIPS:
        for changed in corrections(unit, (barrel,), "plasticising_rate", slip):
            fixed = next(each for each in changed["barrels"] if each["id"] == barrel)
            now = claims_of(evaluation, changed)[barrel]["output_per_turn"]
            gap = claims_of(evaluation, unit)[barrel]["output_per_turn"].gap or 0.0
            own = si(next(b for b in unit["barrels"] if b["id"] == barrel)["plasticising_rate"])
            near = (si(fixed["plasticising_rate"]) or 0.0) * (gap + 1) / (own or 1.0)
            if now.state == "agrees" and 1 / 1.3 <= near <= 1.3:
                found.append((slip, "plasticising_rate"))
    return found


def power_causes(evaluation: Filed, unit: Filed, barrel: str) -> list[tuple[str, str]]:
    """A slip of the pressure that mends its other claims too; never the decimal mark."""
    found = []
    for key in ("drive_force", "size_number", "pressure_kind"):
        if claims_of(evaluation, unit)[barrel][key].state in ("query", "contradicts"):
            found += causes(evaluation, unit, barrel, key)
    never = ("decimal_shift", "oil_pressure")
    return list(dict.fromkeys(pair for pair in found if pair[0] not in never))


def with_causes(evaluation: Filed, unit: Filed) -> dict[str, dict[str, Claim]]:
    """Return the claims of each barrel, failed ones with what would explain them."""
    plain = claims_of(evaluation, unit)
    found: dict[str, dict[str, Claim]] = {}
    for barrel, claims in plain.items():
        found[barrel] = {}
        for key, claim in claims.items():
            subject, named = SUBJECTS[key], []
            if claim.state in ("query", "contradicts"):
                if claim.basis == "copied":
                    named = []
                elif key == "output_per_turn":
                    named = turn_causes(evaluation, unit, barrel)
                elif key == "injection_power":
                    named = power_causes(evaluation, unit, barrel)
                elif key == "rated_mass_basis" and claim.basis == "solid_density":
                    named = [("solid_density", "rated_shot_mass")]
                else:
                    named = causes(evaluation, unit, barrel, key)
            one = named[0] if len(named) == 1 else None
            found[barrel][key] = replace(
                claim,
                subject=one[1] if one else subject,
                cause=one[0] if one else None,
                causes=tuple(f"{slip}:{datum}" for slip, datum in named),
            )
    return found
