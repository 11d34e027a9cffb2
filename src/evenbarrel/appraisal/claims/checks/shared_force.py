"""The one force that the screws of a unit share."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from evenbarrel.appraisal.claims.verdict import within

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
    """

    force: float | None
    members: tuple[Screw, ...] = ()
    capped: tuple[Screw, ...] = ()
    by_size: bool = False
    one_pressure: bool = False

    def stands_without(self, places: Collection[int]) -> bool:
        """Say whether the force would be the same were nothing known of these screws."""
        if self.by_size:
            return True
        members = [screw for screw in self.members if screw.place not in places]
        capped = [screw for screw in self.capped if screw.place not in places]
        return len(members) >= 2 or (len(members) == len(self.members) and bool(capped))


def drive_of(screws: tuple[Screw, ...], by_size: float | None, agreement: float) -> Drive:
    """Find the force of the drive: by a pressure cap, else by the largest agreeing group.

    One pressure printed for screws of several sizes says nothing of it: it may be a common cap.
    """
    if _one_pressure(screws) and not _agree(screws, agreement):
        return Drive(None, one_pressure=True)
    by_cap = _by_pressure_cap(screws, by_size, agreement)
    return by_cap or _by_largest_group(screws, by_size, agreement)


def _one_pressure(screws: tuple[Screw, ...]) -> bool:
    pressures = [screw.pressure for screw in screws]
    return len(screws) > 1 and within(max(pressures) / min(pressures) - 1, 0.0)


def _by_pressure_cap(
    screws: tuple[Screw, ...], by_size: float | None, agreement: float
) -> Drive | None:
    capped = tuple(screw for screw in screws if at_highest(screw, screws))
    rest = tuple(screw for screw in screws if screw not in capped)
    if len(capped) < 2 or not rest or not _agree(rest, agreement):
        return None
    force = _mean(rest)
    if any(not within(screw.force / force - 1, agreement) for screw in capped):
        return None
    return Drive(force, rest, capped, _size_votes(rest, by_size))


def _by_largest_group(screws: tuple[Screw, ...], by_size: float | None, agreement: float) -> Drive:
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


def _size_votes(group: tuple[Screw, ...], by_size: float | None) -> bool:
    return by_size is not None and within(abs(_mean(group) / by_size - 1), VOTE_AGREEMENT)


def _agree(screws: tuple[Screw, ...], agreement: float) -> bool:
    forces = [screw.force for screw in screws]
    return within(max(forces) / min(forces) - 1, agreement)


def _mean(screws: tuple[Screw, ...]) -> float:
    return sum(screw.force for screw in screws) / len(screws)


def at_highest(screw: Screw, screws: tuple[Screw, ...]) -> bool:
    """Say whether a screw is printed with the unit's highest pressure, or as good as."""
    highest = max(other.pressure for other in screws)
    return within(highest / screw.pressure - 1, SAME_PRESSURE)
