"""The field that fits a datum."""

from __future__ import annotations

from collections.abc import Mapping

from evenbarrel.desk.fields.base import Field
from evenbarrel.desk.fields.quantity import MoneyField, QuantityField
from evenbarrel.desk.fields.simple import (
    ChoiceField,
    CurrencyField,
    DateField,
    IntegerField,
    NumberField,
    ResinField,
    ShapeField,
    ShareField,
    TextField,
)
from evenbarrel.entry.shapes import Context, Shape, ShapeKind

_LINES: Mapping[ShapeKind, type[ShapeField]] = {
    "text": TextField,
    "marks": TextField,
    "nested": TextField,
    "scope": TextField,
    "currency": CurrencyField,
    "integer": IntegerField,
    "share": ShareField,
    "change": ShareField,
    "number": NumberField,
    "date": DateField,
}


def field_for(shape: Shape, context: Context) -> Field:
    """Return an empty field for a datum of that shape."""
    if shape.kind == "quantity":
        return QuantityField(shape.datum, context, shape.standing)
    if shape.kind == "money":
        return MoneyField(shape.datum, context)
    if shape.kind == "choice":
        return ChoiceField(shape)
    if shape.kind == "resin":
        return ResinField(shape, context)
    return _LINES[shape.kind](shape, context)


def give_context(field: Field, context: Context) -> None:
    """Let a field know what changed around it."""
    if isinstance(field, ResinField):
        field.take_context(context)
    elif isinstance(field, QuantityField | MoneyField | ShapeField):
        field.context = context
