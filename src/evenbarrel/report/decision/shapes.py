"""The shapes of the decision in the results file: money in the evaluation's currency."""

from __future__ import annotations

from collections.abc import Mapping

from pydantic import Field

from evenbarrel.report.results_base import Published


class PublishedOffer(Published):
    """What one barrel costs, landed; a part that is null is not stated and counts 0."""

    barrel: str
    owned: bool
    price: float | None
    complete: bool
    parts: Mapping[str, float | None]
    price_per_usable_cm3: float | None
    price_per_rated_g: float | None
    price_per_rated_g_common: float | None
    missing: tuple[str, ...]
    queries: tuple[str, ...]


class PublishedCost(Published):
    """What machines with one barrel cost over life, as present values."""

    barrel: str
    copies: int
    jobs_run: tuple[str, ...]
    present_cost: float | None
    yearly_cost: float | None
    parts: Mapping[str, float | None]
    missing: tuple[str, ...]


class PublishedCopies(Published):
    """How many machines with one barrel."""

    barrel: str
    copies: int


class PublishedRun(Published):
    """The share of a job that one copy of a barrel runs."""

    job: str
    barrel: str
    copy_number: int = Field(alias="copy")
    share: float


class PublishedHours(Published):
    """Hours of one copy in its busiest year."""

    barrel: str
    copy_number: int = Field(alias="copy")
    hours: float


class PublishedUncovered(Published):
    """A job that no machine of a set runs, and the code of why."""

    job: str
    why: str


class PublishedCover(Published):
    """One set of machines; its runner-up, and the best whose prices are all known, inside."""

    machines: int
    bought: int
    gate: str | None
    barrels: tuple[PublishedCopies, ...]
    present_cost: float | None
    yearly_cost: float | None
    assignment: tuple[PublishedRun, ...]
    hours: tuple[PublishedHours, ...]
    uncovered: tuple[PublishedUncovered, ...]
    first_broken_year: int | None
    proven: bool
    gap: float | None
    missing: tuple[str, ...]
    runner_up: PublishedCover | None
    fully_priced: PublishedCover | None


class PublishedOrder(Published):
    """One barrel in the order; the plant's own have no rank."""

    barrel: str
    rank: int | None
    gate: str | None
    jobs_run: int
    jobs_not_run: int
    present_cost: float | None
    levelled_cost: float | None
    filled: Mapping[str, float]
    unfilled: tuple[str, ...]
    may_grow: float | None
    least_margin: float | None
    not_assessed: int
    queries: int
    delivery: str
    warranty: str


class PublishedShare(Published):
    """The share of all weightings under which a barrel leads."""

    barrel: str
    share: float


class PublishedLeftOut(Published):
    """A barrel that is not weighed, and the measure it lacks or the code of why."""

    barrel: str
    why: str


class PublishedShares(Published):
    """Shares over all weightings of some measures; `error` is 0 where they are exact."""

    measures: tuple[str, ...]
    shares: tuple[PublishedShare, ...]
    left_out: tuple[PublishedLeftOut, ...]
    marked: tuple[str, ...]
    error: float


class PublishedProposal(Published):
    """The recorded proposal with its gate and its cost."""

    barrels: tuple[str, ...]
    gate: str | None
    present_cost: float | None
    yearly_cost: float | None
    costs: tuple[PublishedCost, ...]
    uncovered: tuple[str, ...]
    given_twice: tuple[str, ...]
    replaced: tuple[str, ...]
    reason: str
    person: str
    date: str | None


class PublishedFlip(Published):
    """A number with the first value that flips a gate or the order, in the unit it was entered in.

    `kept` is the last at which all is as now; `within` says whether its half-width reaches it,
    null where nobody gives one.
    """

    datum: str
    of: str
    now: float
    kept: float
    flip: float
    change_percent: float
    half_width_percent: float | None
    within: bool | None
    unit: str
    what: str


class PublishedFlips(Published):
    """Between which choices, how many numbers were moved, and how many of them flip nothing."""

    choices: tuple[tuple[str, ...], ...]
    numbers: int
    steady: int


class PublishedDecision(Published):
    """What a choice needs."""

    currency: str
    offers: tuple[PublishedOffer, ...]
    cost: tuple[PublishedCost, ...]
    cover: tuple[PublishedCover, ...]
    order: tuple[PublishedOrder, ...]
    shares: PublishedShares
    needs_at_least: int | None
    proposal: PublishedProposal | None
    flips: tuple[PublishedFlip, ...] | None = None
    """Null unless asked for: it takes some seconds."""
    flips_of: PublishedFlips | None = None
