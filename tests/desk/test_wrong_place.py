"""Every edit changes what its page names, however a person came to that page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QItemSelectionModel, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from evenbarrel.appraisal.references import ShotRef
from evenbarrel.desk.drawers.working import WorkingDrawer
from evenbarrel.desk.forms.grids.pick_line import PickLine
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import InjectionUnit

from .edits_made import OF_KIND, changed, edits_of, put_away_drawers, type_into_cell
from .person import CTRL, Person

SHOTS, BIDS, CLAIMS, FIT, DECISION = range(5)


def choose_row(window: MainWindow, row: int) -> None:
    """Choose a planned job by its row."""
    table = window.page.table
    flag = QItemSelectionModel.SelectionFlag.ClearAndSelect
    table.selectionModel().setCurrentIndex(table.model().index(row, 0), flag)


def by_grid(window: MainWindow, session: Session) -> None:
    """The first job was shown; a cell of the last is chosen on Fit; back to the page."""
    window.go_to(FIT)
    session.selection.choose("nb", "tray")
    window.go_to(SHOTS)


def by_question(window: MainWindow, session: Session) -> None:
    """A question of the drawer leads to the datum."""
    window.go_to(DECISION)
    window.open_datum(("jobs", "tray", "cycle_time"))


def by_undo(window: MainWindow, session: Session) -> None:
    """Another job is edited on its page; the undo is pressed elsewhere."""
    session.put(("jobs", "tray", "cavities"), 3, "Cavities")
    choose_row(window, 0)
    window.go_to(CLAIMS)
    session.selection.choose("na", "tray")
    session.undo_stack.undo()
    window.go_to(SHOTS)


def by_key(window: MainWindow, session: Session) -> None:
    """Pages are turned by keys, and a job is chosen while another page is seen."""
    window._turn(1)
    session.selection.choose(None, "tray")
    window._turn(-1)


def by_removal(window: MainWindow, session: Session) -> None:
    """A job before it is removed and comes back while another page is seen."""
    from evenbarrel.model.changes import without_job

    choose_row(window, 1)
    window.go_to(BIDS)
    session.edit("Remove job", without_job(session.evaluation, "cap"))
    session.undo_stack.undo()
    window.go_to(SHOTS)


def by_cell_link(window: MainWindow, session: Session) -> None:
    """The working of a shot leads to the number it came from."""
    window.go_to(FIT)
    session.show_working.emit(ShotRef("tray"))
    text = window.findChild(WorkingDrawer).text
    area = text.viewport().rect()
    spots = (QPoint(x, y) for y in range(area.height()) for x in range(0, area.width(), 9))
    datum = next(spot for spot in spots if text.anchorAt(spot).startswith("datum:"))
    QTest.mouseClick(text.viewport(), Qt.MouseButton.LeftButton, pos=datum)


def by_real_keys(window: MainWindow, session: Session) -> None:
    """Alt+4 to the board, its keys to a cell, Enter, and Alt+1 back."""
    alt = Qt.KeyboardModifier.AltModifier
    QTest.keyClick(window, Qt.Key.Key_4, alt)
    board = window.page.board
    board.setFocus()
    board.choose("nb", "cap")
    QTest.keyClick(board, Qt.Key.Key_Right)
    QTest.keyClick(board, Qt.Key.Key_Return)
    assert session.selection.job == "tray"
    QTest.keyClick(board, Qt.Key.Key_1, alt)


ARRIVALS: tuple[Callable[[MainWindow, Session], None], ...] = (
    by_grid,
    by_question,
    by_undo,
    by_key,
    by_removal,
    by_cell_link,
    by_real_keys,
)


@pytest.fixture
def session(same_session: Session) -> Session:
    """A session that holds the small programme, appraised and unmodified."""
    return same_session


@pytest.fixture
def window(same_desk: Person, session: Session) -> MainWindow:
    """The window on it."""
    return same_desk.window


@pytest.fixture
def desk(window: MainWindow) -> MainWindow:
    return window


@pytest.mark.parametrize("arrive", ARRIVALS, ids=lambda way: way.__name__)
def test_every_field_of_a_job_writes_to_the_job_it_shows(
    qtbot: Any, desk: MainWindow, session: Session, arrive: Callable[..., None]
) -> None:
    desk.go_to(SHOTS)
    choose_row(desk, 0)
    arrive(desk, session)
    page = desk.page
    row = page.table.currentIndex().row()
    shown = session.evaluation.jobs[row]
    assert page._form_title.text() == shown.name
    assert session.selection.job == shown.id
    put_away_drawers(desk)
    # By the grid all there is of every field; every other way each third field, from another on.
    way = ARRIVALS.index(arrive)
    which = slice(None) if arrive is by_grid else slice(way % 3, None, 3)
    found = dict(edits_of(page.form, session, qtbot, whole=arrive is by_grid, which=which))
    assert len(found) > (20 if arrive is by_grid else 6)
    assert set().union(*found.values()) == {f"jobs/{shown.id}"}


@pytest.mark.parametrize("arrive", ARRIVALS, ids=lambda way: way.__name__)
def test_remove_and_duplicate_take_the_job_that_is_shown(
    desk: MainWindow, session: Session, arrive: Callable[..., None]
) -> None:
    desk.go_to(SHOTS)
    choose_row(desk, 0)
    arrive(desk, session)
    title = desk.page._form_title.text()
    desk.page.duplicate_job.trigger()
    assert session.evaluation.jobs[-1].name == title
    session.undo_stack.undo()
    kept = [job.name for job in session.evaluation.jobs if job.name != title]
    choose_row(desk, [job.name for job in session.evaluation.jobs].index(title))
    desk.page.remove_job.trigger()
    assert [job.name for job in session.evaluation.jobs] == kept


def through_claims(window: MainWindow, session: Session) -> None:
    """A claim leads to the datum of the second screw."""
    window.go_to(CLAIMS)
    window.open_datum(("bids", "n", "units", "u1", "barrels", "nb", "stroke"))


def through_unit(window: MainWindow, session: Session) -> None:
    """The unit was looked at, then the second screw was chosen on Fit."""
    window.page.choose(("bids", "n", "units", "u1"))
    window.go_to(FIT)
    session.selection.choose("nb", "cap")
    window.go_to(BIDS)


def through_comparison(window: MainWindow, session: Session) -> None:
    """Both screws were compared side by side, then the supplier was chosen."""
    tree = window.page.tree
    tree.choose(("bids", "n", "units", "u1", "barrels", "na"))
    other = tree._items["bids", "n", "units", "u1", "barrels", "nb"]
    other.setSelected(True)
    window.go_to(SHOTS)
    window.go_to(BIDS)
    tree.choose(("bids", "n"))


def side_by_side(window: MainWindow, session: Session) -> None:
    """Both screws are compared, the second is the tree's current one."""
    tree = window.page.tree
    tree.choose(("bids", "n", "units", "u1", "barrels", "na"))
    item = tree._items["bids", "n", "units", "u1", "barrels", "nb"]
    at = tree.visualItemRect(item).center()
    QTest.mouseClick(tree.viewport(), Qt.MouseButton.LeftButton, CTRL, at)
    assert window.page.sheet.view.isVisible()


