"""The quotes of the sample: what is read off them is what stands in the bids' files."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from random import Random
from typing import Any

import pytest

from evenbarrel import resources
from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.extract import Extract, Line, same_value
from evenbarrel.intake.files import extract_file, source_of_file
from evenbarrel.intake.pages.boxed import extract_box
from evenbarrel.intake.pages.document import QuotePages, digest_of
from evenbarrel.intake.pages.whole import rest_of
from evenbarrel.intake.pages.words import Box, lines_of, text_of, words_within
from evenbarrel.model.datum_path import BarrelPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.quantity import Money, Quantity

from .make_sample_quotes import BIDS, PAPERS, bid_of, quotes

TYPED = {
    # A letter confirmed these later; our own amounts are in no quote.
    "b1": {"ring_travel"},
    "b2": set(),
    # Shares of the screw's length are printed in a drawing.
    "b3": {"zones"},
    "b4": set(),
    "b5": set(),
}
"""What a person types, since no quote of the sample prints it in a table."""
IN_WORDS = {"scope", "notes", "documents", "currency", "revision", "unit_kind"}
"""What stands in sentences of a quote and in none of its tables."""


def values(bid: Bid) -> Iterator[tuple[str, Any]]:
    """Yield everything that a bid states, by unit, screw and datum."""
    for thing, name in (
        (bid, ""),
        *((unit, "unit.") for unit in bid.units),
        *((one, f"{one.label}.") for unit in bid.units for one in unit.barrels),
    ):
        for datum in type(thing).model_fields:
            value = getattr(thing, datum)
            if datum not in ("id", "units", "barrels") and value not in (None, "", ()):
                yield f"{name}{datum}", value


@pytest.fixture(scope="module")
def pages_of() -> Iterator[Callable[[str], QuotePages]]:
    """Open the quote of that name: each once."""
    opened: dict[str, QuotePages] = {}

    def pages(name: str) -> QuotePages:
        if name not in opened:
            opened[name] = QuotePages(resources.read_sample(name), name)
        return opened[name]

    yield pages
    for one in opened.values():
        one.close()


def read_pages(evaluation: Evaluation, which: str, pages: QuotePages) -> Bid:
    """Return the bid that comes of drawing a box round each table of a PDF, and taking it all."""
    data = resources.read_sample(pages.name)
    for number, box in PAPERS[which](bid_of(which)).tables:
        known = next((bid for bid in evaluation.bids if bid.id == which), None)
        source = source_of_file(pages.name, data, known)
        extract = extract_box(evaluation, pages.page(number), box, which, source)
        evaluation = take(evaluation, extract, range(len(extract.lines)))
    return evaluation.bids[0]


def read_file(evaluation: Evaluation, which: str, data: bytes) -> tuple[Bid, Extract]:
    """Return the bid that comes of taking all that a data sheet or a text holds."""
    extract = extract_file(evaluation, BIDS[which][1], data, which)
    return take(evaluation, extract, range(len(extract.lines))).bids[0], extract


@pytest.mark.parametrize("which", sorted(BIDS))
def test_reading_a_quote_gives_its_bid(
    sample_evaluation: Evaluation, pages_of: Callable[[str], QuotePages], which: str
) -> None:
    (meant,) = (bid for bid in sample_evaluation.bids if bid.id == which)
    empty = Evaluation(resins=sample_evaluation.resins, bids=(Bid(id=which),))
    if which in PAPERS:
        bid = read_pages(empty, which, pages_of(BIDS[which][1]))
    else:
        bid, _ = read_file(empty, which, resources.read_sample(BIDS[which][1]))
    found, missed, wrong = dict(values(bid)), [], []
    for name, value in values(meant):
        datum = name.rpartition(".")[2]
        ours = isinstance(value, Quantity | Money) and value.standing == "assumed"
        if datum in IN_WORDS | TYPED[which] or ours:
            continue
        if name not in found:
            missed.append(name)
        elif not same_value(found[name], value):
            wrong.append((name, found[name], value))
    assert (missed, wrong) == ([], [])
    numbers = [value for value in found.values() if isinstance(value, Quantity)]
    places = [one.place for one in numbers if one.place is not None]
    if BIDS[which][1].endswith(".txt"):
        return
    assert len(places) == len(numbers) >= 15
    for place in places:
        assert (place.box is None) == (place.cell is not None)


WHOLE = Box(0, 0, 5000, 5000)


def read_page_by_page(evaluation: Evaluation, which: str, pages: QuotePages, sure: bool) -> Bid:
    """Return the bid that comes of a box round each whole page, of what is sure or of all."""
    data = resources.read_sample(pages.name)
    for number in range(1, pages.count + 1):
        source = source_of_file(pages.name, data, evaluation.bids[0])
        extract = extract_box(evaluation, pages.page(number), WHOLE, which, source, rest_of(pages))
        every = (at for at, line in enumerate(extract.lines) if line.value is not None)
        evaluation = take(evaluation, extract, extract.sure_lines() if sure else every)
    return evaluation.bids[0]


@pytest.mark.parametrize("which", sorted(PAPERS))
@pytest.mark.parametrize("way", ["at once", "page by page", "page by page, all"])
def test_a_quote_read_as_a_whole_gives_its_bid(
    sample_evaluation: Evaluation, pages_of: Callable[[str], QuotePages], which: str, way: str
) -> None:
    (meant,) = (bid for bid in sample_evaluation.bids if bid.id == which)
    empty = Evaluation(resins=sample_evaluation.resins, bids=(Bid(id=which),))
    pages = pages_of(BIDS[which][1])
    if way == "at once":
        extract = extract_file(empty, pages.name, resources.read_sample(pages.name), which)
        bid = take(empty, extract, extract.sure_lines()).bids[0]
    else:
        bid = read_page_by_page(empty, which, pages, sure=way == "page by page")
    found, wanted = dict(values(bid)), dict(values(meant))
    del found["documents"]
    stands = {line.item: line for line in meant.scope}
    assert all(same_value(line, stands[line.item]) for line in found.pop("scope", ()))
    assert [name for name in found if name not in wanted] == []
    assert [name for name in found if not same_value(found[name], wanted[name])] == []
    missed = {name.rpartition(".")[2] for name in wanted if name not in found}
    # One pressure printed between two screws, and a method, are for a person to say.
    left = set() if way.endswith("all") else {"injection_pressure", "energy_method"}
    assert missed <= IN_WORDS | TYPED[which] | left


@pytest.mark.parametrize("which", sorted(PAPERS))
def test_what_is_printed_on_every_page_is_listed_once(
    pages_of: Callable[[str], QuotePages], which: str
) -> None:
    pages = pages_of(BIDS[which][1])
    texts = [text_of(pages.page(number).words) for number in range(1, pages.count + 1)]
    assert len(texts) > 1
    assert all("Evenbarrel" in text for text in texts)
    lines = extract_file(Evaluation(), pages.name, resources.read_sample(pages.name)).lines
    assert sum("Evenbarrel" in line.text for line in lines) == 1


@pytest.mark.parametrize("which", sorted(PAPERS))
def test_no_box_makes_a_line_that_is_sure_and_wrong(
    sample_evaluation: Evaluation, pages_of: Callable[[str], QuotePages], which: str
) -> None:
    """Boxes drawn anywhere cut labels, names and columns off."""
    (meant,) = (bid for bid in sample_evaluation.bids if bid.id == which)
    empty = Evaluation(resins=sample_evaluation.resins, bids=(Bid(id=which),))
    data, hand = resources.read_sample(BIDS[which][1]), Random(which)
    source = source_of_file(BIDS[which][1], data, empty.bids[0])
    pages, sure = pages_of(BIDS[which][1]), 0
    for number in (2, 3, 4):
        page = pages.page(number)
        for _ in range(25):
            across, up = 0.5 * page.width, 0.6 * page.height
            left, bottom = hand.uniform(0, across), hand.uniform(0, up)
            right, top = hand.uniform(across, page.width), hand.uniform(up, page.height)
            box = Box(left, bottom, right, top)
            if not words_within(page, box):
                continue
            extract = extract_box(empty, page, box, which, source)
            names = {line.thing: line.value for line in extract.lines if line.field == "label"}
            for line in extract.lines:
                if line.sure and line.field != "label":
                    sure += 1
                    printed = stated_in(meant, line, names.get(line.thing))
                    assert any(same_value(one, line.value) for one in printed), (box, line)
    assert sure >= 40


def stated_in(bid: Bid, line: Line, name: Any) -> list[Any]:
    """Return what a bid states of the datum of a line, for the screw of that name or for any."""
    owners: Sequence[Any] = (bid,)
    if isinstance(line.thing, UnitPath):
        owners = bid.units
    elif isinstance(line.thing, BarrelPath):
        every = [barrel for unit in bid.units for barrel in unit.barrels]
        owners = [barrel for barrel in every if name in (None, barrel.label)]
    return [value for one in owners if (value := getattr(one, line.field)) is not None]


def test_the_kept_quotes_are_those_the_command_makes(sample_evaluation: Evaluation) -> None:
    """By their words: other versions of the libraries may set other bytes."""
    for name, data in quotes().items():
        kept = resources.read_sample(name)
        if name.endswith(".pdf"):
            for one, other in zip(_texts(kept), _texts(data), strict=True):
                assert one == other
        elif name.endswith(".txt"):
            assert kept == data
    for bid in sample_evaluation.bids:
        for document in bid.documents:
            kept = resources.read_sample(document.path)
            assert document.sha256 == digest_of(kept)


def _texts(data: bytes) -> list[str]:
    pages = QuotePages(data, "quote.pdf")
    texts = [pages.text(number) for number in range(1, pages.count + 1)]
    pages.close()
    return texts


def test_the_places_that_the_sample_tells_hold_their_numbers(
    sample_evaluation: Evaluation, pages_of: Callable[[str], QuotePages]
) -> None:
    count = 0
    for bid in sample_evaluation.bids:
        opened = {d.id: pages_of(d.path) for d in bid.documents if d.path.endswith(".pdf")}
        for _, value in values(bid):
            place = getattr(value, "place", None)
            if place is None or place.box is None:
                continue
            page = opened[place.document].page(place.page)
            words = words_within(page, _grown(place.box))
            printed = "".join(text_of(line) for line in lines_of(words))
            digits = [c for c in printed.replace(",", ".") if c.isdigit()]
            assert digits == [c for c in value.magnitude if c.isdigit()]
            count += 1
    assert count >= 24


def _grown(box: tuple[float, float, float, float]) -> Any:
    return Box(*box).grown(1)
