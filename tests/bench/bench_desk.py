"""Times the desk and the exports; reports, asserts nothing.

    python tests/bench/bench_desk.py

First paint is measured in fresh processes from their start, which is that of a person who opens
the sample, or nothing: until a document is appraised its window says so. Edit to repaint is from
the edit to the painted page, page change from the key to the painted page; medians of several
runs. Each is told beside what a bare window of Qt takes from the start of its process to its
paint, measured in the same run, so that figures of two machines can be held against each other.
Seconds are of the processor: another program beside it counts for nothing.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

sys.path.insert(0, str(Path(__file__).parents[1]))

from pictures import large

if TYPE_CHECKING:
    from evenbarrel.desk.window.main_window import MainWindow
    from evenbarrel.desk.window.session import Session

RUNS = 7
_BARE = """
import time
from PySide6.QtWidgets import QApplication, QMainWindow
application = QApplication([])
window = QMainWindow()
window.show()
application.processEvents()
print(time.process_time(), time.process_time())
"""
# As a person starts it; the loop of events is entered when the window has been painted once.
_FIRST_PAINT = """
import os
import sys
import time
from evenbarrel import app
from evenbarrel.__main__ import main

build = app.build


def watched(application, session):
    from PySide6.QtCore import QEvent, QEventLoop, QObject

    class Watch(QObject):
        def eventFilter(self, watched, event):
            seen.append(event.type() == QEvent.Type.Paint)
            return False

    built = session, theme, window = build(application, session)
    seen, watch = [], Watch(window)
    session.changed.connect(lambda *_: window.page.installEventFilter(watch))

    def loop():
        painted = time.process_time()
        while not any(seen):
            application.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
        print(painted, time.process_time(), flush=True)
        os._exit(0)

    type(application).exec = staticmethod(loop)
    return built


app.build = watched
main(["--sample"])
"""


def paint(program: str) -> tuple[float, float]:
    """Return seconds from process start to what the program prints: two moments."""
    # An installed copy comes with its modules compiled.
    compiled = {n: v for n, v in os.environ.items() if n != "PYTHONDONTWRITEBYTECODE"}
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, check=True, text=True, env=compiled
    )
    first, second = done.stdout.split()
    return float(first), float(second)


def report(name: str, seconds: list[float], bare: float, most: float | None = None) -> None:
    """Print one line: median, least and most, and the share of a bare window's start.

    `most` is the share that is to be reached.
    """
    low, high = min(seconds) * 1e3, max(seconds) * 1e3
    middle = statistics.median(seconds)
    share = middle / bare
    aim = "" if most is None else f"  aim {most:g}{'' if share <= most else '  OVER'}"
    sys.stdout.write(
        f"{name:<46} {middle * 1e3:8.1f} ms  ({low:.1f} to {high:.1f})  {share:6.3f}{aim}\n"
    )


def timed(action: Callable[[int], object]) -> list[float]:
    """Return the seconds of RUNS runs after one that is not counted."""
    taken = []
    for run in range(RUNS + 1):
        start = time.process_time()
        action(run)
        taken.append(time.process_time() - start)
    return taken[1:]


def main() -> None:
    """Time first paint, edits and page changes on each page, and both exports."""
    bare = time_start()

    from PySide6.QtWidgets import QApplication

    from evenbarrel.app import begin, build
    from evenbarrel.report.pdf import render_pdf
    from evenbarrel.report.workbook.book import render_workbook

    application = QApplication([])
    session, theme, window = build(application)
    session.open_sample()
    window.show()
    begin(session, theme, window)
    time_pages(session, window, "14 x 8", bare, 0.12)
    if session.appraisal is not None:
        appraisal = session.appraisal
        report("evaluation as PDF", timed(lambda _: render_pdf(appraisal)), bare, 3.0)
        report("evaluation as workbook", timed(lambda _: render_workbook(appraisal)), bare)
    session.open_sample()
    session.edit("large", large(session.evaluation))
    time_pages(session, window, "60 x 20", bare, 0.5)
    session.undo_stack.setClean()


def time_start() -> float:
    """Time the start with the sample and with nothing; return seconds to a bare window's paint."""
    # Compiles what is not yet.
    paint(_FIRST_PAINT)
    # In turn: what else the machine does bears on all alike.
    programs = (_BARE, _FIRST_PAINT, _FIRST_PAINT.replace('["--sample"]', "[]"))
    bare, sample, nothing = zip(*(map(paint, programs) for _ in range(RUNS)), strict=True)
    middle = statistics.median(first for first, _ in bare)
    sys.stdout.write(f"a bare window of Qt, from process start {middle * 1e3:.1f} ms: 1\n")
    for of, pairs, aims in (("sample", sample, (3.5, 6.0)), ("nothing", nothing, (None, None))):
        first, appraised = (list(seconds) for seconds in zip(*pairs, strict=True))
        report(f"first paint, {of} opened", first, middle, aims[0])
        report(f"first appraisal painted, {of} opened", appraised, middle, aims[1])
    return middle


def time_pages(session: Session, window: MainWindow, of: str, bare: float, most: float) -> None:
    """Time on every page an edit until it is repainted, and coming to it from the page before."""
    from PySide6.QtWidgets import QApplication

    from evenbarrel.desk.pages.all_pages import PAGES
    from evenbarrel.model.datum_path import put
    from evenbarrel.model.quantity import Quantity

    path = ("jobs", session.evaluation.jobs[0].id, "part_mass")

    def painted() -> None:
        # What is to be painted anew is asked for by then, and painted once, as on a screen.
        QApplication.processEvents()

    def edit(run: int) -> None:
        mass = Quantity(magnitude=f"1.{run % 9 + 1}", unit="g")
        session.edit("part mass", put(session.evaluation, path, mass))
        painted()

    def come(place: int) -> None:
        window.go_to(place)
        painted()

    def arriving(place: int) -> list[float]:
        taken = []
        for run in range(RUNS + 1):
            come((place + 1) % len(PAGES))
            edit(run)
            start = time.process_time()
            come(place)
            taken.append(time.process_time() - start)
        return taken[1:]

    for place, entry in enumerate(PAGES):
        come(place)
        report(f"edit to repaint, {of}, page {entry.title}", timed(edit), bare, most)
    for place, entry in enumerate(PAGES):
        report(f"page change, {of}, to {entry.title}", arriving(place), bare, most)


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as private:
        os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_STATE_HOME"] = private
        main()
