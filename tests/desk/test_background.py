"""What runs beside a window, where the window or the program ends before it."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event

from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtWidgets import QApplication

from evenbarrel.desk.window.background import Job, Report, end_work


def test_work_may_tell_how_far_it_is_while_whoever_asked_is_deleted(qapp: QApplication) -> None:
    begun, going, told = Event(), Event(), Event()

    def work(report: Report) -> None:
        begun.set()
        going.wait()
        report(0.5)
        told.set()

    asker = QObject()
    job = Job(asker)
    # Said while it goes: its thread is waited for then.
    job.destroyed.connect(going.set)
    job.start(work)
    begun.wait()
    asker.deleteLater()
    QCoreApplication.sendPostedEvents(asker, QEvent.Type.DeferredDelete)
    assert told.is_set()


def test_nothing_runs_on_when_the_program_ends(qapp: QApplication) -> None:
    begun = [Event(), Event()]
    left = []

    def until_stopped(one: int) -> Callable[[Report], None]:
        def work(report: Report) -> None:
            begun[one].set()
            try:
                while True:
                    report(0.5)
            finally:
                left.append(one)

        return work

    asker = QObject()
    for one, event in enumerate(begun):
        Job(asker).start(until_stopped(one))
        event.wait()
    end_work()
    assert sorted(left) == [0, 1]
    assert not any(job.is_running for job in asker.findChildren(Job))
