"""What was measured on a machine, to be held against what was claimed or guaranteed."""

from datetime import date as Date
from typing import Annotated, Literal

from pydantic import field_validator

from evenbarrel.model.base import Frozen, Identifier, Rows, refusal
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.quantity import Quantity

WEIGHED = Datum("Shot mass", "As weighed", "acceptance", ("mass",), 1e-5, 200.0)
"""Each mass of a series."""


class AcceptanceTest(Frozen):
    """One series: shots into air, what was plasticised in a time, or shots of one setting."""

    kind: Literal["air_shot", "plasticising", "repeatability"]
    resin: Identifier | None = None
    stroke: Annotated[
        Quantity | None,
        Datum(
            "Stroke travelled",
            "Without decompression",
            "acceptance",
            ("length",),
            0.001,
            2.5,
        ),
    ] = None
    time: Annotated[
        Quantity | None,
        Datum(
            "Time",
            "In which the mass was plasticised",
            "acceptance",
            ("time",),
            0.1,
            3600.0,
        ),
    ] = None
    masses: Rows[Annotated[Quantity, WEIGHED]] = ()
    claim: str | None = None
    """The barrel's datum that is tested."""

    @field_validator("claim")
    @classmethod
    def _known(cls, name: str | None) -> str | None:
        if name is not None and name not in data_of(Barrel):
            raise refusal("claim", "'{name}' is not a datum of a barrel", name=name)
        return name


class Acceptance(Frozen):
    """What was measured on one barrel on one day, and how finely."""

    barrel: Identifier
    date: Date | None = None
    scale_resolution: Annotated[
        Quantity | None,
        Datum(
            "Resolution of the scale",
            "Smallest step that is shown",
            "acceptance",
            ("mass",),
            1e-7,
            0.1,
            "non_negative",
        ),
    ] = None
    stroke_resolution: Annotated[
        Quantity | None,
        Datum(
            "Resolution of the stroke",
            "Smallest step that is shown",
            "acceptance",
            ("length",),
            1e-7,
            0.01,
            "non_negative",
        ),
    ] = None
    diameter_tolerance: Annotated[
        Quantity | None,
        Datum(
            "Tolerance of the diameter",
            "0.1 mm if empty",
            "acceptance",
            ("length",),
            1e-7,
            0.001,
            "non_negative",
        ),
    ] = None
    tests: Rows[AcceptanceTest] = ()
