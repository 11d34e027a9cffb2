"""A file that a supplier sent, whatever it is, made into an extract."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import PurePath

from pydantic import ValidationError

from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.bid_file import extract_bid
from evenbarrel.intake.data_sheet.added import with_added
from evenbarrel.intake.data_sheet.layout import LISTS, TERMS
from evenbarrel.intake.data_sheet.reader import extract_sheet, find_sheet
from evenbarrel.intake.extract import Extract, Finding, FoundAt, Line
from evenbarrel.intake.sources import Source, source_of_file
from evenbarrel.intake.tables.cells import TableRefused
from evenbarrel.intake.tables.pasted import grid_of, text_of
from evenbarrel.intake.tables.several import tables_in
from evenbarrel.intake.tables.table import extract_table, extract_tables
from evenbarrel.intake.tables.workbook_cells import Sheets, read_sheets
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import FileRefused, one_line
from evenbarrel.storage.files import parse_bid
from evenbarrel.wording.sentences.asking.collecting import PASTED

TEXTS = (".txt", ".csv", ".tsv")


def extract_file(evaluation: Evaluation, name: str, data: bytes, bid: str | None = None) -> Extract:
    """Return what a quote, a workbook, a text or a bid file holds; raises `FileRefused`.

    `bid` is the id of the bid that it is for, "" for a new one; with None what is read says so
    itself, if it does.
    """
    known = next((one for one in evaluation.bids if one.id == bid), None)
    if bid and known is None:
        raise FileRefused(name, "", f"the evaluation has no offer “{one_line(bid)}”")
    source = source_of_file(name, data, known)
    try:
        extract = _extract_of(evaluation, name, data, source, bid)
    except TableRefused as refused:
        raise FileRefused(name, "", str(refused)) from refused
    found = next((one for one in evaluation.bids if one.id == extract.bid.bid), None)
    if bid is not None or found is None or extract.document is None:
        return extract
    if source_of_file(name, data, found).document == extract.document:
        return extract
    # The bid that it names has documents already: this one is another, or one of them.
    return extract_file(evaluation, name, data, found.id)


def _extract_of(
    evaluation: Evaluation, name: str, data: bytes, source: Source, bid: str | None
) -> Extract:
    suffix = PurePath(name).suffix.lower()
    if suffix == ".pdf":
        return _of_quote(evaluation, name, data, source, bid)
    if suffix == ".xlsx":
        return _of_workbook(evaluation, read_sheets(data), name, data, source, bid)
    if suffix == ".json":
        return extract_bid(evaluation, parse_bid(data, name), bid, PurePath(name).name)
    if suffix in TEXTS:
        return extract_table(evaluation, grid_of(text_of(data)), bid, source)
    raise FileRefused(name, "", "what is read is .pdf, .xlsx, .csv, .txt or .bid.json")


def extract_text(evaluation: Evaluation, text: str, bid: str | None = None) -> Extract:
    """Return what a pasted text holds as an extract, as `extract_file`; raises `TableRefused`."""
    return extract_table(evaluation, grid_of(text), bid, Source(PASTED))


def take_sure(evaluation: Evaluation, extract: Extract, name: str) -> Evaluation:
    """Return the evaluation with the lines that may be taken unseen; raises `FileRefused`."""
    try:
        return take(evaluation, extract, extract.sure_lines())
    except ValidationError as error:
        first = str(error.errors()[0]["msg"])
        raise FileRefused(name, "", f"what is sure in it does not go together: {first}") from error


def _of_quote(
    evaluation: Evaluation, name: str, data: bytes, source: Source, bid: str | None
) -> Extract:
    # Imported here: it loads a library that most sessions never need.
    from evenbarrel.intake.pages.document import QuotePages
    from evenbarrel.intake.pages.whole import extract_quote

    pages = QuotePages(data, PurePath(name).name)
    try:
        return extract_quote(evaluation, pages, bid, source)
    finally:
        pages.close()


def _of_workbook(
    evaluation: Evaluation, sheets: Sheets, name: str, data: bytes, source: Source, bid: str | None
) -> Extract:
    if not sheets.visible:
        raise TableRefused("it holds no worksheet that is not hidden")
    sheet = find_sheet(sheets.visible)
    if sheet is not None:
        chosen = sheet.bid if bid is None else bid
        known = next((one for one in evaluation.bids if one.id == chosen), None)
        source = source_of_file(name, data, known)
        extract = extract_sheet(evaluation, sheet, source, bid)
        added = [title for title in sheets.filled if title not in (sheet.title, TERMS)]
        grids = {title: sheets.visible[title] for title in added}
        extract = with_added(evaluation, extract, grids, source)
        hidden = [title for title in sheets.hidden if title != LISTS]
    else:
        tables = [table for grid in sheets.visible.values() for table in tables_in(grid)]
        extract = extract_tables(evaluation, tables, bid, source)
        hidden = list(sheets.hidden)
    return replace(extract, lines=(*extract.lines, *_left_out(hidden)))


def _left_out(hidden: Iterable[str]) -> Iterator[Line]:
    """Yield a line for each worksheet that is hidden, and so not read."""
    for title in hidden:
        yield Line(FoundAt(1, 0, title), "", title, findings=(Finding("sheet_hidden"),))
