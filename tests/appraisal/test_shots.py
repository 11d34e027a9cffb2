"""Planned jobs brought to volume: what a shot weighs, what it sweeps, which ends count."""

from __future__ import annotations

from math import inf, pi

import pytest

from evenbarrel.appraisal.appraise import appraise


@pytest.fixture
def shots(planned):
    """Appraise one job of parts of 10 g in a resin of 0.8 g/cm3, with changes."""

    def of(factor: str = "0.8 g/cm3 ±0", **job: object):
        bare = {"shot_mass": None, "part_mass": "10 g ±0", "cavities": 4, **job}
        resin = {"output_factors": {"own": factor}}
        return appraise(planned(job=bare, resin=resin)).job("j")

    return of


def cm3(volume: float) -> float:
    return volume * 1e6


@pytest.mark.parametrize(
    ("job", "mass", "notes"),
    [
        ({"runner_mass": "6 g ±0", "runner_kind": "cold"}, 46.0, ()),
        ({"runner_mass": "6 g ±0"}, 46.0, ()),
        ({"runner_mass": "0 g"}, 40.0, ()),
        ({"runner_kind": "hot"}, 40.0, ("hot_runner_not_stated",)),
        ({"runner_kind": "hot", "hot_runner_volume": "20 cm3"}, 40.0, ()),
        ({"runner_kind": "none"}, 40.0, ()),
        ({}, 40.0, ("runner_not_stated",)),
        ({"runner_kind": "cold"}, 40.0, ("runner_not_stated",)),
        ({"shot_mass": "57 g ±0"}, 57.0, ()),
        ({"shot_mass": "57 g ±0", "runner_mass": "6 g", "part_mass": None}, 57.0, ()),
    ],
)
def test_the_shot_is_cavities_times_part_plus_runner_or_as_given(shots, job, mass, notes):
    """m_shot = cavities x part + runner or a given shot_mass; V_shot = m_shot / f."""
    result = shots(**job)
    assert result.nominal.mass.nominal == pytest.approx(mass * 1e-3)
    assert cm3(result.nominal.volume.nominal) == pytest.approx(mass / 0.8)
    assert result.notes == notes
    assert result.missing == ()


@pytest.mark.parametrize(
    ("job", "missing"),
    [
        ({"part_mass": None}, ("part_mass",)),
        ({"cavities": None}, ("cavities",)),
        ({"part_mass": None, "cavities": None}, ("part_mass", "cavities")),
        ({"resin": None}, ("resin",)),
    ],
)
def test_what_a_shot_misses_is_named(shots, job, missing):
    result = shots(runner_kind="hot", **job)
    assert result.missing == missing
    volumes = [shot.volume for shot in result.shots]
    assert volumes in ([], [None])


def test_without_an_output_factor_there_is_a_mass_and_no_volume(planned):
    job = appraise(planned(resin={"output_factors": {}})).job("j")
    assert (job.factor, job.missing) == (None, ("output_factor",))
    assert job.nominal.mass.nominal == pytest.approx(0.160)
    assert job.nominal.volume is None


ENDS = {"smallest_shot_mass": "25 g ±0", "largest_shot_mass": "70 g ±0"}


@pytest.mark.parametrize(
    ("job", "ends", "notes"),
    [
        (ENDS, {"nominal": 40.0, "smallest": 25.0, "largest": 70.0}, ()),
        ({"smallest_shot_mass": "41 g"}, {"nominal": 40.0}, ("smallest_ignored",)),
        ({"largest_shot_mass": "39 g"}, {"nominal": 40.0}, ("largest_ignored",)),
        (
            {"smallest_shot_mass": "41 g", "largest_shot_mass": "70 g"},
            {"nominal": 40.0, "largest": 70.0},
            ("smallest_ignored",),
        ),
        ({"smallest_shot_mass": "40 g", "largest_shot_mass": "40 g"}, {"nominal": 40.0}, ()),
    ],
)
def test_smallest_and_largest_shot_are_totals_in_order_or_ignored(shots, job, ends, notes):
    """smallest <= nominal <= largest, else that end is ignored, marked, a question for us."""
    result = shots(runner_kind="none", **job)
    masses = {shot.end: shot.mass.nominal * 1e3 for shot in result.shots}
    assert masses == pytest.approx(ends)
    assert result.notes == notes


def test_the_planned_range_is_over_all_ends_of_all_jobs(planned):
    jobs = [{}, {"id": "k", "smallest_shot_mass": "25 g", "largest_shot_mass": "400 g"}]
    low, high = appraise(planned(jobs=jobs)).planned_range
    assert (cm3(low), cm3(high)) == pytest.approx((25.0, 400.0))


@pytest.mark.parametrize(
    ("standing", "share"),
    [("measured", 0.005), ("quoted", 0.02), ("assumed", 0.07)],
)
def test_the_mass_is_as_uncertain_as_its_standing(shots, standing, share):
    """Part and runner: measured 0.5, quoted 2, assumed 7 %; own factor 3 %."""
    part = {"magnitude": "10", "unit": "g", "standing": standing}
    mass = shots(factor="0.8 g/cm3", part_mass=part, runner_kind="none").nominal
    assert (mass.mass.low, mass.mass.high) == pytest.approx(
        (0.040 * (1 - share), 0.040 * (1 + share))
    )
    assert (cm3(mass.volume.low), cm3(mass.volume.high)) == pytest.approx(
        (50.0 * (1 - share) / 1.03, 50.0 * (1 + share) / 0.97)
    )


def test_part_and_runner_each_bring_their_own_width(shots):
    runner = {"magnitude": "20", "unit": "g", "standing": "assumed"}
    mass = shots(part_mass="10 g ±0.1", runner_mass=runner).nominal.mass
    assert (mass.low, mass.high) == pytest.approx((0.036 + 0.0186, 0.044 + 0.0214))


def test_a_factor_that_may_be_nothing_leaves_the_volume_without_an_upper_end(shots):
    volume = shots(factor="0.8 g/cm3 ±1").nominal.volume
    assert cm3(volume.nominal) == pytest.approx(50.0)
    assert volume.high == inf


def test_every_end_is_appraised(planned):
    """The largest shot decides capacity, the smallest the stroke; 50 mm screw."""
    job = {"smallest_shot_mass": "60 g ±0", "largest_shot_mass": "500 g ±0"}
    fit = appraise(planned(job=job)).fit("b", "j")
    at = {c.key: (c.at, c.state) for c in fit.criteria}
    assert at["capacity"] == ("largest", "outside")
    assert at["ring_share"] == ("smallest", "inside")
    stroke = next(c for c in fit.criteria if c.key == "stroke")
    assert stroke.at == "largest"
    assert stroke.value == pytest.approx(500.0 / (pi / 4 * 5.0**3))
