"""Both pictures as traces: values, order, windows, states, scales, and what is missing.

The worked numbers are exact geometry and the limits of common practice (no source), computed here
by hand: 50 mm by 200 mm sweeps 392.699 cm3, one diameter of stroke 98.175 cm3.
"""

from __future__ import annotations

import json
from math import inf, log10, pi
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.model.datum_path import put
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.pictures.criterion_lanes import bars, lanes
from evenbarrel.wording.pictures.label_layout import fitted, one_line, place_flags, stand_below
from evenbarrel.wording.pictures.ruler import ruler
from evenbarrel.wording.pictures.scales import Axis, Scale, ScaleKey, axis_over
from evenbarrel.wording.pictures.traces import Mark
from evenbarrel.wording.pictures.windows import planned_windows

SWEPT = pi / 4 * 5.0**2 * 20.0
ONE_DIAMETER = pi / 4 * 5.0**3
CM3_PER_IN3 = 2.54**3
G_PER_OZ = 28.349523125


def q(magnitude: float | str, unit: str, **more: Any) -> dict[str, Any]:
    return {"magnitude": str(magnitude), "unit": unit, **more}


def resin(name: str, factor: str, resin_class: str | None = "general") -> dict[str, Any]:
    return {
        "id": name,
        "name": name.upper(),
        "resin_class": resin_class,
        "output_factor_route": "own",
        "output_factors": {"own": q(factor, "g/cm3")},
    }


def barrel(name: str, diameter: float | None = 50, stroke: float | None = 200, **more: Any) -> Any:
    return {
        "id": name,
        "label": name.upper(),
        "screw_diameter": None if diameter is None else q(diameter, "mm"),
        "stroke": None if stroke is None else q(stroke, "mm"),
        **more,
    }


def job(name: str, of: str | None, grams: float | None, **more: Any) -> dict[str, Any]:
    return {
        "id": name,
        "name": f"Mould {name}",
        "resin": of,
        "shot_mass": None if grams is None else q(grams, "g"),
        **more,
    }


def appraised(barrels: list[Any], jobs: list[Any], **more: Any) -> Appraisal:
    unit = {"id": "u", "designation": "Unit 9", "barrels": barrels, **more.pop("unit", {})}
    content = {
        "format_version": 1,
        "resins": [
            resin("pp", "0.75"),
            resin("pa", "0.90", "engineering"),
            resin("odd", "0.80", None),
        ],
        "jobs": jobs,
        "bids": [{"id": "n", "supplier": "Nordquell", "units": [unit]}] if barrels else [],
        **more,
    }
    return appraise(Evaluation.model_validate_json(json.dumps(content)))


@pytest.fixture(scope="module")
def plain() -> Appraisal:
    """One barrel and two jobs, 150 cm3 of PP and 150 cm3 of PA."""
    return appraised([barrel("a")], [job("j1", "pp", 112.5), job("j2", "pa", 135.0)])


def test_a_lane_is_what_capacity_share_and_stroke_leave(plain):
    general, engineering = ruler(plain, Scale("volume")).barrels[0].lanes
    assert (general.low, general.high) == pytest.approx((0.2 * SWEPT, 0.8 * SWEPT))
    assert general.comfort_low == pytest.approx(ONE_DIAMETER)
    assert general.comfort_high == pytest.approx(3 * ONE_DIAMETER)
    assert (engineering.low, engineering.high) == pytest.approx((0.3 * SWEPT, 0.5 * SWEPT))
    assert (engineering.comfort_low, engineering.comfort_high) == pytest.approx(
        (0.3 * SWEPT, 0.5 * SWEPT)
    )
    assert general.label == "general 20–80 %"
    assert engineering.label == "engineering 30–50 %"
    assert (general.jobs, engineering.jobs) == (("j1",), ("j2",))


