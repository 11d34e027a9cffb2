"""What sentences say of an offer: read with their place, and never sure."""

from __future__ import annotations

import pytest

from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.files import extract_text
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.whole import extract_quote
from evenbarrel.intake.sentences.offer import offer_in
from evenbarrel.intake.sentences.prices import priced_in
from evenbarrel.intake.sentences.scope import said_in, sentences_in
from evenbarrel.intake.sources import Source
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.resources import read_sample

from .conftest import codes, lines_of

ASKED = ("freight", "installation", "training", "spare parts", "documentation")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("The price includes hot runner control.", ["hot runner control included"]),
        ("Our price is without transport.", ["freight missing"]),
        ("packing and commissioning extra", ["packing extra", "installation extra"]),
        (
            "Lieferumfang: Heißkanalregelung, Betriebsanleitung und Werkzeugsatz",
            ["hot runner control included", "documentation included", "Werkzeugsatz included"],
        ),
        (
            "Spare parts: extra, EUR 3900. Documentation: included.",
            ["spare parts extra EUR 3900", "documentation included"],
        ),
        ("Packing is included, insurance extra", ["packing included", "insurance extra"]),
        ("Montage nicht im Lieferumfang enthalten", ["installation missing"]),
        ("Not included: duty, VAT", ["duty missing", "VAT missing"]),
        ("Schulung gegen Aufpreis, 2.400 EUR", ["training extra 2.400 EUR"]),
        ("La formation est comprise, hors transport.", ["training included", "freight missing"]),
        ("Training of two operators at works: included", ["training included"]),
        # What has an amount of its own is not in the price.
        (
            "Mise en service : 3 800 €. Formation non comprise.",
            ["installation extra 3 800 €", "training missing"],
        ),
        # The number of a row, and what stands in the column of prices, name no item.
        ("40 Option: bimetallic barrel: 6,900", ["bimetallic barrel extra"]),
        ("Option: second barrel, spares: 18,750, 50", ["second barrel extra", "spare parts extra"]),
        ("6 Inbetriebnahme: im Preis enthalten", ["installation included"]),
        # Nothing of the scope.
        ("All data without guarantee.", []),
        ("24 months, wear of screw and barrel excluded", []),
        ("nothing here concerns the injection unit.", []),
    ],
)
def test_what_a_sentence_says(text: str, said: list[str]) -> None:
    found = [one for part in sentences_in(text) for one in said_in(part, ASKED)]
    assert [f"{one.item} {one.state} {one.amount}".strip() for one in found] == said


@pytest.mark.parametrize(
    ("text", "priced"),
    [
        (
            "The price of the machine is EUR 182,500 ex works, spare screw EUR 9,800",
            ["machine  EUR 182,500", "item spare screw EUR 9,800"],
        ),
        ("A second barrel complete costs EUR 16,400", ["second_barrel  EUR 16,400"]),
        ("Unit price: USD 38,600 FOB Ningbo", ["machine  USD 38,600"]),
        ("1 Maschine mit Schnecke B: 214.800,00", ["machine  214.800,00"]),
        ("D Operator training, 2 days: $ 2,400", ["item training $ 2,400"]),
        # Of something else, of an option, of nothing that is clear.
        ("The mould for this machine is EUR 40,000", []),
        ("Unit 36 oz in place of 24 oz, ADD: 14,800", []),
        ("Robot: EUR 21,000", []),
        ("Total EUR 199,800", []),
        ("Machine weight: 6.3", []),
        ("Machine length mm: 5400", []),
        ("Machine, weight 4300 kg: EUR 84,000", ["machine  EUR 84,000"]),
    ],
)
def test_what_an_amount_in_a_sentence_is_the_price_of(text: str, priced: list[str]) -> None:
    found = [f"{one.what} {one.item} {one.amount}" for one in priced_in(text, ASKED)]
    assert found == priced


def test_numbers_of_the_one_machine_are_read_from_sentences(no_bids: Evaluation) -> None:
    table = "Screw\tA\nStroke [mm]\t200\n\n"
    text = "Clamp force 900 kN and heating power: 9.6 kW. Ejector stroke 100 mm. Screw speed 300."
    extract = extract_text(no_bids, table + text)
    for field, value in (("clamp_force", "900 kN"), ("heating_power", "9.6 kW")):
        (line,) = lines_of(extract, field)
        assert (f"{line.value.magnitude} {line.value.unit}", codes(line)) == (
            value,
            ["in_a_sentence"],
        )
    # What is of another assembly, or has no unit, is listed.
    assert [line.value.magnitude for line in lines_of(extract, "stroke")] == ["200"]
    assert lines_of(extract, "screw_speed") == []
    assert "Ejector stroke 100 mm. Screw speed 300" in {line.text for line in extract.lines}


def test_a_letter_is_no_table_for_all_its_commas(no_bids: Evaluation) -> None:
    text = (
        "We offer, as asked, one press, 440 tons, with a unit of 68 oz.\n"
        "Screw diameter is 3.0 in, L/D is 22:1, stroke is 11.8 in.\n"
        "Injection pressure: 24,600 psi.\n"
        "The machine is priced at $318,500, the spare screw, as shown, $9,800.\n"
    )
    extract = extract_text(no_bids, text)
    found = {line.field: line.value for line in extract.lines if line.value is not None}
    assert {name: value.magnitude for name, value in found.items() if hasattr(value, "unit")} == {
        "screw_diameter": "3.0",
        "length_ratio": "22",
        "stroke": "11.8",
        "injection_pressure": "24600",
    }
    assert found["price"].amount == "318500"


