"""The base of every stored thing: frozen, strict, nothing unknown, no NaN."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Annotated, Any, Self, TypeVar

from pydantic import BaseModel, ConfigDict, Field, JsonValue, StringConstraints
from pydantic_core import PydanticCustomError

Identifier = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9_.\-]{1,64}$")]
"""A short name that other parts of the file, and the results, refer to."""

Currency = Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
"""As EUR."""

LONGEST_TEXT, LONGEST_NOTES = 2_000, 20_000
"""Characters; more is no name and no remark, and would stop whoever prints it."""

Notes = Annotated[str, StringConstraints(max_length=LONGEST_NOTES)]

MOST_ROWS = 20_000
"""Of one list; more than any programme has of anything."""

Row = TypeVar("Row")
Rows = Annotated[tuple[Row, ...], Field(max_length=MOST_ROWS)]

PlainData = Mapping[str, JsonValue]
"""Data of any shape, as a file may hold them."""


LONGEST_QUOTED = 100
"""Characters of a text that a refusal quotes; no id is longer."""


def cut(text: str) -> str:
    """Return a text as a refusal quotes it: its beginning and a mark where it is long."""
    return text if len(text) <= LONGEST_QUOTED else f"{text[: LONGEST_QUOTED - 1]}…"


def refusal(code: str, sentence: str, **quoted: object) -> PydanticCustomError:
    """Return an error whose sentence quotes what is named in braces, long texts cut."""
    short = {k: cut(value) if isinstance(value, str) else value for k, value in quoted.items()}
    return PydanticCustomError(code, sentence, short)


class Frozen(BaseModel):
    """A value that never changes; a changed copy is made by :meth:`replace`.

    Whatever it takes, a file takes: no NaN, and no half of a character.
    """

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        allow_inf_nan=False,
        # Measuring a text also refuses half of a character, which no file can keep.
        str_max_length=LONGEST_TEXT,
        # What a value works out once and keeps beside its data.
        ignored_types=(cached_property,),
    )

    def replace(self, **changes: Any) -> Self:
        """Return a copy with `changes`, validated as a whole; untouched parts are shared.

        Raises pydantic.ValidationError where a change does not fit.
        """
        # By name: a field may carry another name in the file.
        return type(self).model_validate(dict(self) | changes, by_name=True)
