"""What becomes of questions: marked many at once, answered by screw, open again once changed."""

from __future__ import annotations

from datetime import date

import pytest

from evenbarrel import resources
from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.results import Question
from evenbarrel.entry import answers
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import Answer, QuestionState
from evenbarrel.storage.files import evaluation_bytes, parse_evaluation

SAMPLE = "irrigation-parts.evenbarrel.json"
UNIT = ("bids", "b4", "units", "b4u1", "barrels")
B_VOLUME = (*UNIT, "b4u1b", "swept_volume")
VOLUME, PRESSURE = "b4.swept_volume", "b2.injection_pressure"
FIRST, LATER = date(2026, 11, 2), date(2026, 11, 20)
ASKED = QuestionState(state="asked", person="I. Vostrel", date=FIRST, answer_by=LATER)


def quantity(magnitude: str, unit: str) -> Quantity:
    return Quantity(magnitude=magnitude, unit=unit)


@pytest.fixture(scope="module")
def sample() -> Evaluation:
    return parse_evaluation(resources.read_sample(SAMPLE), SAMPLE)


@pytest.fixture(scope="module")
def appraisal(sample: Evaluation) -> Appraisal:
    return appraise(sample)


def found(appraisal: Appraisal, name: str) -> Question:
    return next(question for question in appraisal.questions if question.id == name)


def said(evaluation: Evaluation, name: str) -> Answer:
    (answer,) = [one for one in evaluation.answers if one.question == name]
    return answer


def test_a_whole_letter_is_marked_with_who_when_and_by_when(
    sample: Evaluation, appraisal: Appraisal
) -> None:
    of_bid = [question for question in appraisal.questions if question.bid == "b4"]
    after = answers.with_states(sample, of_bid, ASKED)
    now = appraise(after)
    assert {question.state for question in now.questions if question.bid == "b4"} == {"asked"}
    assert [q for q in now.questions if q.bid != "b4"] == [
        q for q in appraisal.questions if q.bid != "b4"
    ]
    answer = said(after, VOLUME)
    assert (answer.person, answer.date, answer.answer_by) == ("I. Vostrel", FIRST, LATER)
    # Only what was asked before has an earlier state.
    assert [one.state for one in said(after, "b4.reference_resin").earlier] == ["asked"]
    assert answer.earlier == ()


def test_a_question_whose_number_changed_is_open_again_and_keeps_its_history(
    sample: Evaluation, appraisal: Appraisal
) -> None:
    asked = answers.with_states(sample, [found(appraisal, VOLUME)], ASKED)
    sourced = edits.get(asked, B_VOLUME).replace(source="offer, page 4")
    assert found(appraise(edits.put(asked, B_VOLUME, sourced)), VOLUME).state == "asked"
    changed = edits.put(asked, B_VOLUME, quantity("204", "cm3"))
    question = found(appraise(changed), VOLUME)
    assert (question.state, question.changed) == ("open", "number")
    again = answers.with_states(changed, [question], ASKED.replace(date=LATER))
    answer = said(again, VOLUME)
    assert found(appraise(again), VOLUME).state == "asked"
    assert [(one.date, one.about[0].quantity) for one in answer.earlier] == [
        (FIRST, quantity("20.4", "cm3"))
    ]


def test_a_screw_that_states_it_meanwhile_leaves_the_question_asked(
    sample: Evaluation, appraisal: Appraisal
) -> None:
    asked = answers.with_states(sample, [found(appraisal, "b2.ring_travel")], ASKED)
    path = ("bids", "b2", "units", "b2u1", "barrels", "b2u1a", "ring_travel")
    question = found(appraise(edits.put(asked, path, quantity("2.8", "mm"))), "b2.ring_travel")
    assert (question.barrels, question.state) == (("b2u1b",), "asked")


def test_what_was_accepted_holds_for_the_number_it_was_said_of(
    sample: Evaluation, appraisal: Appraisal
) -> None:
    """A number accepted as it is does not vouch for another one typed later in its place."""

    def reasons(of: Evaluation) -> tuple[str, ...]:
        return appraise(of).fit("b4u1a", "j1").criterion("pressure").reasons

    oil = "b4.injection_pressure"
    accepted = answers.with_states(
        sample, [found(appraisal, oil)], QuestionState(state="accepted_as_is", date=FIRST)
    )
    changed = edits.put(accepted, (*UNIT, "b4u1a", "injection_pressure"), quantity("33151", "bar"))
    assert "disputed" in reasons(sample)
    assert "disputed" not in reasons(accepted)
    assert "disputed" in reasons(changed)
    assert found(appraise(changed), oil).changed


def test_one_answer_for_several_screws_keeps_each_printed_number(
    sample: Evaluation, appraisal: Appraisal
) -> None:
    a, b = ((*UNIT[:1], "b2", "units", "b2u1", "barrels", f"b2u1{x}") for x in "ab")
    values = {
        (*a, "injection_pressure"): quantity("2100", "bar"),
        (*b, "injection_pressure"): quantity("1700", "bar"),
    }
    after = answers.answered(
        sample, found(appraisal, PRESSURE), values, "By mail.", FIRST, "I. Vostrel"
    )
    assert [edits.get(after, path) for path in values] == [
        value.replace(standing="confirmed") for value in values.values()
    ]
    answer = said(after, PRESSURE)
    assert (answer.text, answer.quantity, answer.person) == ("By mail.", None, "I. Vostrel")
    assert [(one.of, one.quantity) for one in answer.replaced] == [
        ("b2u1a", edits.get(sample, (*a, "injection_pressure"))),
        ("b2u1b", edits.get(sample, (*b, "injection_pressure"))),
    ]
    assert parse_evaluation(evaluation_bytes(after), "kept.evenbarrel.json") == after


def test_an_answer_for_some_screws_leaves_the_question_open_for_the_others(
    sample: Evaluation, appraisal: Appraisal
) -> None:
    path = ("bids", "b2", "units", "b2u1", "barrels", "b2u1a", "ring_travel")
    travel = found(appraisal, "b2.ring_travel")
    partly = appraise(answers.answered(sample, travel, {path: quantity("2.8", "mm")}))
    left = found(partly, "b2.ring_travel")
    assert (left.barrels, left.state, left.changed) == (("b2u1b",), "open", "more")
    # An answer without a number ends it for all: more will not be said.
    none = appraise(answers.answered(sample, travel, {}, "Not known to the maker."))
    assert found(none, "b2.ring_travel").state == "answered"


def test_a_single_replaced_number_stands_where_the_contract_has_it(
    sample: Evaluation, appraisal: Appraisal
) -> None:
    values = {B_VOLUME: quantity("20.4", "in3")}
    answer = said(answers.answered(sample, found(appraisal, VOLUME), values), VOLUME)
    assert answer.quantity == edits.get(sample, B_VOLUME)


def test_words_that_an_answer_replaces_stay_too(sample: Evaluation, appraisal: Appraisal) -> None:
    path = ("bids", "b2", "units", "b2u1", "barrels", "b2u1a", "ring_kind")
    before = edits.put(sample, path, "unknown")
    question = found(appraisal, "b2.ring_kind")
    answer = said(answers.answered(before, question, {path: "sliding"}), "b2.ring_kind")
    assert [(one.of, one.text) for one in answer.replaced] == [("b2u1a", "unknown")]
