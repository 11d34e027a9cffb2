"""The shapes of the results file: fixed names and units."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date as Date

from evenbarrel.model.record.decision import LimitValue
from evenbarrel.report.acceptance import PublishedSeries
from evenbarrel.report.decision.shapes import PublishedDecision
from evenbarrel.report.results_base import Published


class PublishedEvaluation(Published):
    """Which evaluation was appraised."""

    title: str
    digest: str


class PublishedJob(Published):
    """A job brought to volume: the nominal shot."""

    id: str
    resin: str | None
    shot_mass_g: float | None
    shot_volume_cm3: float | None
    output_factor_g_cm3: float | None


class PublishedClaim(Published):
    """A claim in the unit it names."""

    key: str
    subject: str
    state: str
    stated: float | None
    derived: float | None
    difference_percent: float | None
    tolerance_percent: float | None
    unit: str
    cause: str | None
    causes: tuple[str, ...]
    note: str | None
    missing: tuple[str, ...]
    question: str | None


class PublishedGateReason(Published):
    """One thing that shuts a gate or keeps it waiting."""

    kind: str
    criterion: str | None
    job: str | None
    other_job: str | None
    claim: str | None


class PublishedBarrel(Published):
    """A barrel on the common basis, with its gate over the jobs not pinned to another."""

    id: str
    supplier: str
    unit: str
    label: str
    state: str
    jobs_by_state: Mapping[str, tuple[str, ...]]
    gate: str | None
    gate_because: tuple[PublishedGateReason, ...]
    gate_jobs: tuple[str, ...]
    unsettled: bool
    swept_volume_cm3: float | None
    swept_volume_low_cm3: float | None
    swept_volume_high_cm3: float | None
    swept_volume_route: str | None
    implied_factor_g_cm3: float | None
    rated_basis: str
    shot_mass_g: Mapping[str, float | None]
    claims: tuple[PublishedClaim, ...]


class PublishedBid(Published):
    """What is said of an offer as a whole."""

    id: str
    claims: tuple[PublishedClaim, ...]


class PublishedWindow(Published):
    """The time the screw may turn in [s], by the route that was taken."""

    route: str
    value: float
    low: float
    high: float


class PublishedCriterion(Published):
    """One criterion of one cell; numbers in `unit`, volumes in cm3."""

    key: str
    state: str
    basis: str
    at: str
    value: float | None
    value_low: float | None
    value_high: float | None
    allowed_low: float | None
    allowed_high: float | None
    comfort_low: float | None
    comfort_high: float | None
    unit: str
    margin: float | None
    comfort_margin: float | None
    shot_volume_low_cm3: float | None
    shot_volume_high_cm3: float | None
    comfort_volume_low_cm3: float | None
    comfort_volume_high_cm3: float | None
    shot_volume_empty: bool
    soft: bool
    because: tuple[str, ...]
    missing: tuple[str, ...]
    caution: str | None
    window: PublishedWindow | None


class PublishedFit(Published):
    """One barrel against one job."""

    barrel: str
    job: str
    state: str
    binding: str | None
    open: tuple[str, ...]
    soft: bool
    because: tuple[str, ...]
    deviation: tuple[str, ...]
    criteria: tuple[PublishedCriterion, ...]


class PublishedQuestion(Published):
    """A question, with its sentence."""

    id: str
    to: str
    bid: str | None
    barrels: tuple[str, ...]
    datum: str
    raised_by: tuple[str, ...]
    jobs: tuple[str, ...]
    state: str
    text: str


class PublishedProgramme(Published):
    """What concerns the jobs together."""

    incompatible_pairs: tuple[tuple[str, str], ...]


class PublishedConfirmedLimit(Published):
    """A limit that a named person confirmed; it `holds` while the limit is what was confirmed."""

    resin: str | None
    field: str
    value: LimitValue
    person: str
    date: Date | None
    reason: str
    holds: bool


class PublishedWaitingLimit(Published):
    """A limit from memory that nobody confirmed, how many cells are beyond it, and what it does."""

    resin: str | None
    field: str
    value: LimitValue
    cells: int
    shuts: tuple[str, ...]
    frees: tuple[str, ...]


class Results(Published):
    """Everything `appraise --json` writes."""

    results_version: int
    evaluation: PublishedEvaluation
    jobs: tuple[PublishedJob, ...]
    planned_range_cm3: tuple[float, float] | None
    barrels: tuple[PublishedBarrel, ...]
    bids: tuple[PublishedBid, ...]
    fits: tuple[PublishedFit, ...]
    questions: tuple[PublishedQuestion, ...]
    programme: PublishedProgramme
    confirmed_limits: tuple[PublishedConfirmedLimit, ...]
    waiting_limits: tuple[PublishedWaitingLimit, ...]
    acceptance: tuple[PublishedSeries, ...]
    decision: PublishedDecision | None = None
