"""The letter to one supplier: what contradicts as sentences, what is missing as one table.

It holds nothing of another offer, of our jobs or of any price, and no title: what a person
calls an evaluation may name either.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import Question
from evenbarrel.model.offers.bid import Bid
from evenbarrel.wording.sentences.asking.listing import still_open
from evenbarrel.wording.sentences.asking.missing import (
    MissingRow,
    MissingTable,
    is_missing,
    missing_table,
)
from evenbarrel.wording.sentences.asking.questions import doubt_text, question_text
from evenbarrel.wording.sentences.cells import written_date
from evenbarrel.wording.words.numbers import counted
from evenbarrel.wording.words.visible import file_stem, visible, visible_line

SALUTATION = "Dear Sir or Madam,"
OPENING = (
    "Thank you for your offer. To compare all offers on the same basis, we would be grateful "
    "for your answers to the following."
)
ALL_CLEAR = "Thank you for your offer. We have no open questions about it."
NOBODY_ASKED = "there is nobody to write to: it lists our own machines, or no longer counts"
TO_FILL = "Not found in your offer. Please fill in the empty fields:"
CLOSING = "Thank you for your help."
REGARDS = "Kind regards"
AS_STATED = "On grey: as stated in your offer."
_GAP, _LONGEST_LINE = "________", 78


@dataclass(frozen=True, slots=True)
class Particulars:
    """Who asks, when, and by when an answer is wanted; `only_new` leaves out what was asked."""

    person: str = ""
    day: date | None = None
    answer_by: date | None = None
    only_new: bool = False


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter as it is shown, printed and mailed; `words` and `closing` are a person's to edit."""

    to: str
    sender: tuple[str, ...]
    day: str
    subject: str
    words: str
    table: MissingTable
    answer_by: str
    closing: str
    signed: tuple[str, ...]


def letter_questions(
    appraisal: Appraisal, bid: str, only_new: bool = False
) -> tuple[Question, ...]:
    """Return what a letter to the supplier of a bid asks: all that is open, or not asked yet."""
    of_bid = [q for q in appraisal.questions if q.bid == bid and q.to == "supplier"]
    return tuple(q for q in still_open(of_bid) if not only_new or q.state == "open")


def letter_words(appraisal: Appraisal, bid: str, only_new: bool = False) -> str:
    """Return a letter's words as they are suggested: salutation, opening, what contradicts."""
    asked = letter_questions(appraisal, bid, only_new)
    sentences = [
        doubt_text(question, appraisal, written_date)
        if question.claim
        else question_text(question, appraisal)
        for question in asked
        if not is_missing(question)
    ]
    numbered = [f"{number}. {visible_line(text)}" for number, text in enumerate(sentences, 1)]
    return "\n\n".join((SALUTATION, OPENING if asked else ALL_CLEAR, *numbered))


def make_letter(
    appraisal: Appraisal,
    bid: str,
    particulars: Particulars,
    words: str | None = None,
    closing: str | None = None,
) -> Letter:
    """Return the letter to the supplier of a bid, in words of a person or as suggested.

    Raises KeyError for a bid that is not there.
    """
    evaluation = appraisal.evaluation
    offer = evaluation.bid(bid)
    asked = letter_questions(appraisal, bid, particulars.only_new)
    us = tuple(line for line in (evaluation.buyer, evaluation.site) if line)
    day, until = particulars.day, particulars.answer_by
    suggested = letter_words(appraisal, bid, particulars.only_new)
    return Letter(
        to=offer.supplier,
        sender=us,
        day="" if day is None else written_date(day),
        subject=_subject(offer),
        words=suggested if words is None else words,
        table=missing_table(appraisal, bid, asked),
        answer_by="" if until is None or not asked else f"Please answer by {written_date(until)}.",
        closing=(CLOSING if asked else "") if closing is None else closing,
        signed=(REGARDS, *([particulars.person] if particulars.person else []), *us),
    )


def _subject(offer: Bid) -> str:
    reference = f" {offer.reference}" if offer.reference else ""
    dated = f" of {written_date(offer.date)}" if offer.date else ""
    return f"Your offer{reference}{dated}"


def letter_name(offer: Bid) -> str:
    """Return what a letter's file is called, without its ending: whose offer it is about in it."""
    called = offer.supplier or f"offer {offer.reference}"
    return f"questions-{file_stem(called) or 'offer'}"


def asked_count(appraisal: Appraisal, bid: str, only_new: bool = False) -> str:
    """Return how many questions a letter holds: "12 questions"."""
    return counted(len(letter_questions(appraisal, bid, only_new)), "question")


def letter_text(letter: Letter) -> str:
    """Return a letter as the text of a mail, its table as lines to be filled behind each colon."""
    head = [*letter.sender, letter.day]
    blocks = [
        "\n".join(visible_line(line) for line in head if line),
        visible_line(f"To {letter.to}") if letter.to else "",
        visible_line(letter.subject),
        visible(letter.words).strip(),
        *(_as_lines(letter.table) if letter.table.rows else ()),
        letter.answer_by,
        visible(letter.closing).strip(),
        "\n".join(map(visible_line, letter.signed)),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _as_lines(table: MissingTable) -> Iterator[str]:
    """Yield a paragraph a datum: no mail keeps columns in line."""
    yield TO_FILL
    for row in table.rows:
        names = table.units if row.of_unit and all(table.units) else table.names
        yield visible("\n".join(_lines_of(row, names)))


def _lines_of(row: MissingRow, names: Sequence[str]) -> Iterator[str]:
    yield f"{row.label}{f' [{row.unit}]' if row.unit else ''}. {row.meaning}".strip()
    asked = (name for name, cell in zip(names, row.cells, strict=True) if cell is None)
    # What is one for all screws of a unit is asked once.
    gaps = [f"   {visible_line(name)}: {_GAP}" for name in dict.fromkeys(asked)]
    in_one = "".join(gaps)
    yield from (in_one,) if len(in_one) <= _LONGEST_LINE else gaps
