"""Answers to questions: where the datum asked for is entered, and the evaluation once it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any, Literal

from pydantic import BaseModel

from evenbarrel.appraisal.asked import about, paths_asked, stood_at
from evenbarrel.appraisal.results import Question
from evenbarrel.entry.shapes import Shape, shapes_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import with_answers
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.record.decision import Answer, QuestionState

AnswerState = Literal["open", "asked", "answered", "accepted_as_is"]


def places_of(question: Question, evaluation: Evaluation) -> Iterator[tuple[edits.Path, Shape]]:
    """Yield where the datum that a question asks for stands, and what can stand there.

    Nothing where the datum is no field of a barrel, a unit, an offer, a job or the cost basis.
    """
    for path in paths_asked(question, evaluation):
        owner: BaseModel = edits.get(evaluation, path[:-1])
        shape = shapes_of(type(owner)).get(question.datum)
        if shape is not None:
            yield path, shape


def with_states(
    evaluation: Evaluation, questions: Sequence[Question], state: QuestionState
) -> Evaluation:
    """Return the evaluation with questions marked in one step; what became of them before stays.

    What each is about is kept with it: where that changes, the question is open again.
    """
    known = {answer.question: answer for answer in evaluation.answers}
    stated = []
    for question in questions:
        stood = about(evaluation, paths_asked(question, evaluation))
        stated.append(_answer(question, state.replace(about=stood), known.get(question.id)))
    return with_answers(evaluation, stated)


def _answer(question: Question, state: QuestionState, known: Answer | None) -> Answer:
    """Return what became of a question last, with all that became of it before."""
    earlier = () if known is None else (*known.earlier, QuestionState(**_of_state(known)))
    return Answer(question=question.id, datum=question.datum, earlier=earlier, **_of_state(state))


def _of_state(state: QuestionState) -> dict[str, Any]:
    return {name: getattr(state, name) for name in QuestionState.model_fields}


def answered(
    evaluation: Evaluation,
    question: Question,
    values: Mapping[edits.Path, Any],
    text: str = "",
    day: date | None = None,
    person: str = "",
) -> Evaluation:
    """Return the evaluation with a question answered for one screw or several, in one step.

    Each value becomes the datum, a quantity or an amount as confirmed. What was printed before
    stays in the answer, for each screw in `replaced` and in `quantity` where it is a single number.
    """
    stood = [stood_at(evaluation, path) for path in values]
    replaced = tuple(one for one in stood if one.quantity is not None or one.text)
    for path, value in values.items():
        given = (
            value.replace(standing="confirmed") if isinstance(value, Quantity | Money) else value
        )
        evaluation = edits.put(evaluation, path, given)
    numbers = [one.quantity for one in replaced if one.quantity is not None]
    paths = paths_asked(question, evaluation)
    if values:
        # What was answered for some screws is still asked of those that state nothing.
        paths = tuple(path for path in paths if edits.get(evaluation, path) is not None)
    state = QuestionState(
        about=about(evaluation, paths),
        state="answered",
        person=person,
        date=day,
        text=text,
        quantity=numbers[0] if len(numbers) == 1 else None,
        replaced=replaced,
    )
    known = next((one for one in evaluation.answers if one.question == question.id), None)
    return with_answers(evaluation, [_answer(question, state, known)])
