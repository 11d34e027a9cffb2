"""From an evaluation as filed to the results: every cell, every barrel, every gate."""

from __future__ import annotations

from math import inf
from typing import Any

from . import criteria, demands
from .claims import Claim
from .criteria import Pair, named
from .gate import gate_of
from .quantities import Filed, Span
from .resins import output_factor
from .shots import missing_of_shot, recovery_window, shots
from .sizes import Size, sizes_of
from .slips import with_causes
from .states import (
    SEVERITY,
    Measured,
    Verdict,
    binding,
    cell_state,
    disputed,
    joined,
    verdict,
    worse,
    worst_end,
)

# In the order of the table.
CRITERIA = {
    "capacity": criteria.capacity,
    "utilisation": criteria.utilisation,
    "stroke": criteria.stroke,
    "ring_share": criteria.ring_share,
    "residence": criteria.residence,
    "recovery": criteria.recovery,
    "screw_speed": criteria.screw_speed,
    "pressure": demands.pressure,
    "rate": demands.rate,
    "power": demands.power,
    "repeatability": criteria.repeatability,
    "wear": lambda pair: demands.attack_on_packages(pair, "wear", "abrasive"),
    "corrosion": lambda pair: demands.attack_on_packages(pair, "corrosion", "corrosive"),
    "screw_geometry": demands.screw_geometry,
}
BASIS = {
    **dict.fromkeys(("capacity", "pressure", "rate", "power"), "physical"),
    **dict.fromkeys(("residence", "screw_speed", "wear", "corrosion", "screw_geometry"), "resin"),
    **dict.fromkeys(
        ("utilisation", "stroke", "ring_share", "recovery", "repeatability"), "practice"
    ),
}
# "drive_force, pressure_kind: pressure · injection_speed: rate · ..."
DISPUTES = {
    "drive_force": ("pressure",),
    "pressure_kind": ("pressure",),
    "injection_speed": ("rate",),
    "injection_power": ("power",),
    "output_per_turn": ("recovery", "screw_speed"),
    "plasticising_energy": ("recovery", "screw_speed"),
    "length_ratio": ("screw_geometry", "residence"),
    "rated_mass_basis": ("capacity", "utilisation"),
    "common_stroke": ("capacity", "utilisation", "stroke"),
}


def holds(evaluation: Filed, bid: Filed, claim: Claim) -> bool:
    """ "A claim that is settled, answered or accepted as is (person, date) no longer holds"."""
    question = f"{bid['id']}.{claim.subject}"
    return not any(
        answer["question"] == question and answer.get("state") in ("answered", "accepted_as_is")
        for answer in evaluation.get("answers") or []
    )


def mended(barrel: Filed, claim: Claim) -> bool:
    """Whether the decision on the size takes the datum to be wrong that explains a claim."""
    settled, sizes = barrel.get("settled"), ("screw_diameter", "stroke", "swept_volume")
    if not settled or not claim.cause or any(barrel.get(size) is None for size in sizes):
        return False
    reading = settled.get("reading")
    wrong = {"diameter": "screw_diameter", "stroke": "stroke"}.get(reading or "")
    if settled["route"] == "geometry":
        wrong = "swept_volume"
    return claim.cause == reading or claim.subject == wrong


def disputes(
    evaluation: Filed, bid: Filed, barrel: Filed, route: str | None, claims: dict[str, Claim]
) -> dict[str, list[str]]:
    """Return which claims dispute which criterion of a barrel."""
    found: dict[str, list[str]] = {}
    for key, claim in claims.items():
        doubted = claim.state == "contradicts" or (claim.state == "query" and claim.causes)
        if not doubted or key not in DISPUTES or not holds(evaluation, bid, claim):
            continue
        if mended(barrel, claim):
            continue
        for criterion in DISPUTES[key]:
            if key == "rated_mass_basis" and route != "rated_mass":
                continue
            if criterion == "residence" and barrel.get("melt_inventory") is not None:
                continue
            found.setdefault(criterion, []).append(key)
    return found


def appraised(unit: Filed) -> bool:
    """Whether the method knows a unit's kind: single-stage reciprocating screws."""
    return unit.get("unit_kind") in (None, "reciprocating")


