"""An amount of money that knows how it came about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import isfinite
from typing import Literal

from evenbarrel.model.quantity import Money
from evenbarrel.trade.ownership import cost as formulas

Standing = Literal["stated", "assumed", "ours", "missing"]
"""Stated by whoever offers or measures it; assumed where only an assumption stands behind it;
ours where a person filled in what the offer leaves out; missing where it cannot be had."""
GRAVEST: tuple[Standing, ...] = ("missing", "ours", "assumed", "stated")

SUM = "sum"
"""Stands for the formula of an amount that its parts add up to."""


@dataclass(frozen=True, slots=True)
class Amount:
    """One amount with its working; None where it cannot be had.

    `formula` names a function of `trade.ownership.cost` and `inputs` are its arguments, so that it
    can be computed again; a sum holds `parts` instead. `of` says which part, job or line it is,
    `printed` what a document says in its own currency. `missing` names the data not stated.
    """

    of: str
    value: float | None
    standing: Standing = "stated"
    formula: str | None = None
    inputs: Mapping[str, float] = field(default_factory=dict)
    parts: tuple[Amount, ...] = ()
    printed: Money | None = None
    missing: tuple[str, ...] = ()

    @property
    def counted(self) -> float:
        """What it adds to a sum: 0 where it is missing."""
        return 0.0 if self.value is None else self.value


def computed(
    of: str,
    formula: str,
    inputs: Mapping[str, float],
    standing: Standing = "stated",
    parts: tuple[Amount, ...] = (),
    printed: Money | None = None,
) -> Amount:
    """Return what a formula of `trade.ownership.cost` gives; missing where it is no finite number.

    What is missing in its parts stays named.
    """
    value = _given(formula, tuple(inputs.items()))
    if not isfinite(value):
        return absent(of, "out_of_range")
    missing = tuple(dict.fromkeys(name for part in parts for name in part.missing))
    return Amount(of, value, standing, formula, inputs, parts, printed, missing)


@lru_cache(maxsize=20_000)
def _given(formula: str, inputs: tuple[tuple[str, float], ...]) -> float:
    """Return what a formula gives; most amounts of one edit are those of the last."""
    value: float = getattr(formulas, formula)(**dict(inputs))
    return value


def absent(of: str, *missing: str, printed: Money | None = None) -> Amount:
    """Return an amount that cannot be had for want of these data."""
    return Amount(of, None, "missing", printed=printed, missing=missing)


def total(of: str, parts: Sequence[Amount], known: bool = True) -> Amount:
    """Return the sum of the parts that are known; missing where it is not `known`, or no number.

    What is missing in it stays named. A sum of nothing is 0.
    """
    value = sum((part.counted for part in parts), 0.0)
    missing = tuple(dict.fromkeys(name for part in parts for name in part.missing))
    if not known or not isfinite(value):
        missing = missing if isfinite(value) else (*missing, "out_of_range")
        return Amount(of, None, "missing", SUM, parts=tuple(parts), missing=missing)
    counted = {part.standing for part in parts if part.value is not None}
    gravest = next((standing for standing in GRAVEST if standing in counted), GRAVEST[-1])
    return Amount(of, value, gravest, SUM, parts=tuple(parts), missing=missing)
