"""A fault of the program itself: the work is kept first, then it is logged and reported."""

from __future__ import annotations

import traceback
from types import TracebackType

from evenbarrel import __version__
from evenbarrel.desk.style.plain import to_clipboard
from evenbarrel.desk.window.notice import Notice
from evenbarrel.desk.window.session import Session
from evenbarrel.storage.personal.fault_log import log_fault
from evenbarrel.wording.sentences import pages


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
            pages.fault(kind.__name__),
            ("Copy details", copy),
            ("Close", lambda: None),
            problem=True,
        )
