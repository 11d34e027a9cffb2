from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.help.glossary_window import GlossaryWindow, topic_of
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.wording.help.first_steps import FIRST_STEPS
from evenbarrel.wording.words.names import full_name

from .person import CTRL, SHIFT, Person

TITLES = [page.title for page in PAGES]


def f1(person: Person) -> GlossaryWindow:
    """Press F1 and take the glossary up."""
    over = person.focus().window()
    person.key(Qt.Key.Key_F1)
    shown = over.findChild(GlossaryWindow)
    assert isinstance(shown, GlossaryWindow)
    person.wait(shown.isActiveWindow)
    return shown


def close(person: Person, glossary: GlossaryWindow) -> None:
    person.key(Qt.Key.Key_Escape)
    assert not glossary.isVisible()
    person.come_to_front()


def term(glossary: GlossaryWindow) -> str:
    assert glossary.entry is not None
    assert glossary.term.text() == glossary.entry.term
    return glossary.entry.term


def open_sample(person: Person) -> None:
    person.window.documents.open_sample()
    person.window.notice.hide()


def reached(person: Person, page: Any) -> list[QWidget]:
    """Every widget of a page that the keyboard can reach."""
    return [
        widget
        for widget in page.findChildren(QWidget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.window() is person.window
    ]


def test_f1_in_a_cell_opens_what_its_datum_means_and_escape_goes_back(same_desk: Person) -> None:
    open_sample(same_desk)
    same_desk.go_to("Shots")
    same_desk.page.table.setFocus()
    same_desk.key(Qt.Key.Key_Home)
    for wanted in ("Planned shot", "Resin, its name and class", "Planned shot"):
        glossary = f1(same_desk)
        assert term(glossary) == wanted
        close(same_desk, glossary)
        same_desk.key(Qt.Key.Key_Right)
    same_desk.page.form.focus_field("cushion")
    glossary = f1(same_desk)
    assert term(glossary) == "Cushion"
    assert "5 %" in glossary.text.text()
    close(same_desk, glossary)
    assert topic_of(same_desk.focus()) == "Job.cushion"


def test_f1_on_a_claim_opens_that_claim_and_on_the_board_what_binds(same_desk: Person) -> None:
    open_sample(same_desk)
    same_desk.go_to("Claims")
    same_desk.page.grid.setFocus()
    same_desk.page.grid.setCurrentIndex(same_desk.page.grid.sheet_model.index(0, 2))
    glossary = f1(same_desk)
    assert term(glossary) == "Volume against geometry"
    close(same_desk, glossary)
    same_desk.go_to("Fit")
    board = same_desk.page.board
    board.setFocus()
    for barrel, job in (("b1u1b", "j6"), ("b3u1c", "j1")):
        board.choose(barrel, job)
        fit = same_desk.session.appraisal.fit(barrel, job)  # type: ignore[union-attr]
        glossary = f1(same_desk)
        assert glossary.entry is not None
        assert f"criterion.{fit.binding}" in glossary.entry.keys
        close(same_desk, glossary)
    board.choose("b1u1b", None)
    glossary = f1(same_desk)
    assert term(glossary) == "Gate"
    close(same_desk, glossary)
    same_desk.key(Qt.Key.Key_Right)
    assert term(f1(same_desk)) == "Solid and hatched bars"


def test_words_are_searched_and_walked_by_keys(same_desk: Person) -> None:
    glossary = f1(same_desk)
    same_desk.type("suck back")
    assert term(glossary) == "Decompression"
    same_desk.key(Qt.Key.Key_A, CTRL)
    same_desk.type("zeppelin")
    assert glossary.entry is None
    assert glossary.none.isVisible()
    assert not glossary.text.isVisible()
    same_desk.key(Qt.Key.Key_A, CTRL)
    same_desk.type("claim")
    first = term(glossary)
    same_desk.key(Qt.Key.Key_Down)
    assert term(glossary) != first
    same_desk.key(Qt.Key.Key_Up)
    assert term(glossary) == first


def test_the_work_goes_on_beside_the_glossary(same_desk: Person) -> None:
    glossary = f1(same_desk)
    same_desk.come_to_front()
    same_desk.go_to("Shots")
    same_desk.key(Qt.Key.Key_J, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert len(same_desk.session.evaluation.jobs) == 1
    assert glossary.isVisible()
    assert f1(same_desk) is glossary
    assert term(glossary) == "Planned shot"


def test_f1_explains_in_a_dialog_too(same_desk: Person) -> None:
    open_sample(same_desk)
    same_desk.go_to("Shots")
    same_desk.click(same_desk.page.programme)
    dialog = QApplication.activeModalWidget()
    assert dialog is not None
    glossary = f1(same_desk)
    assert glossary.parent() is dialog
    assert term(glossary) == "Programme"
    same_desk.type("cushion")
    assert term(glossary) == "Cushion"
    same_desk.key(Qt.Key.Key_Escape)
    dialog.close()


@pytest.mark.parametrize("title", TITLES)
@pytest.mark.parametrize("filled", [True, False], ids=["sample", "empty"])
def test_whatever_the_keyboard_reaches_is_explained(
    same_desk: Person, title: str, filled: bool
) -> None:
    if filled:
        open_sample(same_desk)
    same_desk.go_to(title)
    widgets = reached(same_desk, same_desk.page)
    assert widgets
    assert [w.accessibleName() for w in widgets if topic_of(w) is None] == []


@pytest.mark.parametrize("title", TITLES)
def test_an_empty_evaluation_offers_to_begin_on_every_page(same_desk: Person, title: str) -> None:
    same_desk.go_to(title)
    steps = same_desk.window.first_steps
    assert steps.isVisible()
    key = next(page.key for page in PAGES if page.title == title)
    assert steps.words.text() == FIRST_STEPS[key]
    assert not steps.recent.isEnabled()
    same_desk.click(steps.sample)
    assert same_desk.session.evaluation.jobs
    assert not steps.isVisible()
    same_desk.window.documents.new()
    assert steps.isVisible()


def test_beginning_anew_asks_for_the_title_and_the_first_job_ends_the_offer(
    same_desk: Person,
) -> None:
    same_desk.go_to("Decision")
    same_desk.window.first_steps.begin.setFocus()
    same_desk.key(Qt.Key.Key_Space)
    assert same_desk.focus().accessibleName() == "Title"
    same_desk.type_over("Two caps")
    assert same_desk.session.evaluation.title == "Two caps"
    assert same_desk.window.first_steps.isVisible()
    same_desk.key(Qt.Key.Key_J, CTRL | SHIFT)
    assert not same_desk.window.first_steps.isVisible()
    same_desk.key(Qt.Key.Key_Z, CTRL)
    assert same_desk.window.first_steps.isVisible()


def test_a_file_opened_before_is_offered_again(same_desk: Person, tmp_path: Path) -> None:
    open_sample(same_desk)
    path = tmp_path / "sample & more.json"
    same_desk.session.save(path)
    same_desk.window.documents.new()
    recent = same_desk.window.first_steps.recent
    assert recent.isEnabled()
    menu = recent.menu()
    menu.aboutToShow.emit()
    (action,) = menu.actions()
    action.trigger()
    assert same_desk.session.path == path


def test_the_look_leads_through_five_places_and_ends_at_why_this_one(person: Person) -> None:
    person.click(person.window.first_steps.sample)
    offer, _ = person.window.notice.buttons
    person.click(offer)
    look, session = person.window.look, person.session
    told, pages_seen = [], []
    appraisal = session.appraisal
    assert appraisal is not None
    for place in range(5):
        assert look.isVisible()
        assert person.focus() is look.next
        told.append(look.title.text())
        pages_seen.append(person.window.page_list.currentRow())
        if place == 1:
            view = person.page.sheet.view
            assert view.currentIndex().data() == "20.4"
        if place == 2:
            assert person.page.panel.reference == ClaimRef("b4u1b", "volume_geometry")
        if place == 3:
            barrel, job = person.page.board.current_place()
            assert appraisal.fit(barrel, job).state == "outside"
        if place == 4:
            row = person.page.gate.currentIndex().row()
            chosen = person.page._barrels[row]
            assert appraisal.gates.states[chosen] == "no_objection"
            assert full_name(appraisal, chosen) in look.text.text()
        person.key(Qt.Key.Key_Return)
    assert not look.isVisible()
    assert pages_seen == [0, 1, 2, 3, 4]
    assert told[-1] == "5 of 5: Why this one"
    assert not session.is_modified


def test_the_look_is_left_at_once_and_offered_once(person: Person) -> None:
    person.click(person.window.first_steps.sample)
    person.click(person.window.notice.buttons[0])
    look = person.window.look
    person.key(Qt.Key.Key_Return)
    person.key(Qt.Key.Key_Escape)
    assert not look.isVisible()
    assert person.page is person.window.page
    person.window.documents.open_sample()
    assert not person.window.notice.isVisible()
    help_menu = person.window.menuBar().actions()[-1].menu()
    action = next(a for a in help_menu.actions() if "look" in a.text())  # type: ignore[union-attr]
    action.trigger()
    assert look.isVisible()
    assert look.title.text().startswith("1 of 5")
    person.click(look.leave)
    assert not look.isVisible()


def test_the_look_goes_with_its_programme(person: Person) -> None:
    person.window.take_look()
    person.window.documents.new()
    assert not person.window.look.isVisible()


def test_what_else_is_told_is_not_pushed_aside_by_the_offer(person: Person) -> None:
    person.window.notice.show_message("Something to answer first.")
    person.window.offer_look()
    assert person.window.notice.text.text() == "Something to answer first."
