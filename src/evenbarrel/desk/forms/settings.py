"""What an evaluation judges by, each as one thing to read, to change and to try: its settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from evenbarrel.desk.fields.base import TypedField
from evenbarrel.entry.number import Refusal, read_number
from evenbarrel.entry.shapes import Context, ParsedText, Shape, read
from evenbarrel.model import datum_path as edits
from evenbarrel.model.datum import Datum
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.limits import (
    USUAL_HALF_WIDTHS,
    LimitEntry,
    Limits,
    limit_origin,
    limit_value,
)
from evenbarrel.model.quantity import Quantity
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import printed, rounded

Key = tuple[str, ...]
"""("limit", name), ("half_width", quantity, route), ("route", resin), ("temperature", resin)."""

_SHARE = Shape("share", "share", Datum("Share"))
_DIGITS = 3


@dataclass(frozen=True)
class Setting:
    """One setting by its key, and what it is called."""

    key: Key
    label: str


def limits() -> tuple[Setting, ...]:
    """Return every limit of an evaluation."""
    names = (name for name in Limits.model_fields if name != "required")
    return tuple(Setting(("limit", name), decision.limit_label(name)) for name in names)


def half_widths() -> tuple[Setting, ...]:
    """Return every half-width of an evaluation, by kind of input and route."""
    return tuple(
        Setting(("half_width", quantity, route), decision.half_width_label(quantity, route))
        for quantity, routes in USUAL_HALF_WIDTHS.items()
        for route in routes
    )


def of_resins(evaluation: Evaluation, kind: str) -> tuple[Setting, ...]:
    """Return a setting of `kind`, "route" or "temperature", for each resin that is planned."""
    run = {job.resin for job in evaluation.jobs}
    return tuple(
        Setting((kind, resin.id), resin.name or resin.id)
        for resin in evaluation.resins
        if resin.id in run
    )


def value_of(evaluation: Evaluation, key: Key) -> Any:
    """Return what a setting is: a number, a route, a temperature, or None."""
    if key[0] == "limit":
        return limit_value(getattr(evaluation.limits, key[1]))
    if key[0] == "half_width":
        return evaluation.uncertainty.half_width(key[1], key[2])
    return edits.get(evaluation, resin_path(key))


def resin_path(key: Key) -> edits.Path:
    """Return where the setting of a resin stands."""
    field = "output_factor_route" if key[0] == "route" else "melt_temperature"
    return ("resins", key[1], field)


def is_own(evaluation: Evaluation, key: Key) -> bool:
    """Say whether a limit or a half-width is the user's own."""
    if key[0] == "limit":
        return limit_origin(getattr(evaluation.limits, key[1])) is None
    entered = getattr(evaluation.uncertainty, key[1])
    return entered is not None and (not isinstance(entered, dict) or key[2] in entered)


def origin_of(evaluation: Evaluation, key: Key) -> str:
    """Return where a limit or a half-width comes from, in words."""
    if key[0] == "limit":
        return labels.ORIGINS[limit_origin(getattr(evaluation.limits, key[1]))]
    return labels.ORIGINS[None if is_own(evaluation, key) else "common_practice"]


def note_of(evaluation: Evaluation, key: Key) -> str:
    """Return the note of a limit."""
    limit = getattr(evaluation.limits, key[1])
    return limit.note if isinstance(limit, LimitEntry) else ""


def text_of(key: Key, value: Any) -> str:
    """Return a setting's value as text that reads back into itself."""
    if value is None:
        return pages.NOT_STATED
    if isinstance(value, Quantity):
        return printed(value)
    if isinstance(value, str):
        return labels.ROUTES[value]
    if key[0] == "limit" and decision.in_diameters(key[1]):
        return f"{_short(value)} D"
    return f"{_short(value * 100.0)} %"


def _short(value: float) -> str:
    text = rounded(value, _DIGITS)
    return text.rstrip("0").rstrip(".") if "." in text else text


