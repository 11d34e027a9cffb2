"""What is asked, held against barrels built at the edges: inside there, just beyond not."""

from __future__ import annotations

import json
import re
from itertools import product
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as some

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.appraisal.references import CountRef, GatesRef, RunsRef, SizeRef
from evenbarrel.decision.asking.ask import Ask
from evenbarrel.decision.asking.ranges import Range, common, conflict, fewest
from evenbarrel.decision.asking.sizes import usual_sizes
from evenbarrel.decision.decide import decide
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.paper.pictures.cost_drawing import bars_drawing
from evenbarrel.wording.pictures.ask_bars import ask_bars
from evenbarrel.wording.sentences.asking.data_sheet import wanted_lines
from evenbarrel.wording.sheets.decision.cost import cost_sheet
from evenbarrel.wording.sheets.decision.cover import cover_sheet
from evenbarrel.wording.sheets.decision.order import order_sheet
from evenbarrel.wording.sheets.gates.gate import gate_sheet
from evenbarrel.wording.sheets.gates.pins import pins_sheet
from evenbarrel.wording.standing_by.ask import ask_sheet, conflict_lines, sizes_sheet, wanted_of
from evenbarrel.wording.words import labels
from evenbarrel.wording.workings.working import working

BEYOND = 1e-6

mass = some.floats(5.0, 4000.0).map(lambda grams: f"{grams:.4f}")
share = some.floats(0.0, 0.2)


def _quantity(magnitude: str, unit: str, **more) -> dict:
    return {"magnitude": magnitude, "unit": unit, **more}


def _resin(name: str, factor: float, width: float, **more) -> dict:
    return {
        "id": name,
        "resin_class": "general",
        "output_factor_route": "own",
        "output_factors": {"own": _quantity(f"{factor:.4f}", "g/cm3", half_width=width)},
        "melt_density": _quantity("1", "g/cm3"),
        "enthalpy": _quantity("500", "kJ/kg"),
        "abrasive": "no",
        "corrosive": "no",
        **more,
    }


@some.composite
def programmes(draw) -> Evaluation:
    """Draw one or two jobs with everything that is asked stated, and half-widths of their own."""
    resins = [_resin("r", draw(some.floats(0.6, 1.4)), draw(share)), _resin("ps", 0.94, 0.03)]
    resins[0] |= {"enthalpy": _quantity(f"{draw(some.floats(300.0, 800.0)):.1f}", "kJ/kg")}
    jobs = [
        {
            "id": f"j{at}",
            "resin": "r",
            "shot_mass": _quantity(draw(mass), "g", half_width=draw(share)),
            "cycle_time": _quantity("40", "s"),
            "cooling_time": _quantity(f"{draw(some.floats(4.0, 30.0)):.3f}", "s"),
            "fill_time": _quantity(f"{draw(some.floats(0.4, 6.0)):.3f}", "s"),
            "required_pressure": _quantity(f"{draw(some.floats(500.0, 2000.0)):.1f}", "bar"),
        }
        for at in range(draw(some.integers(1, 2)))
    ]
    whole = {"resins": resins, "jobs": jobs, "cost": {"common_resin": "ps"}}
    return Evaluation.model_validate_json(json.dumps(whole))


def _states(evaluation: Evaluation, barrels: list[dict]) -> list[dict[str, dict[str, str]]]:
    """Return each criterion's state for each job on barrels with exactly these numbers."""
    units = [
        {
            "id": f"u{at}",
            "barrels": [
                {
                    "id": f"b{at}",
                    "plasticising_resin": "ps",
                    **{
                        name: _quantity(f"{value:.15f}", unit, half_width=0.0)
                        for name, (value, unit) in numbers.items()
                    },
                }
            ],
        }
        for at, numbers in enumerate(barrels)
    ]
    data = json.loads(evaluation.model_dump_json()) | {"bids": [{"id": "o", "units": units}]}
    appraisal = appraise(Evaluation.model_validate_json(json.dumps(data)))
    return [
        {
            job.id: {c.key: c.state for c in appraisal.fit(f"b{at}", job.id).criteria}
            for job in evaluation.jobs
        }
        for at in range(len(barrels))
    ]


def _edges(one: Range):
    """Yield each end of a range with a place just within it and one just beyond."""
    if one.low is not None:
        yield one.low * (1 + BEYOND), one.low * (1 - BEYOND)
    if one.high is not None:
        yield one.high * (1 - BEYOND), one.high * (1 + BEYOND)


@given(programmes())
def test_a_barrel_at_an_edge_is_in_and_one_just_beyond_is_not(evaluation) -> None:
    built = [
        (job, *one)
        for job, asked in Ask(appraise(evaluation)).jobs.items()
        for one in _at_the_edges(asked)
    ]
    states = _states(evaluation, [numbers for *_, numbers in built])
    for (job, criterion, wanted, unwanted, numbers), found in zip(built, states, strict=True):
        state = found[job][criterion]
        assert wanted in (None, state), (job, criterion, numbers)
        assert state != unwanted, (job, criterion, numbers)


