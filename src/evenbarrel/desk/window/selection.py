"""What is chosen: a barrel, a job, both, or neither; every page follows the one selection."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from evenbarrel.model.evaluation import Evaluation


class Selection(QObject):
    """The ids of the barrel and the job that are chosen, each None where none is."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.barrel: str | None = None
        self.job: str | None = None

    @property
    def pair(self) -> tuple[str | None, str | None]:
        """The barrel and the job chosen."""
        return self.barrel, self.job

    def choose(self, barrel: str | None, job: str | None) -> None:
        """Choose a barrel and a job together, or one, or neither."""
        if (barrel, job) != self.pair:
            self.barrel, self.job = barrel, job
            self.changed.emit()

    def choose_barrel(self, barrel: str | None) -> None:
        """Choose another barrel for the same job."""
        self.choose(barrel, self.job)

    def choose_job(self, job: str | None) -> None:
        """Choose another job for the same barrel."""
        self.choose(self.barrel, job)

    def forget_what_is_gone(self, evaluation: Evaluation) -> None:
        """Choose nothing in place of what the evaluation no longer has, or no longer counts."""
        jobs = {job.id for job in evaluation.jobs}
        self.choose(
            self.barrel if self.barrel and evaluation.counts(self.barrel) else None,
            self.job if self.job in jobs else None,
        )
