"""What sentences say of an offer's scope: proposed with their place, and never sure."""

from __future__ import annotations

import pytest

from evenbarrel.intake.files import propose_text
from evenbarrel.intake.pages.document import QuotePages
from evenbarrel.intake.pages.whole import propose_quote
from evenbarrel.intake.sources import Source
from evenbarrel.intake.tables.scope import said_in, sentences_in
from evenbarrel.intake.taking import take
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
        # Nothing of the scope.
        ("All data without guarantee.", []),
        ("24 months, wear of screw and barrel excluded", []),
        ("nothing here concerns the injection unit.", []),
    ],
)
def test_what_a_sentence_says(text: str, said: list[str]) -> None:
    found = [one for part in sentences_in(text) for one in said_in(part, ASKED)]
    assert [f"{one.item} {one.state} {one.amount}".strip() for one in found] == said


def test_the_scope_is_proposed_and_never_sure(no_bids: Evaluation) -> None:
    evaluation = no_bids.replace(scope_items=ASKED)
    text = (
        "Screw\tA\nStroke [mm]\t200\nTraining\tincluded\nDocumentation\tincluded\n\n"
        "The price includes hot runner control. Colour as agreed.\n"
        "Transport extra, EUR 4200. Spare parts: extra, EUR 3900."
    )
    proposal = propose_text(evaluation, text)
    lines = lines_of(proposal, "scope")
    assert {line.part: (line.value.state, line.place.row) for line in lines} == {
        "training": ("included", 3),
        "documentation": ("included", 4),
        "hot runner control": ("included", 6),
        "freight": ("extra", 7),
        "spare parts": ("extra", 7),
    }
    assert all(codes(line) == ["in_a_sentence"] for line in lines)
    # What a bid has a field of its own for has its amount there.
    assert [line.value.amount for line in lines_of(proposal, "freight")] == ["4200"]
    assert "Colour as agreed" in [line.text for line in proposal.lines if line.value is None]
    bid = take(evaluation, proposal, range(len(proposal.lines))).bids[0]
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
    proposal = propose_quote(sample_evaluation, pages, None, Source(name))
    pages.close()
    lines = lines_of(proposal, "scope")
    bid = sample_evaluation.bid(proposal.bid.bid)
    stands = {line.item: line for line in bid.scope}
    assert lines
    assert {line.place.page for line in lines} == {number}
    assert [line.outcome for line in lines] == ["same"] * len(lines)
    assert all(line.now == stands[line.part] for line in lines)
