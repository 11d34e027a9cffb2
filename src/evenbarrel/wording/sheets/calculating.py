"""The tables to calculate with: a number to a cell, one unit to a column, one thing to a row."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.appraisal.results import BidResult, Claim, CriterionResult, Fit
from evenbarrel.model.limits import CRITERIA
from evenbarrel.model.offers.bid import Bid
from evenbarrel.model.quantity import Money
from evenbarrel.units import KINDS
from evenbarrel.wording.sentences.cells import date_text, fit_sentences, fit_word, missing_words
from evenbarrel.wording.sentences.claim_sentences import claim_sentence
from evenbarrel.wording.sheets.live.calculation import CALCULATED, case_of
from evenbarrel.wording.sheets.live.formula import by_program, calculated
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.claims import CLAIM_WORDS
from evenbarrel.wording.words.criteria import CRITERION_WORDS
from evenbarrel.wording.words.names import (
    barrel_name,
    bid_called,
    job_name,
    not_counted,
    supplier_name,
)
from evenbarrel.wording.words.numbers import (
    ABSENT,
    DisplayUnits,
    compared,
    display_unit,
    in_units,
    rounded,
    shown,
    unit_text,
)

_NUMBERED = ("1", "D", "s", "m/s")
"""Units of the criteria that have a number: shares stand in per cent, speeds as displayed."""

_DAYS = "days"
_AMOUNTS = ("price", "freight", "installation", "training")


def _number(value: float | None, kind: str, units: DisplayUnits, digits: int = 4) -> Cell:
    return Cell(shown(value, kind, units, digits), in_units(value, kind, units))


def _plain(value: float | None, digits: int = 3) -> Cell:
    return Cell(rounded(value, digits), value)


def _unit(kind: str, units: DisplayUnits) -> str:
    return unit_text(display_unit(kind, units))


def calculating_claims_sheet(appraisal: Appraisal) -> Sheet:
    """Return every claim of every barrel and offer, a row each."""
    units = appraisal.evaluation.display_units
    rows: list[tuple[Cell, ...]] = []
    for barrel in appraisal.barrels:
        supplier = supplier_name(appraisal, barrel.id)
        name = barrel_name(appraisal, barrel.id)
        rows += [_claim_row(supplier, name, claim, units) for claim in barrel.claims]
    for bid, result in _offers(appraisal):
        supplier = bid_called(appraisal.evaluation, bid)
        rows += [_claim_row(supplier, "Offer", claim, units) for claim in result.claims]
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        Heading("Claim"),
        Heading("State"),
        Heading("Difference", "%"),
        Heading("Tolerance", "%"),
        Heading("Stated", "in the unit beside"),
        Heading("Derived", "in the unit beside"),
        Heading("Unit"),
        Heading("What was found"),
    )
    return Sheet("claims", "Claims", headings, tuple(rows))


def _offers(appraisal: Appraisal) -> Iterator[tuple[Bid, BidResult]]:
    yield from zip(appraisal.evaluation.counting_bids, appraisal.bids, strict=True)


def _claim_row(supplier: str, name: str, claim: Claim, units: DisplayUnits) -> tuple[Cell, ...]:
    gap, tolerance = (
        None if share is None else share * 100.0 for share in (claim.gap, claim.tolerance)
    )
    unit = _unit(claim.kind, units) if claim.kind in KINDS else ""
    return (
        Cell(supplier),
        Cell(name),
        Cell(CLAIM_WORDS[claim.key].label),
        Cell(labels.CLAIM_STATES[claim.state], state=labels.STATE_OF_CLAIM[claim.state]),
        _plain(gap),
        _plain(tolerance),
        *(_claimed(value, claim.kind, units) for value in (claim.stated, claim.derived)),
        Cell(_DAYS if claim.kind == "time" else unit or ABSENT),
        Cell(claim_sentence(claim, units)),
    )


def _claimed(value: float | None, kind: str, units: DisplayUnits) -> Cell:
    if value is not None and kind == "time":
        # The one time that is claimed: how long an offer holds.
        return _plain(value / 86400.0)
    if value is None or kind not in KINDS:
        return _plain(value)
    return Cell(compared(value, kind, units).partition(" ")[0], in_units(value, kind, units))


def calculating_fit_sheet(appraisal: Appraisal) -> Sheet:
    """Return every barrel against every job, a row each, a criterion to a column."""
    units = appraisal.evaluation.display_units
    fits = [appraisal.fit(b.id, j.id) for b in appraisal.barrels for j in appraisal.jobs]
    columns = _criteria_columns(fits)
    headings = (
        Heading("Supplier"),
        Heading("Barrel"),
        Heading("Job"),
        by_program("Verdict"),
        by_program("Limiting criterion"),
        by_program("Margin of the limiting criterion", "%"),
        by_program("Open criteria"),
        *(
            Heading(CRITERION_WORDS[key].label, _value_unit(unit, units))
            if key in CALCULATED
            else by_program(CRITERION_WORDS[key].label, _value_unit(unit, units))
            for key, unit in columns.items()
        ),
        by_program("Not assessed"),
        by_program("Why"),
    )
    rows = tuple(_fit_row(appraisal, fit, columns, units) for fit in fits)
    return Sheet("fit", "Fit", headings, rows)


def _criteria_columns(fits: list[Fit]) -> dict[str, str]:
    """Return the criteria that have a number, each with its unit, in the order of the rules."""
    found = {one.key: one.unit for fit in fits for one in fit.criteria if one.unit in _NUMBERED}
    return {key: found[key] for key in CRITERIA if key in found}


def _fit_row(
    appraisal: Appraisal, fit: Fit, columns: dict[str, str], units: DisplayUnits
) -> tuple[Cell, ...]:
    by_key = {criterion.key: criterion for criterion in fit.criteria}
    binding = by_key.get(fit.binding or "")
    margin = None if binding is None or binding.margin is None else binding.margin * 100.0
    sentences = fit_sentences(fit, units, alone=False)[1:]
    return (
        Cell(supplier_name(appraisal, fit.barrel)),
        Cell(barrel_name(appraisal, fit.barrel)),
        Cell(job_name(appraisal, fit.job)),
        Cell(fit_word(fit), state=fit.state),
        Cell(ABSENT if fit.binding is None else CRITERION_WORDS[fit.binding].label),
        _plain(margin),
        Cell(str(len(fit.open)), float(len(fit.open))),
        *(_criterion_cell(appraisal, fit, by_key[key], unit) for key, unit in columns.items()),
        Cell("; ".join(CRITERION_WORDS[key].label.lower() for key in fit.open) or ABSENT),
        Cell(" ".join(sentences) or ABSENT),
    )


def _value_unit(unit: str, units: DisplayUnits) -> str:
    return {"1": "%", "m/s": _unit("peripheral_speed", units)}.get(unit, unit)


def _criterion_cell(appraisal: Appraisal, fit: Fit, criterion: CriterionResult, unit: str) -> Cell:
    """Return a criterion's value by the shot that counts, as the calculation has it."""
    value, units = criterion.value, appraisal.evaluation.display_units
    if unit == "m/s":
        return _number(value, "peripheral_speed", units)
    shown_value = value * 100.0 if unit == "1" and value is not None else value
    if criterion.key not in CALCULATED:
        return _plain(shown_value)
    row, column = appraisal.grid.row(fit.barrel), appraisal.grid.column(fit.job)
    full = appraisal.grid.assessments.of_barrel(row)
    shot = int(full.of(criterion.key).chosen[full.row, column])
    case = case_of(appraisal, row, shot)
    return calculated(shown_value, f"[calculation.{criterion.key}={case}]", 3)


