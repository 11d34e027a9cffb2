"""What the Claims page says: one claim in full with its question, and how they all stand."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.doubt import datum_to_ask
from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.appraisal.results import Question
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.wording.sentences.asking.listing import said, state_line
from evenbarrel.wording.sentences.asking.questions import question_text
from evenbarrel.wording.sentences.claim_sentences import cause_words, claim_numbers
from evenbarrel.wording.sentences.deciding.consequences import decided_by, way_word
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.names import barrel_name, bid_called, supplier_name
from evenbarrel.wording.words.numbers import ABSENT, counted
from evenbarrel.wording.workings.line import Line
from evenbarrel.wording.workings.working import working

EMPTY = (
    "No offer is entered yet. Enter one on the Bids page: each number that is printed twice, "
    "or follows from others, is then checked against them here."
)
CHOOSE = "Choose a cell to see here its two numbers, the probable cause and the question."


@dataclass(frozen=True, slots=True)
class ClaimWords:
    """A claim in words. `datum` names what is questioned: the owner's id and the field."""

    title: str
    sentence: str
    cause: str
    decision: str
    lines: tuple[Line, ...]
    question: Question | None
    datum: tuple[str, str]


def claim_in_words(appraisal: Appraisal, reference: ClaimRef) -> ClaimWords | None:
    """Return a claim in words; None where it is gone."""
    owner, key = reference.owner, reference.key
    try:
        claim = appraisal.claim(reference)
    except KeyError:
        return None
    units = appraisal.evaluation.display_units
    entered = next((b for _, _, b in appraisal.evaluation.barrels() if b.id == owner), None)
    return ClaimWords(
        title=f"{CLAIM_WORDS[key].label}: {_owner(appraisal, owner)}, "
        f"{labels.CLAIM_STATES[claim.state]}",
        sentence=claim_numbers(claim, units),
        cause=cause_words(claim),
        decision="" if entered is None or key != "volume_geometry" else _decision(entered),
        lines=working(appraisal, reference).lines,
        question=appraisal.question_of(reference),
        datum=(owner, datum_to_ask(claim)),
    )


def _owner(appraisal: Appraisal, owner: str) -> str:
    barrel = next((b for b in appraisal.barrels if b.id == owner), None)
    if barrel is not None:
        return f"{supplier_name(appraisal, owner)}, {barrel_name(appraisal, owner)}"
    return bid_called(appraisal.evaluation, appraisal.evaluation.bid(owner))


def _decision(barrel: Barrel) -> str:
    settled = barrel.settled
    return "" if settled is None else f"{way_word(settled)}; {decided_by(settled)}."


def printed_sheet(claim: ClaimWords) -> Sheet:
    """Return the printed numbers of a claim, where and how each was stated."""
    headings = (Heading("As printed"), Heading("Number", align="right"), Heading("Where, standing"))
    rows = tuple(
        (Cell(line.label), Cell(line.value), Cell(line.stated or ABSENT, tip=line.stated))
        for line in claim.lines
    )
    return Sheet("printed", "Printed numbers", headings, rows)


def question_line(question: Question, appraisal: Appraisal) -> str:
    """Return a question with what became of it."""
    answer = next((a for a in appraisal.evaluation.answers if a.question == question.id), None)
    state = state_line(question, answer) or "open"
    more = "" if answer is None else said(answer)
    return f"Question ({state}): {question_text(question, appraisal)} {more}".rstrip()


def words_first(appraisal: Appraisal) -> str:
    """Return how the claims stand, before the grid: how many agree and how many do not."""
    counts = Counter(claim.state for barrel in appraisal.barrels for claim in barrel.claims)
    explained = sum(
        claim.cause is not None for barrel in appraisal.barrels for claim in barrel.claims
    )
    # The grid's marks may stand there without their words.
    marks = {state: labels.MARKS[mark] for state, mark in labels.STATE_OF_CLAIM.items()}
    text = ", ".join(
        f"{marks[state]} {counts[state]} {words}" for state, words in labels.CLAIM_COUNTS.items()
    )
    kept = "nothing is corrected without you."
    slips = f"A single slip would explain {explained}; {kept}"
    more = slips if explained else kept.capitalize()
    return f"{counted(counts.total(), 'claim')}: {text}. {more}"
