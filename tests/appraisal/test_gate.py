"""The gate of a barrel: what shuts it, what it waits for, and how each wait is ended."""

from __future__ import annotations

import pytest

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.references import ClaimRef, LimitRef
from evenbarrel.model.record.decision import ConfirmedLimit

SMALL_SHARE = {"id": "small", "shot_mass": "60 g ±0"}
"""60 cm3 of the 392.7 cm3 that 50 mm by 200 mm sweep: 15 %, below the 20 % of the rule, and
0.61 D of stroke, within the hard edge."""
TOO_LARGE = {"id": "large", "shot_mass": "420 g ±0"}
"""More than the barrel sweeps: outside by physics."""
SPEED = LimitRef("r", "peripheral_speed_limit")


@pytest.fixture
def gate(planned):
    def of(barrel="b", **changes):
        return appraise(planned(**changes)).gate(barrel)

    return of


def kinds(gate):
    return {(reason.kind, reason.criterion, reason.job) for reason in gate.reasons}


def accepted(**changes):
    return {"barrel": "b", "job": "small", "criterion": "utilisation", "person": "N. N."} | changes


def test_nothing_stands_against_a_barrel_that_is_inside(gate):
    found = gate()
    assert (found.state, found.reasons, found.jobs) == ("no_objection", (), ("j",))


def test_physics_shuts_and_only_what_shuts_is_told(gate):
    found = gate(jobs=[{}, SMALL_SHARE, TOO_LARGE])
    assert found.state == "shut"
    assert ("outside", "capacity", "large") in kinds(found)
    assert {reason.job for reason in found.reasons} == {"large"}


def test_a_rule_of_thumb_waits_for_a_person(gate):
    found = gate(jobs=[{}, SMALL_SHARE])
    assert found.state == "waits"
    assert kinds(found) == {("rule", "utilisation", "small")}


def test_an_accepted_deviation_ends_the_wait(gate):
    assert gate(jobs=[{}, SMALL_SHARE], deviations=[accepted()]).state == "no_objection"


def test_a_refused_one_shuts(gate):
    found = gate(jobs=[{}, SMALL_SHARE], deviations=[accepted(refused=True)])
    assert found.state == "shut"
    assert kinds(found) == {("rule", "utilisation", "small")}


@pytest.mark.parametrize(
    ("as_of", "state"),
    [("2026-06-30", "no_objection"), ("2026-07-01", "waits"), (None, "waits")],
)
def test_a_deviation_runs_up_to_its_last_day(gate, as_of, state):
    deviation = accepted(until="2026-06-30")
    assert gate(jobs=[{}, SMALL_SHARE], deviations=[deviation], as_of=as_of).state == state


def test_physics_cannot_be_accepted(gate):
    deviation = accepted(job="large", criterion="capacity")
    assert gate(jobs=[{}, TOO_LARGE], deviations=[deviation]).state == "shut"


def test_a_pin_takes_a_job_out_of_every_other_barrels_set(planned):
    changes = {
        "barrels": [{}, {"id": "other"}],
        "jobs": [{}, TOO_LARGE],
        "assignment": [{"job": "large", "barrel": "other"}],
    }
    found = appraise(planned(**changes))
    assert found.gate("b").state == "no_objection"
    assert found.gate("b").jobs == ("j",)
    assert found.gate("other").jobs == ("j", "large")
    assert found.gate("other").state == "shut"


def test_a_required_criterion_that_is_open_waits(gate):
    found = gate(barrel="b", jobs=[{"shot_mass": None}])
    assert found.state == "waits"
    assert {reason.kind for reason in found.reasons} == {"open"}
    assert {reason.criterion for reason in found.reasons} == {"capacity", "utilisation", "stroke"}


def test_a_unit_that_the_method_does_not_know_has_no_gate(gate):
    assert gate(unit={"unit_kind": "plunger"}).state is None


def test_without_jobs_there_is_no_gate(gate):
    assert gate(jobs=[]).state is None


def test_contradicting_sizes_wait_until_settled(gate):
    barrel = {"swept_volume": "450 cm3"}
    assert ("unsettled", None, None) in kinds(gate(barrels=[barrel]))
    settled = {"route": "geometry", "person": "N. N."}
    assert gate(barrels=[barrel | {"settled": settled}]).state == "no_objection"


MEMORY = {"peripheral_speed_limit": "0.1 m/s", "origins": {"peripheral_speed_limit": "from_memory"}}


