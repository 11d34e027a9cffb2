"""A data sheet that came back, taken: the questions that it answers are marked as answered."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from evenbarrel.appraisal.asked import ENDED, paths_asked
from evenbarrel.appraisal.results import Question
from evenbarrel.entry.answers import answered
from evenbarrel.intake.extract import Extract
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import with_answers
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.wording.sentences.asking.data_sheet import answered_in


def with_questions_answered(
    before: Evaluation,
    after: Evaluation,
    extract: Extract,
    questions: Iterable[Question],
    day: date,
    person: str = "",
) -> Evaluation:
    """Return the evaluation after a data sheet was taken, what it answers marked as answered.

    Of the `questions` that stand in the evaluation `before`, these are the bid's whose datum the
    sheet gave or changed. As wherever a question is answered, the datum becomes confirmed, and what
    was printed before stays in the answer. Of anything but a sheet sent for that bid nothing is
    marked.
    """
    if not extract.is_returned:
        return after
    for question in questions:
        if question.bid != extract.bid.bid or question.to != "supplier" or question.state in ENDED:
            continue
        given = _given(before, after, question)
        if given or _in_scope(before, question) != _in_scope(after, question):
            source = answered_in(extract.name)
            marked = answered(before, question, given, source, day, person)
            after = with_answers(
                after, [one for one in marked.answers if one.question == question.id]
            )
            for path in given:
                after = edits.put(after, path, edits.get(marked, path))
    return after


def _given(before: Evaluation, after: Evaluation, question: Question) -> dict[edits.Path, Any]:
    """Return the present value of a question's datum, where it differs from before."""
    values = {}
    for path in paths_asked(question, before):
        value = edits.get(after, path)
        if value not in (None, "", ()) and value != edits.get(before, path):
            values[path] = value
    return values


def _in_scope(evaluation: Evaluation, question: Question) -> tuple[ScopeLine, ...]:
    """Return what the bid says of the item of the scope that a question is about, if anything."""
    scope = evaluation.bid(question.bid or "").scope
    return tuple(line for line in scope if line.item == question.datum)
