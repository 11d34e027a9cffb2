"""Pure edits of an evaluation: new things and copies with ids of their own, decisions."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from string import ascii_uppercase
from typing import Any

from evenbarrel.model import datum_path as edits
from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit, Settled
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import (
    Answer,
    Assignment,
    ConfirmedLimit,
    Deviation,
    JobOnBarrel,
    Proposal,
    SignedState,
    SignOff,
)
from evenbarrel.model.resin import Resin


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
    """Return an empty barrel of `unit` with the next letter as its designation.

    The stroke is the unit's: where every other barrel states the same one, it is taken over.
    """
    strokes = {barrel.stroke for barrel in unit.barrels}
    stroke = strokes.pop() if len(strokes) == 1 else None
    return Barrel(
        id=edits.free_id(all_ids(evaluation), "barrel"), label=_next_letter(unit), stroke=stroke
    )


def copy_of_barrel(evaluation: Evaluation, unit: InjectionUnit, barrel: Barrel) -> Barrel:
    """Return a copy of `barrel`, designated by the unit's next letter; no decision is copied."""
    return barrel.replace(
        id=edits.free_id(all_ids(evaluation), "barrel"),
        label=_next_letter(unit),
        settled=None,
        revises=None,
    )


def new_job(evaluation: Evaluation) -> Job:
    """Return an empty planned job."""
    return new_jobs(evaluation, 1)[0]


def new_jobs(evaluation: Evaluation, count: int) -> tuple[Job, ...]:
    """Return so many empty planned jobs."""
    taken = {job.id for job in evaluation.jobs}
    free = (name for number in itertools.count(1) if (name := f"job{number}") not in taken)
    return tuple(Job(id=name) for name in itertools.islice(free, count))


def new_barrels(evaluation: Evaluation, unit: InjectionUnit, count: int) -> tuple[Barrel, ...]:
    """Return so many empty barrels of `unit`, each as `new_barrel` makes one."""
    made: list[Barrel] = []
    taken = all_ids(evaluation)
    for _ in range(count):
        barrel = new_barrel(evaluation, unit).replace(id=edits.free_id(taken, "barrel"))
        taken.add(barrel.id)
        unit = unit.replace(barrels=(*unit.barrels, barrel))
        made.append(barrel)
    return tuple(made)


def copy_of_job(evaluation: Evaluation, job: Job) -> Job:
    """Return a copy of `job`."""
    return job.replace(id=new_job(evaluation).id)


def with_data(
    evaluation: Evaluation,
    rows: edits.Path,
    values: Mapping[str, Mapping[str, Any]],
    added: Sequence[Frozen] = (),
) -> Evaluation:
    """Return the evaluation with many data changed at once, and things added.

    `values` are by id and field, of things in the tuple at `rows`; `added` go to its end. Raises
    pydantic.ValidationError where one does not fit: then none is changed.
    """

    def changed(items: tuple[Any, ...]) -> tuple[Any, ...]:
        kept = (one.replace(**values[one.id]) if one.id in values else one for one in items)
        return (*kept, *added)

    return edits.change(evaluation, rows, changed)


def _next_letter(unit: InjectionUnit) -> str:
    taken = {barrel.label for barrel in unit.barrels}
    return next((letter for letter in ascii_uppercase if letter not in taken), "")


def without_barrels(evaluation: Evaluation, gone: set[str]) -> Evaluation:
    """Return the evaluation without what refers to barrels that are `gone`.

    A barrel that revised one of them stands in for the one before it.
    """
    revised = {barrel.id: barrel.revises for _, _, barrel in evaluation.barrels()}
    bids = tuple(_without_references(bid, gone, revised) for bid in evaluation.bids)
    proposal = evaluation.proposal
    if proposal is not None:
        left = tuple(barrel for barrel in proposal.barrels if barrel not in gone)
        jobs = tuple(one for one in proposal.jobs if one.barrel not in gone)
        proposal = proposal.replace(barrels=left, jobs=jobs) if left else None
    options = evaluation.cover_options
    return evaluation.replace(
        bids=bids,
        deviations=tuple(d for d in evaluation.deviations if d.barrel not in gone),
        assignment=tuple(a for a in evaluation.assignment if a.barrel not in gone),
        proposal=proposal,
        cover_options=options.replace(
            forbidden=tuple(one for one in options.forbidden if one.barrel not in gone)
        ),
        acceptance=tuple(one for one in evaluation.acceptance if one.barrel not in gone),
    )


