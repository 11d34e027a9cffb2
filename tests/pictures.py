"""Makes the pictures of the README: every page of the desk with the sample programme.

    python tests/pictures.py [FOLDER [paper|slate]]

FOLDER is resources/pictures if none is named. Needs no screen.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from evenbarrel.appraisal.references import CriterionRef

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

SHIPPED = Path(__file__).parents[1] / "resources" / "pictures"
WIDTH, HEIGHT = 1400, 900
CELL = ("b1u1b", "j6")
"""The barrel and the job that the pictures look into."""
PRINTED = ("bids", "b4", "units", "b4u1")
"""The unit whose data sheet is shown: a number of its screw is in another unit than it says."""
SCREW, DATUM = "b4u1b", "swept_volume"
SETTLED_MS = 800


def main(folder: Path, palette: str) -> None:
    """Open the sample, show each page, and write what is seen."""
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from evenbarrel.app import begin, build
    from evenbarrel.desk.pages.page import PAGES

    application = QApplication([])
    session, theme, window = build(application)
    theme.switch(palette)
    session.open_sample()
    window.resize(WIDTH, HEIGHT)
    window.show()
    begin(session, theme, window)
    folder.mkdir(parents=True, exist_ok=True)
    barrel, job = CELL
    for place, entry in enumerate(PAGES):
        window.go_to(place)
        application.processEvents()
        session.selection.choose(barrel, job)
        session.show_working.emit(CriterionRef(barrel, job, "utilisation"))
        if entry.title == "Bids":
            window.page.choose(PRINTED)
            window.page.sheet.focus_cell(SCREW, DATUM)
        # Long enough for what a page works out after it is shown.
        QTest.qWait(SETTLED_MS)
        path = folder / f"{entry.title.lower()}.png"
        window.grab().save(str(path))
        sys.stdout.write(f"{path}\n")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as private:
        # Nothing of the person's own settings is read or written.
        os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_STATE_HOME"] = private
        main(
            Path(sys.argv[1]) if len(sys.argv) > 1 else SHIPPED,
            sys.argv[2] if len(sys.argv) > 2 else "paper",
        )