def test_beyond_a_limit_from_memory_waits_for_confirmation(planned):
    found = appraise(planned(resin=MEMORY))
    assert found.gate("b").state == "waits"
    assert kinds(found.gate("b")) == {("beyond_unconfirmed", "screw_speed", "j")}
    (waiting,) = found.waiting_limits
    assert waiting.limit == SPEED
    assert (waiting.shuts, waiting.frees) == (("b",), ("b",))
    # Of a rate printed without its speed the speed is assumed: no confirmation puts it outside.
    evaluation = planned(resin=MEMORY, barrels=[{"plasticising_speed": None}])
    (assumed,) = appraise(evaluation).waiting_limits
    assert (len(assumed.cells), assumed.shuts) == (1, ())
    confirmed = ConfirmedLimit(resin="r", field="peripheral_speed_limit", value=assumed.value)
    then = appraise(evaluation.replace(confirmed_limits=(confirmed,)))
    assert then.gate("b").state == "no_objection"


def test_a_confirmed_limit_shuts(planned):
    evaluation = planned(resin=MEMORY)
    value = evaluation.resins[0].peripheral_speed_limit
    confirmed = ConfirmedLimit(resin="r", field="peripheral_speed_limit", value=value)
    found = appraise(evaluation.replace(confirmed_limits=(confirmed,)))
    assert found.gate("b").state == "shut"
    assert found.waiting_limits == ()


def test_a_confirmation_holds_only_while_the_limit_is_what_was_confirmed(planned):
    evaluation = planned(resin=MEMORY)
    other = evaluation.resins[0].peripheral_speed_limit.replace(magnitude="0.2")
    confirmed = ConfirmedLimit(resin="r", field="peripheral_speed_limit", value=other)
    found = appraise(evaluation.replace(confirmed_limits=(confirmed,)))
    assert found.gate("b").state == "waits"


NO_MELT_PRESSURE = {"injection_pressure": "45 bar", "pressure_kind": "melt"}
"""Below what any melt is injected at, in whatever unit: the claim contradicts."""


def test_a_disputed_datum_waits_until_its_claim_is_answered(planned):
    found = appraise(planned(barrels=[NO_MELT_PRESSURE]))
    assert found.gate("b").state == "waits"
    (reason,) = found.gate("b").reasons
    assert (reason.kind, reason.criterion, reason.claim) == (
        "disputed",
        "pressure",
        "pressure_kind",
    )
    question = found.question_of(ClaimRef("b", "pressure_kind"))
    answers = [{"question": question.id, "state": "accepted_as_is"}]
    ended = appraise(planned(barrels=[NO_MELT_PRESSURE], answers=answers)).gate("b")
    assert ended.state == "shut"
    assert kinds(ended) == {("outside", "pressure", "j")}


def test_jobs_that_must_never_meet_wait_where_one_machine_runs_both(planned):
    acetal = {"id": "a", "hazard_groups": ["acetal"]}
    changes = {
        "resin": {"hazard_groups": ["halogenated"]},
        "more_resins": [acetal],
        "jobs": [{}, {"id": "k", "resin": "a"}],
    }
    pins = [{"job": "j", "barrel": "b"}, {"job": "k", "barrel": "b"}]
    found = appraise(planned(**changes, assignment=pins)).gate("b")
    assert "incompatible" in {reason.kind for reason in found.reasons}
    apart = [pins[0], pins[1] | {"copy": 2}]
    found = appraise(planned(**changes, assignment=apart)).gate("b")
    assert "incompatible" not in {reason.kind for reason in found.reasons}


def test_one_criterion_that_stops_every_barrel_is_named_with_what_would_remain(planned):
    found = appraise(planned(barrels=[{}, {"id": "other"}], jobs=[{}, SMALL_SHARE]))
    (stop,) = found.gates.sole_stops
    assert stop.criterion == "utilisation"
    assert dict(stop.remain) == {"b": "no_objection", "other": "no_objection"}


def test_a_proposal_is_shut_where_a_job_is_given_to_none(planned):
    gates = appraise(planned(jobs=[{}, SMALL_SHARE])).gates
    assert gates.programme({"b": ("j", "small")}).state == "waits"
    assert gates.programme({"b": ("j",)}).state == "shut"
    assert gates.programme({"b": ("j",)}).uncovered == ("small",)
    assert gates.programme({}).state == "shut"


def test_a_barrel_that_is_given_no_job_says_nothing_of_a_proposal(planned):
    gates = appraise(planned(barrels=[{}, {"id": "idle"}])).gates
    assert gates.programme({"b": ("j",), "idle": ()}).state == "no_objection"


def test_an_uncovered_job_shuts_a_proposal_whatever_its_machines_are(planned):
    changes = {"unit": {"unit_kind": "plunger"}, "jobs": [{}, {"id": "k"}, {"id": "m"}]}
    gates = appraise(planned(barrels=[{}, {"id": "other"}], **changes)).gates
    assert gates.programme({"b": ("j",), "other": ("k",)}).state == "shut"
    assert gates.programme({"b": ("j", "m"), "other": ("k",)}).state is None
