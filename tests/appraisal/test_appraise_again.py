"""An appraisal that takes over what cannot have changed says what one from nothing says."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.verdicts import assessments
from evenbarrel.model.datum_path import put, remove
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import Limits, limit_value
from evenbarrel.model.quantity import Quantity
from evenbarrel.report.results_file import results_of, to_json
from evenbarrel.wording.sentences.asking.questions import question_texts

BARREL = ("bids", "b4", "units", "b4u1", "barrels", "b4u1b")


def said(appraisal: Appraisal) -> bytes:
    return to_json(results_of(appraisal, question_texts(appraisal)))


def corrected_volume(evaluation: Evaluation) -> Evaluation:
    return put(evaluation, (*BARREL, "swept_volume"), Quantity(magnitude="334.8", unit="cm3"))


def other_shot(evaluation: Evaluation) -> Evaluation:
    return put(evaluation, ("jobs", "j1", "part_mass"), Quantity(magnitude="2.4", unit="g"))


def other_factor(evaluation: Evaluation) -> Evaluation:
    path = ("resins", "ps", "output_factors", "trade_table")
    return put(evaluation, path, Quantity(magnitude="1.05", unit="g/cm3"))


def other_limit(evaluation: Evaluation) -> Evaluation:
    return put(evaluation, ("limits", "force_agreement"), 0.5)


def fewer_barrels(evaluation: Evaluation) -> Evaluation:
    return remove(evaluation, BARREL)


@pytest.mark.parametrize(
    "change", [corrected_volume, other_shot, other_factor, other_limit, fewer_barrels]
)
def test_the_result_is_the_same_with_and_without_what_was_before(
    change: Callable[[Evaluation], Evaluation],
    sample_evaluation: Evaluation,
    sample_appraisal: Appraisal,
) -> None:
    changed = change(sample_evaluation)
    assert said(appraise(changed, sample_appraisal)) == said(appraise(changed))
    assert said(appraise(changed)) != said(sample_appraisal)


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
    sample_appraisal: Appraisal,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    evaluation = sample_evaluation
    monkeypatch.setattr(assessments, "CELLS_TOGETHER", 1)
    told: list[float] = []
    assert said(appraise(evaluation, report=told.append)) == said(sample_appraisal)
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
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(assessments, "CELLS_AT_ONCE", cells)
    monkeypatch.setattr(assessments, "BARRELS_IN_FULL", 3)
    assert any(barrel.swept.unsettled for barrel in sample_appraisal.barrels)
    in_parts = appraise(sample_evaluation)
    assert said(in_parts) == said(sample_appraisal)
    waiting = sample_appraisal.waiting_limits
    assert in_parts.waiting_limits == waiting
