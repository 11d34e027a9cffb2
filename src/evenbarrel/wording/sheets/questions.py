"""The questions as sheets: what contradicts in sentences, what is not stated in tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import Question
from evenbarrel.model.record.decision import Answer
from evenbarrel.wording.sentences.asking.listing import (
    past_answers,
    past_line,
    said,
    state_line,
)
from evenbarrel.wording.sentences.asking.missing import (
    SCREWS_IN_TABLE,
    is_missing,
    missing_table,
)
from evenbarrel.wording.sentences.asking.questions import doubt_text, question_text
from evenbarrel.wording.sentences.cells import ended
from evenbarrel.wording.sheets.missing import missing_sheet
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, without_columns
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import bid_called
from evenbarrel.wording.words.numbers import ABSENT

_OPEN = "open"


def _state(question: Question, answers: Mapping[str, Answer]) -> str:
    answer = answers.get(question.id)
    text = state_line(question, answer) or _OPEN
    return text if answer is None or not answer.text else f"{text}: {answer.text}"


def _answer_text(answer: Answer) -> str:
    line, more = past_line(answer), said(answer)
    return f"{line}: {more}" if more else line


def _asker(appraisal: Appraisal, bid: str | None) -> str:
    if bid is None:
        return "Ourselves"
    offer = appraisal.evaluation.bid(bid)
    return "Ourselves" if offer.is_own else bid_called(appraisal.evaluation, offer)


def questions_sheet(
    appraisal: Appraisal, bids: tuple[str | None, ...], in_full: bool = True
) -> Sheet:
    """Return the questions of some offers; None stands for the questions to ourselves.

    Where not `in_full`, what `missing_data_sheets` tells is left to them.
    """
    answers = {answer.question: answer for answer in appraisal.evaluation.answers}
    past = past_answers(appraisal)
    rows = []
    for bid in bids:
        to = _asker(appraisal, bid)
        rows += [
            (
                Cell(to),
                Cell(
                    question_text(question, appraisal)
                    if in_full or question.claim is None
                    else doubt_text(question, appraisal)
                ),
                Cell(_state(question, answers)),
            )
            for question in appraisal.questions
            if question.bid == bid and (in_full or not is_missing(question))
        ]
        rows += [
            (
                Cell(to),
                Cell(labels.datum(answer.question.rpartition(".")[2])),
                Cell(_answer_text(answer)),
            )
            for answer in past.get(bid, ())
        ]
    headings = (Heading("To"), Heading("Question"), Heading("Status"))
    return Sheet("questions", "Questions", headings, tuple(rows))


def missing_data_sheets(appraisal: Appraisal, bid: str) -> tuple[Sheet, ...]:
    """Return what a supplier was not found to state, a datum by screw, with what became of it."""
    answers = {answer.question: answer for answer in appraisal.evaluation.answers}
    asked = [question for question in appraisal.questions if question.bid == bid]
    state = {question.id: _state(question, answers) for question in asked}
    table = missing_table(appraisal, bid, asked)
    parts = (missing_sheet(part, state) for part in table.parts())
    return tuple(_narrow(sheet) for sheet in parts)


def _narrow(sheet: Sheet) -> Sheet:
    """Return what is missing without why it is asked, which the letter tells.

    What became of a question stands above: most are open, and a column would be of one word.
    """
    narrow = without_columns(sheet, frozenset({"Why we ask", "Status"}))
    lines = [ended(f"{row[0].text}: {row[-1].text}") for row in sheet.rows if row[-1].text != _OPEN]
    rest = "All the other questions here are open." if lines else "All the questions here are open."
    return replace(narrow, notes=(*lines, rest) if len(lines) < len(sheet.rows) else tuple(lines))


def all_questions_sheet(appraisal: Appraisal) -> Sheet:
    """Return every question, supplier by supplier, then those to ourselves.

    What contradicts is a sentence. What screws do not state is a table, a row a datum: above it
    stands which screws its columns are, an empty cell is to be filled.
    """
    bids: list[str | None] = [bid.id for bid in appraisal.evaluation.counting_bids]
    rows: list[tuple[Cell, ...]] = []
    for bid in (*bids, None):
        for to, asked, state in questions_sheet(appraisal, (bid,), in_full=bid is None).rows:
            rows.append((to, asked, *_NO_SCREWS, state))
        if bid is not None:
            rows += _missing_rows(appraisal, bid)
    screws = (Heading(f"Screw {place}") for place in range(1, SCREWS_IN_TABLE + 1))
    headings = (Heading("To"), Heading("Question"), Heading("Unit"), *screws, Heading("Status"))
    text = "One row for each datum that screws do not state; its empty cells are to be filled in."
    return Sheet("questions", "Questions", headings, tuple(rows), notes=(text,))


_NO_SCREWS = (Cell(ABSENT),) * (1 + SCREWS_IN_TABLE)


def _missing_rows(appraisal: Appraisal, bid: str) -> Iterator[tuple[Cell, ...]]:
    answers = {answer.question: answer for answer in appraisal.evaluation.answers}
    asked = {question.id: question for question in appraisal.questions if question.bid == bid}
    to = Cell(_asker(appraisal, bid))
    for part in missing_table(appraisal, bid, tuple(asked.values())).parts():
        beyond = (Cell(ABSENT),) * (SCREWS_IN_TABLE - len(part.names))
        yield (
            to,
            Cell("Screws, by name"),
            Cell(ABSENT),
            *map(Cell, part.names),
            *beyond,
            Cell(ABSENT),
        )
        for row in part.rows:
            cells = (
                Cell("", entered=True) if cell is None else Cell(cell or ABSENT)
                for cell in row.cells
            )
            text = f"{row.label}. {row.meaning}".strip()
            state = _state(asked[row.question], answers)
            yield to, Cell(text), Cell(row.unit or ABSENT), *cells, *beyond, Cell(state)
