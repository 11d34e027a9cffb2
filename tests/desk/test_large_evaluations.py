"""A large evaluation is appraised beside the window: typing goes on, and it can be stopped."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import Qt

from evenbarrel.appraisal import appraise as appraise_module
from evenbarrel.desk.window import session as session_module
from evenbarrel.desk.window.files.exports import EXPORTS
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.model import changes
from evenbarrel.model.datum_path import append, get, put
from evenbarrel.model.states.difference import Difference
from evenbarrel.storage.files import write_evaluation

from .conftest import Answers, quantity, small_programme

CYCLE = ("jobs", "cap", "cycle_time")
SHOTS, BIDS, FIT = 0, 1, 3
REAL = appraise_module.appraise


class Gate:
    """Holds the work beside the window until the test lets it go on."""

    def __init__(self) -> None:
        self.open, self.reports = Event(), 0

    def appraise(self, evaluation: Any, before: Any = None, report: Any = None) -> Any:
        if report is None:
            return REAL(evaluation, before)
        while not self.open.wait(0.01):
            report(0.25)
            self.reports += 1
        return REAL(evaluation, before, report)


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Gate]:
    """Every evaluation counts as large, and its work waits for the gate."""
    gate = Gate()
    monkeypatch.setattr(session_module, "APPRAISED_AT_ONCE", 0)
    monkeypatch.setattr(appraise_module, "appraise", gate.appraise)
    yield gate
    gate.open.set()


@pytest.fixture
def desk(
    qtbot: Any, make_window: Callable[..., MainWindow], session: Session, gate: Gate
) -> MainWindow:
    """The small programme in a window, appraised."""
    gate.open.set()
    window = make_window()
    qtbot.waitUntil(lambda: session.is_current)
    gate.open.clear()
    return window


def test_typing_goes_on_and_the_last_state_is_appraised_once(
    qtbot: Any, desk: MainWindow, session: Session, gate: Gate
) -> None:
    told: list[tuple[Any, Difference]] = []
    session.changed.connect(lambda *of: told.append(of))
    shown = session.appraisal
    field = desk.page.form.fields["cycle_time"]
    for number in ("21", "22"):
        field.line.setFocus()
        field.line.selectAll()
        qtbot.keyClicks(field.line, number)
        qtbot.keyClick(field.line, Qt.Key.Key_Return)
    assert get(session.evaluation, CYCLE).magnitude == "22"
    assert session.appraisal is shown
    assert not session.is_current
    # What was typed stands in form and table, before any verdict of it.
    assert field.line.text() == "22"
    column = [shape.name for shape in desk.page.model.shapes].index("cycle_time") + 2
    assert "22" in str(desk.page.model.index(0, column).data())
    assert desk.progress_line.isVisible()
    qtbot.waitUntil(lambda: desk.progress_line.bar.value() == 25)
    session.put(("title",), "Another", "Title")
    gate.open.set()
    qtbot.waitUntil(lambda: session.is_current)
    assert [of[0].evaluation for of in told] == [session.evaluation]
    # What was not shown in between is told with what came last.
    assert told[0][1] == Difference(jobs=frozenset({"cap"}), programme=True)
    assert not desk.progress_line.isVisible()


def test_it_stops_when_it_is_told_and_goes_on_when_it_is_told(
    qtbot: Any, desk: MainWindow, session: Session, gate: Gate
) -> None:
    shown = session.appraisal
    session.put(CYCLE, quantity("23", "s"), "Cycle time")
    qtbot.mouseClick(desk.progress_line.button, Qt.MouseButton.LeftButton)
    assert not session._work.is_running
    assert session.appraisal is shown
    assert "not up to date" in desk.progress_line.words.text()
    # The thread itself is free soon after: it asks at every report.
    qtbot.waitUntil(lambda: session._work._pool.activeThreadCount() == 0)
    gate.open.set()
    qtbot.mouseClick(desk.progress_line.button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: session.is_current)
    assert not desk.progress_line.isVisible()


def test_nothing_is_exported_or_signed_of_a_state_that_is_past(
    qtbot: Any, desk: MainWindow, session: Session, answers: Answers, tmp_path: Path
) -> None:
    answers.to_export = tmp_path / "out.pdf"
    session.put(CYCLE, quantity("24", "s"), "Cycle time")
    desk.documents.export(EXPORTS[0])
    assert "not up to date" in desk.notice.text.text()
    assert not answers.to_export.exists()
    desk.open_page("decision")
    page = desk.page
    with qtbot.waitSignal(session.refused):
        page.sign.click()
        (dialog,) = (d for d in page.findChildren(object) if hasattr(d, "answered"))
        dialog.answered.emit({"person": "Ada", "role": "process_engineering"})
        dialog.close()
    assert session.evaluation.sign_offs == ()


def test_what_comes_or_goes_is_appraised_before_the_next_key(
    desk: MainWindow, session: Session
) -> None:
    job = changes.new_job(session.evaluation)
    session.edit("Add job", append(session.evaluation, ("jobs",), job))
    assert session.is_current
    assert desk.page.model.rowCount() == 3
    session.undo_stack.undo()
    assert session.is_current


def test_another_document_is_covered_until_it_is_appraised(
    qtbot: Any, desk: MainWindow, session: Session, gate: Gate, tmp_path: Path
) -> None:
    path = tmp_path / "a.evenbarrel.json"
    write_evaluation(put(small_programme(), ("title",), "Opened"), path)
    session.open(path)
    assert not desk.page.isVisible()
    assert session.appraisal is None
    for place in (FIT, BIDS, SHOTS):
        desk.go_to(place)
        assert not desk.page.isVisible()
    gate.open.set()
    qtbot.waitUntil(lambda: session.is_current)
    assert desk.page.isVisible()
    assert session.appraisal.evaluation.title == "Opened"


def test_a_window_that_closes_does_not_wait_for_the_work(
    qtbot: Any, desk: MainWindow, session: Session, gate: Gate, answers: Answers
) -> None:
    session.put(CYCLE, quantity("25", "s"), "Cycle time")
    qtbot.waitUntil(lambda: gate.reports > 0)
    answers.about_unsaved = "discard"
    desk.close()
    assert session._work._pool.activeThreadCount() == 0
