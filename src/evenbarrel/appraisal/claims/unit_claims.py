"""The claims of units that the screen clears: judged only when somebody reads them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import overload

from evenbarrel.appraisal.claims.causes import find_causes
from evenbarrel.appraisal.claims.context import ClaimContext
from evenbarrel.appraisal.claims.doubt import is_failed
from evenbarrel.appraisal.claims.registry import claims_of
from evenbarrel.appraisal.claims.screening import nothing_failed
from evenbarrel.appraisal.inputs.stated import StatedUnit
from evenbarrel.appraisal.results import Claim, ResinResult
from evenbarrel.model.limits import Limits
from evenbarrel.trade.formula import silently


@dataclass(frozen=True)
class _UnitInOrder:
    """A unit all of whose claims agree or are not stated."""

    unit: StatedUnit
    resins: Mapping[str, ResinResult]
    limits: Limits

    @cached_property
    def claims(self) -> tuple[tuple[Claim, ...], ...]:
        return claims_of(ClaimContext(self.unit, self.resins, self.limits))


class ClaimsInOrder(Sequence[Claim]):
    """The claims of one barrel of a unit without a failed claim, in the order of KEYS."""

    __slots__ = ("_index", "_unit")

    def __init__(self, unit: _UnitInOrder, index: int) -> None:
        self._unit, self._index = unit, index

    @overload
    def __getitem__(self, place: int) -> Claim: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Claim]: ...
    def __getitem__(self, place: int | slice) -> Claim | Sequence[Claim]:
        return self._all[place]

    def __len__(self) -> int:
        return len(self._all)

    def __iter__(self) -> Iterator[Claim]:
        return iter(self._all)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and self._all == tuple(other)

    def __hash__(self) -> int:
        return hash(self._all)

    @property
    def _all(self) -> tuple[Claim, ...]:
        return self._unit.claims[self._index]


UnitClaims = Sequence[Sequence[Claim]]
"""The claims of each barrel of a unit, in the order of KEYS."""


def barrel_claims(
    unit: StatedUnit, resins: Mapping[str, ResinResult], limits: Limits
) -> tuple[tuple[Claim, ...], ...]:
    """Return the claims of each barrel of a unit, its own and the unit's, in the order of KEYS.

    A failed claim carries the slips that would explain it.
    """
    case = ClaimContext(unit, resins, limits)
    with silently():
        return find_causes(case, claims_of(case))


def claims_of_units(
    units: Sequence[StatedUnit], resins: Mapping[str, ResinResult], limits: Limits
) -> list[UnitClaims]:
    """Return what `barrel_claims` gives of every unit, faster where all claims of a unit hold."""
    holds = nothing_failed(units, resins, limits)
    return [
        _lazily(_UnitInOrder(unit, resins, limits)) if held else barrel_claims(unit, resins, limits)
        for unit, held in zip(units, holds, strict=True)
    ]


def _lazily(unit: _UnitInOrder) -> UnitClaims:
    return [ClaimsInOrder(unit, index) for index in range(len(unit.unit.barrels))]


def failed_claims(claims: Sequence[Claim]) -> tuple[Claim, ...]:
    """Return those of a barrel's claims that failed, without judging what the screen cleared."""
    return () if isinstance(claims, ClaimsInOrder) else tuple(filter(is_failed, claims))
