"""A bid file merged by supplier and reference; resins of the evaluation never change."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.bid_file import extract_bid
from evenbarrel.model.evaluation import BidFile, Evaluation
from evenbarrel.model.offers.bid import Barrel, InjectionUnit
from evenbarrel.model.offers.terms import Guarantee
from evenbarrel.resources import read_sample, sample_names
from evenbarrel.storage.files import parse_bid

from .conftest import codes, lines_of

FILES = [name for name in sample_names() if name.endswith(".bid.json")]


def bid_file(name: str) -> BidFile:
    return parse_bid(read_sample(name), name)


@pytest.mark.parametrize("name", FILES)
def test_the_same_offer_again_changes_nothing(sample_evaluation: Evaluation, name: str) -> None:
    extract = extract_bid(sample_evaluation, bid_file(name))
    assert {line.outcome for line in extract.lines} == {"same"}
    assert take(sample_evaluation, extract, range(len(extract.lines))) == sample_evaluation


@pytest.mark.parametrize("name", FILES)
def test_a_new_offer_taken_whole_is_that_offer(no_bids: Evaluation, name: str) -> None:
    sent = bid_file(name)
    extract = extract_bid(no_bids, sent)
    taken = take(no_bids, extract, range(len(extract.lines)))
    (bid,) = taken.bids

    def bare(one: BidFile | object) -> object:
        return [
            [(barrel.replace(id="x"), unit.replace(id="x", barrels=())) for barrel in unit.barrels]
            for unit in one.units  # type: ignore[attr-defined]
        ]

    assert bare(bid) == bare(sent)
    assert bid.replace(id="x", units=()) == sent.bid().replace(id="x", units=())
    assert len(extract.sure_lines()) == len(extract.lines)


@pytest.mark.parametrize("designation", ["", "Unit 610"])
def test_units_that_are_called_alike_stay_several(designation: str) -> None:
    units = tuple(
        InjectionUnit(
            id=f"u{n}", designation=designation, barrels=(Barrel(id=f"s{n}", label=label),)
        )
        for n, label in enumerate("AB")
    )
    sent = BidFile(id="b", supplier="Nordland", units=units)
    extract = extract_bid(Evaluation(), sent)
    (bid,) = take(Evaluation(), extract, extract.sure_lines()).bids
    assert [[barrel.label for barrel in unit.barrels] for unit in bid.units] == [["A"], ["B"]]


def test_another_reference_is_another_offer(sample_evaluation: Evaluation) -> None:
    other = bid_file("ondrupek.bid.json").replace(reference="another")
    extract = extract_bid(sample_evaluation, other)
    assert extract.bid.bid not in {bid.id for bid in sample_evaluation.bids}


def test_a_resin_with_other_data_is_listed_and_stays(sample_evaluation: Evaluation) -> None:
    sent = bid_file("ondrupek.bid.json")
    ps = next(resin for resin in sent.resins if resin.id == "ps")
    others = tuple(resin for resin in sent.resins if resin.id != "ps")
    changed = sent.replace(resins=(ps.replace(name="Another polystyrene"), *others))
    extract = extract_bid(sample_evaluation, changed)
    (line,) = (one for one in extract.lines if codes(one) == ["resin_differs"])
    assert line.value is None
    taken = take(sample_evaluation, extract, range(len(extract.lines)))
    assert taken.resins == sample_evaluation.resins


def test_a_resin_nobody_has_waits_for_a_person() -> None:
    nothing = Evaluation()
    extract = extract_bid(nothing, bid_file("ondrupek.bid.json"))
    sure = take(nothing, extract, extract.sure_lines())
    assert sure.resins == ()
    assert {barrel.reference_resin for _, _, barrel in sure.barrels()} == {None}
    rated = [i for i, one in enumerate(extract.lines) if one.field == "reference_resin"]
    assert codes(lines_of(extract, "reference_resin")[0]) == ["unknown_resin"]
    with pytest.raises(ValidationError, match="not among the resins"):
        take(nothing, extract, rated)
    whole = take(nothing, extract, range(len(extract.lines)))
    assert "ps" in {resin.id for resin in whole.resins}


def test_a_bid_from_elsewhere_names_its_own_screws_and_revises_nobodys(
    no_bids: Evaluation,
) -> None:
    sent = bid_file("ondrupek.bid.json")
    unit = sent.units[0]
    first, second = unit.barrels
    guarantee = Guarantee(barrel=first.id, datum="stroke", value=first.stroke)
    sent = sent.replace(
        revises="another",
        guarantees=(guarantee,),
        units=(
            unit.replace(
                standard_barrel=second.id, barrels=(first, second.replace(revises=first.id))
            ),
        ),
    )
    extract = extract_bid(no_bids, sent)
    (bid,) = take(no_bids, extract, range(len(extract.lines))).bids
    one, other = bid.units[0].barrels
    assert (bid.units[0].standard_barrel, bid.guarantees[0].barrel) == (other.id, one.id)
    assert (bid.revises, one.revises, other.revises) == (None, None, one.id)
    assert [codes(line) for line in lines_of(extract, "revises")] == [["not_described"], []]
