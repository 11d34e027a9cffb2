"""The key of a datum, as `barrel.stroke`: what data sheets and lists of wordings name it by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from pydantic import BaseModel

from evenbarrel.entry.shapes import SCOPE_LINE, Shape, shapes_of
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit

Owner = Literal["bid", "unit", "barrel"]

MODELS: Mapping[Owner, type[BaseModel]] = {"bid": Bid, "unit": InjectionUnit, "barrel": Barrel}

ZONES = ("feed", "compression", "metering")


@dataclass(frozen=True, slots=True)
class DatumKey:
    """Whose datum and which; `part` is a zone of the screw, or an item of the scope and its field.

    Written `barrel.stroke`, `barrel.zones.feed`, `bid.scope.freight.state`.
    """

    owner: Owner
    field: str
    part: str = ""

    def __str__(self) -> str:
        """Return the key as it is written."""
        return ".".join(part for part in (self.owner, self.field, self.part) if part)

    @property
    def shape(self) -> Shape:
        """What can stand there; raises KeyError for the state or the amount of an item alone."""
        if self.field == "scope" and not self.part:
            return SCOPE_LINE
        return shapes_of(MODELS[self.owner])[self.field]


def key_of(shape: Shape) -> DatumKey:
    """Return the key of a datum of an offer of that shape; raises KeyError where there is none."""
    if shape == SCOPE_LINE:
        return DatumKey("bid", "scope")
    for owner, model in MODELS.items():
        if shapes_of(model).get(shape.name) == shape:
            return DatumKey(owner, shape.name)
    raise KeyError(shape.name)


LABEL = DatumKey("barrel", "label")
DESIGNATION = DatumKey("unit", "designation")
DIAMETER = DatumKey("barrel", "screw_diameter")
STROKE = DatumKey("barrel", "stroke")
SUPPLIER = DatumKey("bid", "supplier")
REFERENCE = DatumKey("bid", "reference")


def read_key(text: str) -> DatumKey | None:
    """Return the key that `text` writes, or None where it writes none."""
    owner, _, rest = text.strip().partition(".")
    field, _, part = rest.partition(".")
    for known, model in MODELS.items():
        if owner != known:
            continue
        if known == "bid" and field == "scope":
            item, _, what = part.rpartition(".")
            return DatumKey(known, field, part) if item and what in ("state", "amount") else None
        if known == "barrel" and field == "zones":
            return DatumKey(known, field, part) if part in ZONES else None
        if field in shapes_of(model) and not part:
            return DatumKey(known, field)
    return None
