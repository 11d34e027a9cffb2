"""Journeys by real keys: a person answers what the barrels wait for, each in one step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QListWidget, QSpinBox, QWidget

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.desk.forms.decision_forms import AskDialog
from evenbarrel.desk.pages.decision.pins_panel import PinDialog
from evenbarrel.model.limits import LimitEntry

from .conftest import without_name
from .person import CTRL, SHIFT, Person, rows

# What the platform without a screen says when a menu opens.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

DOWN, ENTER, SPACE = Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Space


@pytest.fixture
def person(same_desk: Person) -> Person:
    """A person before the empty program."""
    return same_desk


@pytest.fixture
def sample(person: Person) -> Person:
    """A person who has opened the sample and looks at the Decision page."""
    person.menu("File", "Open sample")
    person.go_to("Decision")
    return person


def appraisal_of(person: Person) -> Appraisal:
    assert person.session.appraisal is not None
    return person.session.appraisal


def gate(person: Person, barrel: str) -> str | None:
    return appraisal_of(person).gates.states[barrel]


def choose_barrel(person: Person, name: str) -> None:
    """Go down the gate's table by keys until the barrel of that name is chosen."""
    person.tab_to("Gate on fit")
    view = person.page.gate
    person.key(Qt.Key.Key_Home, CTRL)
    for _ in range(view.sheet_model.rowCount()):
        if view.sheet_model.sheet.rows[view.currentIndex().row()][1].text == name:
            return
        person.key(DOWN)
    raise AssertionError(f"no barrel {name}")


def go_out(person: Person, words: str) -> None:
    """Open the way out whose reason begins with these words, by keys."""
    person.tab_to("Ways out")
    view = person.page.ways.table
    texts = [row[0] for row in rows(view)]
    wanted = next(place for place, text in enumerate(texts) if text.startswith(words))
    person.key(Qt.Key.Key_Home, CTRL)
    for _ in range(wanted):
        person.key(DOWN)
    person.key(ENTER)


def to_row(person: Person, row: int) -> None:
    """Go to a row of the table that has the keyboard, by Up and Down."""
    view = person.focus()
    assert isinstance(view, QAbstractItemView)
    for _ in range(view.model().rowCount()):
        person.key(Qt.Key.Key_Up)
    for _ in range(row):
        person.key(DOWN)
    # The first row is reached by Tab, and chosen by the space bar.
    person.key(SPACE)


def press(person: Person, button: Any) -> None:
    """Tab to a button and press it by the space bar."""
    for _ in range(200):
        if person.focus() is button:
            person.key(SPACE)
            return
        person.tab()
    raise AssertionError(f"Tab never reaches {button.text()}")


def dialog_of(person: Person) -> AskDialog:
    return next(d for d in person.window.findChildren(AskDialog) if d.isVisible())


def answer(person: Person, /, **texts: str) -> None:
    """Fill the dialog that is open and press Enter; it must have closed then."""
    person.answer(**texts)
    assert not [d for d in person.window.findChildren(AskDialog) if d.isVisible()]


def test_a_rule_is_accepted_for_all_cells_of_a_barrel_in_one_step(sample: Person) -> None:
    opened = sample.session.evaluation
    assert gate(sample, "b1u1a") == "waits"
    choose_barrel(sample, "Unit 604 A")
    assert sample.page.ways.words.text().startswith("Brastivel, Unit 604 A: waits: outside by rule")
    go_out(sample, "Share of volume: outside by rule")
    rules = sample.page.rules
    assert rules.isVisible()
    assert [row[0] for row in rows(rules.table)] == ["Brastivel, Unit 604 A"] * 6
    assert rules.consequence.text().startswith(
        "All that are shown: 6 cells of 1 barrel in 6 jobs. If accepted, no gate changes. "
        "If refused, 1 gate changes: Brastivel, Unit 604 A, waits to shut"
    )
    # The stroke waits as well: both are decided in one step.
    sample.pick(rules.criterion, "all")
    sample.page.rules.criterion.activated.emit(0)
    assert "If accepted, 1 gate changes: Brastivel, Unit 604 A, waits to no objection" in (
        rules.consequence.text()
    )
    press(sample, rules.accept)
    dialog = dialog_of(sample)
    sample.qtbot.keyClick(dialog, ENTER)
    assert dialog.problem.text().startswith("Enter a name")
    answer(sample, person="P. Engineer", reason="Runs so on machine 14", role="process")
    evaluation = sample.session.evaluation
    assert len(evaluation.deviations) == len(opened.deviations) + 7
    assert {d.person for d in evaluation.deviations[-7:]} == {"P. Engineer"}
    assert gate(sample, "b1u1a") == "no_objection"
    assert {row[5] for row in rows(rules.table)} == {"accepted"}
    sample.click_tab(sample.page.tabs, "Deviations")
    told = [row for row in rows(sample.page.deviations.table) if row[5] == "P. Engineer"]
    assert [row[2:4] for row in told] == [
        ["Share of volume", "accepted"],
        ["Stroke in diameters", "accepted"],
    ]
    sample.undo()
    assert sample.session.evaluation is opened


