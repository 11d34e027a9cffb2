"""Where two results differ, readable: place, name, what the rule book gives, what the program."""

from __future__ import annotations

from collections.abc import Iterator
from math import isclose
from typing import Any

from .quantities import Filed

NUMBERS = (
    *("value", "value_low", "value_high", "allowed_low", "allowed_high"),
    *("comfort_low", "comfort_high", "margin", "comfort_margin"),
)
CODES = ("state", "basis", "at", "soft")
SETS = ("because", "missing")
BARREL = ("state", "unsettled", "swept_volume_route", "rated_basis", "gate")
VOLUMES = ("swept_volume_cm3", "swept_volume_low_cm3", "swept_volume_high_cm3")


def same_number(left: float | None, right: float | None) -> bool:
    if left is None or right is None:
        return left is right
    return isclose(left, right, rel_tol=1e-9, abs_tol=1e-12)


def by(results: list[Filed], *names: str) -> dict[tuple[str, ...], Filed]:
    return {tuple(each[name] for name in names): each for each in results}


Difference = tuple[str, str, Any, Any]


def differences(ours: Filed, theirs: Filed) -> Iterator[Difference]:
    """Yield (place, name, by the rule book, by the program) for all that differs."""
    yield from _numbers("job", by(ours["jobs"], "id"), by(theirs["jobs"], "id"))
    program = by(theirs["barrels"], "id")
    for key, barrel in by(ours["barrels"], "id").items():
        yield from _barrel(key[0], barrel, program[key])
    cells = by(theirs["fits"], "barrel", "job")
    for place, fit in by(ours["fits"], "barrel", "job").items():
        yield from _fit(" x ".join(place), fit, cells[place])


def _numbers(kind: str, ours: dict[Any, Filed], theirs: dict[Any, Filed]) -> Iterator[Difference]:
    for key, job in ours.items():
        for name in ("shot_mass_g", "shot_volume_cm3", "output_factor_g_cm3"):
            if not same_number(job[name], theirs[key][name]):
                yield f"{kind} {key[0]}", name, job[name], theirs[key][name]


def _barrel(place: str, ours: Filed, theirs: Filed) -> Iterator[Difference]:
    for name in BARREL:
        if ours[name] != theirs[name]:
            yield place, name, ours[name], theirs[name]
    for name in VOLUMES:
        if not same_number(ours[name], theirs[name]):
            yield place, name, ours[name], theirs[name]
    if set(ours["gate_jobs"]) != set(theirs["gate_jobs"]):
        yield place, "gate_jobs", ours["gate_jobs"], theirs["gate_jobs"]
    ways = ("kind", "criterion", "job")
    reasons = [
        {tuple(each.get(way) for way in ways) for each in results["gate_because"]}
        for results in (ours, theirs)
    ]
    # A reason of the whole barrel may name a claim or a job of its own.
    whole = ("unsettled", "incompatible")
    left, right = ({r if r[0] not in whole else (r[0],) for r in each} for each in reasons)
    if left != right:
        yield place, "gate_because", sorted(map(str, left - right)), sorted(map(str, right - left))
    claims = {each["key"]: each for each in theirs["claims"]}
    for claim in ours["claims"]:
        yield from _claim(f"{place} {claim['key']}", claim, claims[claim["key"]])


def _claim(place: str, ours: Filed, theirs: Filed) -> Iterator[Difference]:
    if ours["state"] != theirs["state"]:
        yield place, "claim state", ours["state"], theirs["state"]
    gap = ours["difference_percent"]
    # Which stroke of the unit a size number takes is not said.
    if ours["key"] == "size_number":
        gap = None
    if gap is not None and not same_number(gap / 100 + 1, _gap(theirs)):
        yield place, "claim gap", gap, theirs["difference_percent"]
    # The slips of a rated mass enter no criterion, and the rules say little of them.
    if ours["key"] != "rated_mass_basis" and set(ours["causes"]) != set(theirs["causes"]):
        yield place, "claim causes", ours["causes"], theirs["causes"]


def _gap(claim: Filed) -> float | None:
    gap = claim["difference_percent"]
    return None if gap is None else gap / 100 + 1


def _fit(place: str, ours: Filed, theirs: Filed) -> Iterator[Difference]:
    for name in ("state", "binding"):
        if ours[name] != theirs[name]:
            yield place, f"cell {name}", ours[name], theirs[name]
    if set(ours["open"]) != set(theirs["open"]):
        ways = set(ours["open"]), set(theirs["open"])
        yield place, "cell open", sorted(ways[0] - ways[1]), sorted(ways[1] - ways[0])
    program = {each["key"]: each for each in theirs["criteria"]}
    for criterion in ours["criteria"]:
        found = program[criterion["key"]]
        yield from _criterion(f"{place} {criterion['key']}", criterion, found, ours["applies"])


def _criterion(place: str, ours: Filed, theirs: Filed, applies: bool) -> Iterator[Difference]:
    """What a method that does not apply would give is nobody's business; its state is."""
    for name in CODES if applies else ("state", "basis", "soft"):
        if ours[name] != theirs[name]:
            yield place, name, ours[name], theirs[name]
    for name in SETS if applies else ("because",):
        if set(ours[name]) != set(theirs[name]):
            yield place, name, sorted(ours[name]), sorted(theirs[name])
    for name in NUMBERS if applies else ():
        if not same_number(ours[name], theirs[name]):
            yield place, name, ours[name], theirs[name]
