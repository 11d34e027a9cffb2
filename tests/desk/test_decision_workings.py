"""Every number of the Decision page's steps opens its working: cell, drawer and decision agree."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import QUrl

from evenbarrel.decision.decide import Decision, decide
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.tables.sheet_table import SheetView

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
    return drawer_of(sample).text.toPlainText().split("\n")


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
    copies = decision.cost[line.barrel].copies
    assert line.filled[part] == pytest.approx(stated.counted * copies)
