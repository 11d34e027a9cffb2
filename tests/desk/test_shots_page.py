"""Shots: planned jobs edited in place, the resin's routes beside."""

from __future__ import annotations

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from evenbarrel.appraisal.references import FactorRef, ShotRef
from evenbarrel.desk.forms.add_resin import TableDialog
from evenbarrel.desk.pages.shots.page import COLUMNS, ProgrammeDialog, ShotsPage
from evenbarrel.desk.pages.shots.resin_panel import ResinDialog
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model.datum_path import JobPath
from evenbarrel.model.job import Job
from evenbarrel.model.record.decision import Deviation

from .conftest import quantity
from .person import Person

PART_MASS = COLUMNS.index("part_mass")


@pytest.fixture
def session(same_session: Session) -> Session:
    """A session that holds the small programme, appraised and unmodified."""
    return same_session


@pytest.fixture
def window(same_desk: Person, session: Session) -> MainWindow:
    """The window on it."""
    return same_desk.window


@pytest.fixture
def page(window: MainWindow) -> ShotsPage:
    found: ShotsPage = window.page
    found.resins.show_resin("pp")
    return found


def job(session: Session, name: str) -> Job:
    return next(one for one in session.evaluation.jobs if one.id == name)


def headers(page: ShotsPage) -> list[str]:
    horizontal = Qt.Orientation.Horizontal
    return [page.model.headerData(i, horizontal) for i in range(page.model.columnCount())]


def test_shot_mass_and_volume_stand_beside_what_was_entered(page: ShotsPage) -> None:
    columns = headers(page)
    mass, volume = columns.index("Shot\nmass\ng"), columns.index("Shot\nvolume\ncm³")
    # 8 x 9.5 g = 76 g; 76 g / 0.73 g/cm3 = 104 cm3 (trade factor: common practice, no source).
    assert page.model.index(0, mass).data() == "76.0"
    assert page.model.index(0, volume).data() == "104"
    assert not page.model.flags(page.model.index(0, volume)) & Qt.ItemFlag.ItemIsEditable


