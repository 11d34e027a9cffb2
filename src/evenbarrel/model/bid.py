"""What a supplier offers: commercial terms, injection units, and barrels that share a drive."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date as Date
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from evenbarrel.model.base import Frozen, Identifier, Notes
from evenbarrel.model.datum import Datum, Sign
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Share
from evenbarrel.trade.packages import Package

Decision = Literal["geometry", "quoted", "rated_mass"]
ReadingKey = Literal[
    "as_printed",
    "diameter",
    "stroke",
    "unknown",
    "in3_as_cm3",
    "cm3_as_in3",
    "fl_oz_as_cm3",
    "neighbour_barrel",
    "radius_as_diameter",
    "diameter_as_radius",
    "in_as_mm",
    "mm_as_in",
    "decimal_shift",
]
"""Which printed number of a barrel's size is wrong: none, one, nobody knows which, or by a slip."""

READINGS_BY_ROUTE: Mapping[Decision, tuple[ReadingKey, ...]] = {
    "geometry": (
        "as_printed",
        "in3_as_cm3",
        "cm3_as_in3",
        "fl_oz_as_cm3",
        "neighbour_barrel",
        "decimal_shift",
    ),
    "quoted": (
        "diameter",
        "stroke",
        "unknown",
        "radius_as_diameter",
        "diameter_as_radius",
        "in_as_mm",
        "mm_as_in",
        "decimal_shift",
    ),
    "rated_mass": (),
}
"""A wrong volume, or none, goes with the geometry; a wrong diameter or stroke with the volume."""

RingKind = Literal["sliding", "ball", "smear_tip", "other", "unknown"]


def _quantity(
    label: str,
    help_text: str,
    group: str,
    kinds: tuple[str, ...] | str,
    low: float,
    high: float,
    sign: Sign = "positive",
) -> Datum:
    all_kinds = (kinds,) if isinstance(kinds, str) else kinds
    return Datum(label, help_text, group, all_kinds, low, high, sign)


class Settled(Frozen):
    """A person's decision which route gives a barrel's swept volume, and which number is wrong."""

    route: Decision
    reading: ReadingKey | None = None
    reason: Notes = ""
    person: str = ""
    date: Date | None = None

    @model_validator(mode="after")
    def _together(self) -> Self:
        if self.reading is not None and self.reading not in READINGS_BY_ROUTE[self.route]:
            raise PydanticCustomError(
                "reading",
                "a volume by {route} does not go with the reading '{reading}'",
                {"route": self.route.replace("_", " "), "reading": self.reading},
            )
        return self


class Zones(Frozen):
    """Screw zones as shares of the flighted length."""

    feed: Share
    compression: Share
    metering: Share


