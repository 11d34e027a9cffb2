"""Amounts of the decision as sheets, workings and pictures: nothing is lost on the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.references import AmountRef, MachineRef, RunsRef
from evenbarrel.decision.amount import SUM, Amount
from evenbarrel.decision.decide import Decision, decide
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.report.paper.pictures.cost_drawing import bars_drawing
from evenbarrel.trade.ownership import cost as formulas
from evenbarrel.wording.pictures.cost_bars import side_by_side, step_by_step
from evenbarrel.wording.sentences.deciding.choice import choice_lines
from evenbarrel.wording.sheets.decision.cost import cost_sheet
from evenbarrel.wording.sheets.decision.cover import cover_sheet, who_runs_what_sheet
from evenbarrel.wording.sheets.decision.offers import offers_sheet
from evenbarrel.wording.sheets.decision.order import order_sheet, shares_sheet
from evenbarrel.wording.sheets.decision.proposal import proposal_line, proposal_sheet
from evenbarrel.wording.sheets.sheet import Sheet
from evenbarrel.wording.words.amounts import COSTS_UNDECIDED, FORMULAS, JOBS_UNDECIDED
from evenbarrel.wording.words.names import barrel_name, full_name
from evenbarrel.wording.workings.working import working

BARRELS = ("b1u1b", "b3u1b", "b4u1c", "b6u1a")
"""One that states all, one in another currency, one that leaves much out, the plant's own."""


@pytest.fixture(scope="module")
def decision(sample_appraisal: Appraisal) -> Decision:
    return decide(sample_appraisal)


@pytest.fixture(scope="module")
def sheets(decision: Decision) -> tuple[Sheet, ...]:
    assert decision.proposal is not None
    return (
        offers_sheet(decision),
        cost_sheet(decision),
        order_sheet(decision),
        shares_sheet(decision),
        cover_sheet(decision, decision.cover),
        who_runs_what_sheet(decision, decision.cover[-1]),
        proposal_sheet(decision, decision.proposal),
    )


def references(sheets: tuple[Sheet, ...]) -> Iterator[AmountRef]:
    for sheet in sheets:
        for row in sheet.rows:
            for cell in row:
                if isinstance(cell.reference, AmountRef):
                    yield cell.reference


def below(reference: AmountRef, amount: Amount) -> Iterator[tuple[AmountRef, Amount]]:
    """Every amount that one is made of, with what it opens to."""
    yield reference, amount
    for place, part in enumerate(amount.parts):
        yield from below(replace(reference, steps=(*reference.steps, place)), part)


def test_every_amount_follows_from_what_its_working_shows(
    decision: Decision, sheets: tuple[Sheet, ...]
) -> None:
    shown = {ref for ref in references(sheets) if ref.machines[0].barrel in BARRELS}
    assert len(shown) > 60
    one_of_each: dict[tuple[object, ...], tuple[AmountRef, Amount]] = {}
    for reference in shown:
        for ref, amount in below(reference, decision.amount(reference)):
            if amount.value is not None:
                assert amount.value == pytest.approx(again(amount), rel=1e-12)
            kind = (ref.of, ref.name, amount.formula, amount.standing, len(ref.machines))
            one_of_each.setdefault(kind, (ref, amount))
    for ref, amount in one_of_each.values():
        assert decision.amount(ref) == amount
        told = working(decision.appraisal, ref, decision)
        assert told.title
        assert told.result
        if amount.formula in FORMULAS:
            assert {line.label for line in told.lines} >= named(amount)


def again(amount: Amount) -> float:
    """The amount computed from what it names."""
    if amount.formula == SUM:
        return sum(part.counted for part in amount.parts)
    if amount.formula is None:
        return amount.counted
    return float(getattr(formulas, amount.formula)(**amount.inputs))


def named(amount: Amount) -> set[str]:
    inputs = FORMULAS[amount.formula or ""].inputs
    # In the evaluation's own currency nothing is converted: the rate is 1.
    own = amount.formula == "converted_amount" and amount.inputs["rate"] == 1.0
    return {label for label, _ in inputs.values() if not own} or {inputs["amount"][0]}


def test_every_formula_of_an_amount_is_worded() -> None:
    for name, words in FORMULAS.items():
        arguments = getattr(formulas, name).__wrapped__.__code__
        assert set(words.inputs) == set(arguments.co_varnames[: arguments.co_argcount]), name


def test_a_sheet_holds_a_cell_for_every_heading(sheets: tuple[Sheet, ...]) -> None:
    for sheet in sheets:
        assert sheet.rows
        assert {len(row) for row in sheet.rows} == {len(sheet.headings)}


def test_bars_add_up_to_the_cost_and_lie_on_one_scale(decision: Decision) -> None:
    every = side_by_side(decision)
    assert len(every.rows) == sum(bool(cost.jobs) for cost in decision.cost.values())
    for barrel in BARRELS:
        present = decision.cost[barrel].present.value
        picture = step_by_step(decision, barrel)
        *parts, whole = picture.bars
        assert whole.high == pytest.approx(present)
        assert sum(b.high - b.low for b in parts) == pytest.approx(
            sum(abs(part.counted) for part in decision.cost[barrel].parts.values())
        )
        assert all(picture.low <= bar.low <= bar.high <= picture.high for bar in picture.bars)
        assert all(every.low <= bar.low <= bar.high <= every.high for bar in every.bars)
    drawing = bars_drawing(every, 700.0)
    texts = {shape.text for shape in drawing.shapes if hasattr(shape, "text")}
    assert {row.name for row in every.rows} <= texts


