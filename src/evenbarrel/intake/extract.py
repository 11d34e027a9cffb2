"""An extract: what was found, as what it was read, how sure and why, and what stands there now."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from evenbarrel.model.datum_path import BidPath, ThingPath
from evenbarrel.model.offers.terms import Document, ScopeLine
from evenbarrel.model.quantity import Money, Quantity

Outcome = Literal["fills", "same", "differs", "differs_from_confirmed", "not_read"]
"""What taking a line would do: fill an empty datum, nothing, change one, change one that was
confirmed or measured; or it cannot be taken."""

HARMLESS = frozenset(
    {
        *("formula", "text_number", "also_stated", "resin_in_label", "two_units", "corrected"),
        *("matched", "mark_settled", "table_resin", "noted"),
    }
)
"""Findings that are said and leave a line as sure as it was."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something noticed while reading: its code, and the words or number it is about."""

    code: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class FoundAt:
    """Where a text was found: row and column count from 1; `sheet` is empty for pasted text.

    Column 0 is what has no columns: an entry of a file, or of what `sheet` names. Of what was read
    off a page also the `page`, from 1, and the `box` round the text [pt], left, bottom, right and
    top from the page's lower left corner.
    """

    row: int
    column: int
    sheet: str = ""
    page: int | None = None
    box: tuple[float, float, float, float] | None = None

    def __str__(self) -> str:
        """Return the place as people say it: `Data!E7`, `p. 3`, `row 7, column 5`, `entry 7`."""
        if self.page is not None:
            return f"p. {self.page}"
        if not self.column:
            return self.sheet or f"entry {self.row}"
        if not self.sheet:
            return f"row {self.row}, column {self.column}"
        letters, column = "", self.column
        while column:
            column, rest = divmod(column - 1, 26)
            letters = chr(ord("A") + rest) + letters
        return f"{self.sheet}!{letters}{self.row}"


@dataclass(frozen=True, slots=True)
class Line:
    """One text that was found, the datum it is taken to be, and the value read from it.

    `thing` and `field` say where it would go, None and "" where nobody knows; a line of the scope
    has its item in `part`. `value` is None where nothing can be taken; `now` is what stands there.
    `beside` is the unit's text that is printed beside it.
    """

    place: FoundAt
    label: str
    text: str
    thing: ThingPath | None = None
    field: str = ""
    part: str = ""
    value: Any = None
    findings: tuple[Finding, ...] = ()
    now: Any = None
    beside: str = ""

    @property
    def goes_to(self) -> tuple[ThingPath | None, str, str]:
        """The one place in the evaluation that the line is for."""
        return self.thing, self.field, self.part

    @property
    def sure(self) -> bool:
        """Whether there is a value and nothing speaks against it."""
        return self.value is not None and all(one.code in HARMLESS for one in self.findings)

    @property
    def is_corrected(self) -> bool:
        """Whether a person put it right."""
        return any(one.code == "corrected" for one in self.findings)

    @property
    def outcome(self) -> Outcome:
        """What taking the line would do."""
        if self.value is None or self.thing is None:
            return "not_read"
        if self.now is None or self.now in ("", ()):
            return "fills"
        if same_value(self.value, self.now):
            return "same"
        confirmed = getattr(self.now, "standing", "") in ("confirmed", "measured")
        return "differs_from_confirmed" if confirmed else "differs"


@dataclass(frozen=True, slots=True)
class Extract:
    """Every line that was found, in order; `document` is the file they stand in, if any.

    `bid` is the bid they are for; it may be new, and so may its units and barrels: their paths name
    ids that nothing in the evaluation has. `name` is what people call what was read. One that
    `is_returned` is of a data sheet that was sent for a bid: what it says answers what was asked.
    """

    bid: BidPath
    lines: tuple[Line, ...]
    document: Document | None = None
    name: str = ""
    is_returned: bool = False

    def sure_lines(self) -> tuple[int, ...]:
        """Return the places in `lines` of what may be taken unseen: sure, and filling a gap."""
        return tuple(
            index for index, line in enumerate(self.lines) if line.sure and line.outcome == "fills"
        )


def same_value(one: Any, other: Any) -> bool:
    """Say whether two values of a datum are the same number, however each is sourced."""
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        return one.unit == other.unit and Decimal(one.magnitude) == Decimal(other.magnitude)
    if isinstance(one, Money) and isinstance(other, Money):
        return one.currency == other.currency and Decimal(one.amount) == Decimal(other.amount)
    if isinstance(one, ScopeLine) and isinstance(other, ScopeLine):
        amounts = (one.amount, other.amount)
        alike = amounts[0] == amounts[1] or (None not in amounts and same_value(*amounts))
        return one.state == other.state and alike
    return bool(one == other)