def _at_the_edges(asked):
    """Yield a criterion, the state wanted and the one unwanted, and the numbers of a barrel."""
    for criterion, name, scale, unit, inside, not_outside in (
        ("utilisation", "swept_volume", 1e6, "cm3", asked.volume_inside, asked.volume_not_outside),
        (
            *("stroke", "screw_diameter", 1e3, "mm"),
            *(asked.diameter_inside, asked.diameter_not_outside),
        ),
    ):
        for within, beyond in () if inside.empty else _edges(inside):
            yield criterion, "inside", None, {name: (within * scale, unit)}
            yield criterion, None, "inside", {name: (beyond * scale, unit)}
        for within, beyond in _edges(not_outside):
            yield criterion, None, "outside", {name: (within * scale, unit)}
            yield criterion, "outside", None, {name: (beyond * scale, unit)}
    for criterion, name, value, scale, unit in (
        ("pressure", "injection_pressure", asked.pressure, 1e-5, "bar"),
        ("rate", "injection_rate", asked.rate, 1e6, "cm3/s"),
        ("recovery", "plasticising_rate", asked.plasticising_as_rated, 1e3, "g/s"),
    ):
        yield criterion, "inside", None, {name: (value * scale * (1 + BEYOND), unit)}
        yield criterion, None, "inside", {name: (value * scale * (1 - BEYOND), unit)}


@given(programmes())
def test_one_volume_suits_all_jobs_where_no_conflict_is_named(evaluation) -> None:
    together = Ask(appraise(evaluation)).programme
    inside = together.asked.volume_inside
    if not together.conflict:
        assert not inside.empty
        middle = (inside.low * inside.high) ** 0.5
        states = _states(evaluation, [{"swept_volume": (middle * 1e6, "cm3")}])[0]
        assert {of_job["utilisation"] for of_job in states.values()} == {"inside"}
    else:
        assert inside.empty


@given(programmes())
def test_a_scale_has_two_numbers_however_narrow_the_ranges(evaluation) -> None:
    ask = Ask(appraise(evaluation))
    picture = ask_bars(ask, ask.programme.asked)
    places = [place for place, _ in picture.ticks]
    assert len(places) >= 2
    assert picture.low <= min(places) < max(places) <= picture.high


ends = some.one_of(some.none(), some.floats(0.0, 10.0))
ranges = some.builds(Range, ends, ends)


@given(some.dictionaries(some.sampled_from("abcdef"), ranges, min_size=1))
def test_conflicts_are_the_smallest_and_the_fewest_values_are_so_by_trying_all(of) -> None:
    named = conflict(of)
    assert common([of[name] for name in named]).empty == bool(named)
    assert bool(named) == common(list(of.values())).empty
    if len(named) > 1:
        assert not any(of[name].empty for name in named)
    found = fewest(of)
    if found is None:
        assert any(one.empty for one in of.values())
        return
    # Any best set of values can be moved to high ends, or to a value above all low ones.
    places = sorted({one.high for one in of.values() if one.high is not None} | {100.0})
    sets = (
        chosen
        for size in range(1, found)
        for chosen in product(places, repeat=size)
        if all(any(one.holds(value) for value in chosen) for one in of.values())
    )
    assert next(sets, None) is None


def test_volumes_asked_are_those_of_the_rules_own_example() -> None:
    """100 cm3 +- 6 % in 20-80 %: inside from 132.5, not outside from 117.5 (the rules' figures)."""
    resin = _resin("r", 1.0, 0.0)
    job = {"id": "j", "resin": "r", "shot_mass": _quantity("100", "g", half_width=0.06)}
    data = {"resins": [resin], "jobs": [job]}
    asked = Ask(appraise(Evaluation.model_validate_json(json.dumps(data)))).jobs["j"]
    assert asked.volume_inside == Range(pytest.approx(132.5e-6), pytest.approx(470e-6))
    assert asked.volume_not_outside == Range(pytest.approx(117.5e-6), pytest.approx(530e-6))
    assert asked.diameter_not_outside.high == pytest.approx((4 * 106e-6 / (pi * 0.5)) ** (1 / 3))


def test_the_sample_asks_for_two_volumes_that_no_barrel_has_at_once(sample_appraisal) -> None:
    ask = decide(sample_appraisal).ask
    lines = list(conflict_lines(ask, ask.programme))
    assert lines == [
        "No single volume makes both Manifold, three or four ports and Dripper, 32 cavities inside."
    ]
    assert ask.of(("j2", "j3")).conflict == ()
    sheet = ask_sheet(ask)
    assert len(sheet.rows) == 9
    assert sheet.rows[-1][0].text == "All jobs"


