"""Times scrolling the Fit page of a thousand barrels by 20 jobs; reports, asserts nothing.

    python tests/bench/bench_scrolling.py

A frame is from a move of the scroll bar to the painted board, or to the painted ruler that is
zoomed; by a few pixels as a wheel that turns gently, by rows, and by a page. Medians in seconds of
the processor: another program beside it counts for nothing.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import pictures
from PySide6.QtWidgets import QApplication, QScrollBar

BARRELS, FIT, RULER = 1000, 3, 1
FRAMES = 60


def frames(bar: QScrollBar, step: int) -> list[float]:
    """Return the seconds that each frame took, scrolled by so many pixels."""
    bar.setValue(0)
    QApplication.processEvents()
    taken = []
    for _ in range(FRAMES):
        start = time.process_time()
        bar.setValue(bar.value() + step)
        QApplication.processEvents()
        taken.append(time.process_time() - start)
    return taken


def report(name: str, taken: list[float]) -> None:
    """Print one line: the median frame, the longest, and how many such there are in a second."""
    middle = statistics.median(taken)
    longest = max(taken) * 1e3
    sys.stdout.write(
        f"{name:<40} {middle * 1e3:6.1f} ms (up to {longest:.1f}), {1.0 / middle:4.0f} a second\n"
    )


def main() -> None:
    """Open a large evaluation, and scroll its board and its ruler."""
    from evenbarrel.app import begin, build
    from evenbarrel.desk.pages.fit.page import FitPage

    session, theme, window = build(QApplication([]))
    session.open_sample()
    window.show()
    begin(session, theme, window)
    pictures.BARRELS = BARRELS
    session.edit("many", pictures.large(session.evaluation))
    window.go_to(FIT)
    pictures.settle(session)
    page = window.page
    assert isinstance(page, FitPage)
    for step in (12, 120, 600):
        taken = frames(page.board.verticalScrollBar(), step)
        report(f"board of {BARRELS}, by {step} pixels", taken)
    page.pictures.show()
    page.pictures.setCurrentIndex(RULER)
    pictures.settle(session)
    report(f"ruler of {BARRELS}, by 15 pixels", frames(page.plot.rows, 15))
    session.undo_stack.setClean()


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as private:
        os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_STATE_HOME"] = private
        main()
