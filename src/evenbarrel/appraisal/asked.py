"""What a question is about: where its datum stands, and whether that is what it was when asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pydantic import BaseModel

from evenbarrel.appraisal.claims.doubt import question_id
from evenbarrel.appraisal.results import Question
from evenbarrel.appraisal.unpriced import RATE
from evenbarrel.model import datum_path as edits
from evenbarrel.model.cost import Cost
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import Answer, QuestionState, Stood

ENDED = ("answered", "accepted_as_is")
"""States in which nobody waits any more."""

Ended = Callable[[str, str, str], bool]
"""Says of a bid, a datum and a barrel whether its question was answered or left as it is."""


def paths_asked(question: Question, evaluation: Evaluation) -> tuple[edits.Path, ...]:
    """Return where the datum of a question stands, for each thing that it asks about.

    Nothing where the datum is no field of a barrel, a unit, an offer, a job or the cost basis.
    """
    barrels = [evaluation.barrel_path(name) for name in question.barrels]
    owners: tuple[tuple[type[BaseModel], Sequence[edits.Path]], ...] = (
        (Barrel, barrels),
        (InjectionUnit, list(dict.fromkeys(path[:4] for path in barrels))),
        (Bid, [] if question.bid is None else [("bids", question.bid)]),
        (Job, [("jobs", name) for name in question.jobs]),
        (Cost, [] if question.bid or question.jobs or barrels else [("cost",)]),
    )
    for model, paths in owners:
        if paths and question.datum in model.model_fields:
            return tuple((*path, question.datum) for path in paths)
    return ()


def place_to_go(question: Question, evaluation: Evaluation) -> edits.Path | None:
    """Return where a person finds the datum of a question: itself, else the thing it is of."""
    paths = paths_asked(question, evaluation)
    if paths:
        return paths[0]
    if question.key == RATE:
        return ("cost", "exchange_rates")
    if question.jobs:
        return ("jobs", question.jobs[0], question.datum)
    if question.barrels:
        return (*evaluation.barrel_path(question.barrels[0]), question.datum)
    return None if question.bid is None else ("bids", question.bid, question.datum)


def stood_at(evaluation: Evaluation, path: edits.Path) -> Stood:
    """Return the present value of a datum with the thing it belongs to, a quantity in full."""
    value = edits.get(evaluation, path)
    if isinstance(value, Quantity):
        return Stood(of=path[-2], quantity=value)
    text = value.model_dump_json() if isinstance(value, BaseModel) else str(value)
    return Stood(of=path[-2], text="" if value is None else text)


def about(evaluation: Evaluation, paths: Sequence[edits.Path]) -> tuple[Stood, ...]:
    """Return the present value of each datum of a question, numbers bare: what it is about."""
    return tuple(_bare(stood_at(evaluation, path)) for path in paths)


def is_of(state: QuestionState, evaluation: Evaluation, path: edits.Path) -> bool:
    """Say whether the state of a question is about the value that is at a path now.

    A state that does not say what it was about, as in older files, applies to any value.
    """
    return not state.about or _bare(stood_at(evaluation, path)) in map(_bare, state.about)


def _bare(stood: Stood) -> Stood:
    number = stood.quantity
    if number is None:
        return stood
    bare = Quantity(magnitude=number.magnitude, unit=number.unit)
    return Stood(of=stood.of, quantity=bare)


def ended_questions(evaluation: Evaluation) -> Ended:
    """Return what says of a question on a barrel whether a person ended it.

    Where its datum is another since, what was said was about another number and ends nothing.
    """
    answers: dict[str, Answer] = {a.question: a for a in evaluation.answers if a.state in ENDED}

    def ended(bid: str, datum: str, barrel: str) -> bool:
        answer = answers.get(question_id(bid, datum))
        if answer is None:
            return False
        path = evaluation.barrel_path(barrel)
        owner = path if datum in Barrel.model_fields else path[:4]
        if datum not in Barrel.model_fields and datum not in InjectionUnit.model_fields:
            return True
        return is_of(answer, evaluation, (*owner, datum))

    return ended
