"""A decision that takes over what cannot have changed says what one from nothing says."""

from __future__ import annotations

from datetime import date

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.model.changes import copy_of_job, without_job
from evenbarrel.model.datum_path import append, get, put, remove
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.record.decision import Assignment

UNIT = ("bids", "b2", "units", "b2u1")


def said(decision: Decision) -> object:
    """All that hangs on what is kept; the cover and shares of weightings follow from it."""
    proposed = decision.proposal
    return (
        decision.offers,
        decision.cost,
        decision.order,
        (proposed, proposed and decision.open_questions(proposed)),
    )


def edits(evaluation: Evaluation) -> list[tuple[str, Evaluation]]:
    """Edits one after the other, of all that offers and costs hang on."""
    steps = []

    def step(told: str, after: Evaluation) -> None:
        nonlocal evaluation
        evaluation = after
        steps.append((told, after))

    def other(*path: str, to: object) -> None:
        step("/".join(path), put(evaluation, path, to))

    first = evaluation.jobs[0]
    other("jobs", "j1", "part_mass", to=Quantity(magnitude="1.7", unit="g"))
    other("jobs", "j1", "annual_quantity", to=1_000_000)
    other("jobs", "j2", "cooling_time", to=Quantity(magnitude="1.5", unit="s"))
    other("jobs", "j2", "cycle_time", to=Quantity(magnitude="33", unit="s"))
    other("jobs", "j2", "largest_shot_mass", to=Quantity(magnitude="290", unit="g"))
    other("jobs", "j3", "resin", to="ps")
    other("jobs", "j3", "batches_per_year", to=40)
    other("jobs", "j3", "start_year", to=2028)
    other("as_of", to=None)
    other("as_of", to=date(2026, 6, 1))
    other("resins", "ps", "price_per_kg", to=Money(amount="9.5", currency="EUR"))
    other("cost", "tariff", to=Money(amount="0.31", currency="EUR"))
    other("cost", "hours_available", to=Quantity(magnitude="3000", unit="h"))
    other("cost", "lines", to=evaluation.cost.lines[1:])
    other("cost", "horizon_years", to=None)
    other("cost", "horizon_years", to=7)
    other("limits", "general_high", to=0.6)
    other(*UNIT, "price", to=Money(amount="99000", currency="EUR"))
    used = Quantity(magnitude="0.5", unit="kWh/kg")
    measured = get(evaluation, UNIT).replace(energy_per_mass=used, energy_method="one shot")
    step("energy", put(evaluation, UNIT, measured))
    barrel = get(evaluation, UNIT).barrels[0].id
    other(*UNIT, "barrels", barrel, "plasticising_rate", to=Quantity(magnitude="9", unit="g/s"))
    other(*UNIT, "barrels", barrel, "melt_inventory", to=Quantity(magnitude="700", unit="cm3"))
    costs = decide(appraise(evaluation)).cost.values()
    most = max(costs, key=lambda cost: len(cost.jobs))
    pins = tuple(Assignment(job=job, barrel=most.barrel) for job in most.jobs[:2])
    other("assignment", to=pins)
    apart = Assignment(job=most.jobs[1], barrel=most.barrel, copy=most.copies + 2)
    other("assignment", to=(pins[0], apart))
    step("one job more", append(evaluation, ("jobs",), copy_of_job(evaluation, first)))
    step("a job gone", without_job(evaluation, "j2"))
    step("two jobs change places", put(evaluation, ("jobs",), evaluation.jobs[::-1]))
    other("jobs", "j1", "part_mass", to=None)
    step("an offer gone", remove(evaluation.replace(assignment=()), ("bids", "b4")))
    return steps


def test_edit_after_edit_says_what_a_decision_from_nothing_says(
    sample_evaluation: Evaluation,
) -> None:
    appraisal = appraise(sample_evaluation)
    kept = decide(appraisal)
    before = said(kept)
    for told, evaluation in edits(sample_evaluation):
        appraisal = appraise(evaluation, appraisal)
        kept = decide(appraisal, kept)
        now = said(kept)
        assert now == said(decide(appraisal)), told
        assert now != before, f"{told}: it changes nothing, and proves nothing"
        before = now


def test_a_job_that_changes_leaves_the_costs_of_the_others(
    sample_evaluation: Evaluation,
) -> None:
    before = decide(appraise(sample_evaluation))
    proposed = before.proposal
    assert proposed is not None
    changed = proposed.costs[0].jobs[0]
    path = ("jobs", changed, "annual_quantity")
    more = put(sample_evaluation, path, 1 + (get(sample_evaluation, path) or 0))
    after = decide(appraise(more, before.appraisal), before)
    assert after.proposal is not None
    assert after.proposal.costs[0] != proposed.costs[0]
    kept = [one for one in proposed.costs if changed not in one.jobs]
    assert kept
    assert all(any(one is its for its in after.proposal.costs) for one in kept)
    assert before.offers[kept[0].barrel] is after.offers[kept[0].barrel]


@pytest.mark.parametrize("jobs", [0, 3])
def test_where_jobs_come_or_go_nothing_of_them_is_kept(
    jobs: int, sample_evaluation: Evaluation
) -> None:
    before = decide(appraise(sample_evaluation))
    assert before.order
    fewer = sample_evaluation.replace(
        jobs=sample_evaluation.jobs[:jobs],
        assignment=(),
        deviations=(),
        proposal=None,
        sign_offs=(),
    )
    appraisal = appraise(fewer, before.appraisal)
    assert said(decide(appraisal, before)) == said(decide(appraisal))
