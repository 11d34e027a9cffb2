"""What was decided elsewhere in the evaluation, as a line of a proposal would change it."""

from __future__ import annotations

from typing import Any

from evenbarrel.model.changes import with_answer, with_deviations
from evenbarrel.model.decision import Answer, Assignment, Deviation
from evenbarrel.model.evaluation import Evaluation


def standing_record(evaluation: Evaluation, record: Any) -> Any:
    """Return what is recorded of the same thing as `record` is, None where nothing is."""
    if isinstance(record, Answer):
        return next((one for one in evaluation.answers if one.question == record.question), None)
    if isinstance(record, Assignment):
        return record if record in evaluation.assignment else None
    key = (record.barrel, record.job, record.criterion)
    found = (o for o in evaluation.deviations if (o.barrel, o.job, o.criterion) == key)
    return next(found, None)


def with_record(evaluation: Evaluation, record: Any, before: str = "") -> Evaluation:
    """Return the evaluation with an answer, a deviation or a pin; a pin leaves the barrel `before`.

    Raises pydantic.ValidationError where it names what is not there.
    """
    if isinstance(record, Answer):
        return with_answer(evaluation, record)
    if isinstance(record, Deviation):
        return with_deviations(evaluation, (record,))
    left = record.replace(barrel=before) if before else record
    kept = (one for one in evaluation.assignment if one not in (left, record))
    return evaluation.replace(assignment=(*kept, record))