def test_the_stroke_limits_a_barrel_with_a_long_stroke():
    # 30 mm by 240 mm is 8 D: 80 % is 6.4 D, but 4 D is the hard edge, and 20 % is 1.6 D.
    picture = ruler(appraised([barrel("a", 30, 240)], [job("j", "pp", 30)]), Scale("diameters"))
    (lane,) = picture.barrels[0].lanes
    assert (lane.low, lane.high) == pytest.approx((1.6, 4.0))
    assert (lane.comfort_low, lane.comfort_high) == pytest.approx((1.6, 3.0))


@pytest.mark.parametrize(
    ("scale", "units", "of_150_cm3", "full"),
    [
        (Scale("volume_log"), "metric", 150.0, SWEPT),
        (Scale("volume"), "metric", 150.0, SWEPT),
        (Scale("volume"), "us", 150.0 / CM3_PER_IN3, SWEPT / CM3_PER_IN3),
        (Scale("share"), "metric", 15000.0 / SWEPT, 100.0),
        (Scale("diameters"), "metric", 150.0 / ONE_DIAMETER, 4.0),
        (Scale("mass", "pa"), "metric", 135.0, SWEPT * 0.9),
        (Scale("mass", "pa"), "us", 135.0 / G_PER_OZ, SWEPT * 0.9 / G_PER_OZ),
    ],
)
def test_every_scale_reads_the_same_barrel(plain, scale, units, of_150_cm3, full):
    picture = ruler(plain, scale, units)
    (trace,) = picture.barrels
    assert trace.full == pytest.approx(full)
    assert trace.low is not None
    assert trace.high is not None
    assert trace.low < trace.full < trace.high
    assert [mark.value for mark in trace.marks] == pytest.approx([of_150_cm3, of_150_cm3])
    share = trace.lanes[0].low / trace.full
    assert share == pytest.approx(0.2)
    lined = scale.key in ("volume_log", "volume", "mass")
    assert [line.value for line in picture.shots] == pytest.approx(
        [of_150_cm3, of_150_cm3] if lined else []
    )
    assert (picture.tint is not None) is lined


def test_titles_name_the_unit(plain):
    assert ruler(plain, Scale("volume")).axis.title == "Shot volume, cm³"
    assert ruler(plain, Scale("volume_log"), "us").axis.title == "Shot volume, in³, logarithmic"
    assert ruler(plain, Scale("mass", "pp")).axis.title == "Shot mass in PP, g"
    assert ruler(plain, Scale("share")).axis.title == "Share of swept volume, %"


def test_a_job_in_another_resin_shows_its_own_grams():
    appraisal = appraised([barrel("a")], [job("j1", "pp", 120), job("j2", "pa", 135)])
    first, second = ruler(appraisal, Scale("mass", "pa")).shots
    assert (first.label, second.label) == ("120 g PP · Mould j1", "Mould j2")
    # 120 g of PP is 160 cm3, which would hold 144 g of PA.
    assert (first.value, second.value) == pytest.approx((144.0, 135.0))


def test_ends_are_lines_without_a_label_and_the_one_that_counts_is_marked():
    ends = {"smallest_shot_mass": q(100, "g"), "largest_shot_mass": q(240, "g")}
    picture = ruler(appraised([barrel("a")], [job("j", "pp", 112.5, **ends)]), Scale("volume"))
    assert {line.end: line.value for line in picture.shots} == pytest.approx(
        {"nominal": 150.0, "smallest": 100 / 0.75, "largest": 320.0}
    )
    assert [line.label for line in picture.shots if line.end != "nominal"] == ["", ""]
    assert picture.tint == pytest.approx((100 / 0.75, 320.0))
    (mark,) = picture.marks()
    # 320 of 392.7 cm3 is 81 %: over the edge, within what the factor's uncertainty allows.
    assert (mark.end, mark.state) == ("largest", "near_edge")
    assert mark.value == pytest.approx(320.0)
    assert "largest shot" in picture.tip(mark)


