"""The order of single barrels, and under which share of all weightings each leads."""

from __future__ import annotations

from dataclasses import replace

from evenbarrel.appraisal.references import (
    CountRef,
    DatumRef,
    GateRef,
    LevelledRef,
    Reference,
    ShareRef,
)
from evenbarrel.decision.decide import Decision
from evenbarrel.decision.ranking import OrderLine
from evenbarrel.wording.sentences.deciding.choice import (
    NOT_COUNTED,
    basis_line,
    copies_line,
    measure_text,
)
from evenbarrel.wording.sentences.deciding.gate import gate_words
from evenbarrel.wording.sheets.decision.cells import (
    NAMING,
    NEEDED,
    amount_cell,
    missing_list,
    named,
)
from evenbarrel.wording.sheets.decision.cost import jobs_cell, of_cost, runs_alone
from evenbarrel.wording.sheets.sheet import Cell, Heading, Sheet, count_cell
from evenbarrel.wording.words import amounts as words
from evenbarrel.wording.words import labels
from evenbarrel.wording.words.names import full_name
from evenbarrel.wording.words.numbers import (
    ABSENT,
    currency_amount,
    percent,
    signed_percent,
)

TITLE = "Order of single barrels"
GOES_BY = (
    "By gate, then jobs known to run, then cost over life, levelled: where an offer states "
    "nothing, the highest amount that another states is counted, of a machine's price and of "
    "running costs one alike in gate and jobs. Of those alike, what is within {} of the cheapest "
    "shares its rank. Each barrel is taken as the only kind, on as many machines as its jobs need; "
    "for sets, and what the plant's own machines save, see the sets of machines."
)
NONE_RUNS = "Those of one gate that are known to run no job share a rank, whatever they cost."
LEAST_MARGIN = (
    "How far the nearest number lies inside its edge; below zero it lies beyond, but within "
    "its uncertainty, or beyond an edge that shuts nothing"
)
_JOBS = len(NAMING) + 2
"""The column of jobs run."""
_OF_MONEY = ("present_cost", "price")


def order_sheet(decision: Decision) -> Sheet:
    """Return the barrels by rank, the plant's own under them as kept."""
    currency = decision.appraisal.evaluation.currency
    jobs = len(decision.appraisal.jobs)
    headings = (
        Heading("Rank", align="right"),
        *NAMING,
        Heading("Gate"),
        Heading("Jobs run", f"of {jobs}", "right"),
        Heading("Machines", "needed", "right", NEEDED, yields=1),
        Heading("Levelled", currency, "right", "Cost over life, with what is not stated levelled"),
        Heading("As stated", currency, "right", words.NAMES["present"], yields=1),
        Heading("Levelled by", yields=5),
        Heading("Least margin", "%", "right", LEAST_MARGIN, yields=2),
        Heading("Not assessed", "cells", "right", yields=4),
        Heading("Queries", "", "right", "Claims that are queries or contradict", yields=3),
        Heading("Delivery", yields=6),
        Heading("Warranty", yields=6),
    )
    order = decision.order
    # Without it nothing is levelled, and the order goes by gates and jobs alone.
    lacking = basis_line(decision) if decision.basis.undated else ""
    goes_by = GOES_BY.format(percent(decision.basis.resolution))
    rows = tuple(_row(decision, line) for line in order)
    undecided = any(row[_JOBS].tip for row in rows)
    unknown = (words.JOBS_UNDECIDED, words.COSTS_UNDECIDED) if undecided else ()
    idle = NONE_RUNS if any(line.rank and not line.jobs_run for line in order) else ""
    notes = (lacking, goes_by, idle, copies_line(decision), words.MARKED, *unknown, NOT_COUNTED)
    return Sheet(
        "order",
        TITLE,
        headings,
        rows,
        notes=tuple(filter(None, notes)),
        row_references=tuple(GateRef(line.barrel) for line in order),
    )


def _row(decision: Decision, line: OrderLine) -> tuple[Cell, ...]:
    appraisal = decision.appraisal
    gate = gate_words(appraisal.gate(line.barrel), appraisal)
    margin = line.least_margin
    return (
        Cell("keep" if line.rank is None else str(line.rank), line.rank),
        *named(decision, line.barrel),
        Cell(labels.GATES[line.gate], tip=gate),
        jobs_cell(decision, line.barrel),
        count_cell(decision.cost[line.barrel].copies, runs_alone(line.barrel, "machines")),
        _levelled_cost(line),
        amount_cell(decision.cost[line.barrel].present, of_cost(line.barrel, "present")),
        _levelled(decision, line),
        replace(_margin(margin), reference=line.nearest),
        count_cell(line.not_assessed, CountRef(line.barrel, "not_assessed")),
        count_cell(line.queries, CountRef(line.barrel, "doubts")),
        Cell(line.delivery or ABSENT, tip=line.delivery),
        Cell(line.warranty or ABSENT, tip=line.warranty),
    )