def required_of(evaluation: Filed) -> tuple[str, ...]:
    extra = (evaluation.get("limits") or {}).get("required") or []
    return ("capacity", "utilisation", "stroke", *extra)


def one_size(
    evaluation: Filed, unit: Filed, barrel: Filed, size: Size, job: Filed
) -> dict[str, dict[str, Verdict]]:
    """Every criterion at every end, for one reading."""
    resin = named(evaluation, job.get("resin"))
    ends: dict[str, Span | None] = dict(shots(evaluation, job)) or {"nominal": None}
    factor = None if resin is None else output_factor(evaluation, resin)
    window = recovery_window(evaluation, job, resin or {})
    missing = tuple(missing_of_shot(job))
    found: dict[str, dict[str, Verdict]] = {}
    for key, criterion in CRITERIA.items():
        found[key] = {}
        for at, mass in ends.items():
            pair = Pair(evaluation, unit, barrel, size, job, resin, mass, factor, missing, window)
            found[key][at] = verdict(criterion(pair), at)
    return found


def cell(
    evaluation: Filed,
    unit: Filed,
    barrel: Filed,
    job: Filed,
    sizes: list[Size],
    why: str | None,
    in_doubt: dict[str, list[str]],
) -> Filed:
    required = required_of(evaluation)
    if not appraised(unit):
        blank = [verdict(Measured(k, BASIS[k], state="not_stated"), "nominal") for k in CRITERIA]
        return {**_cell(barrel, job, blank, "not_stated", None), "applies": False}
    by_size = [one_size(evaluation, unit, barrel, size, job) for size in sizes]
    worst = []
    for found in by_size:
        chosen = {key: worst_end(list(ends.values())) for key, ends in found.items()}
        worst.append({k: disputed(v) if k in in_doubt else v for k, v in chosen.items()})
    verdicts = [
        joined([each[key] for each in worst], [found[key] for found in by_size], why)
        for key in CRITERIA
    ]
    # "A cell is made for each reading first, then joined: the common state, else near edge."
    states, bindings = [], []
    for each in worst:
        cells = list(each.values())
        states.append(cell_state(cells, required))
        bindings.append(binding(states[-1], cells, required))
    state = states[0] if len(set(states)) == 1 else "near_edge"

    def severity(place: int) -> tuple[int, tuple[int, float]]:
        key = bindings[place]
        least = (0, inf) if key is None else worse(worst[place][key])
        return SEVERITY.index(states[place]), least

    first = min(range(len(states)), key=severity)
    return _cell(barrel, job, verdicts, state, bindings[first])


def _cell(
    barrel: Filed, job: Filed, verdicts: list[Verdict], state: str, binds: str | None
) -> Filed:
    return {
        "barrel": barrel["id"],
        "job": job["id"],
        "applies": True,
        "state": state,
        "binding": binds,
        "open": [each.key for each in verdicts if each.open],
        "criteria": [_criterion(each) for each in verdicts],
    }


def finite(value: float | None) -> float | None:
    return None if value is None or value == inf else value


def _criterion(found: Verdict) -> Filed:
    span, measured = found.span, found.measured
    return {
        "key": found.key,
        "state": found.state,
        "basis": found.basis,
        "value": finite(span.value) if span else None,
        "value_low": finite(span.low) if span else None,
        "value_high": finite(span.high) if span else None,
        "allowed_low": measured.allowed[0],
        "allowed_high": measured.allowed[1],
        "comfort_low": measured.comfort[0],
        "comfort_high": measured.comfort[1],
        "margin": found.margin,
        "comfort_margin": found.comfort_margin,
        "because": list(found.because),
        "at": found.at,
        "soft": found.soft,
        "missing": list(dict.fromkeys(measured.missing)) if found.state == "not_stated" else [],
    }


def _volume(sizes: list[Size]) -> Filed:
    """The nominal volume and the hull of all readings."""
    spans = [size.volume for size in sizes if size.volume is not None]
    return {
        "swept_volume_route": sizes[0].route,
        "swept_volume_cm3": spans[0].value * 1e6 if spans else None,
        "swept_volume_low_cm3": min(span.low for span in spans) * 1e6 if spans else None,
        "swept_volume_high_cm3": max(span.high for span in spans) * 1e6 if spans else None,
    }


