"""What validation objected to, told in words a person finds in the file or on the screen."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails
from pydantic_core.core_schema import ErrorType

from evenbarrel.model.datum import data_of
from evenbarrel.storage.file_errors import Fault, one_line
from evenbarrel.storage.parsing import Location

_ITEM_WORDS: Mapping[str, str] = {
    "resins": "resin",
    "jobs": "job",
    "bids": "bid",
    "units": "unit",
    "barrels": "barrel",
    "fillers": "filler",
    "residence_limits": "residence limit",
    "answers": "answer",
    "deviations": "deviation",
    "sign_offs": "sign-off",
    "exchange_rates": "exchange rate",
    "lines": "line",
    "confirmed_limits": "confirmed limit",
    "measures": "measure",
    "acceptance": "acceptance",
    "tests": "test",
    "masses": "mass",
    "signed_states": "signed state",
    "scope": "line of the scope",
    "scope_items": "item of the scope",
    "payment_terms": "payment",
    "guarantees": "guarantee",
    "documents": "document",
}
_NAME_FIELDS = ("supplier", "designation", "name")

_IDENTIFIER = "may hold only letters, digits and _ . -, 64 at most"
_DECIMAL = 'must be plain decimal digits such as "41.5"'
_PATTERNS: Mapping[str, str] = {
    "magnitude": _DECIMAL,
    "amount": _DECIMAL,
    "currency": "must be three capital letters such as EUR",
}
_SHAPES: Mapping[str, str] = {
    "Quantity": 'must be written as {"magnitude": "41.5", "unit": "mm"}',
    "Money": 'must be written as {"amount": "185000", "currency": "EUR"}',
}
_TYPES: Mapping[str, str] = {
    "string_type": "must be text",
    "string_unicode": "must be whole characters",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "float_type": "must be a number",
    "bool_type": "must be true or false",
    "tuple_type": "must be a list",
    "model_type": "must be a set of named fields in braces",
    "dict_type": "must be a set of named fields in braces",
    "mapping_type": "must be a set of named fields in braces",
}
_BOUNDS: Mapping[str, tuple[str, str]] = {
    "greater_than": ("gt", "above"),
    "greater_than_equal": ("ge", "at least"),
    "less_than": ("lt", "below"),
    "less_than_equal": ("le", "at most"),
}
_BUILT_IN = frozenset(get_args(ErrorType))


def field_in_words(model: type[BaseModel], data: Any, location: Location) -> str:
    """Return where `location` leads in `data`: "bid 'b1' (Nordquell), unit 'u1', stroke"."""
    words: list[str] = []
    inner: type[BaseModel] | None = model
    field = ""
    for part in location:
        if isinstance(part, int):
            data = data[part]
            words[-1] = _item_in_words(field, part, data)
        else:
            words.append(_label(inner, part))
            inner, field = _model_of(inner, part), part
            data = data.get(part) if isinstance(data, dict) else None
    return ", ".join(words)


def fault_of(error: ValidationError, model: type[BaseModel], data: Any) -> Fault:
    """Return the first thing `error` holds against `data`, and how many more there are."""
    found = [(_without_branches(model, data, one["loc"]), one) for one in error.errors()]
    # Of a value that may take two forms, the deepest objection is against the form it has.
    above = {place[:depth] for place, _ in found for depth in range(len(place))}
    deepest = {place: one for place, one in reversed(found) if place not in above}
    place, first = next(iter(reversed(deepest.items())))
    more = f" (and {len(deepest) - 1} more)" if len(deepest) > 1 else ""
    if first["type"] == "extra_forbidden":
        problem = _unknown_field(model, str(place[-1]), place)
        return Fault(field_in_words(model, data, place[:-1]), problem + more)
    return Fault(field_in_words(model, data, place), _problem(first, place) + more)


def _label(model: type[BaseModel] | None, field: str) -> str:
    datum = data_of(model).get(field) if model is not None else None
    if datum is None:
        return one_line(field) if field == "format_version" else one_line(field.replace("_", " "))
    label = datum.label
    return label[0].lower() + label[1:] if label[1:2].islower() else label


def _item_in_words(field: str, index: int, item: Any) -> str:
    word = _ITEM_WORDS.get(field, field.replace("_", " "))
    entries = item if isinstance(item, dict) else {}
    identity = entries.get("id")
    if not isinstance(identity, str):
        return f"{word} {index + 1}"
    names = [entries.get(name) for name in _NAME_FIELDS]
    name = next((one_line(text) for text in names if isinstance(text, str) and text.strip()), "")
    return f"{word} '{one_line(identity)}'" + (f" ({name})" if name else "")


def _model_of(model: type[BaseModel] | None, field: str) -> type[BaseModel] | None:
    info = model.model_fields.get(field) if model is not None else None
    return _model_within(info.annotation) if info is not None else None


def _model_within(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = (_model_within(part) for part in get_args(annotation))
    return next((part for part in found if part is not None), None)


def _without_branches(model: type[BaseModel], data: Any, location: Location) -> Location:
    """Leave out the parts of a location that name a branch of a union and no place in the data."""
    kept: list[str | int] = []
    inner: type[BaseModel] | None = model
    for part in location:
        if isinstance(part, int):
            data = data[part]
        else:
            known = inner is not None and part in inner.model_fields
            if not known and not (isinstance(data, dict) and part in data):
                continue
            inner = _model_of(inner, part)
            data = data.get(part) if isinstance(data, dict) else None
        kept.append(part)
    return tuple(kept)


def _unknown_field(model: type[BaseModel], field: str, place: Location) -> str:
    # Loaded for a file that is refused: most are not.
    from difflib import get_close_matches

    inner: type[BaseModel] | None = model
    for part in place[:-1]:
        inner = inner if isinstance(part, int) else _model_of(inner, part)
    near = get_close_matches(field, inner.model_fields, n=1) if inner is not None else []
    hint = f"; did you mean '{near[0]}'?" if near else ""
    return f"there is no field '{one_line(field)}'{hint}"


def _problem(error: ErrorDetails, place: Location) -> str:
    kind, field = error["type"], str(place[-1]) if place else ""
    context = error.get("ctx", {})
    given = _given(error["input"])
    if kind not in _BUILT_IN:
        return one_line(error["msg"], 300)
    if kind == "missing":
        return "it is missing"
    if kind == "string_too_long":
        return f"it is longer than {context['max_length']} characters"
    if kind == "too_long":
        return f"there may be {context['max_length']} at most"
    if kind == "literal_error":
        return f"{given} is not one it can have; it takes {context['expected']}"
    if kind in _BOUNDS:
        bound, words = _BOUNDS[kind]
        return f"{given} is out of range: it must be {words} {context[bound]:g}"
    if kind == "model_type" and context["class_name"] in _SHAPES:
        return f"{_SHAPES[context['class_name']]}, not {given}"
    if kind.startswith("date"):
        return f"must be a date such as 2026-03-02, not {given}"
    if kind == "string_pattern_mismatch":
        return f"{_PATTERNS.get(field, _IDENTIFIER)}, not {given}"
    if kind == "string_type" and _PATTERNS.get(field) is _DECIMAL:
        return f'must be text such as "41.5", not {given}'
    return f"{_TYPES.get(kind, 'must be something else')}, not {given}"


def _given(value: Any) -> str:
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, str):
        return f"'{one_line(value)}'"
    if isinstance(value, int | float):
        return f"the number {value}"
    return "a list" if isinstance(value, list | tuple) else "a set of fields"
