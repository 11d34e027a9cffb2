"""An extract put right by a person, and kept up with an evaluation that changes meanwhile."""

from __future__ import annotations

import pytest

from evenbarrel.entry.shapes import SCOPE_LINE, Context, read, written
from evenbarrel.intake.accepting import correcting
from evenbarrel.intake.accepting.keeping_up import kept_up
from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.accepting.ticks import with_ticks
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_text
from evenbarrel.intake.keys import DatumKey
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import all_ids
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.quantity import Money, Quantity

from .conftest import codes, lines_of

OFFER = """Supplier\tNordland
Screw\tA\tB
Screw diameter mm\t40\t45
Stroke mm\t200\t200
Depth of channel at feed mm\t6.1\t6.8
"""


@pytest.fixture
def extract(no_bids: Evaluation) -> Extract:
    return extract_text(no_bids, OFFER)


def place_of(extract: Extract, text: str) -> int:
    return next(n for n, line in enumerate(extract.lines) if line.text == text)


def test_a_line_becomes_another_datum_in_the_unit_beside_it(
    no_bids: Evaluation, extract: Extract
) -> None:
    place = place_of(extract, "40")
    right = correcting.with_datum(no_bids, extract, place, DatumKey("barrel", "stroke"))
    line = right.lines[place]
    assert (line.field, line.value.magnitude, line.value.unit) == ("stroke", "40", "mm")
    assert line.value.source == "pasted, row 3, column 2"
    assert "corrected" in codes(line)
    # It is read again: what it cannot be is doubted, whoever says so.
    wrong = correcting.with_datum(no_bids, extract, place, DatumKey("barrel", "screw_speed"))
    assert not wrong.lines[place].sure


def test_what_was_not_understood_is_of_the_screw_in_its_column(
    no_bids: Evaluation, extract: Extract
) -> None:
    place = place_of(extract, "6.8")
    assert extract.lines[place].thing is None or not extract.lines[place].sure
    aside = correcting.without_datum(extract, place)
    right = correcting.with_datum(no_bids, aside, place, DatumKey("barrel", "feed_depth"))
    second = lines_of(extract, "screw_diameter")[1].thing
    assert right.lines[place].thing == second


def test_a_value_keeps_the_place_it_was_found_at(no_bids: Evaluation, extract: Extract) -> None:
    place = place_of(extract, "45")
    typed = Quantity(magnitude="46", unit="mm")
    right = correcting.with_value(no_bids, extract, place, typed)
    taken = take(no_bids, right, (place,)).bids[0].units[0].barrels[0]
    assert taken.screw_diameter == typed.replace(source="pasted, row 3, column 3")


def test_one_place_takes_one_line_and_the_last_ticked_stands(
    no_bids: Evaluation, extract: Extract
) -> None:
    one, other = (place_of(extract, text) for text in ("40", "45"))
    screw = extract.lines[one].thing
    both = correcting.with_screw(no_bids, extract, (other,), screw)  # type: ignore[arg-type]
    assert with_ticks(both, frozenset({one}), (other,), True) == {other}
    assert with_ticks(both, frozenset(), (one, other), True) == {one}
    assert with_ticks(both, frozenset({one, other}), (one,), False) == {other}


def test_what_was_put_right_is_right_when_it_is_read_for_another_offer(
    sample_evaluation: Evaluation,
) -> None:
    first = extract_text(sample_evaluation, OFFER)
    place = place_of(first, "40")
    typed = Quantity(magnitude="42", unit="mm")
    right = correcting.with_value(sample_evaluation, first, place, typed)
    again = extract_text(sample_evaluation, OFFER, sample_evaluation.bids[0].id)
    kept = correcting.corrected_again(sample_evaluation, again, right)
    assert kept.bid == again.bid != right.bid
    assert kept.lines[place].value.magnitude == "42"


def test_a_extract_takes_no_id_that_came_meanwhile(no_bids: Evaluation) -> None:
    extract = extract_text(no_bids, OFFER)
    known = frozenset(all_ids(no_bids))
    meanwhile = take(no_bids, extract, range(len(extract.lines)))
    kept = kept_up(extract, meanwhile, known)
    after = take(meanwhile, kept, range(len(kept.lines)))
    assert after.bids[0] == meanwhile.bids[0]
    assert len(after.bids) == 2
    assert [b.label for b in after.bids[1].units[0].barrels] == ["A", "B"]
    # Undone, nothing of it is in the way, and the ids it has by now still do.
    assert kept_up(kept, no_bids, known).bid == kept.bid


def test_what_stands_now_is_looked_up_anew(sample_evaluation: Evaluation) -> None:
    bid = sample_evaluation.bids[0]
    extract = extract_text(sample_evaluation, "Supplier\tNordland\nDelivery\t9 weeks\n", bid.id)
    (line,) = lines_of(extract, "delivery")
    assert line.now == bid.delivery
    changed = edits.put(sample_evaluation, ("bids", bid.id, "delivery"), "4 weeks")
    kept = kept_up(extract, changed, frozenset(all_ids(sample_evaluation)))
    assert lines_of(kept, "delivery")[0].now == "4 weeks"


def test_what_was_not_read_goes_into_the_notes_row_by_row(no_bids: Evaluation) -> None:
    extract = extract_text(no_bids, OFFER + "Ring life\t3\t4\n")
    unread = [n for n, line in enumerate(extract.lines) if line.place.row == 6]
    assert {extract.lines[n].outcome for n in unread} == {"not_read"}
    standing = no_bids.replace(bids=(Bid(id=extract.bid.bid, notes="Seen on site."),))
    taken = take(standing, extract, (), unread)
    assert taken.bids[0].notes == "Seen on site.\nRing life | 3 | 4"
    assert taken.bids[0].units == ()


