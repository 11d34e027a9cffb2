"""Questions as they are listed, grouped by whom they are to, and sent as a letter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import Question
from evenbarrel.wording.sentences.asking.questions import open_counts, question_text
from evenbarrel.wording.sentences.cells import few_of
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import barrel_name, job_name, name_at
from evenbarrel.wording.words.visible import visible_line


def question_lines(question: Question, appraisal: Appraisal) -> tuple[str, str]:
    """Return a question in a few words: what it is about, and whose that is."""
    state = "" if question.state == "open" else f" ({QUESTION_STATES[question.state]})"
    of = [barrel_name(appraisal, barrel) for barrel in question.barrels]
    of += [job_name(appraisal, job) for job in question.jobs]
    return f"{labels.datum(question.datum)}{state}", few_of(of)


def place_name(appraisal: Appraisal, path: tuple[str, ...]) -> str:
    """Return whose datum stands at a path: ("bids", ..., "barrels", id, field) and the like."""
    kind, name = path[-3], path[-2]
    if kind == "barrels":
        return barrel_name(appraisal, name)
    if kind == "jobs":
        return job_name(appraisal, name)
    if kind == "units":
        return name_at(appraisal.evaluation, path[:-1])
    return next((bid.supplier for bid in appraisal.evaluation.bids if bid.id == name), "") or name


QUESTION_STATES: Mapping[str, str] = {
    "open": "open",
    "asked": "asked",
    "answered": "answered",
    "accepted_as_is": "accepted as it is",
}


def still_open(questions: Sequence[Question]) -> tuple[Question, ...]:
    """Return the questions that nobody answered or accepted yet."""
    return tuple(question for question in questions if question.state in ("open", "asked"))


@dataclass(frozen=True, slots=True)
class QuestionGroup:
    """The questions to one supplier, or to us where `bid` is empty."""

    title: str
    bid: str
    questions: tuple[Question, ...]


def question_groups(appraisal: Appraisal) -> tuple[QuestionGroup, ...]:
    """Return the questions by whom they are to, each group with how many are still open."""
    groups: dict[str, list[Question]] = {}
    for question in appraisal.questions:
        to = (question.bid or "") if question.to == "supplier" else ""
        groups.setdefault(to, []).append(question)
    suppliers = {bid.id: bid.supplier or bid.id for bid in appraisal.evaluation.bids}
    return tuple(
        QuestionGroup(
            f"{suppliers.get(bid, 'For us')}: {len(still_open(of_bid))} open", bid, tuple(of_bid)
        )
        for bid, of_bid in groups.items()
    )


def open_line(appraisal: Appraisal) -> str:
    """Return how many questions are open, and for whom: "7 for supplier, 2 for us"."""
    suppliers, us = open_counts(appraisal)
    return f"{suppliers} for {'supplier' if suppliers == 1 else 'suppliers'}, {us} for us"


def letter_text(appraisal: Appraisal, bid: str) -> str:
    """Return all open questions to one supplier as a letter; raises KeyError."""
    evaluation = appraisal.evaluation
    offer = evaluation.bid(bid)
    asked = [q for q in still_open(appraisal.questions) if q.bid == bid]
    reference = f" {offer.reference}" if offer.reference else ""
    dated = f" of {offer.date.isoformat()}" if offer.date else ""
    lines = [f"To {offer.supplier or bid}", f"Your offer{reference}{dated}"]
    lines += [evaluation.title] if evaluation.title else []
    lines.append("")
    if asked:
        lines += [
            "Thank you for your offer. To compare it fairly with others on one basis, we would "
            "be glad to have your answer to the following:",
            "",
        ]
        lines += [f"{n}. {question_text(q, appraisal)}" for n, q in enumerate(asked, 1)]
        lines += ["", "Thank you for your trouble."]
    else:
        lines.append("Thank you for your offer. We have no open question about it.")
    lines += ["", "Kind regards", *(one for one in (evaluation.buyer, evaluation.site) if one)]
    return "\n".join(map(visible_line, lines)) + "\n"
