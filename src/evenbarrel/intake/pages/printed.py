"""What is printed on the pages of a bid's document, as an extract for that bid or another."""

from __future__ import annotations

from pathlib import Path

from evenbarrel.intake.extract import Extract
from evenbarrel.intake.pages.boxed import extract_box
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.whole import extract_quote, rest_of
from evenbarrel.intake.pages.words import Page
from evenbarrel.intake.sent import Printed
from evenbarrel.intake.sources import source_in
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.bid_documents import read_document


def extract_printed(
    printed: Printed,
    page: Page | None,
    pages: QuotePages | None,
    evaluation: Evaluation,
    bid: str | None,
) -> Extract:
    """Return what is printed as an extract for a bid, None for the one whose document it is.

    `page` is the one that the box is on. Raises `TableRefused`, and `FileRefused` where pages
    cannot be read.
    """
    wanted = printed.bid if bid is None else bid
    known = next((one for one in evaluation.bids if one.id == wanted), None)
    source = source_in(known, printed.document)
    if page is not None and printed.box is not None:
        return extract_box(evaluation, page, printed.box, wanted, source, rest_of(pages))
    assert pages is not None
    return extract_quote(evaluation, pages, wanted, source)


def extract_printed_in_file(
    printed: Printed, file: Path | None, evaluation: Evaluation, bid: str | None
) -> Extract:
    """Return the same where no page is open any more; `file` is the evaluation's."""
    document = printed.document
    pages = QuotePages(read_document(document, file), document.name)
    try:
        page = None if printed.page is None else pages.page(printed.page)
        return extract_printed(printed, page, pages, evaluation, bid)
    finally:
        pages.close()