def test_the_picture_draws_each_range_and_their_common_part(sample_appraisal) -> None:
    ask = Ask(sample_appraisal)
    picture = ask_bars(ask, ask.programme.asked)
    assert len(picture.rows) == len(ask.jobs) + 1
    for place, asked in enumerate(ask.jobs.values()):
        broad = next(bar for bar in picture.bars if bar.y == place + 0.5 and not bar.thin)
        one = asked.volume_not_outside
        # A logarithm of cm3.
        assert 10.0**broad.low == pytest.approx(one.low * 1e6)
        assert 10.0**broad.high == pytest.approx(one.high * 1e6)
        assert broad.low <= picture.band[0] <= picture.band[1] <= broad.high
    # Two that no volume has inside at once: their last row has no bar for it.
    apart = ask_bars(ask, ask.of(("j1", "j5")).asked)
    assert [bar.thin for bar in apart.bars if bar.y == len(ask.jobs) + 0.5] == [False]
    texts = {shape.text for shape in bars_drawing(apart, 700.0).shapes if hasattr(shape, "text")}
    assert {row.name for row in apart.rows} <= texts


def test_usual_sizes_are_not_outside_for_any_job_and_say_how_many_are_inside(
    sample_appraisal,
) -> None:
    ask = Ask(sample_appraisal)
    sizes = usual_sizes(ask)
    assert [(round(s.diameter * 1e3), round(s.stroke * 1e3)) for s in sizes] == [
        (45, 180),
        (50, 150),
    ]
    within = ask.programme.asked.volume_not_outside
    for size in sizes:
        assert within.holds(size.volume)
        assert "outside" not in size.states.values()
    told = sizes_sheet(ask, sizes).rows
    assert len(told) == len(sizes)
    # One job near an edge is enough: the worst of all is told, never the best.
    assert [row[-1].state for row in told] == ["near_edge", "near_edge"]


def test_every_count_of_the_decision_opens_what_it_counts(sample_decision) -> None:
    appraisal, ask = sample_decision.appraisal, sample_decision.ask
    sheets = (
        *(gate_sheet(appraisal), pins_sheet(appraisal), order_sheet(sample_decision)),
        *(cost_sheet(sample_decision), cover_sheet(sample_decision, sample_decision.cover)),
        sizes_sheet(ask, usual_sizes(ask)),
    )
    counts = (CountRef, GatesRef, RunsRef)
    told = 0
    for cell in (cell for sheet in sheets for row in sheet.rows for cell in row):
        if isinstance(cell.reference, counts):
            found = working(appraisal, cell.reference, sample_decision)
            (told_first,) = re.findall(r"^[\d+? ]*[\d?]", found.result)
            assert told_first == cell.text, found.title
            listed = [line for line in found.lines if not line.value.startswith("not run")]
            if getattr(cell.reference, "of", None) not in ("machines", "not_assessed"):
                assert len(listed) == sum(map(int, re.findall(r"\d+", cell.text))), found.title
            told += 1
    assert told > 100
    unopened = {
        heading.title
        for sheet in sheets
        for row in sheet.rows
        for heading, cell in zip(sheet.headings, row, strict=True)
        if cell.value is not None and cell.reference is None
    }
    assert unopened == {"Rank"}


def test_a_usual_size_opens_what_each_job_makes_of_it(sample_decision) -> None:
    ask = sample_decision.ask
    size = usual_sizes(ask)[0]
    reference = sizes_sheet(ask, (size,)).rows[0][3].reference
    assert isinstance(reference, SizeRef)
    found = working(ask.appraisal, reference, sample_decision)
    assert found.result == "286 cm³; of 8 jobs 2 inside, 6 near edge"
    assert [line.value for line in found.lines] == [
        labels.STATES[state] for state in size.states.values()
    ]
    assert "Share of volume: 20 %" in found.lines[0].stated


def test_a_supplier_is_told_what_is_wanted_without_the_name_of_a_mould(sample_appraisal) -> None:
    lines = wanted_of(Ask(sample_appraisal))
    assert lines[0] == "Swept volume required: 269 to 310 cm³."
    assert lines[1].startswith("At least: melt pressure 2071 bar, injection rate 189 cm³/s")
    assert set(lines) < set(wanted_lines(sample_appraisal))
    text = " ".join(wanted_lines(sample_appraisal))
    assert not any(job.name in text for job in sample_appraisal.evaluation.jobs)


def test_jobs_of_which_nothing_is_known_ask_for_nothing() -> None:
    appraisal = appraise(Evaluation.model_validate({"jobs": ({"id": "j"},)}))
    asked = Ask(appraisal).jobs["j"]
    assert asked.volume_inside == Range(None, None)
    assert asked.pressure is None
    assert asked.missing
    assert wanted_of(Ask(appraisal)) == ()
    assert Ask(appraise(Evaluation())).programme.conflict == ()
