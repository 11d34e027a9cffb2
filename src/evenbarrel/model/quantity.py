"""A printed number: its digits, its unit, where it was printed and how far it may be trusted."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from evenbarrel.model.base import Frozen
from evenbarrel.units import scale, to_si

Standing = Literal["quoted", "confirmed", "measured", "assumed"]

MagnitudeText = Annotated[str, StringConstraints(pattern=r"^-?[0-9]{1,30}(\.[0-9]{1,30})?$")]
"""Plain decimal text, so that "2.0" and "2" stay apart."""

HalfWidth = Annotated[float, Field(ge=0.0, le=1.0)]
"""Half-width of the uncertainty as a share of the value."""


class Quantity(Frozen):
    """A number exactly as it was printed; converted to SI only when it is appraised."""

    magnitude: MagnitudeText
    unit: str
    source: str = ""
    standing: Standing = "quoted"
    half_width: HalfWidth | None = None
    note: str = ""

    def si(self, kind: str) -> float:
        """Return the value in the SI unit of `kind`; raises UnitError for another kind's unit."""
        return to_si(float(self.magnitude), self.unit, kind)

    def last_digit(self, kind: str) -> float:
        """Return half of the last printed digit in the SI unit of `kind`: what was rounded away."""
        exponent = Decimal(self.magnitude).as_tuple().exponent
        return 0.5 * 10.0 ** int(exponent) * scale(self.unit, kind)


class Money(Frozen):
    """An amount in one currency, as printed."""

    amount: MagnitudeText
    currency: Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")]
    source: str = ""
    standing: Standing = "quoted"

    def value(self) -> float:
        """Return the amount in its own currency."""
        return float(self.amount)