def read_setting(key: Key, text: str) -> ParsedText:
    """Return the number that was typed for a limit or a half-width."""
    if key[0] == "limit" and decision.in_diameters(key[1]):
        entry = read_number(text.strip().removesuffix("D").strip(), ("1",), "1")
        if entry is None or isinstance(entry, Refusal):
            why = decision.NUMBER_WANTED if entry is None else entry.text
            return ParsedText(problem=pages.objection(why))
        return _taken(key, float(entry.magnitude))
    reading = read(_SHARE, text, Context())
    if reading.problem:
        return reading
    if reading.value is None:
        return ParsedText(problem=pages.objection(decision.NUMBER_WANTED))
    return replace(_taken(key, reading.value), remark=reading.remark)


def _taken(key: Key, value: float) -> ParsedText:
    if value <= 0 and key[0] == "limit":
        return ParsedText(problem=pages.objection(decision.POSITIVE_WANTED))
    return ParsedText(value, decision.read_as(text_of(key, value)))


def put_value(evaluation: Evaluation, key: Key, value: Any) -> Evaluation:
    """Return the evaluation with one setting changed: from now on your own.

    Raises pydantic.ValidationError where it does not fit the others.
    """
    if key[0] == "limit":
        note = note_of(evaluation, key)
        return edits.put(evaluation, ("limits", key[1]), LimitEntry(value=value, note=note))
    if key[0] == "half_width":
        return _put_half_width(evaluation, key[1], key[2], value)
    return edits.put(evaluation, resin_path(key), value)


def put_note(evaluation: Evaluation, key: Key, note: str) -> Evaluation:
    """Return the evaluation with another note on a limit."""
    limit = getattr(evaluation.limits, key[1])
    entry = LimitEntry(value=limit_value(limit), origin=limit_origin(limit), note=note)
    return edits.put(evaluation, ("limits", key[1]), entry)


def put_all(
    evaluation: Evaluation, values: Mapping[Key, float | None], notes: Mapping[Key, str]
) -> Evaluation:
    """Return the evaluation with many limits and half-widths changed at once; None is as usual.

    Raises pydantic.ValidationError where they do not fit each other.
    """
    changed: dict[str, Any] = {}
    for key in {key for key in (*values, *notes) if key[0] == "limit"}:
        name = key[1]
        limit = getattr(evaluation.limits, name)
        if key in values:
            value, note = values[key], note_of(evaluation, key)
            usual_one = getattr(Limits(), name)
            limit = usual_one if value is None else LimitEntry(value=value, note=note)
        if key in notes:
            origin = limit_origin(limit)
            limit = LimitEntry(value=limit_value(limit), origin=origin, note=notes[key])
        changed[name] = limit
    after = edits.change(evaluation, ("limits",), lambda limits: limits.replace(**changed))
    for key, value in values.items():
        if key[0] == "half_width":
            after = _put_half_width(after, key[1], key[2], value)
    return after


def usual(evaluation: Evaluation, key: Key) -> Evaluation:
    """Return the evaluation with a limit or a half-width back at its usual value."""
    if key[0] == "limit":
        return edits.put(evaluation, ("limits", key[1]), getattr(Limits(), key[1]))
    return _put_half_width(evaluation, key[1], key[2], None)


def _put_half_width(
    evaluation: Evaluation, quantity: str, route: str, value: float | None
) -> Evaluation:
    before = evaluation.uncertainty
    entered = getattr(before, quantity)
    if entered is None or isinstance(entered, int | float):
        routes = USUAL_HALF_WIDTHS[quantity] if entered is not None else ()
        entered = dict.fromkeys(routes, entered)
    after = {**entered, route: value}
    kept = {name: width for name, width in after.items() if width is not None}
    return edits.put(evaluation, ("uncertainty", quantity), kept or None)


class SettingField(TypedField):
    """A limit or a half-width in a line. Emits `edited(float)`."""

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting.label)
        self._key = setting.key

    def read(self, text: str) -> ParsedText:
        """Return the number in `text`."""
        return read_setting(self._key, text)

    def written(self, value: object) -> str:
        """Return the number as text."""
        return "" if value is None else text_of(self._key, value)
