"""What becomes of each cell of a table: right and sure, right and marked, wrong, missed."""

from __future__ import annotations

from collections import Counter
from typing import Any, Literal

from evenbarrel.intake.extract import Extract, Line
from evenbarrel.intake.files import extract_text
from evenbarrel.model.datum_path import BarrelPath, BidPath, UnitPath
from evenbarrel.model.evaluation import Evaluation
from evenbarrel.model.offers.terms import ScopeLine
from evenbarrel.model.quantity import Money, Quantity

from .catalogue import Table

Outcome = Literal["sure", "marked", "said", "missed", "wrong, marked", "wrong, unmarked"]
OUTCOMES: tuple[Outcome, ...] = (
    "sure",
    "marked",
    "said",
    "missed",
    "wrong, marked",
    "wrong, unmarked",
)
"""Right and sure; right with a mark of doubt; rightly told to state nothing; not found; wrong."""
RIGHT = ("sure", "marked", "said")

NAMES = frozenset({"label", "designation"})


def text_of(value: Any) -> str:
    """Return a value as the catalogue writes it."""
    if isinstance(value, Quantity):
        return f"{value.magnitude} {value.unit}"
    if isinstance(value, Money):
        return f"{value.amount} {value.currency}"
    if isinstance(value, ScopeLine):
        return value.state
    return str(value)


def outcomes_of(table: Table, evaluation: Evaluation) -> Counter[Outcome]:
    """Return how many cells of a table came to what."""
    return Counter(outcome for _, outcome in cells_of(table, evaluation))


def cells_of(table: Table, evaluation: Evaluation) -> list[tuple[str, Outcome]]:
    """Return each cell of a pasted table, named, with what became of it; and what is beyond."""
    return cells_in(extract_text(evaluation, table.text), table)


def cells_in(extract: Extract, table: Table) -> list[tuple[str, Outcome]]:
    """Return each cell of a table, named, with what an extract made of it; and what is beyond."""
    expected = _expected(table, extract)
    found: list[tuple[str, Outcome]] = []
    for (owner, field), value in expected.items():
        lines = [one for one in extract.lines if one.thing == owner and _field_of(one) == field]
        found.append((f"{owner}.{field}", _outcome(value, lines)))
    for line in extract.lines:
        beyond = line.value is not None and (line.thing, _field_of(line)) not in expected
        if beyond and line.field not in NAMES:
            place = f"{line.thing}.{line.field} {text_of(line.value)}"
            found.append((place, "wrong, unmarked" if line.sure else "wrong, marked"))
    return found


def _outcome(value: str | None, lines: list[Line]) -> Outcome:
    values = [line for line in lines if line.value is not None]
    if value is None:
        if values:
            return "wrong, unmarked" if any(line.sure for line in values) else "wrong, marked"
        return "said" if lines else "missed"
    if not values:
        return "missed"
    wrong = [line for line in values if text_of(line.value) != value]
    if any(line.sure for line in wrong):
        return "wrong, unmarked"
    right = [line for line in values if text_of(line.value) == value]
    if not right:
        return "wrong, marked"
    return "sure" if any(line.sure for line in right) else "marked"


def _expected(table: Table, extract: Extract) -> dict[tuple[Any, str], str | None]:
    things = [line.thing for line in extract.lines]
    barrels = list(dict.fromkeys(one for one in things if isinstance(one, BarrelPath)))
    said = {(one.thing, one.field): text_of(one.value) for one in extract.lines if one.value}
    expected: dict[tuple[Any, str], str | None] = {}

    def named(barrel: BarrelPath, number: int) -> set[str]:
        label = said.get((barrel, "label"), "")
        unit = said.get((UnitPath(barrel.bid, barrel.unit), "designation"), "")
        return {label, f"{unit}:{label}", str(number)}

    for name, data in table.screws.items():
        owner = next((b for n, b in enumerate(barrels, 1) if name in named(b, n)), name)
        expected |= {(owner, field): value for field, value in data.items()}
    units = dict.fromkeys(UnitPath(b.bid, b.unit) for b in barrels)
    for name, data in table.units.items():
        known = [u for u in units if not name or said.get((u, "designation")) == name]
        owner = known[0] if known else f"unit {name}"
        expected |= {(owner, field): value for field, value in data.items()}
    bid = BidPath(extract.bid.bid)
    return expected | {(bid, field): value for field, value in table.bid.items()}


def _field_of(line: Line) -> str:
    """Return the field of a line, as `scope.freight` where it is of an item of the scope."""
    return f"{line.field}.{line.part}" if line.part else line.field
