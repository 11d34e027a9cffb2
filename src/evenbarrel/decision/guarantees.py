"""What a supplier should stand by: the claims that decide, as guaranteed values for the order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.claims.slips import DATA
from evenbarrel.appraisal.inputs.stated import printed_precision
from evenbarrel.model.datum import data_of
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.offers.terms import Guarantee
from evenbarrel.model.quantity import Quantity

USUAL_TOLERANCE = 0.02
"""Asked for where there is room for it; ours."""
ROOM = 0.5
"""How much of the room to a hard edge a tolerance may take; ours."""

Side = Literal["at_least", "at_most", "both"]
DECIDES: Mapping[str, tuple[str, Side]] = {
    "injection_pressure": ("pressure", "at_least"),
    "injection_rate": ("rate", "at_least"),
    "plasticising_rate": ("recovery", "at_least"),
    "stroke": ("capacity", "at_least"),
    "swept_volume": ("utilisation", "both"),
    "rated_shot_mass": ("utilisation", "both"),
    "melt_inventory": ("residence", "at_most"),
    "ring_travel": ("ring_share", "at_most"),
}
"""Which criterion hangs on which datum of a barrel, and which side of it is the buyer's."""


@dataclass(frozen=True, slots=True)
class GuaranteeLine:
    """A datum to be guaranteed: as printed, the least room it leaves, and for which job.

    `margin` is by which share the criterion's value may still grow until its hard edge, None where
    it has none; `tolerance` the share asked for. `agreed` is the guarantee the bid holds already,
    `doubts` are the claims that rest on the datum, failed and still hold.
    """

    barrel: str
    datum: str
    stated: Quantity
    criterion: str
    job: str | None
    margin: float | None
    side: Side
    tolerance: float
    agreed: Guarantee | None
    doubts: tuple[str, ...]


def guarantee_lines(appraisal: Appraisal, barrel: str) -> tuple[GuaranteeLine, ...]:
    """Return what to have guaranteed of a barrel, the least room first; raises KeyError."""
    lines = list(_lines(appraisal, barrel))
    return tuple(sorted(lines, key=lambda line: _or_wide(line.margin)))


def _or_wide(margin: float | None) -> float:
    return float("inf") if margin is None else margin


def _lines(appraisal: Appraisal, barrel: str) -> Iterator[GuaranteeLine]:
    bid, _, entered = appraisal.evaluation.place(barrel)
    gate = appraisal.gate(barrel)
    jobs = gate.jobs
    for datum, (criterion, side) in DECIDES.items():
        stated = getattr(entered, datum)
        if stated is None:
            continue
        fits = {job: appraisal.fit(barrel, job).criterion(criterion) for job in jobs}
        known = {job: fit.margin for job, fit in fits.items() if fit.margin is not None}
        job = min(known, key=lambda name: known[name], default=None)
        margin = None if job is None else known[job]
        agreed = next((g for g in bid.guarantees if (g.barrel, g.datum) == (barrel, datum)), None)
        tolerance = _tolerance(datum, stated, margin)
        doubts = tuple(claim for claim in gate.doubts if datum in DATA.get(claim, ()))
        yield GuaranteeLine(
            barrel, datum, stated, criterion, job, margin, side, tolerance, agreed, doubts
        )


def _tolerance(datum: str, stated: Quantity, margin: float | None) -> float:
    """Return a tolerance that leaves half of the room, and no less than the printed digits."""
    kind = data_of(Barrel)[datum].kind_of(stated.unit)
    value = stated.si(kind)
    hidden = printed_precision(datum, stated, kind, value) / value if value else 0.0
    room = USUAL_TOLERANCE if margin is None else ROOM * max(0.0, margin) / (1.0 + max(0.0, margin))
    return max(hidden, min(USUAL_TOLERANCE, room))


def with_guarantee(
    evaluation: Evaluation, line: GuaranteeLine, method: str, remedy: str
) -> Evaluation:
    """Return the evaluation in which a bid guarantees a datum, in place of what it did before."""
    bid = evaluation.place(line.barrel)[0]
    # As many digits as a tolerance needs.
    tolerance = Quantity(magnitude=f"{100.0 * line.tolerance:.4f}", unit="%")
    new = Guarantee(
        barrel=line.barrel,
        datum=line.datum,
        value=line.stated.replace(half_width=None, place=None),
        tolerance=tolerance,
        side=line.side,
        method=method,
        remedy=remedy,
    )
    changed = bid.replace(guarantees=(*_others(bid, line), new))
    bids = tuple(changed if one.id == bid.id else one for one in evaluation.bids)
    return evaluation.replace(bids=bids)


def _others(bid: Bid, line: GuaranteeLine) -> Iterator[Guarantee]:
    return (g for g in bid.guarantees if (g.barrel, g.datum) != (line.barrel, line.datum))