class Barrel(Frozen):
    """One barrel and screw: the thing that is compared."""

    id: Identifier
    label: Annotated[str, Datum("Screw letter", "As the supplier calls it", "geometry")] = ""
    screw_diameter: Annotated[
        Quantity | None,
        _quantity("Screw diameter", "Nominal", "geometry", "length", 0.008, 0.4),
    ] = None
    stroke: Annotated[
        Quantity | None,
        _quantity("Stroke", "Injection stroke of the screw", "geometry", "length", 0.01, 2.5),
    ] = None
    length_ratio: Annotated[
        Quantity | None,
        _quantity("L/D", "Flighted length in diameters", "geometry", "ratio", 8.0, 40.0),
    ] = None
    compression_ratio: Annotated[
        Quantity | None,
        _quantity("Compression ratio", "Feed to metering", "geometry", "ratio", 1.0, 6.0),
    ] = None
    zones: Zones | None = None
    feed_depth: Annotated[
        Quantity | None,
        _quantity("Feed depth", "Channel depth in the feed zone", "geometry", "length", 5e-4, 0.05),
    ] = None
    metering_depth: Annotated[
        Quantity | None,
        _quantity(
            "Metering depth", "Channel depth in the metering zone", "geometry", "length", 5e-4, 0.03
        ),
    ] = None
    pitch: Annotated[
        Quantity | None,
        _quantity("Pitch", "One diameter if empty", "geometry", "length", 0.005, 0.5),
    ] = None
    flight_width: Annotated[
        Quantity | None,
        _quantity("Flight width", "0.1 diameters if empty", "geometry", "length", 5e-4, 0.06),
    ] = None
    feed_fill: Annotated[
        Share | None,
        Datum(
            "Feed zone fill",
            "Share of the feed channel that holds material; 0.6 if empty",
            "geometry",
        ),
    ] = None
    ring_kind: Annotated[
        RingKind | None, Datum("Check ring", "Kind of non-return valve", "geometry")
    ] = None
    ring_travel: Annotated[
        Quantity | None,
        _quantity(
            "Ring travel", "Closing travel of the check ring", "geometry", "length", 5e-4, 0.03
        ),
    ] = None
    swept_volume: Annotated[
        Quantity | None,
        _quantity(
            "Swept volume",
            "Calculated injection volume as printed",
            "capacity",
            "volume",
            1e-6,
            0.1,
        ),
    ] = None
    rated_shot_mass: Annotated[
        Quantity | None,
        _quantity("Rated shot mass", "In the reference resin", "capacity", "mass", 1e-3, 100.0),
    ] = None
    reference_resin: Annotated[
        str | None,
        Datum(
            "Reference resin", "What the mass is rated in; leave empty if not printed", "capacity"
        ),
    ] = None
    reference_factor: Annotated[
        Quantity | None,
        _quantity(
            "Reference factor",
            "g per cm³ the supplier says it rated with",
            "capacity",
            "density",
            500.0,
            2500.0,
        ),
    ] = None
    settled: Settled | None = None
    injection_pressure: Annotated[
        Quantity | None,
        _quantity("Injection pressure", "Highest", "pressure_rate", "melt_pressure", 2e7, 5e8),
    ] = None
    pressure_kind: Annotated[
        Literal["melt", "oil"] | None,
        Datum(
            "Pressure is", "In the melt or in the oil; leave empty if not printed", "pressure_rate"
        ),
    ] = None
    system_pressure: Annotated[
        Quantity | None,
        _quantity("System pressure", "Oil", "pressure_rate", "oil_pressure", 5e6, 5e7),
    ] = None
    intensification_ratio: Annotated[
        Quantity | None,
        _quantity(
            "Intensification ratio", "Piston area / screw area", "pressure_rate", "ratio", 2.0, 60.0
        ),
    ] = None
    injection_rate: Annotated[
        Quantity | None,
        _quantity(
            "Injection rate",
            "Highest, volume or mass",
            "pressure_rate",
            ("volume_rate", "mass_rate"),
            1e-6,
            0.05,
        ),
    ] = None
    injection_speed: Annotated[
        Quantity | None,
        _quantity("Injection speed", "Of the screw, forward", "pressure_rate", "speed", 0.01, 2.0),
    ] = None
    plasticising_rate: Annotated[
        Quantity | None,
        _quantity(
            "Plasticising rate", "In the plasticising resin", "plasticising", "mass_rate", 1e-4, 0.6
        ),
    ] = None
    plasticising_resin: Annotated[
        str | None,
        Datum("Plasticising resin", "The reference resin if empty", "plasticising"),
    ] = None
    plasticising_speed: Annotated[
        Quantity | None,
        _quantity(
            "Speed at that rate",
            "Screw speed at which the rate holds",
            "plasticising",
            "rotational_speed",
            0.1,
            17.0,
        ),
    ] = None
    plasticising_stroke_share: Annotated[
        Quantity | None,
        _quantity("Stroke share at that rate", "", "plasticising", "share", 0.05, 1.0),
    ] = None
    screw_speed: Annotated[
        Quantity | None,
        _quantity(
            "Screw speed",
            "Printed without saying which",
            "plasticising",
            "rotational_speed",
            0.1,
            17.0,
        ),
    ] = None
    screw_speed_max: Annotated[
        Quantity | None,
        _quantity("Highest screw speed", "", "plasticising", "rotational_speed", 0.1, 17.0),
    ] = None
    peripheral_speed: Annotated[
        Quantity | None,
        _quantity("Peripheral speed", "As printed", "plasticising", "speed", 0.02, 3.0),
    ] = None
    screw_torque: Annotated[
        Quantity | None,
        _quantity("Screw torque", "", "plasticising", "torque", 10.0, 1e5),
    ] = None
    melt_inventory: Annotated[
        Quantity | None,
        _quantity(
            "Melt inventory", "Melt held in the screw channel", "plasticising", "volume", 1e-6, 0.1
        ),
    ] = None
    barrel_package: Annotated[
        Package | None, Datum("Barrel package", "Wear and corrosion", "materials")
    ] = None
    screw_package: Annotated[
        Package | None, Datum("Screw package", "Wear and corrosion", "materials")
    ] = None
    price_difference: Annotated[
        Money | None, Datum("Price difference", "Against the standard screw", "commercial")
    ] = None


