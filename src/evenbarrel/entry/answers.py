"""Answers to questions: where the datum asked for is entered, and the evaluation once it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, Literal

from pydantic import BaseModel

from evenbarrel.appraisal.results import Question
from evenbarrel.appraisal.unpriced import RATE
from evenbarrel.entry.shapes import Shape, shapes_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.changes import with_answer
from evenbarrel.model.cost import Cost
from evenbarrel.model.decision import Answer
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.words.numbers import printed

AnswerState = Literal["open", "asked", "answered", "accepted_as_is"]


def places_of(question: Question, evaluation: Evaluation) -> Iterator[tuple[edits.Path, Shape]]:
    """Yield where the datum that a question asks for stands, and what can stand there.

    Nothing where the datum is no field of a barrel, a unit, an offer, a job or the cost basis.
    """
    owners: tuple[tuple[type[BaseModel], list[edits.Path]], ...] = (
        (Barrel, [evaluation.barrel_path(name) for name in question.barrels]),
        (InjectionUnit, _units(question, evaluation)),
        (Bid, [] if question.bid is None else [("bids", question.bid)]),
        (Job, [("jobs", name) for name in question.jobs]),
        (Cost, [] if question.bid or question.jobs or question.barrels else [("cost",)]),
    )
    for model, paths in owners:
        shape = shapes_of(model).get(question.datum)
        if shape is not None and paths:
            yield from (((*path, question.datum), shape) for path in paths)
            return


def place_to_go(question: Question, evaluation: Evaluation) -> edits.Path | None:
    """Return where a person finds the datum of a question: itself, else the thing it is of."""
    path = next((path for path, _ in places_of(question, evaluation)), None)
    if path is not None:
        return path
    if question.key == RATE:
        return ("cost", "exchange_rates")
    if question.jobs:
        return ("jobs", question.jobs[0], question.datum)
    if question.barrels:
        return (*evaluation.barrel_path(question.barrels[0]), question.datum)
    return None if question.bid is None else ("bids", question.bid, question.datum)


def _units(question: Question, evaluation: Evaluation) -> list[edits.Path]:
    paths = (evaluation.barrel_path(name)[:4] for name in question.barrels)
    return list(dict.fromkeys(paths))


def with_state(
    evaluation: Evaluation, question: Question, state: AnswerState, day: date | None
) -> Evaluation:
    """Return the evaluation with a question marked; what was said of it stays."""
    known = next((one for one in evaluation.answers if one.question == question.id), None)
    if known is not None:
        return with_answer(evaluation, known.replace(state=state, date=day))
    answer = Answer(question=question.id, state=state, date=day, datum=question.datum)
    return with_answer(evaluation, answer)


def answered(
    evaluation: Evaluation,
    question: Question,
    values: Mapping[edits.Path, Any],
    text: str = "",
    day: date | None = None,
) -> Evaluation:
    """Return the evaluation with a question answered, in one step.

    Each value becomes the datum, a quantity or an amount as confirmed. The printed number stays
    in the answer; where several were replaced the answer's text names them all.
    """
    replaced = {path: edits.get(evaluation, path) for path in values}
    for path, value in values.items():
        given = (
            value.replace(standing="confirmed") if isinstance(value, Quantity | Money) else value
        )
        evaluation = edits.put(evaluation, path, given)
    before = [one for one in replaced.values() if isinstance(one, Quantity)]
    if len(before) > 1:
        names = {path: path[-2] for path in values}
        told = "; ".join(
            f"{names[path]} {printed(one)}"
            for path, one in replaced.items()
            if isinstance(one, Quantity)
        )
        text = f"{text} (printed before: {told})".strip()
    answer = Answer(
        question=question.id,
        state="answered",
        date=day,
        text=text,
        datum=question.datum,
        quantity=before[0] if len(before) == 1 else None,
    )
    return with_answer(evaluation, answer)
