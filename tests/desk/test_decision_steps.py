"""The steps of the Decision page, by real keys: from offers to a recorded, signed proposal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from evenbarrel.appraisal.references import RuleRef
from evenbarrel.decision.decide import Decision
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.pages.decision.choosing.proposal_panel import ProposalDialog
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window import background
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.states.digest import digest
from evenbarrel.wording.sentences.deciding import steps

from .conftest import without_name
from .person import CTRL, Person

PATIENCE_MS = 30_000
NONE = Qt.KeyboardModifier.NoModifier
BRASTIVEL, TOO_LARGE = "b1u1b", "b3u1c"
STEPS = (
    "Gate",
    "Basis",
    "Offers",
    "Cost",
    "Cover",
    "Order",
    "Proposal",
    "Flips",
    "Ask",
    "Sign-offs",
    "Acceptance",
    "Exports",
)


@pytest.fixture
def person(same_desk: Person) -> Person:
    """A person before the empty program."""
    return same_desk


@pytest.fixture
def sample(person: Person, unsigned: Callable[[Evaluation], Evaluation]) -> Person:
    """A person before the Decision page of the sample, nothing proposed or signed."""
    person.session.open_sample()
    person.session.edit("Begin", unsigned(person.session.evaluation))
    person.session.undo_stack.clear()
    person.go_to("Decision")
    return person


def texts(table: SheetView) -> list[list[str]]:
    return [[cell.text for cell in row] for row in table.sheet_model.sheet.rows]


def working(sample: Person) -> WorkingDrawer:
    drawer = sample.window.findChild(WorkingDrawer)
    assert isinstance(drawer, WorkingDrawer)
    return drawer


def row_of(table: SheetView, barrel: str) -> list[str]:
    (row,) = [row for row in texts(table) if barrel in row]
    return row


def cell(table: SheetView, barrel: str, heading: str) -> Any:
    titles = [one.title for one in table.sheet_model.sheet.headings]
    rows = [barrel in row for row in texts(table)]
    return table.sheet_model.index(rows.index(True), titles.index(heading))


def found(sample: Person) -> Any:
    """Turn to Cover and wait for its sets."""
    sample.step_to("Cover")
    sample.qtbot.waitUntil(lambda: bool(sample.page.cover.covers), timeout=PATIENCE_MS)
    return sample.page.cover


def test_from_offers_to_a_signed_proposal_and_back(sample: Person) -> None:
    session, page = sample.session, sample.page
    before = session.evaluation
    assert page.proposed.text() == steps.NO_PROPOSAL
    assert "never on one machine" in page.safety.text()

    sample.step_to("Offers")
    offers = page.offers.table
    assert row_of(offers, "Unit 604 B")[2:4] == ["nothing", "206\u202f300"]
    assert row_of(offers, "Model 18 1.75")[2] == "documentation"
    sample.click_cell(offers, cell(offers, "Model 18 1.75", "Price"))
    assert "USD 168" in working(sample).text.toPlainText()

    sample.step_to("Cost")
    assert row_of(page.costs.step.table, "Unit 604 B")[5].startswith("587\u202f5")
    cover = found(sample)
    assert texts(cover.sets.table)[0][0] == "nothing (today's plant)"
    assert texts(cover.sets.table)[-1][3] == "no objection"

    sample.step_to("Order")
    order = page.order.order.table
    assert texts(order)[1][:3] == ["1", "Brastivel", "Unit 604 B"]
    sample.click_cell(order, cell(order, "Unit 604 B", "Barrel"))
    sample.click(page.order.propose)
    sample.answer(reason="Nothing stands against it", person="B. Buyer")
    proposal = session.evaluation.proposal
    assert proposal is not None
    assert proposal.barrels == (BRASTIVEL,)
    assert {one.job for one in proposal.jobs} == {job.id for job in before.jobs}
    assert (proposal.reason, proposal.person) == ("Nothing stands against it", "B. Buyer")
    assert digest(session.evaluation) != digest(before)
    assert "Proposed by B. Buyer" in page.proposed.text()
    assert "Its gate: no objection" in page.proposed.text()

    sample.step_to("Sign-offs")
    sample.click(page.sign)
    sample.answer(role="purchasing", person="B. Buyer", statement="Agreed")
    assert texts(page.sign_offs.table)[0][0] == "holds"
    sample.step_to("Proposal")
    sample.click(page.proposal.withdraw)
    assert session.evaluation.proposal is None
    sample.step_to("Sign-offs")
    assert texts(page.sign_offs.table)[0][0].startswith("stale")
    for _ in range(3):
        session.undo_stack.undo()
    assert session.evaluation == before
    assert page.proposed.text() == steps.NO_PROPOSAL


def test_a_set_is_proposed_with_who_runs_what(sample: Person) -> None:
    cover = found(sample)
    chosen = cover.cover()
    sample.click(cover.propose)
    sample.answer(reason="Runs every job", person="B. Buyer")
    proposal = sample.session.evaluation.proposal
    assert proposal is not None
    given = {(one.barrel, one.job) for one in proposal.jobs}
    assert given == {(run.barrel, run.job) for run in chosen.runs}
    assert sample.session.decision is not None
    assert sample.session.decision.proposal is not None
    assert sample.session.decision.proposal.gate.state == "no_objection"
    assert sample.session.undo_stack.count() == 1

    def asked(button: QPushButton) -> list[str]:
        sample.click(button)
        dialog = next(d for d in sample.window.findChildren(ProposalDialog) if d.isVisible())
        begun = [dialog.fields[name].line.text() for name in ("reason", "person")]
        dialog.reject()
        return begun

    # Why some machines were proposed is no reason for others.
    assert asked(sample.page.proposal.edit) == ["Runs every job", "B. Buyer"]
    assert asked(found(sample).propose_other) == ["", "B. Buyer"]


def test_the_set_that_a_person_looks_at_is_looked_at_again_after_an_edit(sample: Person) -> None:
    cover = found(sample)
    first, other = cover.sets.table.currentIndex().row(), len(cover.covers) - 1
    assert first != other
    table = cover.sets.table
    sample.click_cell(table, table.sheet_model.index(other, 0))
    machines = cover.cover().machines
    sample.session.put(("cost", "horizon_years"), 9, "Horizon")
    assert cover.covers == ()
    assert found(sample).cover().machines == machines
    sample.undo()
    assert found(sample).cover().machines == machines


def test_rules_are_filtered_again_by_what_was_gone_and_came_back(sample: Person) -> None:
    sample.page.turn_to(sample.page.rules)
    rules, session = sample.page.rules, sample.session
    sample.pick(rules.barrel, "Velthornax, Unit 586 A")
    shown = rules.cells()
    rest = tuple(bid for bid in session.evaluation.bids if bid.supplier != "Velthornax")
    session.edit("Without it", session.evaluation.replace(bids=rest))
    assert rules.barrel.currentText() == "all"
    sample.undo()
    assert rules.barrel.currentText() == "Velthornax, Unit 586 A"
    assert rules.cells() == shown


def test_the_runner_up_of_a_set_is_proposed_too_and_says_what_it_costs(sample: Person) -> None:
    cover = found(sample)
    other = cover.cover().runner_up
    sample.click(cover.propose_other)
    dialog = next(d for d in sample.window.findChildren(ProposalDialog) if d.isVisible())
    # The plant's own machine is kept: the price is that of the one bought.
    assert "Price EUR 206\u202f300, cost over life EUR" in dialog.consequence.text()
    assert "Not stated: batches per year" in dialog.consequence.text()
    sample.answer(reason="Every part of its cost is stated", person="B. Buyer")
    proposal = sample.session.evaluation.proposal
    assert {(one.barrel, one.job) for one in proposal.jobs} == {
        (run.barrel, run.job) for run in other.runs
    }
    open_points = sample.page.proposal.open.table
    assert [row[1] for row in texts(open_points)][-1] == "Batches per year"
    sample.click_cell(open_points, open_points.sheet_model.index(0, 1))
    assert sample.window.page_list.currentRow() == 0, "it leads to where the datum is entered"


def test_what_is_shut_says_so_and_leads_to_what_answers_it(sample: Person) -> None:
    sample.step_to("Order")
    order = sample.page.order.order.table
    sample.click_cell(order, cell(order, "Model 18 2.00", "Barrel"))
    sample.click(sample.page.order.propose)
    dialog = next(d for d in sample.window.findChildren(ProposalDialog) if d.isVisible())
    assert "Its gate: shut" in dialog.consequence.text()
    gates = sample.session.appraisal.gates
    shut = next(job for job in dialog.jobs if gates.cell(TOO_LARGE, job) == "shut")
    sample.pick(dialog.jobs[shut], "Quillomar, Model 18 2.00")
    assert "accepted deviation" in dialog.consequence.text()
    sample.qtbot.keyClick(dialog, Qt.Key.Key_Return)
    assert dialog.isVisible(), "without a reason and a name nothing is taken"
    sample.answer(reason="To see what it takes", person="B. Buyer")
    assert "Its gate: shut" in sample.page.proposed.text()
    assert texts(sample.page.proposal.ways.table)
    answered_at = sample.page.proposal.ways.table.sheet_model.sheet.row_references[0]
    assert isinstance(answered_at, RuleRef)
    sample.click(sample.page.proposal.go)
    assert sample.page.rules.isVisible()


def test_a_price_that_goes_is_missing_first_and_a_question(sample: Person) -> None:
    session = sample.session
    sample.step_to("Offers")
    for name in ("b1u1", "b3u1"):
        bid = "b1" if name == "b1u1" else "b3"
        session.put(("bids", bid, "units", name, "price"), None, "No price")
    row = row_of(sample.page.offers.table, "Unit 604 B")
    assert row[2:5] == ["machine price", "–", "–"]
    assert {"b1.price", "b3.price"} <= {question.id for question in session.appraisal.questions}
    sample.step_to("Cost")
    assert row_of(sample.page.costs.step.table, "Unit 604 B")[6] == "–"
    sample.step_to("Order")
    # Whoever states no price never leads one of its like that does.
    assert row_of(sample.page.order.order.table, "Unit 604 B")[6] == "–"
    sample.step_to("Offers")
    sample.click_cell(
        sample.page.offers.table, cell(sample.page.offers.table, "Unit 604 B", "Not stated")
    )
    assert sample.focus().accessibleName().startswith("Machine price")


def test_another_currency_without_a_rate_has_no_price_until_one_is_stated(sample: Person) -> None:
    session, page = sample.session, sample.page
    sample.step_to("Basis")
    sample.click_tab(page.basis.tabs, "Exchange")
    rates = page.basis.rates
    sample.click_cell(rates.list.table, rates.list.table.sheet_model.index(0, 0))
    sample.click(rates.remove)
    sample.step_to("Offers")
    assert row_of(page.offers.table, "Model 18 1.75")[2].startswith("an exchange rate for USD")
    assert row_of(page.offers.table, "Model 18 1.75")[3] == "–"
    assert "us.exchange_rate.USD" in {question.id for question in session.appraisal.questions}

    sample.step_to("Basis")
    sample.click(rates.add)
    sample.answer(currency="usd", rate="0,92")
    (rate,) = session.evaluation.cost.exchange_rates
    assert (rate.currency, rate.rate) == ("USD", pytest.approx(0.92))
    sample.step_to("Offers")
    assert row_of(page.offers.table, "Model 18 1.75")[3] == "189\u202f520 + ?"
    session.undo_stack.undo()
    assert row_of(page.offers.table, "Model 18 1.75")[3] == "–"


def test_what_can_be_no_basis_is_told_and_stays_typed(sample: Person) -> None:
    session, form = sample.session, sample.page.basis.form
    sample.step_to("Basis")
    before = session.evaluation
    for name, text in (("discount_rate", "-100 %"), ("horizon_years", "0"), ("oee", "120 %")):
        line = form.fields[name].line
        line.setFocus()
        sample.type_over(text)
        assert session.evaluation == before
        assert line.text() == text
    assert len(sample.page.refused()) == 3
    form.fields["discount_rate"].line.setFocus()
    sample.type_over("-1 %")
    assert session.evaluation.cost.discount_rate == pytest.approx(-0.01)
    form.fields["horizon_years"].line.setFocus()
    for key, held in ((Qt.Key.Key_A, CTRL), (Qt.Key.Key_Delete, NONE), (Qt.Key.Key_Tab, NONE)):
        sample.key(key, held)
    sample.step_to("Cost")
    assert {row[5] for row in texts(sample.page.costs.step.table)} == {"–"}
    assert sample.page.costs.empty.isVisible()
    session.undo_stack.undo()
    session.undo_stack.undo()
    assert session.evaluation == before


class Held:
    """Holds every search for sets until the test lets it go on."""

    def __init__(self) -> None:
        self.open, self.begun = Event(), 0

    def find(self, decision: Decision, report: Callable[[float], None]) -> Any:
        self.begun += 1
        while not self.open.wait(0.01):
            report(0.25)
        return REAL(decision, report)


REAL = Decision.find_cover


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch) -> Iterator[Held]:
    held = Held()
    monkeypatch.setattr(Decision, "find_cover", lambda self, report: held.find(self, report))
    yield held
    held.open.set()


def test_an_edit_during_the_search_drops_what_it_finds(sample: Person, held: Held) -> None:
    session, cover = sample.session, sample.page.cover
    sample.step_to("Cover")
    assert cover.words.text() == steps.FINDING
    sample.qtbot.waitUntil(lambda: held.begun == 1)
    session.put(("cost", "horizon_years"), 5, "Horizon")
    assert cover.covers == ()
    sample.qtbot.waitUntil(lambda: held.begun == 2)
    held.open.set()
    sample.qtbot.waitUntil(lambda: bool(cover.covers), timeout=PATIENCE_MS)
    assert session.decision is not None
    assert cover.covers == session.decision.cover
    session.undo_stack.undo()
    assert cover.covers == ()
    assert texts(cover.sets.table) == []


def test_the_search_is_stopped_and_taken_up_again(sample: Person, held: Held) -> None:
    cover = sample.page.cover
    sample.step_to("Cover")
    sample.qtbot.waitUntil(lambda: held.begun == 1)
    sample.click(cover.stop)
    assert cover.words.text() == steps.STOPPED
    assert cover.covers == ()
    held.open.set()
    sample.click(cover.stop)
    sample.qtbot.waitUntil(lambda: bool(cover.covers), timeout=PATIENCE_MS)
    assert not cover.stop.isVisible()


def test_costs_that_take_long_are_computed_beside_the_window(
    sample: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(background, "COSTED_AT_ONCE", 0)
    may_go_on, costed = Event(), background._costed

    def held_up(decision: Decision, report: background.Report) -> Decision:
        may_go_on.wait(PATIENCE_MS / 1000)
        return costed(decision, report)

    monkeypatch.setattr(background, "_costed", held_up)
    session, page = sample.session, sample.page
    sample.step_to("Cost")
    assert page.costs.step.empty.text() == steps.COSTING
    session.put(("cost", "horizon_years"), 5, "Horizon")
    assert texts(page.costs.step.table) == []
    may_go_on.set()
    sample.qtbot.waitUntil(lambda: bool(texts(page.costs.step.table)), timeout=PATIENCE_MS)
    assert "Cost over 5 years" in page.costs.step.notes.text()
    sample.step_to("Order")
    assert texts(page.order.order.table)[0][0] == "1"
    may_go_on.clear()
    session.undo_stack.undo()
    assert texts(page.order.order.table) == []
    may_go_on.set()
    sample.qtbot.waitUntil(lambda: bool(texts(page.order.order.table)), timeout=PATIENCE_MS)


def test_every_step_is_reached_by_keys_and_names_what_it_holds(sample: Person) -> None:
    sample.tab_to("Steps of the decision")
    sample.key(Qt.Key.Key_Home)
    seen = []
    for _ in STEPS:
        seen.append(sample.page.steps.list.currentItem().text())
        sample.key(Qt.Key.Key_Down)
    assert tuple(seen) == STEPS
    assert without_name(sample.page) == []


def test_an_empty_evaluation_teaches_what_comes_first(person: Person) -> None:
    person.go_to("Decision")
    for step in STEPS:
        person.step_to(step)
    assert person.page.proposal.machines.empty.text() == steps.NOTHING_TO_PROPOSE
    assert person.page.cover.words.text() == steps.NOTHING_TO_COVER
    assert person.page.offers.empty.text()
    assert not person.page.proposal.propose.isEnabled()


def test_another_evaluation_is_looked_at_from_the_beginning(sample: Person) -> None:
    sample.page.turn_to(sample.page.rules)
    sample.pick(sample.page.rules.barrel, "Velthornax, Unit 586 A")
    cover = found(sample)
    first = cover.sets.table.currentIndex().row()
    table = cover.sets.table
    sample.click_cell(table, table.sheet_model.index(len(cover.covers) - 1, 0))
    assert sample.window.documents.open_sample()
    assert found(sample).sets.table.currentIndex().row() == first
    sample.page.turn_to(sample.page.rules)
    assert sample.page.rules.barrel.currentText() == "all"
