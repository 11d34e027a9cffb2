"""Offers on one footing: what each barrel costs where it is to stand, and what for."""

from __future__ import annotations

from evenbarrel.decision.decide import Decision
from evenbarrel.decision.offers import Offer
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.choice import missing_text
from evenbarrel.wording.sheets.decision.cells import (
    NAMING,
    amount_cell,
    missing_cell,
    named,
    of_offer,
    place_of_datum,
)
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words.names import bid_called
from evenbarrel.wording.words.numbers import ABSENT, rounded
from evenbarrel.wording.workings.amounts import beside, beside_unit

PARTS = ("machine", "screw", "freight", "installation", "training", "scope", "fill_in")
BESIDE = ("price_of_usable_volume", "price_of_rated_mass", "price_of_common_mass")
TITLE = "Offers on one footing"
_TIPS = {
    "price_of_usable_volume": "For the volume that the largest planned job may use",
    "price_of_rated_mass": "For the shot mass as printed, in whatever resin it is rated",
    "price_of_common_mass": "For the mass in one common resin: this shows what the ratings hide",
}
_BESIDE = {
    "price_of_usable_volume": "Usable volume",
    "price_of_rated_mass": "Rated mass",
    "price_of_common_mass": "Common mass",
}
NO_OFFERS = "No offer is entered yet: enter prices and terms with the offers on the Bids page."


def offers_sheet(decision: Decision) -> Sheet:
    """Return every offer, what it leaves out first, then its price by its parts."""
    currency = decision.appraisal.evaluation.currency
    headings = (
        *NAMING,
        Heading("Not stated"),
        Heading("Price", currency, "right", "Landed: one machine delivered and installed"),
        *(
            Heading(words.NAMES.get(part) or part.capitalize(), currency, "right", yields=3)
            for part in PARTS
        ),
        *(
            Heading(_BESIDE[name], beside_unit(decision, name), "right", _TIPS[name], yields=1)
            for name in BESIDE
        ),
        Heading("Delivery", yields=4),
        Heading("Valid until", yields=2),
        Heading("Warranty", yields=4),
        Heading("Payment", yields=4),
    )
    rows = tuple(_row(decision, offer) for offer in decision.offers.values())
    return Sheet("offers_footing", TITLE, headings, rows, notes=_notes(decision))


def _row(decision: Decision, offer: Offer) -> tuple[Cell, ...]:
    bid = decision.appraisal.evaluation.bid(offer.bid)
    amounts = offer.named
    lacking = offer.lacking
    return (
        *named(decision, offer.barrel),
        missing_cell(lacking, place_of_datum(decision, offer.barrel, lacking)),
        amount_cell(offer.price, of_offer(offer.barrel, "price")),
        *(amount_cell(amounts[part], of_offer(offer.barrel, part)) for part in PARTS),
        *(_beside(decision, offer, name) for name in BESIDE),
        Cell(bid.delivery or ABSENT, tip=bid.delivery),
        Cell(date_text(bid.valid_until)),
        Cell(bid.warranty or ABSENT, tip=bid.warranty),
        Cell(bid.payment or ABSENT, tip=bid.payment),
    )


def _beside(decision: Decision, offer: Offer, name: str) -> Cell:
    amount = offer.named[name]
    value = beside(decision, amount)
    if value is None:
        names = ", ".join(dict.fromkeys(missing_text(one) for one in amount.missing))
        return Cell(ABSENT, tip=f"Not stated: {names}" if names else "The plant already has it")
    return Cell(rounded(value, 3), value, reference=of_offer(offer.barrel, name))


def _notes(decision: Decision) -> tuple[str, ...]:
    notes = [words.MARKED]
    owned = any(offer.owned for offer in decision.offers.values())
    if owned:
        notes.append("The plant's own machine is counted at its resale value.")
    queries = {query: offer.bid for offer in decision.offers.values() for query in offer.queries}
    for query, bid in queries.items():
        evaluation = decision.appraisal.evaluation
        supplier = bid_called(evaluation, evaluation.bid(bid))
        notes.append(f"{supplier}: {_query(query)}.")
    return tuple(notes)


def _query(code: str) -> str:
    kind, _, item = code.partition(".")
    if kind == "included_with_amount":
        return f"{item} is stated as included but has an amount, which is not added"
    return "its total price is not the sum of its machines' prices"