def _without_references(bid: Bid, gone: set[str], revised: dict[str, str | None]) -> Bid:
    """Return the bid in which nothing names a barrel that is `gone`."""
    units = tuple(
        unit.replace(
            barrels=tuple(
                barrel.replace(revises=_left_of_chain(barrel.id, gone, revised))
                for barrel in unit.barrels
            ),
            standard_barrel=None if unit.standard_barrel in gone else unit.standard_barrel,
        )
        if unit.standard_barrel in gone or any(b.id in gone or b.revises for b in unit.barrels)
        else unit
        for unit in bid.units
    )
    guarantees = tuple(one for one in bid.guarantees if one.barrel not in gone)
    if units == bid.units and guarantees == bid.guarantees:
        return bid
    return bid.replace(units=units, guarantees=guarantees)


def _left_of_chain(name: str, gone: set[str], revised: dict[str, str | None]) -> str | None:
    """Return what a thing revises once others are gone; what is gone revises nothing."""
    if name in gone:
        return None
    earlier = revised[name]
    while earlier is not None and earlier in gone:
        earlier = revised[earlier]
    return earlier


def without_job(evaluation: Evaluation, job: str) -> Evaluation:
    """Return the evaluation without a job and what refers to it."""
    proposal, options = evaluation.proposal, evaluation.cover_options
    trimmed = evaluation.replace(
        deviations=tuple(d for d in evaluation.deviations if d.job != job),
        assignment=tuple(a for a in evaluation.assignment if a.job != job),
        proposal=None
        if proposal is None
        else proposal.replace(jobs=tuple(one for one in proposal.jobs if one.job != job)),
        cover_options=options.replace(
            forbidden=tuple(one for one in options.forbidden if one.job != job)
        ),
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
    trimmed = without_barrels(evaluation, gone)
    if isinstance(thing, Bid):
        revised = {bid.id: bid.revises for bid in evaluation.bids}
        left = {name: _left_of_chain(name, {thing.id}, revised) for name in revised}
        trimmed = trimmed.replace(
            bids=tuple(
                bid if bid.revises == left[bid.id] else bid.replace(revises=left[bid.id])
                for bid in trimmed.bids
            )
        )
    return edits.remove(trimmed, path)


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


def only_unit_of(evaluation: Evaluation, barrel: str) -> Evaluation:
    """Return the evaluation as if the unit of a barrel were all that is offered.

    What names barrels that are then gone is left out with them; raises KeyError.
    """
    return only_units_of(evaluation, (barrel,))


def only_units_of(evaluation: Evaluation, barrels: Collection[str]) -> Evaluation:
    """Return the evaluation as if the units of some barrels were all that is offered.

    What names barrels that are then gone is left out with them; raises KeyError.
    """
    units = {evaluation.place(barrel)[1].id for barrel in barrels}
    gone = {one.id for _, unit, one in evaluation.barrels() if unit.id not in units}
    trimmed = without_barrels(evaluation, gone)
    kept = ((bid, tuple(unit for unit in bid.units if unit.id in units)) for bid in trimmed.bids)
    return trimmed.replace(
        bids=tuple(bid.replace(units=own, revises=None) for bid, own in kept if own)
    )


def with_deviations(evaluation: Evaluation, deviations: Sequence[Deviation]) -> Evaluation:
    """Return the evaluation with decisions on criteria, in place of earlier ones on the same.

    A decision on one job takes that job out of an earlier one on all jobs of the barrel.
    """
    decided = {(one.barrel, one.job, one.criterion) for one in deviations}
    jobs = tuple(job.id for job in evaluation.jobs)
    kept = (left for one in evaluation.deviations for left in _undecided(one, decided, jobs))
    return evaluation.replace(deviations=(*kept, *deviations))


def _undecided(
    one: Deviation, decided: Collection[tuple[str, str | None, str]], jobs: Sequence[str]
) -> Iterator[Deviation]:
    """Yield what is left of a decision once others are `decided` anew."""
    key = (one.barrel, one.criterion)
    if (key[0], one.job, key[1]) in decided or (key[0], None, key[1]) in decided:
        return
    left = tuple(job for job in jobs if (key[0], job, key[1]) not in decided)
    if one.job is not None or len(left) == len(jobs):
        yield one
    else:
        yield from (one.replace(job=job) for job in left)


def without_deviations(evaluation: Evaluation, places: Collection[int]) -> Evaluation:
    """Return the evaluation without the deviations at those places."""
    kept = (one for index, one in enumerate(evaluation.deviations) if index not in places)
    return evaluation.replace(deviations=tuple(kept))


def with_confirmed_limits(evaluation: Evaluation, limits: Sequence[ConfirmedLimit]) -> Evaluation:
    """Return the evaluation with limits confirmed, in place of what was said of them before."""
    named = {(one.resin, one.field) for one in limits}
    kept = (o for o in evaluation.confirmed_limits if (o.resin, o.field) not in named)
    return evaluation.replace(confirmed_limits=(*kept, *limits))


def without_confirmed_limits(evaluation: Evaluation, places: Collection[int]) -> Evaluation:
    """Return the evaluation without the confirmations at those places."""
    kept = (one for index, one in enumerate(evaluation.confirmed_limits) if index not in places)
    return evaluation.replace(confirmed_limits=tuple(kept))


def pinned(
    evaluation: Evaluation, jobs: Collection[str], barrels: Sequence[str], copy: int = 1
) -> Evaluation:
    """Return the evaluation in which these jobs run on these barrels only; on any, if none.

    Each job goes on that copy of each barrel.
    """
    kept = (one for one in evaluation.assignment if one.job not in jobs)
    pins = (
        Assignment(job=job.id, barrel=barrel, copy=copy)
        for job in evaluation.jobs
        if job.id in jobs
        for barrel in barrels
    )
    return evaluation.replace(assignment=(*kept, *pins))


def with_sign_off(evaluation: Evaluation, sign_off: SignOff, state: SignedState) -> Evaluation:
    """Return the evaluation with one more signature, and once what its digest signs."""
    states = evaluation.signed_states
    if all(one.digest != state.digest for one in states):
        states = (*states, state)
    return evaluation.replace(sign_offs=(*evaluation.sign_offs, sign_off), signed_states=states)


def without_sign_off(evaluation: Evaluation, place: int) -> Evaluation:
    """Return the evaluation without the signature at that place, and what it alone signed."""
    kept = tuple(one for index, one in enumerate(evaluation.sign_offs) if index != place)
    signed = {(one.carried or one).digest for one in kept}
    return evaluation.replace(
        sign_offs=kept,
        signed_states=tuple(one for one in evaluation.signed_states if one.digest in signed),
    )


def with_proposal(
    evaluation: Evaluation,
    jobs_of: Mapping[str, Sequence[str]],
    reason: str,
    person: str,
    day: date | None,
) -> Evaluation:
    """Return the evaluation with a proposal: barrels, each with the jobs it runs."""
    proposal = proposal_of(jobs_of).replace(reason=reason, person=person, date=day)
    return evaluation.replace(proposal=proposal)


def proposal_of(jobs_of: Mapping[str, Sequence[str]]) -> Proposal:
    """Return a proposal of barrels, each with the jobs it runs, that nobody stands by yet."""
    jobs = tuple(
        JobOnBarrel(job=job, barrel=barrel) for barrel, of_it in jobs_of.items() for job in of_it
    )
    return Proposal(barrels=tuple(jobs_of), jobs=jobs)


def last_person(evaluation: Evaluation) -> str:
    """Return who last asked, or ended, a question and gave a name; "" where nobody did."""
    return next((one.person for one in reversed(evaluation.answers) if one.person), "")


def with_answers(evaluation: Evaluation, answers: Iterable[Answer]) -> Evaluation:
    """Return the evaluation with answers, each in place of what was said of its question before."""
    given = {answer.question: answer for answer in answers}
    others = (one for one in evaluation.answers if one.question not in given)
    return evaluation.replace(answers=(*others, *given.values()))


def with_air_shots(evaluation: Evaluation, resin: str, factor: Quantity) -> Evaluation:
    """Return the evaluation in which a resin's output factor is the one weighed in air shots.

    The factors by other routes stay as they are; raises KeyError for an unknown resin.
    """

    def taken(entered: Resin) -> Resin:
        factors = entered.output_factors.replace(air_shot=factor)
        return entered.replace(output_factors=factors, output_factor_route="air_shot")

    return edits.change(evaluation, ("resins", resin), taken)
