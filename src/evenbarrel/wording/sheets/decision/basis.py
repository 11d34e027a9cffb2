"""What costs and sets of machines stand on, as lists that a person keeps."""

from __future__ import annotations

from evenbarrel.appraisal.appraise import Appraisal
from evenbarrel.model.cost import CostLine
from evenbarrel.wording.sentences.cells import date_text
from evenbarrel.wording.sentences.deciding.choice import measure_text
from evenbarrel.wording.sentences.deciding.told import EVERY_BOUGHT
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.names import bid_called, full_name, job_name, unit_called
from evenbarrel.wording.words.numbers import ABSENT, money, percent, printed, rounded


def rates_sheet(appraisal: Appraisal) -> Sheet:
    """Return the exchange rates."""
    cost, currency = appraisal.evaluation.cost, appraisal.evaluation.currency
    headings = (Heading("Currency"), Heading("Rate", currency, "right"), Heading("Date"))
    rows = tuple(
        (
            Cell(rate.currency),
            Cell(rounded(rate.rate, 6).rstrip("0").rstrip("."), rate.rate),
            Cell(date_text(rate.date)),
        )
        for rate in cost.exchange_rates
    )
    return Sheet("rates", "Exchange rates", headings, rows)


def lines_sheet(appraisal: Appraisal) -> Sheet:
    """Return the cost lines that a person entered."""
    headings = (
        Heading("Of"),
        Heading("What for"),
        Heading("Amount", align="right"),
        Heading("When"),
        Heading("Growth", "a year", "right"),
        Heading("Source"),
    )
    rows = tuple(
        (
            Cell(line_of(appraisal, line)),
            Cell(line.kind),
            Cell(money(line.amount), line.amount.value()),
            Cell(_when(line)),
            Cell(percent(line.growth) if line.growth else ABSENT, line.growth),
            Cell(line.amount.source or ABSENT, tip=line.amount.source),
        )
        for line in appraisal.evaluation.cost.lines
    )
    return Sheet("lines", "Cost lines", headings, rows)


def _when(line: CostLine) -> str:
    if line.per_hours is not None:
        return f"each {printed(line.per_hours)} run"
    if line.per_year:
        return "every year" if line.year in (None, 0, 1) else f"every year from year {line.year}"
    return "with the machine" if not line.year else f"in year {line.year}"


def line_of(appraisal: Appraisal, line: CostLine) -> str:
    """Return whose cost a line is."""
    evaluation = appraisal.evaluation
    if line.barrel is not None and any(one.id == line.barrel for one in appraisal.barrels):
        return full_name(appraisal, line.barrel)
    for bid in evaluation.bids:
        for unit in bid.units:
            if line.unit == unit.id:
                return f"{bid_called(evaluation, bid)}, {unit_called(bid, unit)}"
        if line.bid == bid.id:
            return bid_called(evaluation, bid)
    named = line.barrel or line.unit or line.bid
    return EVERY_BOUGHT if named is None else named


def scope_sheet(appraisal: Appraisal) -> Sheet:
    """Return the items that offers are compared by, with what each says of them."""
    evaluation = appraisal.evaluation
    headings = (Heading("Item"), *(Heading(bid_called(evaluation, bid)) for bid in evaluation.bids))
    rows = []
    for item in evaluation.scope_items:
        states = []
        for bid in evaluation.bids:
            line = next((one for one in bid.scope if one.item == item), None)
            state = "not stated" if line is None else line.state.replace("_", " ")
            amount = "" if line is None or line.amount is None else f", {money(line.amount)}"
            states.append(Cell(f"{state}{amount}"))
        rows.append((Cell(item), *states))
    return Sheet("scope", "Scope", headings, tuple(rows))


def forbidden_sheet(appraisal: Appraisal) -> Sheet:
    """Return the jobs that a person bars from a barrel."""
    headings = (Heading("Job"), Heading("Never on"))
    rows = tuple(
        (Cell(job_name(appraisal, one.job)), Cell(full_name(appraisal, one.barrel)))
        for one in appraisal.evaluation.cover_options.forbidden
    )
    return Sheet("forbidden", "Barred", headings, rows)


def measures_sheet(appraisal: Appraisal) -> Sheet:
    """Return the measures that offers are weighed by."""
    headings = (Heading("Measure"), Heading("Weight", align="right"))
    rows = tuple(
        (
            Cell(measure_text(one.key).capitalize()),
            Cell(ABSENT if one.weight is None else rounded(one.weight, 3), one.weight),
        )
        for one in appraisal.evaluation.measures
    )
    return Sheet("measures", "Measures", headings, rows)
