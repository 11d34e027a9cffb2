"""Every number of the Decision page's steps opens its working: cell, drawer and decision agree."""

from __future__ import annotations

import re
from math import hypot

import pytest
from PySide6.QtCore import QUrl

from evenbarrel.decision.decide import Decision, decide
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.style.plain import without_joints
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window import background
from evenbarrel.model.record.decision import Measure
from evenbarrel.wording.workings.amounts import NOTHING
from evenbarrel.wording.workings.shown import COSTING

from .person import Person

PATIENCE_MS = 30_000


@pytest.fixture
def sample(same_desk: Person) -> Person:
    """A person before the Decision page of the sample."""
    same_desk.session.open_sample()
    same_desk.go_to("Decision")
    return same_desk


def decision_of(sample: Person) -> Decision:
    appraisal = sample.session.appraisal
    assert appraisal is not None
    return sample.session.decision or decide(appraisal)


def drawer_of(sample: Person) -> WorkingDrawer:
    drawer = sample.window.findChild(WorkingDrawer)
    assert isinstance(drawer, WorkingDrawer)
    return drawer


def told(sample: Person) -> list[str]:
    """The lines of the drawer."""
    return without_joints(drawer_of(sample).text.toPlainText()).split("\n")


def opened(sample: Person, table: SheetView, row: int, heading: str) -> list[str]:
    """Click a cell; return the lines of its working."""
    titles = [one.title for one in table.sheet_model.sheet.headings]
    sample.click_cell(table, table.sheet_model.index(row, titles.index(heading)))
    return told(sample)


def text_of(table: SheetView, row: int, heading: str) -> str:
    titles = [one.title for one in table.sheet_model.sheet.headings]
    return table.sheet_model.sheet.rows[row][titles.index(heading)].text


def number(text: str) -> float:
    """The first number of a text, as it is printed."""
    found = re.search(r"−?\d[\d\s]*(\.\d+)?", text)
    assert found is not None, text
    return float("".join(found[0].split()).replace("−", "-"))


def follow(sample: Person, label: str) -> list[str]:
    """Click the link of that label; return the lines of what it opens."""
    drawer = drawer_of(sample)
    found = re.search(rf'<a href="(open:\d+)"[^>]*>(<span[^>]*>)?{label}', drawer.text.toHtml())
    assert found is not None, label
    drawer.text.anchorClicked.emit(QUrl(found[1]))
    return told(sample)


def test_a_levelled_cost_opens_the_parts_it_adds_up(sample: Person) -> None:
    sample.step_to("Order")
    table, decision = sample.page.order.order.table, decision_of(sample)
    levelled = 0
    for row, line in enumerate(decision.order):
        if line.levelled is None:
            continue
        lines = opened(sample, table, row, "Levelled")
        assert lines[0].startswith("Cost over life, levelled: ")
        assert number(lines[1]) == pytest.approx(line.levelled, abs=0.5)
        assert number(lines[1]) == number(text_of(table, row, "Levelled"))
        amounts = [number(text) for text in lines[3:] if text.startswith("EUR ")]
        assert sum(amounts) == pytest.approx(line.levelled, abs=0.5 * len(amounts))
        named = [text for text in lines if text.endswith(", levelled")]
        assert len(named) == sum(value != 0.0 for value in line.filled.values())
        levelled += len(named)
    assert levelled > 3


def test_what_a_part_is_levelled_by_leads_to_the_offer_that_states_it(sample: Person) -> None:
    sample.step_to("Order")
    table, decision = sample.page.order.order.table, decision_of(sample)
    part = "price.training"
    row, line = next((r, one) for r, one in enumerate(decision.order) if one.filled.get(part))
    opened(sample, table, row, "Levelled")
    lines = follow(sample, "Training, levelled")
    other = decision.offer(line.filled_by[part])
    stated = next(p for p in (*other.items, *other.filled_in) if p.of == "training")
    assert lines[0].startswith("Training: ")
    assert number(lines[1]) == pytest.approx(stated.counted, abs=0.5)
    # Trained for once, on however many machines.
    assert line.filled[part] == pytest.approx(stated.counted)


