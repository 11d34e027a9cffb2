"""The tables that only the written evaluation has: cells in words, questions, decisions."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import Claim, Fit, Question
from evenbarrel.model.bid import Bid
from evenbarrel.model.decision import Answer
from evenbarrel.wording.sentences.cells import (
    date_text,
    fit_sentences,
    state_word,
    value_text,
)
from evenbarrel.wording.sentences.claim_words import claim_sentence
from evenbarrel.wording.sentences.document import supplier_name
from evenbarrel.wording.sentences.questions import (
    barrel_name,
    full_name,
    job_name,
    question_text,
)
from evenbarrel.wording.sheets.programme import fit_notes
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import ABSENT, DisplayUnits


def _binding_line(fit: Fit, units: DisplayUnits) -> str:
    found = next((c for c in fit.criteria if c.key == fit.binding), None)
    if found is None:
        return ""
    value = "" if found.value is None else f" {value_text(found, found.value, units)}"
    return labels.SHORT_CRITERIA[found.key] + value


def _open_line(fit: Fit) -> str:
    parts = ["accepted"] if fit.accepted and not fit.unaccepted else []
    if fit.open:
        parts.append(f"{len(fit.open)} open")
    return ", ".join(parts)


def fit_lines(fit: Fit, units: DisplayUnits) -> str:
    """Return a cell of the grid in up to three lines: verdict, what binds, what is open."""
    lines = (state_word(fit.state, fit.by_rule), _binding_line(fit, units), _open_line(fit))
    return "\n".join(line for line in lines if line)


def printed_fit_sheet(appraisal: Appraisal) -> Sheet:
    """Return the fit grid as it is printed: verdict, binding criterion and open ones in words."""
    units = appraisal.evaluation.display_units
    rows = []
    for barrel in appraisal.barrels:
        fits = (appraisal.fit(barrel.id, job.id) for job in appraisal.jobs)
        cells = (Cell(fit_lines(fit, units), state=fit.state) for fit in fits)
        rows.append((Cell(barrel.supplier), Cell(barrel_name(appraisal, barrel.id)), *cells))
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        *(Heading(job_name(appraisal, job.id)) for job in appraisal.jobs),
    )
    return Sheet("fit", "Fit", headings, tuple(rows), notes=fit_notes(appraisal))


def cells_sheet(appraisal: Appraisal, barrel: str) -> Sheet:
    """Return the jobs for which a barrel is not inside, each in words."""
    units = appraisal.evaluation.display_units
    rows = []
    for job in appraisal.jobs:
        fit = appraisal.fit(barrel, job.id)
        if fit.state == "inside":
            continue
        words = " ".join(fit_sentences(fit, units)[1:])
        rows.append(
            (
                Cell(job_name(appraisal, job.id)),
                Cell(state_word(fit.state, fit.by_rule), state=fit.state),
                Cell(words or ABSENT),
            )
        )
    headings = (Heading("Mould"), Heading("Verdict"), Heading("Why"))
    return Sheet("cells", full_name(appraisal, barrel), headings, tuple(rows))


def failed_claims_sheet(appraisal: Appraisal, bid: Bid) -> Sheet:
    """Return the claims of an offer that do not stand: each with both numbers and the cause."""
    units = appraisal.evaluation.display_units
    found: list[tuple[str, Claim]] = []
    for barrel in (b for b in appraisal.barrels if b.bid == bid.id):
        found += [(barrel_name(appraisal, barrel.id), claim) for claim in barrel.claims]
    for result in (b for b in appraisal.bids if b.id == bid.id):
        found += [("Offer", claim) for claim in result.claims]
    rows = tuple(
        (
            Cell(name),
            Cell(labels.CLAIMS[claim.key]),
            Cell(labels.CLAIM_STATES[claim.state], state=labels.STATE_OF_CLAIM[claim.state]),
            Cell(claim_sentence(claim, units)),
        )
        for name, claim in found
        if claim.state in ("query", "contradicts")
    )
    headings = (Heading("Barrel"), Heading("Claim"), Heading("State"), Heading("What was found"))
    return Sheet("failed_claims", supplier_name(bid), headings, rows)


def _standing(question: Question, answers: dict[str, Answer]) -> str:
    answer = answers.get(question.id)
    return "open" if answer is None else _answer_text(answer)


def _answer_text(answer: Answer) -> str:
    text = labels.choice(answer.state)
    if answer.date is not None:
        text += f" {date_text(answer.date)}"
    return f"{text}: {answer.text}" if answer.text else text


def _asker(appraisal: Appraisal, bid: str | None) -> str:
    if bid is None:
        return "Ourselves"
    return supplier_name(appraisal.evaluation.bid(bid))


def _answered(appraisal: Appraisal, bid: str | None) -> list[Answer]:
    """Return the answers whose questions no longer stand: the datum is there."""
    still = {question.id for question in appraisal.questions}
    known = {b.id for b in appraisal.evaluation.bids}
    stem = f"{bid or 'us'}."
    return [
        answer
        for answer in appraisal.evaluation.answers
        if answer.question not in still
        and (
            answer.question.startswith(stem)
            or (bid is None and answer.question.rpartition(".")[0] not in known)
        )
    ]


def questions_sheet(appraisal: Appraisal, bids: tuple[str | None, ...]) -> Sheet:
    """Return the questions of some offers; None stands for the questions to ourselves."""
    answers = {answer.question: answer for answer in appraisal.evaluation.answers}
    rows = []
    for bid in bids:
        to = _asker(appraisal, bid)
        rows += [
            (
                Cell(to),
                Cell(question_text(question, appraisal)),
                Cell(_standing(question, answers)),
            )
            for question in appraisal.questions
            if question.bid == bid
        ]
        rows += [
            (
                Cell(to),
                Cell(labels.datum(answer.question.rpartition(".")[2])),
                Cell(_answer_text(answer)),
            )
            for answer in _answered(appraisal, bid)
        ]
    headings = (Heading("To"), Heading("Question"), Heading("Standing"))
    return Sheet("questions", "Questions", headings, tuple(rows))


def all_questions_sheet(appraisal: Appraisal) -> Sheet:
    """Return every question, supplier by supplier, then those to ourselves."""
    return questions_sheet(appraisal, (*(bid.id for bid in appraisal.evaluation.bids), None))