def test_a_number_typed_into_a_cell_moves_the_shot(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    page.table.setFocus()
    page.table.setCurrentIndex(page.model.index(0, PART_MASS))
    qtbot.keyClick(page.table, Qt.Key.Key_F2)
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    editor.selectAll()
    qtbot.keyClicks(editor, "0.5 oz")
    with qtbot.waitSignal(page.model.edited):
        qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert job(session, "cap").part_mass == quantity("0.5", "oz")
    assert page.model.index(0, PART_MASS).data() == "0.5 oz"
    # 8 x 0.5 oz = 113.4 g, in polypropylene at 0.73 g/cm3
    assert page.model.index(0, headers(page).index("Shot\nvolume\ncm³")).data() == "155"
    # Enter led to the cell below, and the form with it.
    assert page.table.currentIndex().row() == 1
    assert page.form.subject == JobPath("tray")
    page.table.setCurrentIndex(page.model.index(0, PART_MASS))
    assert page.form.fields["part_mass"].shown == quantity("0.5", "oz")


@pytest.mark.parametrize("typed", ["heavy", "-3", "0", "9-10", "12 kW", "1e400"])
def test_what_cannot_be_read_stays_in_its_cell(
    page: ShotsPage, session: Session, typed: str
) -> None:
    before = session.evaluation
    cell = page.model.index(0, PART_MASS)
    assert not page.model.setData(cell, typed)
    assert session.evaluation is before
    assert cell.data() == typed
    assert "Not accepted" in cell.data(Qt.ItemDataRole.ToolTipRole)
    assert [one.text for one in page.refused()] == [typed]
    session.put(("jobs", "cap", "part_mass"), quantity("9.6", "g"), "Part mass")
    assert cell.data() == "9.6"


def test_an_emptied_cell_is_not_stated(page: ShotsPage, session: Session) -> None:
    assert page.model.setData(page.model.index(0, PART_MASS), "")
    assert job(session, "cap").part_mass is None
    assert page.model.index(0, headers(page).index("Shot\nvolume\ncm³")).data() == "–"


def test_resin_and_runner_are_chosen_in_the_cell(page: ShotsPage, session: Session) -> None:
    model = page.model
    assert model.setData(model.index(0, COLUMNS.index("resin")), "Polystyrene")
    assert model.setData(model.index(0, COLUMNS.index("runner_kind")), "cold")
    changed = job(session, "cap")
    assert (changed.resin, changed.runner_kind) == ("ps", "cold")


def test_the_table_is_a_sound_model(qtmodeltester: Any, page: ShotsPage) -> None:
    qtmodeltester.check(page.model)


def test_a_computed_number_is_opened(qtbot: Any, page: ShotsPage, session: Session) -> None:
    cell = page.model.index(0, headers(page).index("Shot\nvolume\ncm³"))
    with qtbot.waitSignal(session.show_working) as told:
        page.table.clicked.emit(cell)
    assert told.args == [ShotRef("cap")]


def test_a_job_is_added_by_key_and_named_at_once(
    qtbot: Any, window: MainWindow, page: ShotsPage, session: Session
) -> None:
    modifiers = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    qtbot.keyClick(window, Qt.Key.Key_J, modifiers)
    qtbot.keyClicks(page.table, "L")
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    qtbot.keyClicks(editor, "id")
    with qtbot.waitSignal(page.model.edited):
        qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert [one.name for one in session.evaluation.jobs] == ["Cap", "Tray", "Lid"]
    assert session.selection.job == session.evaluation.jobs[-1].id


def test_a_job_is_duplicated(page: ShotsPage, session: Session) -> None:
    session.selection.choose(None, "tray")
    page.duplicate_job.trigger()
    _, tray, copy = session.evaluation.jobs
    assert copy.replace(id="tray") == tray
    assert copy.id != "tray"


def test_removing_a_job_takes_what_refers_to_it_along(page: ShotsPage, session: Session) -> None:
    accepted = Deviation(barrel="na", job="cap", criterion="utilisation")
    session.put(("deviations",), (accepted,), "Accept")
    before = session.evaluation
    session.selection.choose(None, "cap")
    page.remove_job.trigger()
    assert [one.id for one in session.evaluation.jobs] == ["tray"]
    assert session.evaluation.deviations == ()
    session.undo_stack.undo()
    assert session.evaluation is before


def test_the_form_shows_the_job_that_is_chosen(page: ShotsPage, session: Session) -> None:
    page.table.setCurrentIndex(page.model.index(1, 0))
    assert session.selection.job == "tray"
    assert page.form.fields["shot_mass"].shown == quantity("120", "g")
    assert page.resins.resin == "ps"
    # 120 g / 0.91 g/cm3
    assert page.form.fields["resin"].hint.text() == "132 cm³ at 0.910 g/cm³"


def test_every_route_stands_with_its_spread_and_another_is_one_step(
    page: ShotsPage, session: Session
) -> None:
    routes = page.resins._routes
    assert routes["trade_table"][0].isChecked()
    assert routes["trade_table"][1].text() == "0.730 g/cm³ ± 4.0 %"
    assert routes["own"][1].text() == "0.750 g/cm³ ± 3.0 %"
    assert not routes["air_shot"][0].isEnabled()
    routes["own"][0].click()
    used = session.evaluation.resin("pp")
    assert used is not None
    assert used.output_factor_route == "own"
    # 76 g / 0.75 g/cm3
    assert page.model.index(0, headers(page).index("Shot\nvolume\ncm³")).data() == "101"
    session.undo_stack.undo()
    assert routes["trade_table"][0].isChecked()


def test_what_a_route_rests_on_is_read_to_its_end(
    page: ShotsPage, session: Session, window: MainWindow
) -> None:
    """PA66 with glass says three things of its melt density: more than a line holds."""
    page.add_resin.trigger()
    (dialog,) = page.findChildren(TableDialog)
    dialog.search.setText("PA66 + 30 % glass")
    dialog.accept()
    assert session.evaluation.resins[-1].id == "pa66_gf30"
    page.resins.show_resin("pa66_gf30")
    window.resize(1400, 900)
    QApplication.processEvents()
    notes = [note for _, _, note in page.resins._routes.values() if note.isVisible()]
    assert len(notes) == 2
    for note in notes:
        room, flags = note.contentsRect(), Qt.TextFlag.TextWordWrap
        needed = note.fontMetrics().boundingRect(room, flags, note.text())
        assert needed.width() <= room.width(), note.text()
        assert needed.height() <= room.height(), note.text()


def test_a_factor_is_opened(qtbot: Any, page: ShotsPage, session: Session) -> None:
    with qtbot.waitSignal(session.show_working) as told:
        qtbot.mouseClick(page.resins._routes["own"][1], Qt.MouseButton.LeftButton)
    assert told.args == [FactorRef("pp")]


def test_a_resin_of_the_table_is_added_without_a_window_of_its_own(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    page.add_resin.trigger()
    (dialog,) = page.findChildren(TableDialog)
    qtbot.keyClicks(dialog.search, "polycarbonate")
    qtbot.keyClick(dialog.search, Qt.Key.Key_Return)
    added = session.evaluation.resins[-1]
    assert added.id == "pc"
    assert added.utilisation_low is None
    assert added.utilisation_high is None


def test_a_resin_added_twice_gets_an_id_of_its_own(page: ShotsPage, session: Session) -> None:
    page.add_resin.trigger()
    (dialog,) = page.findChildren(TableDialog)
    dialog.search.setText("general purpose")
    dialog.accept()
    ids = [resin.id for resin in session.evaluation.resins]
    assert ids == ["ps", "pp", "ps_1"]


def test_all_resin_data_can_be_edited(qtbot: Any, page: ShotsPage, session: Session) -> None:
    page.resins.edit.click()
    (dialog,) = page.findChildren(ResinDialog)
    for form, name, text in (
        (dialog.factors, "air_shot", "0.742"),
        (dialog.form, "melt_temperature", "230"),
    ):
        line = form.fields[name].line
        qtbot.keyClicks(line, text)
        qtbot.keyClick(line, Qt.Key.Key_Return)
    resin = session.evaluation.resin("pp")
    assert resin is not None
    assert resin.output_factors.air_shot == quantity("0.742", "g/cm3")
    assert resin.melt_temperature == quantity("230", "degC")
    dialog.close()


def test_a_resin_in_use_is_not_removed(qtbot: Any, page: ShotsPage, session: Session) -> None:
    before = session.evaluation
    with qtbot.waitSignal(session.refused) as told:
        page.resins.remove.click()
    assert session.evaluation is before
    assert "names the resin 'pp'" in told.args[0]


def test_title_buyer_and_date_are_entered_from_the_head_of_the_page(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    assert page.programme.text() == "Small programme · as of 2026-04-15 · enter buyer, site…"
    page.programme.click()
    (dialog,) = page.findChildren(ProgrammeDialog)
    line = dialog.form.fields["buyer"].line
    qtbot.keyClicks(line, "Purchasing")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert dialog.isVisible()
    assert session.evaluation.buyer == "Purchasing"
    assert page.programme.text() == (
        "Small programme · Purchasing · as of 2026-04-15 · enter site…"
    )
    dialog.close()


def test_text_refused_in_a_dialog_is_told_when_it_closes(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    page.programme.click()
    page.resins.edit.click()
    (programme,), (resin,) = page.findChildren(ProgrammeDialog), page.findChildren(ResinDialog)
    before = session.evaluation
    for dialog, name, label in (
        (programme, "as_of", "As of"),
        (resin, "melt_temperature", "Melt temperature"),
    ):
        line = dialog.form.fields[name].line
        line.setText("soon")
        qtbot.keyClick(line, Qt.Key.Key_Return)
        with qtbot.waitSignal(session.refused) as told:
            dialog.close()
        assert told.args == [f"Not accepted, left as it was: {label}."]
    assert session.evaluation is before


def test_names_take_what_is_free_beside_the_numbers(window: MainWindow, session: Session) -> None:
    session.open_sample()
    table = window.page.table

    def widths(width: int) -> list[int]:
        window.resize(width, 900)
        return [table.columnWidth(column) for column in range(table.model().columnCount())]

    narrow, wider = widths(1400), widths(1500)
    assert wider[0] > narrow[0]
    assert wider[2:] == narrow[2:]
    # What the names need no more is shared by all.
    wide = widths(1920)
    assert all(wide[column] > table.sizeHintForColumn(column) for column in (0, 1))
    (more,) = {now - before for now, before in zip(wide[2:], narrow[2:], strict=True)}
    assert more > 0
    assert 0 <= table.viewport().width() - sum(wide) < len(wide)
    assert widths(1400) == narrow


def test_the_resin_goes_below_the_form_in_a_small_window(
    qtbot: Any, page: ShotsPage, window: MainWindow, session: Session
) -> None:
    def place(widget: QWidget) -> QPoint:
        return widget.mapTo(page, QPoint(0, 0))

    session.open_sample()
    window.resize(760, 900)
    qtbot.waitUntil(lambda: place(page.resins).y() > place(page.form).y())
    assert place(page.resins).x() < page.width() / 4
    # Labels, numbers and units of the form all stay in sight.
    assert page.form.visibleRegion().boundingRect().width() >= 360
    window.resize(1400, 900)
    qtbot.waitUntil(lambda: place(page.resins).x() > page.width() / 2)


def test_an_empty_page_teaches_how_to_begin(page: ShotsPage, session: Session) -> None:
    session.new()
    assert page.empty.isVisible()
    assert "Add job" in page.empty.text()
    assert page.about.fields["title"].isVisible()
    page.add_job.trigger()
    assert not page.about.isVisible()
    assert not page.empty.isVisible()
    assert page.table.isVisible()


def test_the_keyboard_is_seen_in_a_table_that_holds_nothing_yet(
    qtbot: Any, page: ShotsPage, session: Session
) -> None:
    def seen() -> QImage:
        return page.table.viewport().grab().toImage()

    session.new()
    away = seen()
    page.table.setFocus()
    here = seen()
    differ = [(x, y) for x in range(0, 300, 2) for y in range(0, 60, 2) if pixel(away, here, x, y)]
    assert differ
    # Where the first mould will be typed in, and nowhere else.
    qtbot.keyClicks(page.table, "L")
    first = page.table.visualRect(page.model.index(0, 0))
    assert [at for at in differ if not first.contains(*at)] == [], first


def pixel(one: QImage, other: QImage, x: int, y: int) -> bool:
    return one.pixel(x, y) != other.pixel(x, y)


def test_a_refused_text_is_told_as_long_as_it_stands_in_its_cell(
    page: ShotsPage, session: Session
) -> None:
    page.model.setData(page.model.index(0, PART_MASS), "heavy")
    page.model.setData(page.model.index(1, PART_MASS), "light")
    assert [one.text for one in page.refused()] == ["heavy", "light"]
    session.put(("jobs", "cap", "part_mass"), quantity("9", "g"), "Part mass")
    assert [one.text for one in page.refused()] == ["light"]
    session.new()
    assert page.refused() == ()
