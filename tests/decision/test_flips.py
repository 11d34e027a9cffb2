"""What would flip the choice, held against appraisals of the whole evaluation before and after."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.cover.copies import Load, copies_needed, packed
from evenbarrel.decision.decide import decide
from evenbarrel.decision.flips.choice import Choice, Compared, choices_of, only_these
from evenbarrel.decision.flips.numbers import moved, numbers_of
from evenbarrel.decision.flips.search import FINE, flips_of
from evenbarrel.report.paper.pictures.cost_drawing import bars_drawing
from evenbarrel.wording.paper.leaders import nearest_flips
from evenbarrel.wording.pictures.flip_bars import flip_bars
from evenbarrel.wording.standing_by.flips import (
    CONTRADICTING,
    MOST_CONTRADICTING,
    NO_TWO,
    flips_lines,
    flips_parts,
)

JOBS = (
    {"name": "Lid", "part_mass": {"magnitude": "148", "unit": "g"}, "cavities": 2},
    {"name": "Crate", "shot_mass": {"magnitude": "160", "unit": "g"}},
)
JOBS = ({**JOBS[0], "shot_mass": None, "annual_quantity": 400_000}, JOBS[1])


@pytest.fixture(scope="module")
def decision(decided, make_bid, as_money):
    """Two barrels; the cheaper one costs a little more electricity."""
    two = make_bid("b", unit={"price": as_money(108_000)})
    return decided(make_bid("a"), two, jobs=JOBS)


@pytest.fixture(scope="module")
def flips(decision):
    return flips_of(decision)


def _stand(evaluation, barrels):
    """Return the gates, and which of both comes first by the whole order."""
    appraisal = appraise(evaluation)
    lines = {line.barrel: line for line in decide(appraisal).order}
    one, other = (lines[name] for name in barrels)
    costs = [line.levelled for line in (one, other)]
    compared = one.gate != other.gate or one.jobs_run != other.jobs_run or None not in costs
    order = np.sign(other.rank - one.rank) if compared else None
    return [appraisal.gate(name).state for name in barrels], order


def test_every_flip_is_one_when_all_is_appraised_before_and_after_it(decision, flips) -> None:
    evaluation = decision.appraisal.evaluation
    barrels = [choice.barrels[0] for choice in flips.choices]
    now = _stand(evaluation, barrels)
    assert len(flips.flips) > 10
    for flip in flips.flips:
        before = _stand(moved(evaluation, flip.number, flip.kept), barrels)
        after = _stand(moved(evaluation, flip.number, flip.value), barrels)
        assert before == now, flip
        assert after != now, flip
        assert bool(flip.gates) == (after[0] != now[0]), flip
        assert (flip.order is not None) == (after[1] != now[1]), flip
        apart = abs(flip.value - flip.kept)
        assert apart <= max(abs(flip.number.now) * FINE, float(flip.number.whole)) * 1.001


def test_the_nearest_flip_comes_first_and_what_flips_nothing_is_counted(flips) -> None:
    order = [(flip.contradicts, abs(flip.change)) for flip in flips.flips]
    assert order == sorted(order)
    assert {contradicts for contradicts, _ in order} == {False, True}
    flipping = {flip.number for flip in flips.flips}
    assert flips.steady + len(flipping) == flips.numbers


def test_a_printed_number_that_leaves_its_neighbours_is_told_apart(decision, flips) -> None:
    """A rate moved alone contradicts the speed it is printed for; a price contradicts nothing."""
    doubted = [flip for flip in flips.flips if flip.contradicts]
    assert "plasticising_rate" in {flip.number.datum for flip in doubted}
    assert not {"price", "part_mass"} & {flip.number.datum for flip in doubted}
    for flip in doubted:
        appraisal = appraise(moved(decision.appraisal.evaluation, flip.number, flip.value))
        (gate, *_) = flip.gates
        claims = {reason.claim for reason in gate.reasons if reason.claim is not None}
        assert all(appraisal.barrel(gate.barrel).claim(key).state != "agrees" for key in claims)
    parts = {part.sentence: part.flips for part in flips_parts(flips, decision.appraisal)}
    assert 0 < len(parts[CONTRADICTING]) <= MOST_CONTRADICTING + 1
    others = [line for told, lines in parts.items() if told != CONTRADICTING for line in lines]
    assert not any("in doubt" in line or "no longer settled" in line for line in others)
    picture = flip_bars(flips, decision.appraisal, most=len(flips.flips))
    assert sum(bar.filling == "open" for bar in picture.bars) == len(doubted)
    assert ("open" in dict(picture.key)) == bool(doubted)
    nearest = nearest_flips(decision, flips, 3)
    assert not any("in doubt" in line for line in nearest)


def _everything(appraisal):
    """Return all that an appraisal says of its barrels and jobs, each cell in full."""
    arrays = [
        getattr(verdicts, name).tobytes()
        for verdicts in appraisal.grid.verdicts
        for name in ("state", "reasons", "margin", "open", "below")
    ]
    cells = [
        appraisal.fit(barrel, job)
        for barrel in appraisal.grid.barrel_ids
        for job in appraisal.grid.job_ids
    ]
    parts = (appraisal.resins, appraisal.jobs, appraisal.barrels, appraisal.bids)
    return *parts, arrays, repr(cells)


def test_a_number_moved_comes_to_what_it_comes_to_from_nothing(decision) -> None:
    """What the search keeps of the appraisal before is no other than what is computed anew."""
    now = decision.appraisal
    numbers = numbers_of(now.evaluation, now.grid.barrel_ids)
    as_it_is, changed = _everything(now), set()
    for number in numbers:
        further = number.now + (1.0 if number.whole else 0.1 * abs(number.now))
        after = moved(now.evaluation, number, min(further, number.high))
        again = appraise(after, now)
        kept, anew = _everything(again), _everything(appraise(after))
        assert kept == anew, number
        for barrel in again.grid.barrel_ids:
            gate = again.gate(barrel)
            assert again.gates.state_over(barrel, gate.jobs) == gate.state, number
        if kept != as_it_is:
            changed.add(number.path[0])
    assert changed == {"resins", "jobs", "bids", "limits", "uncertainty"}


def test_the_picture_shows_which_flip_lies_within_what_is_not_known(decision, flips) -> None:
    picture = flip_bars(flips, decision.appraisal, most=len(flips.flips))
    thin = {bar.y: bar for bar in picture.bars if bar.thin}
    broad = {bar.y: bar for bar in picture.bars if not bar.thin}
    assert len(thin) == len(picture.rows) == len(flips.flips)
    for row, flip in zip(picture.rows, flips.flips, strict=True):
        bar, width = thin[row.y], broad.get(row.y)
        assert (width is None) == (flip.within is None)
        if width is not None and abs(abs(flip.change) - flip.number.half_width) > FINE:
            held = width.low <= bar.low and bar.high <= width.high
            assert held == flip.within, flip
        assert picture.low <= bar.low <= bar.high <= picture.high
    drawing = bars_drawing(picture, 700.0)
    texts = {shape.text for shape in drawing.shapes if hasattr(shape, "text")}
    assert {"Part mass of Lid", "Swept volume of aa"} & texts
    assert {row.text for row in picture.rows} <= texts


def test_flips_are_where_arithmetic_puts_them(decision, flips) -> None:
    found = {(f.number.of, f.number.datum, f.change > 0): f for f in flips.flips}
    # 2 m +- 2 % at 1 g/cm3 +- 3 % in 2 s: wholly beyond the quoted 150 cm3/s from here on.
    edge = 150.0 * 2.0 * (1.0 + 0.03) / (1.0 - 0.02) / 2.0
    lid = found["j0", "part_mass", True]
    assert lid.kept <= edge <= lid.value
    assert {gate.after for gate in lid.gates} == {"shut"}
    # The dearer machine may grow cheaper until both cost the same within the resolution.
    price = found["bu", "price", False]
    assert price.order == ("first", "like")
    assert not price.gates


def test_a_recorded_proposal_is_what_is_flipped(decided, make_bid, as_money) -> None:
    other = make_bid("b", unit={"price": as_money(150_000)})
    proposal = {"barrels": ["ba"], "reason": "second source"}
    decision = decided(make_bid("a"), other, proposal=proposal)
    choices = choices_of(decision)
    assert [choice.barrels for choice in choices] == [("ba",), ("aa",)]
    assert Compared(decision.appraisal, choices).order == "second"


def test_several_machines_are_held_against_another_set(decided, make_bid) -> None:
    small = make_bid("s", barrel={"label": "S"}, unit={"clamp_force": None})
    jobs = ({}, {"shot_mass": {"magnitude": "170", "unit": "g"}})
    proposal = {
        "barrels": ["aa", "ba"],
        "jobs": [{"job": "j0", "barrel": "aa"}, {"job": "j1", "barrel": "ba"}],
    }
    decision = decided(make_bid("a"), make_bid("b"), small, jobs=jobs, proposal=proposal)
    choices = choices_of(decision)
    assert choices[0].jobs_of == {"aa": ("j0",), "ba": ("j1",)}
    assert set(choices[1].barrels) != {"aa", "ba"}
    compared = Compared(appraise(only_these(decision.appraisal.evaluation, choices)), choices)
    assert set(compared.states) == {"aa", "ba"} | set(choices[1].barrels)
    assert compared.order in ("first", "like", "second")


def test_a_job_pinned_to_another_barrel_is_none_of_theirs(decided, make_bid) -> None:
    pins = [{"job": "j1", "barrel": "ca"}]
    bids = (make_bid("a"), make_bid("b"), make_bid("c"))
    evaluation = decided(*bids, jobs=({}, {}), assignment=pins).appraisal.evaluation
    trimmed = only_these(evaluation, (Choice({"aa": ("j0",)}), Choice({"ba": ("j0",)})))
    assert [job.id for job in trimmed.jobs] == ["j0"]
    assert [barrel.id for _, _, barrel in trimmed.barrels()] == ["aa", "ba"]


def test_nothing_hangs_on_a_bid_that_was_revised(decided, make_bid, as_money) -> None:
    line = {"kind": "service", "amount": as_money(1_000), "per_year": True}
    lines = [line | {"bid": "a"}, line | {"barrel": "ca"}, line]
    bids = (make_bid("a"), make_bid("b", revises="a"), make_bid("c"))
    evaluation = decided(*bids, jobs=JOBS, cost={"lines": lines}).appraisal.evaluation
    numbers = numbers_of(evaluation, [one.id for _, _, one in evaluation.barrels()])
    own = {number.of for number in numbers if number.path[0] == "bids"}
    assert own == {"b", "bu", "ba", "c", "cu", "ca"}
    kept = {number.path[2] for number in numbers if number.path[:2] == ("cost", "lines")}
    assert kept == {1, 2}


def test_one_barrel_alone_leaves_nothing_to_flip(decided, make_bid) -> None:
    decision = decided(make_bid("a"))
    assert flips_of(decision) is None
    assert flips_lines(None, decision.appraisal) == [NO_TWO]


def test_the_search_tells_how_far_it_is_and_stops_when_told(decision) -> None:
    told = []

    def stop(share: float) -> None:
        told.append(share)
        if share > 0.02:
            raise InterruptedError

    with pytest.raises(InterruptedError):
        flips_of(decision, stop)
    assert told == sorted(told)
    assert told[0] == 0.0


def test_each_flip_is_told_with_its_number_and_what_becomes_of_it(decision, flips) -> None:
    text = "\n".join(flips_lines(flips, decision.appraisal))
    assert "Part mass of Lid above" in text
    assert "shut, outside, rate" in text
    assert "too close in cost to separate" in text


@given(
    hours=some.lists(some.floats(10.0, 5900.0), min_size=1, max_size=8),
    pins=some.lists(some.integers(0, 2), min_size=8, max_size=8),
    paired=some.booleans(),
)
def test_copies_are_as_many_as_a_packing_needs(hours, pins, paired) -> None:
    """The whole search, by HiGHS where first fit fails, is the judge of the short one."""
    jobs = len(hours)
    pairs = ((0, 1),) if paired and jobs > 1 else ()
    load = Load(
        np.array(hours), np.ones((2, jobs), bool), 6000.0, np.ones(jobs), pairs, pins[:jobs]
    )
    found = packed(load)
    assert copies_needed(load) == (None if found is None else found[0])
