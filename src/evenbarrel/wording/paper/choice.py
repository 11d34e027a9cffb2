"""What the written evaluation says of offers, costs, order, sets of machines and the proposal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from evenbarrel.decision.decide import Decision
from evenbarrel.wording.sentences.deciding.choice import common_missing
from evenbarrel.wording.sheets.decision.cells import missing_list
from evenbarrel.wording.sheets.decision.cost import cost_sheet
from evenbarrel.wording.sheets.decision.cover import cover_sheet
from evenbarrel.wording.sheets.decision.offers import offers_sheet
from evenbarrel.wording.sheets.decision.open_points import open_points_sheet
from evenbarrel.wording.sheets.decision.order import order_sheet, shares_sheet
from evenbarrel.wording.sheets.decision.proposal import proposal_sheet
from evenbarrel.wording.sheets.sheet import Sheet, without_columns
from evenbarrel.wording.standing_by.masking import ORDER_MASKED, prices_masked
from evenbarrel.wording.words.amounts import JOBS_UNDECIDED

AS_OFFERED = "price items as above"
_ELSEWHERE: Mapping[str, frozenset[str]] = {
    "offers_footing": frozenset({"Delivery", "Valid until", "Warranty", "Payment"}),
    "order": frozenset({"Gate", "Delivery", "Warranty"}),
    "cover": frozenset({"Its cost", "Price"}),
}
"""Columns by the key of their sheet that stand elsewhere in the document, or have no room."""
_OF_MONEY = frozenset({"Today", "A year", "Rank", "Levelled", "As stated", "Levelled by"})
"""Columns of the proposal and of the order that go by prices."""


def is_costed(decision: Decision) -> bool:
    """Say whether anything is stated that offers may be compared by beyond their fit."""
    offered = (offer for offer in decision.offers.values() if not offer.owned)
    priced = any(offer.price.value is not None for offer in offered)
    return priced or not decision.basis.undated or decision.proposal is not None


def choice_sheets(decision: Decision) -> tuple[Sheet, ...]:
    """Return the tables of a choice in the order of the work, the proposal first.

    None where nothing is stated that offers may be compared by beyond their fit.
    """
    if not is_costed(decision):
        return ()
    costed = (offers_sheet(decision), cost_sheet(decision))
    sheets = (*_proposed(decision), *costed, *_ordered(decision))
    return tuple(sheet for sheet in sheets if sheet.rows)


def chosen_sheets(decision: Decision) -> tuple[Sheet, ...]:
    """Return the same without offers and costs, which stand as they are calculated elsewhere.

    What is not known about the proposal is in it.
    """
    if not is_costed(decision):
        return ()
    open_points = (
        () if decision.proposal is None else (open_points_sheet(decision, decision.proposal),)
    )
    if prices_masked(decision.appraisal):
        proposed, *order = _without_prices(decision)
        return tuple(sheet for sheet in (proposed, *open_points, *order) if sheet.rows)
    sheets = (*_proposed(decision), *open_points, *_ordered(decision))
    return tuple(sheet for sheet in sheets if sheet.rows)


def _proposed(decision: Decision) -> tuple[Sheet, ...]:
    result = decision.proposal
    return () if result is None else (proposal_sheet(decision, result),)


def _ordered(decision: Decision) -> tuple[Sheet, ...]:
    return (
        order_sheet(decision),
        shares_sheet(decision),
        cover_sheet(decision, decision.cover),
    )


def printed_choice_sheets(decision: Decision) -> tuple[Sheet, ...]:
    """Return the same with the columns there is room for on paper, what lacks told once."""
    none: frozenset[str] = frozenset()
    if prices_masked(decision.appraisal):
        return _without_prices(decision)
    sheets = (
        _lacking_once(decision, sheet) if sheet.key == "life_cost" else sheet
        for sheet in choice_sheets(decision)
    )
    return tuple(without_columns(sheet, _ELSEWHERE.get(sheet.key, none)) for sheet in sheets)


def _without_prices(decision: Decision) -> tuple[Sheet, ...]:
    """Return the proposal and the order as far as neither goes by what is masked."""
    order = order_sheet(decision)
    kept = (note for note in order.notes if note == JOBS_UNDECIDED)
    order = replace(order, notes=(ORDER_MASKED, *kept))
    sheets = (*_proposed(decision), without_columns(order, _ELSEWHERE["order"] - {"Gate"}))
    return tuple(without_columns(sheet, _OF_MONEY) for sheet in sheets if sheet.rows)


def _lacking_once(decision: Decision, sheet: Sheet) -> Sheet:
    """Return the costs without naming again what a price lacks: the offers above them do."""
    place = next(n for n, heading in enumerate(sheet.headings) if heading.title == "Not stated")
    common = common_missing(decision)
    rows = []
    for row, cost in zip(sheet.rows, decision.cost.values(), strict=True):
        lacking = decision.offers[cost.barrel].lacking
        own = [name for name in cost.missing if name not in (*common, *lacking)]
        text = missing_list(own)
        if len(own) < len([name for name in cost.missing if name not in common]):
            text = f"{AS_OFFERED}, {text}" if own else AS_OFFERED
        cell = replace(row[place], text=text) if text else row[place]
        rows.append((*row[:place], cell, *row[place + 1 :]))
    return replace(sheet, rows=tuple(rows))


def proposed_barrels(decision: Decision) -> tuple[str, ...]:
    """Return the barrels that the proposal has to be ordered."""
    if decision.proposal is None:
        return ()
    offers = decision.offers
    named = dict.fromkeys(decision.proposal.proposal.barrels)
    return tuple(name for name in named if name in offers and not offers[name].owned)


def leader(decision: Decision) -> str | None:
    """Return the barrel whose cost is drawn step by step: the proposed one, else the first."""
    proposed: Sequence[str] = ()
    if decision.proposal is not None:
        proposed = [cost.barrel for cost in decision.proposal.costs]
    ranked = [line.barrel for line in decision.order if any(line.work)]
    known = (b for b in (*proposed, *ranked) if decision.cost[b].present.value is not None)
    return next(known, None)
