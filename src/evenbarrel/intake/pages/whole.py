"""A quote read as a whole: the tables on all its pages, and what they say of the offer itself."""

from __future__ import annotations

from weakref import WeakKeyDictionary

from evenbarrel.intake.extract import Extract
from evenbarrel.intake.pages.boxed import grids_in
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.words import Box, words_within
from evenbarrel.intake.sources import Source
from evenbarrel.intake.tables.cells import Grid, TableRefused
from evenbarrel.intake.tables.table import extract_tables
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.wording.sentences.asking import quote

MOST_PAGES = 60
"""Of one quote that are read through; an offer with its terms has fewer."""


def extract_quote(
    evaluation: Evaluation, pages: QuotePages, bid: str | None, source: Source
) -> Extract:
    """Return what all pages hold as an extract, as `extract_tables`.

    Raises `TableRefused` where they hold no text, or are too many; `FileRefused` where one cannot
    be read.
    """
    if pages.count > MOST_PAGES:
        raise TableRefused(quote.TOO_MANY_TO_READ.format(pages=MOST_PAGES))
    grids = tables_on(pages)
    if not grids:
        raise TableRefused(quote.NO_TEXT_AT_ALL)
    return extract_tables(evaluation, grids, bid, source)


_tables: WeakKeyDictionary[QuotePages, tuple[Grid, ...]] = WeakKeyDictionary()
"""Those of the quotes that are open: every box of one asks for them anew."""


def tables_on(pages: QuotePages) -> tuple[Grid, ...]:
    """Return the tables on the first `MOST_PAGES` pages; raises `FileRefused`."""
    if pages not in _tables:
        _tables[pages] = _read_tables(pages)
    return _tables[pages]


def _read_tables(pages: QuotePages) -> tuple[Grid, ...]:
    grids: list[Grid] = []
    for number in range(1, min(pages.count, MOST_PAGES) + 1):
        page = pages.page(number)
        whole = Box(0.0, 0.0, page.width, page.height)
        # What a page holds may all lie beyond its edge, where nobody sees it.
        if not page.is_picture and words_within(page, whole):
            grids += grids_in(page, whole)
    return tuple(grids)


def rest_of(pages: QuotePages | None) -> tuple[Grid, ...]:
    """Return the tables on the pages of a quote that is open; none where they cannot be had."""
    try:
        return () if pages is None else tables_on(pages)
    except (FileRefused, TableRefused):
        # A box of it can be read all the same, and it may be closed by now.
        return ()