def test_every_state_stands_where_its_shot_is():
    jobs = [
        job("in", "pp", 135),
        job("edge", "pp", 62),
        job("out", "pp", 300),
        job("open", "odd", 120),
    ]
    picture = ruler(appraised([barrel("a")], jobs), Scale("volume"))
    states = {mark.job: mark.state for mark in picture.marks()}
    assert states == {"in": "inside", "edge": "near_edge", "out": "outside", "open": "not_stated"}
    of_lane = {name: lane for lane in picture.barrels[0].lanes for name in lane.jobs}
    for mark in picture.marks():
        assert mark.y == of_lane[mark.job].y
        assert (mark.reference.barrel, mark.reference.job) == ("a", mark.job)
    assert not of_lane["open"].stated
    assert of_lane["open"].label == "share of volume not stated"
    # Of two marks that meet, the worse is drawn later.
    order = [mark.state for mark in picture.marks()]
    assert order == ["inside", "not_stated", "near_edge", "outside"]


def test_a_mark_worse_than_its_lane_names_what_binds():
    pressed = {"required_pressure": q(1900, "bar")}
    jobs = [job("j1", "pp", 135), job("j2", "pp", 135, **pressed), job("j3", "pp", 300, **pressed)]
    screw = barrel("a", injection_pressure=q(1500, "bar"), pressure_kind="melt")
    picture = ruler(appraised([screw], jobs), Scale("volume"))
    marks = {mark.job: mark for mark in picture.marks()}
    assert (marks["j1"].state, marks["j1"].name) == ("inside", "")
    assert (marks["j2"].state, marks["j2"].name) == ("outside", "pressure")
    assert marks["j2"].reference == CriterionRef("a", "j2", "pressure")
    # Beyond the lane by its size alone: the lane shows it already.
    assert (marks["j3"].state, marks["j3"].name) == ("outside", "")


def test_own_windows_and_cushions_are_lanes_of_their_own():
    own = resin("own", "0.75") | {"utilisation_low": q(25, "%"), "utilisation_high": q(60, "%")}
    jobs = [
        job("j1", "pp", 135),
        job("j2", "own", 135),
        job("j3", "pp", 140),
        job("j4", "pp", 150, cushion=q(60, "mm")),
    ]
    picture = ruler(appraised([barrel("a")], jobs, resins=[resin("pp", "0.75"), own]), Scale())
    found = [(lane.label, lane.jobs) for lane in picture.barrels[0].lanes]
    assert found == [
        ("general 20–80 %", ("j1", "j3")),
        ("OWN 25–60 %", ("j2",)),
        ("general 20–80 %, cushion 60.0 mm", ("j4",)),
    ]
    # 200 - 60 - 2.5 mm of stroke leave 137.5 mm of shot.
    assert picture.barrels[0].lanes[2].high == pytest.approx(pi / 4 * 25 * 13.75)


def test_an_empty_window_is_no_stretch_at_all():
    # 20 mm by 200 mm is 10 D: 50 % is 5 D, beyond 4 D, so nothing is left.
    own = resin("own", "0.75") | {"utilisation_low": q(50, "%"), "utilisation_high": q(60, "%")}
    picture = ruler(appraised([barrel("a", 20, 200)], [job("j", "own", 30)], resins=[own]), Scale())
    (lane,) = picture.barrels[0].lanes
    assert lane.stated
    assert (lane.low, lane.high, lane.comfort_low, lane.comfort_high) == (None,) * 4


def test_missing_volumes_and_diameters_are_said():
    barrels = [
        barrel("bare", None, None),
        barrel("quoted", None, None, swept_volume=q(300, "cm3")),
        barrel("full"),
    ]
    appraisal = appraised(barrels, [job("j", "pp", 112.5)])
    bare, quoted, full = ruler(appraisal, Scale("volume")).barrels
    assert (bare.full, bare.note) == (None, "swept volume not stated")
    assert [mark.state for mark in bare.marks] == ["not_stated"]
    assert quoted.full == pytest.approx(300.0)
    # Without a diameter the stroke limits are unknown: what is left of the lane is a guess.
    assert [lane.stated for lane in quoted.lanes] == [False]
    assert (quoted.lanes[0].low, quoted.lanes[0].high) == pytest.approx((60.0, 240.0))
    assert (full.note, full.lanes[0].stated) == ("", True)
    bare, quoted, full = ruler(appraisal, Scale("diameters")).barrels
    assert (quoted.full, quoted.note, quoted.marks) == (None, "screw diameter not stated", ())
    assert bare.marks == ()
    assert len(full.marks) == 1


