"""A fault of the program: the work is kept first, the fault is logged, its details can be had."""

from __future__ import annotations

import logging
import os
import signal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit

from evenbarrel.desk.window.faults import AskedToEnd, Faults
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.desk.window.session import Session
from evenbarrel.storage.files import read_evaluation
from evenbarrel.storage.personal.fault_log import NAME, begin_log, log_fault
from evenbarrel.storage.personal.user_folders import log_folder


def fault() -> ZeroDivisionError:
    """Return an error that was really raised."""
    try:
        1 / 0  # noqa: B018
    except ZeroDivisionError as error:
        return error
    raise AssertionError


def test_the_work_is_kept_the_fault_logged_and_its_details_can_be_copied(
    qtbot: Any, window: MainWindow, session: Session, folder: Path, tmp_path: Path
) -> None:
    log = begin_log(tmp_path / "log")
    assert log is not None
    session.put(("title",), "Two presses", "Title")
    error = fault()
    Faults(session, window.notice)(type(error), error, error.__traceback__)
    (kept,) = folder.glob("*.autosave")
    assert read_evaluation(kept).title == "Two presses"
    assert "ZeroDivisionError" in log.read_text("utf-8")
    assert "ZeroDivisionError" in window.notice.text.text()
    copy = next(b for b in window.notice.buttons if b.text() == "Copy details")
    qtbot.mouseClick(copy, Qt.MouseButton.LeftButton)
    assert "in fault" in QGuiApplication.clipboard().text()


def test_asked_to_end_it_keeps_what_is_being_typed_and_ends(
    qtbot: Any, window: MainWindow, folder: Path
) -> None:
    left: list[int] = []
    asked = AskedToEnd(window.keep, window, left.append)
    window.open_datum(("title",))
    qtbot.waitUntil(lambda: isinstance(QApplication.focusWidget(), QLineEdit))
    qtbot.keyClicks(QApplication.focusWidget(), "Two presses")
    os.kill(os.getpid(), signal.SIGTERM)
    qtbot.waitUntil(lambda: left == [128 + signal.SIGTERM])
    (kept,) = folder.glob("*.autosave")
    assert "Two presses" in read_evaluation(kept).title
    asked.stop()


def test_without_a_place_for_a_log_the_program_runs_without_one(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    assert begin_log(tmp_path / "file") is None


def test_the_first_fault_begins_the_log(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    logger = logging.getLogger(NAME)
    monkeypatch.setattr(logger, "handlers", [])
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    log_fault("reading a file", fault())
    (handler,) = logger.handlers
    handler.close()
    assert "reading a file: division by zero" in (log_folder() / "faults.log").read_text("utf-8")
