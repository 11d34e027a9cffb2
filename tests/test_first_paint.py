"""The window is painted with the sample opened before anything slow is loaded."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from evenbarrel import resources
from evenbarrel.wording.help.first_steps import FIRST_TITLE
from evenbarrel.wording.sentences.pages import FIRST_VERDICTS

SOURCE = Path(resources.__file__).parents[1]

# Started as a person does. The loop of events is entered when the window has been painted once.
AT_START = """
import json
import linecache
import sys
from evenbarrel import app
from evenbarrel.__main__ import main

HEAVY = {"numpy", "pint", "pyqtgraph", "reportlab", "openpyxl", "scipy", "highspy", "pypdfium2"}
build, words, at_appraisal = app.build, [], []


def loaded():
    return sorted(HEAVY & set(sys.modules))


def watched_build(application, session):
    from PySide6.QtCore import QEvent, QObject
    from PySide6.QtWidgets import QLabel, QWidget

    built = session, theme, window = build(application, session)

    class Watch(QObject):
        def eventFilter(self, watched, event):
            if event.type() == QEvent.Type.Paint and isinstance(watched, QWidget):
                if isinstance(watched, QLabel):
                    words.append(watched.text())
                if session.appraisal is not None and window.page.isAncestorOf(watched):
                    at_appraisal.append(loaded())
            return False

    watch = Watch()

    def loop():
        told = {
            "title": window.windowTitle(),
            "words": list(words),
            "loaded": loaded(),
        }
        while not at_appraisal:
            application.processEvents()
        application.removeEventFilter(watch)
        read = [name for name in linecache.cache if "evenbarrel" in name]
        print(json.dumps(told | {"at_appraisal": at_appraisal[0], "read": read}))
        return 0

    application.installEventFilter(watch)
    type(application).exec = staticmethod(loop)
    return built


app.build = watched_build
sys.exit(main(["--sample"]))
"""


@pytest.fixture(scope="module")
def start(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    private = str(tmp_path_factory.mktemp("start"))
    places = {f"XDG_{name}_HOME": private for name in ("CONFIG", "STATE")}
    done = subprocess.run(
        [sys.executable, "-c", AT_START],
        env=os.environ | places | {"PYTHONPATH": str(SOURCE), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def test_nothing_slow_is_loaded_before_the_first_paint_with_the_sample(
    start: dict[str, Any],
) -> None:
    assert start["title"].startswith("Irrigation parts")
    assert start["loaded"] == []


def test_the_first_paint_does_not_say_that_nothing_is_entered(start: dict[str, Any]) -> None:
    assert FIRST_VERDICTS in start["words"]
    assert FIRST_TITLE not in start["words"]


def test_the_text_of_no_module_is_read_at_the_start(start: dict[str, Any]) -> None:
    # PySide6 reads all that is imported after it, by an import of its own, where it may.
    assert start["read"] == []


def test_the_first_appraisal_is_painted_before_pictures_are_loaded(start: dict[str, Any]) -> None:
    assert start["at_appraisal"] == ["numpy"]
