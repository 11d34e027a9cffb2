"""Times the desk and the exports with the sample programme; reports, asserts nothing.

    python tests/bench/bench_desk.py

First paint is measured in fresh processes from their start; edit to repaint from the edit to
the painted page; both on this machine, medians of several runs.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable

RUNS = 7
_FIRST_PAINT = """
import sys, time
start = time.clock_gettime(time.CLOCK_BOOTTIME)
from PySide6.QtWidgets import QApplication
from evenbarrel.app import begin, build
application = QApplication([])
session, theme, window = build(application)
session.open_sample()
window.show()
application.processEvents()
with open("/proc/self/stat") as stat:
    begun = int(stat.read().rsplit(")", 1)[1].split()[19]) / __import__("os").sysconf("SC_CLK_TCK")
painted = time.clock_gettime(time.CLOCK_BOOTTIME) - begun
begin(session, theme, window)
application.processEvents()
print(painted, time.clock_gettime(time.CLOCK_BOOTTIME) - begun)
"""


def first_paint() -> tuple[float, float]:
    """Return seconds from process start to first paint, and to the first appraisal painted."""
    done = subprocess.run(
        [sys.executable, "-c", _FIRST_PAINT], capture_output=True, check=True, text=True
    )
    painted, appraised = done.stdout.split()
    return float(painted), float(appraised)


def report(name: str, seconds: list[float]) -> None:
    """Print one line: median, least and most."""
    low, high = min(seconds) * 1e3, max(seconds) * 1e3
    middle = statistics.median(seconds) * 1e3
    sys.stdout.write(f"{name:<44} {middle:8.1f} ms  ({low:.1f} to {high:.1f})\n")


def timed(action: Callable[[int], object]) -> list[float]:
    """Return the seconds of RUNS runs after one that is not counted."""
    taken = []
    for run in range(RUNS + 1):
        start = time.perf_counter()
        action(run)
        taken.append(time.perf_counter() - start)
    return taken[1:]


def main() -> None:
    """Time first paint, edits on each page, and both exports."""
    pairs = [first_paint() for _ in range(RUNS)]
    report("first paint, from process start", [pair[0] for pair in pairs])
    report("first appraisal painted, from process start", [pair[1] for pair in pairs])

    from PySide6.QtWidgets import QApplication

    from evenbarrel.app import begin, build
    from evenbarrel.desk.pages.page import PAGES
    from evenbarrel.model.datum_path import put
    from evenbarrel.model.quantity import Quantity
    from evenbarrel.report.pdf import render_pdf
    from evenbarrel.report.workbook.book import render_workbook

    application = QApplication([])
    session, theme, window = build(application)
    session.open_sample()
    window.show()
    begin(session, theme, window)
    path = ("jobs", "j1", "part_mass")

    def edit(run: int) -> None:
        mass = Quantity(magnitude=f"1.{run % 9 + 1}", unit="g")
        session.edit("part mass", put(session.evaluation, path, mass))
        window.repaint()
        application.processEvents()

    for place, entry in enumerate(PAGES):
        window.go_to(place)
        application.processEvents()
        report(f"edit to repaint, page {entry.title}", timed(edit))
    if session.appraisal is not None:
        appraisal = session.appraisal
        report("evaluation as PDF", timed(lambda _: render_pdf(appraisal)))
        report("evaluation as workbook", timed(lambda _: render_workbook(appraisal)))
    session.undo_stack.setClean()


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as private:
        os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_STATE_HOME"] = private
        main()