def test_a_rule_that_is_refused_shuts_and_is_taken_back(sample: Person) -> None:
    opened = sample.session.evaluation
    choose_barrel(sample, "Unit 604 A")
    go_out(sample, "Stroke in diameters")
    press(sample, sample.page.rules.refuse)
    answer(sample, person="P. Engineer", reason="Unmelt was seen")
    assert gate(sample, "b1u1a") == "shut"
    (one,) = sample.session.evaluation.deviations[len(opened.deviations) :]
    assert (one.refused, one.criterion, one.reason) == (True, "stroke", "Unmelt was seen")
    sample.click_tab(sample.page.tabs, "Ways out")
    assert rows(sample.page.ways.table)[0][0] == (
        "Stroke in diameters: outside a rule that a person has refused to waive"
    )
    go_out(sample, "Stroke in diameters: outside a rule")
    press(sample, sample.page.rules.take_back)
    assert sample.session.evaluation.deviations == opened.deviations
    assert gate(sample, "b1u1a") == "waits"


def test_chosen_cells_alone_are_decided(sample: Person) -> None:
    before = len(sample.session.evaluation.deviations)
    choose_barrel(sample, "Unit 604 A")
    go_out(sample, "Share of volume")
    rules = sample.page.rules
    to_row(sample, 0)
    sample.key(DOWN, SHIFT)
    assert rules.consequence.text().startswith("Chosen: 2 cells of 1 barrel in 2 jobs.")
    press(sample, rules.accept)
    answer(sample, person="P. Engineer", reason="Tried")
    assert [d.job for d in sample.session.evaluation.deviations[before:]] == ["j2", "j3"]


def test_a_resins_limit_can_be_accepted_and_not_refused(sample: Person) -> None:
    rules = sample.page.rules
    sample.click_tab(sample.page.tabs, "Rules")
    sample.pick(rules.criterion, "Wear")
    rules.criterion.activated.emit(rules.criterion.currentIndex())
    assert rows(rules.table)
    assert {row[5] for row in rows(rules.table)} == {"beyond a resin's limit"}
    assert rules.accept.isEnabled()
    assert not rules.refuse.isEnabled()


def unconfirm(person: Person, keep: Sequence[int] = ()) -> None:
    """Take back what was confirmed, by keys."""
    person.click_tab(person.page.tabs, "To confirm")
    confirmed = person.page.confirm.confirmed
    person.tab_to("Limits that a named person confirmed")
    person.key(Qt.Key.Key_A, CTRL)
    assert len(rows(confirmed)) == 6
    press(person, person.page.confirm.take_back)


def test_limits_are_confirmed_together_and_taken_back_as_one_step(sample: Person) -> None:
    opened = sample.session.evaluation
    unconfirm(sample)
    panel = sample.page.confirm
    assert sample.session.evaluation.confirmed_limits == ()
    bare = sample.session.evaluation
    waiting = appraisal_of(sample).waiting_limits
    assert len(waiting) > 1
    assert panel.no_confirmed.isVisible()
    told = rows(panel.waiting)
    assert len(told) == len(waiting)
    assert all(row[3].startswith("from memory, not looked up") for row in told)
    assert told[0][4].startswith(f"{len(waiting[0].cells)} cell")
    sample.tab_to("Limits that wait for confirmation")
    sample.key(Qt.Key.Key_A, CTRL)
    assert panel.consequence.text().startswith("Confirmed: ")
    press(sample, panel.confirm)
    answer(sample, person="P. Engineer", reason="Maker's data sheet seen")
    evaluation = sample.session.evaluation
    assert len(evaluation.confirmed_limits) == len(waiting)
    assert {one.person for one in evaluation.confirmed_limits} == {"P. Engineer"}
    assert all(one.date is not None for one in evaluation.confirmed_limits)
    assert appraisal_of(sample).waiting_limits == ()
    assert {row[3] for row in rows(panel.confirmed)} == {"holds"}
    sample.undo()
    assert sample.session.evaluation is bare
    sample.undo()
    assert sample.session.evaluation is opened


