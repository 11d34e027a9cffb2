"""The basis for cost over life: rates, energy, what a change of resin takes, lines of cost."""

from __future__ import annotations

from datetime import date as Date
from typing import Annotated

from pydantic import Field

from evenbarrel.model.base import Currency, Frozen, Identifier, Notes, Rows
from evenbarrel.model.datum import Datum
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Share

Growth = Annotated[float, Field(gt=-1.0, le=10.0)]
"""Share by which a price grows in a year."""


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
    per_hours: Annotated[
        Quantity | None,
        Datum(
            "Per hours",
            "The amount is for so many hours that the barrel runs",
            "cost",
            ("time",),
            3600.0,
            3.2e8,
        ),
    ] = None
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
    exchange_rates: Rows[ExchangeRate] = ()
    lines: Rows[CostLine] = ()
    residual: None = None
    """Of version 1, always null: what is left at the end is `residual_share`."""
    residual_share: Annotated[
        Share | None,
        Datum(
            "Residual share",
            "Of the machine's price, left at the end",
            "cost",
        ),
    ] = None
    turnovers: Annotated[
        Annotated[float, Field(ge=0.0, le=1000.0)] | None,
        Datum(
            "Turnovers",
            "How often a change of resin fills the barrel anew",
            "cost",
        ),
    ] = None
    change_time: Annotated[
        Quantity | None,
        Datum(
            "Change time",
            "The machine stands for a change of job",
            "cost",
            ("time",),
            60.0,
            172800.0,
        ),
    ] = None
    common_resin: Annotated[
        str | None,
        Datum(
            "Common resin",
            "In which ratings and prices are put side by side",
            "cost",
        ),
    ] = None
    tariff_growth: Annotated[
        Growth | None,
        Datum("Growth of the tariff", "Share in a year", "cost"),
    ] = None
    rate_growth: Annotated[
        Growth | None,
        Datum("Growth of the hour rate", "Share in a year", "cost"),
    ] = None
    resolution: Annotated[
        Share | None,
        Datum(
            "Resolution",
            "Costs nearer to each other than this share one rank; 2 % if empty",
            "cost",
        ),
    ] = None
    notes: Annotated[Notes, Datum("Notes", group="cost")] = ""
