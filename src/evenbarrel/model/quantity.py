"""A printed number: its digits, its unit, where it was printed and how far it may be trusted."""

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from evenbarrel.model.base import Currency, Frozen, Identifier
from evenbarrel.units import scale, to_si

Standing = Literal["quoted", "confirmed", "measured", "assumed"]

MagnitudeText = Annotated[str, StringConstraints(pattern=r"^-?[0-9]{1,30}(\.[0-9]{1,30})?$")]
"""Plain decimal text, so that "2.0" and "2" stay apart."""

HalfWidth = Annotated[float, Field(ge=0.0, le=1.0)]
"""Half-width of the uncertainty as a share of the value."""


class Place(Frozen):
    """Where in one of the bid's documents a number stands: on a page, or in a cell of a sheet.

    `box` is left, bottom, right and top in points from the page's lower left corner.
    """

    document: Identifier
    page: Annotated[int, Field(ge=1)] | None = None
    box: tuple[float, float, float, float] | None = None
    cell: str | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if self.page is not None and self.cell is not None:
            raise PydanticCustomError("place", "a place is on a page or in a cell, not both")
        if self.box is not None and self.page is None:
            raise PydanticCustomError("place", "a box needs the page it is drawn on")
        return self


class Quantity(Frozen):
    """A number exactly as it was printed; converted to SI only when it is appraised."""

    magnitude: MagnitudeText
    unit: str
    source: str = ""
    standing: Standing = "quoted"
    half_width: HalfWidth | None = None
    note: str = ""
    place: Place | None = None

    def si(self, kind: str) -> float:
        """Return the value in the SI unit of `kind`; raises UnitError for another kind's unit."""
        return to_si(float(self.magnitude), self.unit, kind)

    def last_digit(self, kind: str) -> float:
        """Return half of the last printed digit in the SI unit of `kind`: what was rounded away."""
        decimals = len(self.magnitude.partition(".")[2])
        return 0.5 * 10.0**-decimals * scale(self.unit, kind)


class Money(Frozen):
    """An amount in one currency, as printed."""

    amount: MagnitudeText
    currency: Currency
    source: str = ""
    standing: Standing = "quoted"
    place: Place | None = None

    def value(self) -> float:
        """Return the amount in its own currency."""
        return float(self.amount)
