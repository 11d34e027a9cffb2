"""Bids: suppliers, units and barrels typed as printed, by keyboard alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QWidget

from evenbarrel.desk.forms.add_resin import TableDialog
from evenbarrel.desk.forms.grids.entry_model import EntryModel
from evenbarrel.desk.pages.bids.page import BidsPage
from evenbarrel.desk.pages.bids.screw_sheet import PRINTED_FIRST
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model.offers.bid import Barrel
from evenbarrel.model.record.decision import Deviation
from evenbarrel.wording.sentences import hints
from evenbarrel.wording.words.hint import Hint

from .conftest import quantity, small_programme
from .person import Person

CONTROL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
UNIT = ("bids", "n", "units", "u1")


@pytest.fixture
def session(same_session: Session) -> Session:
    """A session that holds the small programme, appraised and unmodified."""
    return same_session


@pytest.fixture
def window(same_desk: Person, session: Session) -> MainWindow:
    """The window on it."""
    return same_desk.window


@pytest.fixture
def page(window: MainWindow) -> BidsPage:
    window.go_to(1)
    found: BidsPage = window.page
    found.sheet.fold.setChecked(False)
    return found


def keyboard(qtbot: Any) -> Callable[..., None]:
    """Types into whatever has the keyboard."""

    def press(*keys: object, modifiers: Any = Qt.KeyboardModifier.NoModifier) -> None:
        for key in keys:
            target: QWidget | None = QApplication.focusWidget()
            assert target is not None
            if isinstance(key, str):
                qtbot.keyClicks(target, key)
            else:
                qtbot.keyClick(target, key, modifiers)
            # No hand is faster than what a grid has put off to the next turn of the loop.
            QApplication.processEvents()

    return press


def barrels(session: Session) -> list[Barrel]:
    return [barrel for _, _, barrel in session.evaluation.barrels()]


def test_a_supplier_with_three_screws_by_keyboard_alone(
    qtbot: Any, window: MainWindow, session: Session
) -> None:
    press = keyboard(qtbot)
    window.page_list.setFocus()
    press(Qt.Key.Key_2, modifiers=Qt.KeyboardModifier.AltModifier)
    press(Qt.Key.Key_A, modifiers=CONTROL_SHIFT)
    press("Ostmark", Qt.Key.Key_Tab)
    press(Qt.Key.Key_U, modifiers=CONTROL_SHIFT)
    press("Unit 490", Qt.Key.Key_Tab)
    for diameter in ("40", "45", "50"):
        press(Qt.Key.Key_B, modifiers=CONTROL_SHIFT)
        press(Qt.Key.Key_Return)
        for letter in f"{diameter} mm":
            press(letter)
        press(Qt.Key.Key_Return)
    (_, added) = session.evaluation.bids
    assert added.supplier == "Ostmark"
    (unit,) = added.units
    assert unit.designation == "Unit 490"
    assert [barrel.label for barrel in unit.barrels] == ["A", "B", "C"]
    assert [barrel.screw_diameter for barrel in unit.barrels] == [
        quantity(diameter, "mm") for diameter in ("40", "45", "50")
    ]
    while session.undo_stack.canUndo():
        session.undo_stack.undo()
    assert session.evaluation == small_programme()


def test_the_tree_tells_gate_and_volume(page: BidsPage) -> None:
    supplier = page.tree.topLevelItem(0)
    unit = supplier.child(0)
    # pi/4 * (40 mm)^2 * 200 mm = 251 cm3; with 45 mm it is 318 cm3.
    assert [unit.child(i).text(0) for i in range(2)] == ["A   251 cm³", "B   318 cm³"]
    assert not unit.child(0).icon(0).isNull()
    assert unit.child(0).toolTip(0) in ("no objection", "waits", "shut", "not judged")


def test_what_has_no_name_is_called_by_its_place(page: BidsPage, session: Session) -> None:
    unit = edits.get(session.evaluation, UNIT)
    nameless = unit.replace(
        designation="", barrels=tuple(barrel.replace(label="") for barrel in unit.barrels)
    )
    session.edit("Without names", edits.put(session.evaluation, UNIT, nameless))
    item = page.tree.topLevelItem(0).child(0)
    assert item.text(0) == "Injection unit 1"
    assert [item.child(n).text(0).split("   ")[0] for n in (0, 1)] == ["Screw 1", "Screw 2"]
    page.choose((*UNIT, "barrels", "nb"))
    page.remove.trigger()
    assert session.undo_stack.undoText() == "Remove Screw 2"


def test_a_number_typed_into_the_form_moves_everything(
    qtbot: Any, page: BidsPage, session: Session
) -> None:
    page.choose((*UNIT, "barrels", "na"))
    line = page.forms[Barrel].fields["screw_diameter"].line
    line.selectAll()
    qtbot.keyClicks(line, "1.75 in")
    qtbot.keyClick(line, Qt.Key.Key_Return)
    assert barrels(session)[0].screw_diameter == quantity("1.75", "in")
    # pi/4 * (44.45 mm)^2 * 200 mm
    assert page.tree.topLevelItem(0).child(0).child(0).text(0) == "A   310 cm³"
    assert session.undo_stack.undoText() == "Screw diameter of A"


def test_a_duplicate_gets_the_next_letter_and_no_decision(page: BidsPage, session: Session) -> None:
    page.choose((*UNIT, "barrels", "na"))
    page.duplicate.trigger()
    first, _, copy = barrels(session)
    assert copy.label == "C"
    assert copy.replace(id=first.id, label=first.label) == first
    assert session.undo_stack.undoText() == "Duplicate barrel"


def test_a_new_barrel_takes_over_the_stroke_that_its_unit_shares(
    page: BidsPage, session: Session
) -> None:
    page.choose(UNIT)
    page.add_barrel.trigger()
    assert barrels(session)[-1].stroke == quantity("200", "mm")


def test_removing_takes_what_refers_to_it_along_and_is_undone_whole(
    page: BidsPage, session: Session
) -> None:
    accepted = Deviation(barrel="na", criterion="utilisation", person="I. Vostrel")
    session.put(("deviations",), (accepted,), "Accept")
    before = session.evaluation
    page.choose(UNIT)
    page.remove.trigger()
    assert session.evaluation.bids[0].units == ()
    assert session.evaluation.deviations == ()
    session.undo_stack.undo()
    assert session.evaluation is before


def test_undoing_an_addition_leads_back_to_what_it_was_added_to(
    page: BidsPage, session: Session
) -> None:
    page.choose((*UNIT, "barrels", "nb"))
    page.add_barrel.trigger()
    assert page.tree.current_path() == (*UNIT, "barrels", barrels(session)[-1].id)
    session.undo_stack.undo()
    assert page.tree.current_path() == UNIT


def test_a_name_that_is_typed_replaces_the_suggested_one(
    qtbot: Any, window: MainWindow, page: BidsPage, session: Session
) -> None:
    press = keyboard(qtbot)
    page.choose(UNIT)
    page.tree.setFocus()
    page.add_barrel.trigger()
    for letter in "35 barrier":
        press(letter)
    press(Qt.Key.Key_Tab)
    assert barrels(session)[-1].label == "35 barrier"


def test_steps_that_need_something_chosen_wait_for_it(page: BidsPage) -> None:
    page.choose(("bids", "n"))
    assert page.add_unit.isEnabled()
    assert not page.add_barrel.isEnabled()
    assert not page.duplicate.isEnabled()
    page.choose((*UNIT, "barrels", "nb"))
    assert page.duplicate.isEnabled()


def test_choosing_a_barrel_is_told_to_the_other_pages(
    qtbot: Any, page: BidsPage, session: Session
) -> None:
    with qtbot.waitSignal(session.selection.changed):
        page.choose((*UNIT, "barrels", "nb"))
    assert session.selection.barrel == "nb"


def side_by_side(page: BidsPage) -> EntryModel:
    unit = page.tree.topLevelItem(0).child(0)
    page.choose((*UNIT, "barrels", "na"))
    unit.child(1).setSelected(True)
    assert page.sheet.isVisible()
    return page.sheet.model


def test_barrels_chosen_together_stand_side_by_side_and_are_edited_there(
    page: BidsPage, session: Session
) -> None:
    model = side_by_side(page)
    assert model.columnCount() == 2
    row = [shape.name for shape in model.shapes].index("swept_volume")
    assert model.setData(model.index(row, 1), "19,4 in3")
    assert barrels(session)[1].swept_volume == quantity("19.4", "in3")
    # All that is stated is in cubic inches: the heading says so once.
    assert model.headerData(row, Qt.Orientation.Vertical) == "Swept volume, in³"
    assert model.index(row, 1).data() == "19.4"


def test_a_bare_number_is_in_the_unit_that_its_row_is_headed_with(
    page: BidsPage, session: Session
) -> None:
    page.choose(UNIT)
    model = page.sheet.model
    row = PRINTED_FIRST.index("injection_pressure")
    assert model.headerData(row, Qt.Orientation.Vertical) == "Injection pressure, bar"
    assert model.setData(model.index(row, 0), "30,200 psi")
    assert model.headerData(row, Qt.Orientation.Vertical) == "Injection pressure, psi"
    assert model.setData(model.index(row, 1), "22,200")
    pressures = [barrel.injection_pressure for barrel in barrels(session)]
    assert pressures == [quantity("30200", "psi"), quantity("22200", "psi")]
    # Rows of a spreadsheet without units mean the same.
    model.put_rows((("28000", "21000"),), row, 0, named=True)
    pressures = [barrel.injection_pressure for barrel in barrels(session)]
    assert pressures == [quantity("28000", "psi"), quantity("21000", "psi")]
    # Where units differ the heading is the usual one again, and each cell says its own.
    assert model.setData(model.index(row, 1), "150 MPa")
    assert model.headerData(row, Qt.Orientation.Vertical) == "Injection pressure, bar"
    assert [model.index(row, column).data() for column in (0, 1)] == ["28000 psi", "150 MPa"]


def test_enter_in_the_tree_leads_to_the_data(qtbot: Any, page: BidsPage) -> None:
    press = keyboard(qtbot)
    for path, name in (
        (UNIT[:2], "Supplier"),
        (UNIT, "Screws side by side"),
        ((*UNIT, "barrels", "nb"), "Screw designation"),
    ):
        page.choose(path)
        page.tree.setFocus()
        press(Qt.Key.Key_Return)
        focus = QApplication.focusWidget()
        assert focus is not None
        assert focus.accessibleName() == name


def test_what_the_comparison_cannot_read_stays_in_its_cell(
    qtbot: Any, page: BidsPage, session: Session
) -> None:
    model = side_by_side(page)
    row = [shape.name for shape in model.shapes].index("stroke")
    before = session.evaluation
    with qtbot.waitSignal(session.refused) as told:
        assert not model.setData(model.index(row, 0), "200 - 210")
    assert session.evaluation is before
    assert model.index(row, 0).data() == "200 - 210"
    assert told.args[0].startswith("Stroke: Not accepted: ")
    assert [one.text for one in page.refused()] == ["200 - 210"]


def test_the_comparison_is_a_sound_model(qtmodeltester: Any, page: BidsPage) -> None:
    qtmodeltester.check(side_by_side(page))


def test_the_reference_resin_comes_from_the_table_in_place(
    qtbot: Any, page: BidsPage, session: Session
) -> None:
    page.choose((*UNIT, "barrels", "na"))
    page.forms[Barrel].fields["reference_resin"].wanted.emit()
    (dialog,) = page.findChildren(TableDialog)
    qtbot.keyClicks(dialog.search, "acetal")
    if "New resin" in dialog.list.item(0).text():
        dialog.search.clear()
        qtbot.keyClicks(dialog.search, "POM")
    dialog.accept()
    assert barrels(session)[0].reference_resin == "pom"
    assert session.evaluation.resin("pom") is not None


def test_hints_stand_beside_the_rows_they_belong_to(
    make_window: Callable[..., MainWindow], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        hints, "barrel_hints", lambda appraisal, barrel: {"stroke": Hint(f"implied for {barrel}")}
    )
    window = make_window()
    window.go_to(1)
    window.page.choose((*UNIT, "barrels", "nb"))
    fields = window.page.forms[Barrel].fields
    assert fields["stroke"].hint.text() == "implied for nb"
    assert fields["stroke"].hint.isVisible()
    assert fields["screw_diameter"].hint is None


def test_a_unit_shows_its_screws_as_a_data_sheet(page: BidsPage, session: Session) -> None:
    page.choose(UNIT)
    model, view = page.sheet.model, page.sheet.view
    assert view.isVisible()
    assert model.columnCount() == 2
    shown = [row for row in range(model.rowCount()) if not view.isRowHidden(row)]
    assert [model.shapes[row].name for row in shown] == list(PRINTED_FIRST)
    assert "more (0 stated)" in page.sheet.fold.text()
    page.sheet.fold.click()
    assert not any(view.isRowHidden(row) for row in range(model.rowCount()))


def test_a_table_of_a_supplier_adds_its_screws_in_one_step(
    qtbot: Any, page: BidsPage, session: Session
) -> None:
    page.choose(UNIT)
    before = session.evaluation
    QGuiApplication.clipboard().setText(
        "Screw\tC\tD\n"
        "Screw diameter [mm]\t50\t2 in\n"
        "Swept volume (cm³)\t392,7\t24.7 in3\n"
        "Reference resin\tpom\tPS\n"
        "Drive power\t45 kW\t55 kW\n"
        "Tie bars\t560\t560\n"
    )
    view = page.sheet.view
    view.setFocus()
    view.setCurrentIndex(page.sheet.model.index(0, 1))
    qtbot.keyClick(view, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    _, second, third = barrels(session)
    assert second.screw_diameter == quantity("50", "mm")
    assert second.stroke == quantity("200", "mm")
    assert (third.label, third.screw_diameter) == ("D", quantity("2", "in"))
    assert third.swept_volume == quantity("24.7", "in3")
    assert (second.reference_resin, third.reference_resin) == ("pom", "ps")
    told = page.sheet.note.text.toPlainText()
    assert "1 screw added" in told
    assert "“Tie bars”" in told
    assert "one for the whole unit" in told
    session.undo_stack.undo()
    assert session.evaluation is before


def test_enter_goes_down_and_tab_goes_right_in_the_sheet(qtbot: Any, page: BidsPage) -> None:
    page.choose(UNIT)
    model, view = page.sheet.model, page.sheet.view
    view.setFocus()
    last = len(PRINTED_FIRST) - 1
    view.setCurrentIndex(model.index(last - 2, 0))
    press = keyboard(qtbot)
    press(Qt.Key.Key_Tab)
    assert view.currentIndex() != model.index(last - 2, 0)
    view.setCurrentIndex(model.index(1, 0))
    press(Qt.Key.Key_Tab)
    assert view.currentIndex() == model.index(1, 1)
    press(Qt.Key.Key_Return)
    assert view.currentIndex() == model.index(2, 1)
    view.setCurrentIndex(model.index(last, 0))
    press(Qt.Key.Key_Return)
    # What is folded is no place for the keyboard.
    assert view.currentIndex().row() == last


def test_what_stands_behind_the_marked_cells_is_told_and_edited_in_one_step(
    qtbot: Any, page: BidsPage, session: Session
) -> None:
    page.choose(UNIT)
    model, view, strip = page.sheet.model, page.sheet.view, page.sheet.strip
    view.setFocus()
    view.setCurrentIndex(model.index(1, 0))
    assert strip.title.text() == "Screw diameter of A"
    qtbot.keyClick(view, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClicks(strip.source, "offer 12, p. 3")
    qtbot.keyClick(strip.source, Qt.Key.Key_Return)
    assert [one.screw_diameter.source for one in barrels(session)] == ["offer 12, p. 3"] * 2
    assert session.undo_stack.undoText() == "Source"


def test_a_hint_that_fails_looks_different_from_one_that_agrees(
    make_window: Callable[..., MainWindow], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = {
        "na": {"stroke": Hint("agrees", "inside")},
        "nb": {"stroke": Hint("is wrong", "outside")},
    }
    monkeypatch.setattr(hints, "barrel_hints", lambda appraisal, barrel: told[barrel])
    window = make_window()
    window.go_to(1)
    window.page.choose(UNIT)
    sheet = window.page.sheet
    roles = []
    for column in (0, 1):
        index = sheet.model.index(PRINTED_FIRST.index("stroke"), column)
        sheet.view.setCurrentIndex(index)
        roles.append(sheet.strip.hint.foregroundRole())
        assert (index.data(Qt.ItemDataRole.DecorationRole) is None) == (column == 0)
    assert sheet.strip.hint.text() == "is wrong"
    assert roles[0] != roles[1]


def test_a_datum_is_two_stops_of_the_tab_key(qtbot: Any, page: BidsPage) -> None:
    page.choose((*UNIT, "barrels", "na"))
    field = page.forms[Barrel].fields["swept_volume"]
    reached = [
        widget
        for widget in field.findChildren(QWidget)
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible()
    ]
    assert reached == [field.line, field.provenance.source]


def test_a_note_that_is_too_long_is_refused_in_words(
    page: BidsPage, session: Session, qtbot: Any
) -> None:
    page.choose(UNIT)
    page.sheet.focus_cell("na", "stroke")
    strip, before = page.sheet.strip, session.evaluation
    strip.note.setText("x" * 2500)
    strip.note.editingFinished.emit()
    assert session.evaluation is before
    assert "2000 characters" in strip.hint.text().replace(",", "").replace("\u202f", "")
    assert len(strip.note.text()) == 2500
