"""What a ruler shows, as traces that only need drawing: shots, lanes, marks and barrels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from evenbarrel.appraisal.references import CriterionRef, Reference
from evenbarrel.appraisal.results import ShotEnd, State


@dataclass(frozen=True, slots=True)
class ShotLine:
    """A planned shot where it stands on the ruler; only the nominal one carries its label."""

    job: str
    end: ShotEnd
    value: float
    low: float
    high: float
    label: str
    reference: Reference


@dataclass(frozen=True, slots=True)
class Lane:
    """One planned window laid on one barrel.

    `low` to `high` is allowed, `comfort_low` to `comfort_high` comfortable; None where nothing is
    left. Not `stated`: a limit of it cannot be had, and what is known of it is drawn as a guess.
    """

    label: str
    jobs: tuple[str, ...]
    y: float
    low: float | None
    high: float | None
    comfort_low: float | None
    comfort_high: float | None
    stated: bool


class Mark(NamedTuple):
    """A job's state on a barrel, at the shot that counts for it.

    `name` is the criterion that binds, where the lane alone would look better than the mark; `key`
    is the one that it opens.
    """

    barrel: str
    job: str
    end: ShotEnd
    value: float
    low: float
    high: float
    y: float
    state: State
    name: str
    key: str

    @property
    def reference(self) -> CriterionRef:
        """What it opens."""
        return CriterionRef(self.barrel, self.job, self.key)


@dataclass(frozen=True, slots=True)
class BarrelTrace:
    """A barrel from nothing to `full`, between `top` and `bottom`; None: its volume is not stated.

    `low` and `high` bound its end. `note` says in words what the trace cannot show.
    """

    id: str
    supplier: str
    name: str
    top: float
    bottom: float
    full: float | None
    low: float | None
    high: float | None
    unsettled: bool
    lanes: tuple[Lane, ...]
    marks: Sequence[Mark]
    note: str
    reference: Reference

    @property
    def label(self) -> str:
        """The barrel with its supplier, in one line."""
        return f"{self.supplier} · {self.name}"

    @property
    def y(self) -> float:
        """Middle of the barrel."""
        return (self.top + self.bottom) / 2.0
