"""An appraisal that takes over what cannot have changed says what one from nothing says."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from tests.test_random_programmes import values

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.verdicts import assessment, assessments
from evenbarrel.entry.shapes import shapes_of
from evenbarrel.model import datum_path as edits
from evenbarrel.model.base import Frozen
from evenbarrel.model.datum import quantities
from evenbarrel.model.datum_path import put, remove
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.limits import Limits, limit_value
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import Answer, ConfirmedLimit
from evenbarrel.model.resin import Resin
from evenbarrel.report.results_file import results_of, to_json
from evenbarrel.units import UnitError
from evenbarrel.wording.sentences.asking.questions import question_texts

BARREL = ("bids", "b4", "units", "b4u1", "barrels", "b4u1b")


def said(appraisal: Appraisal) -> bytes:
    return to_json(results_of(appraisal, question_texts(appraisal)))


@pytest.fixture(scope="module")
def sample_said(sample_appraisal: Appraisal) -> bytes:
    return said(sample_appraisal)


def corrected_volume(evaluation: Evaluation) -> Evaluation:
    return put(evaluation, (*BARREL, "swept_volume"), Quantity(magnitude="334.8", unit="cm3"))


def other_shot(evaluation: Evaluation) -> Evaluation:
    return put(evaluation, ("jobs", "j1", "part_mass"), Quantity(magnitude="2.4", unit="g"))


def other_factor(evaluation: Evaluation) -> Evaluation:
    path = ("resins", "ps", "output_factors", "trade_table")
    return put(evaluation, path, Quantity(magnitude="1.05", unit="g/cm3"))


def resin_that_explains(evaluation: Evaluation) -> Evaluation:
    """No barrel names it, and a mass that its own resin does not explain was rated in it."""
    path = ("resins", "pc", "output_factors", "trade_table")
    return put(evaluation, path, Quantity(magnitude="1.05", unit="g/cm3"))


def other_limit(evaluation: Evaluation) -> Evaluation:
    return put(evaluation, ("limits", "force_agreement"), 0.5)


def fewer_barrels(evaluation: Evaluation) -> Evaluation:
    return remove(evaluation, BARREL)


@pytest.mark.parametrize(
    "change",
    [
        corrected_volume,
        other_shot,
        other_factor,
        resin_that_explains,
        other_limit,
        fewer_barrels,
    ],
)
def test_the_result_is_the_same_with_and_without_what_was_before(
    change: Callable[[Evaluation], Evaluation],
    sample_evaluation: Evaluation,
    sample_appraisal: Appraisal,
    sample_said: bytes,
) -> None:
    changed = change(sample_evaluation)
    anew = said(appraise(changed))
    assert said(appraise(changed, sample_appraisal)) == anew
    assert anew != sample_said


def test_edit_after_edit_says_what_an_appraisal_from_nothing_says(
    sample_evaluation: Evaluation,
) -> None:
    evaluation, kept = sample_evaluation, appraise(sample_evaluation)
    for path, value in (
        (("jobs", "j1", "part_mass"), Quantity(magnitude="2.4", unit="g")),
        (("jobs", "j1", "cycle_time"), Quantity(magnitude="15", unit="s", half_width=0.1)),
        (("jobs", "j2", "cushion"), Quantity(magnitude="5", unit="mm", half_width=0.2)),
        (("jobs", "j2", "largest_shot_mass"), Quantity(magnitude="200", unit="g")),
        (("jobs", "j2", "cushion"), None),
        (("jobs", "j3", "resin"), "pp"),
        (("limits", "general_high"), 0.7),
        (("confirmed_limits",), ()),
        ((*BARREL, "swept_volume"), Quantity(magnitude="334.8", unit="cm3")),
    ):
        evaluation = put(evaluation, path, value)
        kept, anew = appraise(evaluation, kept), appraise(evaluation)
        for one, other in zip(kept.grid.verdicts, anew.grid.verdicts, strict=True):
            for part in ("state", "reasons", "margin", "open", "below"):
                np.testing.assert_array_equal(getattr(one, part), getattr(other, part), str(path))
    assert said(kept) == said(anew)


def small(evaluation: Evaluation) -> Evaluation:
    """A few jobs and offers of the sample, of which two units are full of failed claims."""
    return Evaluation(
        as_of=evaluation.as_of,
        resins=evaluation.resins,
        jobs=evaluation.jobs[:4],
        bids=tuple(bid for bid in evaluation.bids if bid.id in ("b2", "b4", "b6")),
        cost=evaluation.cost,
        answers=evaluation.answers,
    )


THINGS: tuple[tuple[type[Frozen], str], ...] = (
    (Job, "jobs"),
    (Resin, "resins"),
    (Bid, "bids"),
    (InjectionUnit, "units"),
    (Barrel, "barrels"),
)


def paths_of(evaluation: Evaluation, rows: str) -> list[edits.Path]:
    """Where things stand: in rows of the evaluation, of a bid or of a unit."""
    if rows == "barrels":
        return [evaluation.barrel_path(barrel.id) for _, _, barrel in evaluation.barrels()]
    if rows == "units":
        return [("bids", bid.id, "units", unit.id) for bid in evaluation.bids for unit in bid.units]
    return [(rows, one.id) for one in getattr(evaluation, rows)]


def datum(draw: Callable[..., Any], evaluation: Evaluation) -> Evaluation:
    """Another value of any datum of anything, usual or absurd, or none."""
    model, rows = draw(st.sampled_from(THINGS))
    paths = paths_of(evaluation, rows)
    assume(paths)
    shapes = shapes_of(model)
    name = draw(st.sampled_from(sorted(shapes)))
    value = draw(st.none() | values(shapes[name]))
    holder = model.model_validate_json(json.dumps({"id": "x", name: value}))
    return put(evaluation, (*draw(st.sampled_from(paths)), name), getattr(holder, name))


def misprint(draw: Callable[..., Any], evaluation: Evaluation) -> Evaluation:
    """A stated number of a barrel, somewhat or grossly other."""
    paths = paths_of(evaluation, "barrels")
    assume(paths)
    path = draw(st.sampled_from(paths))
    stated = [name for name, *_ in quantities(edits.get(evaluation, path))]
    assume(stated)
    where = (*path, draw(st.sampled_from(stated)))
    before = edits.get(evaluation, where)
    factor = draw(st.sampled_from((0.1, 0.98, 1.004, 1.05, 2.0, 10.0)))
    return put(evaluation, where, before.replace(magnitude=f"{float(before.magnitude) * factor:f}"))


def judged_otherwise(draw: Callable[..., Any], evaluation: Evaluation) -> Evaluation:
    """Other limits, half-widths, confirmations, or another day."""
    limit = st.sampled_from(sorted(set(Limits.model_fields) - {"required"}))
    return draw(
        st.sampled_from(
            (
                evaluation.replace(as_of=None),
                evaluation.replace(as_of=date(2027, 6, 1)),
                put(evaluation, ("limits", draw(limit)), draw(st.sampled_from((0.05, 0.6, 3.0)))),
                put(evaluation, ("limits", "required"), ("wear",)),
                put(evaluation, ("uncertainty", "part_mass"), 0.04),
                evaluation.replace(confirmed_limits=draw(CONFIRMED)),
            )
        )
    )


CONFIRMED = st.lists(
    st.builds(
        lambda field, value, resin: ConfirmedLimit(
            resin=resin, field=field, value=value, person="N. N.", reason="tried"
        ),
        st.sampled_from(("stroke_low", "ring_share", "residence_limits")),
        st.sampled_from((0.05, 1.0)),
        st.sampled_from((None, "ps")),
    ),
    max_size=2,
).map(tuple)


ASKED = ("injection_pressure", "swept_volume", "screw_diameter", "injection_rate", "valid_until")


def recorded(draw: Callable[..., Any], evaluation: Evaluation) -> Evaluation:
    """A question answered or open, a bid withdrawn, a pin, something gone."""
    bids = [bid.id for bid in evaluation.bids]
    assume(bids)
    asked = f"{draw(st.sampled_from(bids))}.{draw(st.sampled_from(ASKED))}"
    answer = Answer(question=asked, state="accepted_as_is")
    rows = draw(st.sampled_from(THINGS))[1]
    gone = draw(st.sampled_from(paths_of(evaluation, rows) or [("bids", bids[0])]))
    return draw(
        st.sampled_from(
            (
                evaluation.replace(answers=(*evaluation.answers, answer)),
                evaluation.replace(answers=()),
                put(evaluation, ("bids", draw(st.sampled_from(bids)), "withdrawn"), True),
                evaluation.replace(jobs=evaluation.jobs[::-1], bids=evaluation.bids[::-1]),
                gone,
            )
        ).map(lambda after: remove(evaluation, after) if isinstance(after, tuple) else after)
    )


@given(data=st.data())
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_edited_says_what_an_appraisal_from_nothing_says(
    data: st.DataObject, sample_evaluation: Evaluation
) -> None:
    """One edit after the other: nothing is kept that any of them may have moved."""
    evaluation = small(sample_evaluation)
    kept = anew = appraise(evaluation)
    kinds = st.lists(st.sampled_from((datum, misprint, judged_otherwise, recorded)), max_size=4)
    for kind in data.draw(kinds):
        try:
            evaluation = kind(data.draw, evaluation)
        except (ValidationError, UnitError):
            continue
        kept, anew = appraise(evaluation, kept), appraise(evaluation)
        for one, other in zip(kept.grid.verdicts, anew.grid.verdicts, strict=True):
            for part in ("state", "reasons", "margin", "open", "below"):
                np.testing.assert_array_equal(getattr(one, part), getattr(other, part))
        assert kept.questions == anew.questions
        assert kept.gates.states == anew.gates.states
    assert said(kept) == said(anew)


def test_a_rate_by_mass_follows_the_factor_of_its_resin(sample_evaluation: Evaluation) -> None:
    path = ("bids", "b6", "units", "b6u1", "barrels", "b6u1a", "injection_rate")
    by_mass = put(sample_evaluation, path, Quantity(magnitude="120", unit="g/s"))
    changed = other_factor(by_mass)
    assert said(appraise(changed, appraise(by_mass))) == said(appraise(changed))


def test_claims_hang_on_no_other_limit(
    sample_evaluation: Evaluation, sample_appraisal: Appraisal
) -> None:
    limits = sample_evaluation.limits
    for name in set(Limits.model_fields) - {"required"}:
        nearer = limit_value(getattr(limits, name)) * 0.97
        changed = put(sample_evaluation, ("limits", name), nearer)
        kept, anew = appraise(changed, sample_appraisal), appraise(changed)
        assert [list(b.claims) for b in kept.barrels] == [list(b.claims) for b in anew.barrels]
        assert [b.swept for b in kept.barrels] == [b.swept for b in anew.barrels]


def test_the_share_done_grows_and_what_hears_it_can_stop_the_work(
    sample_evaluation: Evaluation,
    sample_said: bytes,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    evaluation = sample_evaluation
    monkeypatch.setattr(assessments, "CELLS_TOGETHER", 1)
    monkeypatch.setattr(assessment, "FEW", 0)
    told: list[float] = []
    assert said(appraise(evaluation, report=told.append)) == sample_said
    assert told == sorted(told)
    assert told[0] > 0.0
    assert told[-1] < 1.0
    assert len(told) > 10

    class Enough(Exception):
        pass

    def stop(share: float) -> None:
        if share >= told[3]:
            raise Enough

    with pytest.raises(Enough):
        appraise(evaluation, report=stop)


@pytest.mark.parametrize("cells", [1, 40])
def test_barrels_computed_in_parts_have_the_same_verdicts(
    cells: int,
    sample_evaluation: Evaluation,
    sample_appraisal: Appraisal,
    sample_said: bytes,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(assessments, "CELLS_AT_ONCE", cells)
    monkeypatch.setattr(assessments, "BARRELS_IN_FULL", 3)
    assert any(barrel.swept.unsettled for barrel in sample_appraisal.barrels)
    in_parts = appraise(sample_evaluation)
    assert said(in_parts) == sample_said
    waiting = sample_appraisal.waiting_limits
    assert in_parts.waiting_limits == waiting
