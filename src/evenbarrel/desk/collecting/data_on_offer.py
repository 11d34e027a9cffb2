"""The data that a line of an extract may be said to be, in the order of the Bids page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from evenbarrel.entry.shapes import shapes_of
from evenbarrel.intake.keys import MODELS, DatumKey, Owner
from evenbarrel.wording.sentences.asking.collecting import OWNERS

_OWNERS: tuple[Owner, ...] = ("barrel", "unit", "bid")


@dataclass(frozen=True, slots=True)
class DatumOnOffer:
    """A datum and what a pick-list calls it."""

    key: DatumKey
    text: str


@cache
def data_on_offer() -> tuple[DatumOnOffer, ...]:
    """Return every datum of a screw, of a unit and of an offer, its scope last."""
    called: Mapping[str, str] = OWNERS
    keys = [DatumKey(owner, field) for owner in _OWNERS for field in shapes_of(MODELS[owner])]
    keys.append(DatumKey("bid", "scope"))
    return tuple(DatumOnOffer(key, f"{called[key.owner]}: {key.shape.datum.label}") for key in keys)