class InjectionUnit(Frozen):
    """One drive and one stroke, with the barrels that fit it."""

    id: Identifier
    designation: Annotated[str, Datum("Designation", "As the supplier calls the unit", "drive")] = (
        ""
    )
    unit_kind: Annotated[
        Literal["reciprocating", "plunger", "vented", "other"] | None,
        Datum("Kind", "Single-stage reciprocating screw if empty", "drive"),
    ] = None
    size_number: Annotated[
        Quantity | None,
        _quantity(
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
        _quantity("Drive power", "Of the forward stroke's drive", "drive", "power", 500.0, 5e6),
    ] = None
    injection_power: Annotated[
        Quantity | None, _quantity("Injection power", "As quoted", "drive", "power", 500.0, 5e6)
    ] = None
    plasticising_drive_power: Annotated[
        Quantity | None, _quantity("Screw drive power", "", "drive", "power", 500.0, 2e6)
    ] = None
    heating_power: Annotated[
        Quantity | None, _quantity("Heating power", "Barrel zones", "heating", "power", 300.0, 5e5)
    ] = None
    position_scatter: Annotated[
        Quantity | None,
        _quantity(
            "Position scatter", "± of the screw at the end of fill", "drive", "length", 1e-6, 5e-3
        ),
    ] = None
    max_back_pressure: Annotated[
        Quantity | None,
        _quantity("Highest back pressure", "In the melt", "drive", "melt_pressure", 1e6, 8e7),
    ] = None
    clamp_force: Annotated[
        Quantity | None,
        _quantity("Clamp force", "Compared plainly; no assessment", "drive", "force", 1e4, 1e8),
    ] = None
    price: Annotated[
        Money | None, Datum("Machine price", "With its standard screw", "commercial")
    ] = None
    second_barrel_price: Annotated[
        Money | None, Datum("Second barrel price", group="commercial")
    ] = None
    barrels: tuple[Barrel, ...] = ()


class Bid(Frozen):
    """One supplier's offer."""

    id: Identifier
    supplier: Annotated[str, Datum("Supplier", group="offer")] = ""
    reference: Annotated[str, Datum("Offer number", group="offer")] = ""
    revision: Annotated[str, Datum("Revision", group="offer")] = ""
    date: Annotated[Date | None, Datum("Offer date", group="offer")] = None
    valid_until: Annotated[Date | None, Datum("Valid until", group="offer")] = None
    currency: Annotated[
        Annotated[str, Field(pattern=r"^[A-Z]{3}$")] | None,
        Datum("Currency", "As EUR", "commercial"),
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
        str, Datum("Warranty", "And whether screw and barrel wear is excluded", "commercial")
    ] = ""
    notes: Annotated[Notes, Datum("Notes", group="commercial")] = ""
    units: tuple[InjectionUnit, ...] = ()
