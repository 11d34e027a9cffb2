"""A sheet: what is shown side by side, decided once for screen, PDF and workbook."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from evenbarrel.appraisal.references import Reference, WayOut
from evenbarrel.appraisal.results import State
from evenbarrel.wording.sentences.cells import ended

Align = Literal["left", "right", "centre"]


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's title, its unit once, and how its cells lie.

    `key` is what formulas call the column, where any does. Where a screen has no room for all
    columns those with the highest `yields` are left out first, all of one number together; those
    with 0 never are.
    """

    title: str
    unit: str = ""
    align: Align = "left"
    tip: str = ""
    reference: Reference | WayOut | None = None
    key: str = ""
    yields: int = 0


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: worded and rounded for people, the plain number for a workbook.

    `tip` may be worded when it is asked for: most tips never are. `formula` is how a
    workbook calculates the number anew (`live/formula.py`); `entered` says that a person may
    change it there, `as_typed` that it shows as many places as it has.
    """

    text: str
    value: float | None = None
    state: State | None = None
    tip: str | Callable[[], str] = ""
    reference: Reference | WayOut | None = None
    formula: str = ""
    entered: bool = False
    as_typed: bool = False

    def tip_text(self) -> str:
        """Return the tip in words."""
        return self.tip if isinstance(self.tip, str) else self.tip()


def count_cell(number: int, reference: Reference | None = None) -> Cell:
    """Return a count, and what it opens."""
    return Cell(str(number), float(number), reference=reference)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A titled table; `rows` holds a cell for every heading. `notes` stand below it."""

    key: str
    title: str
    headings: tuple[Heading, ...]
    rows: Sequence[tuple[Cell, ...]]
    notes: tuple[str, ...] = ()
    row_references: tuple[Reference | WayOut, ...] = ()


def said_once(sheet: Sheet, *titles: str) -> Sheet:
    """Return a sheet without those columns of these titles that hold one text in every row.

    What they hold becomes a note.
    """
    notes = list(sheet.notes)
    for place, heading in enumerate(sheet.headings):
        texts = {row[place].text for row in sheet.rows}
        if heading.title in titles and len(texts) == 1:
            notes.append(ended(f"{heading.title}, in every row: {texts.pop()}"))
            sheet = without_columns(sheet, frozenset({heading.title}))
            return said_once(replace(sheet, notes=tuple(notes)), *titles)
    return sheet


def without_columns(sheet: Sheet, titles: frozenset[str]) -> Sheet:
    """Return a sheet without the columns of these titles."""
    kept = [place for place, one in enumerate(sheet.headings) if one.title not in titles]
    return replace(
        sheet,
        headings=tuple(sheet.headings[place] for place in kept),
        rows=tuple(tuple(row[place] for place in kept) for row in sheet.rows),
    )