def _job(evaluation: Filed, job: Filed) -> Filed:
    resin, mass = named(evaluation, job.get("resin")), shots(evaluation, job).get("nominal")
    factor = None if resin is None else output_factor(evaluation, resin)
    return {
        "id": job["id"],
        "shot_mass_g": None if mass is None else mass.value * 1e3,
        "output_factor_g_cm3": None if factor is None else factor.value / 1e3,
        "shot_volume_cm3": None
        if mass is None or factor is None
        else mass.value / factor.value * 1e6,
    }


def barrel_state(fits: list[Filed]) -> str | None:
    states = [fit["state"] for fit in fits]
    return next((state for state in SEVERITY if state in states), None)


def counted(evaluation: Filed) -> Filed:
    """ "Only the head of a chain enters barrels, fits, order, cover; head withdrawn: the one
    before counts." A pin to a barrel that does not count holds nothing."""
    bids = {bid["id"]: bid for bid in evaluation.get("bids") or []}
    revised = {bid.get("revises") for bid in bids.values()}
    heads = []
    for bid in (bid for name, bid in bids.items() if name not in revised):
        while bid is not None and bid.get("withdrawn"):
            bid = bids.get(bid.get("revises"))
        heads += [] if bid is None else [bid["id"]]
    kept = [bid for name, bid in bids.items() if name in heads]
    barrels = {b["id"] for bid in kept for unit in bid["units"] for b in unit["barrels"]}
    pins = [pin for pin in evaluation.get("assignment") or [] if pin["barrel"] in barrels]
    return {**evaluation, "bids": kept, "assignment": pins}


def results_of(evaluation: Filed) -> dict[str, Any]:
    """Return the results by the contract's names: jobs, barrels, fits."""
    evaluation = counted(evaluation)
    barrels: list[Filed] = []
    fits: list[Filed] = []
    for bid in evaluation.get("bids") or []:
        for unit in bid.get("units") or []:
            found = with_causes(evaluation, unit)
            for barrel in unit.get("barrels") or []:
                claims = found[barrel["id"]]
                sizes, why = sizes_of(evaluation, barrel, unit, claims["volume_geometry"])
                # What an unlikely stroke disputes, readings say, or a person has settled.
                sized = all(barrel.get(k) for k in ("screw_diameter", "stroke", "swept_volume"))
                said = why == "unsettled" or (sized and barrel.get("settled") is not None)
                held = {k: c for k, c in claims.items() if not said or k != "common_stroke"}
                in_doubt = disputes(evaluation, bid, barrel, sizes[0].route, held)
                cells = [
                    cell(evaluation, unit, barrel, job, sizes, why, in_doubt)
                    for job in evaluation.get("jobs") or []
                ]
                fits += cells
                known = appraised(unit)
                gate = gate_of(evaluation, unit, barrel, cells, why, in_doubt, known)
                barrels.append(
                    {
                        "id": barrel["id"],
                        "state": barrel_state(cells),
                        "unsettled": why == "unsettled",
                        "rated_basis": claims["rated_mass_basis"].basis or "not_stated",
                        **_volume(sizes),
                        **gate,
                        "claims": [_claim(key, claim) for key, claim in claims.items()],
                        "readings": [_reading(size) for size in sizes],
                    }
                )
    jobs = [_job(evaluation, job) for job in evaluation.get("jobs") or []]
    return {"jobs": jobs, "barrels": barrels, "fits": fits}


def _claim(key: str, claim: Claim) -> Filed:
    return {
        "key": key,
        "state": claim.state,
        "difference_percent": None if claim.gap is None else claim.gap * 100,
        "subject": claim.subject,
        "cause": claim.cause,
        "causes": list(claim.causes),
    }


def _reading(size: Size) -> Filed:
    spans = {"diameter": size.diameter, "stroke": size.stroke, "volume": size.volume}
    return {"name": size.name, **{k: None if v is None else v.value for k, v in spans.items()}}
