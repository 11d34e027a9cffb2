"""What is not known of a proposal: every open question that it hangs on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.asked import place_to_go
from evenbarrel.appraisal.references import DatumRef, GateRef
from evenbarrel.appraisal.results import Question
from evenbarrel.appraisal.unpriced import RATE
from evenbarrel.decision.decide import Decision, ProposalResult
from evenbarrel.wording.sentences.asking.listing import QUESTION_STATES, listed_question
from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.sentences.deciding.decision import NOTHING_PROPOSED_TO_SIGN
from evenbarrel.wording.sheets.decision.cells import missing_list
from evenbarrel.wording.sheets.decision.proposal import proposal_line
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.standing_by.masking import prices_masked
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.numbers import ABSENT, counted

TITLE = "What is not known about the proposal"
NOTHING_OPEN = "No question about it is unanswered."
_NOT_KNOWN = "For the proposal"
_DOUBT = "the entered value is in doubt"
_COST = "cost"
"""What raises a question that price or cost over life hangs on."""
_OF_LIFE = "cost over life"
_US = "us"


def open_points_sheet(decision: Decision, result: ProposalResult) -> Sheet:
    """Return the open questions of a proposal; each leads to where its datum is entered."""
    appraisal = decision.appraisal
    headings = (
        Heading("Asked of"),
        Heading("Not stated, or in doubt"),
        Heading("Of"),
        Heading("Leaves open"),
        Heading("Status"),
    )
    found = decision.open_questions(result)
    rows = tuple(_row(appraisal, question) for question in found)
    return Sheet("open_points", TITLE, headings, rows)


def _row(appraisal: Appraisal, question: Question) -> tuple[Cell, ...]:
    line = listed_question(question, None, appraisal, None).line
    path = place_to_go(question, appraisal.evaluation)
    place = GateRef(question.barrels[0]) if path is None and question.barrels else None
    reference = place if path is None else DatumRef(path)
    leaves = leaves_open(question)
    return (
        Cell(_asked_of(appraisal, question), reference=reference),
        Cell(line.what, reference=reference),
        Cell(line.whose or ABSENT, tip=line.whose, reference=reference),
        Cell(leaves, tip=leaves, reference=reference),
        Cell(QUESTION_STATES[question.state], reference=reference),
    )


def _asked_of(appraisal: Appraisal, question: Question) -> str:
    if question.to != "supplier":
        return _US
    bid = appraisal.evaluation.bid(question.bid or "")
    return bid.supplier or bid.id


def leaves_open(question: Question) -> str:
    """Return what cannot be told before a question is answered: criteria, claims, the cost."""
    criteria, claims = _criteria(question.raised_by), _claims(question.raised_by)
    points = list(dict.fromkeys((*criteria, *(f"claim: {name}" for name in claims))))
    if _COST in question.raised_by:
        points.append(_OF_LIFE if _is_of_basis(question) else f"price and {_OF_LIFE}")
    return listed(points) or _DOUBT


def _is_of_basis(question: Question) -> bool:
    """Say whether no price hangs on it: what we are to state, but for exchange rates."""
    return question.bid is None and not question.datum.startswith(RATE)


def _criteria(keys: Sequence[str]) -> list[str]:
    return [CRITERION_WORDS[key].label.lower() for key in keys if key in CRITERION_WORDS]


def _claims(keys: Sequence[str]) -> list[str]:
    return [CLAIM_WORDS[key].label.lower() for key in keys if key in CLAIM_WORDS]


def signed_text(decision: Decision) -> str:
    """Return what a signature stands by: the proposal, and what is not known of it."""
    result = decision.proposal
    if result is None:
        return NOTHING_PROPOSED_TO_SIGN
    points = [*_not_assessed(result), *_questions(decision, result)]
    unknown = f"{_NOT_KNOWN}: {'; '.join(points)}." if points else ""
    # What price and cost lack is told with them.
    return "\n".join(part for part in (unknown, proposal_line(decision)) if part)


def open_points_line(decision: Decision, result: ProposalResult) -> str:
    """Return what is not known of a proposal in a sentence; "" where nothing is open."""
    masked = prices_masked(decision.appraisal)
    lacks = "" if masked else missing_list(result.missing)
    money = [f"cost without {lacks}"] if lacks else []
    points = [*_not_assessed(result), *money, *_questions(decision, result)]
    return f"{_NOT_KNOWN}: {'; '.join(points)}." if points else ""


def _not_assessed(result: ProposalResult) -> Iterator[str]:
    criteria = dict.fromkeys(key for gate in result.gate.gates for key in gate.open_criteria)
    if criteria:
        names = listed([CRITERION_WORDS[key].label.lower() for key in criteria])
        yield f"not assessed in some jobs: {names}"


def _questions(decision: Decision, result: ProposalResult) -> Iterator[str]:
    found = decision.open_questions(result)
    if found:
        to = Counter(_asked_of(decision.appraisal, question) for question in found)
        each = ", ".join(f"{count} to {name}" for name, count in to.items())
        addressees = f", all to {next(iter(to))}" if len(to) == 1 else f": {each}"
        yield f"{counted(len(found), 'open question')}{addressees}"
