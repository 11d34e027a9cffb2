"""What nobody named is called by what it is and its place: no id is shown to a person."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from io import BytesIO
from typing import Any

import pytest
from openpyxl import load_workbook
from tests.printed import page_texts

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.navigation import add_drawers
from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.pdf import render_pdf
from evenbarrel.report.workbook.book import render_workbook
from evenbarrel.wording.sentences.asking.letters import Particulars, letter_text, make_letter
from evenbarrel.wording.sentences.summary import summary_text

from .test_hostile_text import told

_MARK = "zqid"
"""Begins every id, and stands in no word."""
_NAMES = {"supplier", "name", "designation", "label"}


def nameless(evaluation: Evaluation) -> Evaluation:
    """Return an evaluation in which no offer, unit, screw, job or resin has a name."""
    data = json.loads(evaluation.model_dump_json())
    units = [unit for bid in data["bids"] for unit in bid["units"]]
    things = [*data["jobs"], *data["resins"], *data["bids"], *units]
    things += [barrel for unit in units for barrel in unit["barrels"]]
    for thing in things:
        thing |= {name: "" for name in _NAMES if name in thing}
    known = {thing["id"] for thing in things}

    def renamed(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: renamed(inner) for key, inner in value.items()}
        if isinstance(value, list):
            return [renamed(inner) for inner in value]
        head = value.split(".")[0] if isinstance(value, str) else ""
        return f"{_MARK}{value}" if head in known else value

    # Signatures are of the state before, in its words.
    data |= {"proposal": None, "sign_offs": [], "signed_states": []}
    return Evaluation.model_validate_json(json.dumps(renamed(data)))


@pytest.fixture(scope="module")
def appraisal(sample_evaluation: Evaluation) -> Appraisal:
    appraisal = appraise(nameless(sample_evaluation))
    assert {barrel.id[: len(_MARK)] for barrel in appraisal.barrels} == {_MARK}
    return appraisal


def assert_no_id(texts: Iterator[str], least: int) -> None:
    found = [text for text in texts if text]
    assert {shown for text in found for shown in re.findall(f".{{0,40}}{_MARK}.*", text)} == set()
    called = [text for text in found if re.search(r"Offer (no\. \S+|\d) \(supplier not stat", text)]
    called += [text for text in found if re.search(r"Job \d+ \(no name y", text)]
    assert len(called) >= least


@pytest.mark.parametrize("page", range(len(PAGES)), ids=[entry.key for entry in PAGES])
def test_no_page_shows_an_id(
    make_window: Callable[..., MainWindow],
    session: Session,
    theme: Any,
    appraisal: Appraisal,
    page: int,
) -> None:
    session.evaluation = appraisal.evaluation
    window = make_window()
    add_drawers(window, session, theme)
    window.go_to(page)
    session.selection.choose(appraisal.barrels[0].id, appraisal.jobs[0].id)
    assert_no_id((text for _, text, _ in told(window)), 5)


def test_no_paper_workbook_letter_or_summary_shows_an_id(appraisal: Appraisal) -> None:
    assert_no_id(iter(page_texts(render_pdf(appraisal))), 5)
    book = load_workbook(BytesIO(render_workbook(appraisal)))
    cells = (cell.value for sheet in book for row in sheet.iter_rows() for cell in row)
    assert_no_id((str(value or "") for value in cells), 20)
    for bid in appraisal.evaluation.suppliers_bids:
        letter = letter_text(make_letter(appraisal, bid.id, Particulars()))
        assert_no_id(iter(letter.splitlines()), 0)
    assert_no_id(iter(summary_text(appraisal).splitlines()), 5)
