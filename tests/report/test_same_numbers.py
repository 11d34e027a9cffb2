"""Price, cost over life and rank of every barrel: equal on page, paper, workbook and results."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from io import BytesIO

import pytest
from openpyxl import load_workbook

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.report.results_file import results_of
from evenbarrel.report.workbook.book import render_workbook
from evenbarrel.wording.sentences.asking.questions import question_texts
from evenbarrel.wording.sheets.decision.cost import cost_sheet
from evenbarrel.wording.sheets.decision.offers import offers_sheet
from evenbarrel.wording.sheets.decision.order import order_sheet
from evenbarrel.wording.sheets.sheet import Cell, Sheet
from evenbarrel.wording.words.names import barrel_name

from .conftest import page_texts

Names = tuple[str, str]
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


def _in_book(appraisal: Appraisal) -> Callable[[str, str], dict[Names, object]]:
    book = load_workbook(BytesIO(render_workbook(appraisal)), data_only=True)

    def column(page: str, heading: str) -> dict[Names, object]:
        first, *rows = book[page].iter_rows(values_only=True)
        at = [first.index(one) for one in ("Supplier", "Barrel", heading)]
        return {(str(row[at[0]]), str(row[at[1]])): row[at[2]] for row in rows}

    return column


def test_price_cost_and_rank_of_every_barrel_are_the_same_everywhere(
    appraisal: Appraisal, decision: Decision, names: Mapping[str, Names], pdf: bytes
) -> None:
    results = results_of(appraisal, question_texts(appraisal), decision).decision
    assert results is not None
    column, paper = _in_book(appraisal), "".join("".join(page_texts(pdf)).split())
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
    for what, (page, book) in shown.items():
        assert set(filed[what]) == set(names)
        for barrel, value in filed[what].items():
            cell = page[names[barrel]]
            assert cell.value == value
            # What the plant keeps has a word in place of a rank.
            assert book[names[barrel]] == (pytest.approx(value, rel=1e-9) if value else cell.text)
            named = "".join("".join(names[barrel]).split())
            text = "".join(cell.text.split())
            if what == "rank":
                assert f"{text}{named}" in paper
            else:
                after = paper.split(named)[1:]
                assert any(text in part[:_ROW] for part in after)
