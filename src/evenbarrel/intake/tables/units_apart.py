"""Which unit the screws of a table belong to where no name says it: told by strokes and titles.

One drive has one stroke, so tables with other strokes are of other units; so are worksheets, and
tables under other titles, that print the same data of other screws.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from evenbarrel.intake.keys import DatumKey
from evenbarrel.intake.tables.cells import Cell
from evenbarrel.intake.tables.labels import is_like_a_name, names_a_screw
from evenbarrel.intake.tables.layout import Block
from evenbarrel.intake.tables.printed_screws import PrintedScrew, are_one, title_of
from evenbarrel.intake.tables.synonyms import squeezed

_SAME_STROKE = 0.01
"""Two prints of one stroke in two units differ by no more than rounding [share]."""

Screws = list[PrintedScrew]


@dataclass
class _Unit:
    """What is known of a unit as far as tables were looked at."""

    name: str
    title: Cell | None
    blocks: list[int] = field(default_factory=list)
    screws: Screws = field(default_factory=list)
    sheets: set[str] = field(default_factory=set)

    @property
    def strokes(self) -> list[float]:
        """Its strokes as printed [m]."""
        return [one.stroke for one in self.screws if one.stroke is not None]

    @property
    def data(self) -> set[DatumKey]:
        """What is printed of its screws."""
        return {key for one in self.screws for key, _ in one.printed}


def units_apart(every: Sequence[Screws], blocks: Sequence[Block]) -> list[Screws]:
    """Return the screws of each block, those of several units that nobody named told apart.

    Such a unit is called as the title of its table or of its worksheet is, if that is like a name,
    else it is numbered. Screws of one without a name, or that may be of several, are doubtful.
    """
    every = _machines_apart(every)
    units: list[_Unit] = []
    doubtful: set[int] = set()
    for at, (screws, block) in enumerate(zip(every, blocks, strict=True)):
        if not screws or all(one.is_unit for one in screws):
            continue
        found = _Unit(_name_of(screws), title_of(block), [at], [*screws], {_sheet_of(block)})
        alike = [one for one in units if squeezed(one.name) == squeezed(found.name)]
        fitting = [one for one in alike if _may_be(one, found)]
        named_here = any(one.names_unit for one in screws)
        if named_here or not alike:
            fitting = alike
        elif not fitting and not all(_strokes_differ(one, found) for one in alike):
            doubtful.add(at)
        chosen = [one for one in fitting if _share_screws(one, found)] or fitting[-1:]
        if len(chosen) > 1 or (len(fitting) > 1 and not _share_screws(chosen[0], found)):
            doubtful.add(at)
        if chosen:
            _put_into(chosen[0], found)
        else:
            units.append(found)
    return _named_apart(every, units, doubtful)


def _machines_apart(every: Sequence[Screws]) -> list[Screws]:
    """Return the screws, columns that are whole machines as units of their own.

    Where each column has another stroke, what stands over it names its machine; where some have,
    which of them are of one unit is open.
    """
    found = [one for screws in every if _are_machines(screws) for one in screws]
    names = {squeezed(one.column.label) for one in found}
    units = []
    for screws in every:
        by_place = bool(screws) and not any(map(_is_labelled, screws))
        is_named = any(one.column.designation for one in screws)
        if by_place and all(squeezed(one.column.label) in names for one in screws):
            units.append([_machine(one) for one in screws])
        elif not is_named and len(_strokes_of(screws)) > 1:
            units.append([replace(one, is_doubtful=True) for one in screws])
        else:
            units.append(screws)
    return units


def _are_machines(screws: Screws) -> bool:
    if len(screws) < 2 or any(map(_is_labelled, screws)):
        return False
    named = all(one.label is not None and is_like_a_name(one.label.text) for one in screws)
    return named and len(_strokes_of(screws)) == len(screws)


def _is_labelled(screw: PrintedScrew) -> bool:
    """Say whether a column is said to be a screw or of a unit, by more than where it stands."""
    column = screw.column
    return screw.certain_name or screw.is_unit or bool(column.designation) or not column.label


def _strokes_of(screws: Screws) -> list[float]:
    """Return the strokes that differ by more than rounding [m]."""
    found: list[float] = []
    for one in screws:
        if one.stroke is not None and all(_are_other(one.stroke, other) for other in found):
            found.append(one.stroke)
    return found


def _are_other(one: float, other: float) -> bool:
    return abs(one - other) > _SAME_STROKE * max(one, other)


def _machine(screw: PrintedScrew) -> PrintedScrew:
    """Return a column as the one screw of its machine, by whose name other tables know it."""
    assert screw.label is not None
    column = replace(screw.column, designation=screw.label.text)
    return replace(screw, column=column, label=None, unit_title=screw.label, names_unit=True)


def _put_into(unit: _Unit, found: _Unit) -> None:
    unit.blocks += found.blocks
    unit.screws += found.screws
    unit.sheets |= found.sheets


def _may_be(unit: _Unit, found: _Unit) -> bool:
    """Say whether a table may be of a unit that other tables are of."""
    if _strokes_differ(unit, found):
        return False
    is_elsewhere = unit.sheets.isdisjoint(found.sheets) or _titles_differ(unit, found)
    is_stated_again = bool(unit.data & found.data) and not _share_screws(unit, found)
    of_screws = all(map(names_a_screw, found.sheets))
    return not (is_elsewhere and is_stated_again) or of_screws


def _share_screws(unit: _Unit, found: _Unit) -> bool:
    return any(are_one(one, other) for one in found.screws for other in unit.screws)


def _titles_differ(unit: _Unit, found: _Unit) -> bool:
    titles = [squeezed(one.title.text) for one in (unit, found) if one.title is not None]
    return len(titles) > 1 and titles[0] != titles[1]


def _strokes_differ(unit: _Unit, found: _Unit) -> bool:
    one, other = unit.strokes, found.strokes
    apart = all(_are_other(a, b) for a in one for b in other)
    return bool(one) and bool(other) and apart


def _named_apart(
    every: Sequence[Screws], units: Sequence[_Unit], doubtful: set[int]
) -> list[Screws]:
    parted = [list(screws) for screws in every]
    titles = Counter(squeezed(one.title.text) for one in units if one.title is not None)
    for unit in units:
        if unit.title is not None and titles[squeezed(unit.title.text)] > 1:
            unit.title = None
        alike = [one for one in units if squeezed(one.name) == squeezed(unit.name)]
        is_named = any(one.names_unit for one in unit.screws)
        apart = len(alike) > 1 and not is_named
        for at in unit.blocks:
            if apart:
                parted[at] = [_called(one, unit, alike.index(unit) + 1) for one in parted[at]]
            if at in doubtful:
                parted[at] = [replace(one, is_doubtful=True) for one in parted[at]]
    _give_units_data(parted, every, units)
    return parted


def _give_units_data(
    of_units: list[Screws], every: Sequence[Screws], units: Sequence[_Unit]
) -> None:
    """Put data of a unit alone to the one unit of their worksheet; else they are doubtful."""
    for at, screws in enumerate(every):
        if not screws or not all(one.is_unit for one in screws):
            continue
        if any(one.names_unit for one in screws):
            continue
        alike = [one for one in units if squeezed(one.name) == squeezed(_name_of(screws))]
        if len(alike) < 2:
            continue
        sheet = screws[0].sheet
        here = [one for one in alike if sheet and sheet in one.sheets]
        if len(here) == 1:
            of_units[at] = [_called(one, here[0], alike.index(here[0]) + 1) for one in screws]
        else:
            of_units[at] = [replace(one, is_doubtful=True) for one in screws]


def _called(screw: PrintedScrew, unit: _Unit, number: int) -> PrintedScrew:
    """Return a screw as one of a unit that its title names, else its number."""
    if unit.title is not None:
        column = replace(screw.column, designation=unit.title.text)
        return replace(screw, column=column, unit_title=unit.title)
    column = replace(screw.column, designation="", unit_number=number)
    return replace(screw, column=column, is_doubtful=True)


def _name_of(screws: Screws) -> str:
    return next((one.column.designation for one in screws if one.column.designation), "")


def _sheet_of(block: Block) -> str:
    return block[0].label.place.sheet
