"""Two revisions of an offer as sheets: numbers, verdicts and price, before beside now."""

from __future__ import annotations

from typing import Any

from evenbarrel.appraisal.references import CriterionRef
from evenbarrel.decision.amount import Amount
from evenbarrel.decision.revision import ChangedDatum, ChangedPrice, Revision
from evenbarrel.model.datum import data_of
from evenbarrel.model.offers.bid import Barrel, Bid, InjectionUnit
from evenbarrel.model.quantity import Money, Quantity
from evenbarrel.wording.sentences.asking.carried import offer_name, screw_name
from evenbarrel.wording.sentences.cells import listed
from evenbarrel.wording.sentences.deciding.decision import verdict_text
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import job_name
from evenbarrel.wording.words.numbers import (
    ABSENT,
    counted,
    currency_amount,
    money,
    printed,
    signed_percent,
)

NONE_CHANGED = {
    "numbers": "Every number is as before.",
    "verdicts": "Every verdict is as before.",
    "prices": "Neither offer has a price that can be given.",
}
"""What stands where a sheet has no row."""
TITLES = {"numbers": "Numbers", "verdicts": "Verdicts", "prices": "Price"}
_PARTS = {
    "machine": "machine",
    "screw": "screw",
    "freight": "freight",
    "installation": "installation",
    "training": "training",
    "scope": "other items",
    "fill_in": "filled in by us",
}


def revision_title(revision: Revision) -> str:
    """Return which two offers are beside each other."""
    after, before = (
        offer_name(revision.evaluation, bid) for bid in (revision.after, revision.before)
    )
    return f"{after}, beside {before}"


def unpaired_line(revision: Revision) -> str:
    """Return which screws have no counterpart; "" where each has one."""
    parts = []
    for screws, word in ((revision.left, "only in the earlier offer"), (revision.added, "new")):
        if screws:
            parts.append(f"{listed([screw_name(one) for one in screws])} {word}")
    return f"Screws without a counterpart: {'; '.join(parts)}." if parts else ""


def revision_sheets(revision: Revision) -> tuple[Sheet, ...]:
    """Return numbers, verdicts and price, before beside now."""
    return _numbers(revision), _verdicts(revision), _prices(revision)


def tab_title(sheet: Sheet, revision: Revision) -> str:
    """Return what a sheet is called, with how much of it changed."""
    changed = len(sheet.rows)
    if sheet.key == "prices":
        changed = sum(one.before.value != one.after.value for one in revision.prices)
    return f"{TITLES[sheet.key]} ({changed or 'none'} changed)"


def _numbers(revision: Revision) -> Sheet:
    headings = (
        Heading("Of"),
        Heading("Datum"),
        Heading("Before", align="right"),
        Heading("Now", align="right"),
        Heading("Change"),
    )
    rows = tuple(
        (
            Cell(_of(one)),
            Cell(labels.datum_of(type(one.of), one.field)),
            Cell(_value(one.before)),
            Cell(_value(one.after)),
            Cell(_change(one)),
        )
        for one in revision.numbers
    )
    return Sheet("numbers", TITLES["numbers"], headings, rows)


def _verdicts(revision: Revision) -> Sheet:
    headings = (Heading("Screw"), Heading("Job"), Heading("Before"), Heading("Now"))
    rows = tuple(
        (
            Cell(screw_name(one.barrel)),
            Cell(job_name(revision.now, one.job)),
            Cell(verdict_text(one.before), state=one.before.state),
            Cell(
                verdict_text(one.after),
                state=one.after.state,
                reference=CriterionRef(one.barrel.id, one.job, one.after.binding or "capacity"),
            ),
        )
        for one in revision.verdicts
    )
    return Sheet("verdicts", TITLES["verdicts"], headings, rows)


def _prices(revision: Revision) -> Sheet:
    currency = revision.now.evaluation.currency
    headings = (
        Heading("Screw"),
        Heading("Landed before", align="right"),
        Heading("Landed now", align="right"),
        Heading("Change", align="right"),
        Heading("Where it changed"),
    )
    rows = tuple(
        (
            Cell(screw_name(one.barrel)),
            Cell(currency_amount(one.before.value, currency), one.before.value),
            Cell(currency_amount(one.after.value, currency), one.after.value),
            Cell(_difference(one.before, one.after, currency)),
            Cell(_where(one, currency)),
        )
        for one in revision.prices
    )
    return Sheet("prices", TITLES["prices"], headings, rows)


def _of(one: ChangedDatum) -> str:
    if isinstance(one.of, Barrel):
        return f"screw {screw_name(one.of)}"
    return "the offer" if isinstance(one.of, Bid) else one.of.designation or "the unit"


def _value(value: Any) -> str:
    if isinstance(value, Quantity):
        return printed(value)
    if isinstance(value, Money):
        return money(value)
    if value in (None, "", ()):
        return ABSENT
    if isinstance(value, tuple):
        return counted(len(value), "entry", "entries")
    return labels.choice(value) if isinstance(value, str) else str(value)


def _change(one: ChangedDatum) -> str:
    """Return by how much a number changed; nothing where one of the two is not stated."""
    before, after = one.before, one.after
    if isinstance(before, Money) and isinstance(after, Money):
        pair = (before.value(), after.value()) if before.currency == after.currency else None
    elif isinstance(before, Quantity) and isinstance(after, Quantity):
        owner: type[Barrel | InjectionUnit | Bid] = type(one.of)
        datum = data_of(owner)[one.field]
        pair = (before.si(datum.kind_of(before.unit)), after.si(datum.kind_of(after.unit)))
    else:
        pair = None
    return "" if pair is None or not pair[0] else signed_percent((pair[1] - pair[0]) / pair[0])


def _difference(before: Amount, after: Amount, currency: str) -> str:
    if before.value is None or after.value is None:
        return ""
    more = after.value - before.value
    return "as before" if not more else ("+" if more > 0 else "") + currency_amount(more, currency)


def _where(one: ChangedPrice, currency: str) -> str:
    parts = [
        f"{_PARTS.get(name, name)} {_difference(before, after, currency)}"
        for name, (before, after) in one.parts.items()
        if before.value is not None and after.value is not None and before.value != after.value
    ]
    return listed(parts) if parts else ""
