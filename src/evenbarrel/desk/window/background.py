"""Work beside the window: a plain function, a ticket, and a way to stop."""

from __future__ import annotations

import atexit
from collections.abc import Callable
from threading import Event
from typing import TYPE_CHECKING
from weakref import WeakSet

from PySide6.QtCore import QObject, QThreadPool, QTimer, Signal
from shiboken6 import Shiboken

from evenbarrel.appraisal.progress import Report as Report

if TYPE_CHECKING:
    from evenbarrel.decision.decide import Decision

COSTED_AT_ONCE = 400
"""Cells, a barrel against a job each: the cost of up to so many is computed while a person waits,
about a fifth of a second on two cores. That of more is computed beside the window."""


def must_wait(decision: Decision) -> bool:
    """Say whether costs, order and shares are yet to be computed, and take long."""
    cells = len(decision.appraisal.barrels) * len(decision.appraisal.jobs)
    return cells > COSTED_AT_ONCE and not decision.is_costed


def timer_for(act: Callable[[], object], after: int, parent: QObject) -> QTimer:
    """Return a timer that, once started, lets `act` be done after so many milliseconds."""
    timer = QTimer(parent)
    timer.setSingleShot(True)
    timer.setInterval(after)
    timer.timeout.connect(act)
    return timer


class Stopped(Exception):
    """The person asked the work to stop."""


class _Voice(QObject):
    """Tells, from beside the window, what a function came to and how far it is.

    Whoever asked may be deleted in the middle of this; the function keeps its voice until it ends.
    """

    returned = Signal(int, object, object)
    reported = Signal(int, float)


class Job(QObject):
    """Runs one function at a time off the thread of the window.

    The function gets frozen data and a Report and touches no Qt. What an earlier or a stopped
    function returns is dropped.
    """

    done = Signal(object)
    failed = Signal(object)
    progress = Signal(float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._ticket = 0
        self._stop = Event()
        self._pool = QThreadPool(self)
        self._running = 0
        # Emitted by the worker, delivered in the thread of the window.
        self._voice = _Voice()
        self._voice.returned.connect(self._deliver)
        self._voice.reported.connect(self._pass_on_progress)
        _JOBS.add(self)

    @property
    def is_running(self) -> bool:
        """Whether an answer is still awaited."""
        return self._running != 0

    def start(self, work: Callable[[Report], object]) -> None:
        """Run `work`; its answer comes by `done` or `failed`."""
        self.stop()
        self._ticket += 1
        self._running = ticket = self._ticket
        self._stop = stop = Event()
        voice = self._voice

        def report(share: float) -> None:
            if stop.is_set():
                raise Stopped
            voice.reported.emit(ticket, share)

        def run() -> None:
            result, problem = None, None
            try:
                result = work(report)
            except Exception as error:
                problem = error
            voice.returned.emit(ticket, result, problem)

        self._pool.start(run)

    def stop(self) -> None:
        """Ask what runs to stop, and drop its answer."""
        self._stop.set()
        self._running = 0

    def wait(self) -> None:
        """Stop, and wait until the thread is free: before the window goes."""
        self.stop()
        self._pool.waitForDone()

    def _deliver(self, ticket: int, result: object, error: Exception | None) -> None:
        if ticket != self._running:
            return
        self._running = 0
        if error is None:
            self.done.emit(result)
        else:
            self.failed.emit(error)

    def _pass_on_progress(self, ticket: int, share: float) -> None:
        if ticket == self._running:
            self.progress.emit(share)


_JOBS: WeakSet[Job] = WeakSet()


def end_work() -> None:
    """Stop all that runs beside a window, and wait until it has: before Python ends.

    Python ends a thread in the middle of whatever it does then, which takes the program down.
    """
    jobs = [job for job in _JOBS if Shiboken.isValid(job)]
    for job in jobs:
        job.stop()
    for job in jobs:
        job.wait()


# However it ends: after an error, or in a program that leaves without closing its window.
atexit.register(end_work)


class Costing(QObject):
    """Computes what a decision costs beside the window, once for all that wait for it."""

    done = Signal(object)
    """Carries the Decision, whose costs, order and shares are there now."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._wanted: Decision | None = None
        self._job = Job(self)
        self._job.done.connect(self.done)
        self._job.failed.connect(self._fail)

    def want(self, decision: Decision) -> None:
        """Compute them, unless that is done already; those of another state are wanted no more."""
        if decision is not self._wanted or not self._job.is_running:
            self._wanted = decision
            self._job.start(lambda report: _costed(decision, report))

    def wait(self) -> None:
        """Stop, and wait until nothing runs beside the window."""
        self._job.wait()

    def _fail(self, error: Exception) -> None:
        raise error


def _costed(decision: Decision, report: Report) -> Decision:
    """Compute costs, order and shares of weightings; they stay with the decision."""
    decision.find_costs(report)
    return decision
