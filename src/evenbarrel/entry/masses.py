"""A series of weighed masses, typed or pasted in their order."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenbarrel.entry.number import Refusal, read_number
from evenbarrel.model.quantity import Quantity
from evenbarrel.model.record.acceptance import WEIGHED
from evenbarrel.wording.sentences.deciding import standing_by as words

MOST_MASSES = 2000
_BETWEEN = re.compile(r"[\s;|]+|,(?=\s|$)")
"""A comma parts masses where a space follows it; else it is a decimal mark."""


@dataclass(frozen=True)
class ReadMasses:
    """The masses in their order, or in `problem` why none was taken; `echo` says what was read."""

    masses: tuple[Quantity, ...] = ()
    echo: str = ""
    problem: str = ""


def read_masses(text: str, unit: str) -> ReadMasses:
    """Return the masses in a text; `unit` is meant where none is typed. Never raises."""
    masses: list[Quantity] = []
    for number, line in enumerate(text.splitlines(), start=1):
        for cell in _cells(line):
            mass = _mass(cell, unit)
            if isinstance(mass, str):
                return ReadMasses(problem=words.mass_refused(number, cell, mass))
            masses.append(mass)
        if len(masses) > MOST_MASSES:
            return ReadMasses(problem=words.too_many_masses(MOST_MASSES))
    if not masses:
        return ReadMasses()
    return ReadMasses(tuple(masses), echo=words.masses_read([m.si("mass") for m in masses], unit))


def written_masses(masses: Sequence[Quantity], unit: str) -> str:
    """Return masses as text that reads back into themselves, one a line."""
    return "\n".join(
        mass.magnitude if mass.unit == unit else f"{mass.magnitude} {mass.unit}" for mass in masses
    )


def _cells(line: str) -> Iterator[str]:
    """Yield the numbers of a line; a word behind a number is its unit."""
    cell = ""
    for part in filter(None, _BETWEEN.split(line.strip())):
        if cell and part[0].isalpha() and not cell[-1].isalpha():
            yield f"{cell} {part}"
            cell = ""
            continue
        if cell:
            yield cell
        cell = part
    if cell:
        yield cell


def _mass(cell: str, unit: str) -> Quantity | str:
    """Return a mass, or why a cell is none."""
    entry = read_number(cell, WEIGHED.units, unit)
    if entry is None or isinstance(entry, Refusal):
        return "" if entry is None else entry.text
    problem = WEIGHED.problem(entry.magnitude, entry.unit)
    if problem is not None:
        return problem
    return Quantity(magnitude=entry.magnitude, unit=entry.unit, standing="measured")
