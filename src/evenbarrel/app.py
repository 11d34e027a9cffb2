"""The composition root: the only place that builds the session and the window and ties them."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from evenbarrel.appraisal.appraise import Appraisal
    from evenbarrel.desk.jobs import Report

_SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
_NO_SCREEN = "evenbarrel: there is no screen to open a window on; the headless commands need none\n"


def has_screen(environ: Mapping[str, str] = os.environ, platform: str = sys.platform) -> bool:
    """Say whether a window can be opened: without a screen Qt ends the process with a riddle."""
    return not platform.startswith("linux") or any(environ.get(name) for name in _SCREENS)


def _hints(appraisal: Appraisal, barrel: str) -> Mapping[str, str]:
    # Loaded with the first form that wants it: it brings numpy along.
    from evenbarrel.wording.hints import barrel_hints

    return barrel_hints(appraisal, barrel)


def _render(appraisal: Appraisal, report: Report) -> bytes:
    # Loaded in the thread that wants it: it brings reportlab along.
    from evenbarrel.report.pdf import render_pdf

    report(0.1)
    return render_pdf(appraisal)


def run(path: Path | None, sample: bool) -> int:
    """Open the desk, with a file, with the sample, or empty; return the exit code."""
    if not has_screen():
        sys.stderr.write(_NO_SCREEN)
        return 2
    from PySide6.QtCore import QSettings, QTimer
    from PySide6.QtGui import QIcon, QPixmap
    from PySide6.QtWidgets import QApplication

    from evenbarrel.desk.session import Session
    from evenbarrel.desk.theme import NAMES, Theme
    from evenbarrel.desk.window import MainWindow
    from evenbarrel.resources import read_bytes
    from evenbarrel.storage.folders import config_folder
    from evenbarrel.storage.refusal import FileRefused

    application = QApplication(sys.argv[:1])
    application.setApplicationName("Evenbarrel")
    session = Session()
    try:
        if sample:
            session.open_sample()
        elif path is not None:
            session.open(path)
    except FileRefused as refusal:
        sys.stderr.write(f"{refusal}\n")
        return 1
    settings = QSettings(str(config_folder() / "desk.ini"), QSettings.Format.IniFormat)
    liked = str(settings.value("palette", NAMES[0]))
    theme = Theme(liked if liked in NAMES else NAMES[0])
    theme.apply(application)
    theme.changed.connect(lambda: settings.setValue("palette", theme.colours.name))
    pixmap = QPixmap()
    if pixmap.loadFromData(read_bytes("icons/evenbarrel.svg"), "svg"):
        application.setWindowIcon(QIcon(pixmap))
    window = MainWindow(session, theme, _hints, _render)
    window.show()
    # Painted once before anything heavy is loaded.
    application.processEvents()

    def begin() -> None:
        from evenbarrel.desk.furnish import furnish

        furnish(window, session, theme)
        session.begin()
        window.documents.offer_unsaved()
        QTimer.singleShot(0, lambda: import_module("pyqtgraph"))

    QTimer.singleShot(0, begin)
    return application.exec()
