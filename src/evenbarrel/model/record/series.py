"""Pure edits of what was measured: series of weighed shots, each on one barrel's day."""

from __future__ import annotations

from collections.abc import Collection

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.record.acceptance import Acceptance

SeriesPlace = tuple[int, int]
"""Which acceptance of an evaluation, and which of its series."""


def with_series(
    evaluation: Evaluation, measured: Acceptance, place: SeriesPlace | None
) -> Evaluation:
    """Return the evaluation with the one series that `measured` holds, at the end or in a place.

    Added, it stands with those of the same barrel, day and resolutions; changed, its barrel, day
    and resolutions hold for all that were entered with it. Raises IndexError for an unknown place.
    """
    every = list(evaluation.acceptance)
    if place is not None:
        at, number = place
        tests = list(every[at].tests)
        tests[number] = measured.tests[0]
        every[at] = measured.replace(tests=tuple(tests))
        return evaluation.replace(acceptance=tuple(every))
    bare = measured.replace(tests=())
    like = [at for at, one in enumerate(every) if one.replace(tests=()) == bare]
    if like:
        at = like[-1]
        every[at] = every[at].replace(tests=(*every[at].tests, *measured.tests))
    else:
        every.append(measured)
    return evaluation.replace(acceptance=tuple(every))


def without_series(evaluation: Evaluation, places: Collection[SeriesPlace]) -> Evaluation:
    """Return the evaluation without some series, and without a day on which none is left."""
    kept = []
    for at, one in enumerate(evaluation.acceptance):
        tests = tuple(t for number, t in enumerate(one.tests) if (at, number) not in places)
        if tests or not one.tests:
            kept.append(one.replace(tests=tests))
    return evaluation.replace(acceptance=tuple(kept))
