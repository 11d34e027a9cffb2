"""What is said of a barrel's gate: the state, what stops it, and the limits it waits for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from evenbarrel.appraisal.references import CriterionRef, LimitRef
from evenbarrel.model.record.decision import LimitValue

GateState = Literal["shut", "waits", "no_objection"]
GATES: tuple[GateState, ...] = ("shut", "waits", "no_objection")
"""The gravest first."""
GateKind = Literal[
    "outside", "rule", "open", "beyond_unconfirmed", "unsettled", "disputed", "incompatible"
]


@dataclass(frozen=True, slots=True)
class GateReason:
    """One thing that shuts a barrel's gate or keeps it waiting.

    "outside" by physics or a resin's limit; "rule": outside a rule of thumb, which shuts only
    where a person has refused to waive it; "open": a required criterion is not assessed;
    "beyond_unconfirmed": beyond a limit that nobody confirmed; "unsettled": nobody decided how
    large the barrel is; "disputed": the criterion hangs on what `claim` puts in doubt;
    "incompatible": `job` and `other_job` must never meet and are pinned to one machine.
    """

    kind: GateKind
    criterion: str | None = None
    job: str | None = None
    claim: str | None = None
    other_job: str | None = None
    shuts: bool = False


@dataclass(frozen=True, slots=True)
class Gate:
    """The gate of one barrel over `jobs`, with the reasons of the state given, job by job.

    `state` is None without jobs, or for a kind of unit that the method does not know. Of the same
    cells: `open_criteria` are those not assessed in at least one of `open_cells` cells,
    `not_assessed` counts every one; `doubts` are the barrel's claims that failed and still hold.
    """

    barrel: str
    state: GateState | None
    jobs: tuple[str, ...]
    reasons: tuple[GateReason, ...]
    open_criteria: tuple[str, ...]
    open_cells: int
    not_assessed: int
    doubts: tuple[str, ...]

    @property
    def stopped_jobs(self) -> tuple[str, ...]:
        """The jobs that the reasons name, in the order of the programme."""
        named = {job for reason in self.reasons for job in (reason.job, reason.other_job)}
        return tuple(job for job in self.jobs if job in named)


@dataclass(frozen=True, slots=True)
class ProgrammeGate:
    """The gate of a proposal: the worst of its barrels, shut where a job is `uncovered`."""

    state: GateState | None
    gates: tuple[Gate, ...]
    uncovered: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SoleStop:
    """A criterion that stops every barrel; `remain` holds their gates were it not there.

    `limits` are the limits that are its edges there: where it is but one, it alone stops all.
    """

    criterion: str
    limits: tuple[LimitRef, ...]
    remain: Mapping[str, GateState]


@dataclass(frozen=True, slots=True)
class WaitingLimit:
    """A limit from memory that `cells` are beyond and that nobody confirmed.

    Confirmed as it stands, at `value`, it shuts the barrels `shuts`; `frees` are those against
    which nothing would be left to say if it were another limit that they keep.
    """

    limit: LimitRef
    value: LimitValue
    cells: tuple[CriterionRef, ...]
    shuts: tuple[str, ...]
    frees: tuple[str, ...]
