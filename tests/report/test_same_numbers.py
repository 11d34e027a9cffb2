"""Price, cost over life and rank of every barrel: equal on page, paper, workbook and results."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from io import BytesIO

import pytest
from openpyxl import load_workbook
from openpyxl.workbook import Workbook
from tests.printed import front_pages, page_texts

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.decision.flips.choice import choices_of
from evenbarrel.decision.flips.numbers import Number
from evenbarrel.decision.flips.search import Flip, Flips
from evenbarrel.report.results_file import results_of
from evenbarrel.report.workbook.book import render_workbook, workbook_sheets
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.sheets.decision.cost import cost_sheet
from evenbarrel.wording.sheets.decision.offers import offers_sheet
from evenbarrel.wording.sheets.decision.open_points import open_points_line, open_points_sheet
from evenbarrel.wording.sheets.decision.order import order_sheet
from evenbarrel.wording.sheets.decision.proposal import proposal_head, proposal_sheet
from evenbarrel.wording.sheets.sheet import Cell, Sheet
from evenbarrel.wording.standing_by.flips import flip_line
from evenbarrel.wording.words.names import barrel_name

Names = tuple[str, str]
_NO_NUMBER = re.compile(r"[^0-9.eE-]")
_ROW = 300
"""Characters within which the number of a row stands after its names."""


@pytest.fixture(scope="module")
def decision(appraisal: Appraisal) -> Decision:
    """What the sample comes to."""
    return decide(appraisal)


@pytest.fixture(scope="module")
def names(appraisal: Appraisal) -> Mapping[str, Names]:
    """Supplier and name of each barrel."""
    return {b.id: (b.supplier, barrel_name(appraisal, b.id)) for b in appraisal.barrels}


def _on_page(sheet: Sheet, title: str) -> dict[Names, Cell]:
    titles = [heading.title for heading in sheet.headings]
    at = [titles.index(one) for one in ("Supplier", "Barrel", title)]
    return {(row[at[0]].text, row[at[1]].text): row[at[2]] for row in sheet.rows}


@pytest.fixture(scope="module")
def flips(decision: Decision) -> Flips:
    """One that would turn the choice, as if it had been looked for."""
    choices = choices_of(decision)
    assert choices is not None
    number = Number("j1", "part_mass", ("jobs", "j1", "part_mass"), 1.0, "g", 0.1, 0.5, 2.0)
    flip = Flip(number, 1.05, 1.06, (), ("first", "second"))
    return Flips(choices, "first", (flip,), 40, 39)


@pytest.fixture(scope="module")
def book(appraisal: Appraisal, flips: Flips) -> Workbook:
    """The workbook as who shows it without calculating sees it."""
    return load_workbook(BytesIO(render_workbook(appraisal, flips)), data_only=True)


def _in_book(book: Workbook) -> Callable[[str, str], dict[Names, object]]:
    def column(page: str, heading: str) -> dict[Names, object]:
        first, *rows = book[page].iter_rows(values_only=True)
        at = [first.index(one) for one in ("Supplier", "Barrel", heading)]
        return {(str(row[at[0]]), str(row[at[1]])): row[at[2]] for row in rows}

    return column


def test_price_cost_and_rank_of_every_barrel_are_the_same_everywhere(
    appraisal: Appraisal,
    decision: Decision,
    names: Mapping[str, Names],
    pdf: bytes,
    book: Workbook,
) -> None:
    results = results_of(appraisal, question_texts(appraisal), decision).decision
    assert results is not None
    column, paper = _in_book(book), "".join("".join(page_texts(pdf)).split())
    shown = {
        "price": (
            _on_page(offers_sheet(decision), "Price"),
            column("Prices", "Landed price [EUR]"),
        ),
        "cost": (
            _on_page(cost_sheet(decision), "Cost over life"),
            column("Cost over life", "Present cost [EUR]"),
        ),
        "rank": (_on_page(order_sheet(decision), "Rank"), column("Order", "Rank")),
    }
    filed = {
        "price": {one.barrel: one.price for one in results.offers},
        "cost": {one.barrel: one.present_cost for one in results.cost},
        "rank": {one.barrel: one.rank for one in results.order},
    }
    for what, (page, calculated) in shown.items():
        assert set(filed[what]) == set(names)
        for barrel, value in filed[what].items():
            cell = page[names[barrel]]
            assert cell.value == value
            # What the plant keeps has a word in place of a rank.
            own = calculated[names[barrel]]
            assert own == (pytest.approx(value, rel=1e-9) if value else cell.text)
            named = "".join("".join(names[barrel]).split())
            text = "".join(cell.text.split())
            if what == "rank":
                assert f"{text}{named}" in paper
            else:
                after = paper.split(named)[1:]
                assert any(text in part[:_ROW] for part in after)


def test_a_number_of_the_workbook_is_the_one_that_is_printed(
    appraisal: Appraisal, flips: Flips
) -> None:
    """A share headed with % stands in per cent; of what is printed two digits at least are held."""
    wrong, numbers = [], 0
    for sheet in workbook_sheets(appraisal, flips):
        cells = (cell for row in sheet.rows for cell in row if cell.value is not None)
        for cell in cells:
            numbers += 1
            printed = float(_NO_NUMBER.sub("", cell.text.partition("%")[0].replace("−", "-")))
            if printed != pytest.approx(cell.value, rel=0.05, abs=0.006):
                wrong.append((sheet.key, cell.text, cell.value))
    assert wrong == []
    assert numbers > 1000


def test_proposal_flips_and_what_is_open_are_the_same_everywhere(
    appraisal: Appraisal, decision: Decision, flips: Flips, book: Workbook
) -> None:
    result, (flip,) = decision.proposal, flips.flips
    assert result is not None
    filed = results_of(appraisal, question_texts(appraisal), decision, flips).decision
    assert filed is not None
    assert filed.proposal is not None
    assert filed.flips is not None
    paper = front_pages(appraisal, flips)[0]
    page = proposal_sheet(decision, result)
    together = dict(zip([h.title for h in page.headings], page.rows[-1], strict=True))
    head, *rows = book["Proposal"].iter_rows(values_only=True)
    in_book = next(dict(zip(head, row, strict=True)) for row in rows if row[0] == "Together")
    for title, value in (
        ("Price", filed.proposal.price),
        ("Cost over life", filed.proposal.present_cost),
        ("A year", filed.proposal.yearly_cost),
    ):
        assert together[title].value == value
        assert in_book[f"{title} [EUR]"] == pytest.approx(value, rel=1e-9)
        assert " ".join(together[title].text.split()) in paper
    # The plant's own machine is part of the set and is not paid for.
    assert filed.proposal.price == decision.offers["b1u1b"].price.value
    assert proposal_head(decision) in paper

    open_points = open_points_sheet(decision, result)
    assert len(filed.proposal.open_questions) == len(open_points.rows) > 0
    _, *rows = book["Not known about the proposal"].iter_rows(values_only=True)
    assert rows[: len(open_points.rows)] == [
        tuple(cell.text for cell in row) for row in open_points.rows
    ]
    assert open_points_line(decision, result) in paper

    (row,) = list(
        book["What would flip the choice"].iter_rows(min_row=2, max_row=2, values_only=True)
    )
    assert row[3] == filed.flips[0].flip == flip.value
    assert filed.flips[0].what == flip_line(flip, flips, appraisal)
    assert f"{filed.flips[0].what}." in paper
