from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from evenbarrel.desk.pages.page import PAGES
from evenbarrel.desk.window.glossary_window import GlossaryWindow, topic_of

from .person import CTRL, Person

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


def test_f1_in_a_cell_opens_what_its_datum_means_and_escape_goes_back(person: Person) -> None:
    open_sample(person)
    person.go_to("Shots")
    person.page.table.setFocus()
    person.key(Qt.Key.Key_Home)
    for wanted in ("Planned shot", "Resin, its name and class", "Planned shot"):
        glossary = f1(person)
        assert term(glossary) == wanted
        close(person, glossary)
        person.key(Qt.Key.Key_Right)
    person.page.form.focus_field("cushion")
    glossary = f1(person)
    assert term(glossary) == "Cushion"
    assert "5 %" in glossary.text.text()
    close(person, glossary)
    assert topic_of(person.focus()) == "Job.cushion"


def test_f1_on_a_claim_opens_that_claim_and_on_the_board_what_binds(person: Person) -> None:
    open_sample(person)
    person.go_to("Claims")
    person.page.grid.setFocus()
    person.page.grid.setCurrentIndex(person.page.grid.sheet_model.index(0, 2))
    glossary = f1(person)
    assert term(glossary) == "Volume against geometry"
    close(person, glossary)
    person.go_to("Fit")
    board = person.page.board
    board.setFocus()
    for barrel, job in (("b1u1b", "j6"), ("b3u1c", "j1")):
        board.choose(barrel, job)
        fit = person.session.appraisal.fit(barrel, job)  # type: ignore[union-attr]
        glossary = f1(person)
        assert glossary.entry is not None
        assert f"criterion.{fit.binding}" in glossary.entry.keys
        close(person, glossary)
    board.choose("b1u1b", None)
    glossary = f1(person)
    assert term(glossary) == "Gate"
    close(person, glossary)
    person.key(Qt.Key.Key_Right)
    assert term(f1(person)) == "Solid and hatched bars"


def test_words_are_searched_and_walked_by_keys(person: Person) -> None:
    glossary = f1(person)
    person.type("suck back")
    assert term(glossary) == "Decompression"
    person.key(Qt.Key.Key_A, CTRL)
    person.type("zeppelin")
    assert glossary.entry is None
    assert glossary.none.isVisible()
    assert not glossary.text.isVisible()
    person.key(Qt.Key.Key_A, CTRL)
    person.type("claim")
    first = term(glossary)
    person.key(Qt.Key.Key_Down)
    assert term(glossary) != first
    person.key(Qt.Key.Key_Up)
    assert term(glossary) == first


def test_the_work_goes_on_beside_the_glossary(person: Person) -> None:
    glossary = f1(person)
    person.come_to_front()
    person.go_to("Shots")
    person.key(Qt.Key.Key_J, CTRL | Qt.KeyboardModifier.ShiftModifier)
    assert len(person.session.evaluation.jobs) == 1
    assert glossary.isVisible()
    assert f1(person) is glossary
    assert term(glossary) == "Planned shot"


def test_f1_explains_in_a_dialog_too(person: Person) -> None:
    open_sample(person)
    person.go_to("Shots")
    person.click(person.page.programme)
    dialog = QApplication.activeModalWidget()
    assert dialog is not None
    glossary = f1(person)
    assert glossary.parent() is dialog
    assert term(glossary) == "Programme"
    person.type("cushion")
    assert term(glossary) == "Cushion"
    person.key(Qt.Key.Key_Escape)
    dialog.close()


@pytest.mark.parametrize("title", TITLES)
@pytest.mark.parametrize("filled", [True, False], ids=["sample", "empty"])
def test_whatever_the_keyboard_reaches_is_explained(
    person: Person, title: str, filled: bool
) -> None:
    if filled:
        open_sample(person)
    person.go_to(title)
    widgets = reached(person, person.page)
    assert widgets
    assert [w.accessibleName() for w in widgets if topic_of(w) is None] == []
