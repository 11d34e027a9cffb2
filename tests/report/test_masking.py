"""Masked documents: nothing masked is anywhere in them, and they stand for what was signed."""

from __future__ import annotations

import json
from datetime import date
from io import BytesIO
from zipfile import ZipFile

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as some
from pypdf import PdfReader
from pypdfium2 import PdfDocument

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.decision.decide import decide
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.states.digest import digest
from evenbarrel.report.masking import masked
from evenbarrel.report.pdf import render_pdf
from evenbarrel.report.sign_offs import signed
from evenbarrel.report.workbook.book import render_workbook, workbook_sheets
from evenbarrel.wording.paper import leaders
from evenbarrel.wording.paper.choice import printed_choice_sheets
from evenbarrel.wording.sheets.decision.cover import cover_sheet
from evenbarrel.wording.sheets.decision.open_points import open_points_line
from evenbarrel.wording.sheets.decision.proposal import proposal_sheet
from evenbarrel.wording.standing_by.masking import (
    FLIPS_MASKED,
    ORDER_MASKED,
    PRICES_MASKED,
    SUPPLIERS_MASKED,
)
from evenbarrel.wording.standing_by.signatures import STATEMENTS
from evenbarrel.wording.words.amounts import COSTS_UNDECIDED, JOBS_UNDECIDED

letters = some.text("abcdefghijklmnopqrstuvwxyz", min_size=6, max_size=12)
# Of many digits: 0.999… is found among what is computed, whatever is masked.
amounts = some.integers(123_456_789, 999_999_999).filter(lambda one: len({*str(one)}) > 4)
"""Of so many digits that no other number has them by chance."""


def _quantity(magnitude: str, unit: str, source: str = "") -> dict:
    return {"magnitude": magnitude, "unit": unit, "source": source}


def _evaluation(names: list[str], prices: list[int]) -> Evaluation:
    """Return a small evaluation with names and prices in every place that can hold them."""
    maker, model, number = (f"Q{name}" for name in names)
    told = f"{maker.upper()} wrote in {number}: {model} costs EUR {prices[0]}, or {prices[1]} $."

    def money(amount: int) -> dict:
        return {"amount": str(amount), "currency": "EUR", "source": told}

    barrel = {
        "id": f"{maker}_a",
        "label": model,
        "screw_diameter": _quantity("50", "mm", told),
        "stroke": _quantity("200", "mm", f"{number} p. 2"),
        "price_difference": money(prices[2]),
    }
    unit = {
        "id": f"{maker}_u",
        "designation": model,
        "price": money(prices[0]),
        "barrels": [barrel],
    }
    bid = {
        "id": maker,
        "supplier": f"{maker} Ltd",
        "reference": number,
        "freight": money(prices[1]),
        "payment": f"{prices[0]:,} EUR at once",
        "notes": told,
        "units": [unit],
    }
    job = {"id": "j", "name": "Lid", "resin": "r", "shot_mass": _quantity("700", "g", told)}
    data = {
        "title": f"Round with {maker}",
        "resins": [
            {
                "id": "r",
                "resin_class": "general",
                "output_factor_route": "own",
                "output_factors": {"own": _quantity("1", "g/cm3")},
                "price_per_kg": money(prices[2]),
            }
        ],
        "jobs": [job],
        "bids": [bid],
        "deviations": [
            {"barrel": f"{maker}_a", "job": "j", "criterion": "utilisation", "reason": told}
        ],
        "answers": [{"question": f"{maker}.validity", "state": "answered", "text": told}],
        "cost": {"lines": [{"unit": f"{maker}_u", "kind": told, "amount": money(prices[1])}]},
        "proposal": {"barrels": [f"{maker}_a"], "reason": told},
    }
    return Evaluation.model_validate_json(json.dumps(data))


def _words_of(appraisal: Appraisal) -> str:
    """Return every word of document and workbook, whatever place it has, without white space."""
    data = render_pdf(appraisal, workings=True)
    with PdfDocument(data) as document:
        # All there is on a page, wherever it stands on it or beyond its edge.
        parts = [page.get_textpage().get_text_range() for page in document]
    pdf = PdfReader(BytesIO(data))
    parts += [str(pdf.metadata), str(pdf.outline), str(list(pdf.named_destinations))]
    return "".join("".join(parts).split()).casefold() + _words_of_workbook(appraisal)


def _words_of_workbook(appraisal: Appraisal) -> str:
    """Return all that stands in the workbook's file, cells, comments and what else it holds."""
    with ZipFile(BytesIO(render_workbook(appraisal))) as archive:
        parts = [archive.read(name).decode() for name in archive.namelist()]
    return "".join("".join(parts).split()).casefold()


@settings(max_examples=3, deadline=None, phases=[Phase.generate])
@given(
    some.lists(letters, min_size=3, max_size=3, unique=True),
    some.lists(amounts, min_size=3, max_size=3, unique=True),
    some.sampled_from(["prices", "suppliers", "both"]),
)
def test_nothing_masked_is_anywhere_in_document_and_workbook(names, prices, what) -> None:
    appraisal = appraise(_evaluation(names, prices))
    open_words, words = _words_of_workbook(appraisal), _words_of(masked(appraisal, what))
    secrets = [f"q{name}" for name in names] if what != "prices" else []
    secrets += [str(price) for price in prices[:2]] if what != "suppliers" else []
    grouped = [f"{price:,}" for price in prices[:2]] if what != "suppliers" else []
    assert any(secret in open_words for secret in secrets)
    for secret in (*secrets, *grouped):
        assert secret not in words, secret
    assert digest(appraisal.evaluation) in words


