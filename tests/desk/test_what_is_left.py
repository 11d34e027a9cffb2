"""What a window leaves behind when it is closed: nothing in memory, and words on the clipboard."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt
from PySide6.QtGui import QFontDatabase
from PySide6.QtWidgets import QApplication, QDialog, QLayoutItem
from shiboken6 import Shiboken

from evenbarrel import resources
from evenbarrel.app import begin, build
from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.desk.pages.all_pages import PAGES
from evenbarrel.desk.style.theme import Theme
from evenbarrel.desk.window.main_window import MainWindow
from evenbarrel.model.evaluation import Evaluation

SOURCE = Path(resources.__file__).parents[1]

COPIES_AND_QUITS = """
import sys
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication
from evenbarrel import app
from evenbarrel.desk.style.plain import to_clipboard


def begin(*_):
    to_clipboard("Swept volume", "application/x-cells", b"251")
    QApplication.quit()


app.begin = begin
code = app.run(None, sample=False)
print(QGuiApplication.clipboard().text())
sys.exit(code)
"""


def _held() -> Counter[str]:
    """Return what still lives of a window and of what it shows, by class."""
    for _ in range(2):
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        gc.collect()
    kinds = (type(one) for one in gc.get_objects())
    return Counter(
        kind.__name__
        for kind in kinds
        if issubclass(kind, Evaluation | Appraisal)
        or (issubclass(kind, QObject) and kind.__module__.startswith("evenbarrel."))
    )


def _known_items() -> Counter[str]:
    """Return the items of layouts that Qt made and Python has objects of, by class.

    Qt frees them without a word: whatever comes to their address would be taken for them.
    """
    return Counter(
        type(one).__name__
        for one in Shiboken.getAllValidWrappers()
        if isinstance(one, QLayoutItem) and not Shiboken.createdByPython(one)
    )


def _use_all(window: MainWindow) -> None:
    """Show every page of the sample, every step of the decision, and what opens beside them."""
    assert window.documents.open_sample()
    for place in range(len(PAGES)):
        window.go_to(place)
        QApplication.processEvents()
    steps = window.page.steps.list
    for row in range(steps.count()):
        steps.setCurrentRow(row)
        QApplication.processEvents()
    window.open_what_if()
    window.go_to(0)
    window.page._open_programme()
    QApplication.processEvents()
    for dialog in window.findChildren(QDialog):
        dialog.reject()


# What the sample comes to is kept for all tests, the style by the program: there before.
@pytest.mark.usefixtures("open_desk", "sample", "theme")
def test_nothing_is_left_of_a_window_that_is_closed(qapp: QApplication) -> None:
    known = _known_items()

    def live() -> None:
        session, theme, window = build(qapp)
        window.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        window.show()
        begin(session, theme, window)
        _use_all(window)
        session.put(("title",), "Another title", "Title")
        alive = _held() - before
        assert alive["MainWindow"] == alive["Session"] == alive["ShotsPage"] == 1
        assert _known_items() - known == Counter()
        window.close()
        for one in (session, theme):
            one.deleteLater()

    # The application keeps its style.
    Theme().apply(qapp)
    # What other tests left is neither counted nor looked through, which would take seconds.
    gc.freeze()
    before = _held()
    live()
    assert _held() - before == Counter()


def test_our_fonts_are_added_once(qapp: QApplication) -> None:
    data = resources.read_bytes("fonts/DejaVuSans.ttf")
    before = QFontDatabase.addApplicationFontFromData(data)
    for name in ("paper", "slate"):
        Theme(name).apply(qapp)
    after = QFontDatabase.addApplicationFontFromData(data)
    for one in (before, after):
        QFontDatabase.removeApplicationFont(one)
    assert after == before + 1


def test_what_was_copied_outlives_the_program(tmp_path: Path) -> None:
    places = {f"XDG_{name}_HOME": str(tmp_path) for name in ("CONFIG", "STATE")}
    done = subprocess.run(
        [sys.executable, "-c", COPIES_AND_QUITS],
        env=os.environ | places | {"PYTHONPATH": str(SOURCE), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout.strip()) == (0, "Swept volume")
