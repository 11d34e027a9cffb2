"""What ends a step or the program unasked: the work is kept first.

A fault of the program itself is logged and reported; where a terminal or the system asks the
program to end, it ends by itself, and what was unsaved is offered at the next start.
"""

from __future__ import annotations

import os
import signal
import socket
import traceback
from collections.abc import Callable
from types import TracebackType

from PySide6.QtCore import QObject, QSocketNotifier
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

        self._notice.show_message(
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

    def __init__(
        self,
        keep: Callable[[], None],
        parent: QObject,
        leave: Callable[[int], object] = os._exit,
    ) -> None:
        super().__init__(parent)
        self._keep, self._leave = keep, leave
        self._reader, self._wake = socket.socketpair()
        for one in (self._reader, self._wake):
            one.setblocking(False)
        self._notifier = QSocketNotifier(self._reader.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._end)
        signal.set_wakeup_fd(self._wake.fileno(), warn_on_full_buffer=False)
        numbers = [getattr(signal, name) for name in _ENDS if hasattr(signal, name)]
        # What is to be done is done by the notifier, between two events.
        self._were = {number: signal.signal(number, lambda *_: None) for number in numbers}
        application = QGuiApplication.instance()
        assert isinstance(application, QGuiApplication)
        # The session ends, or may: nobody is asked, and nothing is given up.
        application.commitDataRequest.connect(self._keep_for_session)

    def stop(self) -> None:
        """Let signals do what they did before: nothing waits for events any more."""
        self._notifier.setEnabled(False)
        signal.set_wakeup_fd(-1)
        for number, was in self._were.items():
            signal.signal(number, was)
        for one in (self._reader, self._wake):
            one.close()

    def _keep_for_session(self) -> None:
        self._keep()

    def _end(self) -> None:
        number = self._reader.recv(1)[0]
        try:
            self._keep()
        finally:
            # At once: all is on the disk, and what runs beside the window may take long to notice
            # that it is to stop. The number is what shells call a program that ended so.
            self._leave(128 + number)