def test_an_unsettled_volume_is_marked_and_spans_both_routes():
    appraisal = appraised([barrel("a", swept_volume=q(300, "cm3"))], [job("j", "pp", 112.5)])
    picture = ruler(appraisal, Scale("volume"))
    (trace,) = picture.barrels
    assert trace.unsettled
    assert trace.low <= 300.0 < SWEPT <= trace.high
    assert "unsettled" in picture.tip(trace)


def test_a_unit_without_a_reciprocating_screw_has_no_lane():
    appraisal = appraised([barrel("a")], [job("j", "pp", 112.5)], unit={"unit_kind": "plunger"})
    (trace,) = ruler(appraisal, Scale("volume")).barrels
    assert trace.note == "the method does not apply to this unit"
    assert [(lane.stated, lane.low) for lane in trace.lanes] == [(False, None)]
    assert [mark.state for mark in trace.marks] == ["not_stated"]


def test_jobs_without_a_volume_are_named_below():
    jobs = [job("j1", "pp", 112.5), job("j2", "pp", None), job("j3", None, 50)]
    picture = ruler(appraised([barrel("a")], jobs), Scale())
    assert [line.job for line in picture.shots] == ["j1"]
    assert picture.notes == ("Not shown here, shot volume not stated: Mould j2, Mould j3.",)


@pytest.mark.parametrize("key", ["volume_log", "volume", "share", "diameters", "mass"])
def test_nothing_entered_is_an_empty_picture(key):
    scale = Scale(key, "pp" if key == "mass" else None)
    for barrels, jobs in (([], []), ([barrel("a")], []), ([], [job("j", "pp", 100)])):
        picture = ruler(appraised(barrels, jobs), scale)
        assert picture.marks() == ()
        assert len(picture.barrels) == len(barrels)
        assert picture.axis.low < picture.axis.high
        assert picture.axis.ticks()


def test_grams_without_a_resin_have_no_place(plain):
    picture = ruler(plain, Scale("mass"))
    assert (picture.shots, picture.marks(), picture.barrels[0].full) == ((), (), None)


def test_order_and_choice_are_kept():
    appraisal = appraised(
        [barrel("a"), barrel("b", 45), barrel("c", 60)],
        [job("j1", "pp", 112.5), job("j2", "pp", 150)],
    )
    picture = ruler(appraisal, Scale(), barrels=("c", "a"), jobs=("j2",))
    assert [trace.id for trace in picture.barrels] == ["c", "a"]
    assert {mark.job for mark in picture.marks()} == {"j2"}
    assert picture.barrels[0].label == "Nordquell · Unit 9 · C, 60 mm"
    tops = [(trace.top, trace.bottom) for trace in picture.barrels]
    assert tops[0][1] < tops[1][0] < tops[1][1] < picture.height
    with pytest.raises(KeyError):
        ruler(appraisal, Scale(), barrels=("nobody",))


def test_the_sample_has_every_mark_once(sample_appraisal):
    picture = ruler(sample_appraisal, Scale())
    placed = [job.id for job in sample_appraisal.jobs if job.nominal and job.nominal.volume]
    cells = {(b.id, name) for b in sample_appraisal.barrels for name in placed}
    marks = picture.marks()
    assert {(mark.barrel, mark.job) for mark in marks} == cells
    assert len(marks) == len(cells)
    for mark in marks:
        fit = sample_appraisal.fit(mark.barrel, mark.job)
        assert mark.state == fit.state
        assert mark.low <= mark.value <= mark.high
    assert all(len(picture.tip(mark).splitlines()) >= 3 for mark in marks[:5])


# The second picture


def by_key(picture):
    return {lane.key: lane for lane in picture.lanes}


