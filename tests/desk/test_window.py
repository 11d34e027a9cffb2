"""The window: pages in the order of the work, nothing lost, nothing heavy before first paint."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QAction, QPalette
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu, QMessageBox, QRadioButton, QWidget

from evenbarrel import resources
from evenbarrel.app import has_screen
from evenbarrel.appraisal.references import ShotRef
from evenbarrel.desk.forms.grids.grid_view import GridView
from evenbarrel.desk.pages.fit.board_view import BoardView
from evenbarrel.desk.pages.shots.page import COLUMNS
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.files.exports import EXPORTS, Export
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.storage.files import read_evaluation, write_evaluation

from .conftest import Answers, cut_off, small_programme, without_name
from .person import Person

SOURCE = Path(resources.__file__).parents[1]
SHOTS, BIDS = 0, 1


def action(window: MainWindow, text: str) -> QAction:
    """The menu entry of that text, its mnemonic left out."""
    found = {a.text().replace("&", ""): a for a in window.findChildren(QAction)}
    return found[text]


def retitle(session: Session, title: str) -> None:
    session.put(("title",), title, "Title")


def test_how_the_barrels_stand_is_told_at_the_bottom(window: MainWindow) -> None:
    text = window.gate_counts.text()
    assert text.startswith("2 barrels: ")
    assert sum(int(word) for word in text.split(": ")[1].split() if word.isdigit()) == 2


def test_pages_are_reached_by_keys(qtbot: Any, window: MainWindow) -> None:
    qtbot.keyClick(window, Qt.Key.Key_2, Qt.KeyboardModifier.AltModifier)
    assert window.page_list.currentItem().text() == "Bids"
    qtbot.keyClick(window, Qt.Key.Key_PageUp, Qt.KeyboardModifier.ControlModifier)
    assert window.page_list.currentItem().text() == "Shots"
    last = window.page_list.count() - 1
    qtbot.keyClick(window, Qt.Key.Key_PageUp, Qt.KeyboardModifier.ControlModifier)
    assert window.page_list.currentRow() == last


def test_from_the_list_a_key_leads_to_the_rows_of_the_board(qtbot: Any, window: MainWindow) -> None:
    window.page_list.setFocus()
    qtbot.keyClick(window, Qt.Key.Key_4, Qt.KeyboardModifier.AltModifier)
    assert window.page_list.currentItem().text() == "Fit"
    board = window.page.findChild(BoardView)
    qtbot.waitUntil(board.hasFocus)
    qtbot.keyClick(board, Qt.Key.Key_End, Qt.KeyboardModifier.ControlModifier)
    assert board.currentIndex().row() == board.model().rowCount() - 1


def test_a_page_is_made_when_it_is_first_shown(window: MainWindow) -> None:
    made = window.stack.count()
    window.go_to(BIDS)
    assert window.stack.count() == made + 1
    window.go_to(SHOTS)
    window.go_to(BIDS)
    assert window.stack.count() == made + 1


def test_a_hidden_page_catches_up_when_it_is_shown(window: MainWindow, session: Session) -> None:
    window.go_to(BIDS)
    bids = window.page
    window.go_to(SHOTS)
    session.put(("bids", "n", "supplier"), "Ostmark", "Supplier")
    assert bids.tree.topLevelItem(0).text(0) == "Nordquell"
    window.go_to(BIDS)
    assert bids.tree.topLevelItem(0).text(0) == "Ostmark"


def test_the_title_tells_file_and_changes(
    window: MainWindow, session: Session, tmp_path: Path
) -> None:
    assert window.windowTitle() == "Small programme[*] – Evenbarrel"
    retitle(session, "Two presses")
    assert window.isWindowModified()
    session.save(tmp_path / "two.evenbarrel.json")
    assert window.windowTitle() == "Two presses (two.evenbarrel.json)[*] – Evenbarrel"
    assert not window.isWindowModified()
    session.undo_stack.undo()
    assert window.isWindowModified()


def test_save_asks_for_a_name_once(window: MainWindow, answers: Answers, tmp_path: Path) -> None:
    answers.to_save = tmp_path / "a.evenbarrel.json"
    action(window, "Save").trigger()
    assert read_evaluation(answers.to_save) == small_programme()
    answers.to_save = None
    action(window, "Save").trigger()
    assert not window.notice.isVisible()


def test_a_save_that_fails_says_why_and_keeps_everything(
    window: MainWindow, session: Session, answers: Answers, tmp_path: Path
) -> None:
    retitle(session, "Two presses")
    answers.to_save = tmp_path / "missing" / "a.evenbarrel.json"
    action(window, "Save").trigger()
    assert "could not be written" in window.notice.text.text()
    assert session.evaluation.title == "Two presses"
    assert session.is_modified


def test_what_is_being_typed_is_saved_too(
    qtbot: Any, window: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    answers.to_save = tmp_path / "a.evenbarrel.json"
    line = window.page.form.fields["part_mass"].line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, "10.5")
    qtbot.keyClick(line, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    (cap, _) = read_evaluation(answers.to_save).jobs
    assert cap.part_mass is not None
    assert cap.part_mass.magnitude == "10.5"


def test_undo_reaches_the_evaluation_from_inside_a_field(
    qtbot: Any, window: MainWindow, session: Session
) -> None:
    line = window.page.form.fields["part_mass"].line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, "10.5")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    qtbot.keyClick(line, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.evaluation == small_programme()
    assert line.text() == "9.5"


def test_closing_asks_where_something_would_be_lost(
    window: MainWindow, session: Session, answers: Answers
) -> None:
    retitle(session, "Two presses")
    answers.about_unsaved = "cancel"
    assert not window.close()
    answers.about_unsaved = "discard"
    assert window.close()
    assert answers.asked == [("Two presses", ()), ("Two presses", ())]


def test_closing_names_what_was_typed_and_not_taken(
    qtbot: Any, window: MainWindow, answers: Answers
) -> None:
    line = window.page.form.fields["part_mass"].line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, "heavy")
    assert not window.close()
    assert answers.asked == [("Small programme", ("Cap, Part mass: “heavy”",))]


def type_in_cell(qtbot: Any, view: GridView, row: int, column: int, text: str) -> None:
    """Type a text into a cell and leave it by Return."""
    view.setFocus()
    view.setCurrentIndex(view.model().index(row, column))
    qtbot.keyClicks(view, text[0])
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    qtbot.keyClicks(editor, text[1:])
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    QApplication.processEvents()


def test_closing_names_what_was_typed_for_whatever_is_on_show_no_longer(
    qtbot: Any, window: MainWindow, session: Session, answers: Answers
) -> None:
    line = window.page.form.fields["cavities"].line
    line.setFocus()
    line.selectAll()
    qtbot.keyClicks(line, "eight")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    session.selection.choose_job("tray")
    type_in_cell(qtbot, window.page.table, 1, COLUMNS.index("part_mass"), "12x4")
    window.open_page("bids")
    page = window.page
    page.choose(("bids", "n", "units", "u1"))
    stroke = [shape.name for shape in page.sheet.model.shapes].index("stroke")
    type_in_cell(qtbot, page.sheet.view, stroke, 0, "long")
    # Another unit on the same sheet.
    page.add_unit.trigger()
    page.add_barrel.trigger()
    window.open_datum(("limits", "ring_share"))
    limits = window.page.limits
    type_in_cell(qtbot, limits.view, limits.view.currentIndex().row(), 1, "most")

    assert not window.close()
    ((_, told),) = answers.asked
    assert told == (
        "Tray, Part mass: “12x4”",
        "Cap, Cavities: “eight”",
        "Nordquell, Unit 600, A, Stroke: “long”",
        "Limit, Ring travel, largest share of shot stroke: “most”",
    )

    answers.about_unsaved = "show"
    assert not window.close()
    table = window.page.table
    assert table.hasFocus()
    assert table.currentIndex().data() == "12x4"
    window.page.table.model().setData(table.currentIndex(), "12.4")
    assert not window.close()
    assert window.page.form.fields["cavities"].line.hasFocus()
    assert QApplication.focusWidget().text() == "eight"  # type: ignore[union-attr]
    QApplication.focusWidget().clear()  # type: ignore[union-attr]
    assert not window.close()
    assert page.sheet.view.hasFocus()
    assert page.sheet.view.currentIndex().data() == "long"


def test_what_was_typed_and_given_up_is_in_no_other_document(
    qtbot: Any, window: MainWindow, session: Session, answers: Answers
) -> None:
    fields = window.page.form.fields
    fields["fill_time"].line.setFocus()
    qtbot.keyClicks(fields["fill_time"].line, "quick")
    qtbot.keyClick(fields["fill_time"].line, Qt.Key.Key_Return)
    session.selection.choose_job("tray")
    type_in_cell(qtbot, window.page.table, 1, COLUMNS.index("part_mass"), "12x4")
    answers.about_unsaved = "discard"
    assert window.documents.may_leave()
    assert len(answers.asked[0][1]) == 2
    session._open(small_programme())
    assert window.typed.not_taken() == ()
    session.selection.choose_job("cap")
    assert fields["fill_time"].line.text() == ""


def test_what_was_typed_for_a_thing_that_is_gone_is_in_no_later_one(
    qtbot: Any, window: MainWindow, session: Session
) -> None:
    window.page.add_job.trigger()
    added = session.selection.job
    line = window.page.form.fields["cavities"].line
    line.setFocus()
    qtbot.keyClicks(line, "eight")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert [one.text for one in window.typed.not_taken()] == ["eight"]
    window.page.remove_job.trigger()
    assert window.typed.not_taken() == ()
    window.page.add_job.trigger()
    assert session.selection.job == added
    assert line.text() == ""


def test_closing_an_unchanged_evaluation_asks_nothing(window: MainWindow, answers: Answers) -> None:
    assert window.close()
    assert answers.asked == []


def test_open_gives_the_present_evaluation_up_only_when_told(
    window: MainWindow, session: Session, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "other.evenbarrel.json"
    write_evaluation(small_programme().replace(title="Other"), path)
    answers.to_open = path
    retitle(session, "Two presses")
    action(window, "Open…").trigger()
    assert session.evaluation.title == "Two presses"
    answers.about_unsaved = "discard"
    action(window, "Open…").trigger()
    assert session.evaluation.title == "Other"


def test_a_file_that_cannot_be_read_is_told_in_one_sentence(
    window: MainWindow, session: Session, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "cut.evenbarrel.json"
    path.write_text('{"format_version": 1, "title": "Cut', encoding="utf-8")
    answers.to_open = path
    action(window, "Open…").trigger()
    assert window.notice.text.text() == "cut.evenbarrel.json: it ends in the middle, after line 1"
    assert session.evaluation == small_programme()


def test_unsaved_work_is_offered_and_restored_by_a_person(
    qtbot: Any, window: MainWindow, session: Session, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "a.evenbarrel.json"
    session.save(path)
    retitle(session, "Two presses")
    session.autosave()
    cut_off(session)
    session.undo_stack.setClean()

    answers.to_open = path
    action(window, "Open…").trigger()
    assert session.evaluation.title == "Small programme"
    restore = next(b for b in window.notice.buttons if b.text() == "&Restore")
    qtbot.mouseClick(restore, Qt.MouseButton.LeftButton)
    assert session.evaluation.title == "Two presses"
    assert session.is_modified
    assert not window.notice.isVisible()


def test_the_palette_is_switched_from_the_menu(window: MainWindow, theme: Theme) -> None:
    paper = QApplication.palette().color(QPalette.ColorRole.Base)
    action(window, "Palette: slate").trigger()
    assert theme.colours.name == "slate"
    assert QApplication.palette().color(QPalette.ColorRole.Base) != paper
    action(window, "Palette: paper").trigger()
    assert QApplication.palette().color(QPalette.ColorRole.Base) == paper


@pytest.mark.parametrize("name", ["paper", "slate"])
def test_an_unchecked_button_is_seen_on_its_ground(qtbot: Any, theme: Theme, name: str) -> None:
    theme.switch(name)
    button = QRadioButton()
    qtbot.addWidget(button)
    button.show()
    picture = button.grab().toImage()
    row = picture.height() // 2
    seen = [picture.pixelColor(x, row).lightness() for x in range(picture.width())]
    ground = theme.colours.palette().color(QPalette.ColorRole.Window).lightness()
    # Of 255; what is drawn for the ring and not for what it encloses.
    assert min(seen) < ground - 60 if ground > 128 else max(seen) > ground + 60
    theme.switch("paper")


def test_display_units_are_one_undoable_step(window: MainWindow, session: Session) -> None:
    action(window, "US units").trigger()
    assert session.evaluation.display_units == "us"
    action(window, "Undo Show us units").trigger()
    assert session.evaluation.display_units == "metric"


class Drawer(QWidget):
    """Keeps what it is told."""

    def __init__(self) -> None:
        super().__init__()
        self.told: list[object] = []

    def show_appraisal(self, appraisal: object) -> None:
        self.told.append(appraisal)


def test_drawers_follow_every_change(window: MainWindow, session: Session) -> None:
    questions, working = Drawer(), Drawer()
    window.set_drawers(questions, working)
    retitle(session, "Two presses")
    assert questions.told == working.told
    assert questions.told[-1] is session.appraisal
    assert questions.isVisible()


def test_an_export_runs_beside_the_window(
    qtbot: Any, make_window: Callable[..., MainWindow], answers: Answers, tmp_path: Path
) -> None:
    def title(appraisal: Any) -> bytes:
        return appraisal.evaluation.title.encode()

    window = make_window(exports=(Export("As &PDF…", "PDF", ".pdf", title),))
    answers.to_export = tmp_path / "out.pdf"
    with qtbot.waitSignal(window.documents.exporter.job.done):
        action(window, "As PDF…").trigger()
    assert answers.to_export.read_bytes() == b"Small programme"
    assert window.notice.text.text() == "out.pdf is written."


def test_the_menu_offers_what_the_decision_page_does(window: MainWindow) -> None:
    texts = {entry.text() for entry in window.findChildren(QAction)}
    assert {export.text for export in EXPORTS} < texts


def test_a_letter_is_wanted_from_the_menu(qtbot: Any, window: MainWindow, session: Session) -> None:
    letters = next(
        m for m in window.findChildren(QMenu) if m.title() == "Open questions as &letter"
    )
    letters.aboutToShow.emit()
    with qtbot.waitSignal(session.letter_wanted) as wanted:
        action(window, "To Nordquell…").trigger()
    assert wanted.args == ["n"]


@pytest.mark.parametrize("page", [SHOTS, BIDS])
def test_everything_the_keyboard_reaches_has_a_name(window: MainWindow, page: int) -> None:
    window.go_to(page)
    assert without_name(window) == []


def test_the_next_area_key_goes_round(qtbot: Any, window: MainWindow) -> None:
    window.page_list.setFocus()
    qtbot.keyClick(window, Qt.Key.Key_F6)
    assert window.stack.isAncestorOf(window.focusWidget())
    qtbot.keyClick(window, Qt.Key.Key_F6)
    assert window.focusWidget() is window.page_list


def test_the_drawers_are_put_away_and_come_back_for_a_working(
    qtbot: Any, window: MainWindow, session: Session
) -> None:
    questions, working = Drawer(), Drawer()
    window.set_drawers(questions, working)
    assert questions.isVisible()
    qtbot.keyClick(window, Qt.Key.Key_F9)
    assert not questions.isVisible()
    assert not working.isVisible()
    told = len(questions.told)
    retitle(session, "Two presses")
    # What nobody sees is not kept up to date.
    assert len(questions.told) == told
    session.show_working.emit(ShotRef("j1"))
    assert working.isVisible()
    assert questions.told[-1] is working.told[-1] is session.appraisal


def test_nothing_heavy_is_loaded_before_the_first_paint(tmp_path: Path) -> None:
    program = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
application = QApplication([])
from evenbarrel.desk.window.session import Session
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.files.file_dialogs import Dialogs
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.storage.personal.recent import RecentFiles
from evenbarrel.storage.autosave import Autosave
folder = Path(sys.argv[1])
theme = Theme()
theme.apply(application)
window = MainWindow(Session(Autosave(folder), RecentFiles(folder)), theme)
window.show()
application.processEvents()
heavy = {"numpy", "pint", "pyqtgraph", "reportlab", "openpyxl", "scipy"}
sys.stdout.write(" ".join(sorted(heavy & set(sys.modules))))
"""
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path)],
        env=os.environ | {"PYTHONPATH": str(SOURCE), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == ""


def test_twenty_thousand_void_calls_end_well() -> None:
    # One binding of Qt lost a reference to None on every void call and aborted the process.
    program = """
from PySide6.QtCore import QObject
thing = QObject()
for _ in range(20_000):
    thing.setObjectName("a")
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert done.returncode == 0


def test_a_window_needs_a_screen() -> None:
    assert not has_screen({}, "linux")
    assert has_screen({"WAYLAND_DISPLAY": "wayland-0"}, "linux")
    assert has_screen({}, "win32")


def test_without_a_screen_one_plain_line_and_code_2() -> None:
    hidden = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    environment = {name: value for name, value in os.environ.items() if name not in hidden}
    program = "import sys; from evenbarrel.app import run; sys.exit(run(None, False))"
    done = subprocess.run(
        [sys.executable, "-c", program],
        env=environment | {"PYTHONPATH": str(SOURCE)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1


OPENS_AND_CLOSES = """
import sys
from PySide6.QtWidgets import QApplication


def a_while() -> int:
    for _ in range(100):
        QApplication.processEvents()
    (window,) = [w for w in QApplication.topLevelWidgets() if w.isWindow() and w.isVisible()]
    sys.stdout.write(window.windowTitle() + "|" + window.gate_counts.text())
    window.close()
    return 0


QApplication.exec = staticmethod(a_while)
from evenbarrel.app import run

sys.exit(run(None, sample=True))
"""


def run_desk(program: str, home: Path) -> str:
    """Return what a process of its own prints that runs the desk with its folders in `home`."""
    places = {f"XDG_{name}_HOME": str(home) for name in ("CONFIG", "STATE")}
    done = subprocess.run(
        [sys.executable, "-c", program],
        env=os.environ | places | {"PYTHONPATH": str(SOURCE), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_desk_opens_with_the_sample(tmp_path: Path) -> None:
    said = run_desk(OPENS_AND_CLOSES, tmp_path)
    title, standing = said.split("|")
    assert title.startswith("Irrigation parts")
    assert "barrels: " in standing


EDITS_AND_OPENS_ANOTHER = """
import gc, sys, weakref
from PySide6.QtCore import QEventLoop
from PySide6.QtWidgets import QApplication
from evenbarrel.desk.drawers.questions import QuestionsDrawer


def a_while() -> int:
    first = gc.get_freeze_count()
    while gc.get_freeze_count() <= first:
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    (window,) = [w for w in QApplication.topLevelWidgets() if w.isWindow() and w.isVisible()]
    session = window._session
    for count in range(20):
        session.put(("jobs", "j1", "cavities"), count + 1, "Cavities")
        QApplication.processEvents()
    drawer = window.findChild(QuestionsDrawer)
    looked_at = drawer is None or any(one is drawer for one in gc.get_objects())
    before = weakref.ref(session.evaluation)
    session.new()
    QApplication.processEvents()
    sys.stdout.write(f"{looked_at} {before() is None}")
    window.close()
    return 0


QApplication.exec = staticmethod(a_while)
from evenbarrel.app import run

sys.exit(run(None, sample=True))
"""


def test_what_is_made_at_first_is_not_looked_through_while_a_person_types(tmp_path: Path) -> None:
    """Another document is the time to look: what the one before left is gone then."""
    said = run_desk(EDITS_AND_OPENS_ANOTHER, tmp_path)
    assert said == "False True"


def test_an_export_never_takes_the_place_of_the_evaluation(
    qtbot: Any, make_window: Callable[..., MainWindow], answers: Answers, tmp_path: Path
) -> None:
    window = make_window(exports=(Export("As &PDF…", "PDF", ".pdf", lambda _: b"%PDF"),))
    answers.to_save = answers.to_export = tmp_path / "all.evenbarrel.json"
    assert window.documents.save_as()
    before = answers.to_save.read_bytes()
    with qtbot.waitSignal(window.documents.exporter.job.failed):
        action(window, "As PDF…").trigger()
    assert "it holds the evaluation itself" in window.notice.text.text()
    assert answers.to_save.read_bytes() == before


def test_the_question_about_changes_leaves_its_buttons_in_a_low_window(
    person: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    person.window.resize(640, 360)
    heights = []

    def seen(box: QMessageBox) -> int:
        box.show()
        heights.append(box.height())
        box.hide()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", seen)
    line = "Brastivel, Unit 604, A, Highest plasticising speed: “about three hundred, see letter”"
    for texts in (1, 12):
        Dialogs(person.window).unsaved("Press", (line,) * texts)
    assert heights[0] < heights[1] <= 360


def test_a_question_goes_with_its_answer(person: Person) -> None:
    """Else the window would keep every one for as long as it lives."""
    dialogs = Dialogs(person.window)
    assert dialogs.may_replace("press.evenbarrel.json")
    dialogs.unsaved("Press", ("Stroke",))
    dialogs.unsaved("Press", ("Stroke",), changed=False)
    dialogs.held_by("press.evenbarrel.json", "Ada")
    dialogs.changed_on_disk("press.evenbarrel.json", ("a line",))
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert person.window.findChildren(QMessageBox) == []
