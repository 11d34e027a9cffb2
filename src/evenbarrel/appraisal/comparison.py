"""Which rule decides: the same evaluation under another window, verdict beside verdict."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.results import Fit
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import Origin, Resin
from evenbarrel.resources import read_text


@dataclass(frozen=True, slots=True)
class AlternativeWindow:
    """A share-of-volume window that is published or circulates: `low` to `high` are shares of 1.

    `applies_to` says in words for which resins, `source` where it was found.
    """

    low: float
    high: float
    applies_to: str
    origin: Origin
    source: str


@dataclass(frozen=True, slots=True)
class ChangedCell:
    """A cell of the fit grid whose verdict is another under another rule."""

    barrel: str
    job: str
    before: Fit
    after: Fit


_SULFONES_AND_PEEK = frozenset({"PEEK", "PSU", "PES", "PPSU"})
_SCOPES: Mapping[str, Callable[[Resin], bool]] = {
    "general-purpose resins": lambda resin: resin.resin_class == "general",
    "engineering resins": lambda resin: resin.resin_class == "engineering",
    "thermoplastic polyurethane": lambda resin: resin.family == "TPU",
    "reinforced thermoplastics": lambda resin: bool(resin.fillers),
    "PEEK and sulfones": lambda resin: resin.family in _SULFONES_AND_PEEK,
}
"""Resins a window is meant for; any other words mean every resin."""


@cache
def alternative_windows() -> tuple[AlternativeWindow, ...]:
    """Return the windows of the shipped table, in its order."""
    return tuple(AlternativeWindow(**w) for w in json.loads(read_text("resins.json"))["windows"])


def concerns(window: AlternativeWindow, resin: Resin) -> bool:
    """Say whether a window is meant for a resin."""
    scope = _SCOPES.get(window.applies_to)
    return scope is None or scope(resin)


def under_window(evaluation: Evaluation, window: AlternativeWindow) -> Evaluation:
    """Return a copy in which every resin that `window` is meant for is judged by it.

    A window recalled from memory stays soft, as any limit from memory is.
    """
    return evaluation.replace(
        resins=tuple(
            _with_window(resin, window) if concerns(window, resin) else resin
            for resin in evaluation.resins
        )
    )


def _with_window(resin: Resin, window: AlternativeWindow) -> Resin:
    ends = {
        f"utilisation_{end}": Quantity(
            magnitude=format(Decimal(repr(share)), "f"),
            unit="1",
            source=window.source,
            standing="assumed",
        )
        for end, share in (("low", window.low), ("high", window.high))
    }
    return resin.replace(**ends, origins={**resin.origins, **dict.fromkeys(ends, window.origin)})


def changed_cells(before: Appraisal, after: Appraisal) -> tuple[ChangedCell, ...]:
    """Return the cells whose verdict differs: state, or outside by rule against otherwise.

    Only barrels and jobs that both appraisals have are compared.
    """
    changed = []
    barrels, jobs = set(after.grid.barrel_ids), set(after.grid.job_ids)
    for barrel in before.grid.barrel_ids:
        for job in before.grid.job_ids:
            if barrel not in barrels or job not in jobs:
                continue
            if _verdict(before, barrel, job) != _verdict(after, barrel, job):
                changed.append(
                    ChangedCell(barrel, job, before.fit(barrel, job), after.fit(barrel, job))
                )
    return tuple(changed)


def _verdict(appraisal: Appraisal, barrel: str, job: str) -> tuple[int, bool]:
    grid = appraisal.grid
    row, column = grid.row(barrel), grid.column(job)
    return int(grid.state[row, column]), bool(grid.by_rule[row, column])


def compare_window(appraisal: Appraisal, window: AlternativeWindow) -> tuple[ChangedCell, ...]:
    """Return the cells whose verdict another window would change; nothing itself is changed."""
    return changed_cells(appraisal, appraise(under_window(appraisal.evaluation, window)))
