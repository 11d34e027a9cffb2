"""The session: one way in, one signal out, whole evaluations undone, nothing typed lost."""

from __future__ import annotations

from errno import ENOSPC
from pathlib import Path
from typing import Any

import pytest

from evenbarrel.desk.window.session import Session
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.states.difference import Difference
from evenbarrel.storage.autosave import Autosave
from evenbarrel.storage.file_errors import FileRefused
from evenbarrel.storage.files import read_evaluation, write_evaluation
from evenbarrel.storage.personal.recent import RecentFiles

from .conftest import TODAY, cut_off, quantity, small_programme

STROKE = ("bids", "n", "units", "u1", "barrels", "na", "stroke")


def stroke_of(session: Session) -> str | None:
    barrel = session.evaluation.bids[0].units[0].barrels[0]
    return None if barrel.stroke is None else barrel.stroke.magnitude


def test_a_new_session_holds_an_empty_evaluation_as_of_today(empty_session: Session) -> None:
    assert empty_session.evaluation == Evaluation(as_of=TODAY)
    assert empty_session.appraisal is None
    assert not empty_session.is_modified


def test_nothing_is_appraised_before_begin(qtbot: Any, empty_session: Session) -> None:
    with qtbot.assertNotEmitted(empty_session.changed):
        empty_session.put(("title",), "Two presses", "Title")
    with qtbot.waitSignal(empty_session.changed) as told:
        empty_session.begin()
    assert told.args[0].evaluation.title == "Two presses"


def test_an_edit_is_appraised_and_told_once(session: Session) -> None:
    told: list[tuple[object, object]] = []
    session.changed.connect(lambda *of: told.append(of))
    session.put(STROKE, quantity("180", "mm"), "Stroke of A")
    assert told == [(session.appraisal, Difference(bids=frozenset({"n"})))]
    assert session.appraisal is not None
    # pi/4 * (40 mm)^2 * 180 mm
    swept = session.appraisal.barrel("na").swept.bound
    assert swept is not None
    assert swept.nominal == pytest.approx(226.19e-6, rel=1e-4)


def test_an_edit_that_changes_nothing_is_no_step(qtbot: Any, session: Session) -> None:
    with qtbot.assertNotEmitted(session.changed):
        session.put(STROKE, quantity("200", "mm"), "Stroke of A")
    assert not session.undo_stack.canUndo()


def test_undo_and_redo_bring_back_the_very_same_evaluations(session: Session) -> None:
    before = session.evaluation
    session.put(STROKE, quantity("180", "mm"), "Stroke of A")
    after = session.evaluation
    session.undo_stack.undo()
    assert session.evaluation is before
    assert not session.is_modified
    session.undo_stack.redo()
    assert session.evaluation is after
    assert session.undo_stack.undoText() == "Stroke of A"


def test_steps_with_one_merge_key_are_one_step(session: Session) -> None:
    before = session.evaluation
    for typed in ("1", "18", "180"):
        session.put(STROKE, quantity(typed, "mm"), "Stroke of A", merge_key="na.stroke")
    assert session.undo_stack.count() == 1
    session.undo_stack.undo()
    assert session.evaluation is before


def test_merged_steps_that_come_back_to_the_start_vanish(session: Session) -> None:
    for typed in ("180", "200"):
        session.put(STROKE, quantity(typed, "mm"), "Stroke of A", merge_key="na.stroke")
    assert session.undo_stack.count() == 0


def test_what_does_not_fit_is_told_and_changes_nothing(qtbot: Any, session: Session) -> None:
    before = session.evaluation
    with qtbot.waitSignal(session.refused) as told:
        taken = session.put(("jobs", "cap", "resin"), "abs", "Resin of Cap")
    assert not taken
    assert session.evaluation is before
    assert "names the resin 'abs'" in told.args[0]


