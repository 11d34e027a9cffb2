"""What differs between two states of an evaluation, by id."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeVar

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.job import Job
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.resin import Resin

_LISTED = ("resins", "jobs", "bids")
_JUDGED_BY = ("limits", "uncertainty", "confirmed_limits")
_PROGRAMME = ("title", "buyer", "site", "as_of", "currency", "display_units")
_AFTERWARDS = ("sign_offs", "signed_states", "acceptance")

Row = TypeVar("Row", Resin, Job, Bid)


@dataclass(frozen=True, slots=True)
class Difference:
    """Which parts of an evaluation are other than before.

    Ids of resins, jobs and bids that changed, came, went or moved; whether limits, half-widths or
    confirmations changed; whether title, date, currency or units did; and whether anything else
    that people recorded did, as answers, deviations and signatures.
    """

    resins: frozenset[str] = frozenset()
    jobs: frozenset[str] = frozenset()
    bids: frozenset[str] = frozenset()
    limits: bool = False
    programme: bool = False
    record: bool = False
    rearranged: bool = False
    """Something came, went or moved, or came to count or no longer does: places are other."""
    whole: bool = False
    """Nothing is known of what came before: all of it may be other."""

    def __or__(self, other: Difference) -> Difference:
        """Return what differs over both of two steps."""
        return Difference(
            self.resins | other.resins,
            self.jobs | other.jobs,
            self.bids | other.bids,
            self.limits or other.limits,
            self.programme or other.programme,
            self.record or other.record,
            self.rearranged or other.rearranged,
            self.whole or other.whole,
        )

    @property
    def touches_claims(self) -> bool:
        """Whether what suppliers' numbers say of each other may be other."""
        parts = (self.bids, self.resins, self.limits, self.programme, self.record, self.whole)
        return any(parts)

    @property
    def touches_settings(self) -> bool:
        """Whether limits and half-widths, or the units they are shown in, may be other."""
        return bool(self.limits or self.programme or self.resins or self.whole)


EVERYTHING = Difference(limits=True, programme=True, record=True, rearranged=True, whole=True)
"""Another document."""


def difference(before: Evaluation, after: Evaluation) -> Difference:
    """Return what differs between two states of one evaluation.

    What stayed the very same object costs nothing to compare: edits keep what they do not touch.
    """
    rest = set(Evaluation.model_fields).difference(_LISTED, _JUDGED_BY, _PROGRAMME)

    def other(names: Iterable[str]) -> bool:
        return any(getattr(before, name) != getattr(after, name) for name in names)

    return Difference(
        _other_rows(before.resins, after.resins),
        _other_rows(before.jobs, after.jobs),
        _other_rows(before.bids, after.bids),
        limits=other(_JUDGED_BY),
        programme=other(_PROGRAMME),
        record=other(rest),
        rearranged=_ids(before) != _ids(after),
    )


def decides_alike(before: Evaluation, after: Evaluation) -> bool:
    """Say whether what a choice hangs on is the same: all but signatures and what was weighed."""
    names = set(Evaluation.model_fields).difference(_AFTERWARDS)
    return all(getattr(before, name) == getattr(after, name) for name in names)


def _ids(evaluation: Evaluation) -> tuple[tuple[str, ...], ...]:
    """Return what there is of resins, jobs and bids with their units and barrels, in order.

    And which bids count: what is judged comes and goes with them.
    """
    resins, jobs = (tuple(one.id for one in rows) for rows in (evaluation.resins, evaluation.jobs))
    bids = tuple(
        name
        for bid in evaluation.bids
        for name in (bid.id, *(f"{unit.id}/{b.id}" for unit in bid.units for b in unit.barrels))
    )
    units = tuple(unit.id for bid in evaluation.bids for unit in bid.units)
    counting = tuple(bid.id for bid in evaluation.counting_bids)
    return resins, jobs, bids, units, counting


def _other_rows(before: tuple[Row, ...], after: tuple[Row, ...]) -> frozenset[str]:
    """Return the ids of rows that are other, that came, that went, or that moved."""
    if before is after:
        return frozenset()
    was: dict[str, Row] = {row.id: row for row in before}
    now: dict[str, Row] = {row.id: row for row in after}
    stayed = [
        [name for name in rows if name in others] for rows, others in ((was, now), (now, was))
    ]
    moved = {one for one, other in zip(*stayed, strict=True) if one != other}
    edited = {name for name in stayed[0] if was[name] != now[name]}
    return frozenset(moved | edited | (was.keys() ^ now.keys()))
