"""The basis for cost over life: rates, energy, what a change of resin takes, cost lines."""

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
            "Running hours of the barrel that the amount covers",
            "cost",
            ("time",),
            3600.0,
            3.2e8,
            unit="h",
        ),
    ] = None
    growth: float | None = None


class Cost(Frozen):
    """The basis for cost over life."""

    horizon_years: Annotated[
        Annotated[int, Field(ge=1, le=60)] | None,
        Datum("Horizon", "Whole years over which costs are added up", "payments"),
    ] = None
    discount_rate: Annotated[
        Annotated[float, Field(gt=-1.0, lt=1.0)] | None,
        Datum("Discount rate", "A year; nominal or real, like the growth rates below", "payments"),
    ] = None
    real: bool = False
    machine_hour_rate: Annotated[
        Money | None,
        Datum(
            "Machine hour rate",
            "Labour and overhead of an occupied hour, without this machine's capital, energy and "
            "maintenance",
            "machine_hours",
        ),
    ] = None
    tariff: Annotated[Money | None, Datum("Tariff", "Price of 1 kWh", "energy")] = None
    hours_available: Annotated[
        Quantity | None,
        Datum(
            "Hours available",
            "Of each machine a year, where its own are not stated",
            "machine_hours",
            ("time",),
            3600.0,
            3.2e7,
            unit="h",
        ),
    ] = None
    oee: Annotated[
        Share | None,
        Datum(
            "OEE without changeovers",
            "Share of the hours in which good shots are made; 85 % if empty, common "
            "practice, no source",
            "machine_hours",
        ),
    ] = None
    energy_per_mass: Annotated[
        Quantity | None,
        Datum(
            "Energy per mass",
            "Of the whole machine, for 1 kg of shot, where no supplier's value with its "
            "method is stated",
            "energy",
            ("specific_energy",),
            3.6e4,
            3.6e7,
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
            "Of the machine's price, at the end of the horizon",
            "payments",
        ),
    ] = None
    turnovers: Annotated[
        Annotated[float, Field(ge=0.0, le=1000.0)] | None,
        Datum(
            "Turnovers",
            "Barrel fills purged at a change of resin",
            "changes",
        ),
    ] = None
    change_time: Annotated[
        Quantity | None,
        Datum(
            "Changeover time",
            "How long the machine stands idle at a changeover",
            "changes",
            ("time",),
            60.0,
            172800.0,
            unit="h",
        ),
    ] = None
    common_resin: Annotated[
        str | None,
        Datum(
            "Common resin",
            "In which ratings and prices are compared",
            "comparing",
        ),
    ] = None
    tariff_growth: Annotated[
        Growth | None,
        Datum("Tariff growth", "A year", "energy"),
    ] = None
    rate_growth: Annotated[
        Growth | None,
        Datum("Hour rate growth", "A year", "machine_hours"),
    ] = None
    resolution: Annotated[
        Share | None,
        Datum(
            "Resolution",
            "Costs closer together than this get the same rank; 2 % if empty",
            "comparing",
        ),
    ] = None
    notes: Annotated[Notes, Datum("Notes", group="comparing")] = ""