def test_each_criterion_allows_its_own_shots():
    screw = barrel(
        "a",
        injection_pressure=q(2000, "bar"),
        pressure_kind="melt",
        ring_travel=q(4, "mm"),
    )
    asked = {"required_pressure": q(1800, "bar")}
    picture = lanes(appraised([screw], [job("j", "pp", 112.5, **asked)]), "a", "j")
    found = by_key(picture)
    assert found["utilisation"].hard == pytest.approx((0.2 * SWEPT, 0.8 * SWEPT))
    assert found["stroke"].hard == pytest.approx((0.5 * ONE_DIAMETER, 4 * ONE_DIAMETER))
    assert found["stroke"].comfort == pytest.approx((ONE_DIAMETER, 3 * ONE_DIAMETER))
    # (200 - 2.5) / 1.05 mm of shot stroke fill the stroke with 5 % cushion.
    assert found["capacity"].hard[0] is None
    assert found["capacity"].hard[1] == pytest.approx(pi / 4 * 25 * 19.75 / 1.05)
    # 4 mm of ring travel is 10 % of 40 mm of shot; no shot is too large for it.
    assert found["ring_share"].hard == (pytest.approx(pi / 4 * 25 * 4.0), None)
    # 90 % of the quoted pressure: near the edge whatever is shot.
    assert (found["pressure"].hard, found["pressure"].comfort) == ((None, None), None)
    assert found["pressure"].binding
    assert picture.verdict == "near edge, limited by pressure"
    assert picture.title == "Nordquell · Unit 9 · A, 50 mm × Mould j"
    assert [lane.value for lane in picture.lanes] == pytest.approx([150.0] * 14)


def test_the_foot_is_what_all_stated_lanes_leave():
    picture = lanes(appraised([barrel("a")], [job("j", "pp", 112.5)]), "a", "j")
    stated = [lane for lane in picture.lanes if lane.stated]
    assert [lane.key for lane in stated] == ["capacity", "utilisation", "stroke"]
    assert picture.foot.hard == pytest.approx((0.2 * SWEPT, 0.8 * SWEPT))
    assert picture.foot.comfort == pytest.approx((ONE_DIAMETER, 3 * ONE_DIAMETER))
    assert picture.foot.more == "11 not stated, left out"
    assert picture.foot.y > max(lane.y for lane in picture.lanes)


def test_what_is_not_stated_says_what_is_missing():
    found = by_key(lanes(appraised([barrel("a")], [job("j", "pp", 112.5)]), "a", "j"))
    assert not found["recovery"].stated
    assert found["recovery"].text == "not stated"
    assert found["recovery"].more.startswith("missing: ")
    assert "cooling" in found["recovery"].more.lower()


def test_lanes_stand_where_only_the_shot_is_unknown():
    picture = lanes(appraised([barrel("a")], [job("j", "pp", None)]), "a", "j")
    found = by_key(picture)
    assert picture.shots == ()
    assert found["utilisation"].stated
    assert found["utilisation"].hard == pytest.approx((0.2 * SWEPT, 0.8 * SWEPT))
    assert found["utilisation"].value is None


def test_a_criterion_that_no_shot_meets_empties_the_foot():
    screw = barrel("a", injection_pressure=q(1000, "bar"), pressure_kind="melt")
    asked = {"required_pressure": q(1800, "bar")}
    picture = lanes(appraised([screw], [job("j", "pp", 112.5, **asked)]), "a", "j", "us", False)
    assert by_key(picture)["pressure"].hard is None
    assert by_key(picture)["pressure"].more.endswith("no shot fits")
    assert picture.foot.hard is None
    assert picture.foot.text == "no shot volume fits"
    assert picture.axis.title == "Shot volume, in³"
    assert picture.shots[0].value == pytest.approx(150 / CM3_PER_IN3)


def test_open_ends_reach_the_frame():
    picture = lanes(appraised([barrel("a")], [job("j", "pp", 112.5)]), "a", "j")
    capacity = bars([by_key(picture)["capacity"]], picture.axis, comfort=False)
    assert [bar.low for bar in capacity] == [picture.axis.low]
    assert len(bars(picture.lanes, picture.axis, comfort=True)) == 3


