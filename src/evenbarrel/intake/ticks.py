"""Which lines of a proposal a person means to take: one for each place, and what they need."""

from __future__ import annotations

from collections.abc import Iterable

from evenbarrel.intake.correcting import rivals
from evenbarrel.intake.proposal import Line, Proposal
from evenbarrel.model.datum_path import ResinPath
from evenbarrel.model.resin import Resin


def may_be_ticked(line: Line) -> bool:
    """Say whether a line has something to take."""
    return line.value is not None and line.thing is not None


def with_ticks(
    proposal: Proposal, ticked: frozenset[int], indices: Iterable[int], on: bool
) -> frozenset[int]:
    """Return what is ticked once these lines are, or no longer are.

    Of lines that go to one place the last that a person ticks stands; of many ticked at once the
    first. A resin that a line names and the proposal would add is ticked with it.
    """
    if not on:
        return ticked - frozenset(indices)
    now = set(ticked)
    added: set[int] = set()
    for index in indices:
        line = proposal.lines[index]
        others = rivals(proposal, index)
        if not may_be_ticked(line) or added.intersection(others):
            continue
        now.difference_update(others)
        now.add(index)
        added.add(index)
        now |= _resins_of(proposal, line)
    return frozenset(now)


def _resins_of(proposal: Proposal, line: Line) -> set[int]:
    """Return the lines that add the resin a line names."""
    if not any(one.code == "unknown_resin" for one in line.findings):
        return set()
    return {
        index
        for index, other in enumerate(proposal.lines)
        if isinstance(other.value, Resin) and other.thing == ResinPath(str(line.value))
    }
