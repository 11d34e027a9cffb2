"""Offers, claims and questions: side by side, then supplier by supplier."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reportlab.platypus import CondPageBreak, Flowable, Table, TableStyle

from evenbarrel.model.offers.bid import Bid
from evenbarrel.report.paper.evidence.sections import BESIDE, START, Sections
from evenbarrel.report.paper.front import height_of
from evenbarrel.report.paper.pages import DEPTH, ROOM, Outlined
from evenbarrel.report.paper.tables import (
    column_widths,
    grid_tables,
    halves,
    plain_style,
    side_by_side,
)
from evenbarrel.report.paper.text import Writer
from evenbarrel.wording.paper import sections as words
from evenbarrel.wording.sheets.printed import (
    failed_claims_sheet,
    printed_claims_sheet,
    printed_offers_sheet,
    with_short_names,
)
from evenbarrel.wording.sheets.questions import missing_data_sheets, questions_sheet
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.words.names import bid_called

CLAIM_COLUMN = 46.0, 62.0
"""How wide the column of a claim is, at least and at most [pt]."""
_MINOR = "minor"
_PAIRS = 3
"""Pairs of a label and its text beside each other."""
_LONG = 6
"""From so many rows on a narrow table is told in two halves."""
_NARROW = 1.25
"""So many times its half of the page a table may want, and be narrow enough for it."""


def claims(sections: Sections) -> Iterator[Flowable]:
    """Tell the offers side by side, every claim, then each supplier's own, and our questions."""
    appraisal, writer = sections.appraisal, sections.writer
    yield from sections.section("claims")
    yield from sections.sheet(printed_offers_sheet(appraisal))
    claims = with_short_names(printed_claims_sheet(appraisal))
    yield from sections.part(words.CLAIMS)
    if claims.rows:
        for _, _, table in grid_tables(writer, claims, 2, ROOM, *CLAIM_COLUMN):
            yield table
    else:
        yield writer.paragraph(words.EMPTY["claims"])
    for bid in appraisal.evaluation.counting_bids:
        yield from _supplier(sections, bid)
    yield Outlined("to_us", words.TO_US, 1)
    yield from _questions(sections, questions_sheet(appraisal, (None,)), words.TO_US)


def _supplier(sections: Sections, bid: Bid) -> Iterator[Flowable]:
    name, writer = bid_called(sections.appraisal.evaluation, bid), sections.writer
    yield CondPageBreak(DEPTH / 5)
    yield Outlined(f"offer {bid.id}", writer.line(name), 1)
    yield writer.paragraph(name, "supplier")
    terms = words.offer_lines(bid)
    if terms:
        yield _terms(writer, terms)
    failed = failed_claims_sheet(sections.appraisal, bid)
    if failed.rows:
        yield from sections.sheet(failed, words.FAILED_CLAIMS, _MINOR)
    else:
        yield writer.paragraph(words.NO_CLAIM_IN_DOUBT)
    missing = missing_data_sheets(sections.appraisal, bid.id)
    asked = questions_sheet(sections.appraisal, (bid.id,), in_full=False)
    if asked.rows:
        yield from _questions(sections, asked, words.QUESTIONS, _MINOR)
    for sheet in missing:
        yield from _missing(sections, sheet)


def _terms(writer: Writer, lines: Sequence[tuple[str, str]]) -> Table:
    """Return short labels with what they stand for, a few pairs beside each other."""
    label, each = 72.0, ROOM / _PAIRS
    pairs = [*lines, *([("", "")] * (-len(lines) % _PAIRS))]
    cells = [(writer.paragraph(a, "cell_bold"), writer.paragraph(b, "cell")) for a, b in pairs]
    rows = [
        [cell for pair in cells[place : place + _PAIRS] for cell in pair]
        for place in range(0, len(cells), _PAIRS)
    ]
    table = Table(rows, [label, each - label] * _PAIRS, splitInRow=1, hAlign="LEFT")
    table.setStyle(TableStyle(plain_style(0, 1)))
    return table


def _missing(sections: Sections, sheet: Sheet) -> Iterator[Flowable]:
    """Tell a long table in two halves beside each other, where it is narrow enough."""
    half, count = (ROOM - BESIDE) / 2, len(sheet.rows)
    narrow = sum(column_widths(sections.writer, sheet, ROOM)) <= _NARROW * half
    if not narrow or count < _LONG:
        yield from sections.sheet(sheet, sheet.title, _MINOR)
        return
    parts = [[table] for table in halves(sections.writer, sheet, half)]
    above = [sections.writer.paragraph(sheet.title, _MINOR), *sections.notes(sheet.notes)]
    beside = side_by_side(parts, [half + BESIDE] * 2, DEPTH)
    # One table cannot be broken: what stands above it goes with it.
    wanted = height_of([*above, *beside]) if len(beside) == 1 else START
    yield CondPageBreak(min(wanted, DEPTH))
    yield from above
    yield from beside


def _questions(
    sections: Sections, sheet: Sheet, title: str, style: str = "part"
) -> Iterator[Flowable]:
    # The heading above names who is asked: that column need not be repeated.
    rows = tuple(row[1:] for row in sheet.rows)
    asked = Sheet(sheet.key, sheet.title, sheet.headings[1:], rows)
    yield from sections.sheet(asked, title, style)