def test_the_hours_of_a_machine_open_the_jobs_that_fill_them(sample: Person) -> None:
    sample.step_to("Cover")
    cover = sample.page.cover
    sample.qtbot.waitUntil(lambda: bool(cover.covers), timeout=PATIENCE_MS)
    chosen, table, decision = cover.cover(), cover.runs.table, decision_of(sample)
    programme, grid = decision.costs.programme, decision.appraisal.grid
    assert table.sheet_model.rowCount() == len(chosen.hours) > 1
    for row in range(len(chosen.hours)):
        lines = opened(sample, table, row, "Hours used")
        machine, copy = text_of(table, row, "Machine"), text_of(table, row, "No.")
        assert lines[0] == f"Hours used in a year: {machine}, No. {copy}"
        assert number(lines[1]) == number(text_of(table, row, "Hours used"))
        assert f"{text_of(table, row, 'Hours available')} h available" in lines[1]
        assert text_of(table, row, "Used") in lines[1]
        *jobs, there = [text for text in lines[3:] if re.fullmatch(r"[\d\s]+ h", text)]
        hours = [number(text) for text in jobs]
        assert number(there) == number(text_of(table, row, "Hours available"))
        told_of = number(text_of(table, row, "Hours used"))
        assert sum(hours) == pytest.approx(told_of, abs=0.5 * (len(hours) + 1))
        for heading in ("Hours available", "Used"):
            assert opened(sample, table, row, heading) == lines
    run = next(run for run in chosen.runs if run.barrel == chosen.hours[0][0])
    opened(sample, table, 0, "Hours used")
    name = text_of(table, 0, "Runs").split("; ")[0].split(" (")[0]
    lines = follow(sample, re.escape(name))
    whole = programme.hours[programme.row_of(run.barrel), grid.column(run.job)]
    assert lines[0].startswith(f"Hours in a year: {name} on ")
    assert lines[1] == f"{whole:.0f} h"


def test_each_amount_of_a_set_opens_and_a_zero_does_not_leave_another_there(
    sample: Person,
) -> None:
    sample.step_to("Cover")
    cover = sample.page.cover
    sample.qtbot.waitUntil(lambda: bool(cover.covers), timeout=PATIENCE_MS)
    table = cover.sets.table
    for row in reversed(range(len(cover.covers))):
        for heading in ("Price", "Cost over life", "A year"):
            lines = opened(sample, table, row, heading)
            assert number(lines[1]) == number(text_of(table, row, heading))
    assert opened(sample, table, 0, "Price")[1] == "EUR 0"
    assert NOTHING in told(sample)


def test_what_is_asked_opens_the_shot_and_the_limit_that_decide_it(sample: Person) -> None:
    sample.step_to("Ask")
    table, ask = sample.page.ask.table, decision_of(sample).ask
    edges = {
        "Volume, inside": "volume_inside",
        "Volume, not outside": "volume_not_outside",
    }
    for row, asked in enumerate(ask.jobs.values()):
        for heading, name in edges.items():
            lines = opened(sample, table, row, heading)
            assert lines[1] == f"{text_of(table, row, heading)} cm³"
            volumes = [number(text) * 1e-6 for text in lines[3:] if text.endswith(" cm³")]
            shares = [number(text) / 100 for text in lines[3:] if text.endswith(" %")]
            found = getattr(asked, name)
            assert volumes[0] / shares[0] == pytest.approx(found.low, rel=0.01)
            assert volumes[2] / shares[1] == pytest.approx(found.high, rel=0.01)
            assert volumes[1] == pytest.approx(found.low, rel=0.005)
            assert volumes[3] == pytest.approx(found.high, rel=0.005)
        for heading, value in (("Pressure", asked.pressure), ("Injection rate", asked.rate)):
            lines = opened(sample, table, row, heading)
            assert lines[0] == f"{heading}: {text_of(table, row, 'Job')}"
            assert lines[1].split(" ")[0] == text_of(table, row, heading)
            if value is not None:
                (share,) = [number(text) / 100 for text in lines[3:] if text.endswith(" %")]
                needed = lines[1 + next(n for n, t in enumerate(lines) if "at the most" in t) :]
                told_most = next(t for t in needed if t[:1].isdigit())
                assert number(told_most) / share == pytest.approx(number(lines[1]), rel=0.01)


def test_what_all_jobs_ask_opens_each_of_them(sample: Person) -> None:
    sample.step_to("Ask")
    table, ask = sample.page.ask.table, decision_of(sample).ask
    last = len(ask.jobs)
    lines = opened(sample, table, last, "Injection rate")
    assert lines[0] == "Injection rate: All jobs"
    jobs = [text_of(table, row, "Job") for row in range(last)]
    rates = {
        job: number(text_of(table, row, "Injection rate"))
        for row, (job, asked) in enumerate(zip(jobs, ask.jobs.values(), strict=True))
        if asked.rate is not None
    }
    highest = max(rates, key=lambda mould: rates[mould])
    assert number(lines[1]) == number(text_of(table, last, "Injection rate")) == rates[highest]
    told_of = [number(text) for text in lines[3:] if text.endswith("cm³/s")]
    assert told_of == list(rates.values())
    lacking = "; ".join(job for job in jobs if job not in rates)
    assert lacking
    assert f"Not known, and not included: {lacking}." in lines
    follow(sample, re.escape(highest))
    assert told(sample)[0] == f"Injection rate: {highest}"
    assert number(told(sample)[1]) == rates[highest]