def test_jobs_that_are_undecided_are_told_apart_wherever_jobs_are_counted(
    decision: Decision,
) -> None:
    """Of the screw on request nothing is known, of another of that unit the size is in doubt."""
    for barrel, told in (("b4u1c", "0 + 8 ?"), ("b4u1b", "0 + 5 ?"), ("b4u1a", "1 + 3 ?")):
        name = full_name(decision.appraisal, barrel)
        for sheet in (order_sheet(decision), cost_sheet(decision)):
            (row,) = [
                [cell.text for cell in row]
                for row in sheet.rows
                if barrel_name(decision.appraisal, barrel) in [cell.text for cell in row]
            ]
            assert told in row
            assert {JOBS_UNDECIDED, COSTS_UNDECIDED} <= set(sheet.notes)
        (bar,) = [row for row in side_by_side(decision).rows if row.name == name]
        assert f", {told} jobs on " in bar.text
        opened = working(decision.appraisal, RunsRef((MachineRef(barrel),), "jobs"))
        assert opened.result.startswith(told)
    lines = choice_lines(decision)
    for told in (
        "waits, 0 of 8 jobs, 8 undecided, on 2 machines.",
        "B: shut, 0 of 8 jobs, 5 undecided.",
    ):
        assert any(line.endswith(told) for line in lines), told


def test_a_set_that_more_machines_do_not_better_is_written_out_once(decision: Decision) -> None:
    lines = choice_lines(decision)
    (first,) = [line for line in lines if line.startswith("At most 1 bought")]
    assert "1 × Quillomar, Model 18 1.75 and 1 × Own plant, Machine 14 40" in first
    assert [line for line in lines if line.startswith(("At most 2", "At most 3"))] == [
        "At most 2 bought: as for at most 1 bought.",
        "At most 3 bought: as for at most 1 bought.",
    ]


def test_the_proposal_is_told_with_its_gate_and_its_cost(decision: Decision) -> None:
    line = proposal_line(decision)
    assert "buy Brastivel, Unit 604 B, for 6 of 8 jobs" in line
    assert "keep Own plant, Machine 14 40, for 2 of 8 jobs" in line
    assert "Its gate: no objection" in line
    # What is kept is not paid for; what a cost lacks is said beside it and named.
    assert "Price EUR 206\u202f300, cost over life EUR" in line
    assert " + ?" in line
    assert "Not stated: batches per year." in line


def test_hours_that_nobody_can_tell_are_no_zero(sample_appraisal: Appraisal) -> None:
    """Without a quantity a job's hours are not known: a machine that runs it is not idle."""
    none = {"annual_quantity": None, "hours_per_year": None}
    evaluation = sample_appraisal.evaluation

    def used(*left: int) -> list[str]:
        jobs = tuple(
            job if place in left else job.replace(**none)
            for place, job in enumerate(evaluation.jobs)
        )
        decided = decide(appraise(evaluation.replace(jobs=jobs)))
        sheet = who_runs_what_sheet(decided, decided.cover[-1])
        place = next(n for n, one in enumerate(sheet.headings) if one.title == "Hours used")
        return [text for row in sheet.rows for text in (row[place].text, row[place + 2].text)]

    assert set(used()) == {"–"}
    some = used(*range(1, len(evaluation.jobs)))
    assert any(text.endswith(" + ?") for text in some)
    assert not any("?" in text for text in used(*range(len(evaluation.jobs))))


def test_the_order_says_why_nothing_is_levelled(sample_appraisal: Appraisal) -> None:
    evaluation = sample_appraisal.evaluation
    cost = evaluation.cost.replace(horizon_years=None)
    undated = decide(appraise(evaluation.replace(cost=cost)))
    assert order_sheet(undated).notes[0].startswith("No cost over life: ")
    assert not order_sheet(decide(sample_appraisal)).notes[0].startswith("No cost over life")


def test_sets_of_screws_that_are_called_alike_are_told_apart(sample_evaluation: Evaluation) -> None:
    bids = []
    for bid in sample_evaluation.bids:
        units = tuple(
            unit.replace(
                designation="Type 1",
                barrels=tuple(
                    one.replace(label=f"Screw {n}") for n, one in enumerate(unit.barrels)
                ),
            )
            for unit in bid.units
        )
        bids.append(bid.replace(units=units))
    decided = decide(appraise(sample_evaluation.replace(bids=tuple(bids))))
    sheet = cover_sheet(decided, decided.cover)
    titles = [heading.title for heading in sheet.headings]
    row = dict(zip(titles, sheet.rows[1], strict=True))
    assert row["Machines"].text == "1 × Quillomar, Type 1 Screw 1; 1 × Own plant, Type 1 Screw 0"
    assert row["Runner-up"].text == "1 × Brastivel, Type 1 Screw 1; 1 × Own plant, Type 1 Screw 0"
