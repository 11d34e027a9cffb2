"""What is said of a planned job: its shots brought to volume, and the window for recovery."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from evenbarrel.appraisal.results import Bound, ShotEnd


@dataclass(frozen=True, slots=True)
class ShotResult:
    """One end of a job's shots: its mass [kg] and volume [m3] with their bounds."""

    end: ShotEnd
    mass: Bound
    volume: Bound | None


WindowRoute = Literal["given", "cycle", "formula", "cap"]


@dataclass(frozen=True, slots=True)
class RecoveryWindow:
    """The time a screw may turn in for one job's shots [s], whatever the barrel.

    `routes` holds, by "given", "cycle" and "formula" as far as their data go, the time from end
    of hold to mould opening, not yet capped; `cooling` is the formula's time from end of filling.
    `cap` is the most that the cycle leaves, None where no cycle is stated. `bound` is the window
    by the route `taken`: capped, less the screw's delay, with recovery past opening. `taken` is
    "cap" where only the most it can be is known, as where the formula's cooling is over before hold
    ends; None where nothing is.
    """

    routes: Mapping[WindowRoute, Bound]
    cooling: Bound | None
    cap: Bound | None
    taken: WindowRoute | None
    bound: Bound | None
    beyond_cycle: tuple[WindowRoute, ...] = ()
    """Routes that ask for more than the cycle leaves."""
    longest: float | None = None
    """How long recovery may take before a cycle gets longer than planned: `bound`, and where no
    cooling time is given all that the cycle leaves, None where neither is known."""


@dataclass(frozen=True, slots=True)
class JobResult:
    """A planned job brought to volume."""

    id: str
    resin: str | None
    factor: float | None
    shots: tuple[ShotResult, ...]
    missing: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    """Codes: runner_not_stated, smallest_ignored, largest_ignored, hot_runner_not_stated (its
    decompression is not counted and the stay is a lower bound), window_beyond_cycle."""
    window: RecoveryWindow | None = None

    @property
    def nominal(self) -> ShotResult | None:
        """The nominal shot, or None where its mass is not stated."""
        return next((shot for shot in self.shots if shot.end == "nominal"), None)
