"""Makes pictures of the desk: the README's, or every page in every size.

    python tests/pictures.py [FOLDER [paper|slate]]
    python tests/pictures.py --all FOLDER [TEXT ...]

The first shows the pages with the sample programme; FOLDER is resources/pictures if none is
named. The second shows every page of an empty evaluation, of the sample and of 60 barrels by 20
jobs in four sizes of window, both palettes and text of 80 to 200 %, or of the TEXT sizes named
[%]. Needs no screen.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

from evenbarrel.appraisal.references import CriterionRef

if TYPE_CHECKING:
    from evenbarrel.desk.window.main_window import MainWindow
    from evenbarrel.desk.window.session import Session
    from evenbarrel.model.evaluation import Evaluation
    from evenbarrel.model.offers.bid import Bid

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

SHIPPED = Path(__file__).parents[1] / "resources" / "pictures"
USUAL = (1400, 900)
SIZES = ((1280, 720), USUAL, (1920, 1080), (2560, 1440))
TEXTS = (80, 100, 150, 200)
"""How large the desktop shows text [%]."""
UNSCALED_DPI = 96
CELL = ("b1u1b", "j6")
"""The barrel and the job that the pictures look into."""
PRINTED = ("bids", "b4", "units", "b4u1")
"""The unit whose data sheet is shown: a number of its screw is in another unit than it says."""
SCREW, DATUM = "b4u1b", "swept_volume"
SETTLED_MS = 800
BARRELS, JOBS = 60, 20
"""The large evaluation: so many of each, made of the sample's."""


def main(folder: Path, palette: str) -> None:
    """Open the sample, show each page, and write what is seen."""
    from PySide6.QtWidgets import QApplication

    from evenbarrel.app import begin, build
    from evenbarrel.desk.pages.all_pages import PAGES

    session, theme, window = build(QApplication([]))
    theme.switch(palette)
    session.open_sample()
    window.resize(*USUAL)
    window.show()
    begin(session, theme, window)
    folder.mkdir(parents=True, exist_ok=True)
    for place, entry in enumerate(PAGES):
        look_into_sample(session, window, place)
        save(window, folder / f"{entry.title.lower()}.png")


def save(window: MainWindow, path: Path) -> None:
    """Write what is seen of the window, and tell where."""
    window.grab().save(str(path))
    sys.stdout.write(f"{path}\n")


def look_into_sample(session: Session, window: MainWindow, place: int) -> None:
    """Show a page with what the pictures of the sample look into."""
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    window.go_to(place)
    QApplication.processEvents()
    barrel, job = CELL
    session.selection.choose(barrel, job)
    session.show_working.emit(CriterionRef(barrel, job, "utilisation"))
    if window.page_list.item(place).text() == "Bids":
        window.page.choose(PRINTED)
        window.page.sheet.focus_cell(SCREW, DATUM)
    # Long enough for what a page works out after it is shown.
    QTest.qWait(SETTLED_MS)


def main_in_all_sizes(folder: Path, texts: tuple[int, ...]) -> None:
    """Make the pictures of each size of text in a process of its own: Qt reads it at its start."""
    folder.mkdir(parents=True, exist_ok=True)
    for text in texts:
        environment = os.environ | {"QT_FONT_DPI": str(text * UNSCALED_DPI // 100)}
        command = (sys.executable, __file__, "--text", str(folder), str(text))
        subprocess.run(command, env=environment, check=True)


def main_in_one_text(folder: Path, text: str) -> None:
    """Show every page of three evaluations in all window sizes and both palettes."""
    from PySide6.QtWidgets import QApplication

    from evenbarrel.app import begin, build
    from evenbarrel.desk.style.theme import NAMES

    session, theme, window = build(QApplication([]))
    window.show()
    begin(session, theme, window)
    from evenbarrel.desk.pages.all_pages import PAGES

    for kind in ("empty", "sample", "large"):
        fill(session, kind)
        for place, entry in enumerate(PAGES):
            if kind == "sample":
                look_into_sample(session, window, place)
            window.go_to(place)
            settle(session)
            for (width, height), palette in product(SIZES, NAMES):
                ratio = window.devicePixelRatio()
                window.resize(round(width / ratio), round(height / ratio))
                theme.switch(palette)
                settle(session)
                name = f"{kind}-{entry.key}-{width}-{text}-{palette}.png"
                save(window, folder / name)
    session.undo_stack.setClean()


def fill(session: Session, kind: str) -> None:
    """Put one of the three evaluations on the desk."""
    if kind != "empty":
        session.open_sample()
    if kind == "large":
        session.edit("Many barrels and jobs", large(session.evaluation))
    settle(session)


def settle(session: Session) -> None:
    """Wait until everything is appraised and what a page works out later is shown."""
    from PySide6.QtTest import QTest

    while not session.is_current:
        QTest.qWait(SETTLED_MS // 4)
    # On a busy machine one wait may be over before what it waited for is begun.
    for _ in range(2):
        QTest.qWait(SETTLED_MS // 4)


def large(sample: Evaluation) -> Evaluation:
    """Return 60 barrels by 20 jobs, the sample's over again under other names."""
    copies = range(-(-BARRELS // len(tuple(sample.barrels()))))
    bids = [copied(bid, again) for again in copies for bid in sample.bids]
    jobs = [
        job.replace(id=f"{job.id}x{again}", name=f"{job.name} {again + 1}")
        for again in range(-(-JOBS // len(sample.jobs)))
        for job in sample.jobs
    ]
    return type(sample)(
        title="Many barrels and jobs",
        as_of=sample.as_of,
        resins=sample.resins,
        jobs=tuple(jobs[:JOBS]),
        bids=tuple(bids),
    )


def copied(bid: Bid, again: int) -> Bid:
    """Return a bid under other names; it revises nothing."""
    units = []
    for unit in bid.units:
        screws = [one.replace(id=f"{one.id}x{again}", revises=None) for one in unit.barrels]
        units.append(unit.replace(id=f"{unit.id}x{again}", barrels=tuple(screws)))
    return bid.replace(
        id=f"{bid.id}x{again}",
        supplier=f"{bid.supplier} {again + 1}",
        units=tuple(units),
        revises=None,
    )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as private:
        # Nothing of the person's own settings is read or written.
        os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_STATE_HOME"] = private
        match sys.argv[1:]:
            case ["--all", folder, *texts]:
                main_in_all_sizes(Path(folder), tuple(int(text) for text in texts) or TEXTS)
            case ["--text", folder, text]:
                main_in_one_text(Path(folder), text)
            case [folder, palette]:
                main(Path(folder), palette)
            case [folder]:
                main(Path(folder), "paper")
            case _:
                main(SHIPPED, "paper")
