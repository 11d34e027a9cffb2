"""One barrel and screw: what is printed of it, and which of its sizes a person settled on."""

from collections.abc import Mapping
from datetime import date as Date
from typing import Annotated, Literal, Self

from pydantic import model_validator

from evenbarrel.model.base import Frozen, Identifier, Notes, refusal
from evenbarrel.model.datum import Datum, quantity_datum
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Share
from evenbarrel.trade.packages import Package

Decision = Literal["geometry", "quoted"]
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
}
"""A wrong volume, or none, goes with the geometry; a wrong diameter or stroke with the volume."""

RingKind = Literal["sliding", "ball", "smear_tip", "other", "unknown"]


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
            raise refusal(
                "reading",
                "a volume by {route} does not go with the reading '{reading}'",
                route=self.route,
                reading=self.reading,
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
    label: Annotated[
        str, Datum("Screw designation", "The supplier's own name for it", "geometry")
    ] = ""
    screw_diameter: Annotated[
        Quantity | None,
        quantity_datum(
            "Screw diameter",
            "Nominal; of a plunger unit, the plunger's",
            "geometry",
            "length",
            0.008,
            0.4,
        ),
    ] = None
    stroke: Annotated[
        Quantity | None,
        quantity_datum("Stroke", "Injection stroke of the screw", "geometry", "length", 0.01, 2.5),
    ] = None
    length_ratio: Annotated[
        Quantity | None,
        quantity_datum("L/D", "Flighted length in diameters", "geometry", "ratio", 8.0, 40.0),
    ] = None
    compression_ratio: Annotated[
        Quantity | None,
        quantity_datum("Compression ratio", "Feed to metering", "geometry", "ratio", 1.0, 6.0),
    ] = None
    zones: Zones | None = None
    feed_depth: Annotated[
        Quantity | None,
        quantity_datum(
            "Feed depth", "Channel depth in the feed zone", "geometry", "length", 5e-4, 0.05
        ),
    ] = None
    metering_depth: Annotated[
        Quantity | None,
        quantity_datum(
            "Metering depth", "Channel depth in the metering zone", "geometry", "length", 5e-4, 0.03
        ),
    ] = None
    pitch: Annotated[
        Quantity | None,
        quantity_datum("Pitch", "One diameter if empty", "geometry", "length", 0.005, 0.5),
    ] = None
    flight_width: Annotated[
        Quantity | None,
        quantity_datum("Flight width", "0.1 diameters if empty", "geometry", "length", 5e-4, 0.06),
    ] = None
    feed_fill: Annotated[
        Share | None,
        Datum(
            "Feed zone fill",
            "Share of the feed channel that holds material; 60 % if empty",
            "geometry",
        ),
    ] = None
    ring_kind: Annotated[
        RingKind | None, Datum("Check ring", "Kind of non-return valve", "geometry")
    ] = None
    ring_travel: Annotated[
        Quantity | None,
        quantity_datum(
            "Ring travel", "Closing travel of the check ring", "geometry", "length", 5e-4, 0.03
        ),
    ] = None
    swept_volume: Annotated[
        Quantity | None,
        quantity_datum(
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
        quantity_datum(
            "Rated shot mass", "In the reference resin", "capacity", "mass", 1e-3, 100.0
        ),
    ] = None
    reference_resin: Annotated[
        str | None,
        Datum(
            "Reference resin",
            "Resin in which the mass is rated; leave empty if not printed",
            "capacity",
        ),
    ] = None
    reference_factor: Annotated[
        Quantity | None,
        quantity_datum(
            "Reference factor",
            "g per cm³ that the supplier says it used",
            "capacity",
            "density",
            500.0,
            2500.0,
        ),
    ] = None
    settled: Settled | None = None
    injection_pressure: Annotated[
        Quantity | None,
        quantity_datum("Injection pressure", "Highest", "pressure_rate", "melt_pressure", 2e7, 5e8),
    ] = None
    pressure_kind: Annotated[
        Literal["melt", "oil"] | None,
        Datum(
            "Pressure is", "In the melt or in the oil; leave empty if not printed", "pressure_rate"
        ),
    ] = None
    system_pressure: Annotated[
        Quantity | None,
        quantity_datum("System pressure", "Oil", "pressure_rate", "oil_pressure", 5e6, 5e7),
    ] = None
    intensification_ratio: Annotated[
        Quantity | None,
        quantity_datum(
            "Intensification ratio", "Piston area / screw area", "pressure_rate", "ratio", 2.0, 60.0
        ),
    ] = None
    injection_rate: Annotated[
        Quantity | None,
        quantity_datum(
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
        quantity_datum(
            "Injection speed",
            "Forward speed of the screw",
            "pressure_rate",
            "injection_speed",
            0.01,
            2.0,
        ),
    ] = None
    plasticising_rate: Annotated[
        Quantity | None,
        quantity_datum(
            "Plasticising rate", "In the plasticising resin", "plasticising", "mass_rate", 1e-4, 0.6
        ),
    ] = None
    plasticising_resin: Annotated[
        str | None,
        Datum("Plasticising resin", "The reference resin if empty", "plasticising"),
    ] = None
    plasticising_speed: Annotated[
        Quantity | None,
        quantity_datum(
            "Plasticising speed",
            "Screw speed at which the plasticising rate was measured",
            "plasticising",
            "rotational_speed",
            0.1,
            17.0,
        ),
    ] = None
    plasticising_stroke_share: Annotated[
        Quantity | None,
        quantity_datum(
            "Plasticising stroke share",
            "Share of the stroke over which the rate was measured",
            "plasticising",
            "share",
            0.05,
            1.0,
        ),
    ] = None
    screw_speed: Annotated[
        Quantity | None,
        quantity_datum(
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
        quantity_datum("Highest screw speed", "", "plasticising", "rotational_speed", 0.1, 17.0),
    ] = None
    peripheral_speed: Annotated[
        Quantity | None,
        quantity_datum(
            "Peripheral speed", "As printed", "plasticising", "peripheral_speed", 0.02, 3.0
        ),
    ] = None
    screw_torque: Annotated[
        Quantity | None,
        quantity_datum("Screw torque", "", "plasticising", "torque", 10.0, 1e5),
    ] = None
    melt_inventory: Annotated[
        Quantity | None,
        quantity_datum(
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
    revises: Identifier | None = None
    """The barrel of an earlier offer that this one replaces; only the newest counts."""
