"""The list of questions is told anew wherever it would say anything else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.datum_path import Path, put
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import Answer
from evenbarrel.wording.sentences.asking.listing import made_from, question_groups

TODAY = date(2026, 11, 2)
UNIT = ("bids", "b4", "units", "b4u1")
ASKED = Answer(question="b4.position_scatter", state="asked", date=date(2026, 10, 26))

Change = Callable[[Evaluation], Evaluation]


def at(path: Path, value: object) -> Change:
    return lambda evaluation: put(evaluation, path, value)


CHANGES: dict[str, Change] = {
    "supplier": at(("bids", "b4", "supplier"), "Other"),
    "designation": at((*UNIT, "designation"), "Other"),
    "label": at((*UNIT, "barrels", "b4u1b", "label"), "Other"),
    "mould": at(("jobs", "j1", "name"), "Other"),
    "nothing_stated": at(("jobs", "j2", "cycle_time"), None),
    "stated": at((*UNIT, "position_scatter"), Quantity(magnitude="0.05", unit="mm")),
    "answer": lambda one: one.replace(answers=(ASKED.replace(person="N. N."),)),
    "order": lambda one: one.replace(bids=one.bids[::-1]),
}


@pytest.fixture(scope="module")
def asked(sample_evaluation: Evaluation) -> Appraisal:
    """The sample, of which one question is asked and one mould lacks its cycle."""
    unknown = put(sample_evaluation, ("jobs", "j1", "cycle_time"), None)
    return appraise(unknown.replace(answers=(ASKED,)))


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_what_changes_the_list_changes_what_it_is_told_by(change: Change, asked: Appraisal) -> None:
    after = appraise(change(asked.evaluation), asked)
    assert question_groups(after, TODAY) != question_groups(asked, TODAY)
    assert made_from(after, TODAY) != made_from(asked, TODAY)


def test_the_day_is_told_by(asked: Appraisal) -> None:
    tomorrow = TODAY + timedelta(days=1)
    assert question_groups(asked, tomorrow) != question_groups(asked, TODAY)
    assert made_from(asked, tomorrow) != made_from(asked, TODAY)


def test_another_number_leaves_the_list_as_it_was(asked: Appraisal) -> None:
    """Most edits do; the list of forty questions is then not told again."""
    mass = at(("jobs", "j1", "part_mass"), Quantity(magnitude="2.4", unit="g"))
    after = appraise(mass(asked.evaluation), asked)
    assert made_from(after, TODAY) == made_from(asked, TODAY)
    assert question_groups(after, TODAY) == question_groups(asked, TODAY)