def calculating_offers_sheet(appraisal: Appraisal) -> Sheet:
    """Return every offer with its amounts, each beside its currency, and what is missing."""
    headings = (
        Heading("Supplier"),
        Heading("Offer"),
        Heading("Date"),
        Heading("Valid until"),
        Heading("Validity"),
        *(
            Heading(title)
            for name in _AMOUNTS
            for title in (labels.datum_of(Bid, name), "Currency")
        ),
        Heading("Delivery"),
        Heading("Payment"),
        Heading("Warranty"),
        Heading("Missing", "data"),
        Heading("Missing for at least one barrel"),
    )
    rows = tuple(
        _offer_row(bid_called(appraisal.evaluation, bid), bid, result)
        for bid, result in _offers(appraisal)
    )
    return Sheet("offers", "Offers", headings, rows, notes=not_counted(appraisal.evaluation))


def _amount(amount: Money | None) -> tuple[Cell, Cell]:
    """Return an amount as a number, and the currency it is in."""
    if amount is None:
        return Cell(ABSENT), Cell(ABSENT)
    return Cell(amount.amount, amount.value()), Cell(amount.currency)


def _offer_row(supplier: str, bid: Bid, result: BidResult) -> tuple[Cell, ...]:
    validity, complete = result.claim("validity"), result.claim("completeness")
    amounts = [cell for name in _AMOUNTS for cell in _amount(getattr(bid, name))]
    return (
        Cell(supplier),
        Cell(bid.reference or ABSENT),
        Cell(date_text(bid.date)),
        Cell(date_text(bid.valid_until)),
        Cell(labels.CLAIM_STATES[validity.state], state=labels.STATE_OF_CLAIM[validity.state]),
        *amounts,
        *(Cell(text or ABSENT) for text in (bid.delivery, bid.payment, bid.warranty)),
        Cell(str(len(complete.missing)), float(len(complete.missing))),
        Cell(missing_words(complete.missing) or ABSENT),
    )
