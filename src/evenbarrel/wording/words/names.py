"""What people see a thing called: its name, or what it is and its place; never its id."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.resin import Resin

if TYPE_CHECKING:
    # Names are told before the first paint; the appraisal brings numpy along.
    from evenbarrel.appraisal.appraise import Appraisal

_UNIT = 4
"""Parts in the path of a unit."""


def unnamed(what: str, place: int) -> str:
    """Return what is called by its place, from 1, for want of a name: "Job 2 (no name yet)"."""
    return f"{what} {place} (no name yet)"


def unnamed_offer(reference: str, place: int) -> str:
    """Return what an offer is called that names no supplier: by its number, else its place."""
    return f"Offer {f'no. {reference}' if reference else place} (supplier not stated)"


def bid_called(evaluation: Evaluation, bid: Bid) -> str:
    """Return what a bid is called: its supplier, else that none is stated and which it is."""
    if bid.supplier or bid.is_own:
        return bid.supplier or "Own machines"
    places = {one.id: place for place, one in enumerate(evaluation.bids, 1)}
    return unnamed_offer(bid.reference, places[bid.id])


def job_called(evaluation: Evaluation, job: Job) -> str:
    """Return what a job is called: its mould, else its place: "Job 2 (no name yet)"."""
    return job.name or unnamed("Job", evaluation.jobs.index(job) + 1)


def resin_called(evaluation: Evaluation, resin: Resin) -> str:
    """Return what a resin is called, else its place: "Resin 2 (no name yet)"."""
    return resin.name or unnamed("Resin", evaluation.resins.index(resin) + 1)


def names_of_resins(evaluation: Evaluation) -> Mapping[str, str]:
    """Return what each resin is called, by its id; its place goes with a name that two share."""
    names = {resin.id: resin_called(evaluation, resin) for resin in evaluation.resins}
    counts = Counter(names.values())
    return {
        key: name if counts[name] == 1 else f"{name} (resin {place})"
        for place, (key, name) in enumerate(names.items(), 1)
    }


def unit_called(bid: Bid, unit: InjectionUnit) -> str:
    """Return what a unit of a bid is called: its designation, else "Injection unit 2"."""
    return unit.designation or f"Injection unit {bid.units.index(unit) + 1}"


def screw_called(unit: InjectionUnit, barrel: Barrel) -> str:
    """Return what a barrel of a unit is called: its label, else "Screw 2"."""
    return barrel.label or f"Screw {unit.barrels.index(barrel) + 1}"


def why_not_counted(bid: Bid) -> str:
    """Return in a word why a bid does not count: somebody withdrew it, or another revises it."""
    return "withdrawn" if bid.withdrawn else "revised"


def bid_line(bid: Bid, counts: bool, name: str) -> str:
    """Return a bid's name, and why it does not count where it does not."""
    return name if counts else f"{name}   {why_not_counted(bid)}"


def not_counted(evaluation: Evaluation) -> tuple[str, ...]:
    """Return a line of the offers that are kept and count no more; nothing where all count."""
    counting = {bid.id for bid in evaluation.counting_bids}
    gone = [
        ", ".join(filter(None, (bid_called(evaluation, bid), bid.reference, why_not_counted(bid))))
        for bid in evaluation.bids
        if bid.id not in counting
    ]
    return (f"Kept but not counted: {'; '.join(gone)}.",) if gone else ()


def name_at(evaluation: Evaluation, path: edits.Path) -> str:
    """Return what the bid, unit or barrel at `path` is called; KeyError where there is none."""
    bid = evaluation.bid(path[1])
    if len(path) < _UNIT:
        return bid_called(evaluation, bid)
    unit: InjectionUnit = edits.get(bid, path[2:4])
    if len(path) == _UNIT:
        return unit_called(bid, unit)
    return screw_called(unit, edits.get(unit, path[4:6]))


def barrel_name(appraisal: Appraisal, barrel: str) -> str:
    """Return a barrel as its supplier calls it: unit and screw designation."""
    return f"{unit_name(appraisal, barrel)} {screw_name(appraisal, barrel)}"


def barrel_names(appraisal: Appraisal, barrels: Iterable[str]) -> list[str]:
    """Return barrels as they are listed, a unit once before its screws: Unit 12 A, B."""
    names: list[str] = []
    before = None
    for barrel in barrels:
        bid, unit, _ = appraisal.evaluation.place(barrel)
        called = screw_name if (bid.id, unit.id) == before else barrel_name
        names.append(called(appraisal, barrel))
        before = bid.id, unit.id
    return names


def unit_name(appraisal: Appraisal, barrel: str) -> str:
    """Return the injection unit of a barrel as its supplier calls it, else by its place."""
    bid, unit, _ = appraisal.evaluation.place(barrel)
    return unit_called(bid, unit)


def screw_name(appraisal: Appraisal, barrel: str) -> str:
    """Return the screw designation of a barrel, else its place in the unit."""
    _, unit, entered = appraisal.evaluation.place(barrel)
    return screw_called(unit, entered)


def full_name(appraisal: Appraisal, barrel: str) -> str:
    """Return a barrel with its supplier before it, and whether its bid counts no more."""
    evaluation = appraisal.evaluation
    bid = evaluation.place(barrel)[0]
    gone = "" if evaluation.counts(barrel) else f" (offer {why_not_counted(bid)})"
    return f"{bid_called(evaluation, bid)}, {barrel_name(appraisal, barrel)}{gone}"


def supplier_name(appraisal: Appraisal, barrel: str) -> str:
    """Return whose a barrel is: its supplier, else what its bid is called."""
    evaluation = appraisal.evaluation
    return bid_called(evaluation, evaluation.place(barrel)[0])


def job_name(appraisal: Appraisal, job: str) -> str:
    """Return what a job is called, its place where it has no name."""
    return job_called(appraisal.evaluation, appraisal.evaluation.job(job))
