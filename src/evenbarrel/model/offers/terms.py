"""The terms of a bid: what is in its scope, when it is paid, what is guaranteed, its documents."""

from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from evenbarrel.model.base import Frozen, Identifier, Notes, refusal
from evenbarrel.model.datum import Datum, data_of
from evenbarrel.model.offers.barrel import Barrel
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.model.resin import Share

OWN_AMOUNT = ("freight", "installation", "training")
"""Items whose amount stands in the bid's own field of that name; the scope gives the state."""


class ScopeLine(Frozen):
    """What a bid says of one item: its amount is the supplier's where extra, ours where missing."""

    item: Annotated[str, StringConstraints(min_length=1)]
    state: Literal["included", "extra", "missing", "not_stated"] = "not_stated"
    amount: Annotated[Money | None, Datum("Amount", group="commercial")] = None


class PaymentTerm(Frozen):
    """A part of the price and when it is due."""

    share: Share
    when: str = ""


class Document(Frozen):
    """A file that a bid came in; its path is left out of the digest, its content counts."""

    id: Identifier
    name: str = ""
    path: str = ""
    sha256: Annotated[str, StringConstraints(pattern=r"^([0-9a-f]{64})?$")] = ""
    pages: Annotated[int, Field(ge=1)] | None = None


class Guarantee(Frozen):
    """A datum of a barrel that the supplier stands by: value, tolerance, method and remedy."""

    barrel: Identifier
    datum: str
    value: Quantity
    tolerance: Quantity | None = None
    side: Literal["at_least", "at_most", "both"] | None = None
    method: Notes = ""
    remedy: Notes = ""

    @model_validator(mode="after")
    def _of_its_kind(self) -> Self:
        described = data_of(Barrel).get(self.datum)
        if described is None or not described.kinds:
            raise refusal("guarantee", "'{datum}' is not a number of a barrel", datum=self.datum)
        tolerance = Datum(described.label, kinds=("share", *described.kinds), sign="non_negative")
        for datum, quantity in ((described, self.value), (tolerance, self.tolerance)):
            problem = None if quantity is None else datum.problem(quantity.magnitude, quantity.unit)
            if problem is not None:
                raise PydanticCustomError("datum", "{problem}", {"problem": problem})
        return self
