"""The composition root: the only place that builds the session and the window and ties them."""

from __future__ import annotations

import builtins
import gc
import os
import sys
from collections.abc import Mapping
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from evenbarrel.desk.style.theme import Theme
    from evenbarrel.desk.window.faults import AskedToEnd
    from evenbarrel.desk.window.main_window import MainWindow
    from evenbarrel.desk.window.session import Session

_PICTURES_AFTER_MS = 200
"""By then the first appraisal is painted, and nobody has turned to a picture yet."""

_AT_REST_AFTER_MS = 2 * _PICTURES_AFTER_MS

_SCREENS = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
_NO_SCREEN = "evenbarrel: there is no screen to open a window on; the headless commands need none\n"


def has_screen(environ: Mapping[str, str] = os.environ, platform: str = sys.platform) -> bool:
    """Say whether a window can be opened: without a screen Qt ends the process with a riddle."""
    return not platform.startswith("linux") or any(environ.get(name) for name in _SCREENS)


def run(path: Path | None, sample: bool) -> int:
    """Open the desk, with a file, with the sample, or empty; return the exit code."""
    if not has_screen():
        sys.stderr.write(_NO_SCREEN)
        return 2
    _load_qt()
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    from evenbarrel.desk.style.plain import leave_clipboard
    from evenbarrel.desk.window.background import end_work
    from evenbarrel.desk.window.session import Session
    from evenbarrel.storage.file_errors import FileRefused
    from evenbarrel.wording.words.visible import visible_line

    application = QApplication(sys.argv[:1])
    session = Session()
    try:
        if sample:
            session.open_sample()
        elif path is not None:
            session.open(path)
    except FileRefused as refusal:
        sys.stderr.write(visible_line(f"evenbarrel: {refusal}") + "\n")
        return 1
    session, theme, window = build(application, session)
    asked_to_end = _keep_what_ends_unasked(session, window)
    window.show()
    # Painted once before anything heavy is loaded.
    application.processEvents()
    gc.freeze()
    QTimer.singleShot(0, lambda: _begin_and_rest(session, theme, window))
    if sample:
        # After what an earlier session may have left unsaved.
        QTimer.singleShot(0, window.offer_look)
    code = application.exec()
    asked_to_end.stop()
    end_work()
    leave_clipboard()
    window.deleteLater()
    return code


def _keep_what_ends_unasked(session: Session, window: MainWindow) -> AskedToEnd:
    """Let nothing typed be lost by a fault of the program, or where it is asked to end."""
    from evenbarrel.desk.window.faults import AskedToEnd, Faults

    sys.excepthook = Faults(session, window.notice)
    return AskedToEnd(window.keep, window)


def _begin_and_rest(session: Session, theme: Theme, window: MainWindow) -> None:
    """Begin, and keep the garbage collector off all that is made by then.

    It would come before the appraisal is painted, and later in the middle of some edit, which takes
    several times as long by it. The time to collect is where another document is opened.
    """
    from PySide6.QtCore import QTimer

    try:
        begin(session, theme, window)
    finally:
        gc.freeze()
        gc.enable()
    QTimer.singleShot(_AT_REST_AFTER_MS, gc.freeze)
    session.opened.connect(lambda: QTimer.singleShot(0, _free_what_is_gone))


def _free_what_is_gone() -> None:
    gc.unfreeze()
    gc.collect()
    gc.freeze()


def _load_qt() -> None:
    """Load Qt, with garbage collection off until `begin` has ended.

    All that is made meanwhile stays; to look through it takes half of a bare window's start.
    """
    gc.disable()
    own = builtins.__import__
    import PySide6.QtWidgets  # noqa: F401

    # PySide6 puts an import of its own there, which reads the text of every module that comes after
    # it, for names of methods that nothing here uses. That takes half of a bare window's start too.
    builtins.__import__ = own


def build(
    application: QApplication, session: Session | None = None
) -> tuple[Session, Theme, MainWindow]:
    """Return session, theme and window, tied; nothing is shown or appraised yet.

    Of a session in which a document is open the window makes no page before it is appraised.
    """
    from PySide6.QtGui import QIcon, QPixmap

    from evenbarrel.desk.window.main_window import MainWindow
    from evenbarrel.desk.window.session import Session
    from evenbarrel.resources import read_bytes

    application.setApplicationName("Evenbarrel")
    pixmap = QPixmap()
    if pixmap.loadFromData(read_bytes("icons/evenbarrel.svg"), "svg"):
        application.setWindowIcon(QIcon(pixmap))
    session, theme = session or Session(), _liked_theme(application)
    return session, theme, MainWindow(session, theme)


def begin(session: Session, theme: Theme, window: MainWindow) -> None:
    """Give the shown window its drawers, appraise for the first time, and load what plots need."""
    from PySide6.QtCore import QTimer

    from evenbarrel.desk.window.navigation import add_drawers

    add_drawers(window, session, theme)
    session.begin()
    window.documents.hold()
    window.documents.offer_unsaved()
    QTimer.singleShot(_PICTURES_AFTER_MS, lambda: import_module("pyqtgraph"))


def _liked_theme(application: QApplication) -> Theme:
    """Return the palette chosen last, applied; a choice is remembered."""
    from evenbarrel.desk.style.remembered import remember, remembered
    from evenbarrel.desk.style.theme import NAMES, Theme

    liked = remembered("palette", NAMES[0])
    theme = Theme(liked if liked in NAMES else NAMES[0], application)
    theme.apply(application)
    theme.changed.connect(lambda: remember("palette", theme.colours.name))
    return theme
