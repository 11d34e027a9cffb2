"""Bytes to plain JSON data, with nothing silently repaired, dropped or overwritten."""

from __future__ import annotations

import codecs
import json
import math
from dataclasses import dataclass
from typing import Any

from evenbarrel.model.base import LONGEST_NOTES, LONGEST_TEXT, MOST_ROWS
from evenbarrel.storage.file_errors import Fault, one_line

Location = tuple[str | int, ...]

DEEPEST = 32
"""An evaluation nests nine deep; far more is no evaluation, and would exhaust the stack."""

_LONGEST_WHOLE_NUMBER = 30
_LONGEST_STRING = 3 * LONGEST_NOTES
"""What was signed is kept in NFC, which makes a text three times as long at most."""
_MOST_FIELDS = 1000
_HALF = "half of a character (a lone surrogate)"
_MOST_VALUES = 3_000_000
"""So many would 20,000 barrels with every datum stated and sourced not have."""


@dataclass(frozen=True)
class Unreadable:
    """Stands in parsed data where JSON held something that is refused."""

    problem: str


def parse_json(data: bytes) -> Any:
    """Return the JSON in `data`; what is refused inside it is an `Unreadable` in its place.

    Raises `Fault` where there is no JSON to speak of.
    """
    text = _text(data)
    # Counted before anything is made of them: what is refused is refused at once.
    if data.count(b",") > _MOST_VALUES:
        raise Fault("", f"it holds more than {_MOST_VALUES} values, which no evaluation has")
    try:
        return json.loads(
            text,
            object_pairs_hook=_object,
            parse_constant=lambda name: Unreadable(f"{name} is not a number"),
            parse_float=_real_number,
            parse_int=_whole_number,
        )
    except json.JSONDecodeError as error:
        raise Fault("", _where_it_breaks(text, error)) from error
    except RecursionError as error:
        raise Fault("", "it is nested far deeper than any evaluation") from error


def first_unreadable(data: Any, at: Location = ()) -> tuple[Location, str] | None:
    """Return where the first refused thing stands in parsed data at `at` and why, or None."""
    if len(at) > DEEPEST:
        return at[:1], "it is nested far deeper than any evaluation"
    if isinstance(data, str):
        if len(data) > _LONGEST_STRING:
            return at, f"it is a text of {len(data)} characters, which is too long"
        return (at, f"it holds {_HALF}") if _is_broken(data) else None
    if isinstance(data, dict):
        return _first_in_fields(data, at)
    if isinstance(data, list):
        if len(data) > MOST_ROWS:
            return at, f"there are {len(data)}; a list takes at most {MOST_ROWS}"
        found = (first_unreadable(value, (*at, place)) for place, value in enumerate(data))
        return next(filter(None, found), None)
    return (at, data.problem) if isinstance(data, Unreadable) else None


def _text(data: bytes) -> str:
    if not data.strip():
        raise Fault("", "it is empty")
    # Before UTF-16, whose mark begins the same.
    if data.startswith((codecs.BOM_UTF32_LE, codecs.BOM_UTF32_BE)):
        raise Fault("", "it is UTF-32 text; save it as UTF-8")
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise Fault("", "it is UTF-16 text; save it as UTF-8")
    if b"\0" in data:
        raise Fault("", "it is not a text file")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise Fault("", f"it is not UTF-8 text: line {line} holds a byte no text has") from error
    if not text.strip():
        raise Fault("", "it is empty")
    return text


def _where_it_breaks(text: str, error: json.JSONDecodeError) -> str:
    if error.pos >= len(text.rstrip()) or error.msg.startswith("Unterminated string"):
        return f"it ends in the middle, after line {text.rstrip().count(chr(10)) + 1}"
    if error.msg == "Extra data":
        return f"it goes on after its end, at line {error.lineno}, column {error.colno}"
    return f"it is not valid JSON at line {error.lineno}, column {error.colno}"


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        found[key] = Unreadable("it is given twice") if key in found else value
    return found


def _real_number(text: str) -> float | Unreadable:
    value = float(text)
    return value if math.isfinite(value) else Unreadable(f"{one_line(text)} is out of proportion")


def _whole_number(text: str) -> int | Unreadable:
    if len(text) > _LONGEST_WHOLE_NUMBER:
        return Unreadable(f"a whole number of {len(text)} digits is out of proportion")
    return int(text)


def _first_in_fields(data: dict[str, Any], at: Location) -> tuple[Location, str] | None:
    if len(data) > _MOST_FIELDS:
        return at, f"it has {len(data)} fields, which nothing in an evaluation has"
    for key, value in data.items():
        if len(key) > LONGEST_TEXT:
            return at, f"it holds a field whose name has {len(key)} characters"
        if _is_broken(key):
            return at, f"it holds a field whose name has {_HALF}"
        # Most values are short plain texts, of which it is known at once.
        if isinstance(value, str) and value.isascii() and len(value) <= _LONGEST_STRING:
            continue
        found = first_unreadable(value, (*at, key))
        if found is not None:
            return found
    return None


def _is_broken(text: str) -> bool:
    # Most texts are plain ones, of which that is known at once.
    if text.isascii():
        return False
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return True
    return False
