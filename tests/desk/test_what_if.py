"""The what-if: any data tried by keys alone, old beside new, kept as one step or thrown away."""

from __future__ import annotations

from collections.abc import Iterator
from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from evenbarrel.appraisal.appraise import appraise
from evenbarrel.decision.decide import decide
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.desk.what_if import dialog as dialog_module
from evenbarrel.desk.what_if.dialog import WhatIf
from evenbarrel.desk.window import session as session_module
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model.changes import new_job, without_job
from evenbarrel.model.datum_path import append, get, put
from evenbarrel.model.limits import limit_value
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.sentences.deciding.what_if import (
    BESIDE,
    DROPPED,
    GONE,
    NOTHING_TRIED,
    WAITING,
)
from evenbarrel.wording.sheets.what_if import THE_GATE

from .conftest import without_name
from .person import Person

ENTER = Qt.Key.Key_Return
PATIENCE_S = 30


def key(qtbot: Any, code: Qt.Key) -> None:
    qtbot.keyClick(QApplication.focusWidget(), code)
    QApplication.processEvents()


def typed(qtbot: Any, text: str) -> None:
    """Type over what stands in the line that has the keyboard, and press Enter."""
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    key(qtbot, Qt.Key.Key_Delete)
    qtbot.keyClicks(QApplication.focusWidget(), text)
    key(qtbot, ENTER)


def tried(qtbot: Any, name: str, value: str) -> None:
    """Find a datum by its name and type a value, from the search back to the search."""
    typed(qtbot, name)
    typed(qtbot, value)


def told(dialog: WhatIf) -> list[str]:
    return [line.text() for line in dialog.lines]


def rows(dialog: WhatIf) -> list[list[str]]:
    return [[cell.text for cell in row] for row in dialog.changes.sheet_model.sheet.rows]


@pytest.fixture
def session(same_session: Session) -> Session:
    """A session that holds the small programme, appraised and unmodified."""
    return same_session


@pytest.fixture
def desk(same_desk: Person, session: Session, qtbot: Any) -> Iterator[MainWindow]:
    window = same_desk.window
    qtbot.waitUntil(window.isActiveWindow)
    yield window
    if window.what_if is not None:
        window.what_if.close()
        window.what_if.search.line.clear()


@pytest.fixture
def dialog(desk: MainWindow, qtbot: Any) -> WhatIf:
    qtbot.keyClick(desk, Qt.Key.Key_F8)
    assert desk.what_if is not None
    qtbot.waitUntil(desk.what_if.isActiveWindow)
    return desk.what_if


