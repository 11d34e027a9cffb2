"""Acceptance tests: the arithmetic against `uncertainties`, verdicts, what is taken from them."""

from __future__ import annotations

import json
from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy.special import stdtrit
from uncertainties import ufloat, umath  # the judge of every combined uncertainty here

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.acceptance import (
    Measured,
    edges_of,
    factor_to_take,
    series_of,
    verdict_of,
    worst,
)
from evenbarrel.decision.guarantees import guarantee_lines, with_guarantee
from evenbarrel.model.changes import with_air_shots
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import Guarantee
from evenbarrel.model.states.digest import digest
from evenbarrel.trade.acceptance import student_factor
from evenbarrel.wording.standing_by.acceptance import acceptance_sheet, guarantee_sheet


def _quantity(magnitude: float | str, unit: str, **more) -> dict:
    return {"magnitude": str(magnitude), "unit": unit, **more}


def _weighed(masses, kind="air_shot", session=None, guarantees=(), **test) -> Evaluation:
    resin = {
        "output_factor_route": "own",
        "output_factors": {"own": _quantity("0.90", "g/cm3", half_width=0.02)},
        "melt_density": _quantity("0.95", "g/cm3"),
        "enthalpy": _quantity("400", "kJ/kg"),
    }
    barrel = {
        "id": "b",
        "screw_diameter": _quantity("40", "mm"),
        "stroke": _quantity("180", "mm"),
        "rated_shot_mass": _quantity("206", "g"),
        "reference_resin": "r",
        "plasticising_rate": _quantity("10.0", "g/s"),
    }
    data = {
        "resins": [{"id": "r", **resin}, {"id": "other", **resin}],
        "jobs": [{"id": "j", "resin": "r", "shot_mass_tolerance": _quantity("0.5", "%")}],
        "bids": [
            {
                "id": "o",
                "units": [{"id": "u", "barrels": [barrel]}],
                "guarantees": [{"barrel": "b", **one} for one in guarantees],
            }
        ],
        "acceptance": [
            {
                "barrel": "b",
                "scale_resolution": _quantity("0.05", "g"),
                "stroke_resolution": _quantity("0.1", "mm"),
                **(session or {}),
                "tests": [
                    {
                        "kind": kind,
                        "resin": "r",
                        "masses": [_quantity(f"{m:.6f}", "g") for m in masses],
                        **test,
                    }
                ],
            }
        ],
    }
    return Evaluation.model_validate_json(json.dumps(data))


def _series(*args, **more):
    return series_of(appraise(_weighed(*args, **more)))[0]


STROKE = {"stroke": _quantity("100", "mm")}
SHOTS = [113.0 + 0.02 * (-1) ** n for n in range(12)]


@given(
    some.lists(some.floats(90.0, 130.0), min_size=3, max_size=40, unique_by=lambda m: round(m, 3))
)
def test_factor_and_delivered_mass_are_as_uncertain_as_the_library_says(masses) -> None:
    series = _series(masses, **STROKE)
    given_masses = [float(f"{m:.6f}") for m in masses]
    count = len(masses)
    student = stdtrit(count - 1, 0.5 + 0.5 * 0.682689492137086)
    of_mean = student * np.std(given_masses, ddof=1) / sqrt(count)
    mean = ufloat(np.mean(given_masses), of_mean) + ufloat(0.0, 0.05 / sqrt(12))
    stroke = ufloat(10.0, 0.01 / sqrt(12))
    diameter = ufloat(4.0, 0.01 / sqrt(3))
    factor = mean / (umath.pow(diameter, 2) * np.pi / 4 * stroke)
    delivered = mean / stroke * 18.0
    assert series.factor.value / 1000.0 == pytest.approx(factor.n, rel=1e-12)
    assert series.factor.standard / 1000.0 == pytest.approx(factor.s, rel=1e-6)
    assert series.result.value * 1000.0 == pytest.approx(delivered.n, rel=1e-12)
    assert series.result.standard * 1000.0 == pytest.approx(delivered.s, rel=1e-6)


@pytest.mark.parametrize("degrees", [1, 2, 9, 29, 400])
def test_students_factor_is_scipys(degrees: int) -> None:
    expected = stdtrit(degrees, 0.5 + 0.5 * 0.682689492137086)
    assert student_factor(degrees) == pytest.approx(expected, rel=1e-9)


@given(some.floats(50.0, 150.0), some.floats(0.0, 0.2), some.floats(80.0, 120.0))
def test_a_verdict_is_given_only_beyond_the_uncertainty(value, relative, edge) -> None:
    measured = Measured(value, {"scatter": relative})
    verdict = verdict_of(measured, edge, None)
    wide = 2.0 * relative * value
    expected = "accept" if value - wide >= edge else "reject" if value + wide < edge else None
    assert verdict == (expected or "within_uncertainty")
    assert verdict_of(measured, None, None) == "accept"


@pytest.mark.parametrize(
    ("scale", "verdict"), [(1.03, "accept"), (0.97, "reject"), (1.0, "within_uncertainty")]
)
def test_delivered_mass_is_held_against_the_claim_and_the_guaranteed_value(scale, verdict) -> None:
    guaranteed = {
        "datum": "rated_shot_mass",
        "value": _quantity("206", "g"),
        "tolerance": _quantity("0", "%"),
        "side": "at_least",
    }
    masses = [206.0 / 1.8 * scale + 0.2 * (n % 3 - 1) for n in range(12)]
    series = _series(masses, guarantees=[guaranteed], **STROKE)
    assert [one.against for one in series.held] == ["claim", "guarantee"]
    assert series.held[1].verdict == verdict
    assert worst(series.held) == min(
        (one.verdict for one in series.held),
        key=["reject", "within_uncertainty", "accept"].index,
    )