def test_a_confirmation_says_when_the_limit_is_another_now(sample: Person) -> None:
    (one, *_) = sample.session.evaluation.confirmed_limits
    path = ("resins", one.resin or "", one.field)
    sample.session.put(path, one.value.replace(magnitude="0.6"), "Limit")  # type: ignore[union-attr]
    sample.click_tab(sample.page.tabs, "To confirm")
    standing = rows(sample.page.confirm.confirmed)[0][3]
    assert standing == "lapsed: the limit is now 0.6 m/s"


def test_a_limit_is_gone_to_where_it_is_changed(sample: Person) -> None:
    unconfirm(sample)
    sample.tab_to("Limits that wait for confirmation")
    to_row(sample, 0)
    press(sample, sample.page.confirm.change)
    assert sample.window.page_list.currentItem().text() == "Shots"
    limit = appraisal_of(sample).waiting_limits[0].limit
    assert sample.page.resins.resin == limit.resin


def test_a_limit_of_the_evaluation_is_gone_to_among_the_limits(sample: Person) -> None:
    limits = sample.session.evaluation.limits
    soft = LimitEntry(value=0.5, origin="from_memory")
    sample.session.put(("limits",), limits.replace(engineering_high=soft), "Limit")
    sample.click_tab(sample.page.tabs, "To confirm")
    panel = sample.page.confirm
    place = [row[1] for row in rows(panel.waiting)].index("any")
    sample.tab_to("Limits that wait for confirmation")
    to_row(sample, place)
    press(sample, panel.change)
    assert sample.page.limits.view.isVisible()
    table = sample.page.limits
    row = table.model.rows[table.view.currentIndex().row()]
    assert row.label == "Engineering resins, largest share of volume"


def pin_dialog(person: Person) -> PinDialog:
    return next(d for d in person.window.findChildren(PinDialog) if d.isVisible())


def tick(person: Person, dialog: PinDialog, barrel: str) -> None:
    """Go to a barrel in the list by keys and tick it by the space bar."""
    (listed,) = dialog.findChildren(QListWidget)
    listed.setFocus()
    person.qtbot.keyClick(listed, Qt.Key.Key_Home)
    for row in range(listed.count()):
        if listed.item(row).text().startswith(barrel):
            person.qtbot.keyClick(listed, SPACE)
            return
        person.qtbot.keyClick(listed, DOWN)
    raise AssertionError(barrel)


def test_a_programme_that_needs_two_machines_pins_its_jobs(sample: Person) -> None:
    opened = sample.session.evaluation
    choose_barrel(sample, "Unit 572 A")
    assert "shut as the only machine by 2 of 8 jobs" in sample.page.ways.words.text()
    sample.click_tab(sample.page.tabs, "Pins")
    panel = sample.page.pins
    for job in ("Valve body, two cavities", "Filter housing, two cavities"):
        sample.tab_to("Jobs and the barrels they run on")
        place = [row[0] for row in rows(panel.list.table)].index(job)
        to_row(sample, place)
        press(sample, panel.pin)
        dialog = pin_dialog(sample)
        assert without_name(dialog) == []
        tick(sample, dialog, "Brastivel, Unit 604 B")
        sample.qtbot.keyClick(dialog, ENTER)
        sample.come_to_front()
    assert [row[-1] for row in rows(panel.list.table)].count("Brastivel, Unit 604 B") == 2
    gate_of = appraisal_of(sample).gate("b2u1a")
    assert len(gate_of.jobs) == 6
    assert gate_of.state != "shut"
    # Two jobs that must never meet may run on two copies.
    sample.tab_to("Jobs and the barrels they run on")
    press(sample, panel.clear)
    assert [row[-1] for row in rows(panel.list.table)].count("any barrel") == 7
    for _ in range(3):
        sample.undo()
    assert sample.session.evaluation is opened


