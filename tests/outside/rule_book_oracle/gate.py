"""The gate of a barrel over a set of jobs: shut, waits or no objection, and the reasons."""

from __future__ import annotations

from itertools import combinations

from .quantities import Filed


def gate_jobs(evaluation: Filed, barrel: Filed) -> list[str]:
    """ "Every job that `assignment` does not pin to another barrel"."""
    pins: dict[str, set[str]] = {}
    for pin in evaluation.get("assignment") or []:
        pins.setdefault(pin["job"], set()).add(pin["barrel"])
    return [
        job["id"]
        for job in evaluation.get("jobs") or []
        if job["id"] not in pins or barrel["id"] in pins[job["id"]]
    ]


def runs(evaluation: Filed, deviation: Filed) -> bool:
    """ "`until` not before `as_of`; without `as_of` one with `until` does not run"."""
    until, today = deviation.get("until"), evaluation.get("as_of")
    return until is None or (today is not None and until >= today)


def decided(evaluation: Filed, barrel: Filed, job: str, key: str, refused: bool) -> bool:
    return any(
        each["barrel"] == barrel["id"]
        and each.get("job") in (None, job)
        and each["criterion"] == key
        and bool(each.get("refused")) == refused
        and (refused or runs(evaluation, each))
        for each in evaluation.get("deviations") or []
    )


def hazards(evaluation: Filed, job: Filed) -> set[str]:
    for resin in evaluation["resins"]:
        if resin["id"] == job.get("resin"):
            return set(resin.get("hazard_groups") or [])
    return set()


def incompatible(evaluation: Filed, left: Filed, right: Filed) -> bool:
    """Halogenated with acetal."""
    one, other = hazards(evaluation, left), hazards(evaluation, right)
    return any(
        "halogenated" in first and "acetal" in second
        for first, second in ((one, other), (other, one))
    )


def must_share(evaluation: Filed, unit: Filed, barrel: Filed, jobs: list[str]) -> bool:
    """Two jobs of the set pinned to one unit and copy that must never share a machine."""
    here = {each["id"] for each in unit["barrels"]}
    copies = {
        (pin["job"], pin.get("copy") or 1)
        for pin in evaluation.get("assignment") or []
        if pin["barrel"] in here and pin["job"] in jobs
    }
    filed = {job["id"]: job for job in evaluation["jobs"]}
    return any(
        one[1] == other[1] and incompatible(evaluation, filed[one[0]], filed[other[0]])
        for one, other in combinations(sorted(copies), 2)
    )


def gate_of(
    evaluation: Filed,
    unit: Filed,
    barrel: Filed,
    cells: list[Filed],
    why: str | None,
    in_doubt: dict[str, list[str]],
    known: bool,
) -> Filed:
    jobs = gate_jobs(evaluation, barrel)
    if not jobs or not known:
        return {"gate": None, "gate_jobs": jobs, "gate_because": []}
    extra = (evaluation.get("limits") or {}).get("required") or []
    required = {"capacity", "utilisation", "stroke", *extra}
    shut: set[tuple[str, str | None, str | None]] = set()
    waits: set[tuple[str, str | None, str | None]] = set()
    for cell in cells:
        if cell["job"] not in jobs:
            continue
        for found in cell["criteria"]:
            place = (found["key"], cell["job"])
            if found["state"] == "outside":
                _outside(evaluation, barrel, found, cell["job"], why, shut, waits)
            if found["state"] == "not_stated" and found["key"] in required:
                waits.add(("open", *place))
            if "beyond_unconfirmed" in found["because"]:
                waits.add(("beyond_unconfirmed", *place))
            if "disputed" in found["because"] and found["state"] != "not_stated":
                waits.add(("disputed", *place))
    if why == "unsettled":
        waits.add(("unsettled", None, None))
    if must_share(evaluation, unit, barrel, jobs):
        waits.add(("incompatible", None, None))
    gate, reasons = (
        ("shut", shut) if shut else ("waits", waits) if waits else ("no_objection", set())
    )
    return {
        "gate": gate,
        "gate_jobs": jobs,
        "gate_because": [
            {"kind": kind, "criterion": key, "job": job}
            for kind, key, job in sorted(reasons, key=lambda each: tuple(map(str, each)))
        ],
    }


def _outside(
    evaluation: Filed,
    barrel: Filed,
    found: Filed,
    job: str,
    why: str | None,
    shut: set[tuple[str, str | None, str | None]],
    waits: set[tuple[str, str | None, str | None]],
) -> None:
    """Physics and a resin's hard limit shut; a rule of thumb waits until accepted or refused."""
    key, basis = found["key"], found["basis"]
    # "no deviation can be accepted on an unsettled barrel"; "never `physical`"
    accepted = (
        basis != "physical"
        and why != "unsettled"
        and decided(evaluation, barrel, job, key, refused=False)
    )
    if basis in ("physical", "resin"):
        if not accepted:
            shut.add(("outside", key, job))
    elif decided(evaluation, barrel, job, key, refused=True):
        shut.add(("rule", key, job))
    elif not accepted:
        waits.add(("rule", key, job))
