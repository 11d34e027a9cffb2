"""Every edit changes what its page names, however a person came to that page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from PySide6.QtCore import QItemSelectionModel, Qt
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit

from evenbarrel.desk.fields.base import Field
from evenbarrel.desk.forms.form import Form
from evenbarrel.desk.forms.pick_line import PickLine
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.navigation import add_drawers
from evenbarrel.desk.window.session import Session
from evenbarrel.model.base import Frozen
from evenbarrel.model.evaluation import Evaluation

TYPED = ("12", "0.5", "2026-03-02", "EUR", "words")
"""One of these is taken by any field of one line."""
SHOTS, BIDS, CLAIMS, FIT, DECISION = range(5)


def changed(before: Any, after: Any, place: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Yield where two evaluations differ, as paths of field names and ids."""
    if before == after:
        return
    if isinstance(before, Frozen) and type(before) is type(after):
        for name in type(before).model_fields:
            yield from changed(getattr(before, name), getattr(after, name), (*place, name))
    elif isinstance(before, tuple) and isinstance(after, tuple) and len(before) == len(after):
        for one, other in zip(before, after, strict=True):
            yield from changed(one, other, (*place, getattr(one, "id", "")))
    else:
        yield place


def edits_of(form: Form, session: Session, qtbot: Any) -> Iterator[tuple[str, set[str]]]:
    """Edit every field of a form once; yield its name and the ids of what was changed."""
    for name, field in form.fields.items():
        for text in TYPED:
            before = session.evaluation
            if not edit(field, text, qtbot):
                break
            if session.evaluation is not before:
                paths = tuple(changed(before, session.evaluation))
                assert {path[-1] if len(path) < 3 else name for path in paths} == {name} or all(
                    name in path for path in paths
                )
                yield name, {"/".join(path[: path.index(name)]) for path in paths}
                session.undo_stack.undo()
                break


def edit(field: Field, text: str, qtbot: Any) -> bool:
    """Type into a field, or choose its second choice; say whether another text may be tried."""
    line: QLineEdit | None = getattr(field, "line", None)
    if line is not None:
        line.setFocus()
        line.selectAll()
        qtbot.keyClicks(line, text)
        qtbot.keyClick(line, Qt.Key.Key_Return)
        return True
    combo: QComboBox | None = getattr(field, "combo", None)
    if combo is not None and combo.count() > 1:
        combo.setCurrentIndex(1 if combo.currentIndex() != 1 else combo.count() - 1)
        combo.activated.emit(combo.currentIndex())
    return False


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


ARRIVALS: tuple[Callable[[MainWindow, Session], None], ...] = (
    by_grid,
    by_question,
    by_undo,
    by_key,
    by_removal,
)


@pytest.fixture
def desk(window: MainWindow, session: Session, theme: Any) -> MainWindow:
    add_drawers(window, session, theme)
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
    found = dict(edits_of(page.form, session, qtbot))
    assert len(found) > 20
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
    found = dict(edits_of(form, session, qtbot))
    assert len(found) > 8
    assert set().union(*found.values()) == {"/".join(path)}


def test_a_cell_of_the_table_of_jobs_writes_to_its_row(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    desk.go_to(SHOTS)
    page = desk.page
    for row in (1, 0):
        for column, shape in enumerate(page.model.shapes):
            if shape.kind not in ("quantity", "integer", "text"):
                continue
            place = column if column < page.model._computed_at else column + 2
            before: Evaluation = session.evaluation
            index = page.model.index(row, place)
            assert page.model.setData(index, "17" if shape.kind != "text" else "Lid")
            ids = {path[1] for path in changed(before, session.evaluation)}
            assert ids == {before.jobs[row].id}
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
    from evenbarrel.desk.pages.shots.resin_panel import TableDialog

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
    desk.page.tabs.setCurrentWidget(limits)
    limits.view.setFocus()
    limits.view.setCurrentIndex(limits.model.index(0, 1))
    before = session.evaluation
    assert not limits.model.setData(limits.model.index(0, 1), "a lot")
    assert limits.model.index(0, 1).data() == "a lot ⊗"
    assert "Not taken" in limits.model.index(0, 1).data(Qt.ItemDataRole.ToolTipRole)
    assert len(desk.page.refused()) == 1
    assert session.evaluation == before
    qtbot.keyClick(limits.view, Qt.Key.Key_Return)
    assert limits.view.currentIndex() == limits.model.index(1, 1)
    qtbot.keyClick(limits.view, Qt.Key.Key_Tab)
    assert limits.view.hasFocus()
    assert limits.model.setData(limits.model.index(0, 1), "25 %")
    assert desk.page.refused() == ()