def test_two_jobs_that_must_never_meet_are_put_on_two_copies(sample: Person) -> None:
    sample.click_tab(sample.page.tabs, "Pins")
    panel = sample.page.pins
    for row, copy in ((1, 1), (2, 1), (2, 2)):
        panel.list.table.setFocus()
        to_row(sample, row)
        press(sample, panel.pin)
        dialog = pin_dialog(sample)
        if not dialog.chosen():
            tick(sample, dialog, "Brastivel, Unit 604 B")
        dialog.findChildren(QSpinBox)[0].setValue(copy)
        sample.qtbot.keyClick(dialog, ENTER)
        sample.come_to_front()
        if row == 2:
            expected = "waits" if copy == 1 else "no_objection"
            assert gate(sample, "b1u1b") == expected
    assert rows(panel.list.table)[2][-1] == "Brastivel, Unit 604 B, copy 2"


def test_what_is_missing_is_gone_to_where_it_is_entered(sample: Person) -> None:
    choose_barrel(sample, "Unit 586 C, on request")
    first = rows(sample.page.ways.table)[0]
    assert "not assessed, " in first[0]
    go_out(sample, first[0])
    assert sample.window.page_list.currentItem().text() == "Bids"
    assert isinstance(sample.focus(), QWidget)
    assert sample.focus().accessibleName() in ("Screw diameter", "Stroke", "Swept volume")


def test_an_unsettled_barrel_is_settled_from_its_way_out(sample: Person) -> None:
    evaluation = sample.session.evaluation
    sample.click_tab(sample.page.tabs, "Pins")
    panel = sample.page.pins
    panel.list.table.setFocus()
    to_row(sample, 1)
    # Two rows apart, chosen together.
    for row in (1, 3):
        index = panel.list.table.sheet_model.index(row, 0)
        flag = panel.list.table.selectionModel().SelectionFlag
        panel.list.table.selectionModel().select(index, flag.Select | flag.Rows)
    press(sample, panel.pin)
    tick(sample, pin_dialog(sample), "Brastivel, Unit 604 B")
    sample.qtbot.keyClick(pin_dialog(sample), ENTER)
    sample.come_to_front()
    sample.click_tab(sample.page.tabs, "Ways out")
    choose_barrel(sample, "Unit 586 B")
    go_out(sample, "The printed sizes contradict")
    assert sample.window.page_list.currentItem().text() == "Claims"
    readings = sample.page.panel.readings
    button = next(b for b in readings.buttons if b.text().startswith("Geometry: in³"))
    press(sample, button)
    barrel = next(b for _, _, b in sample.session.evaluation.barrels() if b.id == "b4u1b")
    assert barrel.settled is not None
    assert barrel.settled.reading == "in3_as_cm3"
    sample.undo()
    sample.undo()
    assert sample.session.evaluation is evaluation


def test_a_reading_is_chosen_from_a_cell_of_the_board(sample: Person) -> None:
    opened = sample.session.evaluation
    sample.go_to("Fit")
    sample.page._choose("b4u1b", "j1")
    cell = sample.page.cell
    assert cell.choose_reading.isVisible()
    cell.readings.aboutToShow.emit()
    texts = [action.text() for action in cell.readings.actions()]
    assert len(texts) == 5
    assert texts[0].startswith("Geometry: in³ was printed as cm³: ")
    cell.readings.actions()[0].trigger()
    barrel = next(b for _, _, b in sample.session.evaluation.barrels() if b.id == "b4u1b")
    assert barrel.settled is not None
    cell.readings.aboutToShow.emit()
    assert cell.readings.actions()[0].isChecked()
    sample.undo()
    assert sample.session.evaluation is opened
    sample.page._choose("b1u1a", "j1")
    assert not cell.choose_reading.isVisible()


def test_every_table_of_the_decision_is_a_model_that_qt_can_read(
    sample: Person, qtmodeltester: Any
) -> None:
    page = sample.page
    page.turn_to(page.rules)
    for view in (page.ways.table, page.rules.table, page.confirm.confirmed, page.pins.list.table):
        assert isinstance(view, QAbstractItemView)
        qtmodeltester.check(view.model())