def weighed(sample: Person, *keys: str) -> SheetView:
    """Weigh by these measures; return the table of shares."""
    measures = tuple(Measure(key=key) for key in keys)
    sample.session.edit("Weigh", sample.session.evaluation.replace(measures=measures))
    sample.step_to("Order")
    table = sample.page.order.shares.table
    assert table.sheet_model.rowCount() > 1
    return table


def test_a_share_of_weightings_opens_its_measures_and_the_others(sample: Person) -> None:
    table = weighed(sample, "price", "delivery", "warranty")
    shares = decision_of(sample).shares
    for row in range(table.sheet_model.rowCount()):
        lines = opened(sample, table, row, "Leads under")
        assert lines[1] == text_of(table, row, "Leads under")
        assert any(text.startswith("Exact: the area") for text in lines)
        others = [number(lines[n + 1]) for n, text in enumerate(lines) if text == "leads under"]
        assert len(others) == len(shares.shares) - 1
        assert number(lines[1]) + sum(others) == pytest.approx(100.0, abs=0.5 * len(shares.shares))
        for heading in ("Price", "Delivery", "Warranty"):
            told_of = lines[2 + next(n for n, text in enumerate(lines) if text == heading)]
            assert number(told_of) == number(text_of(table, row, heading))
        follow(sample, "Price")
        priced = told(sample)
        assert priced == opened(sample, table, row, "Price")
        assert priced[0].startswith("Price, levelled: ")
        assert number(priced[1]) == number(text_of(table, row, "Price"))
        amounts = [number(text) for text in priced[3:] if text.startswith("EUR ")]
        assert sum(amounts) == pytest.approx(number(priced[1]), abs=0.5 * (len(amounts) + 1))


def test_drawn_weightings_are_counted(sample: Person) -> None:
    table = weighed(sample, "present_cost", "price", "least_margin", "delivery")
    shares = decision_of(sample).shares
    for row, share in enumerate(sorted(shares.shares.values(), reverse=True)):
        lines = opened(sample, table, row, "Leads under")
        (counted,) = [text for text in lines if "drawn weightings put it first" in text]
        assert number(counted) == pytest.approx(share * shares.drawn)


def test_the_least_margin_of_the_order_opens_the_criterion_that_has_it(sample: Person) -> None:
    sample.step_to("Order")
    table, decision = sample.page.order.order.table, decision_of(sample)
    for row, line in enumerate(decision.order):
        if line.nearest is not None:
            opened(sample, table, row, "Least margin")
            assert drawer_of(sample).reference == line.nearest
            fit = decision.appraisal.fit(line.barrel, line.nearest.job)
            margin = fit.criterion(line.nearest.criterion).margin
            assert margin == pytest.approx(line.least_margin)


def test_a_levelled_cost_that_takes_long_is_not_waited_for(
    sample: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    sample.step_to("Order")
    table, decision = sample.page.order.order.table, decision_of(sample)
    row = next(row for row, line in enumerate(decision.order) if line.levelled is not None)
    opened(sample, table, row, "Levelled")
    sample.step_to("Ask")
    monkeypatch.setattr(background, "COSTED_AT_ONCE", 0)
    sample.session.put(("cost", "horizon_years"), 5, "Horizon")
    assert told(sample) == [COSTING]
    # It fills in by itself.
    sample.qtbot.waitUntil(lambda: told(sample) != [COSTING], timeout=PATIENCE_MS)
    filled_in = told(sample)
    sample.step_to("Order")
    assert filled_in == opened(sample, table, row, "Levelled")
    assert number(filled_in[1]) == number(text_of(table, row, "Levelled"))


def test_the_result_of_a_series_opens_what_it_is_computed_from(sample: Person) -> None:
    sample.step_to("Acceptance")
    table = sample.page.acceptance.table
    result = opened(sample, table, 0, "Result, U = 2 u")
    values = dict(zip(result, result[2:], strict=False))
    # A label, where it was stated, its value.
    shot = number(values["Mean shot"])
    stroke, travelled = (number(values[name]) for name in ("Stroke", "Stroke travelled"))
    run, rated = (
        number(values[f"Output factor of {name}"])
        for name in ("Polypropylene, isotactic", "Polystyrene, general purpose")
    )
    by_hand = shot * stroke / travelled * rated / run
    assert number(text_of(table, 0, "Result, U = 2 u")) == pytest.approx(by_hand, rel=5e-4)
    parts = [
        number(values[f"Uncertainty by {name}"]) for name in ("scatter", "the scale", "conversion")
    ]
    assert number(values["Expanded uncertainty, U"]) == pytest.approx(2 * hypot(*parts), rel=0.02)
