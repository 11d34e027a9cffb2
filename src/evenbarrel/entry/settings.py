"""Limits and half-widths as people read and type them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenbarrel.entry.number import Refusal, read_number
from evenbarrel.entry.shapes import Context, ParsedText, Shape, read
from evenbarrel.model.datum import Datum
from evenbarrel.model.settings import HALF_WIDTHS, LIMITS, LimitKey, SettingKey
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.sentences.deciding import decision
from evenbarrel.wording.words.numbers import rounded

_SHARE = Shape("share", "share", Datum("Share"))
_DIGITS = 3


@dataclass(frozen=True)
class Setting:
    """One setting by its key, and what it is called."""

    key: SettingKey
    label: str


def limits() -> tuple[Setting, ...]:
    """Return every limit of an evaluation."""
    return tuple(Setting(key, decision.limit_label(key.name)) for key in LIMITS)


def half_widths() -> tuple[Setting, ...]:
    """Return every half-width of an evaluation, by kind of input and route."""
    return tuple(
        Setting(key, decision.half_width_label(key.quantity, key.route)) for key in HALF_WIDTHS
    )


def text_of(key: SettingKey, value: float | None) -> str:
    """Return a setting's value as text that reads back into itself."""
    if value is None:
        return pages.NOT_STATED
    return f"{_short(value)} D" if _in_diameters(key) else f"{_short(value * 100.0)} %"


def _in_diameters(key: SettingKey) -> bool:
    return isinstance(key, LimitKey) and decision.in_diameters(key.name)


def _short(value: float) -> str:
    text = rounded(value, _DIGITS)
    return text.rstrip("0").rstrip(".") if "." in text else text


def read_setting(key: SettingKey, text: str) -> ParsedText:
    """Return the number that was typed for a limit or a half-width."""
    if _in_diameters(key):
        entry = read_number(text.strip().removesuffix("D").strip(), ("1",), "1")
        if entry is None or isinstance(entry, Refusal):
            why = decision.NUMBER_WANTED if entry is None else entry.text
            return ParsedText(problem=why)
        return _taken(key, float(entry.magnitude))
    reading = read(_SHARE, text, Context())
    if reading.problem:
        return reading
    if reading.value is None:
        return ParsedText(problem=decision.NUMBER_WANTED)
    return replace(_taken(key, reading.value), remark=reading.remark)


def _taken(key: SettingKey, value: float) -> ParsedText:
    if value <= 0 and isinstance(key, LimitKey):
        return ParsedText(problem=decision.POSITIVE_WANTED)
    return ParsedText(value, decision.read_as(text_of(key, value)))