def test_a_price_in_a_sentence_is_never_sure_and_of_one_machine_alone(no_bids: Evaluation) -> None:
    sentence = "The price of the machine is USD 182,500 ex works."
    one = "Screw\tA\nStroke [mm]\t200\n\n" + sentence
    (price,) = lines_of(extract_text(no_bids, one), "price")
    assert (price.value.amount, price.value.currency) == ("182500", "USD")
    assert (price.text, codes(price)[0]) == (sentence.rstrip("."), "in_a_sentence")
    several = "Unit\tA\tB\nStroke [mm]\t200\t250\n\n" + sentence
    extract = extract_text(no_bids, several)
    assert lines_of(extract, "price") == []
    assert sentence in {line.text for line in extract.lines if line.value is None}


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("Quotation Q-5520 of 8 October 2026", {"reference": "Q-5520", "date": "8 October 2026"}),
        ("Angebot Nr. 4711/B vom 12.10.2026", {"reference": "4711/B", "date": "12.10.2026"}),
        (
            "Proposal TMS-20417 Date: March 9, 2026",
            {"reference": "TMS-20417", "date": "March 9, 2026"},
        ),
        ("Our offer no. NH 26 is binding until 2026-12-31.", {"valid_until": "2026-12-31"}),
        (
            "Devis n° TV-26-118 du 12 octobre 2026",
            {"reference": "TV-26-118", "date": "12 octobre 2026"},
        ),
        (
            "Offerta 2210, valida fino al 30.11.2026",
            {"reference": "2210", "valid_until": "30.11.2026"},
        ),
        ("Angebot gültig bis 31.12.2026", {"valid_until": "31.12.2026"}),
        # Of an inquiry, of a machine, of nothing.
        ("Your inquiry no. 4711 of 12.10.2026", {}),
        ("Offer: one injection moulding machine", {}),
        ("We offer 24 months of warranty.", {}),
    ],
)
def test_what_a_title_or_a_letter_says_of_its_offer(text: str, named: dict[str, str]) -> None:
    assert dict(offer_in(text)) == named


def test_what_a_letter_says_of_its_offer_does_not_shake_an_explicit_label(
    no_bids: Evaluation,
) -> None:
    text = "Quotation Q-5520 of 8 October 2026\n\nScrew\tA\nStroke [mm]\t200\nOffer no.\tQ-5521"
    extract = extract_text(no_bids, text)
    (one, other) = lines_of(extract, "reference")
    assert (one.value, codes(one)) == ("Q-5520", ["in_a_sentence", "conflict"])
    assert (other.value, other.sure) == ("Q-5521", True)
    (date,) = lines_of(extract, "date")
    assert (str(date.value), codes(date), date.place.row) == ("2026-10-08", ["in_a_sentence"], 1)


def test_the_scope_is_read_and_never_sure(no_bids: Evaluation) -> None:
    evaluation = no_bids.replace(scope_items=ASKED)
    text = (
        "Screw\tA\nStroke [mm]\t200\nTraining\tincluded\nDocumentation\tincluded\n\n"
        "The price includes hot runner control. Colour as agreed.\n"
        "Transport extra, EUR 4200. Spare parts: extra, EUR 3900."
    )
    extract = extract_text(evaluation, text)
    lines = lines_of(extract, "scope")
    assert {line.part: (line.value.state, line.place.row) for line in lines} == {
        "training": ("included", 3),
        "documentation": ("included", 4),
        "hot runner control": ("included", 6),
        "freight": ("extra", 7),
        "spare parts": ("extra", 7),
    }
    assert all(codes(line) == ["in_a_sentence"] for line in lines)
    # What a bid has a field of its own for has its amount there.
    assert [line.value.amount for line in lines_of(extract, "freight")] == ["4200"]
    assert "Colour as agreed" in [line.text for line in extract.lines if line.value is None]
    bid = take(evaluation, extract, range(len(extract.lines))).bids[0]
    assert {line.item: line.amount and line.amount.amount for line in bid.scope} == {
        "training": None,
        "documentation": None,
        "hot runner control": None,
        "freight": None,
        "spare parts": "3900",
    }


@pytest.mark.parametrize(
    ("name", "number"),
    [("brastivel-offer.pdf", 9), ("ondrupek-angebot.pdf", 6), ("quillomar-quotation.pdf", 7)],
)
def test_the_sample_quotes_say_of_their_scope_what_their_bids_have(
    sample_evaluation: Evaluation, name: str, number: int
) -> None:
    pages = QuotePages(read_sample(name), name)
    extract = extract_quote(sample_evaluation, pages, None, Source(name))
    pages.close()
    lines = lines_of(extract, "scope")
    bid = sample_evaluation.bid(extract.bid.bid)
    stands = {line.item: line for line in bid.scope}
    assert lines
    assert {line.place.page for line in lines} == {number}
    assert [line.outcome for line in lines] == ["same"] * len(lines)
    assert all(line.now == stands[line.part] for line in lines)


def test_a_date_of_which_day_and_month_may_be_the_other_way_round_says_so(
    no_bids: Evaluation,
) -> None:
    (date,) = lines_of(extract_text(no_bids, "Offer 7731/B, 06/11/2026\n\nStroke mm\t200"), "date")
    assert codes(date) == ["in_a_sentence", "day_or_month"]


def test_a_row_with_a_label_of_its_own_goes_on_with_none_above_it(no_bids: Evaluation) -> None:
    text = "Screw\tA\nStroke [mm]\t200\nFreight\tas agreed\nInstallation\tincluded"
    extract = extract_text(no_bids, text)
    assert [(one.part, one.value.state) for one in lines_of(extract, "scope")] == [
        ("installation", "included")
    ]
    assert "as agreed" in {line.text for line in extract.lines if line.value is None}
