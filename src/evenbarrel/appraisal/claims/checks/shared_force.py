"""The one force that the screws of a unit share."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import pairwise

from evenbarrel.appraisal.claims.agreement import within
from evenbarrel.appraisal.inputs.implied import ImpliedNumber

SAME_PRESSURE = 0.005
VOTE_AGREEMENT = 0.05
"""Shares; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Screw:
    """One screw that pushes: diameter [m], melt pressure [Pa], force [N], precision (share).

    `place` is that of its barrel in the unit.
    """

    place: int
    diameter: float
    pressure: float
    force: float
    precision: float


@dataclass(frozen=True, slots=True)
class Drive:
    """The force the screws of one unit share [N], None where no two agree.

    `members` are the screws it is the mean of; `capped` those below it, or above it within the
    agreement, because the barrel's pressure is limited. `by_size`: the size number speaks for it
    too. `one_pressure`: all screws are printed with one pressure, which one drive cannot give.
    `own_caps`: every screw has a limit of its own, and the largest gives the force.
    """

    force: float | None
    members: tuple[Screw, ...] = ()
    capped: tuple[Screw, ...] = ()
    by_size: bool = False
    one_pressure: bool = False
    own_caps: bool = False

    def stands_without(self, places: Collection[int]) -> bool:
        """Say whether the force would be the same were nothing known of these screws."""
        if self.by_size:
            return True
        members = [screw for screw in self.members if screw.place not in places]
        capped = [screw for screw in self.capped if screw.place not in places]
        if self.own_caps:
            return len(members) + len(capped) >= 2
        return len(members) >= 2 or (len(members) == len(self.members) and bool(capped))


def drive_of(screws: tuple[Screw, ...], by_size: ImpliedNumber | None, agreement: float) -> Drive:
    """Find the force of the drive: by a pressure cap, else by the largest agreeing group.

    Where no two screws agree, each may have its own cap; else the size number speaks for one. One
    pressure printed for screws of several sizes says nothing: it may be a common cap.
    """
    if _one_pressure(screws) and not _agree(screws, agreement):
        return Drive(None, one_pressure=True)
    by_cap = _by_pressure_cap(screws, by_size, agreement)
    if by_cap is not None:
        return by_cap
    by_group = _by_largest_group(screws, by_size, agreement)
    if len(by_group.members) >= 2:
        return by_group
    return _by_own_caps(screws, by_size, agreement) or by_group


def _one_pressure(screws: tuple[Screw, ...]) -> bool:
    pressures = [screw.pressure for screw in screws]
    return len(screws) > 1 and within(max(pressures) / min(pressures) - 1, 0.0)


def _by_pressure_cap(
    screws: tuple[Screw, ...], by_size: ImpliedNumber | None, agreement: float
) -> Drive | None:
    capped = tuple(screw for screw in screws if at_highest(screw, screws))
    rest = tuple(screw for screw in screws if screw not in capped)
    if len(capped) < 2 or not rest or not _agree(rest, agreement):
        return None
    force = _mean(rest)
    if any(not within(screw.force / force - 1, agreement) for screw in capped):
        return None
    return Drive(force, rest, capped, _size_votes(rest, by_size))


def _by_own_caps(
    screws: tuple[Screw, ...], by_size: ImpliedNumber | None, agreement: float
) -> Drive | None:
    """Take the largest screw's force where the smaller ones are plainly held back from it."""
    rising = sorted(screws, key=lambda screw: screw.diameter)
    if len(rising) < 2 or not are_held_back(screws, agreement):
        return None
    largest = rising[-1:]
    return Drive(
        largest[0].force,
        tuple(largest),
        tuple(rising[:-1]),
        _size_votes(tuple(largest), by_size),
        own_caps=True,
    )


def are_held_back(screws: Iterable[Screw], agreement: float) -> bool:
    """Say whether each screw may be held back from the force of the largest by its own limit.

    Barrels are limited each for itself: from screw to larger screw the pressure falls or stays
    and the force rises or stays. A number that slipped breaks the one or the other.
    """
    rising = sorted(screws, key=lambda screw: screw.diameter)
    return all(
        within(larger.pressure / smaller.pressure - 1, SAME_PRESSURE)
        and within(smaller.force / larger.force - 1, agreement)
        for smaller, larger in pairwise(rising)
    )


def _by_largest_group(
    screws: tuple[Screw, ...], by_size: ImpliedNumber | None, agreement: float
) -> Drive:
    groups = [
        tuple(screw for screw in screws if _reaches(least, screw, agreement)) for least in screws
    ]
    voted = [(len(group) + _size_votes(group, by_size), group) for group in groups]
    votes, best = max(
        voted, key=lambda pair: (pair[0], max(screw.diameter for screw in pair[1])), default=(0, ())
    )
    if votes < 2:
        return Drive(None)
    return Drive(_mean(best), best, by_size=_size_votes(best, by_size))


def _reaches(least: Screw, screw: Screw, agreement: float) -> bool:
    return screw.force >= least.force and within(screw.force / least.force - 1, agreement)


def _size_votes(group: tuple[Screw, ...], by_size: ImpliedNumber | None) -> bool:
    if by_size is None:
        return False
    return within(abs(_mean(group) / by_size.value - 1), VOTE_AGREEMENT + by_size.precision)


def _agree(screws: tuple[Screw, ...], agreement: float) -> bool:
    forces = [screw.force for screw in screws]
    return within(max(forces) / min(forces) - 1, agreement)


def _mean(screws: tuple[Screw, ...]) -> float:
    return sum(screw.force for screw in screws) / len(screws)


def at_highest(screw: Screw, screws: tuple[Screw, ...]) -> bool:
    """Say whether a screw is printed with the unit's highest pressure, or as good as."""
    highest = max(other.pressure for other in screws)
    return within(highest / screw.pressure - 1, SAME_PRESSURE)
