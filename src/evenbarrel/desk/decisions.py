"""What people decide, as changes of an evaluation: volumes, answers, deviations, signatures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any, Literal

from pydantic import BaseModel

from evenbarrel import __version__
from evenbarrel.desk.fields.reading import Shape, shapes_of
from evenbarrel.model import edit as edits
from evenbarrel.model.bid import Barrel, Bid, InjectionUnit, Settled
from evenbarrel.model.decision import Answer, Deviation, SignOff
from evenbarrel.model.digest import SCHEME, digest
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.numbers import printed

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.appraisal.results import Question

AnswerState = Literal["open", "asked", "answered", "accepted_as_is"]


def datum_path(evaluation: Evaluation, owner: str, datum: str) -> edits.Path:
    """Return where a datum of a barrel, its unit or an offer stands; raises StopIteration."""
    if any(bid.id == owner for bid in evaluation.bids):
        return ("bids", owner, datum)
    path = evaluation.barrel_path(owner)
    if datum in Barrel.model_fields:
        return (*path, datum)
    return (*path[:4], datum) if datum in InjectionUnit.model_fields else (*path[:2], datum)


def settled(evaluation: Evaluation, barrel: str, decision: Settled | None) -> Evaluation:
    """Return the evaluation with a decision on a barrel's volume, or without one."""
    return edits.put(evaluation, (*evaluation.barrel_path(barrel), "settled"), decision)


def places_of(question: Question, evaluation: Evaluation) -> Iterator[tuple[edits.Path, Shape]]:
    """Yield where the datum that a question asks for stands, and what can stand there.

    Nothing where the datum is no field of a barrel, a unit, an offer or a job.
    """
    owners: tuple[tuple[type[BaseModel], list[edits.Path]], ...] = (
        (Barrel, [evaluation.barrel_path(name) for name in question.barrels]),
        (InjectionUnit, _units(question, evaluation)),
        (Bid, [] if question.bid is None else [("bids", question.bid)]),
        (Job, [("jobs", name) for name in question.jobs]),
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
        return _with_answer(evaluation, known.replace(state=state, date=day))
    answer = Answer(question=question.id, state=state, date=day, datum=question.datum)
    return _with_answer(evaluation, answer)


def answered(
    evaluation: Evaluation,
    question: Question,
    values: Mapping[edits.Path, Any],
    text: str = "",
    day: date | None = None,
) -> Evaluation:
    """Return the evaluation with a question answered, in one step.

    Each value becomes the datum, a quantity as confirmed. The printed number stays in the answer;
    where several were replaced the answer's text names them all.
    """
    replaced = {path: edits.get(evaluation, path) for path in values}
    for path, value in values.items():
        given = value.replace(standing="confirmed") if isinstance(value, Quantity) else value
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
    return _with_answer(evaluation, answer)


def _with_answer(evaluation: Evaluation, answer: Answer) -> Evaluation:
    others = tuple(one for one in evaluation.answers if one.question != answer.question)
    return evaluation.replace(answers=(*others, answer))


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


def digests(appraisal: Appraisal) -> tuple[str, str]:
    """Return the digests of the evaluation and of its results."""
    from evenbarrel.appraisal.published import publish, results_digest
    from evenbarrel.wording.questions import question_texts

    results = publish(appraisal, question_texts(appraisal))
    return results.evaluation.digest, results_digest(results)


def signed(appraisal: Appraisal, values: Mapping[str, Any]) -> Evaluation:
    """Return the evaluation with a signature under exactly what stands in it now.

    `values` gives role, person, date, statement and conditions.
    """
    evaluation = appraisal.evaluation
    sign_off = SignOff(
        **values,
        scheme=SCHEME,
        digest=digest(evaluation),
        results_digest=digests(appraisal)[1],
        program_version=__version__,
    )
    return evaluation.replace(sign_offs=(*evaluation.sign_offs, sign_off))
