"""What an evaluation judges by, limits and half-widths, each as one thing to read and to change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from evenbarrel.model import datum_path as edits
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import (
    USUAL_HALF_WIDTHS,
    LimitEntry,
    Limits,
    limit_origin,
    limit_value,
)
from evenbarrel.model.resin import Origin


@dataclass(frozen=True, slots=True)
class LimitKey:
    """A limit by its field."""

    name: str

    @property
    def path(self) -> edits.Path:
        """Where it stands in an evaluation."""
        return ("limits", self.name)


@dataclass(frozen=True, slots=True)
class HalfWidthKey:
    """The half-width of one kind of input, had by one route."""

    quantity: str
    route: str

    @property
    def path(self) -> edits.Path:
        """Where it stands in an evaluation."""
        return ("uncertainty", self.quantity, self.route)


SettingKey = LimitKey | HalfWidthKey

LIMITS = tuple(LimitKey(name) for name in Limits.model_fields if name != "required")
HALF_WIDTHS = tuple(
    HalfWidthKey(quantity, route)
    for quantity, routes in USUAL_HALF_WIDTHS.items()
    for route in routes
)


def value_of(evaluation: Evaluation, key: SettingKey) -> float:
    """Return what a setting is: a share, a ratio or a number of diameters."""
    match key:
        case LimitKey(name):
            return limit_value(getattr(evaluation.limits, name))
        case HalfWidthKey(quantity, route):
            return evaluation.uncertainty.half_width(quantity, route)


def origin_of(evaluation: Evaluation, key: SettingKey) -> Origin | None:
    """Return where a setting comes from; None is a person's own."""
    match key:
        case LimitKey(name):
            return limit_origin(getattr(evaluation.limits, name))
        case HalfWidthKey(quantity, route):
            entered = getattr(evaluation.uncertainty, quantity)
            own = entered is not None and (not isinstance(entered, dict) or route in entered)
            return None if own else "common_practice"


def note_of(evaluation: Evaluation, key: SettingKey) -> str:
    """Return the note of a limit; a half-width has none."""
    limit = getattr(evaluation.limits, key.name) if isinstance(key, LimitKey) else None
    return limit.note if isinstance(limit, LimitEntry) else ""


def put_settings(
    evaluation: Evaluation,
    values: Mapping[SettingKey, float | None],
    notes: Mapping[SettingKey, str],
) -> Evaluation:
    """Return the evaluation with settings changed at once: a person's own now; None is as usual.

    A note on a half-width is not kept. Raises pydantic.ValidationError where they do not fit each
    other.
    """
    changed: dict[str, Any] = {}
    for key in dict.fromkeys((*values, *notes)):
        if not isinstance(key, LimitKey):
            continue
        limit = getattr(evaluation.limits, key.name)
        if key in values:
            value, note = values[key], note_of(evaluation, key)
            usual = getattr(Limits(), key.name)
            limit = usual if value is None else LimitEntry(value=value, note=note)
        if key in notes:
            origin = limit_origin(limit)
            limit = LimitEntry(value=limit_value(limit), origin=origin, note=notes[key])
        changed[key.name] = limit
    after = edits.change(evaluation, ("limits",), lambda limits: limits.replace(**changed))
    for half_width, value in values.items():
        if isinstance(half_width, HalfWidthKey):
            after = _with_half_width(after, half_width, value)
    return after


def _with_half_width(evaluation: Evaluation, key: HalfWidthKey, value: float | None) -> Evaluation:
    entered = getattr(evaluation.uncertainty, key.quantity)
    if entered is None or isinstance(entered, int | float):
        routes = USUAL_HALF_WIDTHS[key.quantity] if entered is not None else ()
        entered = dict.fromkeys(routes, entered)
    after = {**entered, key.route: value}
    kept = {name: width for name, width in after.items() if width is not None}
    return edits.put(evaluation, ("uncertainty", key.quantity), kept or None)
