"""The evaluation as a workbook: numbers to calculate with, text that stays text."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report import workbook
from evenbarrel.report.workbook import (
    LONGEST,
    heading_text,
    plain,
    render_workbook,
    workbook_sheets,
)
from evenbarrel.wording.sentences.questions import barrel_name, question_texts


def _read(appraisal: Appraisal) -> Workbook:
    return load_workbook(BytesIO(render_workbook(appraisal)))


@pytest.fixture(scope="module")
def book(appraisal: Appraisal) -> Workbook:
    return _read(appraisal)


def test_every_sheet_is_a_worksheet_with_all_its_rows(appraisal: Appraisal, book: Workbook) -> None:
    sheets = workbook_sheets(appraisal)
    assert [sheet.key for sheet in sheets] == [
        "gate",
        "shots",
        "barrels",
        "masses",
        "fit",
        "claims",
        "offers",
        "questions",
        "deviations",
        "pins",
        "waiting_limits",
        "confirmed_limits",
        "resins",
        "limits",
        "uncertainty",
    ]
    assert len(book.sheetnames) == len(sheets)
    for page, sheet in zip(book.worksheets, sheets, strict=True):
        assert [cell.value for cell in page[1]] == [heading_text(h) for h in sheet.headings]
        assert page.max_row >= len(sheet.rows) + 1
        assert page.freeze_panes is not None


def test_numbers_are_numbers_with_their_unit_in_the_heading(
    appraisal: Appraisal, book: Workbook
) -> None:
    page = book["Barrels on one volume basis"]
    column = next(cell.column for cell in page[1] if cell.value == "Swept volume [cm³]")
    read = [page.cell(row, column).value for row in range(2, 2 + len(appraisal.barrels))]
    for barrel, value in zip(appraisal.barrels, read, strict=True):
        bound = barrel.swept.bound
        if bound is None:
            assert value == "–"
        else:
            assert value == pytest.approx(bound.nominal * 1e6, rel=1e-12)


def test_states_are_written_in_words(book: Workbook) -> None:
    words = {cell.value for row in book["Claims"].iter_rows(min_row=2) for cell in row}
    assert {"● agrees", "◐ query", "⊗ contradicts", "◌ not stated"} <= words
    cells = {cell.value for row in book["Fit"].iter_rows(min_row=2, min_col=3) for cell in row}
    assert "● inside\nshare 45 %\n2 open" in cells


def test_every_question_is_there(appraisal: Appraisal, book: Workbook) -> None:
    asked = {row[1].value for row in book["Questions"].iter_rows(min_row=2)}
    assert set(question_texts(appraisal).values()) <= asked


@pytest.mark.parametrize(
    "words",
    ["=1+1", '=HYPERLINK("http://example.invalid","x")', "=Ø50 mm", "#N/A", "+1", "-1", "@x", "1"],
)
def test_text_that_looks_like_a_formula_or_number_stays_text(
    evaluation: Evaluation, words: str
) -> None:
    job = evaluation.jobs[0].replace(name=words)
    named = evaluation.replace(title=words, jobs=(job, *evaluation.jobs[1:]))
    field = _read(appraise(named))["Planned shots"]["A2"]
    assert field.value == words
    assert field.data_type == "s"
    assert field.quotePrefix


def test_control_characters_and_lone_surrogates_are_left_out() -> None:
    assert plain("a\x00b\x1fc\ud800d\te\nf") == "abcd\te\nf"


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
    evaluation: Evaluation, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A cell's own limit is far beyond a supplier's name: brought within its reach.
    monkeypatch.setattr(workbook, "LONGEST", 1000)
    words = "=\x00<b>&\ud7ff 中 " + "long " * 390
    bid = evaluation.bids[0].replace(supplier=words)
    book = _read(appraise(evaluation.replace(bids=(bid, *evaluation.bids[1:]))))
    read = book["Offers"]["A2"].value
    assert read.startswith("=<b>&")
    assert len(read) == workbook.LONGEST


def test_an_empty_evaluation_gives_headings_only() -> None:
    book = _read(appraise(Evaluation()))
    assert book["Planned shots"].max_row == 1


def test_equal_evaluations_give_equal_bytes(
    appraisal: Appraisal, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = render_workbook(appraisal)
    monkeypatch.setattr("time.time", lambda: 2_000_000_000.0)
    assert render_workbook(appraise(appraisal.evaluation)) == first


def test_many_barrels_and_jobs_have_their_row_and_column(
    grown: Callable[[int, int], Evaluation],
) -> None:
    page = _read(appraise(grown(60, 20)))["Fit"]
    assert page.max_column == 22
    assert page.cell(61, 22).value


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
