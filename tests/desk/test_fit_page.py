"""The Fit page: words, picture and grid; other rules; accepted deviations."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget

from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.desk.forms.decision_forms import AskDialog
from evenbarrel.desk.pages.fit.page import SCALES, FitPage
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.tables.sheet_table import SheetView
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.changes import without_job

from .conftest import without_name

# Screw A of 40 mm and a valve body of 56 % of its volume: outside by the rule of 30-50 %.
BY_RULE = ("b1u1a", "j2")
# A screw too small for the manifold: more than its whole volume.
BY_TWO = ("b1u1a", "j5")
BY_PHYSICS = ("b3u1a", "j5")


@pytest.fixture
def page(shown: Callable[..., Any], sample: Session, theme: Theme) -> FitPage:
    return shown(FitPage(sample, theme), sample)


def index_of(page: FitPage, barrel: str, job: str) -> Any:
    index = page.board.board_model.place_of(barrel, job)
    assert index.isValid()
    return index


def click_cell(qtbot: Any, page: FitPage, barrel: str, job: str) -> None:
    index = index_of(page, barrel, job)
    page.board.scrollTo(index)
    where = page.board.visualRect(index).center()
    qtbot.mouseClick(page.board.viewport(), Qt.MouseButton.LeftButton, pos=where)
    # What opens below is laid out in the next turn of the loop.
    QApplication.processEvents()


def press(qtbot: Any, button: QPushButton) -> None:
    assert button.isVisible()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def pick(combo: Any, text: str) -> None:
    """Choose a line of a combo box as a person does."""
    place = next(n for n in range(combo.count()) if combo.itemText(n).startswith(text))
    combo.setCurrentIndex(place)
    combo.activated.emit(place)


def texts(view: SheetView) -> list[list[str]]:
    return [[cell.text for cell in row] for row in view.sheet_model.sheet.rows]


def dialog_of(widget: QWidget) -> AskDialog:
    return next(d for d in widget.window().findChildren(AskDialog) if d.isVisible())


def test_words_come_first_and_tell_physics_from_rules(page: FitPage) -> None:
    assert page.words.text().startswith(
        "No objection to 2 of 14 barrels, most room first: Quillomar, Model 18 1.75 (near an edge "
        "in 5 of 8 jobs); Brastivel, Unit 604 B (near an edge in 6 of 8 jobs). Not assessed for "
        "them, in 9 cells: "
    )
    cells = page.rules.words.text()
    assert cells.startswith("Of 112 cells: outside by physics 5, by resin limit 17")
    assert "open criteria" in page.rules.words.toolTip()


def test_the_board_is_a_model_that_qt_can_read(page: FitPage, qtmodeltester: Any) -> None:
    qtmodeltester.check(page.board.board_model)


def test_a_cell_opens_the_second_picture_in_words_and_its_working(
    qtbot: Any, page: FitPage, sample: Session
) -> None:
    with qtbot.waitSignal(sample.show_working) as opened:
        click_cell(qtbot, page, *BY_RULE)
    assert opened.args == [CriterionRef(*BY_RULE, "utilisation")]
    assert (sample.selection.barrel, sample.selection.job) == BY_RULE
    assert page.cell.isVisible()
    assert "outside by rule" in page.cell.title.text()
    assert page.cell.words.text().startswith("Outside by rule; limited by share of volume.")


def test_enter_opens_the_cell_as_a_click_does(qtbot: Any, page: FitPage, sample: Session) -> None:
    page.board.setFocus()
    page.board.setCurrentIndex(index_of(page, *BY_RULE))
    qtbot.keyClick(page.board, Qt.Key.Key_Return)
    assert (sample.selection.barrel, sample.selection.job) == BY_RULE
    assert page.cell.isVisible()


def test_a_mark_of_the_picture_opens_the_same_cell(page: FitPage, sample: Session) -> None:
    page.plot.cell_chosen.emit(*BY_RULE)
    assert (sample.selection.barrel, sample.selection.job) == BY_RULE
    assert page.cell.isVisible()


@pytest.mark.parametrize("text", [text for _, text in SCALES])
def test_every_scale_is_drawn(qtbot: Any, page: FitPage, text: str) -> None:
    click_cell(qtbot, page, *BY_RULE)
    page.pictures.setCurrentWidget(page.plot)
    pick(page.scale, text)
    assert page.plot.isVisible()
    assert page.board.board_model.picture is not None
    assert page.board.board_model.picture.ruler.scale.key == SCALES[page.scale.currentIndex()][0]
    assert page.resin.isVisible() == text.startswith("Mass")


def test_another_window_shows_old_verdicts_beside_new_and_changes_nothing(
    page: FitPage, sample: Session
) -> None:
    before = sample.evaluation
    pick(page.rules.choice, "30 to 65 %: engineering")
    assert "verdicts would change" in page.rules.words.text()
    assert page.rules.changed_cells.isVisible()
    row = next(
        row
        for row in texts(page.rules.changed_cells)
        if row[1:3] == ["Unit 604 A", "Valve body, two cavities"]
    )
    assert row[3] == "outside by rule, share"
    assert row[4].startswith("near edge")
    assert sample.evaluation == before
    assert sample.undo_stack.count() == 0
    pick(page.rules.choice, "the limits as they stand")
    assert page.rules.words.text().startswith("Of 112 cells")
    assert not page.rules.changed_cells.isVisible()
    # A preview is of one evaluation: another one begins without it.
    pick(page.rules.choice, "30 to 65 %: engineering")
    sample.open_sample()
    assert page.rules.words.text().startswith("Of 112 cells")
    sample.close()


def test_a_deviation_is_accepted_by_a_named_person_for_a_reason(
    qtbot: Any, page: FitPage, sample: Session
) -> None:
    before = sample.evaluation
    click_cell(qtbot, page, *BY_RULE)
    press(qtbot, page.cell.accept_deviation)
    dialog = dialog_of(page)
    dialog.accept()
    assert dialog.isVisible()
    assert "reason" in dialog.problem.text()
    for name, text in {
        "reason": "Runs so since 2021",
        "person": "P. Engineer",
        "condition": "Ten shots weighed",
        "until": "2027-12-31",
    }.items():
        dialog.fields[name].line.setText(text)  # type: ignore[attr-defined]
    dialog.accept()
    deviation = sample.evaluation.deviations[-1]
    assert (deviation.barrel, deviation.job, deviation.criterion) == (*BY_RULE, "utilisation")
    assert (deviation.person, deviation.reason) == ("P. Engineer", "Runs so since 2021")
    assert "Accepted by a named person: share of volume" in page.cell.words.text()
    assert not page.cell.accept_deviation.isEnabled()
    sample.undo_stack.undo()
    assert sample.evaluation == before
    assert page.cell.accept_deviation.isEnabled()


def test_a_deviation_can_hold_for_all_jobs(qtbot: Any, page: FitPage, sample: Session) -> None:
    click_cell(qtbot, page, *BY_RULE)
    press(qtbot, page.cell.accept_deviation)
    dialog = dialog_of(page)
    scope = dialog.fields["scope"].combo  # type: ignore[attr-defined]
    scope.setCurrentIndex(scope.findText("all jobs"))
    dialog.fields["reason"].line.setText("Known")  # type: ignore[attr-defined]
    dialog.fields["person"].line.setText("P. Engineer")  # type: ignore[attr-defined]
    dialog.accept()
    assert sample.evaluation.deviations[-1].job is None


def test_physics_is_never_offered_for_accepting(qtbot: Any, page: FitPage, sample: Session) -> None:
    click_cell(qtbot, page, *BY_PHYSICS)
    physical = {
        c.key
        for c in sample.appraisal.fit(*BY_PHYSICS).criteria  # type: ignore[union-attr]
        if c.state == "outside" and c.basis == "physical"
    }
    assert "capacity" in physical
    press(qtbot, page.cell.accept_deviation)
    dialog = dialog_of(page)
    told = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "the gate stays shut: nobody can accept capacity." in told
    assert not physical & set(dialog.fields["criterion"].codes)  # type: ignore[attr-defined]
    dialog.reject()


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        (BY_RULE, "it no longer stands in the way of the gate."),
        (BY_TWO, "until each of these is accepted: share of volume and stroke in diameters."),
    ],
)
def test_what_else_would_still_shut_the_gate_is_named(
    qtbot: Any, page: FitPage, cell: tuple[str, str], words: str
) -> None:
    click_cell(qtbot, page, *cell)
    press(qtbot, page.cell.accept_deviation)
    dialog = dialog_of(page)
    assert any(label.text().endswith(words) for label in dialog.findChildren(QLabel))
    dialog.reject()


def test_a_cell_that_is_inside_offers_nothing_to_accept(qtbot: Any, page: FitPage) -> None:
    click_cell(qtbot, page, "b1u1b", "j2")
    assert not page.cell.accept_deviation.isEnabled()


def test_without_jobs_or_offers_the_page_says_what_to_enter(page: FitPage, sample: Session) -> None:
    sample.new()
    assert page.empty.isVisible()
    assert not page.splitter.isVisible()
    assert not page.rules.isVisible()


def test_without_anything_to_show_the_words_stay_at_the_top(page: FitPage, sample: Session) -> None:
    sample.new()
    assert page.empty.mapTo(page, page.empty.rect().bottomLeft()).y() < page.height() / 4


@pytest.mark.parametrize("place", range(2))
def test_no_picture_widens_a_small_window(page: FitPage, sample: Session, place: int) -> None:
    page.pictures.setCurrentIndex(place)
    sample.selection.choose(*BY_PHYSICS)
    # A window of 1024 pixels less the list of pages and the drawers beside the page.
    page.resize(608, 620)
    assert page.width() == 608


def test_a_change_of_palette_and_of_units_is_followed(
    qtbot: Any, page: FitPage, sample: Session, theme: Theme
) -> None:
    click_cell(qtbot, page, *BY_RULE)
    theme.switch("slate")
    sample.put(("display_units",), "us", "Show US units")
    page.pictures.setCurrentWidget(page.plot)
    assert page.plot.title.text().startswith("Shot volume, in³")
    theme.switch("paper")


def test_barrels_are_ordered_filtered_and_pinned_by_a_person(
    qtbot: Any, page: FitPage, sample: Session
) -> None:
    def shown_barrels() -> list[str]:
        picture = page.board.board_model.picture
        assert picture is not None
        return [row.barrel for row in picture.rows]

    everything = shown_barrels()
    page.board.choose("b5u1a", None)
    press(qtbot, page.pin)
    assert shown_barrels()[0] == "b5u1a"
    pick(page.shown, "of Brastivel")
    assert shown_barrels() == ["b5u1a", "b1u1a", "b1u1b", "b1u1c"]
    page.board.choose("b5u1a", None)
    press(qtbot, page.pin)
    assert shown_barrels() == ["b1u1a", "b1u1b", "b1u1c"]
    pick(page.shown, "all barrels")
    pick(page.order, "by supplier")
    assert sorted(shown_barrels()) == sorted(everything)
    assert shown_barrels() != everything


def test_another_name_of_the_file_changes_nothing_another_evaluation_forgets_all(
    qtbot: Any, page: FitPage, sample: Session, tmp_path: Path
) -> None:
    page.board.choose("b5u1a", None)
    press(qtbot, page.pin)
    pick(page.shown, "of Brastivel")
    pick(page.rules.choice, page.rules.choice.itemText(1))
    sample.save(tmp_path / "another.evenbarrel.json")
    assert page.shown.currentText() == "of Brastivel"
    assert page.rules.choice.currentIndex() == 1
    assert page.pin.isChecked()
    sample.open_sample()
    assert page.shown.currentText() == "all barrels"
    assert page.rules.choice.currentIndex() == 0
    picture = page.board.board_model.picture
    assert picture is not None
    assert picture.rows[0].barrel != "b5u1a"
    assert len(picture.rows) == 14


def test_a_page_that_is_behind_draws_nothing_until_it_is_shown(
    window: MainWindow, session: Session, theme: Theme
) -> None:
    window.go_to(3)
    page = window.page
    session.selection.choose("na", "tray")
    page.pictures.show()
    page.pictures.setCurrentWidget(page.plot)
    pick(page.scale, "Mass in a resin")
    pick(page.resin, "Polystyrene")
    window.go_to(0)
    session.edit("Remove job", without_job(session.evaluation, "tray"))
    session.edit("Remove resin", edits.remove(session.evaluation, ("resins", "ps")))
    theme.switch("slate")
    page.pictures.setCurrentWidget(page.cell)
    page.pictures.setCurrentWidget(page.plot)
    window.go_to(3)
    assert page.resin.currentText() == "Polypropylene"
    assert "Polypropylene" in page.plot.title.text()
    theme.switch("paper")


def test_a_resin_is_offered_under_its_new_name(page: FitPage, sample: Session) -> None:
    name = sample.evaluation.jobs[0].resin or ""
    sample.put(("resins", name, "name"), "The blue one", "Name")
    assert "The blue one" in [page.resin.itemText(n) for n in range(page.resin.count())]


def test_the_board_follows_what_is_chosen_elsewhere(page: FitPage, sample: Session) -> None:
    sample.selection.choose(*BY_PHYSICS)
    assert page.board.current_place() == BY_PHYSICS


def test_everything_the_keyboard_reaches_has_a_name(page: FitPage) -> None:
    assert without_name(page) == []