@pytest.mark.parametrize(
    ("text", "diameters", "volumes"),
    [
        (
            "Screw\tA / B / C\nScrew diameter mm\t35 / 40 / 45\nSwept volume cm3\t192/251/318",
            ["35", "40", "45"],
            ["192", "251", "318"],
        ),
        (
            "Screw diameter: 40/45 mm\nStroke: 200 mm\nSwept volume: 251 / 318 cm3",
            ["40", "45"],
            ["251", "318"],
        ),
        ("Screw diameter mm\t40 | 45\nSwept volume cm3\t251 | 318", ["40", "45"], ["251", "318"]),
        # No growing diameters: the cells stay whole, and are listed.
        ("Screw diameter mm\t45 / 40\nSwept volume cm3\t251 / 318\nStroke mm\t200", [], []),
        # As many parts as there are screws, else the cell stays whole.
        ("Screw diameter mm\t40 / 45\nSwept volume cm3\t251 / 318 / 400", ["40", "45"], []),
    ],
)
def test_several_screws_in_one_cell_are_as_many_columns(
    no_bids: Evaluation, text: str, diameters: list[str], volumes: list[str]
) -> None:
    extract = extract_text(no_bids, text)

    def read(field: str) -> list[str]:
        found = lines_of(extract, field)
        return [one.value.magnitude for one in found if one.value is not None and one.sure]

    assert read("screw_diameter") == diameters
    assert read("swept_volume") == volumes
    said = {one.text for one in extract.lines}
    assert volumes or any("/" in text for text in said)


SCOPE = """
Transport is included. Scope of supply: mould cooling, hot runner.
Extra: spare parts EUR 3900.
Start-up by ours
"""


def said_of(extract: Extract, place: int, text: str) -> ScopeLine:
    """Return what a person types over a line of the scope."""
    parsed = read(SCOPE_LINE, text, Context(currency="EUR"), extract.lines[place].value)
    assert not parsed.problem
    assert isinstance(parsed.value, ScopeLine)
    return parsed.value


def at_item(extract: Extract, item: str) -> int:
    return next(n for n, line in enumerate(extract.lines) if line.part == item)


def test_a_line_of_the_scope_is_put_right_as_a_value_is(no_bids: Evaluation) -> None:
    extract = extract_text(no_bids, OFFER + SCOPE)
    places = {item: at_item(extract, item) for item in ("freight", "hot runner", "spare parts")}
    for item, text in (
        ("freight", "extra 1,250"),
        ("hot runner", "hot runner control: Missing"),
        ("spare parts", "extra 4100"),
    ):
        place = places[item]
        value = said_of(extract, place, text)
        extract = correcting.with_value(no_bids, extract, place, value)
        assert codes(extract.lines[place]) == ["corrected"]
    bid = take(no_bids, extract, places.values()).bids[0]
    told = [(o.item, o.state, o.amount and (o.amount.amount, o.amount.source)) for o in bid.scope]
    assert told == [
        ("freight", "extra", ("1250", "pasted, row 7, column 1")),
        ("hot runner control", "missing", None),
        ("spare parts", "extra", ("4100", "pasted, row 8, column 1")),
    ]


def test_what_was_not_understood_may_be_said_to_be_of_the_scope(no_bids: Evaluation) -> None:
    extract = extract_text(no_bids, OFFER + SCOPE)
    place = place_of(extract, "Start-up by ours")
    right = correcting.with_datum(no_bids, extract, place, DatumKey("bid", "scope"))
    assert (right.lines[place].value, right.lines[place].outcome) == (None, "not_read")
    value = said_of(right, place, "installation: extra 800 EUR")
    right = correcting.with_value(no_bids, right, place, value)
    assert [line.item for line in take(no_bids, right, (place,)).bids[0].scope] == ["installation"]


def test_each_item_of_one_sentence_keeps_what_was_put_right_of_it(
    sample_evaluation: Evaluation,
) -> None:
    first = extract_text(sample_evaluation, OFFER + SCOPE)
    place = at_item(first, "mould cooling")
    value = said_of(first, place, "missing")
    right = correcting.with_value(sample_evaluation, first, place, value)
    again = extract_text(sample_evaluation, OFFER + SCOPE, sample_evaluation.bids[0].id)
    kept = correcting.corrected_again(sample_evaluation, again, right)
    assert {one.part: one.value.state for one in lines_of(kept, "scope")} == {
        "freight": "included",
        "mould cooling": "missing",
        "hot runner": "included",
        "spare parts": "extra",
    }


@pytest.mark.parametrize(
    "text", ["included", "freight", "freight: perhaps", "freight: included 40 EUR", ": extra"]
)
def test_what_names_no_item_or_no_state_is_no_line_of_the_scope(text: str) -> None:
    assert "freight: extra 3800 EUR" in (read(SCOPE_LINE, text, Context()).problem or "")


@pytest.mark.parametrize("amount", [None, Money(amount="3800", currency="CHF")])
@pytest.mark.parametrize("state", ["extra", "missing"])
def test_a_line_of_the_scope_is_written_as_it_is_read(state: str, amount: Money | None) -> None:
    line = ScopeLine.model_validate({"item": "cooling: mould", "state": state, "amount": amount})
    text = written(SCOPE_LINE, line, Context())
    assert read(SCOPE_LINE, text, Context()).value == line
