"""An evaluation as it is entered beside one as it is tried: gates, verdicts, order, cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from evenbarrel.appraisal.appraise import Appraisal, appraise
from evenbarrel.appraisal.comparison import ComparedBarrel, compare
from evenbarrel.appraisal.progress import Report, report_nothing
from evenbarrel.decision.decide import decide
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.model.evaluation import Evaluation

Order = Mapping[str, OrderLine]
"""The line of each barrel in the order of single barrels."""


@dataclass(frozen=True)
class Tried:
    """Two appraisals, what differs for each barrel, and the order of barrels in each."""

    before: Appraisal
    after: Appraisal
    barrels: tuple[ComparedBarrel, ...]
    order_before: Order
    order_after: Order


def outcome_of(
    now: Appraisal,
    then: Evaluation,
    order: Order | None = None,
    report: Report = report_nothing,
) -> Tried:
    """Return how the results of `then` differ from those of `now`; pure.

    `order` is that of the barrels now, where it is known. `report` is told the share done of
    appraising; what it raises stops the work.
    """
    after = appraise(then, now, report)
    before = order_of(now) if order is None else order
    return Tried(now, after, compare(now, after), before, order_of(after))


def order_of(appraisal: Appraisal) -> Order:
    """Return the line of each barrel in the order of an appraisal."""
    return {line.barrel: line for line in decide(appraisal).order}