def test_each_kind_masks_its_own_and_leaves_the_other(few, told) -> None:
    appraisal = appraise(few)
    prices = told(render_pdf(masked(appraisal, "prices")))
    suppliers = told(render_pdf(masked(appraisal, "suppliers")))
    assert "Brastivel" in prices
    assert "EUR 4" not in prices
    assert "Supplier A" in suppliers
    assert "Brastivel" not in suppliers
    assert "EUR 4" in suppliers
    assert "Own plant" in suppliers
    for told_so in (PRICES_MASKED, FLIPS_MASKED, ORDER_MASKED, "cost over life are masked"):
        assert told_so in prices
        assert told_so not in suppliers
    for table in ("Offers on one footing", "Sets of machines", "Levelled by"):
        assert table not in prices
        assert table in suppliers
    assert SUPPLIERS_MASKED in suppliers
    assert SUPPLIERS_MASKED not in prices
    assert leaders.PROPOSED not in prices
    for text, what in ((prices, "prices masked"), (suppliers, "suppliers masked")):
        assert what in text
        assert digest(few) in text


def test_verdicts_stay_what_they_are(sample_appraisal) -> None:
    for what in ("prices", "suppliers"):
        other = masked(sample_appraisal, what)
        assert list(other.barrel_states.values()) == list(sample_appraisal.barrel_states.values())
        assert list(other.gates.states.values()) == list(sample_appraisal.gates.states.values())


@pytest.mark.parametrize("what", ["prices", "suppliers"])
def test_what_is_masked_is_neither_asked_for_nor_missing(sample_appraisal, what) -> None:
    other = masked(sample_appraisal, what)
    decision = decide(other)
    asked, asked_openly = (
        [question.id for question in one.questions if question.bid is None]
        for one in (other, sample_appraisal)
    )
    assert asked == asked_openly
    assert decision.proposal is not None
    told = open_points_line(decision, decision.proposal)
    assert ("cost without batches per year" in told) == (what == "suppliers")
    assert "machine price" not in told
    sheet = proposal_sheet(decision, decision.proposal)
    money = any(heading.unit == other.evaluation.currency for heading in sheet.headings)
    assert money == (what == "suppliers")
    assert len(sheet.notes) == (4 if money else 1)
    # How jobs are counted is said where they are, of costs only where there are any.
    (order,) = (sheet for sheet in printed_choice_sheets(decision) if sheet.key == "order")
    assert JOBS_UNDECIDED in order.notes
    assert (COSTS_UNDECIDED in order.notes) == money


def test_sets_of_screws_that_are_called_alike_are_told_apart(sample_appraisal) -> None:
    decision = decide(masked(sample_appraisal, "suppliers"))
    sheet = cover_sheet(decision, decision.cover)
    titles = [heading.title for heading in sheet.headings]
    row = dict(zip(titles, sheet.rows[1], strict=True))
    assert row["Machines"].text == "1 × Supplier C, Unit 1 B; 1 × Machine 14 40"
    assert row["Runner-up"].text == "1 × Supplier A, Unit 1 B; 1 × Machine 14 40"


def test_a_screw_is_called_in_a_text_as_in_the_tables(sample_appraisal) -> None:
    reason = sample_appraisal.evaluation.proposal.reason
    assert "the set with Model 18 1.75, but" in reason
    told = masked(sample_appraisal, "suppliers").evaluation.proposal.reason
    assert told == reason.replace("Model 18 1.75", "Supplier C, Unit 1 B")


def test_a_sentence_that_speaks_of_money_is_masked_whole(sample_evaluation) -> None:
    reason = "Fits all jobs. It costs approx. 5 % more\nthan Model 18. Nur wenig teurer. EUROMAP 1."
    statement = STATEMENTS["purchase"]
    proposal = sample_evaluation.proposal.replace(reason=reason)
    by = sample_evaluation.sign_offs[-1].replace(statement=statement)
    appraisal = appraise(sample_evaluation.replace(proposal=proposal, sign_offs=(by,)))
    told = masked(appraisal, "prices").evaluation
    assert told.proposal.reason == "Fits all jobs. (masked) EUROMAP 1."
    assert told.sign_offs[0].statement == statement
    assert told.jobs == appraisal.evaluation.jobs
    assert masked(appraisal, "suppliers").evaluation.sign_offs[0].statement == statement


def test_the_masked_workbook_calls_no_price_not_stated(few) -> None:
    appraisal = masked(appraise(few), "prices")
    sheets = {sheet.key: sheet for sheet in workbook_sheets(appraisal)}
    assert not {"prices", "life_cost", "running", "lines", "offer_inputs"} & set(sheets)
    for sheet in sheets.values():
        told = [heading.title for heading in sheet.headings]
        told += [cell.text for row in sheet.rows for cell in row]
        for word in ("Currency", "Freight", "Machine hour rate", "machine price"):
            assert word not in told, sheet.key
    assert {"prices", "offer_inputs"} <= {one.key for one in workbook_sheets(appraise(few))}


@pytest.mark.parametrize("what", ["prices", "suppliers"])
def test_signatures_are_judged_under_what_was_signed(what, told) -> None:
    appraisal = appraise(_evaluation(["abcdef", "ghijkl", "mnopqr"], [45_678, 56_789, 67_890]))
    by = {"role": "purchase", "person": "M. Ardell", "date": date(2026, 11, 3)}
    under = signed(appraisal, by)
    text = told(render_pdf(masked(appraise(under), what)))
    assert "holds" in text
    assert "stale" not in text
    later = told(render_pdf(masked(appraise(under.replace(site="Elsewhere")), what)))
    assert "stale: the evaluation changed since" in later
