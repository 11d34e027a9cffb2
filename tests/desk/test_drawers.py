"""The drawers: open questions grouped by whom they are to, and workings that open further."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QAction

from evenbarrel.appraisal.references import ClaimRef, CriterionRef, ShotRef, VolumeRef
from evenbarrel.desk.drawers.questions import QuestionsDrawer
from evenbarrel.desk.drawers.two_lines import BelowRole
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.forms.decision_forms import AskDialog
from evenbarrel.desk.pages.shots.resin_panel import ResinDialog
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.navigation import add_drawers
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.wording.workings.shown import GONE, NOTHING_OPEN

from .conftest import without_name

CELL = CriterionRef("b1u1a", "j2", "utilisation")
B = ("bids", "b4", "units", "b4u1", "barrels", "b4u1b")


@pytest.fixture
def questions(qtbot: Any, sample: Session, theme: Theme) -> Iterator[QuestionsDrawer]:
    drawer = QuestionsDrawer(sample, theme)
    qtbot.addWidget(drawer)
    sample.changed.connect(drawer.show_appraisal)
    drawer.resize(300, 500)
    drawer.show()
    drawer.show_appraisal(sample.appraisal)
    yield drawer
    drawer.close()


@pytest.fixture
def working(qtbot: Any, sample: Session, theme: Theme) -> Iterator[WorkingDrawer]:
    drawer = WorkingDrawer(sample, theme)
    qtbot.addWidget(drawer)
    sample.changed.connect(drawer.show_appraisal)
    drawer.show()
    yield drawer
    drawer.close()


def groups(drawer: QuestionsDrawer) -> list[str]:
    tree = drawer.tree
    return [tree.topLevelItem(n).text(0) for n in range(tree.topLevelItemCount())]


def act(drawer: QuestionsDrawer, words: str) -> None:
    """Do one thing of the chosen question's menu."""
    menu = drawer.menu()
    assert menu is not None
    actions: list[QAction] = menu.actions()
    next(a for a in actions if a.text().replace("&", "").startswith(words)).trigger()
    menu.close()


def links(drawer: WorkingDrawer) -> list[str]:
    """Return the labels of the lines that open further, in order."""
    html = drawer.text.toHtml()
    found = []
    for part in html.split('<a href="open:')[1:]:
        inside = part.split("</a>")[0]
        found.append(inside.rsplit("<span", 1)[-1].split(">", 1)[-1].split("<")[0])
    return found


def test_questions_stand_in_groups_with_their_counts(questions: QuestionsDrawer) -> None:
    assert questions.count.text() == "43 to suppliers, 5 to us"
    assert groups(questions)[0] == "Ondrupek: 10 open"
    assert groups(questions)[-1] == "To us: 5 open"


def test_the_chosen_question_stands_in_full(questions: QuestionsDrawer) -> None:
    questions.choose("b4.swept_volume")
    assert questions.sentence.text().startswith("The quoted swept volume does not agree")
    item = questions.tree.currentItem()
    assert item.text(0) == "Swept volume"
    assert item.data(0, BelowRole).startswith("Unit 586 B")


def test_marking_asked_is_a_step_that_stays_counted_and_chosen(
    questions: QuestionsDrawer, sample: Session
) -> None:
    questions.choose("b4.swept_volume")
    act(questions, "Mark asked")
    assert [a.state for a in sample.evaluation.answers if a.question == "b4.swept_volume"] == [
        "asked"
    ]
    assert questions.tree.currentItem().text(0) == "Swept volume"
    assert "asked 2026-04-15" in questions.tree.currentItem().data(0, BelowRole)
    assert questions.count.text() == "43 to suppliers, 5 to us"


def test_accepting_as_it_is_takes_it_off_the_count_and_undo_brings_it_back(
    questions: QuestionsDrawer, sample: Session
) -> None:
    questions.choose("b4.swept_volume")
    act(questions, "Accept as it is")
    assert questions.count.text() == "42 to suppliers, 5 to us"
    sample.undo_stack.undo()
    assert questions.count.text() == "43 to suppliers, 5 to us"


