"""An offer that stands in for another: both stay, and nothing decided is carried over silently."""

from __future__ import annotations

import pytest

from evenbarrel.intake.accepting.keeping_up import kept_up
from evenbarrel.intake.accepting.left_open import Chosen, LeftOpen, kept_of, left_open
from evenbarrel.intake.accepting.revising import (
    heads,
    may_revise,
    revised_by,
    revision_of,
    with_revision,
)
from evenbarrel.intake.accepting.taking import take
from evenbarrel.intake.extract import Extract
from evenbarrel.intake.files import extract_file
from evenbarrel.intake.sent import Sent
from evenbarrel.model.changes import all_ids, settled, with_deviations
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Settled
from evenbarrel.model.offers.terms import Guarantee
from evenbarrel.model.record.decision import Answer, Assignment, Deviation
from evenbarrel.resources import read_sample

FILE = "ondrupek.bid.json"
DECIDED = ("settled", "guarantees", "deviations", "assignment", "answers")


@pytest.fixture
def decided(sample_evaluation: Evaluation) -> Evaluation:
    """The sample with a decision of every kind on the first screw of one offer."""
    bid = next(one for one in sample_evaluation.bids if one.supplier == "Ondrupek")
    barrel, job = bid.units[0].barrels[0], sample_evaluation.jobs[0].id
    guarantee = Guarantee(barrel=barrel.id, datum="stroke", value=barrel.stroke)
    bids = tuple(
        one.replace(guarantees=(guarantee,)) if one.id == bid.id else one
        for one in sample_evaluation.bids
    )
    evaluation = settled(
        sample_evaluation.replace(bids=bids),
        barrel.id,
        Settled(route="geometry", reason="measured", person="A. Person"),
    )
    evaluation = with_deviations(
        evaluation, (Deviation(barrel=barrel.id, criterion="utilisation", person="A. Person"),)
    )
    answer = Answer(question=f"{bid.id}.ring_travel", state="answered", text="3 mm")
    return evaluation.replace(
        assignment=(Assignment(job=job, barrel=barrel.id),), answers=(answer,)
    )


@pytest.fixture
def revised(decided: Evaluation) -> Extract:
    before = next(one.id for one in decided.bids if one.supplier == "Ondrupek")
    extract = extract_file(decided, FILE, read_sample(FILE), "")
    return with_revision(decided, extract, before)


def test_only_what_it_stands_in_for_is_sure(decided: Evaluation, revised: Extract) -> None:
    taken = take(decided, revised, revised.sure_lines())
    before, after = taken.bid(revised_by(revised) or ""), taken.bids[-1]
    assert after.revises == before.id
    pairs = zip(before.units[0].barrels, after.units[0].barrels, strict=True)
    assert all(new.revises == old.id for old, new in pairs)
    assert before == decided.bid(before.id)
    assert (taken.deviations, taken.assignment, taken.answers) == (
        decided.deviations,
        decided.assignment,
        decided.answers,
    )
    assert after.guarantees == ()
    assert after.units[0].barrels[0].settled is None


def test_every_kind_of_decision_is_offered_and_can_be_taken(
    decided: Evaluation, revised: Extract
) -> None:
    offered = {line.field for line in revised.lines if not line.sure}
    assert offered >= set(DECIDED)
    taken = take(decided, revised, range(len(revised.lines)))
    bid = taken.bids[-1]
    barrel = bid.units[0].barrels[0]
    assert barrel.settled == decided.barrel(barrel.revises or "").settled
    assert [one.barrel for one in bid.guarantees] == [barrel.id]
    assert [one.barrel for one in taken.deviations][-2:] == [barrel.revises, barrel.id]
    # A job runs on the new screw alone: the old one is no longer offered.
    assert [one.barrel for one in taken.assignment] == [barrel.id]
    assert [one.question for one in taken.answers] == [
        f"{bid.revises}.ring_travel",
        f"{bid.id}.ring_travel",
    ]


def test_choosing_none_again_leaves_what_was_read(decided: Evaluation, revised: Extract) -> None:
    assert with_revision(decided, revised, None) == extract_file(
        decided, FILE, read_sample(FILE), ""
    )


def test_only_heads_of_other_chains_may_be_revised(decided: Evaluation, revised: Extract) -> None:
    taken = take(decided, revised, revised.sure_lines())
    after = taken.bids[-1]
    assert after.revises not in {one.id for one in heads(taken)}
    assert after.revises in {one.id for one in may_revise(taken, after.id)}
    assert after.id not in {one.id for one in may_revise(taken, after.revises or "")}
    again = revision_of(taken, after.id, after.revises or "")
    assert {line.outcome for line in again.lines if line.field == "revises"} == {"same"}


def test_what_may_be_carried_over_is_kept_aside_whole(
    decided: Evaluation, revised: Extract
) -> None:
    chosen = Chosen(
        ticked=(), touched=False, fixed=True, noted=False, shown=0, line=None, in_front=True
    )
    back = left_open(kept_of(LeftOpen(revised, chosen, Sent(FILE)))).extract
    assert kept_up(back, decided, frozenset(all_ids(decided))) == revised
