"""The invented tables printed on a page, each set in three ways, and read back from a box."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from io import BytesIO
from pathlib import Path

import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

from evenbarrel.entry.shapes import Context, shapes_of
from evenbarrel.intake.pages.boxed import extract_box, grids_in
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.numbers import value_at
from evenbarrel.intake.pages.search import Hit, search
from evenbarrel.intake.pages.whole import tables_on
from evenbarrel.intake.pages.words import Box, Page
from evenbarrel.intake.sources import Source, source_of_file
from evenbarrel.intake.tables.cells import TableRefused
from evenbarrel.intake.tables.pasted import grid_of
from evenbarrel.intake.tables.values import begins_a_value
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.report.paper.fonts import REGULAR, register
from evenbarrel.resources import read_sample

from .catalogue import TABLES
from .held_out import HELD_OUT
from .held_out_later import HELD_OUT_LATER
from .held_out_quotes import HELD_OUT_QUOTES
from .outcomes import RIGHT, Outcome, cells_in

WHOLE = Box(0, 0, 5000, 5000)
SIZE, GAP = 9, 14
KEPT_APART = [table.text for table in TABLES if any(mark in table.text for mark in "\t;|")]


def cells_of(text: str) -> list[list[str]]:
    """Return the cells of a table as text, without rows and columns in which nothing stands."""
    rows = [[cell.text for cell in row] for row in grid_of(text)]
    rows = [row for row in rows if any(row)]
    filled = [at for at in range(len(rows[0])) if any(row[at] for row in rows)]
    return [[row[at] for at in filled] for row in rows]


def printed(rows: list[list[str]], align: str) -> bytes:
    """Return a page of a table; `numbers right` sets numbers right and heads left."""
    register()
    out = BytesIO()
    page = Canvas(out, pagesize=(2000, 1500), invariant=1)
    page.setFont(REGULAR, SIZE)
    left = 50.0
    for at in range(len(rows[0])):
        width = max(stringWidth(row[at], REGULAR, SIZE) for row in rows)
        for number, row in enumerate(rows):
            text, y = row[at], 1400 - number * 16
            if align == "centred" and at:
                page.drawCentredString(left + width / 2, y, text)
            elif align == "numbers right" and at and begins_a_value(text):
                page.drawRightString(left + width, y, text)
            else:
                page.drawString(left, y, text)
        left += width + GAP
    page.showPage()
    page.save()
    return out.getvalue()


def page_of(data: bytes) -> Page:
    pages = QuotePages(data, "quote.pdf")
    page = pages.page(1)
    pages.close()
    return page


@pytest.mark.parametrize("align", ["left", "numbers right", "centred"])
def test_cells_are_found_however_they_are_set(align: str) -> None:
    assert len(KEPT_APART) >= 25
    for text in KEPT_APART:
        rows = cells_of(text)
        grids = grids_in(page_of(printed(rows, align)), WHOLE)
        found = [[cell.text.replace(" ", "") for cell in row] for grid in grids for row in grid]
        assert found == [[cell.replace(" ", "") for cell in row] for row in rows]


@pytest.mark.parametrize("align", ["left", "numbers right", "centred"])
def test_a_box_round_all_gives_what_its_tables_say(align: str, no_bids: Evaluation) -> None:
    total: Counter[Outcome] = Counter()
    for table in (*TABLES, *HELD_OUT, *HELD_OUT_LATER):
        page = page_of(printed(cells_of(table.text), align))
        extract = extract_box(no_bids, page, WHOLE, "", Source("quote.pdf"))
        total.update(outcome for _, outcome in cells_in(extract, table))
    assert total["wrong, unmarked"] == 0
    assert sum(total[outcome] for outcome in RIGHT) >= 0.95 * total.total()


def test_a_quote_with_prices_below_its_data_is_read_as_both(no_bids: Evaluation) -> None:
    table = next(one for one in HELD_OUT_QUOTES if "SE310" in one.text)
    rows = [[cell.text for cell in row] for row in grid_of(table.text)]
    page = page_of(printed(rows, "centred"))
    total = Counter(
        outcome
        for _, outcome in cells_in(
            extract_box(no_bids, page, WHOLE, "", Source("quote.pdf")), table
        )
    )
    assert total["wrong, unmarked"] == 0
    assert sum(total[outcome] for outcome in RIGHT) >= 0.95 * total.total()


@pytest.mark.parametrize(("names", "sure"), [("Q 80||Q 130||", False), ("Q 80||Q 130|", True)])
def test_names_over_unlike_groups_of_screws_leave_doubt(
    no_bids: Evaluation, names: str, sure: bool
) -> None:
    """On a page a name begins over the first of its screws, or stands in the middle of them."""
    units = names.split("|")
    rows = [
        ["Model", "", *units],
        ["Screw", "", *"ABABC"[: len(units)]],
        ["Screw diameter", "mm", *("30", "35", "40", "45", "50")[: len(units)]],
    ]
    page = page_of(printed(rows, "left"))
    extract = extract_box(no_bids, page, WHOLE, "", Source("quote.pdf"))
    assert [one.sure for one in extract.lines if one.field == "screw_diameter"] == [
        sure for _ in units
    ]


def test_a_number_in_a_table_keeps_its_box(sample_evaluation: Evaluation) -> None:
    data = printed(cells_of(KEPT_APART[0]), "left")
    page = page_of(data)
    source = source_of_file("quote.pdf", data, Bid(id="b1"))
    extract = extract_box(sample_evaluation, page, WHOLE, "b1", source)
    stroke = next(line for line in extract.lines if line.field == "stroke")
    word = next(word for word in page.words if word.text == stroke.text)
    assert stroke.value.source == "quote.pdf, p. 1"
    assert stroke.value.place.box == pytest.approx(word.box, abs=0.06)
    assert str(stroke.place) == "p. 1"
    assert extract.document is not None
    assert stroke.value.place.document == extract.document.id


def test_one_number_in_the_middle_is_for_the_columns_on_either_side() -> None:
    rows = [["Stroke", "mm", "190", "200"], ["Druck", "bar", "", ""], ["L/D", "", "20", "18"]]
    register()
    out = BytesIO()
    page = Canvas(out, pagesize=(600, 400), invariant=1)
    page.setFont(REGULAR, SIZE)
    for number, row in enumerate(rows):
        for at, text in enumerate(row):
            page.drawString(50 + at * 120, 300 - number * 16, text)
    page.drawString(350, 284, "1800")
    page.save()
    (grid,) = grids_in(page_of(out.getvalue()), WHOLE)
    assert [cell.text for cell in grid[1]] == ["Druck", "bar", "1800", "1800"]
    assert [cell.noticed for cell in grid[1]] == [(), (), ("for_all",), ("for_all",)]


def test_what_a_box_cuts_is_not_sure(no_bids: Evaluation) -> None:
    rows = [["Screw", "", "A"], ["Max. screw speed", "rpm", "420"], ["Stroke", "mm", "190"]]
    page = page_of(printed(rows, "left"))
    first = next(word.box.right for word in page.words if word.text == "Max.")
    extract = extract_box(no_bids, page, Box(first, 0, 2000, 2000), "", Source("quote.pdf"))
    (line,) = (one for one in extract.lines if one.text == "420")
    assert "cut_off" in [finding.code for finding in line.findings]
    assert not line.sure


def test_a_page_whose_words_all_lie_beyond_its_edge_does_not_stop_the_others() -> None:
    out = BytesIO()
    pages = Canvas(out, invariant=1)
    for x in (5000, 50):
        pages.drawString(x, 700, "Screw stroke mm")
        pages.drawString(x + 150, 700, "190")
        pages.showPage()
    pages.save()
    quote = QuotePages(out.getvalue(), "quote.pdf")
    (grid,) = tables_on(quote)
    quote.close()
    assert [cell.text for cell in grid[0]] == ["Screw stroke mm", "190"]


def test_an_empty_box_is_said_to_be_empty() -> None:
    with pytest.raises(TableRefused, match="there is no text in the box"):
        grids_in(page_of(printed([["Stroke", "190"]], "left")), Box(0, 0, 10, 10))


@pytest.mark.parametrize(
    ("text", "datum", "wanted"),
    [
        ("about 190 mm of stroke", "stroke", ("190", "mm", ["approximate"])),
        ("1 234,5 cm³", "swept_volume", ("1234.5", "cm3", [])),
        ("Ø 45 mm", "screw_diameter", ("45", "mm", [])),
        ("2000 bar (29008 psi)", "injection_pressure", ("2000", "bar", ["also_stated"])),
        ("190", "stroke", ("190", "mm", ["unit_missing"])),
    ],
)
def test_a_number_is_taken_with_the_words_that_belong_to_it(
    text: str, datum: str, wanted: tuple[str, str, list[str]]
) -> None:
    page = page_of(printed([[text]], "left"))
    word = next(word for word in page.words if any(c.isdigit() for c in word.text))
    found = value_at(page, *word.box.middle, shapes_of(Barrel)[datum], Context())
    assert found is not None
    value, codes = found.reading.value, [one.code for one in found.reading.findings]
    assert (value.magnitude, value.unit, codes) == wanted


def test_a_mark_in_a_number_is_settled_by_the_tables_on_its_page() -> None:
    pages = QuotePages(read_sample("quillomar-quotation.pdf"), "quote.pdf")
    page = pages.page(3)
    pages.close()
    word = next(word for word in page.words if word.text == "1,960")
    found = value_at(page, *word.box.middle, shapes_of(InjectionUnit)["clamp_force"], Context())
    assert found is not None
    assert found.reading.value.magnitude == "1960"
    assert [one.code for one in found.reading.findings] == ["mark_settled"]


def test_a_search_finds_words_across_gaps_and_cases() -> None:
    data = printed([["Screw diameter", "mm", "40"], ["SCREW DIAMETER", "in", "1.5"]], "left")
    pages = QuotePages(data, "quote.pdf")
    box = {word.text: word.box for word in pages.page(1).words}
    hits = search(pages, "w diam")
    assert set(hits) == {
        Hit(1, (box["Screw"], box["diameter"])),
        Hit(1, (box["SCREW"], box["DIAMETER"])),
    }
    assert search(pages, "  ") == search(pages, "barrel") == ()
    pages.close()


def test_a_quote_that_is_open_when_the_program_ends_is_closed_without_a_word() -> None:
    """pdfium warns of what its own end has to close.

    It does where anything else asked to be finalised before it, as a temporary folder does.
    """
    code = (
        "from tempfile import TemporaryDirectory\n"
        "folder = TemporaryDirectory()\n"
        "from evenbarrel.intake.pages.document import QuotePages\n"
        "from evenbarrel.resources import read_sample\n"
        "pages = QuotePages(read_sample('brastivel-offer.pdf'), 'offer.pdf')\n"
        "print(pages.page(1).words[0].text, pages.text(3)[:0], pages.picture(1, 0.2).width > 0)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        check=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2] / "src")},
    )
    assert (done.stdout, done.stderr) == ("Invented  True\n", "")