def test_our_own_question_is_answered_with_a_number(
    questions: QuestionsDrawer, sample: Session
) -> None:
    questions.choose("us.fill_time")
    act(questions, "Answered")
    dialog = next(d for d in questions.findChildren(AskDialog) if d.isVisible())
    dialog.fields["0"].line.setText("1,8 s")  # type: ignore[attr-defined]
    dialog.accept()
    fill_time = edits.get(sample.evaluation, ("jobs", "j8", "fill_time"))
    assert (fill_time.magnitude, fill_time.unit, fill_time.standing) == ("1.8", "s", "confirmed")
    assert questions.count.text() == "43 to suppliers, 4 to us"


def test_enter_goes_to_the_claim_and_the_datum(
    qtbot: Any, questions: QuestionsDrawer, sample: Session
) -> None:
    questions.choose("b4.swept_volume")
    with (
        qtbot.waitSignal(sample.show_working) as opened,
        qtbot.waitSignal(questions.datum_wanted) as wanted,
    ):
        qtbot.keyClick(questions.tree, Qt.Key.Key_Return)
    assert opened.args == [ClaimRef("b4u1b", "volume_geometry")]
    assert wanted.args == [(*B, "swept_volume")]


def test_a_letter_is_for_suppliers_alone(
    qtbot: Any, questions: QuestionsDrawer, sample: Session
) -> None:
    questions.choose("b3.ring_travel")
    with qtbot.waitSignal(sample.letter_wanted) as wanted:
        qtbot.mouseClick(questions.letter, Qt.MouseButton.LeftButton)
    assert wanted.args == ["b3"]
    questions.choose("us.fill_time")
    assert not questions.letter.isEnabled()


def test_a_closed_group_stays_closed(questions: QuestionsDrawer, sample: Session) -> None:
    questions.tree.topLevelItem(0).setExpanded(False)
    sample.put(("title",), "Another", "Title")
    assert not questions.tree.topLevelItem(0).isExpanded()
    assert questions.tree.topLevelItem(1).isExpanded()


def test_nothing_open_teaches_what_to_click(working: WorkingDrawer) -> None:
    assert working.text.toPlainText() == NOTHING_OPEN
    assert not working.back.isEnabled()


def test_a_number_opens_with_formula_inputs_and_source(
    working: WorkingDrawer, sample: Session
) -> None:
    sample.show_working.emit(CELL)
    text = working.text.toPlainText()
    for words in ("Share of volume: Unit 604 A", "shot mass / output factor", "Shot mass"):
        assert words in text
    assert "common practice, no source" in text
    assert links(working) == ["Shot mass", "Output factor", "Swept volume"]


def test_an_input_opens_further_and_back_leads_back(
    qtbot: Any, working: WorkingDrawer, sample: Session
) -> None:
    sample.show_working.emit(CELL)
    working.text.anchorClicked.emit(QUrl("open:2"))
    assert working.reference == VolumeRef("b1u1a")
    assert "π / 4 × diameter² × stroke" in working.text.toPlainText()
    qtbot.mouseClick(working.back, Qt.MouseButton.LeftButton)
    assert working.reference == CELL
    assert not working.back.isEnabled()


def test_a_link_is_followed_by_keyboard(
    qtbot: Any, working: WorkingDrawer, sample: Session
) -> None:
    sample.show_working.emit(CELL)
    working.activateWindow()
    working.text.setFocus()
    qtbot.keyClick(working.text, Qt.Key.Key_Tab)
    qtbot.keyClick(working.text, Qt.Key.Key_Return)
    assert working.reference == ShotRef("j2")


def test_a_link_that_is_none_is_left_alone(working: WorkingDrawer, sample: Session) -> None:
    sample.show_working.emit(CELL)
    for address in ("open:99", "datum:99", "file:///etc/hosts", "open:-1"):
        working.text.anchorClicked.emit(QUrl(address))
    assert working.reference == CELL


def test_the_working_follows_a_change(working: WorkingDrawer, sample: Session) -> None:
    sample.show_working.emit(VolumeRef("b1u1a"))
    before = working.text.toPlainText()
    path = ("bids", "b1", "units", "b1u1", "barrels", "b1u1a", "screw_diameter")
    diameter = edits.get(sample.evaluation, path)
    sample.put(path, diameter.replace(magnitude="41"), "Screw diameter")
    assert working.text.toPlainText() != before
    assert "41 mm" in working.text.toPlainText()


