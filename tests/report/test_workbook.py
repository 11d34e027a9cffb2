"""The evaluation as a workbook: numbers to calculate with, text that stays text."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from io import BytesIO
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.decision.decide import decide
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.workbook.book import TITLES, render_workbook, workbook_sheets
from evenbarrel.report.workbook.worksheet import heading_text
from evenbarrel.storage import workbooks
from evenbarrel.storage.workbooks import LONGEST, plain
from evenbarrel.wording.paper.leaders import proposal_not_known
from evenbarrel.wording.sentences.asking.missing import is_missing, missing_table
from evenbarrel.wording.sentences.asking.questions import doubt_text, question_texts
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.words.names import barrel_name


def _read(appraisal: Appraisal) -> Workbook:
    """Return the workbook as who shows it without calculating sees it."""
    return load_workbook(BytesIO(render_workbook(appraisal)), data_only=True)


@pytest.fixture(scope="module")
def data(appraisal: Appraisal) -> bytes:
    return render_workbook(appraisal)


@pytest.fixture(scope="module")
def book(data: bytes) -> Workbook:
    return load_workbook(BytesIO(data), data_only=True)


@pytest.fixture(scope="module")
def sheets(appraisal: Appraisal) -> Sequence[Sheet]:
    return workbook_sheets(appraisal)


def test_every_sheet_is_a_worksheet_with_all_its_rows(
    sheets: Sequence[Sheet], book: Workbook
) -> None:
    assert [sheet.key for sheet in sheets] == list(TITLES)
    assert book.sheetnames[:8] == [
        "Evaluation",
        "How to read this workbook",
        "Gate",
        "Barrels",
        "Jobs",
        "Fit",
        "Claims",
        "Questions",
    ]
    assert len(book.sheetnames) == len(sheets)
    for page, sheet in zip(book.worksheets, sheets, strict=True):
        assert [cell.value for cell in page[1]] == [heading_text(h) for h in sheet.headings]
        assert page.max_row >= len(sheet.rows) + 1
        assert page.freeze_panes is not None


def test_the_first_sheet_says_what_it_is_of_what_is_proposed_and_what_is_not_known(
    appraisal: Appraisal, book: Workbook
) -> None:
    rows = [(row[0].value, row[1].value) for row in book["Evaluation"].iter_rows(min_row=2)]
    told = {str(what): str(words) for what, words in rows if what}
    assert told["Title"] == appraisal.evaluation.title
    assert told["As of"] == "2026-11-02"
    assert told["Proposed"].startswith("Proposed by buyer of the sample, 2026-11-02: buy Brastivel")
    assert "Never on one machine" in told["Safety"]
    assert (told["What is not known"],) == proposal_not_known(decide(appraisal))
    words = "\n".join(str(text) for _, text in rows)
    assert "BR-26-0417 of 2026-10-05: valid until 2026-12-31" in words
    assert appraisal.evaluation.proposal is not None
    assert appraisal.evaluation.proposal.reason in words


def test_an_evaluation_without_prices_or_offers_has_its_first_sheet_too() -> None:
    rows = [row[0].value for row in _read(appraise(Evaluation()))["Evaluation"].iter_rows()]
    assert rows[:3] == ["What", "Title", "As of"]
    assert "Proposed" not in rows


def test_numbers_are_numbers_with_their_unit_in_the_heading(
    appraisal: Appraisal, book: Workbook
) -> None:
    page = book["Barrels"]
    column = next(cell.column for cell in page[1] if cell.value == "Swept volume [cm³]")
    read = [page.cell(row, column).value for row in range(2, 2 + len(appraisal.barrels))]
    for barrel, value in zip(appraisal.barrels, read, strict=True):
        bound = barrel.swept.bound
        if bound is None:
            assert value is None
        else:
            assert value == pytest.approx(bound.nominal * 1e6, rel=1e-12)


def _column(page: Worksheet, heading: str) -> list[Any]:
    """Return the values below a heading, in the rows that are filtered."""
    column = next(cell.column for cell in page[1] if cell.value == heading)
    last = int(page.auto_filter.ref.rpartition(":")[2].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
    rows = page.iter_rows(min_row=2, max_row=last, min_col=column, max_col=column)
    return [row[0].value for row in rows]


def test_every_barrel_mould_and_claim_has_a_row_with_the_numbers_of_the_appraisal(
    appraisal: Appraisal, book: Workbook
) -> None:
    fits = [appraisal.fit(b.id, j.id) for b in appraisal.barrels for j in appraisal.jobs]
    page = book["Fit"]
    for heading, key, factor in (
        ("Share of volume [%]", "utilisation", 100.0),
        ("Stroke in diameters [D]", "stroke", 1.0),
        ("Residence time [s]", "residence", 1.0),
        ("Pressure, by the program [%]", "pressure", 100.0),
    ):
        read = _column(page, heading)
        assert len(read) == len(fits)
        for fit, value in zip(fits, read, strict=True):
            expected = fit.criterion(key).value
            if expected is None:
                assert value in (None, "–")
            else:
                assert value == pytest.approx(expected * factor)
    assert _column(page, "Open criteria, by the program") == [len(fit.open) for fit in fits]
    claims = [claim for owner in (*appraisal.barrels, *appraisal.bids) for claim in owner.claims]
    gaps = _column(book["Claims"], "Difference [%]")
    assert len(gaps) == len(claims)
    for claim, value in zip(claims, gaps, strict=True):
        assert value == ("–" if claim.gap is None else pytest.approx(claim.gap * 100.0))


def test_what_was_printed_in_any_unit_stands_in_one(evaluation: Evaluation, book: Workbook) -> None:
    page = book["Barrels"]
    entered = [barrel for _, _, barrel in evaluation.barrels()]
    for heading, field, kind, factor in (
        ("Rated shot mass [g]", "rated_shot_mass", "mass", 1e3),
        ("Injection pressure [bar]", "injection_pressure", "melt_pressure", 1e-5),
    ):
        for barrel, value in zip(entered, _column(page, heading), strict=True):
            quantity = getattr(barrel, field)
            if quantity is not None:
                assert value == pytest.approx(quantity.si(kind) * factor)


def test_amounts_are_numbers_beside_their_currency(evaluation: Evaluation, book: Workbook) -> None:
    page = book["Offers"]
    headings = [cell.value for cell in page[1]]
    place = headings.index("Freight")
    assert headings[place + 1] == "Currency"
    for bid, row in zip(evaluation.bids, page.iter_rows(min_row=2, values_only=True), strict=False):
        if bid.freight is not None:
            assert row[place : place + 2] == (bid.freight.value(), bid.freight.currency)


def test_rows_are_filtered_and_headings_and_names_stay_in_sight(
    sheets: Sequence[Sheet], book: Workbook
) -> None:
    for sheet, page in zip(sheets, book.worksheets, strict=True):
        if sheet.rows:
            last = page.cell(len(sheet.rows) + 1, len(sheet.headings)).coordinate
            assert page.auto_filter.ref == f"A1:{last}"
        assert page.freeze_panes[1:] == "2"
    assert book["Fit"].freeze_panes == "D2"


def test_each_worksheet_prints_with_its_title_and_headings_and_can_be_read(
    sheets: Sequence[Sheet], book: Workbook
) -> None:
    for sheet, page in zip(sheets, book.worksheets, strict=True):
        paper, width = page.page_setup, [one.width for one in page.column_dimensions.values()]
        assert paper.paperSize == int(page.PAPERSIZE_A4)
        assert (paper.fitToHeight, page.print_title_rows) == (0, "$1:$1")
        assert page.oddHeader.left.text == "&A"
        # In 11 points a character is 1.85 mm wide; what stands on 277 mm is made so small.
        names = sum(width[: _frozen(page)])
        each = names + (sum(width) - names) / paper.fitToWidth
        assert 277.0 / (each * 1.85) * 11.0 > 6.4, page.title
        if paper.fitToWidth > 1:
            assert page.print_title_cols is not None
            assert paper.pageOrder == "overThenDown"
        assert len(page.merged_cells.ranges) == len(sheet.notes)


def _frozen(page: Worksheet) -> int:
    """Return how many columns stay in sight."""
    return int(page[page.freeze_panes].column) - 1


def test_states_are_worded_and_coloured(book: Workbook) -> None:
    states = [row[3] for row in book["Claims"].iter_rows(min_row=2)]
    assert {"● agrees", "◐ query", "⊗ contradicts", "◌ not stated"} == {s.value for s in states}
    looks = {(s.value, s.font.color.rgb, s.fill.start_color.rgb) for s in states}
    assert len({font for _, font, _ in looks}) == len({fill for _, _, fill in looks}) == 4
    assert "⊗ outside by rule" in _column(book["Fit"], "Verdict, by the program")
    assert "● no objection" in _column(book["Gate"], "Gate")


def test_every_question_is_there(appraisal: Appraisal, book: Workbook) -> None:
    rows = [[cell.value for cell in row] for row in book["Questions"].iter_rows(min_row=2)]
    told = {row[1] for row in rows}
    texts = question_texts(appraisal)
    missing = {one.id for one in appraisal.questions if is_missing(one)}
    contradicting = {one.id for one in appraisal.questions if one.claim is not None}
    # What is not stated is no sentence: a row a datum, empty cells below its screws' names.
    assert not {texts[one] for one in missing} & told
    assert {texts[one] for one in texts.keys() - missing - contradicting} <= told
    assert {doubt_text(one, appraisal) for one in appraisal.questions if one.claim} <= told
    for bid in appraisal.evaluation.suppliers_bids:
        asked = [one for one in appraisal.questions if one.bid == bid.id]
        table = missing_table(appraisal, bid.id, asked)
        own = [row for row in rows if row[0] == bid.supplier]
        for part in table.parts():
            count, names = len(part.names), list(part.names)
            first = next(n for n, row in enumerate(own) if row[3 : 3 + count] == names)
            for row, told_row in zip(part.rows, own[first + 1 :], strict=False):
                assert told_row[1].startswith(row.label)
                gaps = [cell is None for cell in told_row[3 : 3 + count]]
                assert gaps == [cell is None for cell in row.cells]


def test_text_that_looks_like_a_formula_or_number_stays_text(few: Evaluation) -> None:
    hostile = ["=1+1", '=HYPERLINK("http://example.invalid","x")', "=Ø50 mm", "#N/A"]
    hostile += ["+1", "-1", "@x", "1"]
    jobs = [job.replace(name=words) for job, words in zip(few.jobs, hostile, strict=True)]
    page = _read(appraise(few.replace(title=hostile[0], jobs=tuple(jobs))))["Jobs"]
    for row, words in enumerate(hostile, 2):
        field = page.cell(row, 2)
        assert field.value == words
        assert field.data_type == "s"
        assert field.quotePrefix


def test_what_hides_in_a_text_is_written_as_a_mark() -> None:
    assert plain("a\x00b\x1fc\ud800d\te\nf") == "a⟨U+0000⟩b⟨U+001F⟩c⟨U+D800⟩d\te\nf"


def test_a_text_no_cell_can_hold_is_cut_where_all_can_see_it() -> None:
    assert plain("x" * LONGEST) == "x" * LONGEST
    cut = plain("x" * (LONGEST + 1))
    assert len(cut) == LONGEST
    assert cut.endswith("…")


def test_worksheet_titles_are_such_as_a_workbook_takes_whole(book: Workbook) -> None:
    assert all(len(title) <= 31 for title in book.sheetnames)
    assert not any(set(title) & set("[]:*?/\\'") for title in book.sheetnames)
    assert "Full strokes in resins run" in book.sheetnames


def test_hostile_and_long_texts_do_not_break_it(
    few: Evaluation, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A cell's own limit is far beyond a supplier's name: brought within its reach.
    monkeypatch.setattr(workbooks, "LONGEST", 1000)
    words = "=\x00<b>&\ud7ff 中 " + "long " * 390
    bid = few.bids[0].replace(supplier=words)
    book = _read(appraise(few.replace(bids=(bid, *few.bids[1:]))))
    read = book["Offers"]["A2"].value
    assert read.startswith("=⟨U+0000⟩<b>&")
    assert len(read) == workbooks.LONGEST


def test_an_empty_evaluation_gives_headings_only() -> None:
    book = _read(appraise(Evaluation()))
    assert book["Jobs"].max_row == 1


def test_equal_evaluations_give_equal_bytes(
    evaluation: Evaluation, data: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("time.time", lambda: 2_000_000_000.0)
    assert render_workbook(appraise(evaluation)) == data


def test_many_barrels_and_jobs_have_their_row(
    grown: Callable[[int, int], Evaluation],
) -> None:
    data = BytesIO(render_workbook(appraise(grown(30, 12))))
    # Rows are counted without reading what is in them.
    page = load_workbook(data, read_only=True)["Fit"]
    assert sum(1 for _ in page.rows) == 1 + 360


def test_no_sheet_calls_a_barrel_by_its_id(evaluation: Evaluation) -> None:
    bid = evaluation.bids[0]
    units = tuple(
        unit.replace(
            designation="", barrels=tuple(barrel.replace(label="") for barrel in unit.barrels)
        )
        for unit in bid.units
    )
    bids = (bid.replace(units=units), *evaluation.bids[1:])
    appraisal = appraise(evaluation.replace(bids=bids))
    first = units[0].barrels[0].id
    assert barrel_name(appraisal, first) == "Injection unit 1 Screw 1"
    for sheet in workbook_sheets(appraisal):
        words = {cell.text for row in sheet.rows for cell in row}
        assert not any(unit.id in text for unit in units for text in words)
