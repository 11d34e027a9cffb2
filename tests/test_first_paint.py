"""The window is painted with the sample opened before anything slow is loaded."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from evenbarrel import resources

SOURCE = Path(resources.__file__).parents[1]

# The loop of events is entered when the window has been painted once.
AT_FIRST_PAINT = """
import sys
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication

painted = []


class Watch(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.Paint:
            painted.append(watched)
        return False


def loop():
    heavy = {"numpy", "pint", "pyqtgraph", "reportlab", "openpyxl", "scipy", "highspy", "pypdfium2"}
    (window,) = [w for w in QApplication.topLevelWidgets() if w.isVisible()]
    print(window.windowTitle(), bool(painted), sorted(heavy & set(sys.modules)), sep="|")
    return 0


from evenbarrel import app

build, watch = app.build, Watch()


def watched_build(application, session):
    application.installEventFilter(watch)
    return build(application, session)


app.build = watched_build
QApplication.exec = staticmethod(loop)
code = app.run(None, sample=True)
QApplication.instance().removeEventFilter(watch)
sys.exit(code)
"""


def test_nothing_slow_is_loaded_before_the_first_paint_with_the_sample(tmp_path: Path) -> None:
    places = {f"XDG_{name}_HOME": str(tmp_path) for name in ("CONFIG", "STATE")}
    done = subprocess.run(
        [sys.executable, "-c", AT_FIRST_PAINT],
        env=os.environ | places | {"PYTHONPATH": str(SOURCE), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    title, painted, loaded = done.stdout.strip().split("|")
    assert title.startswith("Irrigation parts")
    assert painted == "True"
    assert loaded == "[]"
