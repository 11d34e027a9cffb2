"""Typed text to values and back, for every shape of datum: forms and tables read alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Annotated, Any, Literal, get_args, get_origin

from annotated_types import Ge, Gt, Le
from pydantic import BaseModel, StringConstraints
from pydantic.fields import FieldInfo

from evenbarrel.entry.amount import is_currency, read_money
from evenbarrel.entry.bare_numbers import (
    read_bare,
    read_change,
    read_share,
    read_whole,
    remark_of,
)
from evenbarrel.entry.composite import (
    NESTED,
    NotRead,
    read_nested,
    read_scope,
    written_nested,
    written_scope,
)
from evenbarrel.entry.meant import unit_meant
from evenbarrel.entry.number import Entry, Refusal, as_share, echo, read_number
from evenbarrel.entry.parsed import ParsedText as ParsedText
from evenbarrel.entry.printed import likelier, plain_ratio, read_day
from evenbarrel.entry.wordings import resin_named
from evenbarrel.model.base import LONGEST_TEXT
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.job import Job
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.quantity import Money, Quantity, Standing
from evenbarrel.units import to_si
from evenbarrel.wording.sentences import pages
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.numbers import DisplayUnits, display_unit, unit_text, with_unit

ShapeKind = Literal[
    "quantity",
    "text",
    "currency",
    "choice",
    "integer",
    "share",
    "change",
    "number",
    "date",
    "money",
    "resin",
    "marks",
    "nested",
    "scope",
]

RESIN_NAMES = frozenset({"common_resin", "resin", "reference_resin", "plasticising_resin"})

_BEGINS: Mapping[type[BaseModel], Standing] = {Job: "assumed"}
"""Nobody quotes us our own moulds: a number of theirs is assumed until somebody measured it."""


@dataclass(frozen=True)
class Shape:
    """What can stand in a field: its kind, its choices, and its bounds.

    Bounds are of a whole number, or how many characters a text may have.
    """

    name: str
    kind: ShapeKind
    datum: Datum
    choices: tuple[str, ...] = ()
    low: int | None = None
    high: int | None = None
    standing: Standing = "quoted"
    """What a number that is entered begins as."""


HALF_WIDTH = Shape("half_width", "share", Datum("Half-width", "Share of the value"))
"""Of any number."""

SCOPE_LINE = Shape(
    "scope",
    "scope",
    Datum("Scope", "Item and what the offer says of it, such as freight: extra 3800 EUR"),
)
"""What an offer says of one item of its scope."""


@dataclass(frozen=True)
class Context:
    """What a field needs to know of the evaluation: display units, currency, resins by id.

    `table` are the shipped resins that the evaluation does not have yet: choosing one adds it.
    """

    units: DisplayUnits = "metric"
    currency: str = "EUR"
    resins: Mapping[str, str] = field(default_factory=dict)
    table: Mapping[str, str] = field(default_factory=dict)
    beside: str = ""
    """The unit of the heading that a number stands under, where it has one."""


@cache
def shapes_of(model: type[BaseModel]) -> Mapping[str, Shape]:
    """Return the shape of every described field of a model, in the order of its data sheet."""
    begins = _BEGINS.get(model, "quoted")
    shapes = {
        name: replace(_shape(name, model.model_fields[name], datum), standing=begins)
        for name, datum in data_of(model).items()
    }
    nested = NESTED.get(model, {})
    return shapes | {name: Shape(name, "nested", datum) for name, datum in nested.items()}


def _shape(name: str, info: FieldInfo, datum: Datum) -> Shape:
    parts = tuple(_parts(info.annotation))
    if Quantity in parts:
        return Shape(name, "quantity", datum)
    if Money in parts:
        return Shape(name, "money", datum)
    if date in parts:
        return Shape(name, "date", datum)
    choices = tuple(part for part in parts if isinstance(part, str))
    if choices:
        return Shape(name, "choice", datum, choices)
    if int in parts:
        low = next((part.ge for part in parts if isinstance(part, Ge)), None)
        high = next((part.le for part in parts if isinstance(part, Le)), None)
        return Shape(name, "integer", datum, (), low, high)  # type: ignore[arg-type]
    if float in parts:
        return Shape(name, _kind_of_number(parts), datum)
    if name in RESIN_NAMES:
        return Shape(name, "resin", datum)
    if tuple in parts:
        return Shape(name, "marks", datum)
    if name == "currency":
        return Shape(name, "currency", datum)
    longest = (m.max_length for m in info.metadata if isinstance(m, StringConstraints))
    return Shape(name, "text", datum, (), None, next(longest, None))


def _kind_of_number(parts: Sequence[Any]) -> ShapeKind:
    """Return what a bare number is: a change in a year may be below 0, a share is 1 at most."""
    if any(isinstance(part, Gt) and part.gt == -1.0 for part in parts):
        return "change"
    bounds = [part.le for part in parts if isinstance(part, Le)]
    return "number" if any(bound != 1.0 for bound in bounds) else "share"


def _parts(annotation: Any) -> Iterator[Any]:
    """Yield the types, choices and bounds that an annotation is made of."""
    origin = get_origin(annotation)
    if origin is Literal:
        yield from get_args(annotation)
        return
    if origin is Annotated:
        inner, *marks = get_args(annotation)
        yield from _parts(inner)
        for mark in marks:
            yield from mark.metadata if isinstance(mark, FieldInfo) else (mark,)
        return
    if origin is None:
        yield annotation
        return
    yield origin
    for part in get_args(annotation):
        yield from _parts(part)


def read(shape: Shape, text: str, context: Context, before: Any = None) -> ParsedText:
    """Return what `text` means for a datum of that shape.

    `before` is the present value: its unit, source and standing go on to the new number.
    """
    reader = _READERS[shape.kind]
    return reader(shape, _whole(text), context, before)


def read_text(text: str, longest: int = LONGEST_TEXT) -> ParsedText:
    """Return a free text as a file can keep it, or that it is too long."""
    text = _whole(text)
    if len(text) > longest:
        return ParsedText(problem=pages.shorter_wanted(longest))
    return ParsedText(text, warning=pages.hidden(text))


def _whole(text: str) -> str:
    # A line may hold half of a character (a lone surrogate), which no file can.
    return text.encode("utf-8", "replace").decode("utf-8").strip()


def written(shape: Shape, value: Any, context: Context) -> str:
    """Return a value as text that reads back into itself."""
    if value is None:
        return ""
    if isinstance(value, Quantity):
        return pages.spoken_quantity(value)
    if isinstance(value, Money):
        return f"{value.amount} {value.currency}"
    if isinstance(value, ScopeLine):
        return written_scope(value)
    if shape.kind == "choice":
        return labels.choice(value)
    if shape.kind == "resin":
        return context.resins.get(value) or context.table.get(value, value)
    if shape.kind == "number":
        return f"{value:.12g}"
    if shape.kind in ("share", "change"):
        return f"{format(Decimal(f'{value:.15g}').scaleb(2).normalize(), 'f')} %"
    if shape.kind == "nested":
        return written_nested(value)
    if shape.kind == "marks":
        return ", ".join(value)
    return str(value)


def read_quantity(
    datum: Datum,
    text: str,
    unit: str,
    context: Context,
    before: Quantity | None = None,
    standing: Standing = "quoted",
) -> ParsedText:
    """Return the quantity in `text`; `unit` is meant where none is typed.

    A new number begins with `standing`, another takes over that of the one before.
    """
    if datum.units == ("1",):
        text = plain_ratio(text)
    entry = read_number(text, datum.units, unit)
    if entry is None:
        return ParsedText()
    if isinstance(entry, Refusal):
        return ParsedText(problem=entry.text)
    # The number that stands there already is what it is: 0.5 % does not become a half.
    if before is None or (text, unit) != (before.magnitude, before.unit):
        entry = likelier(datum, as_share(entry))
    problem = datum.problem(entry.magnitude, entry.unit)
    if problem is not None:
        return ParsedText(problem=problem)
    value = (
        Quantity(magnitude=entry.magnitude, unit=entry.unit, standing=standing)
        if before is None
        else before.replace(magnitude=entry.magnitude, unit=entry.unit)
    )
    return ParsedText(
        value,
        _read_back(entry, datum, context.units),
        remark_of(entry),
        pages.unusual(datum, entry.magnitude, entry.unit),
    )


def _read_back(entry: Entry, datum: Datum, units: DisplayUnits) -> str:
    """Return what was understood, and the same in the display unit; in metric where that is it."""
    kind = datum.kind_of(entry.unit)
    text = echo(Entry(entry.magnitude, unit_text(entry.unit) or "1"))
    systems: tuple[DisplayUnits, ...] = (units, "metric")
    other = next((one for one in systems if display_unit(kind, one) != entry.unit), None)
    # Nobody counts the hours of a year in seconds.
    if other is not None and entry.unit not in ("1", "h"):
        value = to_si(float(entry.magnitude), entry.unit, kind)
        text = f"{text} = {with_unit(value, kind, other, 4)}"
    return text


def _quantity(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    meant = context.beside or unit_meant(shape.datum, context.units)
    unit = meant if before is None else before.unit
    return read_quantity(shape.datum, text, unit, context, before, shape.standing)


def _money(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    return read_money(text, context.currency if before is None else before.currency, before)


def _text(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    return read_text(text, LONGEST_TEXT if shape.high is None else shape.high)


def _currency(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    if not text:
        return ParsedText()
    code = text.upper()
    if is_currency(code):
        return ParsedText(code)
    return ParsedText(problem=pages.CURRENCY_WANTED)


def _choice(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    if not text:
        return ParsedText()
    return _one_of(text, [(code, labels.choice(code)) for code in shape.choices])


def _resin(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    if not text:
        return ParsedText()
    # What the evaluation has goes before what the shipped table would add to it.
    offered = [*context.resins.items(), *context.table.items()]
    found = _one_of(text, offered)
    named = resin_named(text, dict(offered)) if found.problem else None
    if named is not None:
        return ParsedText(named)
    return ParsedText(problem=pages.RESIN_WANTED) if found.problem else found


def _one_of(text: str, offered: Sequence[tuple[str, str]]) -> ParsedText:
    """Return the key that is meant by a key or a word, in any case where that is not exact."""
    said = text.casefold()
    for code, word in offered:
        # A name may end in spaces, which no typed text does.
        if text in (code, word.strip()):
            return ParsedText(code)
    for code, word in offered:
        if said in (code.casefold(), word.casefold()):
            return ParsedText(code)
    return ParsedText(problem=pages.choice_wanted([word for _, word in offered]))


def _integer(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    return read_whole(text, shape.low, shape.high)


def _share(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    return read_share(text)


def _change(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    return read_change(text)


def _number(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    return read_bare(text)


def _date(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    if not text:
        return ParsedText()
    day = read_day(" ".join(text.split()))
    if day is None or day.either:
        wanted = pages.DATE_WANTED if day is None else pages.DAY_OR_MONTH
        return ParsedText(problem=wanted)
    return ParsedText(day.value, f"read as {day.value.day} {day.value:%B %Y}")


def _marks(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    words = [read_text(word) for word in text.split(",") if word.strip()]
    refused = next((word for word in words if word.problem), None)
    values = tuple(word.value for word in words)
    return refused or ParsedText(values, warning=pages.hidden(text))


def _scope(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    try:
        return ParsedText(read_scope(text, context.currency, before), warning=pages.hidden(text))
    except NotRead as error:
        return ParsedText(problem=str(error))


def _nested(shape: Shape, text: str, context: Context, before: Any) -> ParsedText:
    try:
        return ParsedText(read_nested(shape.name, text, before), warning=pages.hidden(text))
    except NotRead as error:
        return ParsedText(problem=str(error))


_READERS = {
    "quantity": _quantity,
    "money": _money,
    "text": _text,
    "currency": _currency,
    "choice": _choice,
    "resin": _resin,
    "integer": _integer,
    "share": _share,
    "change": _change,
    "number": _number,
    "date": _date,
    "marks": _marks,
    "nested": _nested,
    "scope": _scope,
}