def test_a_working_of_something_removed_says_so(working: WorkingDrawer, sample: Session) -> None:
    sample.show_working.emit(VolumeRef("b4u1b"))
    sample.edit("Remove", edits.remove(sample.evaluation, B))
    assert working.text.toPlainText() == GONE
    sample.undo_stack.undo()
    assert "Swept volume" in working.text.toPlainText()


def test_names_with_marks_of_html_are_shown_as_typed(
    working: WorkingDrawer, sample: Session
) -> None:
    sample.put(("jobs", "j2", "name"), "<b>lid</b> & cap", "Name")
    sample.show_working.emit(CELL)
    assert "<b>lid</b> & cap" in working.text.toPlainText()


def test_the_window_takes_a_person_from_a_question_to_the_field(
    qtbot: Any, make_window: Callable[..., MainWindow], session: Session, theme: Theme
) -> None:
    window = make_window()
    add_drawers(window, session, theme)
    session.open_sample()
    (drawer,) = window.findChildren(QuestionsDrawer)
    drawer.choose("b4.swept_volume")
    qtbot.keyClick(drawer.tree, Qt.Key.Key_Return)
    assert window.page_list.currentItem().text() == "Bids"
    field = window.page.forms[type(edits.get(session.evaluation, B))].fields["swept_volume"]
    qtbot.waitUntil(field.line.hasFocus)
    assert field.line.text() == "20.4"
    (working,) = window.findChildren(WorkingDrawer)
    assert working.reference == ClaimRef("b4u1b", "volume_geometry")
    drawer.choose("us.fill_time")
    qtbot.keyClick(drawer.tree, Qt.Key.Key_Return)
    assert window.page_list.currentItem().text() == "Shots"
    assert session.selection.job == "j8"


def test_a_page_made_later_is_tied_as_well(
    qtbot: Any, make_window: Callable[..., MainWindow], session: Session, theme: Theme
) -> None:
    window = make_window()
    add_drawers(window, session, theme)
    session.open_sample()
    window.go_to(2)
    window.page.choose(ClaimRef("b4u1b", "volume_geometry"))
    qtbot.mouseClick(window.page.panel.go, Qt.MouseButton.LeftButton)
    assert window.page_list.currentItem().text() == "Bids"


def test_everything_the_keyboard_reaches_has_a_name(
    questions: QuestionsDrawer, working: WorkingDrawer
) -> None:
    assert without_name(questions) == []
    assert without_name(working) == []


def test_an_input_of_a_working_leads_to_the_field_it_is_entered_in(
    qtbot: Any, make_window: Callable[..., MainWindow], session: Session, theme: Theme
) -> None:
    window = make_window()
    add_drawers(window, session, theme)
    session.open_sample()
    (drawer,) = window.findChildren(WorkingDrawer)
    session.show_working.emit(VolumeRef("b4u1b"))
    window.activateWindow()
    drawer.text.setFocus()
    qtbot.keyClick(drawer.text, Qt.Key.Key_Tab)
    qtbot.keyClick(drawer.text, Qt.Key.Key_Return)
    barrel = window.page.forms[type(edits.get(session.evaluation, B))]
    qtbot.waitUntil(barrel.fields["screw_diameter"].line.hasFocus)

    session.show_working.emit(CriterionRef("b1u1b", "j6", "residence"))
    assert "5 % of the shot stroke, at least 3 mm · enter" in drawer.text.toPlainText()
    drawer.datum_wanted.emit(("jobs", "j6", "cushion"))
    assert window.page_list.currentItem().text() == "Shots"
    qtbot.waitUntil(window.page.form.fields["cushion"].line.hasFocus)


def test_a_datum_of_a_resin_is_found_among_all_its_data(
    qtbot: Any, make_window: Callable[..., MainWindow], session: Session, theme: Theme
) -> None:
    window = make_window()
    add_drawers(window, session, theme)
    session.open_sample()
    (drawer,) = window.findChildren(WorkingDrawer)
    drawer.datum_wanted.emit(("resins", "pc", "output_factors", "own"))
    (dialog,) = window.findChildren(ResinDialog)
    assert dialog.windowTitle() == session.evaluation.resin("pc").name
    qtbot.waitUntil(dialog.factors.fields["own"].line.hasFocus)
    dialog.close()
