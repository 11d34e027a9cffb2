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
    """What machines with one barrel cost over life, as present values.

    `jobs_run` names the jobs it is the cost of, also those that are undecided.
    """

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
    """One barrel in the order; the plant's own have no rank.

    `jobs_run` counts the jobs that it is known to run, `jobs_undecided` those that wait
    for a number or a person: they are in its cost, but count for no rank.
    """

    barrel: str
    rank: int | None
    gate: str | None
    jobs_run: int
    jobs_undecided: int
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
    """The recorded proposal with its gate, its cost and what is open of it.

    `price` is of the machines that are bought; `missing` is what price and cost lack;
    `open_questions` are the ids of questions that nobody answered or accepted yet.
    """

    barrels: tuple[str, ...]
    gate: str | None
    price: float | None
    present_cost: float | None
    yearly_cost: float | None
    missing: tuple[str, ...]
    costs: tuple[PublishedCost, ...]
    open_questions: tuple[str, ...]
    uncovered: tuple[str, ...]
    given_twice: tuple[str, ...]
    replaced: tuple[str, ...]
    reason: str
    person: str
    date: str | None


class PublishedAsked(Published):
    """What a job asks, or the whole programme: edges for a barrel whose own half-width is 0.

    A null end is unbounded; a range whose low end is above its high one is empty. The least that
    a supplier would have to quote; packages that are proof against every resin.
    """

    inside_low_cm3: float | None
    inside_high_cm3: float | None
    not_outside_low_cm3: float | None
    not_outside_high_cm3: float | None
    diameter_inside_low_mm: float | None
    diameter_inside_high_mm: float | None
    diameter_not_outside_low_mm: float | None
    diameter_not_outside_high_mm: float | None
    pressure_bar: float | None
    injection_rate_cm3_s: float | None
    plasticising_rate_g_s: float | None
    plasticising_rate_as_reference_g_s: float | None
    rated_low_g: float | None
    rated_high_g: float | None
    length_ratio: float | None
    compression_low: float | None
    compression_high: float | None
    packages: tuple[str, ...]
    unsuited_rings: tuple[str, ...]
    missing: tuple[str, ...]


class PublishedAskedOfJob(PublishedAsked):
    """What one job asks."""

    job: str


class PublishedTogether(PublishedAsked):
    """What the programme asks; `conflict` names the fewest jobs that no one volume suits.

    `conflict_outside` where one of them would even be outside; `fewest_barrels` is how few volumes
    it takes to have every job not outside, null where no volume suits one of them.
    """

    conflict: tuple[str, ...]
    conflict_outside: bool
    fewest_barrels: int | None


class PublishedAsk(Published):
    """What to ask for; rated masses and rates as rated are in `reference_resin`."""

    reference_resin: str | None
    programme: PublishedTogether
    jobs: tuple[PublishedAskedOfJob, ...]


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
    ask: PublishedAsk
    flips: tuple[PublishedFlip, ...] | None = None
    """Null unless asked for: it takes some seconds."""
    flips_of: PublishedFlips | None = None
