"""Commands between us and a supplier: data sheet, letter, and what comes back."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from evenbarrel.commands.files import (
    evaluation_in,
    evaluation_of,
    named,
    put,
    refuse_unknown,
)
from evenbarrel.commands.outcome import DONE
from evenbarrel.storage.atomic import keep_apart
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import evaluation_bytes, read_content
from evenbarrel.wording.words.visible import visible

if TYPE_CHECKING:
    from evenbarrel.intake.extract import Extract
    from evenbarrel.model.evaluation import Evaluation


def sheet(arguments: argparse.Namespace) -> int:
    """Write the data sheet that a supplier fills."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.intake.data_sheet.writer import render_sheet

    out, evaluation = named(arguments.output, arguments.file), evaluation_of(arguments)
    if arguments.bid is not None:
        refuse_unknown(arguments.bid, evaluation)
    put(render_sheet(appraise(evaluation), arguments.bid, arguments.open), out)
    return DONE


def letter(arguments: argparse.Namespace) -> int:
    """Write the letter of questions to a supplier."""
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.report.letter import render_letter
    from evenbarrel.wording.sentences.asking import letters

    out, bid = named(arguments.output, arguments.file), arguments.bid
    evaluation = evaluation_of(arguments)
    refuse_unknown(bid, evaluation)
    if all(one.id != bid for one in evaluation.suppliers_bids):
        raise FileRefused("--bid", bid, letters.NOBODY_ASKED)
    day = arguments.date or evaluation.as_of
    if arguments.by is not None and arguments.by < day:
        raise FileRefused("--by", str(arguments.by), f"the letter is of {day}, which is later")
    particulars = letters.Particulars(arguments.person, day, arguments.by, arguments.new)
    letter = letters.make_letter(appraise(evaluation), bid, particulars)
    as_text = out.suffix.lower() == ".txt"
    data = letters.letter_text(letter).encode("utf-8") if as_text else render_letter(letter)
    put(data, out)
    return DONE


def take(arguments: argparse.Namespace) -> int:
    """Print what a supplier sent as an extract; with --yes write what is sure.

    Questions that a returned data sheet answers are answered then, today.
    """
    from evenbarrel.intake.accepting.particulars import with_currency
    from evenbarrel.intake.files import extract_file, take_sure
    from evenbarrel.intake.listing import listing
    from evenbarrel.wording.sentences.asking.extracts import NOTHING_WRITTEN, written_line

    path = Path(arguments.sheet)
    out: Path | None = None
    if arguments.yes:
        out = named(arguments.output, arguments.file)
        keep_apart(out, path, "it is the file being read: name another file")
    evaluation = evaluation_in(Path(arguments.file))
    read = extract_file(evaluation, path.name, read_content(path), arguments.bid or None)
    extract = with_currency(evaluation, read)
    text = listing(evaluation, extract, path.name)
    if out is None:
        put(visible(f"{text}{NOTHING_WRITTEN}\n").encode("utf-8"), None)
        return DONE
    taken = _with_answers(evaluation, take_sure(evaluation, extract, path.name), extract)
    put(evaluation_bytes(taken), out)
    put(visible(f"{text}{written_line(out.name)}\n").encode("utf-8"), None)
    return DONE


def _with_answers(before: Evaluation, after: Evaluation, extract: Extract) -> Evaluation:
    if not extract.is_returned:
        return after
    from evenbarrel.appraisal.appraise import appraise
    from evenbarrel.intake.data_sheet.answering import with_questions_answered

    questions = appraise(before).questions
    return with_questions_answered(before, after, extract, questions, date.today())
