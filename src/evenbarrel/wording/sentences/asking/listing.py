"""Questions as they are listed: by whom they are to, by what became of them, and since when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.asked import ENDED
from evenbarrel.appraisal.results import Question
from evenbarrel.appraisal.unpriced import RATE
from evenbarrel.model.record.decision import Answer, QuestionState
from evenbarrel.wording.sentences.asking.questions import open_counts, question_text
from evenbarrel.wording.sentences.cells import date_text, ended, few_of
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import barrel_name, barrel_names, bid_called, job_name, name_at
from evenbarrel.wording.words.numbers import counted, printed

Shown = Literal["waiting", "open", "asked", "answered", "accepted_as_is", "all"]

QUESTION_STATES: Mapping[str, str] = {
    "open": "open",
    "asked": "asked",
    "answered": "answered",
    "accepted_as_is": "accepted as it is",
}

_SHOWN: Mapping[Shown, tuple[str, tuple[str, ...]]] = {
    "waiting": ("Open or asked", ("open", "asked")),
    "open": ("Open", ("open",)),
    "asked": ("Asked", ("asked",)),
    "answered": ("Answered", ("answered",)),
    "accepted_as_is": ("Accepted as it is", ("accepted_as_is",)),
    "all": ("All", tuple(QUESTION_STATES)),
}
"""The choices of what is listed: its words, and the states in it."""


WHO = "Who asked, or received the answer"


@dataclass(frozen=True, slots=True)
class QuestionLine:
    """A question in a few words: what it is about, whose that is, and what became of it."""

    id: str
    state: str
    what: str
    whose: str
    became: str


@dataclass(frozen=True, slots=True)
class ListedQuestion:
    """A question as it is listed, with what was said of it.

    `question` is None where it no longer stands: its datum is there, only what was said is left.
    """

    line: QuestionLine
    said: str
    question: Question | None

    @property
    def id(self) -> str:
        """Its id, also where it no longer stands."""
        return self.line.id

    @property
    def state(self) -> str:
        """What became of it."""
        return self.line.state


@dataclass(frozen=True, slots=True)
class QuestionGroup:
    """The questions to one supplier, or to us where `bid` is empty."""

    title: str
    bid: str
    questions: tuple[ListedQuestion, ...]

    def of(self, shown: Shown) -> tuple[ListedQuestion, ...]:
        """Return those of a choice."""
        return tuple(one for one in self.questions if one.state in _SHOWN[shown][1])


def place_name(appraisal: Appraisal, path: tuple[str, ...]) -> str:
    """Return whose datum stands at a path: ("bids", ..., "barrels", id, field) and the like."""
    if path[0] == "cost":
        return "cost basis"
    kind, name = path[-3], path[-2]
    if kind == "barrels":
        return barrel_name(appraisal, name)
    if kind == "jobs":
        return job_name(appraisal, name)
    if kind == "units":
        return name_at(appraisal.evaluation, path[:-1])
    return bid_called(appraisal.evaluation, appraisal.evaluation.bid(name))


def still_open(questions: Sequence[Question]) -> tuple[Question, ...]:
    """Return the questions that nobody answered or accepted yet."""
    return tuple(question for question in questions if question.state in ("open", "asked"))


def made_from(appraisal: Appraisal, today: date | None) -> tuple[object, ...]:
    """Return all that `question_groups` tells from: where it is the same, so are the groups."""
    evaluation = appraisal.evaluation
    return (
        appraisal.questions,
        evaluation.answers,
        today,
        [(bid.id, bid_called(evaluation, bid)) for bid in evaluation.bids],
        [(b.id, barrel_name(appraisal, b.id)) for _, _, b in evaluation.barrels()],
        [(job.id, job_name(appraisal, job.id)) for job in evaluation.jobs],
    )


def question_groups(appraisal: Appraisal, today: date | None) -> tuple[QuestionGroup, ...]:
    """Return what was ever asked by whom it is to, each group with how much is open and asked.

    Of what was asked it says how long ago that is, seen from `today`.
    """
    evaluation = appraisal.evaluation
    groups: dict[str, list[ListedQuestion]] = {bid.id: [] for bid in evaluation.bids}
    groups[""] = []
    answers = {answer.question: answer for answer in evaluation.answers}
    for question in appraisal.questions:
        to = (question.bid or "") if question.to == "supplier" else ""
        groups[to].append(listed_question(question, answers.get(question.id), appraisal, today))
    for bid, past in past_answers(appraisal).items():
        groups[bid or ""] += map(_past, past)
    suppliers = {bid.id: bid_called(evaluation, bid) for bid in evaluation.bids}
    return tuple(
        QuestionGroup(_title(suppliers.get(bid, "To us"), of_bid), bid, tuple(of_bid))
        for bid, of_bid in groups.items()
        if of_bid
    )


def _title(name: str, questions: Sequence[ListedQuestion]) -> str:
    counts = ((word, sum(q.state == state for q in questions)) for state, word in _COUNTED.items())
    return f"{name}: {', '.join(f'{count} {word}' for word, count in counts if count)}"


_COUNTED = {"open": "open", "asked": "asked", "answered": "answered", "accepted_as_is": "accepted"}


def _what(question: Question) -> str:
    kind, _, currency = question.datum.partition(".")
    return f"Exchange rate of {currency}" if kind == RATE else labels.datum(question.datum)


def listed_question(
    question: Question, answer: Answer | None, appraisal: Appraisal, today: date | None
) -> ListedQuestion:
    """Return a question as it is listed, with what was said of it."""
    of = barrel_names(appraisal, question.barrels)
    of += [job_name(appraisal, job) for job in question.jobs]
    line = QuestionLine(
        question.id,
        question.state,
        _what(question),
        few_of(of),
        state_line(question, answer, today),
    )
    return ListedQuestion(line, "" if answer is None else said(answer), question)


def question_in_full(listed: ListedQuestion, appraisal: Appraisal) -> str:
    """Return a question in full, with what was said of it."""
    question = listed.question
    text = "" if question is None else question_text(question, appraisal)
    return " ".join(part for part in (text, listed.said) if part)


def _past(answer: Answer) -> ListedQuestion:
    """Return what is left of a question whose datum is there."""
    name = labels.datum(answer.question.rpartition(".")[2])
    # Nobody waits for it, whoever gave its datum.
    state = answer.state if answer.state in ENDED else "answered"
    line = QuestionLine(answer.question, state, name, "", past_line(answer))
    return ListedQuestion(line, said(answer), None)


def past_answers(appraisal: Appraisal) -> Mapping[str | None, tuple[Answer, ...]]:
    """Return what became of questions that no longer stand, by bid; under None those of no bid."""
    still = {question.id for question in appraisal.questions}
    known = {one.id for one in appraisal.evaluation.bids}
    past: dict[str | None, tuple[Answer, ...]] = {}
    for answer in appraisal.evaluation.answers:
        if answer.question not in still and answer.state != "open":
            of = answer.question.rpartition(".")[0]
            bid = of if of in known else None
            past[bid] = (*past.get(bid, ()), answer)
    return past


def state_line(question: Question, answer: Answer | None, today: date | None = None) -> str:
    """Return what became of a question; "" where nothing did yet."""
    if answer is None or (question.state == "open" and not question.changed):
        return ""
    line = answer_line(answer, today)
    return _AGAIN[question.changed].format(line=line)


_AGAIN: Mapping[str | None, str] = {
    None: "{line}",
    "number": "open again: its number changed since it was {line}",
    "more": "open for what is left: it was {line}",
}


def past_line(answer: Answer) -> str:
    """Return what became of a question that no longer stands."""
    line = answer_line(answer)
    return line if answer.state in ENDED else f"{line}; no longer a question"


def answer_line(answer: QuestionState, today: date | None = None) -> str:
    """Return what became of a question, by whom and when: "asked 2026-10-26, 24 days ago"."""
    line = QUESTION_STATES[answer.state]
    if answer.date is not None:
        line += f" {date_text(answer.date)}"
    if answer.person:
        line += f" by {answer.person}"
    if answer.state != "asked" or today is None:
        return line
    if answer.date is not None and answer.date < today:
        line += f", {_days(today, answer.date)} ago"
    if answer.answer_by is not None:
        line += f"; answer wanted by {date_text(answer.answer_by)}"
        if answer.answer_by < today:
            line += f", {_days(today, answer.answer_by)} overdue"
    return line


def _days(later: date, earlier: date) -> str:
    return counted((later - earlier).days, "day")


def said(answer: Answer) -> str:
    """Return what was said, what was printed before it, and what became of the question earlier."""
    parts = [answer.text] if answer.text else []
    before = [
        printed(one.quantity) if one.quantity is not None else labels.choice(one.text)
        for one in answer.replaced
    ] or ([printed(answer.quantity)] if answer.quantity is not None else [])
    if before:
        parts.append(f"Printed before: {', '.join(before)}.")
    if answer.earlier:
        parts.append(f"Earlier: {'; '.join(answer_line(one) for one in answer.earlier)}.")
    return " ".join([*map(ended, parts[:-1]), *parts[-1:]])


def marking_step(count: int, state: str) -> str:
    """Return what marking questions is called: "Mark 12 questions asked"."""
    return f"Mark {counted(count, 'question')} {QUESTION_STATES[state]}"


def shown_words(groups: Sequence[QuestionGroup]) -> Mapping[Shown, str]:
    """Return the choices of what is listed, each with how many there are."""
    return {
        shown: f"{words} ({sum(len(group.of(shown)) for group in groups)})"
        for shown, (words, _) in _SHOWN.items()
    }


def open_line(appraisal: Appraisal) -> str:
    """Return how many questions are open, and for whom: "7 to suppliers, 2 to us"."""
    suppliers, us = open_counts(appraisal)
    return f"{suppliers} to {'supplier' if suppliers == 1 else 'suppliers'}, {us} to us"
