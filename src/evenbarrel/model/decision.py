"""What people decided: answers, accepted deviations, assignment, cost basis, sign-offs."""

from __future__ import annotations

from datetime import date as Date
from typing import Annotated, Literal

from pydantic import Field, field_validator
from pydantic_core import PydanticCustomError

from evenbarrel.model.base import Frozen, Identifier, Notes
from evenbarrel.model.datum import Datum
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import ResidenceLimit, Share

Role = Literal["purchase", "process_engineering", "maintenance", "safety"]
Currency = Annotated[str, Field(pattern=r"^[A-Z]{3}$")]


class Answer(Frozen):
    """What became of a question."""

    question: str
    state: Literal["open", "asked", "answered", "accepted_as_is"] = "open"
    date: Date | None = None
    text: Notes = ""
    datum: str | None = None
    quantity: Quantity | None = None


class Deviation(Frozen):
    """A criterion that is outside and that a named person accepts, or `refused` to waive."""

    barrel: str
    job: str | None = None
    criterion: str
    reason: Notes = ""
    person: str = ""
    role: Role | None = None
    date: Date | None = None
    condition: Notes = ""
    until: Date | None = None
    refused: Literal[True] | None = None

    @field_validator("criterion")
    @classmethod
    def _known(cls, key: str) -> str:
        if key not in CRITERIA:
            raise PydanticCustomError("criterion", "'{key}' is no criterion", {"key": key})
        return key


LimitValue = float | str | Quantity | tuple[ResidenceLimit, ...] | tuple[str, ...]
"""What a limit may be: a number of the evaluation, or a datum of a resin."""


class ConfirmedLimit(Frozen):
    """A limit from memory that a named person stands by, for as long as it is `value`.

    `resin` is None for a limit of the evaluation itself; `field` is its name there.
    """

    resin: Identifier | None = None
    field: str
    value: LimitValue
    person: str = ""
    date: Date | None = None
    reason: str = ""


class Assignment(Frozen):
    """A job put on one copy of a barrel."""

    job: str
    barrel: str
    copy_number: Annotated[int, Field(ge=1)] = Field(default=1, alias="copy")


class Carried(Frozen):
    """What an older signature stands for since its file was brought to a newer version."""

    scheme: str
    digest: str


class SignOff(Frozen):
    """A signature under one exact state of the evaluation.

    `carried` is set where the file was of an older version and the signature held then: it is
    judged by that digest from then on.
    """

    role: Role
    person: str = ""
    date: Date | None = None
    statement: Notes = ""
    conditions: Notes = ""
    scheme: str = "c1"
    digest: str = ""
    carried: Carried | None = None
    results_digest: str = ""
    program_version: str = ""


class ExchangeRate(Frozen):
    """Units of the evaluation's currency for one unit of another, on a day."""

    currency: Currency
    rate: Annotated[float, Field(gt=0.0)]
    date: Date | None = None


class CostLine(Frozen):
    """One cost, once or every year, of a bid, a unit or a barrel."""

    bid: Identifier | None = None
    unit: Identifier | None = None
    barrel: Identifier | None = None
    kind: str
    amount: Money
    year: Annotated[int, Field(ge=0, le=60)] | None = None
    per_year: bool = False
    growth: float | None = None


class Cost(Frozen):
    """The basis for cost over life."""

    horizon_years: Annotated[int, Field(ge=1, le=60)] | None = None
    discount_rate: Annotated[float, Field(gt=-1.0, lt=1.0)] | None = None
    real: bool = False
    machine_hour_rate: Money | None = None
    tariff: Money | None = None
    hours_available: Annotated[
        Quantity | None,
        Datum("Hours available", "Machine hours per year", "cost", ("time",), 3600.0, 3.2e7),
    ] = None
    oee: Share | None = None
    energy_per_mass: Annotated[
        Quantity | None,
        Datum(
            "Energy per mass", "Of the whole machine", "cost", ("specific_energy",), 3.6e4, 3.6e7
        ),
    ] = None
    exchange_rates: tuple[ExchangeRate, ...] = ()
    lines: tuple[CostLine, ...] = ()
    residual: Money | None = None
