from __future__ import annotations

from evenbarrel.model import changes
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.offers.terms import Guarantee
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.acceptance import Acceptance
from evenbarrel.model.record.decision import (
    Assignment,
    ConfirmedLimit,
    CoverOptions,
    Deviation,
    JobOnBarrel,
    Proposal,
    SignOff,
)
from evenbarrel.model.states.digest import digest, signed_state

MASS = Quantity(magnitude="300", unit="g")


def bid(number: int, revises: int | None = None) -> Bid:
    """A bid of two barrels, the first standard and guaranteed, each revising that of a bid."""
    names = [f"b{number}{letter}" for letter in "xy"]
    earlier = [None if revises is None else f"b{revises}{letter}" for letter in "xy"]
    barrels = tuple(Barrel(id=name, revises=one) for name, one in zip(names, earlier, strict=True))
    return Bid(
        id=f"b{number}",
        revises=None if revises is None else f"b{revises}",
        units=(InjectionUnit(id=f"u{number}", barrels=barrels, standard_barrel=names[0]),),
        guarantees=(Guarantee(barrel=names[0], datum="rated_shot_mass", value=MASS),),
    )


def whole() -> Evaluation:
    on = tuple(JobOnBarrel(job=job, barrel=barrel) for job, barrel in (("j", "b1x"), ("k", "b2x")))
    return Evaluation(
        jobs=(Job(id="j"), Job(id="k")),
        bids=(bid(1), bid(2, revises=1), bid(3, revises=2)),
        deviations=(Deviation(barrel="b2x", criterion="stroke", job="j"),),
        assignment=(Assignment(job="k", barrel="b2x"),),
        proposal=Proposal(barrels=("b1x", "b2x"), jobs=on),
        cover_options=CoverOptions(forbidden=on, waiting_fits=True),
        acceptance=(Acceptance(barrel="b1x"), Acceptance(barrel="b2x")),
    )


def test_what_stood_between_two_revisions_may_go() -> None:
    after = changes.without_branch(whole(), ("bids", "b2"))
    assert [(one.id, one.revises) for one in after.bids] == [("b1", None), ("b3", "b1")]
    revised = {barrel.id: barrel.revises for _, _, barrel in after.barrels()}
    assert revised == {"b1x": None, "b1y": None, "b3x": "b1x", "b3y": "b1y"}


def test_with_a_barrel_goes_whatever_names_it() -> None:
    path = ("bids", "b2", "units", "u2", "barrels", "b2x")
    after = changes.without_branch(whole(), path)
    second = after.bids[1]
    assert (second.units[0].standard_barrel, second.guarantees) == (None, ())
    assert second.revises == "b1"
    assert (after.deviations, after.assignment) == ((), ())
    assert after.proposal is not None
    assert (after.proposal.barrels, [one.job for one in after.proposal.jobs]) == (("b1x",), ["j"])
    assert [one.barrel for one in after.cover_options.forbidden] == ["b1x"]
    assert after.cover_options.waiting_fits is True
    assert [one.barrel for one in after.acceptance] == ["b1x"]
    assert changes.without_branch(whole(), ("bids", "b3")).acceptance == whole().acceptance


def test_a_proposal_of_nothing_is_none() -> None:
    alone = whole().replace(proposal=Proposal(barrels=("b3x",)))
    assert changes.without_branch(alone, ("bids", "b3")).proposal is None


def test_with_a_job_goes_whatever_names_it() -> None:
    after = changes.without_job(whole(), "j")
    assert [job.id for job in after.jobs] == ["k"]
    assert after.deviations == ()
    assert after.proposal is not None
    assert [one.job for one in after.proposal.jobs] == ["k"]
    assert [one.job for one in after.cover_options.forbidden] == ["k"]


def test_a_copy_of_a_barrel_revises_nothing() -> None:
    evaluation = whole()
    unit = evaluation.bids[1].units[0]
    assert changes.copy_of_barrel(evaluation, unit, unit.barrels[0]).revises is None


def test_what_was_signed_is_kept_once_and_for_as_long_as_a_signature_needs_it() -> None:
    evaluation = whole()
    state = signed_state(evaluation)
    for role in ("purchase", "safety"):
        sign_off = SignOff(role=role, scheme="c2", digest=state.digest)
        evaluation = changes.with_sign_off(evaluation, sign_off, state)
    assert evaluation.signed_states == (state,)
    assert digest(evaluation) == state.digest
    evaluation = changes.without_sign_off(evaluation, 0)
    assert evaluation.signed_states == (state,)
    assert changes.without_sign_off(evaluation, 0).signed_states == ()


def test_a_decision_takes_the_place_of_an_earlier_one_on_the_same_cell() -> None:
    accepted = (Deviation(barrel="b1x", job="j", criterion="stroke", person="A"),)
    refused = (Deviation(barrel="b1x", job="j", criterion="stroke", person="B", refused=True),)
    before = whole()
    after = changes.with_deviations(changes.with_deviations(before, accepted), refused)
    assert after.deviations == (*before.deviations, *refused)


def test_a_decision_on_one_job_leaves_the_others_of_one_on_all_jobs() -> None:
    on_all = Deviation(barrel="b1x", criterion="stroke", person="A")
    on_one = Deviation(barrel="b1x", job="k", criterion="stroke", person="B", refused=True)
    before = whole().replace(deviations=(on_all,))
    after = changes.with_deviations(before, (on_one,))
    assert after.deviations == (on_all.replace(job="j"), on_one)
    other = on_one.replace(criterion="ring_share")
    assert changes.with_deviations(before, (other,)).deviations == (on_all, other)
    again = on_all.replace(person="C")
    assert changes.with_deviations(after, (again,)).deviations == (again,)


def test_confirming_a_limit_again_replaces_what_was_said_of_it() -> None:
    one = ConfirmedLimit(field="stroke_high", value=4.0, person="A")
    other = ConfirmedLimit(field="ring_share", value=0.1, person="A")
    before = changes.with_confirmed_limits(whole(), (one, other))
    again = one.replace(person="B")
    after = changes.with_confirmed_limits(before, (again,))
    assert after.confirmed_limits == (other, again)
    assert changes.without_confirmed_limits(after, {0}).confirmed_limits == (again,)


def test_pins_of_some_jobs_change_and_those_of_others_stay() -> None:
    before = whole()
    after = changes.pinned(before, {"j"}, ("b1x", "b3y"), 2)
    assert after.assignment == (
        *before.assignment,
        Assignment(job="j", barrel="b1x", copy=2),
        Assignment(job="j", barrel="b3y", copy=2),
    )
    assert changes.pinned(after, {"j"}, ()) == before


def test_a_unit_alone_keeps_what_names_its_barrels() -> None:
    alone = changes.only_unit_of(whole(), "b2y")
    assert [bid.id for bid in alone.bids] == ["b2"]
    assert {barrel.id for _, _, barrel in alone.barrels()} == {"b2x", "b2y"}
    assert alone.deviations == whole().deviations
    assert alone.bids[0].revises is None
