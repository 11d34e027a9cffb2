"""Cost over life of the live workbook: each barrel as the only one, part by part."""

from __future__ import annotations

from collections.abc import Iterator

from evenbarrel.decision.basis import Candidate
from evenbarrel.wording.sheets.decision.cost import jobs_of_cell
from evenbarrel.wording.sheets.live.formula import (
    NO_RATE,
    by_program,
    known,
    money,
    number,
)
from evenbarrel.wording.sheets.live.money import Priced
from evenbarrel.wording.sheets.live.prices import words_of
from evenbarrel.wording.sheets.live.running import YES
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet
from evenbarrel.wording.words.names import barrel_name, supplier_name

RUNNING = ("energy", "time_lost", "changes")
COUNTED = f'[running.barrel:],[barrel],[running.counted:],"{YES}"'
LACKING = "+".join(
    (
        *(f'COUNTIFS({COUNTED},[running.{part}:],"{NO_RATE}")' for part in RUNNING),
        f'COUNTIFS([lines.barrel:],[barrel],[lines.present:],"{NO_RATE}")',
    )
)
"""How many amounts that count are in a currency without an exchange rate."""

PRESENT = (
    f'IF(AND(COUNT([price],discount_rate,horizon_years)=3,{LACKING}=0),SUM([price]:[residual]),"")'
)
YEARLY = known(
    "[present]/SUMPRODUCT((1+discount_rate)^-years*(years>=1)*(years<=horizon_years))",
    "present",
    "discount_rate",
    "horizon_years",
)


def life_cost_sheet(priced: Priced) -> Sheet:
    """Return what each barrel costs over its life; what is not stated stands before it."""
    currency = priced.currencies.own
    headings = (
        Heading("No.", key="barrel"),
        Heading("Supplier"),
        Heading("Barrel"),
        by_program("Not stated"),
        by_program("Jobs run"),
        Heading("Machines, by the program", key="copies"),
        Heading("Present cost", currency, key="present"),
        Heading("Yearly cost", f"{currency}/year"),
        Heading("Price", currency, key="price"),
        Heading("Energy", currency, key="energy"),
        Heading("Time lost", currency, key="time_lost"),
        Heading("Changeovers", currency, key="changes"),
        Heading("Other costs", currency, key="lines"),
        Heading("Residual value", currency, key="residual"),
    )
    rows = tuple(tuple(_cells(priced, one)) for one in priced.candidates)
    return Sheet("life_cost", "Cost over life", headings, rows)


def _cells(priced: Priced, one: Candidate) -> Iterator[Cell]:
    decision = priced.decision
    cost = decision.cost[one.id]
    yield number(one.row + 1)
    yield Cell(supplier_name(decision.appraisal, one.id))
    yield Cell(barrel_name(decision.appraisal, one.id))
    yield words_of(cost.missing)
    yield jobs_of_cell(decision, [cost])
    yield number(cost.copies)
    yield money(cost.present.value, PRESENT)
    yield money(cost.yearly.value, YEARLY)
    training = f"N([prices.item{priced.items.index('training') + 1}])"
    several = f"[copies]*([prices.price]-{training})+{training}"
    yield money(cost.parts["price"].value, known(several, "prices.price"))
    for part in RUNNING:
        yield money(cost.parts[part].value, _over_jobs(part))
    yield money(cost.parts["lines"].value, "SUMIFS([lines.present:],[lines.barrel:],[barrel])")
    yield _left(cost.parts["residual"].value, one)


def _over_jobs(part: str) -> str:
    """Return the sum over the jobs that count; empty where it is known of none of them."""
    column = f"[running.{part}:]"
    none = f'COUNTIFS({COUNTED},{column},">=0")=0'
    return f'IF(COUNTIFS({COUNTED})=0,0,IF({none},"",SUMIFS({column},{COUNTED})))'


def _left(value: float | None, one: Candidate) -> Cell:
    if one.owned:
        return Cell("0", 0.0)
    left = "-[copies]*[prices.machine]*residual_share/(1+discount_rate)^horizon_years"
    needs = ("prices.machine", "residual_share", "discount_rate", "horizon_years")
    return money(value, known(left, *needs))