def test_the_sample_opens_every_cell(sample_appraisal):
    for fit_barrel in sample_appraisal.barrels[:4]:
        for fit_job in sample_appraisal.jobs:
            picture = lanes(sample_appraisal, fit_barrel.id, fit_job.id)
            fit = sample_appraisal.fit(fit_barrel.id, fit_job.id)
            assert [lane.state for lane in picture.lanes] == [c.state for c in fit.criteria]
            assert [lane.key for lane in picture.lanes if lane.binding] == (
                [] if fit.binding is None else [fit.binding]
            )


# Scales


positive = st.floats(min_value=1e-3, max_value=1e7)


@given(
    value=positive,
    low=positive,
    interval=st.floats(min_value=1.01, max_value=1e6),
    log=st.booleans(),
)
def test_a_place_on_the_ruler_gives_its_value_back(value, low, interval, log):
    axis = Axis("", log, low, low * interval)
    assert axis.value(axis.position(value)) == pytest.approx(value, rel=1e-9)
    assert axis.fraction(axis.low) == pytest.approx(0.0, abs=1e-9)
    assert axis.fraction(axis.high) == pytest.approx(1.0)


@given(
    low=positive,
    interval=st.floats(min_value=1.001, max_value=1e7),
    log=st.booleans(),
    most=st.integers(min_value=2, max_value=20),
)
def test_divisions_lie_on_the_ruler_in_order_and_leave_room_for_their_numbers(
    low, interval, log, most
):
    axis = Axis("", log, low, low * interval)
    ticks = axis.ticks(most=most)
    values = [tick.value for tick in ticks]
    assert values == sorted(set(values))
    assert all(low * (1 - 1e-6) <= value <= low * interval * (1 + 1e-6) for value in values)
    numbered = [tick.text for tick in ticks if tick.text]
    assert len(numbered) <= most + 1
    assert len(set(numbered)) == len(numbered)


def test_divisions_are_round_numbers():
    assert [t.text for t in Axis("", False, 0.0, 100.0).ticks(most=10) if t.text] == [
        "0", "10", "20", "30", "40", "50", "60", "70", "80", "90", "100",
    ]  # fmt: skip
    assert [t.text for t in Axis("", True, 8.0, 2500.0).ticks() if t.text] == [
        "10", "20", "50", "100", "200", "500", "1\u202f000", "2\u202f000",
    ]  # fmt: skip
    assert [t.text for t in Axis("", True, 0.4, 3.0).ticks() if t.text] == ["0.5", "1", "2"]


def test_zero_lies_at_the_low_end_of_a_logarithmic_ruler():
    axis = Axis("", True, 10.0, 1000.0)
    assert axis.position(0.0) == log10(10.0)
    assert axis.ticks(5.0, inf) == ()


@given(
    values=st.lists(positive, max_size=8), ends=st.lists(positive, max_size=8), log=st.booleans()
)
def test_a_ruler_holds_everything(values, ends, log):
    axis = axis_over("", "", log, values, ends)
    assert axis.low < axis.high
    assert all(0.0 <= axis.fraction(value) <= 1.0 for value in (*values, *ends))


@given(least=positive, most=positive)
def test_a_logarithmic_ruler_has_air_at_its_ends_and_steps_as_the_shots_move(least, most):
    least, most = sorted((least, most))
    axis = axis_over("", "", True, [least], [most])
    assert 1.19 < least / axis.low < 1.2 * 1.13
    assert 1.09 < axis.high / most < 1.1 * 1.13
    moved = {axis_over("", "", True, [least * by], [most]) for by in (1.0, 1.01, 1.02, 1.03)}
    assert len(moved) <= 2


@pytest.mark.parametrize("key", ["volume_log", "volume", "share", "diameters", "mass"])
def test_every_trace_of_the_sample_lies_on_its_ruler(sample_appraisal, key: ScaleKey):
    picture = ruler(sample_appraisal, Scale(key, sample_appraisal.jobs[0].resin))
    values = [mark.value for mark in picture.marks()]
    values += [trace.full for trace in picture.barrels if trace.full is not None]
    assert values
    assert all(0.0 <= picture.axis.fraction(value) <= 1.0 for value in values)
    assert all(isinstance(mark, Mark) for mark in picture.marks())


