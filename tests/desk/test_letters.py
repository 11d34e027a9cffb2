"""Letters at the desk: opened by keys, edited, kept, copied, saved, marked as asked in one step."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton

from evenbarrel.desk.drawers.questions import QuestionsDrawer
from evenbarrel.desk.letters.letter_window import LetterWindow
from evenbarrel.model import datum_path as edits
from evenbarrel.wording.sentences.typed import typed_lines

from .conftest import TODAY, quantity, without_name
from .person import CTRL, SHIFT, Person

ONDRUPEK, YARVINDEL = "b2", "b5"
OPEN_TO_ONDRUPEK = 10


@pytest.fixture
def desk(same_desk: Person) -> Person:
    """A person before the sample programme, on a day of the tests."""
    same_desk.session.today = lambda: TODAY
    same_desk.session.open_sample()
    return same_desk


def letter_of(desk: Person) -> LetterWindow:
    """Return the one letter that is open, in front of the person."""
    (window,) = [w for w in desk.window.findChildren(LetterWindow) if w.isVisible()]
    window.activateWindow()
    desk.wait(window.isActiveWindow)
    return window


def drawer_of(desk: Person) -> QuestionsDrawer:
    (drawer,) = desk.window.findChildren(QuestionsDrawer)
    return drawer


def open_from_bids(desk: Person, bid: str) -> LetterWindow:
    desk.come_to_front()
    desk.go_to("Bids")
    desk.page.choose(("bids", bid))
    desk.page.tree.setFocus()
    desk.key(Qt.Key.Key_L, CTRL | SHIFT)
    return letter_of(desk)


def press(desk: Person, button: QPushButton) -> None:
    button.setFocus()
    desk.key(Qt.Key.Key_Space)


def states(desk: Person, bid: str) -> list[str]:
    appraisal = desk.session.appraisal
    assert appraisal is not None
    return [question.state for question in appraisal.questions if question.bid == bid]


def test_a_letter_opens_from_the_drawer_and_from_the_bids_page_by_keys(desk: Person) -> None:
    drawer = drawer_of(desk)
    drawer.choose("b2.ring_travel")
    press(desk, drawer.letter)
    window = letter_of(desk)
    assert window.windowTitle() == "Letter to Ondrupek"
    # The same letter, not another one.
    assert open_from_bids(desk, ONDRUPEK) is window
    assert window.words.hasFocus()
    words = window.words.toPlainText()
    assert words.startswith("Dear Sir or Madam,")
    assert "1.05 g/cm³ rated, 0.91 g/cm³ expected" in words
    assert "Please state" not in words
    sheet = window.table.sheet_model.sheet
    assert [heading.title for heading in sheet.headings[2:4]] == ["Unit 572 A", "Unit 572 B"]
    assert "Closing travel of the check ring" in [row[0].text for row in sheet.rows]
    desk.key(Qt.Key.Key_Escape)


def test_what_is_written_is_kept_when_the_letter_closes_and_when_questions_change(
    desk: Person,
) -> None:
    window = open_from_bids(desk, ONDRUPEK)
    window.words.selectAll()
    desk.type("Dear Ms Corvane,")
    desk.key(Qt.Key.Key_Escape)
    assert not desk.window.findChildren(LetterWindow) or not window.isVisible()
    window = open_from_bids(desk, ONDRUPEK)
    assert window.words.toPlainText() == "Dear Ms Corvane,"
    assert not window.changed.isVisible()
    path = ("bids", "b2", "units", "b2u1", "barrels", "b2u1a", "rated_shot_mass")
    mass = edits.get(desk.session.evaluation, path)
    desk.session.put(path, mass.replace(magnitude="200"), "Mass")
    assert window.words.toPlainText() == "Dear Ms Corvane,"
    assert window.changed.isVisible()
    press(desk, window.anew)
    assert window.words.toPlainText().startswith("Dear Sir or Madam,")
    assert not window.changed.isVisible()
    # What was written is not lost even so.
    assert window.words.hasFocus()
    desk.key(Qt.Key.Key_Z, CTRL)
    assert window.words.toPlainText() == "Dear Ms Corvane,"
    desk.key(Qt.Key.Key_Escape)


def test_a_letter_that_was_copied_can_be_marked_as_asked_in_one_step(desk: Person) -> None:
    window = open_from_bids(desk, ONDRUPEK)
    before = desk.session.evaluation
    window.person.line.setFocus()  # type: ignore[attr-defined]
    desk.type_over("I. Vostrel")
    assert isinstance(desk.focus(), QLineEdit)
    press(desk, window.copy)
    mail = QGuiApplication.clipboard().text()
    assert "To Ondrupek" in mail
    assert "15 April 2026" in mail
    assert "Please answer by 29 April 2026." in mail
    assert mail.rstrip().splitlines()[-3] == "I. Vostrel"
    assert window.notice.text.text().endswith(f"Mark its {OPEN_TO_ONDRUPEK} questions as asked?")
    press(desk, window.notice.buttons[0])
    assert states(desk, ONDRUPEK) == ["asked"] * OPEN_TO_ONDRUPEK
    answer = desk.session.evaluation.answers[-1]
    assert (answer.person, answer.date) == ("I. Vostrel", TODAY)
    drawer = drawer_of(desk)
    titles = [drawer.tree.topLevelItem(n).text(0) for n in range(drawer.tree.topLevelItemCount())]
    assert f"Ondrupek: {OPEN_TO_ONDRUPEK} asked" in titles
    # A later letter asks only what is new, where that is wanted.
    window.only_new.setFocus()
    desk.key(Qt.Key.Key_Space)
    assert "We have no open questions about it." in window.words.toPlainText()
    assert not window.mark.isVisible()
    desk.session.undo_stack.undo()
    assert desk.session.evaluation == before
    desk.key(Qt.Key.Key_Escape)


@pytest.mark.parametrize(
    ("ending", "begins"), [(".pdf", b"%PDF"), (".txt", b"Capital"), (".xlsx", b"PK")]
)
def test_a_letter_and_its_data_sheet_are_saved_as_edited(
    desk: Person, tmp_path: Path, ending: str, begins: bytes
) -> None:
    window = open_from_bids(desk, YARVINDEL)
    window.words.moveCursor(window.words.textCursor().MoveOperation.End)
    desk.type(" Or else?")
    button = {".pdf": window.as_pdf, ".txt": window.as_text, ".xlsx": window.sheet}[ending]
    desk.files.to_write = tmp_path / f"out{ending}"
    with desk.qtbot.waitSignal(window.exporter.job.done):
        press(desk, button)
    data = desk.files.to_write.read_bytes()
    assert data.startswith(begins)
    assert ending != ".txt" or " Or else?" in data.decode("utf-8")
    assert window.notice.text.text() == f"out{ending} is written. Mark its 7 questions as asked?"
    desk.key(Qt.Key.Key_Escape)


def test_our_own_machines_are_not_written_to(desk: Person) -> None:
    desk.go_to("Bids")
    desk.page.choose(("bids", "b6"))
    assert not desk.page.letter.isEnabled()
    desk.key(Qt.Key.Key_L, CTRL | SHIFT)
    assert not desk.window.findChildren(LetterWindow)


def test_another_document_closes_letters_and_forgets_them(desk: Person) -> None:
    window = open_from_bids(desk, YARVINDEL)
    desk.type("Kept no longer. ")
    desk.session.open_sample()
    QApplication.processEvents()
    assert not [w for w in desk.window.findChildren(LetterWindow) if w.isVisible()]
    window = open_from_bids(desk, YARVINDEL)
    assert "Kept no longer" not in window.words.toPlainText()
    desk.key(Qt.Key.Key_Escape)


def test_what_is_written_is_told_and_comes_back_until_it_was_sent(desk: Person) -> None:
    window = open_from_bids(desk, YARVINDEL)
    desk.type("To be kept. ")
    (typed,) = desk.window.typed.not_taken()
    assert typed_lines(desk.session.evaluation, [typed])[0].startswith(
        "Letter to Yarvindel: “To be"
    )
    desk.key(Qt.Key.Key_Escape)
    # As after a cut-off.
    desk.session._swap_document(desk.session.evaluation)
    assert desk.window.typed.not_taken() == ()
    desk.session._swap_document(desk.session.evaluation, (typed,))
    desk.window._open_typed(typed)
    window = letter_of(desk)
    assert window.words.toPlainText().startswith("To be kept. Dear")
    assert not window.changed.isVisible()
    assert desk.window.typed.not_taken() == (typed,)
    press(desk, window.copy)
    assert desk.window.typed.not_taken() == ()
    desk.key(Qt.Key.Key_Escape)


def test_a_letter_of_a_bid_that_is_taken_away_closes_and_comes_back_as_written(
    desk: Person,
) -> None:
    open_from_bids(desk, YARVINDEL)
    desk.type("Hello. ")
    bids = tuple(b for b in desk.session.evaluation.bids if b.id != YARVINDEL)
    desk.session.edit("Remove", desk.session.evaluation.replace(bids=bids, answers=()))
    QApplication.processEvents()
    assert not [w for w in desk.window.findChildren(LetterWindow) if w.isVisible()]
    desk.session.undo_stack.undo()
    assert open_from_bids(desk, YARVINDEL).words.toPlainText().startswith("Hello. Dear")
    desk.key(Qt.Key.Key_Escape)


def test_several_questions_are_marked_at_once_by_keys(desk: Person) -> None:
    drawer = drawer_of(desk)
    drawer.person.setFocus()
    desk.type_over("M. Ardell")
    drawer.choose("b2.ring_travel")
    drawer.tree.setFocus()
    for _ in range(2):
        desk.key(Qt.Key.Key_Down, SHIFT)
    menu = drawer.menu()
    assert menu is not None
    (asked,) = [a for a in menu.actions() if a.text().startswith("Mark &asked")]
    assert asked.text() == "Mark &asked (3)"
    asked.trigger()
    menu.close()
    assert states(desk, ONDRUPEK).count("asked") == 3
    assert {a.person for a in desk.session.evaluation.answers[-3:]} == {"M. Ardell"}
    desk.session.undo_stack.undo()
    assert states(desk, ONDRUPEK).count("asked") == 0


def test_all_of_a_supplier_are_marked_by_its_group_which_stays_chosen(desk: Person) -> None:
    drawer = drawer_of(desk)
    (group,) = [
        drawer.tree.topLevelItem(n)
        for n in range(drawer.tree.topLevelItemCount())
        if drawer.tree.topLevelItem(n).text(0).startswith("Ondrupek")
    ]
    drawer.tree.setCurrentItem(group)
    menu = drawer.menu()
    assert menu is not None
    next(a for a in menu.actions() if a.text() == f"Mark &asked ({OPEN_TO_ONDRUPEK})").trigger()
    menu.close()
    assert drawer.tree.currentItem().text(0) == f"Ondrupek: {OPEN_TO_ONDRUPEK} asked"
    assert drawer.letter.isEnabled()
    menu = drawer.menu()
    assert menu is not None
    next(
        a for a in menu.actions() if a.text() == f"Accept as it &is ({OPEN_TO_ONDRUPEK})"
    ).trigger()
    menu.close()
    assert states(desk, ONDRUPEK) == ["accepted_as_is"] * OPEN_TO_ONDRUPEK
    # Nothing of it is waited for: the next one stands in its place.
    assert drawer.tree.currentItem().text(0) == "Quillomar: 5 open"


def test_what_was_asked_long_ago_and_what_changed_since_is_seen(desk: Person) -> None:
    drawer = drawer_of(desk)
    window = open_from_bids(desk, ONDRUPEK)
    press(desk, window.mark)
    desk.key(Qt.Key.Key_Escape)
    desk.session.today = lambda: TODAY.replace(month=5, day=5)
    path = ("bids", "b2", "units", "b2u1", "barrels", "b2u1a", "rated_shot_mass")
    desk.session.put(path, quantity("200", "g"), "Mass")
    drawer.choose("b2.ring_travel")
    told = drawer.tree.currentItem().data(0, Qt.ItemDataRole.AccessibleTextRole)
    assert "asked 2026-04-15, 20 days ago; answer wanted by 2026-04-29, 6 days overdue" in told
    drawer.choose("b2.rated_shot_mass")
    told = drawer.tree.currentItem().data(0, Qt.ItemDataRole.AccessibleTextRole)
    assert "open again: its number changed since it was asked 2026-04-15" in told


def test_questions_are_listed_by_what_became_of_them(desk: Person) -> None:
    drawer = drawer_of(desk)
    assert drawer.shown.currentText() == "Open or asked (48)"
    drawer.shown.setFocus()
    for words, one in (("Open (46)", "b2.ring_travel"), ("Asked (2)", "b4.reference_resin")):
        desk.pick(drawer.shown, words)
        drawer.shown.activated.emit(drawer.shown.currentIndex())
        drawer.choose(one)
        assert drawer.tree.currentItem().data(0, Qt.ItemDataRole.UserRole) == one
    desk.pick(drawer.shown, "Answered (1)")
    drawer.shown.activated.emit(drawer.shown.currentIndex())
    # Its datum is there: what was said is told, and there is nothing to mark.
    drawer.choose("b1.ring_travel")
    assert drawer.sentence.text().startswith("Ring travel 2.8 mm for screw A")
    assert not drawer.more.isEnabled()


def test_everything_the_keyboard_reaches_in_a_letter_has_a_name(desk: Person) -> None:
    window = open_from_bids(desk, YARVINDEL)
    assert without_name(window) == []
    desk.key(Qt.Key.Key_Escape)
