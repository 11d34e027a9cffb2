"""The one description of a datum: forms, grids, data sheets and checks all read it from here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any, Literal

from pydantic import BaseModel, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.fields import FieldInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import PydanticCustomError, core_schema

from evenbarrel.model.base import cut
from evenbarrel.model.quantity import Quantity
from evenbarrel.units import KINDS, kind_has

Sign = Literal["positive", "non_negative", "any"]

_ABSOLUTE_ZERO = {"degC": Decimal("-273.15"), "degF": Decimal("-459.67")}


@dataclass(frozen=True, slots=True)
class Datum:
    """What a field is: its label and help, and for a quantity its kind, sign and usual range.

    `low` and `high` bound what is usual, in the SI unit of the first kind: outside it a form
    warns and a suggested correction is not believed, but nothing is refused. `unit` is the metric
    one it is printed in, where that is not the first of its kind.
    """

    label: str
    help: str = ""
    group: str = ""
    kinds: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    sign: Sign = "positive"
    unit: str = ""

    @property
    def units(self) -> tuple[str, ...]:
        """Every unit text the field takes, the metric default first."""
        return _units_of(self.kinds)

    def kind_of(self, unit: str) -> str:
        """Return the kind among this datum's kinds that `unit` measures; raises KeyError."""
        for kind in self.kinds:
            if kind_has(kind, unit):
                return kind
        raise KeyError(unit)

    def is_usual(self, si_value: float) -> bool:
        """Say whether a value in SI lies in the usual range."""
        return (self.low is None or si_value >= self.low) and (
            self.high is None or si_value <= self.high
        )

    def problem(self, magnitude: str, unit: str) -> str | None:
        """Say in one sentence why a number cannot be this datum, or None where it can."""
        if unit not in self.units:
            return f"'{cut(unit)}' is not a unit it can have; it takes {', '.join(self.units)}"
        value, magnitude = Decimal(magnitude), cut(magnitude)
        if unit in _ABSOLUTE_ZERO:
            if value < _ABSOLUTE_ZERO[unit]:
                return f"{magnitude} {unit} is below absolute zero"
        elif self.sign == "positive" and value <= 0:
            return f"{magnitude} is impossible: it must be above zero, or left out when not stated"
        elif self.sign == "non_negative" and value < 0:
            return f"{magnitude} is impossible: it cannot be negative"
        if value != 0 and not Decimal("1e-15") < abs(value) < Decimal("1e15"):
            return f"{magnitude} {unit} is impossible: the number is out of all proportion"
        return None

    def _check(self, value: Any) -> Any:
        if isinstance(value, Quantity):
            problem = self.problem(value.magnitude, value.unit)
            if problem is not None:
                raise PydanticCustomError("datum", "{problem}", {"problem": problem})
        return value

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        """Let pydantic hold every entered quantity against this description."""
        schema = handler(source)
        if not self.kinds:
            return schema
        return core_schema.no_info_after_validator_function(self._check, schema)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        """Put label, help and units into the published JSON Schema."""
        published = handler(schema)
        published["title"] = self.label
        if self.help:
            published["description"] = self.help
        if self.units:
            published["x-units"] = list(self.units)
        return published


def quantity_datum(
    label: str,
    help_text: str,
    group: str,
    kinds: tuple[str, ...] | str,
    low: float,
    high: float,
    sign: Sign = "positive",
    unit: str = "",
) -> Datum:
    """Return the description of a quantity of one kind, or of several."""
    all_kinds = (kinds,) if isinstance(kinds, str) else kinds
    return Datum(label, help_text, group, all_kinds, low, high, sign, unit)


@cache
def _units_of(kinds: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(unit for kind in kinds for unit in KINDS[kind].units)


def _of_field(info: FieldInfo) -> Datum | None:
    return next((mark for mark in info.metadata if isinstance(mark, Datum)), None)


@cache
def data_of(model: type[BaseModel]) -> dict[str, Datum]:
    """Return the described fields of a model, in the order a data sheet prints them."""
    described = ((name, _of_field(info)) for name, info in model.model_fields.items())
    return {name: datum for name, datum in described if datum is not None}


def quantities(thing: BaseModel) -> Iterator[tuple[str, Datum, Quantity]]:
    """Yield name, description and entered quantity of each field that holds one."""
    for name, datum in data_of(type(thing)).items():
        value = getattr(thing, name)
        if isinstance(value, Quantity):
            yield name, datum, value


def si_of(thing: BaseModel, name: str) -> float | None:
    """Return a field of `thing` in SI, or None where it is not stated."""
    quantity = getattr(thing, name)
    if not isinstance(quantity, Quantity):
        return None
    return quantity.si(data_of(type(thing))[name].kind_of(quantity.unit))
