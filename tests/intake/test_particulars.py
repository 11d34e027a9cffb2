"""What an offer should not be taken without, and the currency that its amounts are in."""

from __future__ import annotations

import pytest

from evenbarrel.intake.accepting.correcting import corrected_again
from evenbarrel.intake.accepting.particulars import lacking, with_currency, with_typed
from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_text
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.quantity import Money

SCREWS = "Injection unit\tUnit 610\nScrew\tA\tB\nScrew diameter [mm]\t40\t45\n"


def missing(evaluation: Evaluation, extract: Extract) -> list[str]:
    """The data that would not be there once what is sure is taken, with whose they are."""
    found = lacking(evaluation, extract, extract.sure_lines())
    return [f"{one.thing.path[-2]} {one.field}" for one in found]


def test_what_is_sure_or_stands_already_is_not_missed() -> None:
    nothing = Evaluation()
    bare = extract_text(nothing, SCREWS)
    assert missing(nothing, bare) == ["bids supplier", "bids reference", "units price"]
    named = extract_text(nothing, f"Supplier\tOstmark\n{SCREWS}Machine price [EUR]\t150000")
    assert missing(nothing, named) == ["bids reference"]
    standing = Evaluation(bids=(Bid(id="b", supplier="Ostmark", reference="Q 7"),))
    assert missing(standing, extract_text(standing, SCREWS, "b")) == ["units price"]
    two = f"{SCREWS}Injection unit\tUnit 710\nScrew\tC\nScrew diameter [mm]\t50"
    # Of two units nobody knows which the price is of: it is the offer's.
    assert "bids price" in missing(nothing, extract_text(nothing, two))


def test_what_is_typed_is_taken_with_the_rest_and_outlives_another_reading() -> None:
    nothing = Evaluation()
    extract = extract_text(nothing, SCREWS)
    supplier, _, price = lacking(nothing, extract, extract.sure_lines())
    places = []
    for one, value in ((supplier, "Ostmark"), (price, Money(amount="150000", currency="EUR"))):
        extract, place = with_typed(nothing, extract, one, value)
        places.append(place)
    taken = take(nothing, extract, (*extract.sure_lines(), *places))
    (bid,) = taken.bids
    assert (bid.supplier, bid.units[0].price.amount) == ("Ostmark", "150000")  # type: ignore[union-attr]
    again = corrected_again(nothing, extract_text(nothing, SCREWS, ""), extract)
    assert [line.value for line in again.lines if line.field == "supplier"] == ["Ostmark"]
    # Typed once more it is put right where it stands.
    changed, place = with_typed(nothing, extract, supplier, "Ostrabel")
    assert place == places[0]
    assert len(changed.lines) == len(extract.lines)


@pytest.mark.parametrize(
    ("prices", "currency"),
    [
        ("Machine price [EUR]\t150000\nFreight [EUR]\t3900", "EUR"),
        ("Machine price [USD]\t150000\nFreight [EUR]\t3900", None),
        # Of several dollars.
        ("Machine price\t$ 150000", None),
        ("Machine price\t150000", None),
        ("Machine price [EUR]\t150000\nCurrency\tEUR", "EUR"),
    ],
)
def test_the_currency_of_all_amounts_is_the_offers(prices: str, currency: str | None) -> None:
    nothing = Evaluation()
    extract = with_currency(nothing, extract_text(nothing, f"{SCREWS}{prices}"))
    lines = [line for line in extract.lines if line.field == "currency"]
    assert [line.value for line in lines if line.sure] == ([] if currency is None else [currency])
    standing = Evaluation(bids=(Bid(id="b", supplier="Ostmark", currency="GBP"),))
    there = extract_text(standing, f"{SCREWS}Freight [EUR]\t3900", "b")
    assert with_currency(standing, there) == there
