"""The letter on paper: its pages read back, equal bytes, boxes for what is to be filled."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from pypdfium2 import PdfDocument
from tests.printed import page_texts

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.letter import render_letter
from evenbarrel.wording.sentences.asking.letters import Letter, Particulars, make_letter
from evenbarrel.wording.sentences.asking.missing import SCREWS_IN_TABLE

WHO = Particulars("I. Vostrel", date(2026, 11, 2), date(2026, 11, 16))


@pytest.fixture(scope="module")
def letter(appraisal: Appraisal) -> Letter:
    """The letter that asks most."""
    return make_letter(appraisal, "b4", WHO)


@pytest.fixture(scope="module")
def letter_pdf(letter: Letter) -> bytes:
    return render_letter(letter)


def test_it_holds_both_parts_with_who_asks_when_and_until_when(letter_pdf: bytes) -> None:
    first, last = page_texts(letter_pdf)
    for part in (
        "2 November 2026",
        "Velthornax",
        "Your offer V 90-44 of 20 October 2026",
        "Dear Sir or Madam,",
        "20.4 cm³ quoted, 334.8 cm³ from diameter and stroke",
        "Closing travel of the check ring",
        "Unit 586 A Unit 586 B",
        "page 1 of 2",
    ):
        assert part in first
    # The headings of the table come again where it goes on.
    for part in ("Unit 586 A Unit 586 B", "Please answer by 16 November 2026.", "I. Vostrel"):
        assert part in last


def test_equal_letters_give_equal_bytes_on_upright_pages(letter: Letter, letter_pdf: bytes) -> None:
    assert render_letter(letter) == letter_pdf
    with PdfDocument(letter_pdf) as document:
        assert all(page.get_height() > page.get_width() for page in document)


def test_what_a_person_wrote_is_printed_as_it_stands(
    appraisal: Appraisal, told: Callable[[bytes], str]
) -> None:
    words = "Dear Ms Corvane,\n\nwe met <b>at</b> the fair & would\nask:"
    data = render_letter(make_letter(appraisal, "b5", WHO, words, "Until soon."))
    text = told(data)
    assert "Dear Ms Corvane, we met <b>at</b> the fair & would ask:" in text
    assert "Until soon." in text
    assert "735.1" not in text


def test_names_of_any_length_leave_room_to_fill(
    evaluation: Evaluation, told: Callable[[bytes], str]
) -> None:
    bid = evaluation.bid("b2")
    unit = bid.units[0].replace(designation="Very long name " * 130)
    bids = (bid.replace(supplier="x" * 1990, units=(unit, *bid.units[1:])),)
    long = evaluation.replace(bids=bids, deviations=(), answers=(), acceptance=(), proposal=None)
    text = told(render_letter(make_letter(appraise(long), "b2", WHO)))
    assert "Closing travel of the check ring" in text
    assert "I. Vostrel" in text


def test_more_screws_than_fit_beside_each_other_take_another_table(
    evaluation: Evaluation, told: Callable[[bytes], str]
) -> None:
    bid = evaluation.bid("b2")
    (unit,) = bid.units
    many = tuple(
        unit.barrels[0].replace(id=f"s{n}", label=f"Screw-{n}") for n in range(SCREWS_IN_TABLE + 2)
    )
    wide = bid.replace(units=(unit.replace(barrels=many),))
    alone = evaluation.replace(
        bids=(wide,), deviations=(), answers=(), acceptance=(), proposal=None
    )
    appraisal = appraise(alone)
    text = told(render_letter(make_letter(appraisal, "b2", WHO)))
    for barrel in many:
        assert barrel.label in text
    assert text.count("Closing travel of the check ring") == 2
