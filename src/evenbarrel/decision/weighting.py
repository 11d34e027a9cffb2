"""Under which share of all weightings each barrel leads, instead of one weighted number."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from evenbarrel.decision.basis import Basis
from evenbarrel.decision.durations import first_duration
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.trade.formula import Array

LESS_IS_BETTER = ("present_cost", "price", "delivery")
SAMPLES, SEED = 100_000, 20_260_101
ALIKE = 1e-12
EXACT = 3
"""So many measures at most are weighed exactly."""


@dataclass(frozen=True)
class Shares:
    """The share of all weightings of some measures under which each barrel leads.

    `values` gives what each barrel has of each measure: money in the evaluation's currency,
    delivery and warranty in days as read from the offer, the margin as a share. `marked` are the
    leaders at the one weighting that a person marked. `scaled` gives each measure of those that are
    weighed from 0 for the worst of them to 1 for the best. `drawn` is the number of weightings that
    were drawn where the shares are sampled, 0 where they are exact, `error` is the standard error
    of the shares where they are sampled, 0 where they are exact. Left out are barrels that lack a
    measure, with the measure's name; "shut", "other_jobs" (they run other jobs, known or undecided,
    than the one that leads, and a cost is among the measures) and "dominated" (no weighting prefers
    them to a certain other).
    """

    measures: tuple[str, ...]
    shares: Mapping[str, float]
    values: Mapping[str, Mapping[str, float]]
    left_out: tuple[tuple[str, str], ...]
    marked: tuple[str, ...]
    error: float
    drawn: int
    scaled: Mapping[str, Mapping[str, float]]


def shares_of(basis: Basis, order: Sequence[OrderLine]) -> Shares:
    """Return the shares for the measures that the evaluation names; none where it names none."""
    weights = {measure.key: measure.weight for measure in basis.evaluation.measures}
    measures = tuple(weights)
    values: dict[str, dict[str, float]] = {}
    left_out: list[tuple[str, str]] = []
    leader = next((line for line in order if line.rank is not None), None)
    for line in order if measures else ():
        if line.rank is None or leader is None:
            continue
        measured = _measured(line)
        lacking = [key for key in measures if measured[key] is None]
        if line.gate in ("shut", None):
            left_out.append((line.barrel, "shut"))
        elif {"present_cost", "price"} & set(measures) and line.work != leader.work:
            left_out.append((line.barrel, "other_jobs"))
        elif lacking:
            left_out += [(line.barrel, key) for key in lacking]
        else:
            values[line.barrel] = {key: _or_zero(measured[key]) for key in measures}
    scores = _goods(values, measures)
    best = undominated(scores)
    names = list(values)
    left_out += [(names[at], "dominated") for at in range(len(names)) if at not in best]
    kept = scaled(scores[best])
    shares, error = leading_shares(kept)
    marked = tuple(names[best[at]] for at in _leading_at(kept, tuple(weights.values())))
    return Shares(
        measures,
        {names[at]: float(share) for at, share in zip(best, shares, strict=True)},
        values,
        tuple(left_out),
        marked,
        error,
        SAMPLES if best and len(measures) > EXACT else 0,
        {
            names[at]: dict(zip(measures, row.tolist(), strict=True))
            for at, row in zip(best, kept, strict=True)
        },
    )


def _leading_at(scores: Array, weights: Sequence[float | None]) -> list[int]:
    """Return the places of those that lead at one weighting; none where a weight is not given."""
    given = [weight for weight in weights if weight is not None]
    if not len(scores) or len(given) < len(weights):
        return []
    sums = scores @ np.array(given)
    return [int(at) for at in np.flatnonzero(sums >= sums.max() - 1e-9)]


def _measured(line: OrderLine) -> Mapping[str, float | None]:
    return {
        "present_cost": line.levelled,
        "price": line.levelled_price,
        "delivery": first_duration(line.delivery),
        "warranty": first_duration(line.warranty),
        "least_margin": line.least_margin,
    }


def _or_zero(value: float | None) -> float:
    return 0.0 if value is None else value


def _goods(values: Mapping[str, Mapping[str, float]], measures: Sequence[str]) -> Array:
    """Return the measures so that more is better, over (barrels, measures)."""
    signs = [-1.0 if key in LESS_IS_BETTER else 1.0 for key in measures]
    rows = [
        [sign * own[key] for sign, key in zip(signs, measures, strict=True)]
        for own in values.values()
    ]
    return np.array(rows, dtype=np.float64).reshape(len(values), len(measures))


def undominated(goods: Array) -> list[int]:
    """Return the places of those that no other equals or beats in all and beats in one."""
    best = []
    for place, own in enumerate(goods):
        better = (goods >= own).all(axis=1) & (goods > own).any(axis=1)
        if not better.any():
            best.append(place)
    return best


def scaled(goods: Array) -> Array:
    """Return each measure from 0 for the worst to 1 for the best; a flat one is 0 for all."""
    if not len(goods):
        return goods
    low, high = goods.min(axis=0), goods.max(axis=0)
    span = np.where(high > low, high - low, 1.0)
    return np.asarray((goods - low) / span, dtype=np.float64)


def leading_shares(scores: Array) -> tuple[Array, float]:
    """Return the share of the simplex of weights in which each row's weighted sum is greatest.

    Equal rows share. Exact for one, two and three measures; sampled with a fixed seed for more,
    the standard error beside.
    """
    rows, measures = scores.shape
    if rows == 0 or measures == 0:
        return np.zeros(rows), 0.0
    distinct, which, counts = np.unique(
        np.round(scores, 12), axis=0, return_inverse=True, return_counts=True
    )
    error = 0.0
    if measures == 1:
        own = (distinct[:, 0] >= distinct[:, 0].max()).astype(np.float64)
    elif measures == 2:
        own = _lengths(distinct)
    elif measures == 3:
        own = np.array([_area(distinct, place) for place in range(len(distinct))])
    else:
        own, error = _sampled(distinct)
    own = own / own.sum()
    return np.asarray(own[which.reshape(-1)] / counts[which.reshape(-1)]), error


def _lengths(scores: Array) -> Array:
    """Return for two measures the length of weights of the first, 0 to 1, where each row leads."""
    cuts = {0.0, 1.0}
    for one in scores:
        for other in scores:
            slope = (one[0] - one[1]) - (other[0] - other[1])
            if abs(slope) > ALIKE:
                cuts.add(float(np.clip((other[1] - one[1]) / slope, 0.0, 1.0)))
    lengths = np.zeros(len(scores))
    for start, end in pairwise(sorted(cuts)):
        middle = 0.5 * (start + end)
        values = scores @ np.array([middle, 1.0 - middle])
        lengths[int(values.argmax())] += end - start
    return lengths


def _area(scores: Array, place: int) -> float:
    """Return for three measures the area of the weights under which a row leads all others."""
    corners = [np.array([0.0, 0.0]), np.array([1.0, 0.0]), np.array([0.0, 1.0])]
    own = scores[place]
    for other in np.delete(scores, place, axis=0):
        # w1 a + w2 b + c >= 0 with the third weight 1 - w1 - w2.
        ahead = own - other
        a, b, c = ahead[0] - ahead[2], ahead[1] - ahead[2], ahead[2]
        corners = _clipped(corners, float(a), float(b), float(c))
        if len(corners) < 3:
            return 0.0
    x, y = np.array(corners).T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))


def _clipped(corners: Sequence[Array], a: float, b: float, c: float) -> list[Array]:
    """Return what is left of a polygon where a x + b y + c is not below 0."""
    left: list[Array] = []
    heights = [a * corner[0] + b * corner[1] + c for corner in corners]
    for place, corner in enumerate(corners):
        before, height = heights[place - 1], heights[place]
        if (before >= 0.0) != (height >= 0.0):
            part = before / (before - height)
            left.append(corners[place - 1] + part * (corner - corners[place - 1]))
        if height >= 0.0:
            left.append(corner)
    return left


def _sampled(scores: Array) -> tuple[Array, float]:
    draw = np.random.default_rng(SEED)
    weights = draw.dirichlet(np.ones(scores.shape[1]), SAMPLES)
    leads = (weights @ scores.T).argmax(axis=1)
    shares = np.bincount(leads, minlength=len(scores)) / SAMPLES
    worst = float(np.sqrt(shares * (1.0 - shares) / SAMPLES).max())
    return shares, worst