def test_several_are_tried_by_keys_alone_and_kept_as_one_step(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    before = session.evaluation
    tried(qtbot, "cycle cap", "9,5")
    tried(qtbot, "cavities cap", "16")
    tried(qtbot, "machine price", "80000")
    tried(qtbot, "general largest share", "65 %")
    assert told(dialog) == [
        "Cycle time, 1 Cap: not stated → 9.5 s",
        "Cavities, 1 Cap: 8 → 16",
        "Machine price, Nordquell, Unit 600: not stated → EUR 80\u202f000",
        "General resins, largest share of volume, limit: 80 % → 65 %",
    ]
    assert session.evaluation is before
    assert dialog.keep.isEnabled()
    qtbot.keyClick(dialog, Qt.Key.Key_K, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: session.is_modified)
    now = session.evaluation
    job = now.job("cap")
    assert job.cycle_time == Quantity(magnitude="9.5", unit="s", standing="assumed")
    assert job.cavities == 16
    assert now.bids[0].units[0].price == Money(amount="80000", currency="EUR", standing="assumed")
    assert limit_value(now.limits.general_high) == pytest.approx(0.65)
    assert session.undo_stack.count() == 1
    assert dialog.lines == ()
    session.undo_stack.undo()
    assert session.evaluation == before


def test_old_and_new_stand_side_by_side_as_two_appraisals_give_them(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    tried(qtbot, "cavities cap", "32")
    then = appraise(put(session.evaluation, ("jobs", "cap", "cavities"), 32))
    now = session.appraisal
    assert now is not None
    changed = [
        (barrel, job)
        for barrel in now.grid.barrel_ids
        for job in now.grid.job_ids
        if now.fit(barrel, job).state != then.fit(barrel, job).state
    ]
    assert changed
    shown = rows(dialog)
    gates = [row for row in shown if row[1] == THE_GATE]
    assert len(gates) == 2
    assert len(shown) == 2 + len(changed)
    words = {"shut": "shut", "waits": "waits", "no_objection": "no objection"}
    for row, barrel in zip(gates, ("na", "nb"), strict=True):
        assert row[2:4] == [words[one.gate(barrel).state] for one in (now, then)]
    assert f"{len(changed)} of 4 verdicts would be different" in dialog.count.text()
    cells = [row for row in shown if row[1] != THE_GATE]
    assert all(row[1] == "Cap" and row[2] != row[3] for row in cells)
    assert "outside" in cells[0][3]


def test_a_price_shows_in_rank_and_levelled_cost(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    priced = put(session.evaluation, ("bids", "n", "units", "u1", "price"), euros("90000"))
    for name, value in (("horizon_years", 5), ("discount_rate", 0.05)):
        priced = put(priced, ("cost", name), value)
    session.edit("Priced", priced)
    dialog.open()
    tried(qtbot, "machine price", "70000")
    assert session.appraisal is not None
    line = decide(session.appraisal).order[0]
    assert line.levelled is not None
    row = next(row for row in rows(dialog) if row[6].startswith(str(line.rank)))
    old, new = (text.replace("\u202f", "") for text in row[7].split(" → "))
    assert float(old) - float(new) == pytest.approx(20000, abs=1)
    assert "would be different" in dialog.count.text()


def test_a_barrel_that_would_run_fewer_jobs_is_not_told_cheaper(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    priced = put(session.evaluation, ("bids", "n", "units", "u1", "price"), euros("90000"))
    for name, value in (
        ("horizon_years", 5),
        ("discount_rate", 0.05),
        ("machine_hour_rate", euros("30")),
    ):
        priced = put(priced, ("cost", name), value)
    for job in ("cap", "tray"):
        priced = put(priced, ("jobs", job, "batches_per_year"), 20)
    change = Quantity(magnitude="60", unit="min")
    session.edit("Priced", put(priced, ("cost", "change_time"), change))
    dialog.open()
    tried(qtbot, "cavities cap", "64")
    fewer = [row for row in rows(dialog) if row[5] == "2 → 1"]
    assert fewer
    assert all("→" not in row[7] for row in fewer)


def euros(amount: str) -> Money:
    return Money(amount=amount, currency="EUR", source="offer, p. 2")


def test_what_is_tried_never_takes_over_a_suppliers_source(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    place = ("bids", "n", "units", "u1", "price")
    session.put(place, euros("90000"), "Price")
    tried(qtbot, "machine price", "70000")
    dialog.keep.click()
    kept = get(session.evaluation, place)
    assert (kept.amount, kept.source, kept.standing) == ("70000", "", "assumed")


def test_nothing_is_changed_by_throwing_away(qtbot: Any, dialog: WhatIf, session: Session) -> None:
    before = session.evaluation
    assert dialog.count.text() == NOTHING_TRIED
    assert not dialog.keep.isEnabled()
    tried(qtbot, "runner mass cap", "1.5 g")
    qtbot.keyClick(dialog, Qt.Key.Key_D, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: not dialog.lines)
    assert dialog.count.text() == NOTHING_TRIED
    assert dialog.lines == ()
    assert not dialog.changes.isVisible()
    assert session.evaluation is before
    assert not session.is_modified


@pytest.mark.parametrize("text", ["wide", "", "0", "-5 %", "nan", "250 %"])
def test_what_is_no_share_is_not_tried(qtbot: Any, dialog: WhatIf, text: str) -> None:
    typed(qtbot, "engineering largest share")
    line = QApplication.focusWidget()
    typed(qtbot, text)
    assert QApplication.focusWidget() is line
    assert dialog.field is not None
    assert "Not accepted" in dialog.field.message.text()
    assert dialog.lines == ()


def test_crossed_limits_are_told_and_cannot_be_kept(qtbot: Any, dialog: WhatIf) -> None:
    tried(qtbot, "engineering largest share", "25 %")
    assert "are crossed" in dialog.problem.text()
    assert not dialog.keep.isEnabled()
    assert dialog.drop.isEnabled()
    tried(qtbot, "engineering smallest share", "20 %")
    assert dialog.problem.text() == ""
    assert dialog.keep.isEnabled()


def test_the_data_of_what_is_chosen_come_first(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    session.selection.choose("nb", "tray")
    assert dialog.search.list.model().index(0, 0).data() == "Cycle time, 2 Tray"
    dialog.search.line.setFocus()
    qtbot.keyClicks(dialog.search.line, "package")
    assert dialog.search.list.model().index(0, 0).data() == "Barrel package, Nordquell, Unit 600 B"
    # Down walks the list while the keyboard stays in the line.
    key(qtbot, Qt.Key.Key_Down)
    key(qtbot, ENTER)
    assert dialog.title.text() == "Screw package, Nordquell, Unit 600 B"
    qtbot.keyClicks(QApplication.focusWidget(), "bimetallic")
    assert told(dialog)[0].startswith("Screw package, Nordquell, Unit 600 B: not stated → bimet")


def test_a_route_that_gives_no_factor_is_not_offered(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    typed(qtbot, "route used polyprop")
    field: Any = dialog.field
    assert field.codes == ("trade_table", "own")
    qtbot.keyClicks(QApplication.focusWidget(), "own")
    dialog.keep.click()
    resin = session.evaluation.resin("pp")
    assert resin is not None
    assert resin.output_factor_route == "own"


def test_it_is_said_on_every_page_that_nothing_is_decided(
    qtbot: Any, desk: MainWindow, dialog: WhatIf
) -> None:
    strip = desk.what_if_strip
    assert strip.text.text() == BESIDE
    tried(qtbot, "cavities cap", "16")
    key(qtbot, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    for place in range(len(PAGES)):
        desk.go_to(place)
        assert strip.isVisible()
        assert "8 → 16" in strip.text.text()
        assert "nothing is decided" in strip.text.text()
    strip.look.click()
    assert dialog.isVisible()
    assert told(dialog) == ["Cavities, 1 Cap: 8 → 16"]
    dialog.close()
    strip.drop.click()
    assert not strip.isVisible()
    assert dialog.lines == ()


def test_an_edit_and_its_undo_beside_it_mix_nothing_up(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    tried(qtbot, "cavities cap", "16")
    session.put(("jobs", "cap", "name"), "Lid", "Name")
    session.put(("jobs", "cap", "cavities"), 12, "Cavities")
    assert told(dialog) == ["Cavities, 1 Lid: 12 → 16"]
    session.put(("jobs", "cap", "cavities"), 16, "Cavities")
    assert told(dialog) == []
    session.undo_stack.undo()
    assert told(dialog) == []
    tried(qtbot, "cavities lid", "4")
    gone = without_job(session.evaluation, "cap")
    session.edit("Remove", gone)
    assert told(dialog) == [f"Cavities, 1 Lid: {GONE}"]
    assert not dialog.keep.isEnabled()
    # Another mould that got the same id is not what was meant.
    job = new_job(session.evaluation).replace(id="cap", name="Other", cavities=2)
    session.edit("Add", append(session.evaluation, ("jobs",), job))
    assert told(dialog) == [f"Cavities, 1 Lid: {GONE}"]
    assert dialog.trial.applied(session.evaluation) == session.evaluation
    dialog.drop.click()
    assert told(dialog) == []


def test_what_is_typed_goes_to_the_datum_it_was_typed_for(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    typed(qtbot, "cavities cap")
    qtbot.keyClicks(QApplication.focusWidget(), "6")
    # Another is chosen by the mouse with the first one typed and not left.
    tray = dialog._known["jobs", "tray", "cavities"]
    dialog.choose(tray)
    typed(qtbot, "2")
    assert [line.split(":")[0] for line in told(dialog)] == ["Cavities, 1 Cap", "Cavities, 2 Tray"]


def test_another_document_drops_what_was_tried_and_says_so(
    qtbot: Any, dialog: WhatIf, session: Session
) -> None:
    tried(qtbot, "cavities cap", "16")
    with qtbot.waitSignal(session.refused) as said:
        session.new()
    assert said.args == [DROPPED]
    assert dialog.lines == ()
    assert dialog.field is None
    assert not dialog.keep.isEnabled()
    assert not session.is_modified


def test_one_of_several_is_taken_back(qtbot: Any, dialog: WhatIf) -> None:
    tried(qtbot, "cavities cap", "16")
    tried(qtbot, "shot mass tray", "130")
    dialog.tried.setFocus()
    dialog.tried.setCurrentRow(0)
    key(qtbot, Qt.Key.Key_Delete)
    assert told(dialog) == ["Shot mass, 2 Tray: 120 g → 130 g"]
    key(qtbot, ENTER)
    assert dialog.title.text() == "Shot mass, 2 Tray"


def test_the_newest_is_taken_back_unless_a_person_chose_another(qtbot: Any, dialog: WhatIf) -> None:
    cavities, mass = "Cavities, 1 Cap: 8 → 16", "Shot mass, 2 Tray: 120 g → 130 g"
    tried(qtbot, "cavities cap", "16")
    tried(qtbot, "shot mass tray", "130")
    tried(qtbot, "cycle cap", "9,5")
    dialog.take_back.click()
    assert told(dialog) == [cavities, mass]
    # What is tried anew is the newest again.
    tried(qtbot, "cavities cap", "12")
    dialog.take_back.click()
    assert told(dialog) == [mass]
    tried(qtbot, "cavities cap", "16")
    item = dialog.tried.item(0)
    qtbot.mouseClick(
        dialog.tried.viewport(),
        Qt.MouseButton.LeftButton,
        pos=dialog.tried.visualItemRect(item).center(),
    )
    dialog.search.begin()
    tried(qtbot, "cycle cap", "9,5")
    assert dialog.tried.currentItem().text() == mass
    dialog.take_back.click()
    dialog.take_back.click()
    assert told(dialog) == [cavities]


def test_a_large_one_is_appraised_beside_the_window_and_stops(
    qtbot: Any, dialog: WhatIf, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(session_module, "APPRAISED_AT_ONCE", -1)
    looked_at, outcome_of = Event(), dialog_module.outcome_of

    def until_looked_at(*asked: Any) -> Any:
        looked_at.wait(PATIENCE_S)
        return outcome_of(*asked)

    with monkeypatch.context() as held_up:
        held_up.setattr(dialog_module, "outcome_of", until_looked_at)
        tried(qtbot, "cavities cap", "32")
        assert dialog.progress_line.isVisible()
        assert dialog.outcome is None
        assert not dialog.keep.isEnabled()
        looked_at.set()
        qtbot.waitUntil(lambda: dialog.outcome is not None)
    assert dialog.keep.isEnabled()
    pressed = Event()

    def until_pressed(*_: object) -> None:
        pressed.wait()

    with monkeypatch.context() as endless:
        endless.setattr(dialog_module, "outcome_of", until_pressed)
        tried(qtbot, "cavities cap", "24")
        # Nothing is said of what is tried until it is known.
        assert not dialog.count.isVisible()
        dialog.progress_line.button.click()
        assert "Stopped" in dialog.count.text()
        pressed.set()
    dialog.progress_line.button.click()
    qtbot.waitUntil(lambda: dialog.outcome is not None)
    assert rows(dialog)
    # What is entered is appraised anew: nothing stands beside it until then.
    session.put(("jobs", "cap", "cavities"), 6, "Cavities")
    assert dialog.count.text() == WAITING
    qtbot.waitUntil(lambda: dialog.outcome is not None)
    assert told(dialog) == ["Cavities, 1 Cap: 6 → 24"]


def test_every_part_that_the_keyboard_reaches_has_a_name(qtbot: Any, dialog: WhatIf) -> None:
    tried(qtbot, "cycle cap", "9")
    assert without_name(dialog) == []


def test_fit_opens_it_by_its_button(desk: MainWindow) -> None:
    desk.open_page("fit")
    page: Any = desk.page
    page.what_if.click()
    assert desk.what_if is not None
    assert desk.what_if.isVisible()
