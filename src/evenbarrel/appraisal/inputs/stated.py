"""Barrels and units as SI numbers: what every claim and criterion reads from here inwards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from weakref import ReferenceType, ref

from evenbarrel.model.base import Frozen
from evenbarrel.model.datum import quantities
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Quantity

NOMINAL_PRECISION = {
    ("screw_diameter", False): 0.1e-3,
    ("screw_diameter", True): 0.005 * 0.0254,
    ("stroke", False): 0.5e-3,
    ("stroke", True): 0.02 * 0.0254,
}
"""Diameter and stroke are nominal sizes: the most their printed digits may hide, by inch or not."""


@dataclass(frozen=True, slots=True)
class StatedNumber:
    """One stated number in SI, with half of its last printed digit and its exact printed text."""

    value: float
    precision: float
    kind: str
    printed: str
    """Magnitude and unit as printed, to tell a number that was copied."""

    def relative(self) -> float:
        """Return the printed precision as a share of the value."""
        return self.precision / abs(self.value) if self.value else 0.0

    def times(self, factor: float) -> StatedNumber:
        """Return the number as it would be had it been `factor` times as large."""
        value, precision = self.value * factor, self.precision * factor
        return StatedNumber(value, precision, self.kind, self.printed)


@dataclass(frozen=True, slots=True)
class StatedBarrel:
    """A barrel's stated numbers by field name; absent where not stated."""

    barrel: Barrel
    numbers: Mapping[str, StatedNumber]

    def value(self, name: str) -> float | None:
        """Return the stated value in SI, or None."""
        number = self.numbers.get(name)
        return None if number is None else number.value

    def with_number(self, name: str, number: StatedNumber) -> StatedBarrel:
        """Return the barrel as it would be with another number for one datum."""
        return StatedBarrel(self.barrel, {**self.numbers, name: number})


@dataclass(frozen=True, slots=True)
class StatedUnit:
    """An injection unit's stated numbers and those of its barrels, which share its drive."""

    bid: Bid
    unit: InjectionUnit
    numbers: Mapping[str, StatedNumber]
    barrels: tuple[StatedBarrel, ...]

    @property
    def is_reciprocating(self) -> bool:
        """Whether the method applies: to single-stage reciprocating screws, taken if not said."""
        return self.unit.unit_kind in (None, "reciprocating")

    def value(self, name: str) -> float | None:
        """Return the unit's stated value in SI, or None."""
        number = self.numbers.get(name)
        return None if number is None else number.value

    def with_barrel(self, index: int, barrel: StatedBarrel) -> StatedUnit:
        """Return the unit with one barrel exchanged."""
        barrels = (*self.barrels[:index], barrel, *self.barrels[index + 1 :])
        return StatedUnit(self.bid, self.unit, self.numbers, barrels)


def printed_precision(name: str, quantity: Quantity, kind: str, value: float) -> float:
    """Return how far a number may be off [SI]: as a person says, else what its digits hide."""
    if quantity.half_width is not None:
        return quantity.half_width * abs(value)
    digits = quantity.last_digit(kind)
    nominal = NOMINAL_PRECISION.get((name, quantity.unit == "in"))
    return digits if nominal is None else min(digits, nominal)


class KeptNumbers:
    """Stated numbers of things that are never changed, kept for as long as the thing itself.

    An edit exchanges one barrel of thousands: the others are the same objects as before.
    """

    def __init__(self) -> None:
        self._kept: dict[int, tuple[ReferenceType[Frozen], Mapping[str, StatedNumber]]] = {}

    def __len__(self) -> int:
        """Return how many things are kept."""
        return len(self._kept)

    def of(self, thing: Barrel | InjectionUnit) -> Mapping[str, StatedNumber]:
        """Return the numbers of a barrel or unit, read from it when it is first seen."""
        place = id(thing)
        kept = self._kept.get(place)
        if kept is not None and kept[0]() is thing:
            return kept[1]
        numbers = MappingProxyType(_stated_numbers(thing))
        self._kept[place] = (ref(thing, lambda gone: self._forget(place, gone)), numbers)
        return numbers

    def _forget(self, place: int, gone: ReferenceType[Frozen]) -> None:
        # Another thing may have come to the same place in the meantime.
        if place in self._kept and self._kept[place][0] is gone:
            del self._kept[place]


_KEPT = KeptNumbers()


def _stated_numbers(thing: Barrel | InjectionUnit) -> dict[str, StatedNumber]:
    stated = {}
    for name, datum, quantity in quantities(thing):
        kind = datum.kind_of(quantity.unit)
        value = quantity.si(kind)
        stated[name] = StatedNumber(
            value,
            printed_precision(name, quantity, kind, value),
            kind,
            f"{quantity.magnitude} {quantity.unit}",
        )
    return stated


def stated_units(evaluation: Evaluation) -> Iterator[StatedUnit]:
    """Yield every unit of every bid that counts in SI, in the order of the file."""
    for bid in evaluation.counting_bids:
        for unit in bid.units:
            barrels = tuple(StatedBarrel(barrel, _KEPT.of(barrel)) for barrel in unit.barrels)
            yield StatedUnit(bid, unit, _KEPT.of(unit), barrels)