def _levelled_cost(line: OrderLine) -> Cell:
    value = line.levelled
    if value is None:
        return Cell(ABSENT)
    return Cell(currency_amount(value, "").strip(), value, reference=LevelledRef(line.barrel))


def _levelled(decision: Decision, line: OrderLine) -> Cell:
    """Return what is levelled, and what is not, as none that it is compared with states it."""
    currency = decision.appraisal.evaluation.currency
    parts = [part for part, value in line.filled.items() if value]
    text = missing_list(parts)
    if line.unfilled and line.rank is not None:
        unknown = f"not levelled: {missing_list(line.unfilled)}"
        if line.may_grow is not None:
            room = currency_amount(line.may_grow, currency)
            unknown += f", up to {room} before the order changes"
        text = f"{text}; {unknown}" if text else unknown
    return Cell(text or ABSENT, tip=text)


def shares_sheet(decision: Decision) -> Sheet:
    """Return under which share of all weightings each barrel leads, with what it has of each."""
    shares, currency = decision.shares, decision.appraisal.evaluation.currency
    headings = (
        *NAMING,
        Heading("Leads under", "% of all weightings", "right"),
        Heading("At the weights given", yields=1),
        *(
            Heading(measure_text(key).capitalize(), _unit_of(key, currency), "right")
            for key in shares.measures
        ),
    )
    rows = tuple(
        (
            *named(decision, barrel),
            Cell(percent(share), share * 100.0, reference=ShareRef(barrel)),
            Cell("leads" if barrel in shares.marked else ABSENT),
            *(
                replace(
                    _measured(shares.values[barrel][key], key),
                    reference=behind(decision, barrel, key),
                )
                for key in shares.measures
            ),
        )
        for barrel, share in sorted(shares.shares.items(), key=lambda one: -one[1])
    )
    return Sheet("shares", "Shares of all weightings", headings, rows, notes=_notes(decision))


def _unit_of(key: str, currency: str) -> str:
    if key in _OF_MONEY:
        return currency
    return "%" if key == "least_margin" else "days"


def behind(decision: Decision, barrel: str, key: str) -> Reference | DatumRef | None:
    """Return what a measure of a barrel opens: how it came about, or where it is entered."""
    if key == "present_cost":
        return LevelledRef(barrel)
    if key == "price":
        return LevelledRef(barrel, "price")
    if key == "least_margin":
        return {line.barrel: line.nearest for line in decision.order}[barrel]
    return DatumRef(("bids", decision.offer(barrel).bid, key))


def measured_text(decision: Decision, barrel: str, key: str) -> str:
    """Return what a barrel has of a measure, with its unit."""
    value, currency = decision.shares.values[barrel][key], decision.appraisal.evaluation.currency
    if key in _OF_MONEY:
        return currency_amount(value, currency)
    text = _measured(value, key).text
    return text if key == "least_margin" else f"{text} {_unit_of(key, currency)}"


def _measured(value: float, key: str) -> Cell:
    if key == "least_margin":
        return _margin(value)
    return Cell(currency_amount(value, "").strip(), value)


def _margin(value: float | None) -> Cell:
    """Return a margin, a share, in per cent as its column is headed."""
    return Cell(ABSENT) if value is None else Cell(signed_percent(value), value * 100.0)


_LEFT_OUT = {
    "shut": "shut",
    "other_jobs": "not known to run the same jobs as the one that leads",
    "dominated": "another is better in every measure",
}


def _notes(decision: Decision) -> tuple[str, ...]:
    shares = decision.shares
    if not shares.measures:
        return ()
    notes = []
    if shares.error:
        notes.append(f"Sampled: ± {percent(2.0 * shares.error)}.")
    by_why: dict[str, list[str]] = {}
    for barrel, why in shares.left_out:
        words_of = _LEFT_OUT.get(why) or f"{measure_text(why)} not stated"
        by_why.setdefault(words_of, []).append(full_name(decision.appraisal, barrel))
    notes += [f"Left out, {why}: {'; '.join(names)}." for why, names in by_why.items()]
    return tuple(notes)
