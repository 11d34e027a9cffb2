"""Deviations that named persons accepted, and rules they will not waive, as far as they run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from evenbarrel.model.record.decision import Deviation


@dataclass(frozen=True, slots=True)
class Deviations:
    """The deviations of an evaluation on the day it is judged."""

    entered: Sequence[Deviation]
    as_of: date | None

    def accepted(self) -> Iterator[Deviation]:
        """Yield the deviations that a person accepted and that have not ended on the day."""
        return (one for one in self._running() if not one.refused)

    def refused(self) -> Iterator[Deviation]:
        """Yield the rules that a person refused to waive, as far as that has not ended."""
        return (one for one in self._running() if one.refused)

    def _running(self) -> Iterator[Deviation]:
        """Yield what has not ended; without a day to judge on, whatever has an end has ended."""
        for one in self.entered:
            if one.until is None or (self.as_of is not None and one.until >= self.as_of):
                yield one
