"""What is printed of bids that were revised or withdrawn: that they are kept, and no more."""

from __future__ import annotations

import io

import pytest
from openpyxl import load_workbook

from evenbarrel import resources
from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.decision.decide import decide
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.record.decision import Assignment, Deviation, Proposal
from evenbarrel.report.workbook.book import render_workbook
from evenbarrel.storage.files import parse_evaluation
from evenbarrel.wording.sentences.asking.listing import question_groups
from evenbarrel.wording.sentences.summary import summary_text
from evenbarrel.wording.sheets.claims import offers_sheet
from evenbarrel.wording.sheets.gates.deviations import deviations_sheet
from evenbarrel.wording.sheets.gates.pins import pins_sheet
from evenbarrel.wording.sheets.printed import printed_offers_sheet
from evenbarrel.wording.words.names import full_name

NOTE = "Kept but not counted: Brastivel, BR-26-0417, revised; Yarvindel, AN 7731, withdrawn."


def revision_of(bid: Bid) -> Bid:
    """The same offer anew, its units and screws under ids of their own."""
    units = tuple(
        unit.replace(
            id=f"{unit.id}r",
            standard_barrel=unit.standard_barrel and f"{unit.standard_barrel}r",
            barrels=tuple(barrel.replace(id=f"{barrel.id}r") for barrel in unit.barrels),
        )
        for unit in bid.units
    )
    return bid.replace(id=f"{bid.id}r", revises=bid.id, units=units, guarantees=())


@pytest.fixture(scope="module")
def appraisal() -> Appraisal:
    """The sample: one offer revised, one withdrawn; a pin, a deviation, a proposal of the first."""
    name = "irrigation-parts.evenbarrel.json"
    sample = parse_evaluation(resources.read_sample(name), name)
    revision = revision_of(sample.bids[0])
    bids = [bid.replace(withdrawn=True) if bid.id == "b5" else bid for bid in sample.bids]
    return appraise(
        sample.replace(
            bids=(*bids, revision),
            assignment=(Assignment(job="j1", barrel="b1u1b"),),
            deviations=(Deviation(barrel="b1u1b", criterion="utilisation", person="A. Person"),),
            proposal=Proposal(barrels=("b1u1b",), person="A. Person"),
        )
    )


def test_offers_tell_which_are_kept_and_not_counted(appraisal: Appraisal) -> None:
    for sheet in (offers_sheet(appraisal), printed_offers_sheet(appraisal)):
        assert sheet.notes == (NOTE,)
        assert len(sheet.rows) == 5
    book = load_workbook(io.BytesIO(render_workbook(appraisal)))
    assert NOTE in {cell.value for row in book["Offers"].iter_rows() for cell in row}


def test_what_names_an_old_barrel_says_so(appraisal: Appraisal) -> None:
    called = "Brastivel, Unit 604 B (offer revised)"
    assert full_name(appraisal, "b1u1b") == called
    assert deviations_sheet(appraisal).rows[0][0].text == called
    assert pins_sheet(appraisal).rows[0][-1].text == called
    decision = decide(appraisal)
    assert decision.proposal is not None
    assert decision.proposal.replaced == ("b1u1b",)
    assert decision.proposal.gate.state == "shut"
    assert f"No longer offered: {called}." in summary_text(appraisal, decision)


def test_nobody_is_asked_about_an_old_offer(appraisal: Appraisal) -> None:
    groups = question_groups(appraisal, None)
    asked = {group.bid for group in groups if any(one.question for one in group.questions)}
    assert not asked & {"b1", "b5"}
    assert all(not set(q.barrels) & {"b1u1b", "b5u1a"} for q in appraisal.questions)
