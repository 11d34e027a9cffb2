"""Every decision and setting changes what its page names, however a person came to that page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from evenbarrel.appraisal.references import ClaimRef
from evenbarrel.desk.drawers.questions import QuestionsDrawer
from evenbarrel.desk.forms.add_resin import TableDialog
from evenbarrel.desk.forms.decision_forms import AskDialog
from evenbarrel.desk.forms.grids.settings_table import NOTE, VALUE, SettingsTable
from evenbarrel.desk.pages.shots.resin_panel import ResinDialog
from evenbarrel.desk.what_if.tried import Tryable, tryables
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model import datum_path as edits
from evenbarrel.model import settings
from evenbarrel.wording.sentences import claims_page

from .conftest import small_programme
from .edits_made import (
    changed,
    click_cell,
    edits_of,
    pick_another,
    press,
    put_away_drawers,
    type_into_cell,
    type_over,
)
from .person import Person, cell_of

# What the platform without a screen says when a pick-list opens.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)

SHOTS, BIDS, CLAIMS, FIT, DECISION = range(5)
Arrive = Callable[[MainWindow, Session], None]


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


@pytest.fixture
def full(desk: MainWindow, session: Session) -> MainWindow:
    """The desk with the sample, where there is something to decide."""
    session.open_sample()
    return desk


def answer(qtbot: Any, top: QWidget, **texts: str) -> None:
    """Fill the small dialog that is open by its keys, and press its button."""
    dialog = next(d for d in top.findChildren(AskDialog) if d.isVisible())
    for name, text in texts.items():
        field: Any = dialog.fields[name]
        if hasattr(field, "combo"):
            field.combo.setFocus()
            qtbot.keyClicks(field.combo, text)
            qtbot.keyClick(field.combo, Qt.Key.Key_Return)
        else:
            field.line.setFocus()
            qtbot.keyClicks(field.line, text)
    dialog.accept()
    assert not dialog.isVisible()


def by_page(window: MainWindow, session: Session) -> None:
    """Another page was looked at, another cell chosen there."""
    window.go_to(FIT)
    session.selection.choose("nb", "tray")
    window.go_to(DECISION)


def by_undo(window: MainWindow, session: Session) -> None:
    """A setting was changed and undone elsewhere."""
    after = settings.put_settings(
        session.evaluation, {settings.LimitKey("engineering_low"): 0.2}, {}
    )
    session.edit("A limit", after)
    window.go_to(CLAIMS)
    session.undo_stack.undo()
    window.go_to(DECISION)


def by_keys(window: MainWindow, session: Session) -> None:
    """Alt+5."""
    QTest.keyClick(window, Qt.Key.Key_5, Qt.KeyboardModifier.AltModifier)


ARRIVALS = (by_page, by_undo, by_keys)


def value_of_all(session: Session, table: SettingsTable) -> dict[settings.SettingKey, object]:
    """Every setting of a table by its key, with its note where it has one."""
    evaluation = session.evaluation
    return {
        row.key: (
            settings.value_of(evaluation, row.key),
            settings.note_of(evaluation, row.key),
        )
        for row in table.model.rows
    }


def different(before: dict[Any, object], after: dict[Any, object]) -> list[Any]:
    return [key for key in before if before[key] != after[key]]


@pytest.mark.parametrize("arrive", ARRIVALS, ids=lambda way: way.__name__)
@pytest.mark.parametrize("of", ["limits", "half_widths"])
def test_a_setting_is_changed_in_its_row_and_nowhere_else(
    qtbot: Any, desk: MainWindow, session: Session, arrive: Arrive, of: str
) -> None:
    desk.go_to(DECISION)
    arrive(desk, session)
    page = desk.page
    table: SettingsTable = getattr(page, of)
    page.turn_to(table)
    put_away_drawers(desk)
    # Each way takes every third row, from another on: together they take all there are.
    for row in range(ARRIVALS.index(arrive), len(table.model.rows), len(ARRIVALS)):
        setting = table.model.rows[row]
        before, evaluation = value_of_all(session, table), session.evaluation
        present = settings.value_of(evaluation, setting.key)
        # A little more than it is: the limits beside it are seldom that near.
        text = f"{present * 101:.4g} %" if table is not page.limits else f"{present * 1.01:.4g}"
        type_into_cell(qtbot, table.view, table.model.index(row, VALUE), text)
        assert different(before, value_of_all(session, table)) == [setting.key]
        names = {path[:2] for path in changed(evaluation, session.evaluation)}
        assert names == {setting.key.path[:2]}
        assert table.model.index(row, 0).data() == setting.label
        click_cell(qtbot, table.view, table.model.index(row, 0))
        press(qtbot, table.back)
        assert value_of_all(session, table) == before


def test_a_note_stays_in_its_row(qtbot: Any, desk: MainWindow, session: Session) -> None:
    desk.go_to(DECISION)
    page = desk.page
    page.turn_to(page.limits)
    for row in (0, len(page.limits.model.rows) - 1):
        before = value_of_all(session, page.limits)
        type_into_cell(qtbot, page.limits.view, page.limits.model.index(row, NOTE), "agreed")
        key = page.limits.model.rows[row].key
        assert different(before, value_of_all(session, page.limits)) == [key]
        assert settings.note_of(session.evaluation, key) == "agreed"


def test_a_signature_is_removed_where_its_row_is_chosen(
    qtbot: Any, full: MainWindow, session: Session
) -> None:
    full.go_to(DECISION)
    page = full.page
    page.turn_to(page.sign_offs)
    for person in ("Ada", "Ben", "Cem"):
        before = session.evaluation
        press(qtbot, page.sign)
        answer(qtbot, page, role="purchasing", person=person)
        # What is signed is kept once for all who sign it.
        paths = {path[0] for path in changed(before, session.evaluation)}
        assert paths in ({"sign_offs", "signed_states"}, {"sign_offs"})
    people = [one.person for one in session.evaluation.sign_offs]
    assert people[-3:] == ["Ada", "Ben", "Cem"]
    table = page.sign_offs.table
    click_cell(qtbot, table, table.model().index(people.index("Ben"), 1))
    full.go_to(FIT)
    session.undo_stack.undo()
    session.undo_stack.redo()
    full.go_to(DECISION)
    press(qtbot, page.remove_sign_off)
    left = [one.person for one in session.evaluation.sign_offs]
    assert left == [person for person in people if person != "Ben"]


def test_a_deviation_is_accepted_for_the_cell_that_is_shown_and_removed_in_its_row(
    qtbot: Any, full: MainWindow, session: Session
) -> None:
    full.go_to(FIT)
    page, before = full.page, session.evaluation
    page.board.choose("b1u1a", "j2")
    QTest.keyClick(page.board, Qt.Key.Key_Return)
    press(qtbot, page.cell.accept_deviation)
    # Another cell is chosen behind the dialog, as by a link.
    session.selection.choose("b1u1a", "j5")
    answer(qtbot, page, reason="Tried on the floor", person="Ada")
    added = session.evaluation.deviations[-1]
    assert (added.barrel, added.job) == ("b1u1a", "j2")
    full.go_to(DECISION)
    full.page.turn_to(full.page.deviations)
    table = full.page.deviations.table
    click_cell(qtbot, table, table.model().index(table.model().rowCount() - 1, 0))
    press(qtbot, full.page.remove_deviation)
    assert session.evaluation == before


VOLUME = "volume_geometry"


def test_a_volume_is_settled_for_the_barrel_of_the_claim(
    qtbot: Any, full: MainWindow, session: Session
) -> None:
    barrel = "b4u1b"
    full.go_to(CLAIMS)
    page = full.page
    click_cell(qtbot, page.grid, cell_of(page.grid, ClaimRef(barrel, VOLUME)))
    # Another barrel is chosen on Fit meanwhile.
    full.go_to(FIT)
    session.selection.choose("b3u1a", "j5")
    full.go_to(CLAIMS)
    told = claims_page.claim_in_words(session.appraisal, ClaimRef(barrel, VOLUME))
    assert page.panel.title.text() == told.title
    before = session.evaluation
    buttons = page.panel.readings.buttons
    press(qtbot, next(one for one in buttons if one.isVisible() and not one.isChecked()))
    path = session.evaluation.barrel_path(barrel)
    assert set(changed(before, session.evaluation)) == {(*path, "settled")}
    press(qtbot, page.panel.name)
    answer(qtbot, page, reason="Drawing seen", person="Ada")
    assert set(changed(before, session.evaluation)) == {(*path, "settled")}
    assert session.evaluation.barrel(barrel).settled.person == "Ada"
    press(qtbot, page.panel.unsettle)
    assert session.evaluation == before


def test_a_question_is_marked_and_answered_where_it_is_shown(
    qtbot: Any, full: MainWindow, session: Session
) -> None:
    full.go_to(CLAIMS)
    page = full.page
    click_cell(qtbot, page.grid, cell_of(page.grid, ClaimRef("b4u1b", VOLUME)))
    question = page.panel.asking._question
    drawer = full.findChild(QuestionsDrawer)
    # Another question is chosen in the drawer.
    drawer.choose(next(q.id for q in session.appraisal.questions if q.id != question.id))
    press(qtbot, page.panel.asking.asked)
    assert [one.question for one in session.evaluation.answers][-1] == question.id
    session.undo_stack.undo()
    before = session.evaluation
    press(qtbot, page.panel.asking.answered)
    answer(qtbot, page, text="Told on the telephone")
    assert {path[0] for path in changed(before, session.evaluation)} == {"answers"}
    assert session.evaluation.answers[-1].question == question.id


def test_what_is_tried_and_kept_is_the_datum_that_is_named(qtbot: Any, person: Person) -> None:
    session, desk = person.session, person.window
    session._open(small_programme())
    desk.open_what_if()
    dialog = desk.what_if
    assert dialog is not None
    kept = set()
    # One of each thing, kind and what is typed in.
    for one in {(one.of, one.shape and one.shape.kind): one for one in all_of(session)}.values():
        before = session.evaluation
        dialog.choose(one)
        field: Any = dialog.field
        if hasattr(field, "combo"):
            pick_another(qtbot, field.combo)
        else:
            for text in ("12 %", "12", "0.5", "221", "2"):
                if not dialog.lines:
                    type_over(qtbot, field.line, text)
        assert session.evaluation is before
        if dialog.keep.isEnabled():
            press(qtbot, dialog.keep)
            length = min(len(one.path), 2) if one.shape is None else len(one.path)
            paths = {path[:length] for path in changed(before, session.evaluation)}
            assert paths == {one.path[:length]}, one.name
            kept.add(one.of)
            session.undo_stack.undo()
        press(qtbot, dialog.drop) if dialog.lines else None
    assert kept == {one.of for one in all_of(session)}
    dialog.close()


def all_of(session: Session) -> tuple[Tryable, ...]:
    return tryables(session.evaluation, *session.selection.pair)


def follow_job(window: MainWindow, session: Session) -> None:
    """The tray was chosen on Fit; its resin is shown."""
    window.go_to(FIT)
    session.selection.choose("na", "tray")
    window.go_to(SHOTS)


def follow_link(window: MainWindow, session: Session) -> None:
    """A question leads to a datum of polystyrene."""
    window.go_to(DECISION)
    window.open_datum(("resins", "ps", "melt_temperature"))
    window.page.findChild(ResinDialog).close()


def follow_undo(window: MainWindow, session: Session) -> None:
    """The resin of the tray was changed and undone elsewhere."""
    session.selection.choose("na", "tray")
    session.put(("jobs", "tray", "resin"), "pp", "Resin")
    window.go_to(BIDS)
    session.undo_stack.undo()
    window.go_to(SHOTS)


@pytest.mark.parametrize("arrive", [follow_job, follow_link, follow_undo])
def test_every_edit_of_a_resin_changes_the_one_that_is_shown(
    qtbot: Any, desk: MainWindow, session: Session, arrive: Arrive
) -> None:
    desk.go_to(SHOTS)
    arrive(desk, session)
    panel, before = desk.page.resins, session.evaluation
    assert panel.choice.currentText() == "Polystyrene"
    press(qtbot, panel._routes["own"][0])
    assert set(changed(before, session.evaluation)) == {("resins", "ps", "output_factor_route")}
    press(qtbot, panel.edit)
    (dialog,) = (one for one in panel.findChildren(ResinDialog) if one.isVisible())
    assert dialog.windowTitle() == "Polystyrene"
    # It stands beside the window: another resin is shown behind it.
    panel.show_resin("pp")
    of_form = dict(edits_of(dialog.form, session, qtbot))
    assert len(of_form) > 20
    assert set().union(*of_form.values()) == {"resins/ps"}
    of_factors = dict(edits_of(dialog.factors, session, qtbot))
    assert set().union(*of_factors.values()) == {"resins/ps/output_factors"}
    dialog.close()


def test_a_resin_is_removed_that_is_shown_and_added_for_the_job_that_asked(
    qtbot: Any, desk: MainWindow, session: Session
) -> None:
    desk.go_to(SHOTS)
    page = desk.page
    session.selection.choose(None, "tray")
    field = page.form.fields["resin"]
    field.wanted.emit()
    # Another job is chosen behind the dialog.
    session.selection.choose(None, "cap")
    dialog = page.findChild(TableDialog)
    qtbot.keyClicks(dialog.search, "poly")
    qtbot.keyClick(dialog.search, Qt.Key.Key_Return)
    dialog.accept()
    added = session.evaluation.resins[-1]
    assert edits.get(session.evaluation, ("jobs", "tray", "resin")) == added.id
    assert edits.get(session.evaluation, ("jobs", "cap", "resin")) == "pp"
    # Polystyrene is run no more; it is the one shown, and goes.
    page.resins.show_resin("ps")
    press(qtbot, page.resins.remove)
    assert "ps" not in [resin.id for resin in session.evaluation.resins]
    assert added in session.evaluation.resins
