"""Cells of amounts: rounded, marked where nobody states them, opening how they came about."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from evenbarrel.appraisal.references import AmountRef, DatumRef, MachineRef, WayOut
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.decide import Decision
from evenbarrel.wording.sentences.deciding.choice import missing_text
from evenbarrel.wording.sheets.sheet import Cell, Heading
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words.names import barrel_name, supplier_name
from evenbarrel.wording.words.numbers import ABSENT

COMPLETE = "nothing"
UNKNOWN = " + ?"
"""Behind an amount of which a part is not stated."""
AS_ALL = "common items"
NEEDED = "As many as its jobs need: for their hours, and to separate jobs that must never share one"
NAMING: tuple[Heading, Heading] = (Heading("Supplier"), Heading("Barrel"))


def named(decision: Decision, barrel: str) -> tuple[Cell, Cell]:
    """Return the two cells that name a barrel."""
    appraisal = decision.appraisal
    return Cell(supplier_name(appraisal, barrel)), Cell(barrel_name(appraisal, barrel))


def amount_text(amount: Amount) -> str:
    """Return an amount in whole units with its mark; "+ ?" where a part of it is not stated."""
    if amount.value is None:
        return ABSENT
    number = f"{amount.value:,.0f}".replace(",", "\u202f").replace("-", "−")
    unknown = UNKNOWN if amount.missing else ""
    return f"{number if number != '−0' else '0'}{unknown}{words.MARKS[amount.standing]}"


def amount_cell(amount: Amount, reference: AmountRef) -> Cell:
    """Return an amount that opens how it came about."""
    tip = words.STANDINGS[amount.standing].capitalize()
    if amount.missing:
        tip = f"Not stated: {missing_list(amount.missing)}"
    return Cell(amount_text(amount), amount.value, tip=tip, reference=reference)


def of_offer(barrel: str, name: str) -> AmountRef:
    """Return which amount of a barrel's offer."""
    return AmountRef("offer", (MachineRef(barrel),), name)


def missing_list(names: Iterable[str]) -> str:
    """Return what is not stated, listed."""
    return ", ".join(dict.fromkeys(missing_text(name) for name in names))


def missing_cell(
    names: Sequence[str], place: WayOut | None = None, *, all_lack: bool = False
) -> Cell:
    """Return what is not stated, or that all is; it opens where that is entered.

    Where `all_lack` something, what is told is no more than what others lack too.
    """
    if not names:
        return Cell(AS_ALL, state="not_stated") if all_lack else Cell(COMPLETE, state="inside")
    text = missing_list(names)
    return Cell(text, state="not_stated", tip=text, reference=place)


def place_of_datum(decision: Decision, barrel: str, names: Sequence[str]) -> DatumRef | None:
    """Return where the first of some missing data of an offer is entered, None where it is ours."""
    bid, unit, _ = decision.appraisal.evaluation.place(barrel)
    if not names:
        return None
    first = names[0].partition(".")[2] or names[0]
    if first == "machine":
        return DatumRef(("bids", bid.id, "units", unit.id, "price"))
    if first == "screw":
        return DatumRef((*decision.appraisal.evaluation.barrel_path(barrel), "price_difference"))
    return DatumRef(("bids", bid.id, first)) if first in type(bid).model_fields else None
