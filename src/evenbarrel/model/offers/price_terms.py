"""What an offer says of its price, part by part: who asks what, and what it leaves out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from evenbarrel.model.offers.bid import Bid, InjectionUnit
from evenbarrel.model.offers.terms import OWN_AMOUNT, ScopeLine
from evenbarrel.model.quantity import Money


def machine_price(bid: Bid, unit: InjectionUnit) -> Money | None:
    """Return the price of a machine; the offer's where it names one total for its one machine."""
    return bid.price if unit.price is None and len(bid.units) == 1 else unit.price


def standard_barrel(unit: InjectionUnit) -> str | None:
    """Return the barrel that a machine's price includes, None where it cannot be told.

    The one that is named; else the only one, or the only one without a price difference.
    """
    if unit.standard_barrel is not None:
        return unit.standard_barrel
    if len(unit.barrels) == 1:
        only = unit.barrels[0]
        return only.id if only.price_difference is None else None
    silent = [barrel.id for barrel in unit.barrels if barrel.price_difference is None]
    return silent[0] if len(silent) == 1 else None


def scope_of(bid: Bid, listed: Sequence[str]) -> Iterator[tuple[ScopeLine, Money | None]]:
    """Yield what an offer says of each item of the scope, with the amount that is named for it."""
    scope = {line.item: line for line in bid.scope}
    for item in dict.fromkeys([*OWN_AMOUNT, *listed, *scope]):
        line = scope.get(item) or _silent_on(item)
        yield line, amount_of(bid, line)


@lru_cache
def _silent_on(item: str) -> ScopeLine:
    """Return the line of an item of which an offer says nothing: of all offers the same."""
    return ScopeLine(item=item)


def amount_of(bid: Bid, line: ScopeLine) -> Money | None:
    """Return the amount named for an item of the scope, wherever it stands."""
    if line.amount is not None or line.item not in OWN_AMOUNT:
        return line.amount
    own: Money | None = getattr(bid, line.item)
    return own
