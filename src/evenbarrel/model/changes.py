"""Pure edits of an evaluation: new things and copies with ids of their own, decisions."""

from __future__ import annotations

from string import ascii_uppercase

from evenbarrel.model import datum_path as edits
from evenbarrel.model.bid import Barrel, Bid, InjectionUnit, Settled
from evenbarrel.model.decision import Answer, Deviation
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job


def with_new_ids(bid: Bid, evaluation: Evaluation) -> Bid:
    """Return `bid` in which every id that the evaluation has already is given anew."""
    taken = all_ids(evaluation)

    def free(name: str, stem: str) -> str:
        fresh = name if name not in taken else edits.free_id(taken, stem)
        taken.add(fresh)
        return fresh

    units = tuple(
        unit.replace(
            id=free(unit.id, "unit"),
            barrels=tuple(b.replace(id=free(b.id, "barrel")) for b in unit.barrels),
        )
        for unit in bid.units
    )
    return bid.replace(id=free(bid.id, "bid"), units=units)


def all_ids(evaluation: Evaluation) -> set[str]:
    """Return every id of bids, units and barrels."""
    ids = {bid.id for bid in evaluation.bids}
    ids |= {unit.id for bid in evaluation.bids for unit in bid.units}
    return ids | {barrel.id for _, _, barrel in evaluation.barrels()}


def new_bid(evaluation: Evaluation) -> Bid:
    """Return an empty bid."""
    return Bid(id=edits.free_id(all_ids(evaluation), "bid"))


def new_unit(evaluation: Evaluation) -> InjectionUnit:
    """Return an empty injection unit."""
    return InjectionUnit(id=edits.free_id(all_ids(evaluation), "unit"))


def new_barrel(evaluation: Evaluation, unit: InjectionUnit) -> Barrel:
    """Return an empty barrel of `unit` with the next screw letter.

    The stroke is the unit's: where every other barrel states the same one, it is taken over.
    """
    strokes = {barrel.stroke for barrel in unit.barrels}
    stroke = strokes.pop() if len(strokes) == 1 else None
    return Barrel(
        id=edits.free_id(all_ids(evaluation), "barrel"), label=_next_letter(unit), stroke=stroke
    )


def copy_of_barrel(evaluation: Evaluation, unit: InjectionUnit, barrel: Barrel) -> Barrel:
    """Return a copy of `barrel` with the unit's next screw letter; no decision is copied."""
    return barrel.replace(
        id=edits.free_id(all_ids(evaluation), "barrel"), label=_next_letter(unit), settled=None
    )


def new_job(evaluation: Evaluation) -> Job:
    """Return an empty planned job."""
    return Job(id=edits.free_id({job.id for job in evaluation.jobs}, "job"))


def copy_of_job(evaluation: Evaluation, job: Job) -> Job:
    """Return a copy of `job`."""
    return job.replace(id=new_job(evaluation).id)


def _next_letter(unit: InjectionUnit) -> str:
    taken = {barrel.label for barrel in unit.barrels}
    return next((letter for letter in ascii_uppercase if letter not in taken), "")


def without_barrels(evaluation: Evaluation, gone: set[str]) -> Evaluation:
    """Return the evaluation without what refers to barrels that are `gone`."""
    return evaluation.replace(
        deviations=tuple(d for d in evaluation.deviations if d.barrel not in gone),
        assignment=tuple(a for a in evaluation.assignment if a.barrel not in gone),
    )


def without_job(evaluation: Evaluation, job: str) -> Evaluation:
    """Return the evaluation without a job and what refers to it."""
    trimmed = evaluation.replace(
        deviations=tuple(d for d in evaluation.deviations if d.job != job),
        assignment=tuple(a for a in evaluation.assignment if a.job != job),
    )
    return edits.remove(trimmed, ("jobs", job))


def without_branch(evaluation: Evaluation, path: edits.Path) -> Evaluation:
    """Return the evaluation without the bid, unit or barrel at `path` and what refers to it."""
    thing = edits.get(evaluation, path)
    units = thing.units if isinstance(thing, Bid) else (thing,)
    gone = (
        {thing.id}
        if isinstance(thing, Barrel)
        else {barrel.id for unit in units for barrel in unit.barrels}
    )
    return edits.remove(without_barrels(evaluation, gone), path)


def datum_path(evaluation: Evaluation, owner: str, datum: str) -> edits.Path:
    """Return where a datum of a barrel, its unit or an offer stands; raises KeyError."""
    if any(bid.id == owner for bid in evaluation.bids):
        return ("bids", owner, datum)
    path = evaluation.barrel_path(owner)
    if datum in Barrel.model_fields:
        return (*path, datum)
    return (*path[:4], datum) if datum in InjectionUnit.model_fields else (*path[:2], datum)


def settled(evaluation: Evaluation, barrel: str, decision: Settled | None) -> Evaluation:
    """Return the evaluation with a decision on a barrel's volume, or without one."""
    return edits.put(evaluation, (*evaluation.barrel_path(barrel), "settled"), decision)


def with_deviation(evaluation: Evaluation, deviation: Deviation) -> Evaluation:
    """Return the evaluation with one more accepted deviation."""
    return evaluation.replace(deviations=(*evaluation.deviations, deviation))


def without_deviation(evaluation: Evaluation, place: int) -> Evaluation:
    """Return the evaluation without the deviation at that place."""
    kept = (one for index, one in enumerate(evaluation.deviations) if index != place)
    return evaluation.replace(deviations=tuple(kept))


def without_sign_off(evaluation: Evaluation, place: int) -> Evaluation:
    """Return the evaluation without the signature at that place."""
    kept = (one for index, one in enumerate(evaluation.sign_offs) if index != place)
    return evaluation.replace(sign_offs=tuple(kept))


def with_answer(evaluation: Evaluation, answer: Answer) -> Evaluation:
    """Return the evaluation with an answer, in place of what was said of its question before."""
    others = tuple(one for one in evaluation.answers if one.question != answer.question)
    return evaluation.replace(answers=(*others, answer))
