"""What ends a step or the program unasked: the work is kept first.

A fault of the program itself is logged and reported; where a terminal or the system asks the
program to end, it ends by itself, and what was unsaved is offered at the next start.
"""

from __future__ import annotations

import signal
import socket
import traceback
from collections.abc import Callable
from types import TracebackType

from PySide6.QtCore import QCoreApplication, QObject, QSocketNotifier
from PySide6.QtGui import QGuiApplication

from evenbarrel import __version__
from evenbarrel.desk.style.plain import to_clipboard
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.storage.personal.fault_log import log_fault
from evenbarrel.wording.sentences import documents


class Faults:
    """Takes what nobody caught, as `sys.excepthook` does."""

    def __init__(self, session: Session, notice: Notice) -> None:
        self._session = session
        self._notice = notice

    def __call__(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        """Keep the work, log the fault, and offer its details to be copied."""
        try:
            self._session.autosave()
        finally:
            log_fault("uncaught", error)
        details = "".join(traceback.format_exception(kind, error, trace))

        def copy() -> None:
            to_clipboard(f"Evenbarrel {__version__}\n{details}")

        self._notice.tell(
            documents.fault(kind.__name__),
            ("Copy details", copy),
            ("Close", lambda: None),
            problem=True,
        )


_ENDS = ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")
"""Ctrl+C in the terminal, the system that ends, a terminal that is closed; not each system has all.
"""


class AskedToEnd(QObject):
    """Ends the program where a terminal or the system asks it to; `keep` keeps what is unsaved.

    Python would raise an error in the middle of whatever of its functions Qt calls next, some of
    which Qt cannot leave by an error, and not before there is one: a window at rest would go on.
    """

    def __init__(self, keep: Callable[[], None], end: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._keep, self._end = keep, end
        self._told, wake = socket.socketpair()
        for one in (self._told, wake):
            one.setblocking(False)
        self._wake = wake
        notifier = QSocketNotifier(self._told.fileno(), QSocketNotifier.Type.Read, self)
        notifier.activated.connect(self._act)
        signal.set_wakeup_fd(wake.fileno(), warn_on_full_buffer=False)
        for name in _ENDS:
            number = getattr(signal, name, None)
            if number is not None:
                # What is to be done is done by the notifier, between two events.
                signal.signal(number, lambda *_: None)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            # The session ends, or may: nobody is asked, and nothing is given up.
            application.commitDataRequest.connect(lambda _: self._keep())

    def _act(self) -> None:
        number = self._told.recv(64)[0]
        try:
            self._end()
        finally:
            # What shells call a program that ended so.
            QCoreApplication.exit(128 + number)
