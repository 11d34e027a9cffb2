"""A file that a supplier sent, whatever it is, made into a proposal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import PurePath

from pydantic import ValidationError

from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.bid_file import propose_bid
from evenbarrel.intake.data_sheet.layout import LISTS, TERMS
from evenbarrel.intake.data_sheet.reader import find_sheet, propose_sheet
from evenbarrel.intake.proposal import Finding, Line, Place, Proposal
from evenbarrel.intake.sources import Source, source_of_file
from evenbarrel.intake.tables.cells import TableRefused
from evenbarrel.intake.tables.pasted import grid_of, text_of
from evenbarrel.intake.tables.several import tables_in
from evenbarrel.intake.tables.table import propose_table, propose_tables
from evenbarrel.intake.tables.workbook_cells import Sheets, read_sheets
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import FileRefused, one_line
from evenbarrel.storage.files import parse_bid
from evenbarrel.wording.sentences.asking.proposals import PASTED

TEXTS = (".txt", ".csv", ".tsv")


def propose_file(
    evaluation: Evaluation, name: str, data: bytes, bid: str | None = None
) -> Proposal:
    """Return what a quote, a workbook, a text or a bid file holds; raises `FileRefused`.

    `bid` is the id of the bid that it is for, "" for a new one; with None what is read says so
    itself, if it does.
    """
    known = next((one for one in evaluation.bids if one.id == bid), None)
    if bid and known is None:
        raise FileRefused(name, "", f"the evaluation has no bid “{one_line(bid)}”")
    source = source_of_file(name, data, known)
    try:
        proposal = _proposed(evaluation, name, data, source, bid)
    except TableRefused as refused:
        raise FileRefused(name, "", str(refused)) from refused
    found = next((one for one in evaluation.bids if one.id == proposal.bid.bid), None)
    if bid is not None or found is None or proposal.document is None:
        return proposal
    if source_of_file(name, data, found).document == proposal.document:
        return proposal
    # The bid that it names has documents already: this one is another, or one of them.
    return propose_file(evaluation, name, data, found.id)


def _proposed(
    evaluation: Evaluation, name: str, data: bytes, source: Source, bid: str | None
) -> Proposal:
    suffix = PurePath(name).suffix.lower()
    if suffix == ".pdf":
        return _of_quote(evaluation, name, data, source, bid)
    if suffix == ".xlsx":
        return _of_workbook(evaluation, read_sheets(data), name, data, source, bid)
    if suffix == ".json":
        return propose_bid(evaluation, parse_bid(data, name), bid, PurePath(name).name)
    if suffix in TEXTS:
        return propose_table(evaluation, grid_of(text_of(data)), bid, source)
    raise FileRefused(name, "", "what is read is .pdf, .xlsx, .csv, .txt or .bid.json")


def propose_text(evaluation: Evaluation, text: str, bid: str | None = None) -> Proposal:
    """Return what a pasted text holds as a proposal, as `propose_file`; raises `TableRefused`."""
    return propose_table(evaluation, grid_of(text), bid, Source(PASTED))


def take_sure(evaluation: Evaluation, proposal: Proposal, name: str) -> Evaluation:
    """Return the evaluation with the lines that may be taken unseen; raises `FileRefused`."""
    try:
        return take(evaluation, proposal, proposal.sure_lines())
    except ValidationError as error:
        first = str(error.errors()[0]["msg"])
        raise FileRefused(name, "", f"what is sure in it does not go together: {first}") from error


def _of_quote(
    evaluation: Evaluation, name: str, data: bytes, source: Source, bid: str | None
) -> Proposal:
    # Imported here: it loads a library that most sessions never need.
    from evenbarrel.intake.pages.document import QuotePages
    from evenbarrel.intake.pages.whole import propose_quote

    pages = QuotePages(data, PurePath(name).name)
    try:
        return propose_quote(evaluation, pages, bid, source)
    finally:
        pages.close()


def _of_workbook(
    evaluation: Evaluation, sheets: Sheets, name: str, data: bytes, source: Source, bid: str | None
) -> Proposal:
    if not sheets.visible:
        raise TableRefused("it holds no worksheet that is not hidden")
    sheet = find_sheet(sheets.visible)
    if sheet is not None:
        chosen = sheet.bid if bid is None else bid
        known = next((one for one in evaluation.bids if one.id == chosen), None)
        proposal = propose_sheet(evaluation, sheet, source_of_file(name, data, known), bid)
        beside = [title for title in sheets.filled if title not in (sheet.title, TERMS)]
        hidden = [title for title in sheets.hidden if title != LISTS]
    else:
        tables = [table for grid in sheets.visible.values() for table in tables_in(grid)]
        proposal = propose_tables(evaluation, tables, bid, source)
        beside, hidden = [], list(sheets.hidden)
    others = (*_left_out(beside, "sheet_beside"), *_left_out(hidden, "sheet_hidden"))
    return replace(proposal, lines=(*proposal.lines, *others))


def _left_out(titles: Iterable[str], code: str) -> Iterator[Line]:
    """Yield a line for each worksheet that is not read."""
    for title in titles:
        yield Line(Place(1, 0, title), "", title, findings=(Finding(code),))
