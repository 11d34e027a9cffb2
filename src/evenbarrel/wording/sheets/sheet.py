"""A sheet: what is shown side by side, decided once for screen, PDF and workbook."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from evenbarrel.appraisal.results import State

Reference = tuple[str, ...]
"""What a number can be opened to: ("criterion", barrel, job, key), ("claim", barrel or bid, key),
("volume", barrel), ("shot", job), ("factor", resin, route), ("question", id).

What a row waits for leads to a place instead: ("ways", barrel), ("rule", criterion, barrel),
("limit", resin, field), ("pin", job), ("claim", barrel, key), ("datum", *path)."""

Align = Literal["left", "right", "centre"]


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's title, its unit once, and how its cells lie."""

    title: str
    unit: str = ""
    align: Align = "left"
    tip: str = ""
    reference: Reference | None = None


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: worded and rounded for people, the plain number for a workbook.

    `tip` may be worded when it is asked for: most tips never are.
    """

    text: str
    value: float | None = None
    state: State | None = None
    tip: str | Callable[[], str] = ""
    reference: Reference | None = None

    def told(self) -> str:
        """Return the tip in words."""
        return self.tip if isinstance(self.tip, str) else self.tip()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A titled table; `rows` holds a cell for every heading. `notes` stand below it."""

    key: str
    title: str
    headings: tuple[Heading, ...]
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    row_references: tuple[Reference, ...] = ()