def test_a_tolerance_is_a_share_or_in_the_units_of_the_value() -> None:
    def edges(**more):
        data = {"barrel": "b", "datum": "plasticising_rate", "value": _quantity("10", "g/s")}
        return edges_of(Guarantee.model_validate_json(json.dumps(data | more)))

    assert edges() == (pytest.approx(0.01), pytest.approx(0.01), None)
    share = edges(tolerance=_quantity("5", "%"), side="both")
    assert share == (pytest.approx(0.01), pytest.approx(0.0095), pytest.approx(0.0105))
    own = edges(tolerance=_quantity("0.5", "g/s"), side="at_most")
    assert own == (pytest.approx(0.01), None, pytest.approx(0.0105))


def test_a_rate_and_a_repeatability_are_judged_alike() -> None:
    rate = _series(
        [110.0 + 0.1 * (n % 2) for n in range(10)], "plasticising", time=_quantity("10", "s")
    )
    assert rate.result.value * 1000.0 == pytest.approx(11.005)
    assert rate.held[0].verdict == "accept"
    steady = _series([50.0 + 0.01 * (n % 2) for n in range(30)], "repeatability")
    assert steady.result.value == pytest.approx(0.005 / 50.005)
    assert [(one.against, one.job, one.verdict) for one in steady.held] == [
        ("job_tolerance", "j", "accept")
    ]
    loose = _series([50.0 + 2.0 * (n % 2) for n in range(30)], "repeatability")
    assert loose.held[0].verdict == "reject"


def test_a_drift_few_shots_and_what_is_assumed_are_told() -> None:
    drifting = _series([113.0 + 0.05 * n for n in range(12)], **STROKE)
    assert drifting.drift == pytest.approx(0.55 / 113.275, rel=1e-6)
    assert {"drifts", "tolerance_assumed", "upper_bound"} <= set(drifting.notes)
    steady = _series(SHOTS, session={"diameter_tolerance": _quantity("0.02", "mm")}, **STROKE)
    assert "drifts" not in steady.notes
    assert "tolerance_assumed" not in steady.notes
    assert "few_shots" in _series(SHOTS[:4], **STROKE).notes


@pytest.mark.parametrize(
    ("masses", "test", "missing"),
    [
        ([], {}, "masses"),
        ([113.0], STROKE, "masses"),
        (SHOTS, {}, "stroke_travelled"),
        (SHOTS, {"kind": "plasticising"}, "time"),
    ],
)
def test_what_is_not_stated_is_named_and_nothing_is_judged(masses, test, missing) -> None:
    series = _series(masses, **test)
    assert missing in series.missing
    assert series.held == ()


def test_a_mass_in_another_resin_is_converted_and_as_uncertain_as_both_factors() -> None:
    own, other = _series(SHOTS, **STROKE), _series(SHOTS, **(STROKE | {"resin": "other"}))
    assert "converted" in other.notes
    assert other.result.value == pytest.approx(own.result.value)
    assert other.result.relative == pytest.approx(
        sqrt(own.result.relative**2 + 2 * (0.02 / sqrt(3)) ** 2)
    )


def test_the_factor_is_taken_into_the_resin_and_counts_from_then_on() -> None:
    evaluation = _weighed(SHOTS, **STROKE)
    series = series_of(appraise(evaluation))[0]
    factor = factor_to_take(series, "air shots of 14 October")
    taken = with_air_shots(evaluation, "r", factor)
    assert taken.resin("r").output_factors.own == evaluation.resin("r").output_factors.own
    result = appraise(taken).resins["r"]
    assert result.route == "air_shot"
    assert result.factor == pytest.approx(series.factor.value, rel=1e-4)
    assert result.half_width == pytest.approx(2.0 * series.factor.relative, rel=1e-3)
    with pytest.raises(KeyError):
        with_air_shots(evaluation, "nobody", factor)


def test_what_is_measured_changes_no_digest_and_the_sample_tells_it(sample_appraisal) -> None:
    evaluation = sample_appraisal.evaluation
    assert digest(evaluation) == digest(evaluation.replace(acceptance=()))
    kinds = [one.kind for one in series_of(sample_appraisal)]
    assert kinds == ["air_shot", "plasticising", "repeatability"]
    sheet = acceptance_sheet(sample_appraisal)
    assert sheet.rows[0][6].text == "within uncertainty: undecided"
    assert any("upper bound for moulding" in note for note in sheet.notes)


def test_what_decides_is_proposed_for_the_order_and_one_step_makes_it_a_guarantee(
    sample_appraisal,
) -> None:
    lines = guarantee_lines(sample_appraisal, "b1u1b")
    margins = [line.margin for line in lines if line.margin is not None]
    assert margins == sorted(margins)
    assert all(0.0 < line.tolerance < 0.05 for line in lines)
    line = next(line for line in lines if line.datum == "plasticising_rate")
    after = with_guarantee(sample_appraisal.evaluation, line, "weighed", "put right")
    again = with_guarantee(after, line, "weighed twice", "put right")
    held = [g for g in again.place("b1u1b")[0].guarantees if g.datum == "plasticising_rate"]
    assert [one.method for one in held] == ["weighed twice"]
    sheet = guarantee_sheet(appraise(again), "b1u1b")
    told = next(row for row in sheet.rows if row[0].text == "Plasticising rate")
    assert told[1].text.endswith("(agreed)")
    assert told[4].text == "weighed twice"