@pytest.mark.parametrize(
    "arrive", [through_claims, through_unit, through_comparison], ids=lambda way: way.__name__
)
def test_every_field_of_an_offer_writes_to_the_thing_its_title_names(
    qtbot: Any, desk: MainWindow, session: Session, arrive: Callable[..., None]
) -> None:
    desk.go_to(BIDS)
    arrive(desk, session)
    page = desk.page
    path = page.tree.current_path()
    # A unit shows its screws; its own data stand behind.
    page.unit_tabs.setCurrentIndex(1)
    (form,) = (form for form in page.forms.values() if form.isVisible())
    assert form.subject is not None
    assert form.subject.path == path
    put_away_drawers(desk)
    found = dict(edits_of(form, session, qtbot, whole=True))
    assert len(found) > 8
    assert set().union(*found.values()) == {"/".join(path)}


def test_a_cell_side_by_side_writes_to_the_barrel_its_column_names(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    desk.go_to(BIDS)
    side_by_side(desk, session)
    model, view = desk.page.sheet.model, desk.page.sheet.view
    desk.page.sheet.fold.click()
    put_away_drawers(desk)
    # The first column is but tried, the second walked over all its rows.
    for column, barrel, rows in ((0, "na", 4), (1, "nb", len(model.shapes))):
        title = model.headerData(column, Qt.Orientation.Horizontal)
        assert title.splitlines()[-1] == barrel[-1].upper()
        for row, shape in enumerate(model.shapes[:rows]):
            before = session.evaluation
            text = OF_KIND.get(shape.kind, "12")
            type_into_cell(qtbot, view, model.index(row, column), text)
            paths = set(changed(before, session.evaluation))
            if paths:
                unit = ("bids", "n", "units", "u1")
                of_barrel = shape.name not in InjectionUnit.model_fields
                place = (*unit, *(("barrels", barrel) if of_barrel else ()), shape.name)
                assert {path[: len(place)] for path in paths} == {place}
                session.undo_stack.undo()


def test_no_step_takes_one_of_several_barrels_side_by_side(
    desk: MainWindow, session: Session
) -> None:
    desk.go_to(BIDS)
    side_by_side(desk, session)
    page, before = desk.page, session.evaluation
    for step in (page.remove, page.duplicate, page.add_barrel, page.add_unit):
        assert not step.isEnabled()
        step.trigger()
    assert session.evaluation == before


@pytest.mark.parametrize(
    "arrive", [through_claims, through_unit, through_comparison], ids=lambda way: way.__name__
)
def test_every_step_takes_the_thing_that_the_title_names(
    desk: MainWindow, session: Session, arrive: Callable[..., None]
) -> None:
    desk.go_to(BIDS)
    arrive(desk, session)
    page = desk.page
    # A unit shows its screws; its own data stand behind.
    page.unit_tabs.setCurrentIndex(1)
    (form,) = (form for form in page.forms.values() if form.isVisible())
    path = form.subject.path
    steps = {page.add_unit: path[:2], page.add_barrel: path[:4], page.duplicate: path[:4]}
    for step, parent in steps.items():
        if step.isEnabled():
            before = session.evaluation
            step.trigger()
            (place,) = changed(before, session.evaluation)
            assert place == (*parent, "units" if step is page.add_unit else "barrels")
            session.undo_stack.undo()
            page.choose(path)
    page.remove.trigger()
    with pytest.raises(KeyError):
        edits.get(session.evaluation, path)
    assert len(tuple(session.evaluation.barrels())) == {2: 0, 4: 0, 6: 1}[len(path)]


def test_a_cell_of_the_table_of_jobs_writes_to_its_row(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    desk.go_to(SHOTS)
    put_away_drawers(desk)
    page = desk.page
    for row in (1, 0):
        for column, shape in enumerate(page.model.shapes):
            place = column if column < page.model._computed_at else column + 2
            before: Evaluation = session.evaluation
            text = "17" if shape.kind != "text" else "Lid"
            type_into_cell(qtbot, page.table, page.model.index(row, place), text)
            paths = set(changed(before, session.evaluation))
            assert {path[:3] for path in paths} == {("jobs", before.jobs[row].id, shape.name)}
            session.undo_stack.undo()


def test_tab_after_a_pick_list_stays_in_the_grid(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    desk.go_to(SHOTS)
    page = desk.page
    resin = [shape.name for shape in page.model.shapes].index("resin")
    page.table.setFocus()
    page.table.setCurrentIndex(page.model.index(0, resin))
    qtbot.keyClick(page.table, Qt.Key.Key_F2)
    line = QApplication.focusWidget()
    assert isinstance(line, PickLine)
    qtbot.keyClick(line, Qt.Key.Key_Up)
    qtbot.keyClick(line, Qt.Key.Key_Tab)
    assert page.table.currentIndex() == page.model.index(0, resin + 1)
    for letter in "46":
        qtbot.keyClicks(QApplication.focusWidget(), letter)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    QApplication.processEvents()
    job = session.evaluation.jobs[0]
    assert job.name == "Cap"
    assert job.part_mass is not None
    assert job.part_mass.magnitude == "46"


def test_a_new_job_has_the_keyboard_in_its_row(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    desk.go_to(SHOTS)
    page = desk.page
    page.add_job.trigger()
    assert page.table.hasFocus()
    assert page.table.currentIndex().row() == 2
    qtbot.keyClicks(page.table, "L")
    for letter in "id":
        qtbot.keyClicks(QApplication.focusWidget(), letter)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    QApplication.processEvents()
    assert session.evaluation.jobs[2].name == "Lid"


def test_after_a_resin_of_the_table_the_keyboard_is_back_in_its_cell(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    from evenbarrel.desk.forms.add_resin import TableDialog

    desk.go_to(SHOTS)
    page = desk.page
    page.table.setFocus()
    page.table.setCurrentIndex(page.model.index(1, 2))
    page.add_resin.trigger()
    dialog = page.findChild(TableDialog)
    dialog.accept()
    assert page.table.hasFocus()
    assert page.table.currentIndex() == page.model.index(1, 2)


def test_the_table_of_limits_keeps_the_keyboard_and_what_it_could_not_take(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    desk.go_to(DECISION)
    limits = desk.page.limits
    desk.page.turn_to(limits)
    limits.view.setFocus()
    limits.view.setCurrentIndex(limits.model.index(0, 1))
    before = session.evaluation
    assert not limits.model.setData(limits.model.index(0, 1), "a lot")
    assert limits.model.index(0, 1).data() == "a lot ⊗"
    assert "Not accepted" in limits.model.index(0, 1).data(Qt.ItemDataRole.ToolTipRole)
    assert len(desk.page.refused()) == 1
    assert session.evaluation == before
    qtbot.keyClick(limits.view, Qt.Key.Key_Return)
    assert limits.view.currentIndex() == limits.model.index(1, 1)
    qtbot.keyClick(limits.view, Qt.Key.Key_Tab)
    assert limits.view.hasFocus()
    assert limits.model.setData(limits.model.index(0, 1), "25 %")
    assert desk.page.refused() == ()
    # What contradicts another limit stays too.
    assert not limits.model.setData(limits.model.index(0, 1), "95 %")
    assert limits.model.index(0, 1).data() == "95 % ⊗"
    assert [one.text for one in desk.page.refused()] == ["95 %"]
