"""A printed pressure that one slip explains decides nothing until a person has decided."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.model.datum_path import put
from evenbarrel.model.evaluation import Evaluation

OIL = ("b5u1a", "j2")
"""175 bar of oil pressure printed as melt pressure, 1995 bar by ratio and system pressure."""
PSI = ("b4u1b", "j6")
"""25380 psi printed as bar: 1750 bar, against 1600 bar required."""


def test_an_oil_pressure_puts_nothing_outside_by_physics(sample_appraisal: Appraisal) -> None:
    pressure = sample_appraisal.fit(*OIL).criterion("pressure")
    assert pressure.value is not None
    assert pressure.low is not None
    assert pressure.value > 1.0
    assert pressure.low < 1.0
    assert pressure.state == "near_edge"
    assert "unsettled" in pressure.reasons


def test_a_pressure_in_psi_is_not_taken_for_enough(sample_appraisal: Appraisal) -> None:
    pressure = sample_appraisal.fit(*PSI).criterion("pressure")
    assert pressure.value is not None
    assert pressure.high is not None
    assert pressure.value < 0.1
    assert pressure.high > 0.85
    assert pressure.state == "near_edge"
    assert "unsettled" in pressure.reasons


def test_only_pressure_and_power_depend_on_it(
    sample_evaluation: Evaluation, sample_appraisal: Appraisal
) -> None:
    path = ("bids", "b5", "units", "b5u1", "barrels", "b5u1a", "pressure_kind")
    answered = appraise(put(sample_evaluation, path, "oil"))
    for job in sample_appraisal.jobs:
        before, after = sample_appraisal.fit(OIL[0], job.id), answered.fit(OIL[0], job.id)
        for criterion in before.criteria:
            if criterion.key not in ("pressure", "power"):
                assert criterion == after.criterion(criterion.key)
    pressure = answered.fit(*OIL).criterion("pressure")
    assert pressure.state == "inside"
