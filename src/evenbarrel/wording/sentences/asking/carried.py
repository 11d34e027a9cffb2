"""What a new offer takes over from the one it revises: in words, each with who decided it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, Settled
from evenbarrel.model.offers.terms import Guarantee
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import Answer, Deviation
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.consequences import decided_by, way_word
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.criteria import criterion_label
from evenbarrel.wording.words.names import bid_called
from evenbarrel.wording.words.numbers import printed

BEFORE = "earlier offer"
"""Where these lines stand."""

RECORDS: Mapping[str, str] = {
    "revises": "Replaces",
    "settled": "Decision on its volume",
    "guarantees": "Guarantee",
    "deviations": "Deviation",
    "assignment": "Job pinned to it",
    "answers": "Answer",
}
"""What a decision is called."""


def offer_name(evaluation: Evaluation, bid: Bid) -> str:
    """Return what an offer is called: supplier, offer number, revision and day."""
    day = "" if bid.date is None else f"of {date_text(bid.date)}"
    reference = bid.reference if bid.supplier else ""
    parts = (bid_called(evaluation, bid), reference, bid.revision, day)
    return " ".join(part for part in parts if part)


def short_offer_name(evaluation: Evaluation, bid: Bid) -> str:
    """Return what tells an offer from the others of its supplier, as briefly as can be."""
    named = " ".join(part for part in (bid.reference, bid.revision) if part)
    if not bid.supplier:
        return bid_called(evaluation, bid)
    return f"{bid.supplier} {named}" if named else offer_name(evaluation, bid)


def screw_name(barrel: Barrel) -> str:
    """Return what a screw of an offer is called."""
    if barrel.label or barrel.screw_diameter is None:
        return barrel.label or "the screw"
    return printed(barrel.screw_diameter)


def settled_words(settled: Settled) -> str:
    """Return which number of a screw was found wrong, and who said so."""
    return f"{way_word(settled)}; {decided_by(settled)}"


def number_words(value: Quantity) -> str:
    """Return a number with what it rests on."""
    return f"{printed(value)}, {labels.STANDINGS[value.standing]}"


def guarantee_words(one: Guarantee) -> str:
    """Return what a supplier stands by."""
    return f"{labels.datum(one.datum)} {printed(one.value)}"


def deviation_words(one: Deviation, screw: str, job: str | None) -> str:
    """Return what a person accepted, or would not waive, for a job or for all."""
    what = "not waived" if one.refused else "accepted"
    of = "all jobs" if job is None else job
    return f"{screw}: {criterion_label(one.criterion)} for {of} {what}{_by(one.person, one.date)}"


def pin_words(job: str, screw: str) -> str:
    """Return which job runs on which screw only."""
    return f"{job} on {screw}"


def answer_words(one: Answer, datum: str) -> str:
    """Return what was answered, or taken as it is."""
    words = one.text or labels.choice(one.state)
    return f"{labels.datum(datum)}: {words}{_by(one.person, one.date)}"


def _by(person: str, day: date | None) -> str:
    when = "" if day is None else f" on {date_text(day)}"
    return f" by {person}{when}" if person else when