def test_saving_and_opening_gives_an_equal_evaluation(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "a.evenbarrel.json"
    session.put(STROKE, quantity("180", "mm"), "Stroke of A")
    session.save(path)
    assert not session.is_modified
    assert session.recent.paths() == (path,)
    kept = session.evaluation
    session.new()
    assert session.evaluation != kept
    session.open(path)
    assert session.evaluation == kept
    assert session.path == path
    assert not session.undo_stack.canUndo()


def test_a_file_that_is_refused_leaves_everything(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "broken.evenbarrel.json"
    path.write_text('{"format_version": 1, "bids": [', encoding="utf-8")
    before = session.evaluation
    with pytest.raises(FileRefused):
        session.open(path)
    assert session.evaluation is before
    assert session.path is None


def test_a_save_that_fails_leaves_the_changes_unsaved(session: Session, tmp_path: Path) -> None:
    session.put(STROKE, quantity("180", "mm"), "Stroke of A")
    with pytest.raises(FileRefused):
        session.save(tmp_path / "no such folder" / "a.evenbarrel.json")
    assert session.is_modified
    assert session.path is None


def test_unsaved_work_is_offered_to_the_next_session(
    session: Session, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(ENOSPC, "No space left on device")

    path = tmp_path / "a.evenbarrel.json"
    session.save(path)
    session.put(STROKE, quantity("180", "mm"), "Stroke of A")
    session.autosave()
    cut_off(session)

    after_a_crash = Session(Autosave(folder), RecentFiles(folder), lambda: TODAY)
    after_a_crash.open(path)
    assert stroke_of(after_a_crash) == "200"
    (unsaved,) = after_a_crash.unsaved_work()
    # Where it cannot be kept anew, it stays where it is.
    with monkeypatch.context() as full:
        full.setattr("evenbarrel.storage.atomic._replace", refuse)
        after_a_crash.restore(unsaved)
    assert unsaved.place.exists()
    after_a_crash.restore(unsaved)
    assert stroke_of(after_a_crash) == "180"
    assert after_a_crash.is_modified
    assert after_a_crash.path == path
    # Taken up, it is kept under the new window's name, and offered to nobody.
    assert after_a_crash.unsaved_work() == ()
    (kept,) = folder.glob("*.autosave")
    assert read_evaluation(kept) == after_a_crash.evaluation
    after_a_crash.close()


def test_nothing_is_offered_after_a_save(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "a.evenbarrel.json"
    session.save(path)
    session.put(STROKE, quantity("180", "mm"), "Stroke of A")
    session.autosave()
    session.save(path)
    assert session.unsaved_work() == ()
    assert read_evaluation(path) == session.evaluation


def test_an_unmodified_evaluation_leaves_no_autosave(session: Session, folder: Path) -> None:
    session.autosave()
    assert not folder.exists() or not list(folder.glob("*.autosave"))


def test_an_untitled_document_is_autosaved_by_its_timer(
    qtbot: Any, session: Session, folder: Path
) -> None:
    session._pause.setInterval(1)
    with qtbot.waitSignal(session._pause.timeout):
        session.put(("title",), "Two presses", "Title")
    (kept,) = folder.glob("untitled-*.autosave")
    assert read_evaluation(kept).title == "Two presses"


def test_a_choice_of_what_is_gone_is_dropped(qtbot: Any, session: Session) -> None:
    session.selection.choose("na", "cap")
    with qtbot.waitSignal(session.selection.changed):
        session.edit("Remove job", session.evaluation.replace(jobs=session.evaluation.jobs[1:]))
    assert session.selection.pair == ("na", None)


def test_opening_a_file_forgets_the_choice(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "a.evenbarrel.json"
    write_evaluation(small_programme(), path)
    session.selection.choose("na", "cap")
    session.open(path)
    assert (session.selection.barrel, session.selection.job) == (None, None)


def test_a_person_who_keeps_typing_is_kept_at_the_latest_after_a_while(
    qtbot: Any, session: Session, folder: Path
) -> None:
    session._at_latest.setInterval(1)
    with qtbot.waitSignal(session._at_latest.timeout):
        for number in range(20):
            session.put(("title",), f"Press {number}", "Title")
            assert session._pause.isActive()
    (kept,) = folder.glob("*.autosave")
    assert read_evaluation(kept).title == "Press 19"
    # The next edit begins to count anew.
    session.put(("title",), "Press 20", "Title")
    assert session._at_latest.isActive()


def test_what_is_undone_to_what_is_saved_is_kept_no_longer(
    session: Session, folder: Path, tmp_path: Path
) -> None:
    session.save(tmp_path / "a.evenbarrel.json")
    session.put(STROKE, quantity("180", "mm"), "Stroke of A")
    session.autosave()
    session.undo_stack.undo()
    assert not list(folder.glob("*.autosave"))
    assert not session._pause.isActive()
    session.close()


def test_a_file_held_by_another_window_is_open_to_be_read(
    session: Session, folder: Path, tmp_path: Path
) -> None:
    path = tmp_path / "a.evenbarrel.json"
    session.save(path)
    other = Session(Autosave(folder), RecentFiles(folder), lambda: TODAY)
    other.open(path)
    holder = other.hold()
    assert holder is not None
    assert other.read_only
    assert other.hold(take_over=True) is None
    assert not other.read_only
    for one in (session, other):
        one.close()
    assert not list(tmp_path.glob("*.lock"))


def test_what_another_wrote_since_is_seen_before_a_save(session: Session, tmp_path: Path) -> None:
    path = tmp_path / "a.evenbarrel.json"
    session.save(path)
    assert session.changed_on_disk() is None
    theirs = session.evaluation.replace(title="Theirs")
    write_evaluation(theirs, path)
    assert session.changed_on_disk() == theirs
    session.save(path)
    assert session.changed_on_disk() is None
    session.close()
