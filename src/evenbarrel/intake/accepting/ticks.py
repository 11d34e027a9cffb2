"""Which lines of an extract a person means to take: one for each place, and what they need."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from evenbarrel.intake.extract import Extract, Line
from evenbarrel.model.datum_path import ProgrammePath, ResinPath
from evenbarrel.model.resin import Resin


def may_be_ticked(line: Line) -> bool:
    """Say whether a line has something to take."""
    return line.value is not None and line.thing is not None


def with_ticks(
    extract: Extract, ticked: frozenset[int], indices: Iterable[int], on: bool
) -> frozenset[int]:
    """Return what is ticked once these lines are, or no longer are.

    Of lines that go to one place the last that a person ticks stands; of many ticked at once the
    first. A resin that a line names and the extract would add is ticked with it.
    """
    if not on:
        return ticked - frozenset(indices)
    lines = extract.lines
    resins = {one.thing: at for at, one in enumerate(lines) if isinstance(one.value, Resin)}
    going: dict[object, list[int]] = defaultdict(list)
    for at, one in enumerate(lines):
        going[one.goes_to].append(at)
    now = set(ticked)
    filled: set[object] = set()
    for index in indices:
        line = lines[index]
        if not may_be_ticked(line) or line.goes_to in filled:
            continue
        if not isinstance(line.thing, ProgrammePath):
            filled.add(line.goes_to)
            now.difference_update(going[line.goes_to])
        now.add(index)
        needed = resins.get(ResinPath(str(line.value)))
        if needed is not None and any(one.code == "unknown_resin" for one in line.findings):
            now.add(needed)
    return frozenset(now)
