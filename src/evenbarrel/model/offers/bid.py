"""What a supplier offers: commercial terms, injection units, and barrels that share a drive."""

from datetime import date as Date
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from evenbarrel.model.base import Currency, Frozen, Identifier, Notes, Rows, refusal
from evenbarrel.model.datum import Datum, quantity_datum
from evenbarrel.model.offers.barrel import Barrel, Settled, Zones
from evenbarrel.model.offers.terms import OWN_AMOUNT, Document, Guarantee, PaymentTerm, ScopeLine
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.states.consistency import refuse_duplicates, refuse_unknown

__all__ = ["Barrel", "Bid", "InjectionUnit", "Settled", "Zones"]


class InjectionUnit(Frozen):
    """One drive and one stroke, with the barrels that fit it."""

    id: Identifier
    designation: Annotated[
        str, Datum("Designation", "The supplier's own name for the unit", "drive")
    ] = ""
    unit_kind: Annotated[
        Literal["reciprocating", "plunger", "vented", "other"] | None,
        Datum("Kind", "Single-stage reciprocating screw if empty", "drive"),
    ] = None
    size_number: Annotated[
        Quantity | None,
        quantity_datum(
            "Size number",
            "Pressure in bar × volume in cm³ / 1000",
            "drive",
            "ratio",
            10.0,
            200000.0,
        ),
    ] = None
    drive_kind: Annotated[
        Literal["hydraulic", "accumulator", "electric", "hybrid"] | None,
        Datum("Drive", group="drive"),
    ] = None
    drive_power: Annotated[
        Quantity | None,
        quantity_datum("Drive power", "Of the injection drive", "drive", "power", 500.0, 5e6),
    ] = None
    injection_power: Annotated[
        Quantity | None,
        quantity_datum("Injection power", "As quoted", "drive", "power", 500.0, 5e6),
    ] = None
    plasticising_drive_power: Annotated[
        Quantity | None, quantity_datum("Screw drive power", "", "drive", "power", 500.0, 2e6)
    ] = None
    heating_power: Annotated[
        Quantity | None,
        quantity_datum("Heating power", "Barrel zones", "heating", "power", 300.0, 5e5),
    ] = None
    position_scatter: Annotated[
        Quantity | None,
        quantity_datum(
            "Position scatter",
            "± of the screw position at the end of fill",
            "drive",
            "length",
            1e-6,
            5e-3,
        ),
    ] = None
    max_back_pressure: Annotated[
        Quantity | None,
        quantity_datum("Highest back pressure", "In the melt", "drive", "melt_pressure", 1e6, 8e7),
    ] = None
    clamp_force: Annotated[
        Quantity | None,
        quantity_datum(
            "Clamp force",
            "Only compared with what each job needs; not assessed",
            "drive",
            "force",
            1e4,
            1e8,
        ),
    ] = None
    price: Annotated[
        Money | None, Datum("Machine price", "With its standard screw", "commercial")
    ] = None
    second_barrel_price: Annotated[
        Money | None, Datum("Second barrel price", group="commercial")
    ] = None
    dry_cycle_time: Annotated[
        Quantity | None,
        quantity_datum(
            "Dry cycle time",
            "Shown only, not used: it includes neither ejection nor robot",
            "drive",
            "time",
            0.3,
            60.0,
        ),
    ] = None
    hours_available: Annotated[
        Quantity | None,
        quantity_datum(
            "Hours available",
            "Of this machine a year, if different from the cost basis",
            "commercial",
            "time",
            3600.0,
            3.2e7,
            unit="h",
        ),
    ] = None
    energy_per_mass: Annotated[
        Quantity | None,
        quantity_datum(
            "Energy per mass",
            "Of the whole machine, if different from the cost basis",
            "commercial",
            "specific_energy",
            3.6e4,
            3.6e7,
        ),
    ] = None
    energy_method: Annotated[
        str,
        Datum(
            "Energy measured by",
            "The method the supplier names; without one the number is assumed",
            "commercial",
        ),
    ] = ""
    owned_copies: Annotated[
        Annotated[int, Field(ge=0, le=1000)] | None,
        Datum(
            "Copies owned",
            "How many the plant has already; empty for an offer",
            "commercial",
        ),
    ] = None
    resale_value: Annotated[
        Money | None,
        Datum(
            "Resale value",
            "What the plant's machine would sell for",
            "commercial",
        ),
    ] = None
    standard_barrel: Identifier | None = None
    """The barrel that the machine's price includes; none: it is found by the price differences."""
    barrels: Rows[Barrel] = ()


class Bid(Frozen):
    """One supplier's offer."""

    id: Identifier
    supplier: Annotated[str, Datum("Supplier", group="offer")] = ""
    reference: Annotated[str, Datum("Offer number", group="offer")] = ""
    revision: Annotated[str, Datum("Revision", group="offer")] = ""
    date: Annotated[Date | None, Datum("Offer date", group="offer")] = None
    valid_until: Annotated[Date | None, Datum("Valid until", group="offer")] = None
    currency: Annotated[
        Currency | None,
        Datum("Currency", "Such as EUR", "commercial"),
    ] = None
    price: Annotated[
        Money | None, Datum("Total price", "Only where the offer names one total", "commercial")
    ] = None
    freight: Annotated[Money | None, Datum("Freight", group="commercial")] = None
    installation: Annotated[Money | None, Datum("Installation", group="commercial")] = None
    training: Annotated[Money | None, Datum("Training", group="commercial")] = None
    delivery: Annotated[str, Datum("Delivery", "Time and terms", "commercial")] = ""
    payment: Annotated[str, Datum("Payment", group="commercial")] = ""
    warranty: Annotated[
        str, Datum("Warranty", "And whether wear of screw and barrel is excluded", "commercial")
    ] = ""
    notes: Annotated[Notes, Datum("Notes", group="commercial")] = ""
    scope: Rows[ScopeLine] = ()
    payment_terms: Rows[PaymentTerm] = ()
    guarantees: Rows[Guarantee] = ()
    documents: Rows[Document] = ()
    revises: Identifier | None = None
    """The bid that this one replaces; only the newest counts."""
    withdrawn: Literal[True] | None = None
    units: Rows[InjectionUnit] = ()

    @property
    def is_own(self) -> bool:
        """Whether all it lists are machines that the plant has: no supplier is asked or thanked."""
        return bool(self.units) and all(unit.owned_copies for unit in self.units)

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        refuse_duplicates("lines of the scope", (line.item for line in self.scope), "are for")
        refuse_duplicates("documents", (document.id for document in self.documents))
        for line in self.scope:
            own = getattr(self, line.item) if line.item in OWN_AMOUNT else None
            if line.amount is not None and own is not None:
                raise refusal(
                    "two_amounts",
                    "{item} has an amount of its own and one in the scope: leave one of them out",
                    item=line.item,
                )
        if sum(term.share for term in self.payment_terms) > 1.0 + 1e-9:
            raise PydanticCustomError("payment_terms", "the payments make up more than the price")
        self._refuse_strange_barrels()
        return self

    def _refuse_strange_barrels(self) -> None:
        every = {barrel.id for unit in self.units for barrel in unit.barrels}
        for guarantee in self.guarantees:
            refuse_unknown("guarantees", "barrel", guarantee.barrel, every, "in the bid")
        for unit in self.units:
            if unit.standard_barrel is not None:
                own = {barrel.id for barrel in unit.barrels}
                where = f"unit '{unit.id}', standard barrel"
                refuse_unknown(where, "barrel", unit.standard_barrel, own, "in the unit")
