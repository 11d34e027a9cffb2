"""Two appraisals verdict beside verdict, as of the same evaluation under another window."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

import numpy as np

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.criteria.definition import Flags
from evenbarrel.appraisal.gate_results import GateState
from evenbarrel.appraisal.results import Fit
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.resin import AlternativeWindow, Resin
from evenbarrel.resources import read_text


@dataclass(frozen=True, slots=True)
class ChangedCell:
    """A cell of the fit grid whose verdict is another under another rule."""

    barrel: str
    job: str
    before: Fit
    after: Fit


@dataclass(frozen=True, slots=True)
class ComparedBarrel:
    """A barrel in two appraisals: its gate in each, and the jobs whose verdict is another."""

    barrel: str
    before: GateState | None
    after: GateState | None
    jobs: tuple[str, ...]

    @property
    def is_other(self) -> bool:
        """Whether its gate or any verdict of it is another."""
        return self.before != self.after or bool(self.jobs)


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
    printed = json.loads(read_text("resins.json"))["windows"]
    return tuple(AlternativeWindow.model_validate(one) for one in printed)


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
    return tuple(
        ChangedCell(one.barrel, job, before.fit(one.barrel, job), after.fit(one.barrel, job))
        for one in compare(before, after)
        for job in one.jobs
    )


def compare(before: Appraisal, after: Appraisal) -> tuple[ComparedBarrel, ...]:
    """Return every barrel that both appraisals have, in the order of the first one.

    Jobs that only one of them has are left out. Cells are compared at once, on arrays.
    """
    grids = before.grid, after.grid
    barrels = _in_both(before.grid.barrel_ids, after.grid.barrel_ids)
    jobs = _in_both(before.grid.job_ids, after.grid.job_ids)
    rows = [[grid.row(barrel) for barrel in barrels] for grid in grids]
    columns = [[grid.column(job) for job in jobs] for grid in grids]
    places = [np.ix_(*place) for place in zip(rows, columns, strict=True)]
    differs: Flags = np.zeros((len(barrels), len(jobs)), dtype=np.bool_)
    if barrels and jobs:
        for was, now in ((grids[0].state, grids[1].state), (grids[0].by_rule, grids[1].by_rule)):
            differs |= was[places[0]] != now[places[1]]
    return tuple(
        ComparedBarrel(
            barrel,
            before.gates.states[barrel],
            after.gates.states[barrel],
            tuple(job for job, other in zip(jobs, flags, strict=True) if other),
        )
        for barrel, flags in zip(barrels, differs.tolist(), strict=True)
    )


def _in_both(one: Sequence[str], other: Sequence[str]) -> list[str]:
    known = set(other)
    return [name for name in one if name in known]


def compare_window(appraisal: Appraisal, window: AlternativeWindow) -> tuple[ChangedCell, ...]:
    """Return the cells whose verdict another window would change; nothing itself is changed."""
    return changed_cells(appraisal, appraise(under_window(appraisal.evaluation, window)))
