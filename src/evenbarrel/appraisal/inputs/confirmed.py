"""Limits from memory that a named person stands by: from then on they are the user's own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import LimitEntry, Limits, limit_value
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.decision import ConfirmedLimit, LimitValue
from evenbarrel.model.resin import ResidenceLimit, Resin


@dataclass(frozen=True, slots=True)
class Confirmed:
    """The resins and limits that are judged by: what people confirmed is the user's own."""

    resins: tuple[Resin, ...]
    limits: Limits


def with_confirmed(evaluation: Evaluation) -> Confirmed:
    """Return resins and limits, of which a confirmed one has no origin, as one entered by the user.

    A confirmation holds only while the limit is the number that was confirmed.
    """
    return Confirmed(
        tuple(_resin(resin, evaluation.confirmed_limits) for resin in evaluation.resins),
        _limits(evaluation.limits, evaluation.confirmed_limits),
    )


def holds(evaluation: Evaluation, one: ConfirmedLimit) -> bool:
    """Say whether a limit still is what a person confirmed."""
    owner = evaluation.limits if one.resin is None else evaluation.resin(one.resin)
    limit = None if owner is None else getattr(owner, one.field, None)
    if isinstance(limit, LimitEntry):
        limit = limit.value
    return limit is not None and _same(limit, one.value)


def _resin(resin: Resin, confirmed: Iterable[ConfirmedLimit]) -> Resin:
    named = {
        one.field
        for one in confirmed
        if one.resin == resin.id and _same(getattr(resin, one.field, None), one.value)
    }
    if named.isdisjoint(resin.origins):
        return resin
    return resin.replace(origins={k: v for k, v in resin.origins.items() if k not in named})


def _limits(limits: Limits, confirmed: Iterable[ConfirmedLimit]) -> Limits:
    changed = {}
    for one in confirmed:
        limit = getattr(limits, one.field, None) if one.resin is None else None
        if isinstance(limit, LimitEntry) and limit_value(limit) == one.value:
            changed[one.field] = limit.replace(origin=None)
    return limits.replace(**changed) if changed else limits


def _same(limit: object, value: LimitValue) -> bool:
    return _number(limit) == _number(value)


def _number(value: object) -> object:
    """Return a limit without what was said about it: a quantity as its digits and its unit."""
    if isinstance(value, Quantity):
        return value.magnitude, value.unit
    if isinstance(value, ResidenceLimit):
        return _number(value.temperature), _number(value.time)
    return tuple(map(_number, value)) if isinstance(value, tuple) else value