# Placing of words


def overlap(boxes):
    return [
        (a, b)
        for place, a in enumerate(boxes)
        for b in boxes[:place]
        if a[0] == b[0] and a[1] < b[2] and b[1] < a[2]
    ]


@given(
    labels=st.lists(
        st.tuples(st.floats(min_value=0, max_value=900), st.floats(min_value=5, max_value=190)),
        max_size=40,
    )
)
def test_flags_never_overlap_and_stay_within_the_picture(labels):
    places, widths = [p for p, _ in labels], [w for _, w in labels]
    flags = place_flags(places, widths, 900.0)
    boxes = [(f.row, f.left, f.left + w) for f, w in zip(flags, widths, strict=True)]
    assert overlap(boxes) == []
    assert all(left >= 0.0 and right <= 900.0 + 1e-9 for _, left, right in boxes)
    assert flags == place_flags(places, widths, 900.0)


def test_flags_go_down_like_stairs_and_start_again_at_the_top():
    flags = place_flags([0.0, 10.0, 20.0, 200.0], [50.0] * 4, 300.0)
    assert [flag.row for flag in flags] == [0, 1, 2, 0]
    assert [flag.left for flag in flags] == [0.0, 10.0, 20.0, 200.0]


@given(
    words=st.lists(
        st.tuples(
            st.floats(min_value=0, max_value=500), st.sampled_from(["wear", "pressure", "rate"])
        ),
        max_size=30,
    )
)
def test_words_below_marks_touch_none_of_the_others(words):
    placed = stand_below([place for place, _ in words], [text for _, text in words], len, 3.0)
    assert overlap([(0, word.left, word.left + len(word.text)) for word in placed]) == []
    assert sorted(mark for word in placed for mark in word.marks) == list(range(len(words)))
    for word in placed:
        assert {words[mark][1] for mark in word.marks} == set(word.text.split(", "))


def test_a_word_without_room_joins_the_one_before():
    placed = stand_below([50.0, 51.0, 52.0, 52.0, 53.0], ["wear"] * 3 + ["rate"] * 2, len, 1.0)
    assert [(word.text, word.marks) for word in placed] == [("wear, rate", (0, 1, 2, 3, 4))]
    apart = stand_below([50.0, 54.0], ["wear", "rate"], len, 1.0)
    assert [(word.text, word.left) for word in apart] == [("wear", 48.0), ("rate", 54.0)]


@given(text=st.text(max_size=60), room=st.floats(min_value=0, max_value=80))
def test_a_text_is_cut_to_its_room(text, room):
    shown = fitted(text, room, len)
    assert len(shown) <= max(room, 1)
    if len(one_line(text)) <= room:
        assert shown == one_line(text)


@pytest.mark.parametrize(
    ("path", "value", "is_kept"),
    [
        (("jobs", "j1", "part_mass"), Quantity(magnitude="1.3", unit="g"), True),
        (("jobs", "j1", "part_mass"), None, False),
        (("jobs", "j2", "cushion"), Quantity(magnitude="9", unit="mm"), False),
        (("jobs", "j1", "resin"), "pom", False),
        (("limits", "stroke_high"), 3.0, False),
        (("limits", "general_high"), 0.7, False),
        (("bids", "b1", "units", "b1u1", "barrels", "b1u1a", "stroke"), None, False),
    ],
)
def test_windows_are_kept_where_nothing_moves_them_and_right_where_something_does(
    sample_appraisal, path, value, is_kept
):
    jobs = [job.id for job in sample_appraisal.jobs]
    before = planned_windows(sample_appraisal, jobs, by_rule=True)
    now = appraise(put(sample_appraisal.evaluation, path, value), sample_appraisal)
    windows = planned_windows(now, jobs, by_rule=True, before=before)
    assert (windows is before) == is_kept
    assert windows.windows == planned_windows(now, jobs, by_rule=True).windows
